"""Which chords of a line given by points are straight, and not chords of a curve."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from edgefinder.geometry.segments import Complexes, Floats

Flags = NDArray[np.bool_]

STRAIGHT_MM: Final = 0.01
"""Points this near to a line lie on it: they were rounded to two decimals of a
millimetre or to three of an inch. Larger: flat curves fall into chords. Smaller:
rounded straight stretches are bent, and so is what joins them."""

FLAT_TURN: Final = np.radians(1.0)
"""A vertex that turns more is no point of a straight stretch, however near it lies."""

STRAIGHT_RADIUS_MM: Final = 5000.0
"""What bends less than this over the whole of a stretch is straight; no tape can tell.
Larger: rounding makes curves. Smaller: flat, closely drawn curves fall into chords."""

LONG_CHORD: Final = 3.0
"""A chord this many times longer than the chords beside it, whose ends turn no more
than the vertices further out, is straight: a curve that went on bending along it would
turn at least twice as much there, and one that ends there half as much. Smaller: the
flat sides of unevenly spaced curves are taken for lines."""

_FIRST_PART: Final = 16


def straight_chords(points: Complexes) -> Flags:
    """Find the straight stretches of an open line given by points.

    Parameters
    ----------
    points : ndarray of complex128, shape (n,)
        In millimetres, n >= 2, neighbours distinct.

    Returns
    -------
    ndarray of bool, shape (n - 1,)
        For each chord whether it belongs to a run of three or more points on a line
        (`STRAIGHT_MM`, `FLAT_TURN`, `STRAIGHT_RADIUS_MM`), or is a long chord
        (`LONG_CHORD`). The only chord of a line of two points is straight.
    """
    chords = np.diff(points)
    if len(chords) == 1:
        return np.ones(1, dtype=np.bool_)
    straight = np.zeros(len(chords), dtype=np.bool_)
    turns = np.abs(np.angle(chords[1:] * np.conj(chords[:-1])))
    for first, last in _flat_runs(points, turns):
        for begin, end in _runs_on_a_line(points, first, last):
            straight[begin:end] = True
    return straight | _long(np.abs(chords), turns)


def _flat_runs(points: Complexes, turns: Floats) -> list[tuple[int, int]]:
    """Return first and last point of every run whose inner vertices are all flat."""
    base = points[2:] - points[:-2]
    length = np.abs(base)
    offset = np.abs(((points[1:-1] - points[:-2]) * np.conj(base)).imag)
    flat = (turns <= FLAT_TURN) & (offset <= STRAIGHT_MM * length)
    edge = np.flatnonzero(np.diff(np.concatenate([[False], flat, [False]])))
    return [(int(a), int(b) + 1) for a, b in edge.reshape(-1, 2)]


def _runs_on_a_line(points: Complexes, first: int, last: int) -> list[tuple[int, int]]:
    """Cut a flat run into stretches that lie on one line; leave out what bends."""
    found = []
    begin = first
    while begin < last - 1:
        end = _reach(points, begin, last)
        if end - begin >= 2 and _is_straight(points[begin : end + 1]):
            found.append((begin, end))
        begin = max(end, begin + 1)
    return found


def _reach(points: Complexes, begin: int, last: int) -> int:
    """Return the last point such that all before it lie near the line to it."""
    # The line from the first point must pass within the tolerance of every point: its
    # direction lies in all their cones. Looked at in parts, as most runs are short.
    low, high = -np.pi, np.pi
    done, size = begin, _FIRST_PART
    along = points[begin + 1] - points[begin]
    while done < last:
        rays = points[done + 1 : min(done + size, last) + 1] - points[begin]
        apart = np.abs(rays)
        angles = np.angle(rays * np.conj(along))
        half = np.arcsin(STRAIGHT_MM / np.maximum(apart, STRAIGHT_MM))
        lows = np.maximum(np.maximum.accumulate(angles - half), low)
        highs = np.minimum(np.minimum.accumulate(angles + half), high)
        wrong = np.flatnonzero((angles < lows) | (angles > highs))
        if len(wrong):
            return done + int(wrong[0])
        low, high = float(lows[-1]), float(highs[-1])
        done += len(rays)
        size *= 2
    return last


def _is_straight(points: Complexes) -> bool:
    base = points[-1] - points[0]
    length = abs(base)
    if length == 0:
        return False
    offset = np.abs(((points - points[0]) * np.conj(base)).imag).max() / length
    return bool(offset * 8 * STRAIGHT_RADIUS_MM <= length * length)


def _long(lengths: Floats, turns: Floats) -> Flags:
    """Find chords between two points only that are lines beside a curve."""
    long = np.ones(len(lengths), dtype=np.bool_)
    long[1:] &= lengths[1:] >= LONG_CHORD * lengths[:-1]
    long[:-1] &= lengths[:-1] >= LONG_CHORD * lengths[1:]
    # turns[j] is the turn between chord j and chord j + 1.
    proof = np.zeros(len(lengths), dtype=np.bool_)
    proof[2:] |= turns[1:] <= turns[:-1]
    proof[:-2] |= turns[:-1] <= turns[1:]
    long[2:] &= turns[1:] <= turns[:-1]
    long[:-2] &= turns[:-1] <= turns[1:]
    return long & proof
