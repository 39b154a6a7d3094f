"""Signed curvature at points, and where along a segment it is largest or smallest.

Positive where the line turns left. For verdicts on tape use the windowed curvature of
`profile`: pointwise curvature at a handle of no length is infinite.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from edgefinder.geometry.cubic_factors import (
    ROUNDING,
    CubicFactors,
    cubic_factors,
)
from edgefinder.geometry.polynomials import derivative, product, sign_changes
from edgefinder.geometry.segments import Complexes, Floats, Indices, Kind, Segments

CIRCULAR: Final = 1e-9
"""Difference of the axes of an ellipse, relative, below which it is a circle.

Larger: slightly flattened circles lose their extremes. Smaller: circles that were
turned or moved get extremes that are rounding.
"""


@dataclass(frozen=True, slots=True, eq=False)
class CurvatureExtremes:
    """Places of extreme curvature, in the order of segments and parameters.

    Parameters
    ----------
    row : ndarray of intp, shape (m,)
        The segment.
    t : ndarray, shape (m,)
        Fraction of its parameter.
    curvature : ndarray, shape (m,)
        Signed, 1/mm.
    """

    row: Indices
    t: Floats
    curvature: Floats


def curvatures_at(segments: Segments, t: Floats) -> Floats:
    """Return the signed curvature at one point of every segment.

    Parameters
    ----------
    segments : Segments, n rows
    t : ndarray, shape (n,)
        Fraction of the parameter.

    Returns
    -------
    ndarray, shape (n,)
        1/mm, positive to the left. 0 on lines and on curves that are straight;
        infinite at a cusp and where a handle of no length makes it so, with the sign
        of the curvature beside it.
    """
    curvature = np.zeros(len(segments))
    cubic = segments.kind == Kind.CUBIC
    if cubic.any():
        curvature[cubic] = _cubic(cubic_factors(segments.control[cubic]), t[cubic])
    arc = segments.kind == Kind.ARC
    if arc.any():
        curvature[arc] = _arc(segments.control[arc], t[arc])
    return curvature


def curvature_extremes(segments: Segments) -> CurvatureExtremes:
    """Find the extremes of signed curvature of every curved segment.

    Parameters
    ----------
    segments : Segments

    Returns
    -------
    CurvatureExtremes
        For each cubic and conic arc its ends and every place between where the
        curvature changes from rising to falling or back, a cusp included; for an arc
        of a circle its start only. Lines have none.

    Notes
    -----
    The places of a cubic are roots of a polynomial of degree 5, those of a conic arc
    the ends of its axes: both without a step size that could miss one.
    """
    cubic = np.flatnonzero(segments.kind == Kind.CUBIC)
    arc = np.flatnonzero(segments.kind == Kind.ARC)
    cubic_row, cubic_t = _cubic_places(segments.control[cubic])
    arc_row, arc_t = _arc_places(segments.control[arc])
    row = np.concatenate([cubic[cubic_row], arc[arc_row]])
    t = np.concatenate([cubic_t, arc_t])
    order = np.lexsort((t, row))
    row, t = row[order], t[order]
    return CurvatureExtremes(row, t, curvatures_at(segments.take(row), t))


def _cubic(factors: CubicFactors, t: Floats) -> Floats:
    """Return curvature as the rate at which both factors turn, over the speed."""
    rate = _turn_rate(factors.cross1, factors.factor1(t))
    rate += _turn_rate(factors.cross2, factors.factor2(t))
    rate[factors.straight] = 0
    speed = np.abs(factors.derivative(t))
    still = speed <= ROUNDING
    curvature = rate / np.where(still, 1.0, 3 * speed * factors.scale)
    endless = still & (rate != 0)
    curvature[endless] = np.copysign(np.inf, rate[endless])
    return curvature


def _turn_rate(cross: Floats, factor: Complexes) -> Floats:
    turning = cross != 0
    size = np.where(turning, np.abs(factor), 1.0)
    rate: Floats = np.where(turning, -cross, 0.0) / size / size
    return rate


def _arc(control: Complexes, t: Floats) -> Floats:
    """Return det(u, v) / |v cos - u sin|^3, with the sign of the way it is run."""
    _, u, v, span = control.T
    angle = span.real * (1 - t) + span.imag * t
    size = np.maximum(np.abs(u), np.abs(v))
    size = np.where(size > 0, size, 1.0)
    a, b = u / size, v / size
    area = (np.conj(a) * b).imag
    flat = np.abs(area) <= ROUNDING
    speed = np.abs(b * np.cos(angle) - a * np.sin(angle))
    speed = np.where(flat, 1.0, speed)
    way = np.sign(span.imag - span.real)
    curvature: Floats = np.where(flat, 0.0, way * area) / speed**3 / size
    return curvature


def _with_ends(inner: Floats) -> tuple[Indices, Floats]:
    """Add 0 and 1 to the places of every row; leave out what fills up the rows."""
    edge = np.zeros((len(inner), 1))
    places = np.concatenate([edge, inner, edge + 1], axis=1)
    kept = (places > 0) & (places < 1)
    kept[:, [0, -1]] = True
    row, column = np.nonzero(kept)
    return row, places[row, column]


def _cubic_places(control: Complexes) -> tuple[Indices, Floats]:
    """Return rows and parameters of the ends and the extremes of cubics.

    With h = z'/3 the curvature is c/|h|^3 but for a factor, where c = cross(h, h')
    is a quadratic. So its derivative has the sign of c' |h|^2 - 3 c Re(conj h h').
    Where h = (t - r) g vanishes, at a cusp or at a handle of no length, c is a
    multiple of (t - r)^2 and that polynomial has (t - r)^3 as a factor, which is
    replaced by t - r: three equal roots could be found to five digits only.
    """
    if not len(control):
        return np.empty(0, dtype=np.intp), np.empty(0)
    factors = cubic_factors(control)
    slope = _smooth_slope(factors)
    root = np.minimum(factors.root1, factors.root2)
    tip = np.flatnonzero(root <= 1)
    slope[tip] = _cusp_slope(factors, root)[tip]
    slope[factors.straight] = 0
    return _with_ends(sign_changes(slope))


def _smooth_slope(factors: CubicFactors) -> Floats:
    """Return c' |h|^2 - 3 c Re(conj h h'), degree 5, shape (n, 6)."""
    d0, d1, d2 = factors.d0, factors.d1, factors.d2
    c = np.stack([_cross(d0, d1), _cross(d0, d2), _cross(d1, d2)], axis=1)
    x = np.stack([d0.real, 2 * d1.real, d2.real], axis=1)
    y = np.stack([d0.imag, 2 * d1.imag, d2.imag], axis=1)
    size = product(x, x) + product(y, y)
    growth = product(x, derivative(x)) + product(y, derivative(y))
    return product(derivative(c), size) - 3 * product(c, growth)


def _cusp_slope(factors: CubicFactors, root: Floats) -> Floats:
    """Return the same without (t - r)^2, raised to degree 5, shape (n, 6).

    With c = e (t - r)^2 it is -e (t - r) (|g|^2 + 3 (t - r) Re(conj g g')).
    """
    d0, d1, d2, q = factors.d0, factors.d1, factors.d2, factors.q
    e = _cross(d0, d1) - _cross(d0, d2) + _cross(d1, d2)
    first = factors.root1 <= 1
    # The factor that does not vanish, up to a constant.
    start, end = np.where(first, q, d0), np.where(first, -d2, -q)
    x = np.stack([start.real, end.real], axis=1)
    y = np.stack([start.imag, end.imag], axis=1)
    t_less_r = np.stack([-root, 1 - root], axis=1)
    size = product(x, x) + product(y, y)
    growth = product(x, derivative(x)) + product(y, derivative(y))
    rest = size + 3 * product(t_less_r, growth)
    slope = -e[:, np.newaxis] * product(t_less_r, rest)  # (n, 4)
    one = np.ones((len(slope), 2))
    return product(product(slope, one), one)


def _arc_places(control: Complexes) -> tuple[Indices, Floats]:
    """Return rows and parameters of the ends and the extremes of conic arcs.

    The derivative A exp(ia) + B exp(-ia) is longest and shortest where
    2a + arg(A conj B) is a multiple of pi: at the ends of the axes.
    """
    _, u, v, span = control.T
    a, b = (v + 1j * u) / 2, (v - 1j * u) / 2
    low = np.minimum(span.real, span.imag)
    high = np.maximum(span.real, span.imag)
    size_a, size_b = np.abs(a), np.abs(b)
    larger = np.maximum(size_a, size_b)
    is_circle = np.minimum(size_a, size_b) <= CIRCULAR * larger
    is_flat = np.abs(size_a - size_b) <= ROUNDING * larger
    phase = np.angle(a * np.conj(b))
    first = np.floor((2 * low + phase) / np.pi).astype(np.intp) + 1
    last = np.ceil((2 * high + phase) / np.pi).astype(np.intp) - 1
    count = np.where(is_circle | is_flat, 0, np.maximum(last - first + 1, 0))
    row = np.repeat(np.arange(len(count)), count)
    step = np.arange(len(row)) - (np.cumsum(count) - count)[row]
    angle = ((first[row] + step) * np.pi - phase[row]) / 2
    t = (angle - span[row].real) / (span[row].imag - span[row].real)
    inside = (t > 0) & (t < 1)
    starts, ends = np.arange(len(count)), np.flatnonzero(~is_circle)
    row = np.concatenate([starts, row[inside], ends])
    t = np.concatenate([np.zeros(len(starts)), t[inside], np.ones(len(ends))])
    return row, t


def _cross(a: Complexes, b: Complexes) -> Floats:
    cross: Floats = (np.conj(a) * b).imag
    return cross
