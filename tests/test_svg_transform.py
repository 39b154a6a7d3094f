import math
import warnings

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from edgefinder.errors import DrawingError
from edgefinder.geometry.affine import Affine
from edgefinder.importers.svg.transform import about, read_origin, read_transform
from edgefinder.importers.svg.units import Font, Viewport

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from svgpathtools import parse_transform

VIEWPORT = Viewport(None, None, lambda _unit: None, Font(20.0, 10.0))


def entries(affine: Affine) -> list[float]:
    return [affine.a, affine.b, affine.c, affine.d, affine.e, affine.f]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", [1, 0, 0, 1, 0, 0]),
        ("none", [1, 0, 0, 1, 0, 0]),
        ("matrix(1 2,3 4 5 6)", [1, 2, 3, 4, 5, 6]),
        ("translate(5)", [1, 0, 0, 1, 5, 0]),
        ("translate(10-5)", [1, 0, 0, 1, 10, -5]),
        ("translate( 1e1 , .5 )", [1, 0, 0, 1, 10, 0.5]),
        ("translateX(2)translateY(3)", [1, 0, 0, 1, 2, 3]),
        ("scale(2)", [2, 0, 0, 2, 0, 0]),
        ("scale(2,3)", [2, 0, 0, 3, 0, 0]),
        ("scaleX(2) scaleY(3)", [2, 0, 0, 3, 0, 0]),
        ("rotate(90)", [0, 1, -1, 0, 0, 0]),
        ("rotate(-90deg)", [0, -1, 1, 0, 0, 0]),
        ("rotate(180)", [-1, 0, 0, -1, 0, 0]),
        ("rotate(90 10 20)", [0, 1, -1, 0, 30, 10]),
        ("rotate(0.25turn)", [0, 1, -1, 0, 0, 0]),
        ("skewX(45)", [1, 0, 1, 1, 0, 0]),
        ("skewY(45)", [1, 1, 0, 1, 0, 0]),
        ("skew(45deg)", [1, 0, 1, 1, 0, 0]),
        ("skew(0, 45deg)", [1, 1, 0, 1, 0, 0]),
        (" translate(1,2) , scale(3)\n", [3, 0, 0, 3, 1, 2]),
        ("translate(1in, 10mm)", [1, 0, 0, 1, 96, 960 / 25.4]),
        ("translate(2em, 1rem)", (1, 0, 0, 1, 40, 10)),
    ],
)
def test_every_kind_of_transform_is_read(text: str, expected: list[float]) -> None:
    assert entries(read_transform(text, VIEWPORT)) == pytest.approx(expected, abs=1e-15)


@pytest.mark.parametrize("quarters", range(-5, 6))
def test_quarter_turns_are_exact(quarters: int) -> None:
    turned = read_transform(f"rotate({90 * quarters})", VIEWPORT)

    assert set(entries(turned)) <= {0.0, 1.0, -1.0}
    assert complex(turned.a, turned.b) == [1, 1j, -1, -1j][quarters % 4]


@pytest.mark.parametrize(
    "text",
    [
        "rotate",
        "rotate()",
        "rotate(1 2)",
        "rotate(1,,2,3)",
        "rotate(1 2 3",
        "rotate(1) 5",
        "rotate(1),",
        "scale(1 2 3)",
        "scale(2px)",
        "matrix(1 2 3 4 5)",
        "translate(1 2 3)",
        "translate(50%)",
        "rotate(10px)",
        "skewX(90)",
        "skewX(1 2)",
        "perspective(3)",
        "translate(1e400)",
        "matrix(nan 0 0 1 0 0)",
    ],
)
def test_what_is_no_transform_is_refused(text: str) -> None:
    with pytest.raises(DrawingError):
        read_transform(text, VIEWPORT)


NUMBERS = st.integers(-500, 500).map(lambda i: f"{i / 8}")
FUNCTIONS = st.one_of(
    st.builds("translate({},{})".format, NUMBERS, NUMBERS),
    st.builds("rotate({})".format, NUMBERS),
    st.builds("rotate({} {} {})".format, NUMBERS, NUMBERS, NUMBERS),
    st.builds("scale({} {})".format, NUMBERS, NUMBERS),
    st.builds("skewX({})".format, st.integers(-80, 80)),
    st.builds("skewY({})".format, st.integers(-80, 80)),
)


@given(st.lists(FUNCTIONS, max_size=4))
def test_lists_multiply_as_svgpathtools_multiplies_them(functions: list[str]) -> None:
    text = " ".join(functions)

    mine = read_transform(text, VIEWPORT)

    its = parse_transform(text, strict=True)
    np.testing.assert_allclose(entries(mine), its[:2].T.ravel(), rtol=1e-9, atol=1e-6)


def test_a_map_about_a_point_leaves_the_point() -> None:
    turned = about(3 + 4j, read_transform("rotate(33) scale(2 5)", VIEWPORT))

    assert complex(turned.points(np.array(3 + 4j))) == pytest.approx(3 + 4j)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("10 20", 10 + 20j),
        ("10px", 10 + 100j),
        ("center", 50 + 100j),
        ("left top", 0),
        ("bottom right", 100 + 200j),
        ("top", 50),
        ("25% 50% 0", 25 + 100j),
        ("1in", 96 + 100j),
    ],
)
def test_origins_are_of_the_viewport(text: str, expected: complex) -> None:
    viewport = Viewport(100, 200, lambda _unit: None)

    assert read_origin(text, viewport) == pytest.approx(expected)


@pytest.mark.parametrize("text", ["", "1 2 3 4", "middle", "1 up"])
def test_what_is_no_origin_is_refused(text: str) -> None:
    with pytest.raises(DrawingError):
        read_origin(text, Viewport(100, 200, lambda _unit: None))


def test_a_skew_is_the_tangent_of_its_angle() -> None:
    assert read_transform("skewX(30)", VIEWPORT).c == pytest.approx(
        math.tan(math.pi / 6)
    )


def test_transforms_without_end_are_refused() -> None:
    assert read_transform("scale(1)" * 5000, VIEWPORT) == Affine()
    with pytest.raises(DrawingError, match="transform of 72000 characters is longer"):
        read_transform("scale(1)" * 9000, VIEWPORT)
