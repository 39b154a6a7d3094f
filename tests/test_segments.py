"""The table of segments: building, points, cutting, turning round."""

import numpy as np
import pytest
from hypothesis import given
from strategies import arcs, cubics, parameters, segments
from svgpathtools import CubicBezier, QuadraticBezier

from edgefinder.geometry.segments import (
    Kind,
    Segments,
    arc_segments,
    circle,
    concatenate,
    cubic_segments,
    end_points,
    line_segments,
    points_at,
    quadratic_segments,
    reverse,
    split,
    start_points,
)

CONTROL = [0, 30 + 80j, 90 - 20j, 100 + 40j]
ROUNDING_MM = 1e-10
"""For coordinates up to a few hundred millimetres and a few operations."""


def test_arrays_are_copied_and_locked() -> None:
    kind = np.array([Kind.LINE], dtype=np.uint8)
    control = np.array([[0, 1, 0, 0]], dtype=np.complex128)

    table = Segments(kind, control)
    control[0, 1] = 99

    assert table.control[0, 1] == 1
    with pytest.raises(ValueError, match="read-only"):
        table.control[0, 0] = 5


def test_kinds_and_rows_have_to_match() -> None:
    with pytest.raises(ValueError, match="one kind per row"):
        Segments(np.zeros(2, dtype=np.uint8), np.zeros((1, 4), dtype=np.complex128))


def test_points_of_a_cubic_agree_with_another_library() -> None:
    table = cubic_segments([CONTROL])
    other = CubicBezier(*CONTROL)

    for t in (0.0, 0.1, 0.5, 0.77, 1.0):
        assert points_at(table, np.array([t]))[0] == pytest.approx(other.point(t))


def test_a_quadratic_raised_to_a_cubic_is_the_same_curve() -> None:
    table = quadratic_segments([[1, 5 + 9j, 12 - 3j]])
    other = QuadraticBezier(1, 5 + 9j, 12 - 3j)

    for t in (0.0, 0.3, 0.5, 0.9, 1.0):
        assert points_at(table, np.array([t]))[0] == pytest.approx(other.point(t))


def test_a_circle_runs_anticlockwise_from_its_rightmost_point() -> None:
    table = circle(2 + 3j, 5)

    quarters = [points_at(table, np.array([q / 4]))[0] for q in range(4)]

    assert quarters == pytest.approx([7 + 3j, 2 + 8j, -3 + 3j, 2 - 2j])


def test_an_arc_may_run_either_way_and_more_than_once_round() -> None:
    table = arc_segments([0, 0], [2, 2], [2j, 2j], [0, 0], [-np.pi / 2, 5 * np.pi])

    assert end_points(table) == pytest.approx(np.array([-2j, -2]))


def test_rows_keep_their_order_when_tables_are_joined_and_taken_from() -> None:
    table = concatenate(
        [line_segments([0, 1], [1, 2]), cubic_segments([CONTROL]), circle(0, 1)]
    )

    picked = table.take([3, 0])

    assert [Kind(k) for k in picked.kind] == [Kind.ARC, Kind.LINE]
    assert len(table) == 4


def test_no_tables_make_an_empty_table() -> None:
    empty = concatenate([])

    assert len(empty) == 0
    assert start_points(empty).shape == (0,)
    assert len(reverse(empty)) == 0


@given(segments(), parameters())
def test_ends_are_the_points_at_0_and_1(table: Segments, t: float) -> None:
    assert start_points(table) == pytest.approx(
        points_at(table, np.zeros(1)), abs=ROUNDING_MM
    )
    assert end_points(table) == pytest.approx(
        points_at(table, np.ones(1)), abs=ROUNDING_MM
    )
    assert points_at(reverse(table), np.array([t])) == pytest.approx(
        points_at(table, np.array([1 - t])), abs=ROUNDING_MM
    )


@given(segments(), parameters(), parameters(), parameters())
def test_a_stretch_runs_along_the_same_line(
    table: Segments, a: float, b: float, t: float
) -> None:
    low, high = sorted((a, b))

    part = split(table, np.array([low]), np.array([high]))

    along = np.array([low + (high - low) * t])
    assert points_at(part, np.array([t])) == pytest.approx(
        points_at(table, along), abs=ROUNDING_MM
    )


@given(cubics(), arcs())
def test_reversing_twice_gives_the_same_table(cubic: Segments, arc: Segments) -> None:
    table = concatenate([cubic, arc])

    twice = reverse(reverse(table))

    assert np.array_equal(twice.kind, table.kind)
    assert np.array_equal(twice.control, table.control)
