from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from edgefinder.yardage.intervals import (
    Interval,
    Intervals,
    merge,
    overlap,
    reach,
    remove,
    shift,
)

interval = st.tuples(st.integers(-50, 50), st.integers(0, 20)).map(
    lambda pair: (float(pair[0]), float(pair[0] + pair[1]))
)
intervals = st.lists(interval, max_size=6)


def within(places: Intervals, at: float) -> bool:
    return any(low <= at <= high for low, high in places)


def inside(holes: Intervals, at: float) -> bool:
    return any(low < at < high for low, high in holes)


@given(intervals, st.integers(-60, 80))
def test_merging_keeps_every_place(parts: list[Interval], half: int) -> None:
    at = half / 2

    merged = merge(parts)

    assert within(merged, at) == within(tuple(parts), at)
    assert all(a[1] < b[0] for a, b in pairwise(merged))  # sorted, not touching


@given(intervals, intervals, st.integers(-120, 160))
def test_removing_takes_out_the_insides_of_holes_only(
    parts: list[Interval], holes: list[Interval], quarter: int
) -> None:
    at = quarter / 4
    kept, gone = merge(parts), merge(holes)

    left = remove(kept, gone)

    assert within(left, at) == (within(kept, at) and not inside(gone, at))


@given(intervals, st.integers(-9, 9), st.integers(0, 9), st.integers(-120, 160))
def test_a_step_reaches_what_a_start_lies_before(
    parts: list[Interval], least: int, more: int, quarter: int
) -> None:
    at = quarter / 4
    starts = merge(parts)

    reached = within(reach(starts, least, least + more), at)

    assert reached == any(
        low <= at - least and at - least - more <= high for low, high in starts
    )


@given(intervals, st.integers(-120, 160))
def test_the_overlap_is_what_lies_between(parts: list[Interval], quarter: int) -> None:
    at = quarter / 4
    starts = merge(parts)

    assert within(overlap(starts, -10.0, 12.0), at) == (
        within(starts, at) and -10.0 <= at <= 12.0
    )


def test_moving_moves_both_ends() -> None:
    assert shift(((0.0, 1.0), (3.0, 4.0)), 2.5) == ((2.5, 3.5), (5.5, 6.5))


@pytest.mark.parametrize("hole", [(0.0, 10.0), (-5.0, 3.0), (4.0, 20.0)])
def test_the_end_of_a_hole_is_free(hole: Interval) -> None:
    left = remove(((0.0, 10.0),), (hole,))

    assert all(within(left, end) for end in hole if 0.0 <= end <= 10.0)
