"""The line that was meant by a stretch of noisy points.

A straight line where all points lie on one but for their noise, else a smooth curve
whose window follows its radius: noise then moves the curvature by the same share
everywhere. With noise sigma, spacing h and window W its standard deviation is
26.8 sigma sqrt(h) / W^2.5, so that W grows with the power 0.4 of the radius. On an
ellipse a power of 1/3 would count equal parts of its parameter, in which both
coordinates are sines; this is near enough for an ellipse to keep its shape.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from edgefinder.geometry.dense_stretches import Stretch
from edgefinder.geometry.point_rows import PointRows, point_rows
from edgefinder.geometry.segments import (
    Complexes,
    Floats,
    Segments,
    cubic_segments,
    line_segments,
)
from edgefinder.geometry.smoothing_spline import (
    curvatures,
    fit_splines,
    spline_segments,
)

Flags = NDArray[np.bool_]

CURVATURE_NOISE: Final = 26.8
"""Noise of curvature times W^2.5 / (sigma sqrt(spacing)), W the window: sqrt(720), that
of a parabola fitted to the points of the window."""

WANTED_ERROR: Final = 0.02
"""Relative noise of curvature that windows are chosen for; the blurred tangents do
better still. Smaller: wider windows, tight ends are blunted. Larger: the sharpest
place of a curve is noise."""

LONGEST_SHARE: Final = 2.0
"""A window is at most this many radii long: beyond, a bend has turned round in it."""

SHORTEST_WINDOW_MM: Final = 10.0
"""About one width of tape."""

WINDOW_STEPS: Final = 5.0
"""And no shorter than this many steps from point to point."""

LONGEST_WINDOW_MM: Final = 120.0
"""Bends nothing that a tape could feel, and keeps the work small."""

WIDENING: Final = 0.5
"""How much a window may widen per length of line. Larger: the curve is overshot where
a line meets an arc. Smaller: the flat sides of ellipses are read in short windows."""

FIRST_RADIUS_MM: Final = 40.0
"""The first round looks for bends like this one."""

ROUNDS: Final = 3

STRAIGHT_SURE: Final = 4.0
"""A stretch is bent if a parabola or a cubic or quartic is, by this many standard
deviations of its size."""

STRAIGHT_SPREAD: Final = 1.3
"""Or if its points lie further from the line than their noise, by this factor."""

FEWEST_INNER: Final = 3
"""A stretch of fewer points between its corners is a straight line."""

ORDERS: Final = 5
"""Polynomials of degree 0 to 4 that a stretch is looked at with."""

SINGULAR: Final = 1e-9
"""Added to sums of squares of 1 and more."""


@dataclass(frozen=True, slots=True, eq=False)
class SmoothStretch:
    """A smooth line.

    Parameters
    ----------
    segments : Segments
        k rows.
    tangents : Segments
        k rows whose tangents are those of the line, at the same parameters.
    vertex : ndarray, shape (k,)
        Where each begins, counted in sides of the run.
    """

    segments: Segments
    tangents: Segments
    vertex: Floats


def smooth_stretches(stretches: Sequence[Stretch]) -> list[SmoothStretch]:
    """Smooth stretches, all in the same few numpy calls."""
    short = [len(stretch.own) - 2 < FEWEST_INNER for stretch in stretches]
    straight = [
        line and not stretch.is_closed
        for stretch, line in zip(stretches, short, strict=True)
    ]
    long = [
        i
        for i, stretch in enumerate(stretches)
        if not short[i] and stretch.own[0] != stretch.own[-1]
    ]
    for i, line in zip(long, _are_straight([stretches[i] for i in long]), strict=True):
        straight[i] = line
    curved = [
        stretch for stretch, line in zip(stretches, straight, strict=True) if not line
    ]
    curves = iter(_curves(curved))
    return [
        _straight(stretch) if line else next(curves)
        for stretch, line in zip(stretches, straight, strict=True)
    ]


def _straight(stretch: Stretch) -> SmoothStretch:
    line = line_segments(stretch.own[0], stretch.own[-1])
    return SmoothStretch(line, line, stretch.vertex[:1])


def _are_straight(stretches: Sequence[Stretch]) -> list[bool]:
    """Whether all points of a stretch lie on a line but for their noise."""
    if not stretches:
        return []
    rows = point_rows([stretch.own for stretch in stretches])
    owner, size = rows.owner, len(stretches)
    first, last = rows.bounds[:-1], rows.bounds[1:] - 1
    chord = rows.points[last] - rows.points[first]
    length = np.abs(chord)
    turned = (rows.points - rows.points[first][owner]) * np.conj(chord / length)[owner]
    x, y = 2 * turned.real / length[owner] - 1, turned.imag
    inner = np.ones(len(x), dtype=np.bool_)
    inner[first], inner[last] = False, False
    x, y, owner = x[inner], y[inner], owner[inner]
    count = np.bincount(owner, minlength=size)
    noise = np.array([stretch.run.noise for stretch in stretches])
    size_of, unsure, spread = _polynomials(x, y, owner, count)
    # The noise of a few points is not known well; what is left of them tells more.
    seen = np.sqrt(np.maximum(noise**2, spread))
    bent = np.abs(size_of) > STRAIGHT_SURE * seen[:, np.newaxis] * unsure
    free = np.maximum(count - ORDERS, 1)
    wide = spread > (STRAIGHT_SPREAD * noise * (1 + 1.5 / np.sqrt(free))) ** 2
    result: list[bool] = (~bent.any(axis=1) & ~wide).tolist()
    return result


def _polynomials(
    x: Floats, y: Floats, owner: NDArray[np.intp], count: NDArray[np.intp]
) -> tuple[Floats, Floats, Floats]:
    """Fit Legendre polynomials to each stretch.

    Returns
    -------
    coefficients, deviations : ndarray, shape (m, 3)
        Of degrees 2 to 4, 0 where there are too few points for one; and their
        standard deviations for noise 1.
    spread : ndarray, shape (m,)
        Mean square of what is left, 0 where nothing can be left.
    """
    size = len(count)
    basis = np.polynomial.legendre.legvander(x, ORDERS - 1).T
    normal = np.zeros((size, ORDERS, ORDERS))
    right = np.zeros((size, ORDERS))
    for a in range(ORDERS):
        right[:, a] = np.bincount(owner, basis[a] * y, size)
        for b in range(a, ORDERS):
            normal[:, a, b] = np.bincount(owner, basis[a] * basis[b], size)
            normal[:, b, a] = normal[:, a, b]
    unused = np.arange(ORDERS) >= np.maximum(count - 1, 0)[:, np.newaxis]
    normal[unused[:, :, np.newaxis] | unused[:, np.newaxis, :]] = 0.0
    # Points that all lie at one place of the chord do not tell degrees apart.
    normal[:, range(ORDERS), range(ORDERS)] += unused + SINGULAR
    right[unused] = 0.0
    covariance = np.linalg.inv(normal)
    coefficients = np.einsum("mab,mb->ma", covariance, right)
    deviations = np.sqrt(covariance[:, range(2, ORDERS), range(2, ORDERS)])
    left = np.bincount(owner, y * y, size) - (coefficients * right).sum(axis=1)
    free = count - ORDERS
    spread = np.where(free > 0, left / np.maximum(free, 1), 0.0)
    return coefficients[:, 2:], deviations, spread


def _curves(stretches: Sequence[Stretch]) -> list[SmoothStretch]:
    if not stretches:
        return []
    rows = point_rows([stretch.points for stretch in stretches])
    owner = rows.owner
    begin = rows.bounds[:-1] + [stretch.begin for stretch in stretches]
    end = rows.bounds[:-1] + [stretch.end for stretch in stretches]
    opened = np.array([not stretch.is_closed for stretch in stretches])
    windows = _windows(rows, stretches, np.full(len(owner), 1 / FIRST_RADIUS_MM))
    splines, u = fit_splines(rows, windows)
    for _ in range(ROUNDS - 1):
        bends = curvatures(splines, owner, u)
        splines, u = fit_splines(rows, _windows(rows, stretches, bends))
    segments, tangents, bounds, starts = spline_segments(splines, u[begin], u[end])
    control = segments.control.copy()
    _move_ends(control, bounds, rows.points[begin], rows.points[end], opened)
    found = []
    for i, stretch in enumerate(stretches):
        own = slice(bounds[i], bounds[i + 1])
        found.append(
            SmoothStretch(
                cubic_segments(control[own]),
                tangents.take(own),
                np.interp(starts[own], u[begin[i] : end[i] + 1], stretch.vertex),
            )
        )
    return found


def _windows(rows: PointRows, stretches: Sequence[Stretch], bends: Floats) -> Floats:
    """Return the window for a curvature at every point."""
    owner = rows.owner
    noise = np.array([stretch.run.noise for stretch in stretches])
    spacing = np.array([stretch.run.spacing for stretch in stretches])
    radius = 1 / np.maximum(np.abs(bends), 1 / (100 * LONGEST_WINDOW_MM))
    unit = (CURVATURE_NOISE * noise * np.sqrt(spacing) / WANTED_ERROR)[owner]
    wanted = np.minimum((unit * radius) ** 0.4, LONGEST_SHARE * radius)
    least = np.maximum(SHORTEST_WINDOW_MM, WINDOW_STEPS * spacing)[owner]
    wanted = np.clip(wanted, least, np.maximum(least, LONGEST_WINDOW_MM))
    # Nowhere wider than a neighbour's window and what may be added up to here.
    far = LONGEST_WINDOW_MM + least.max() + WIDENING * rows.along.max()
    way = WIDENING * rows.along + 2 * far * owner
    wanted = np.minimum.accumulate(wanted - way) + way
    wider: Floats = np.minimum.accumulate((wanted + way)[::-1])[::-1] - way
    return wider


def _move_ends(
    control: Complexes,
    bounds: NDArray[np.intp],
    first: Complexes,
    last: Complexes,
    opened: Flags,
) -> None:
    """Let curves meet their ends, or themselves, to the last digit, handles too."""
    heads, tails = bounds[:-1], bounds[1:] - 1
    shift = np.where(opened, first - control[heads, 0], 0)
    control[heads, :2] += shift[:, np.newaxis]
    shift = np.where(opened, last, control[heads, 0]) - control[tails, 3]
    control[tails, 2:] += shift[:, np.newaxis]
    control[tails, 3] = np.where(opened, last, control[heads, 0])
    control[heads, 0] = np.where(opened, first, control[heads, 0])
