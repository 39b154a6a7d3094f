"""Paths: ends, running the other way, closing, beginning elsewhere."""

import numpy as np
import pytest
from hypothesis import given
from shapes import circle_outline, polyline, rectangle
from strategies import paths

from edgefinder.geometry.path import Path, close_path, reverse_path, rotate_path
from edgefinder.geometry.segments import end_points, start_points


def test_a_path_knows_its_ends_and_the_gap_between_them() -> None:
    path = polyline(0, 3, 3 + 4j)

    assert (path.start, path.end, path.gap) == (0, 3 + 4j, 5)


@given(paths())
def test_reversing_a_path_swaps_its_ends(path: Path) -> None:
    other_way = reverse_path(path)

    assert other_way.start == path.end
    assert other_way.end == path.start
    assert not other_way.closed


def test_closing_adds_a_straight_segment() -> None:
    closed = close_path(polyline(0, 3, 3 + 4j))

    assert closed.closed
    assert len(closed.segments) == 3
    assert closed.gap == 0


def test_closing_what_meets_adds_nothing() -> None:
    closed = close_path(polyline(0, 3, 3 + 4j, 0))

    assert len(closed.segments) == 3


def test_a_closed_path_can_begin_at_any_segment() -> None:
    outline = rectangle(40, 30)

    later = rotate_path(outline, 2)

    assert later.start == 40 + 30j
    assert np.array_equal(
        end_points(later.segments)[:-1], start_points(later.segments)[1:]
    )
    assert np.array_equal(
        rotate_path(later, -2).segments.control, outline.segments.control
    )


def test_only_a_closed_path_can_begin_elsewhere() -> None:
    with pytest.raises(ValueError, match="closed"):
        rotate_path(polyline(0, 1, 2j), 1)


def test_a_circle_is_one_closed_segment() -> None:
    outline = circle_outline(5)

    assert outline.closed
    assert outline.gap == pytest.approx(0, abs=1e-14)
