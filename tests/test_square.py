import math

import numpy as np
import pytest
from drawn import drawing, drawn, text
from hypothesis import given
from hypothesis import strategies as st
from shapes import circle_outline, polygon, polyline, rectangle, rounded_rectangle

from edgefinder.geometry.affine import Affine, transform
from edgefinder.geometry.path import Path, rotate_path
from edgefinder.importers.drawing import DrawnLine
from edgefinder.pattern.square import (
    as_square,
    drawn_squares,
    is_test_square,
    named_squares,
)


def mapped(path: Path, affine: Affine) -> Path:
    return Path(transform(path.segments, affine), path.closed)


def stated(line: DrawnLine, *texts: tuple[str, complex]) -> list[tuple[float, ...]]:
    words = [text(said, at) for said, at in texts]
    return [one.stated for one in named_squares(drawing(line, texts=words))]


@given(
    side=st.floats(1, 500),
    turn=st.floats(0, 2 * math.pi),
    along=st.floats(1.0, 1.2),
    angle=st.floats(0, math.pi),
    first=st.integers(0, 3),
)
def test_a_square_knows_how_it_was_stretched(
    side: float, turn: float, along: float, angle: float, first: int
) -> None:
    c, s = math.cos(turn), math.sin(turn)
    turned = mapped(rectangle(side, side), Affine(c, s, -s, c))
    # Stretched by a factor along one direction, which keeps what lies across it.
    x, y, more = math.cos(angle), math.sin(angle), along - 1
    way = Affine(1 + more * x * x, more * x * y, more * x * y, 1 + more * y * y)
    path = rotate_path(mapped(turned, way), first)

    square = as_square((drawn(path),), path)

    assert square is not None
    assert square.stretched == pytest.approx(more, abs=1e-9)
    assert square.side == pytest.approx(side * math.sqrt(along), rel=1e-9)
    if more > 0.01:
        off = (math.radians(square.stretches[2]) - angle) % math.pi
        assert min(off, math.pi - off) == pytest.approx(0, abs=1e-5)


@pytest.mark.parametrize(
    "path",
    [
        circle_outline(25),
        circle_outline(0.05),
        rounded_rectangle(50, 50, 5),
        polygon(0, 50, 25 + 40j),
        polygon(0, 50, 60 + 50j, 50j),
        polygon(0, 50, 50, 0),
        polygon(0, 50, 50 + 25j, 25 + 25j, 25 + 50j, 50j),
        polygon(1, 1),
    ],
)
def test_other_shapes_are_no_squares(path: Path) -> None:
    assert as_square((drawn(path),), path) is None


def test_vertices_on_a_side_and_doubled_ones_do_not_count() -> None:
    path = polygon(0, 20, 50, 50 + 50j, 50 + 50j, 25 + 50j, 50j, 1e-9j)

    square = as_square((drawn(path),), path)

    assert square is not None
    assert square.sides == pytest.approx((50, 50))


def test_a_square_of_loose_lines_is_found() -> None:
    sides = [(0, 50), (50 + 50j, 50), (50 + 50j, 50j), (0, 50j)]
    lines = [drawn(polyline(*ends)) for ends in sides]

    (square,) = drawn_squares(drawing(*lines, drawn(polyline(100, 300))))

    assert square.side == pytest.approx(50)
    assert set(map(id, square.lines)) == set(map(id, lines))


@pytest.mark.parametrize(
    "marks",
    [
        {"id": "test-square"},
        {"id": "testSquare"},
        {"classes": ("line", "test_square")},
        {"layer": "Test Square"},
        {"label": "Scale square"},
        {"groups": ("All", "test box")},
        {"names": ("square for testing", "TEST SQUARE 5 cm")},
        {"label": "1 inch square"},
        {"label": '1" square'},
    ],
)
def test_a_square_is_found_by_what_it_is_called(marks: dict[str, str]) -> None:
    square = drawn(rectangle(50, 50), **marks)  # type: ignore[arg-type]  # any of them
    other = drawn(rectangle(50, 50), label="pocket square dance", id="latest")

    (found,) = named_squares(drawing(other, square))

    assert found.square.lines == (square,)


@pytest.mark.parametrize(
    ("said", "at"),
    [("Test square", 10 + 20j), ("test square 50 mm", 60 + 25j), ("TEST BOX", -20j)],
)
def test_a_square_is_found_by_a_text_in_it_or_beside_it(said: str, at: complex) -> None:
    square, far = (
        drawn(rectangle(50, 50)),
        drawn(polygon(300, 350, 350 + 50j, 300 + 50j)),
    )

    (found,) = named_squares(drawing(far, square, texts=[text(said, at)]))

    assert found.square.lines == (square,)


@pytest.mark.parametrize(
    ("label", "sides"),
    [
        ("test square 50 mm", (50.0,)),
        ("Test square: 2 in x 2 in", (50.8, 50.8)),
        ('test square 1 1/2"', (38.1,)),
        ("test-square-5cm", (50.0,)),
        ("Test square 2 in (5 cm)", (50.8, 50.0)),
        ("1 inch square", (25.4,)),
        ("test square", ()),
        ("test square no. 3", ()),
        ("test square 0 mm", ()),
        ("test square 1/0 in", ()),
    ],
)
def test_the_side_that_a_name_states_is_read(
    label: str, sides: tuple[float, ...]
) -> None:
    (found,) = stated(drawn(rectangle(50, 50), label=label))

    assert found == pytest.approx(sides)


def test_the_side_may_stand_in_a_text_of_its_own() -> None:
    line = drawn(rectangle(50, 50), id="test-square")

    assert stated(line, ("5 cm x 5 cm", 5 + 20j), ("10 mm seams", 5 + 5j)) == [
        pytest.approx((50.0, 50.0))
    ]


def test_a_text_means_the_smallest_square_that_it_stands_in() -> None:
    piece = drawn(rectangle(300, 300))
    square = drawn(polygon(100 + 100j, 150 + 100j, 150 + 150j, 100 + 150j))
    words = [text("test square 5 cm", 105 + 120j)]

    (found,) = named_squares(drawing(piece, square, texts=words))

    assert found.square.lines == (square,)


@pytest.mark.parametrize(
    ("path", "label", "is_one"),
    [
        (rectangle(50, 50), "test", True),
        (rectangle(50, 51), "test 50 mm", True),
        (rectangle(37.5, 37.5), "test square", True),
        (rectangle(37.5, 37.5), "test", False),
        (rectangle(50, 50), "pocket", False),
        (rectangle(300, 200), "test front", False),
        (rectangle(300, 200), "frame of the test square", False),
        (circle_outline(25), "test square", False),
        (polyline(0, 50, 50 + 50j, 50j), "test square", False),
    ],
)
def test_what_is_called_a_test_and_looks_like_one_is_no_piece(
    path: Path, label: str, is_one: bool
) -> None:
    assert is_test_square(drawn(path, label=label)) is is_one


def test_a_name_of_a_megabyte_is_looked_through_at_once() -> None:
    line = drawn(rectangle(50, 50), label="test" + "1 " * 500_000 + "square")

    assert named_squares(drawing(line)) == []


def test_corners_are_in_order() -> None:
    path = rectangle(50, 50)

    square = as_square((drawn(path),), path)

    assert square is not None
    assert np.diff(square.corners).tolist() == [50, 50j, -50]
