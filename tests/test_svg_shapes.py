import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import ellipe
from svg_texts import FIXTURES, kinds, length_of, read_body, read_line, vertices

from edgefinder.geometry.segments import Kind
from edgefinder.importers.drawing import DrawnLine
from edgefinder.importers.svg.reading import read_svg


@pytest.fixture(scope="module")
def shapes() -> dict[str | None, DrawnLine]:
    lines = read_svg(FIXTURES / "basic-shapes.svg").drawing.lines
    return {line.id: line for line in lines}


def test_every_shape_has_its_closed_form_length(
    shapes: dict[str | None, DrawnLine],
) -> None:
    # Quarters of the ellipse 5 x 8, and the ellipse 20 x 10: 4 a E(e^2).
    corners = 4 * 8 * ellipe(1 - (5 / 8) ** 2)
    expected = {
        "rect": 140.0,
        "rounded": 2 * (30 - 10) + 2 * (40 - 16) + corners,
        "circle": 20 * math.pi,
        "ellipse": 4 * 20 * ellipe(1 - (10 / 20) ** 2),
        "line": 5.0,
        "polyline": 20.0,
        "polygon": 20 + 10 * math.sqrt(2),
    }

    measured = {name: length_of(line) for name, line in shapes.items()}

    assert measured == pytest.approx(expected, rel=1e-12)


def test_shapes_that_go_round_are_closed(shapes: dict[str | None, DrawnLine]) -> None:
    opened = {name for name, line in shapes.items() if not line.path.closed}

    assert opened == {"line", "polyline"}


def test_a_circle_is_one_arc_from_its_rightmost_point(
    shapes: dict[str | None, DrawnLine],
) -> None:
    line = shapes["circle"]

    assert kinds(line) == [Kind.ARC]
    assert line.path.start == pytest.approx(110 - 100j)


def test_a_rounded_rectangle_goes_round_as_drawn_from_its_top_side(
    shapes: dict[str | None, DrawnLine],
) -> None:
    line = shapes["rounded"]

    assert kinds(line) == [Kind.LINE, Kind.ARC] * 4
    np.testing.assert_allclose(
        vertices(line),
        [
            55 - 20j,
            75 - 20j,
            80 - 28j,
            80 - 52j,
            75 - 60j,
            55 - 60j,
            50 - 52j,
            50 - 28j,
            55 - 20j,
        ],
        atol=1e-12,
    )


@pytest.mark.parametrize(
    ("radii", "rx", "ry"),
    [
        ('rx="4"', 4, 4),
        ('ry="4"', 4, 4),
        ('rx="auto" ry="3"', 3, 3),
        ('rx="4" ry="0"', 0, 0),
        ('rx="99" ry="6"', 15, 6),
        ('rx="4" ry="99"', 4, 20),
        ('rx="10%"', 10, 10),
        ('rx="99"', 15, 20),
    ],
)
def test_corner_radii_follow_each_other_and_are_held_to_half_of_the_side(
    radii: str, rx: float, ry: float
) -> None:
    line = read_line(f'<rect width="30" height="40" {radii}/>')

    long, short = max(rx, ry), min(rx, ry)
    corners = 4 * long * ellipe(1 - (short / long) ** 2) if long else 0
    assert length_of(line) == pytest.approx(140 - 4 * (rx + ry) + corners, rel=1e-12)


@given(
    x=st.integers(-999, 999),
    width=st.integers(1, 999),
    height=st.integers(1, 999),
)
def test_a_side_that_its_corners_use_up_leaves_no_crumb(
    x: int, width: int, height: int
) -> None:
    line = read_line(
        f'<rect x="{x / 7}" y="0.1" width="{width / 7}" height="{height / 7}" '
        f'rx="{width / 14}" ry="{height / 14}"/>'
    )

    assert kinds(line) == [Kind.ARC] * 4


@given(
    width=st.floats(1, 100),
    height=st.floats(1, 100),
    rx=st.floats(0.1, 60),
    ry=st.floats(0.1, 60),
)
def test_rectangles_are_symmetric_in_their_axes(
    width: float, height: float, rx: float, ry: float
) -> None:
    upright = read_line(
        f'<rect width="{width:f}" height="{height:f}" rx="{rx:f}" ry="{ry:f}"/>'
    )

    lying = read_line(
        f'<rect width="{height:f}" height="{width:f}" rx="{ry:f}" ry="{rx:f}"/>'
    )

    assert length_of(lying) == pytest.approx(length_of(upright), rel=1e-11)


@pytest.mark.parametrize(
    "shape",
    [
        '<rect width="0" height="5"/>',
        '<rect width="5"/>',
        '<circle cx="5"/>',
        '<circle r="0"/>',
        '<ellipse rx="0" ry="4"/>',
        '<ellipse rx="auto"/>',
        '<line x1="3" y1="4" x2="3" y2="4"/>',
        "<polyline/>",
        '<polygon points="1,2"/>',
        '<polyline points="1,2 1,2"/>',
        "<path/>",
        '<path d="M1 2"/>',
    ],
)
def test_a_shape_without_extent_draws_nothing(shape: str) -> None:
    assert read_body(shape).drawing.lines == ()


def test_a_single_radius_makes_an_ellipse_round() -> None:
    assert length_of(read_line('<ellipse ry="7"/>')) == pytest.approx(14 * math.pi)


def test_percentages_are_of_the_width_the_height_or_the_diagonal() -> None:
    size = 'width="40mm" height="30mm" viewBox="0 0 40 30"'

    line = read_line('<line x2="50%" y2="50%"/>', size)
    circle = read_line('<circle r="10%"/>', size)

    # SVG 2, section 8.9: of sqrt((40^2 + 30^2)/2).
    assert vertices(line)[1] == pytest.approx(20 - 15j)
    assert length_of(circle) == pytest.approx(2 * math.pi * 5 / math.sqrt(2))


def test_geometry_may_stand_in_a_style_attribute() -> None:
    line = read_line('<circle r="1" style="r: 3px; cx: 10px"/>')

    assert line.path.start == pytest.approx(13)


def test_points_that_repeat_make_no_segments() -> None:
    line = read_line('<polygon points="0 0 5 0 5 0 5 5 0 0"/>')

    assert kinds(line) == [Kind.LINE] * 3
    assert line.path.closed
