"""Sets of places on a line, as sorted intervals that do not touch."""

from collections.abc import Iterable

Interval = tuple[float, float]
Intervals = tuple[Interval, ...]


def merge(intervals: Iterable[Interval]) -> Intervals:
    """Sort intervals and unite those that overlap or touch.

    Examples
    --------
    >>> merge([(4.0, 6.0), (0.0, 1.0), (5.0, 7.0)])
    ((0.0, 1.0), (4.0, 7.0))
    """
    merged: list[Interval] = []
    for low, high in sorted(intervals):
        if merged and low <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(high, merged[-1][1]))
        else:
            merged.append((low, high))
    return tuple(merged)


def remove(kept: Intervals, holes: Intervals) -> Intervals:
    """Take open intervals out of closed ones; the ends of a hole stay.

    Parameters
    ----------
    kept, holes : tuple of (float, float)
        Sorted, not touching, as `merge` returns them.

    Examples
    --------
    >>> remove(((0.0, 10.0),), ((2.0, 3.0), (9.0, 12.0)))
    ((0.0, 2.0), (3.0, 9.0))
    """
    left: list[Interval] = []
    for low, high in kept:
        start = low
        for hole_low, hole_high in holes:
            if hole_high <= start or hole_low >= high:
                continue
            if hole_low >= start:
                left.append((start, hole_low))
            start = hole_high
            if start > high:
                break
        if start <= high:
            left.append((start, high))
    return tuple(left)


def shift(intervals: Intervals, by: float) -> Intervals:
    """Move every interval."""
    return tuple((low + by, high + by) for low, high in intervals)


def reach(starts: Intervals, least: float, most: float) -> Intervals:
    """Say where a step between a least and a greatest length can end."""
    return merge((low + least, high + most) for low, high in starts)


def overlap(intervals: Intervals, low: float, high: float) -> Intervals:
    """Keep what lies between two places, both included."""
    return tuple(
        (max(a, low), min(b, high)) for a, b in intervals if a <= high and b >= low
    )
