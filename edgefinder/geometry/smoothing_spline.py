"""Smooth curves that run past noisy points, at a scale of their own at every place.

Each row of points gets a cubic spline f that keeps the sum of |z - f|^2 and of its
third differences small. Its parameter counts windows, du = ds/W: where the window W
is short the curve follows the points closely. The third difference of a circle or an
ellipse is small against its curvature, so that such curves come out at their own size,
where averaging would shrink them.

A spline of this kind overshoots where a line meets an arc. So tangents are read from
a second spline, whose coefficients are averaged with binomial weights once more. Its
points are not used, as they lie inside of every bend.

References
----------
P. Eilers, B. Marx, Flexible smoothing with B-splines and penalties, Statistical
Science 11 (1996), pages 89 to 121.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from edgefinder.geometry.banded import BANDS, solve_banded
from edgefinder.geometry.point_rows import PointRows, running_sums
from edgefinder.geometry.segments import (
    Complexes,
    Floats,
    Indices,
    Segments,
    cubic_segments,
    split,
)

KNOTS_PER_WINDOW: Final = 5.0
"""Intervals of the spline in one window. Fewer: the spline itself limits what it can
follow. More: time."""

CUTOFF: Final = 6.63
"""Angular frequency, in radians per window, that comes through at half its height.

A smoother whose third difference is held passes 1/(1 + (frequency/cutoff)^6), which
leaves noise sigma sqrt(h) 0.236 cutoff^2.5 in the curvature; at this cutoff that is
26.8 / W^2.5, the figure of a parabola fitted to all points of the window.
"""

STIFFNESS: Final = (KNOTS_PER_WINDOW / CUTOFF) ** 6
"""Weight of third differences against points of weight 1 a knot interval."""

END_STIFFNESS: Final = 30.0
STIFF_ENDS: Final = 2
"""The third differences nearest to both ends weigh this much more: nothing beyond the
end holds the curve there, and its curvature would follow the noise."""

FEWEST_INTERVALS: Final = 3

BLURS: Final = 2
"""Rounds of averaging (1, 2, 1)/4 for tangents, each of variance 1/2 knot^2. Fewer:
curvature overshoots beside a straight line (by 15 % with none, half of that with two).
More: the tight ends of ellipses are blunted."""

SLIVER: Final = 1e-3
"""A shorter part of a knot interval is left out where a curve is cut."""


@dataclass(frozen=True, slots=True, eq=False)
class Splines:
    """One cubic spline for each row of points.

    Parameters
    ----------
    coefficients : ndarray of complex128, shape (n,)
        Of uniform cubic B-splines, in millimetres; K + 3 for K intervals.
    blurred : ndarray of complex128, shape (n,)
        Those of the curve that gives the tangents.
    bounds : ndarray of intp, shape (m + 1,)
        Where the coefficients of each row begin.
    """

    coefficients: Complexes
    blurred: Complexes
    bounds: Indices

    @property
    def intervals(self) -> Indices:
        """Number of intervals of every spline, shape (m,)."""
        count: Indices = np.diff(self.bounds) - (BANDS - 1)
        return count


def fit_splines(rows: PointRows, windows: Floats) -> tuple[Splines, Floats]:
    """Put smooth curves past rows of points.

    Parameters
    ----------
    rows : PointRows
        At least two points each.
    windows : ndarray, shape (n,)
        The window at every point, in millimetres.

    Returns
    -------
    Splines
    ndarray, shape (n,)
        The parameter of every point.
    """
    u, splines_at = _parameters(rows, windows)
    weights = _weights(rows, u)
    owner = rows.owner
    interval, basis = _basis(u, np.diff(splines_at)[owner] - (BANDS - 1))
    first = splines_at[owner] + interval
    size = int(splines_at[-1])
    bands = _stiffness(splines_at)
    values = np.zeros(size, dtype=np.complex128)
    for a in range(BANDS):
        part = weights * basis[a]
        values.real += np.bincount(first + a, part * rows.points.real, size)
        values.imag += np.bincount(first + a, part * rows.points.imag, size)
        for b in range(a, BANDS):
            bands[:, b - a] += np.bincount(first + a, part * basis[b], size)
    coefficients = solve_banded(bands, values, splines_at)
    return Splines(coefficients, _blur(coefficients, splines_at), splines_at), u


def curvatures(splines: Splines, owner: Indices, u: Floats) -> Floats:
    """Return the curvature of splines at parameters, in 1/mm.

    Parameters
    ----------
    splines : Splines
    owner : ndarray of intp, shape (n,)
        Which spline.
    u : ndarray, shape (n,)

    Returns
    -------
    ndarray, shape (n,)
        Turning of the tangent (of the blurred spline) per length of the spline.
    """
    interval, t = _intervals(u, splines.intervals[owner])
    first = splines.bounds[owner] + interval
    speed = np.abs(_slope(splines.coefficients, first, t))
    velocity = _slope(splines.blurred, first, t)
    c0, c1, c2, c3 = (splines.blurred[first + a] for a in range(BANDS))
    bend = (c0 - 2 * c1 + c2) * (1 - t) + (c1 - 2 * c2 + c3) * t
    moving = np.where(velocity == 0, 1.0, velocity)
    turning: Floats = np.where(velocity == 0, 0.0, (bend / moving).imag)
    return turning / np.where(speed > 0, speed, 1.0)


def spline_segments(
    splines: Splines, begins: Floats, ends: Floats
) -> tuple[Segments, Segments, Indices, Floats]:
    """Return stretches of splines as cubics.

    Parameters
    ----------
    splines : Splines, m of them
    begins, ends : ndarray, shape (m,)
        The parameters to cut at.

    Returns
    -------
    segments : Segments
    tangents : Segments
        Row by row the cubic whose tangents are those of the smoothed line.
    bounds : ndarray of intp, shape (m + 1,)
        Where the rows of each spline begin.
    starts : ndarray, shape (rows,)
        Parameter at the start of every row.
    """
    first = np.floor(begins + SLIVER).astype(np.intp)
    last = np.ceil(ends - SLIVER).astype(np.intp)
    counts = np.maximum(last - first, 1)
    bounds = np.concatenate([[0], np.cumsum(counts)])
    owner = np.repeat(np.arange(len(counts)), counts)
    interval = np.arange(len(owner)) - bounds[:-1][owner] + first[owner]
    t0 = np.clip(begins[owner] - interval, 0.0, 1.0)
    t1 = np.clip(ends[owner] - interval, t0, 1.0)
    t0, t1 = np.where(t0 < SLIVER, 0.0, t0), np.where(t1 > 1 - SLIVER, 1.0, t1)
    at = splines.bounds[owner] + interval
    segments, tangents = (
        split(cubic_segments(_control(values, at)), t0, t1)
        for values in (splines.coefficients, splines.blurred)
    )
    return segments, tangents, bounds, interval + t0


def _parameters(rows: PointRows, windows: Floats) -> tuple[Floats, Indices]:
    """Return the parameter of every point and where coefficients begin."""
    slowness = KNOTS_PER_WINDOW / windows
    steps = rows.steps.copy()
    steps[1:] *= (slowness[1:] + slowness[:-1]) / 2
    u = running_sums(steps, rows.bounds, rows.owner)
    total = u[rows.bounds[1:] - 1]
    intervals = np.maximum(np.rint(total), FEWEST_INTERVALS)
    u *= (intervals / np.where(total > 0, total, 1.0))[rows.owner]
    bounds = np.zeros(len(rows.bounds), dtype=np.intp)
    bounds[1:] = np.cumsum(intervals.astype(np.intp) + BANDS - 1)
    return u, bounds


def _weights(rows: PointRows, u: Floats) -> Floats:
    """Return half the parameter between the neighbours of every point."""
    half = np.diff(u) / 2
    half[rows.bounds[1:-1] - 1] = 0.0  # from one row to the next
    weights = np.zeros(len(u))
    weights[:-1] += half
    weights[1:] += half
    return weights


def _intervals(u: Floats, count: Indices) -> tuple[Indices, Floats]:
    interval = np.clip(u.astype(np.intp), 0, count - 1)
    return interval, u - interval


def _basis(u: Floats, count: Indices) -> tuple[Indices, Floats]:
    """Return the interval of every parameter and its four B-splines, shape (4, n)."""
    interval, t = _intervals(u, count)
    r = 1 - t
    basis = np.stack(
        [
            r**3,
            3 * t**3 - 6 * t**2 + 4,
            3 * r**3 - 6 * r**2 + 4,
            t**3,
        ]
    )
    return interval, basis / 6


def _stiffness(bounds: Indices) -> Floats:
    """Return the bands of the sum of squared third differences."""
    count = np.diff(bounds) - (BANDS - 1)
    owner = np.repeat(np.arange(len(count)), count)
    start = np.concatenate([[0], np.cumsum(count)[:-1]])
    nth = np.arange(len(owner)) - start[owner]
    from_end = np.minimum(nth, count[owner] - 1 - nth)
    weight = np.where(from_end < STIFF_ENDS, END_STIFFNESS, 1.0) * STIFFNESS
    at = bounds[:-1][owner] + nth
    bands = np.zeros((int(bounds[-1]), BANDS))
    difference = (-1.0, 3.0, -3.0, 1.0)
    for a in range(BANDS):
        for b in range(a, BANDS):
            bands[at + a, b - a] += weight * difference[a] * difference[b]
    return bands


def _blur(coefficients: Complexes, bounds: Indices) -> Complexes:
    first, last = bounds[:-1], bounds[1:] - 1
    c = coefficients
    for _ in range(BLURS):
        blurred = c.copy()
        blurred[1:-1] = (c[:-2] + 2 * c[1:-1] + c[2:]) / 4
        # Beyond the ends the parabola through the last three goes on.
        blurred[first] = (5 * c[first] - 2 * c[first + 1] + c[first + 2]) / 4
        blurred[last] = (5 * c[last] - 2 * c[last - 1] + c[last - 2]) / 4
        c = blurred
    return c


def _slope(coefficients: Complexes, first: Indices, t: Floats) -> Complexes:
    c0, c1, c2, c3 = (coefficients[first + a] for a in range(BANDS))
    r = 1 - t
    slope: Complexes = (
        (c1 - c0) * r * r + (c2 - c1) * (1 + 2 * r * t) + (c3 - c2) * t * t
    ) / 2
    return slope


def _control(coefficients: Complexes, first: Indices) -> Complexes:
    """Return the control points of the cubics on intervals, shape (n, 4)."""
    c0, c1, c2, c3 = (coefficients[first + a] for a in range(BANDS))
    return np.stack(
        [
            (c0 + 4 * c1 + c2) / 6,
            (2 * c1 + c2) / 3,
            (c1 + 2 * c2) / 3,
            (c1 + 4 * c2 + c3) / 6,
        ],
        axis=1,
    )
