"""Boundaries as files draw them: open, split, repeated, doubled."""

from pathlib import Path

import numpy as np
import pytest
from interchange_files import (
    CORNERS,
    Block,
    Tags,
    bib,
    codes,
    interchange,
    line,
    only_piece,
    outline,
    polyline,
)

from edgefinder.errors import BrokenOutline
from edgefinder.geometry.measured import measure

VERTICES = outline()[0]


def around(folder: Path, boundary: Tags) -> tuple[float, list[str], int]:
    """Length, findings and segments of the bib drawn in some way."""
    result = interchange(folder, bib(boundary=boundary))
    path = result.pieces[0].boundary.path
    assert path.closed
    return measure(path).length, codes(result), len(path.segments)


@pytest.fixture
def perimeter(tmp_path: Path) -> float:
    return around(tmp_path, polyline(VERTICES, 1, closed=True))[0]


def test_the_first_point_may_be_repeated(tmp_path: Path, perimeter: float) -> None:
    repeated = [*VERTICES, VERTICES[0]]

    for closed in (False, True):
        length, found, count = around(tmp_path, polyline(repeated, 1, closed=closed))

        assert length == pytest.approx(perimeter, rel=1e-12)
        assert found == []
        assert count == len(VERTICES)


def test_the_repeated_point_may_be_a_little_off(
    tmp_path: Path, perimeter: float
) -> None:
    near = [*VERTICES, VERTICES[0] + 0.004 + 0.003j]

    length, _, count = around(tmp_path, polyline(near, 1, closed=True))

    assert length == pytest.approx(perimeter, abs=0.01)
    assert count == len(VERTICES)


def test_doubled_vertices_count_once(tmp_path: Path, perimeter: float) -> None:
    doubled = [z + by for z in VERTICES for by in (0, 0.002j)]

    length, _, count = around(tmp_path, polyline(doubled, 1, closed=True))

    assert length == pytest.approx(perimeter, abs=0.1)
    assert count == len(VERTICES)


def test_an_open_boundary_is_closed_and_said(tmp_path: Path, perimeter: float) -> None:
    length, found, _ = around(tmp_path, polyline(VERTICES, 1))

    assert length == pytest.approx(perimeter, rel=1e-12)
    assert found == ["open-outline"]


def test_a_half_piece_open_at_its_fold_is_closed_there(tmp_path: Path) -> None:
    fold = line(CORNERS[-1], CORNERS[0], 6)

    piece = only_piece(tmp_path, bib(None, fold, boundary=polyline(VERTICES, 1)))

    assert piece.fold_line == (300j, 0)


def test_a_boundary_split_in_lines_is_joined(tmp_path: Path, perimeter: float) -> None:
    first, second = VERTICES[:6], [*VERTICES[5:], VERTICES[0]]
    backwards = second[::-1]

    for parts in ((first, second), (first, backwards)):
        tags = [tag for part in parts for tag in polyline(part, 1)]
        length, found, _ = around(tmp_path, tags)

        assert length == pytest.approx(perimeter, rel=1e-12)
        assert found == []


def test_a_split_boundary_may_be_open_as_well(tmp_path: Path, perimeter: float) -> None:
    tags = [*polyline(VERTICES[:6], 1), *polyline(VERTICES[5:], 1)]

    length, found, _ = around(tmp_path, tags)

    assert length == pytest.approx(perimeter, rel=1e-12)
    assert found == ["open-outline"]


def test_wide_gaps_are_closed_with_a_warning(tmp_path: Path, perimeter: float) -> None:
    off = [VERTICES[5] + 0.5, *VERTICES[6:], VERTICES[0]]
    tags = [*polyline(VERTICES[:6], 1), *polyline(off, 1)]

    length, found, _ = around(tmp_path, tags)

    assert length == pytest.approx(perimeter, abs=1.5)
    assert found == ["gap-closed"]


def test_a_boundary_of_single_lines_is_joined(tmp_path: Path) -> None:
    square = [0j, 200 + 0j, 200 + 100j, 100j]
    tags = [
        tag
        for start, end in zip(square, np.roll(square, -1).tolist(), strict=True)
        for tag in line(start, end, 1)
    ]

    piece = only_piece(tmp_path, bib(boundary=tags, marks=False))

    assert measure(piece.boundary.path).length == pytest.approx(600)
    assert piece.corners.tolist() == square


def test_a_boundary_drawn_twice_is_read_once(tmp_path: Path, perimeter: float) -> None:
    there, back = VERTICES, [VERTICES[0], *VERTICES[:0:-1]]

    for other in (there, back):
        tags = [
            *polyline(there, 1, closed=True),
            *polyline(other, 1, closed=True),
        ]
        length, found, _ = around(tmp_path, tags)

        assert length == pytest.approx(perimeter, rel=1e-9)
        assert "open-inner-line" not in found


def test_what_does_not_close_is_an_error_with_the_block(tmp_path: Path) -> None:
    scattered = [*line(0, 100, 1), *line(300j, 100 + 300j, 1)]
    blocks = [Block("LEFT BACK", scattered), Block("B", scattered), bib()]

    with pytest.raises(BrokenOutline) as error:
        interchange(tmp_path, *blocks)

    assert len(error.value.messages) == 2
    assert 'block "LEFT BACK": the boundary on layer 1 does not close' in str(
        error.value
    )


def test_a_smaller_closed_line_on_layer_1_lies_inside(tmp_path: Path) -> None:
    pocket = polyline([100 + 50j, 150 + 50j, 150 + 90j, 100 + 90j], 1, closed=True)

    piece = only_piece(tmp_path, bib(None, pocket))

    assert len(piece.internal) == 1
    assert piece.cutouts == ()
