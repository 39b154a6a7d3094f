"""The place on a path that is nearest to a point."""

from typing import Final

import numpy as np

from edgefinder.geometry.arclength import lengths_to
from edgefinder.geometry.measured import MeasuredPath
from edgefinder.geometry.segments import (
    Complexes,
    Floats,
    Indices,
    Kind,
    Segments,
    points_at,
)

SAMPLES: Final = 32
"""Places looked at on each curve before the best one is refined. Fewer: on a curve that
doubles back the wrong arm is taken."""

CANDIDATES: Final = 4
"""Chords that are refined: the nearest one need not belong to the nearest arm."""

_STEPS: Final = 40
"""Golden sections: each leaves 0.62 of the interval, 40 of them 4e-9."""

_GOLDEN: Final = (np.sqrt(5) - 1) / 2

_TOGETHER: Final = 200_000
"""Distances computed in one go; more of them only cost memory."""


def nearest_stations(
    measured: MeasuredPath, points: Complexes
) -> tuple[Floats, Floats]:
    """Find for each point the nearest place on a path.

    Parameters
    ----------
    measured : MeasuredPath
    points : ndarray of complex128, shape (m,)

    Returns
    -------
    stations : ndarray, shape (m,)
        Arc length from the start of the path in millimetres.
    distances : ndarray, shape (m,)
        From the points to the path.

    Notes
    -----
    Exact on lines, to 1e-8 of the length of a segment on curves. On a hook that bends
    within one of `SAMPLES` parts of its curve a foot that is little further off may be
    found.
    """
    segments = measured.path.segments
    # A line needs two samples only as brackets; its refinement is exact anyway.
    counts = np.where(segments.kind == Kind.LINE, 1, SAMPLES)
    row = np.repeat(np.arange(len(segments)), counts)
    cell = np.arange(len(row)) - np.repeat(np.cumsum(counts) - counts, counts)
    low, high = cell / counts[row], (cell + 1) / counts[row]
    tables = segments.take(row)
    starts, ends = points_at(tables, low), points_at(tables, high)
    best = np.empty((len(points), min(CANDIDATES, len(row))), dtype=np.intp)
    step = max(_TOGETHER // len(row), 1)
    for first in range(0, len(points), step):
        some = points[first : first + step, np.newaxis]
        order = np.argsort(_to_chords(some, starts, ends), axis=1, kind="stable")
        best[first : first + step] = order[:, : best.shape[1]]
    place = np.repeat(points, best.shape[1])
    cells = best.ravel()
    t = _refined(measured, place, row[cells], low[cells], high[cells])
    apart = np.abs(points_at(segments.take(row[cells]), t) - place)
    nearest = apart.reshape(best.shape).argmin(axis=1)
    chosen = np.arange(len(points)) * best.shape[1] + nearest
    rows = row[cells[chosen]]
    along = lengths_to(segments.take(rows), t[chosen])
    return measured.stations[rows] + along, apart[chosen]


def _feet(points: Complexes, starts: Complexes, ends: Complexes) -> Floats:
    """Return where on chords the points nearest to points lie, as shares of them."""
    chord = ends - starts
    square = (chord * np.conj(chord)).real
    share = ((points - starts) * np.conj(chord)).real / np.where(square > 0, square, 1)
    return np.clip(share, 0, 1)


def _to_chords(points: Complexes, starts: Complexes, ends: Complexes) -> Floats:
    foot = starts + _feet(points, starts, ends) * (ends - starts)
    distances: Floats = np.abs(points - foot)
    return distances


def _refined(
    measured: MeasuredPath,
    points: Complexes,
    row: Indices,
    low: Floats,
    high: Floats,
) -> Floats:
    """Narrow down the parameter: at once on lines, by golden sections on curves."""
    segments = measured.path.segments.take(row)
    middle = _feet(points, segments.control[:, 0], segments.control[:, 1])
    curved = np.flatnonzero(segments.kind != Kind.LINE)
    if len(curved):
        middle[curved] = _on_curves(
            segments.take(curved), points[curved], low[curved], high[curved]
        )
    apart = np.abs(points_at(segments, middle) - points)
    # The ends of a segment are exact: a vertex is found as one.
    for end in (0.0, 1.0):
        at_end = np.full(len(row), end)
        to_end = np.abs(points_at(segments, at_end) - points)
        middle = np.where(to_end <= apart, at_end, middle)
        apart = np.minimum(to_end, apart)
    return middle


def _on_curves(
    curves: Segments, points: Complexes, low: Floats, high: Floats
) -> Floats:
    step = (high - low) / 2
    a, b = np.maximum(low - step, 0), np.minimum(high + step, 1)

    def off(t: Floats) -> Floats:
        distances: Floats = np.abs(points_at(curves, t) - points)
        return distances

    for _ in range(_STEPS):
        c, d = b - _GOLDEN * (b - a), a + _GOLDEN * (b - a)
        left = off(c) < off(d)
        a, b = np.where(left, a, c), np.where(left, d, b)
    middle: Floats = (a + b) / 2
    return middle
