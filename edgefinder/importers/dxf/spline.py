"""Splines to segments: exact up to degree 3, to a tolerance beyond that.

The Bezier points of a span are values of the spline's blossom at the two ends of the
span, whatever stands in the knot vector outside of it. So clamped, unclamped, periodic
and uneven knots are all one case, and none needs a knot inserted.
"""

from dataclasses import dataclass
from math import comb
from typing import Final

import numpy as np

from edgefinder.geometry.segments import (
    Complexes,
    Floats,
    Indices,
    Segments,
    arc_segments,
    concatenate,
    cubic_segments,
    line_segments,
    quadratic_segments,
)

SPLINE_TOLERANCE_MM: Final = 0.001
"""How far a cubic may lie from the spline it stands for: a fiftieth of the join
tolerance. Smaller: more cubics, nothing that scissors could show."""

HIGHEST_DEGREE: Final = 25
"""Drawing programs write 1 to 11; binomials of much higher degrees lose digits."""

WIDEST_WEIGHTS: Final = 1e6
"""Largest ratio of two weights of a spline: beyond it the file is damaged."""

PARABOLA_SLACK: Final = 1e-8
"""A middle weight nearer to 1 is taken as 1. Larger: flat arcs become parabolas that
differ from them by as much of their height. Smaller: arcs that are nearly parabolas
have their centres so far off that their points lose more digits than that."""

STRAIGHT: Final = 1e-12
"""A handle nearer to the chord, in chords, is rounding."""

_SAMPLES: Final = np.linspace(0.0, 1.0, 18)[1:-1]
"""Where a cubic is compared with its spline; the error of two-point Hermite fits has
few extremes, so sixteen places miss little of it."""

_MOST_HALVINGS: Final = 30

_WRAP: Final = 24
"""Points repeated before and after a closed row: what an end does to a cubic through
points fades by 2 - sqrt(3) a point, here to 2e-14."""


@dataclass(frozen=True, slots=True, eq=False)
class Spline:
    """A B-spline of the plane.

    Parameters
    ----------
    degree : int
    knots : ndarray, shape (n + degree + 1,)
    points : ndarray of complex128, shape (n,)
        Control points.
    weights : ndarray, shape (n,), or None
        None if the spline is not rational.
    """

    degree: int
    knots: Floats
    points: Complexes
    weights: Floats | None

    @property
    def fault(self) -> str | None:
        """What is wrong with it, as the end of a sentence, or None."""
        count, degree = len(self.points), self.degree
        if not 1 <= degree <= HIGHEST_DEGREE:
            return f"has degree {degree}, not 1 to {HIGHEST_DEGREE}"
        if count <= degree:
            return f"has {count} control points, fewer than degree {degree} needs"
        if len(self.knots) != count + degree + 1:
            return f"has {len(self.knots)} knots instead of {count + degree + 1}"
        if (np.diff(self.knots) < 0).any() or self.knots[degree] == self.knots[count]:
            return "has knots that do not increase"
        return self._fault_of_weights()

    def _fault_of_weights(self) -> str | None:
        weights, count = self.weights, len(self.points)
        if weights is None:
            return None
        if len(weights) != count:
            return f"has {len(weights)} weights for {count} control points"
        if weights.min() <= 0 or weights.max() > WIDEST_WEIGHTS * weights.min():
            return "has weights that are not positive, or too far apart"
        return None


def spline_segments(spline: Spline, tolerance: float) -> tuple[Segments, bool]:
    """Turn a spline without `Spline.fault` into segments.

    Parameters
    ----------
    spline : Spline
    tolerance : float
        Largest distance from the spline where it is not exact, in its own unit.

    Returns
    -------
    Segments
    bool
        Whether they are exact: of degree 1 to 3 and not rational, or of degree 2 with
        weights that make every span a line, a parabola or an arc of an ellipse.
    """
    weights = spline.weights
    if weights is not None and weights.min() == weights.max():
        weights = None
    if weights is None:
        control = _bezier_points(spline, spline.points)
        if spline.degree == 1:
            return line_segments(control[:, 0], control[:, 1]), True
        if spline.degree == 2:
            return quadratic_segments(control), True
        if spline.degree == 3:
            return cubic_segments(control), True
        return _fitted(control, np.ones_like(control), tolerance)[0], False
    weighted = _bezier_points(spline, spline.points * weights)
    parts = _bezier_points(spline, weights.astype(np.complex128))
    if spline.degree == 2:
        return _conics(weighted, parts, tolerance)
    return _fitted(weighted, parts, tolerance)[0], False


def _conics(
    weighted: Complexes, weights: Complexes, tolerance: float
) -> tuple[Segments, bool]:
    """Turn rational quadratics into exact segments, and the rest into cubics.

    References
    ----------
    L. Piegl and W. Tiller, The NURBS Book, 2nd edition 1997, section 7.3: with weights
    1, w, 1 the curve is an arc of an ellipse for w < 1, a parabola for w = 1 and an
    arc of a hyperbola for w > 1. For the circle w is the cosine of half the angle of
    the arc, and an affine map makes any ellipse of it.
    """
    points = weighted / weights
    # The middle weight when the parameter is chosen so that the outer ones are 1.
    middle = weights[:, 1].real / np.sqrt(weights[:, 0].real * weights[:, 2].real)
    chord, handle = points[:, 2] - points[:, 0], points[:, 1] - points[:, 0]
    along = np.divide(handle, chord, out=np.full_like(chord, 1j), where=chord != 0)
    straight = (abs(along.imag) <= STRAIGHT) & (along.real >= 0) & (along.real <= 1)
    parabola = ~straight & (abs(middle - 1) <= PARABOLA_SLACK)
    ellipse = ~straight & ~parabola & (middle < 1)
    rest = ~(straight | parabola | ellipse)
    tables = [
        line_segments(points[straight, 0], points[straight, 2]),
        quadratic_segments(points[parabola]),
        _ellipses(points[ellipse], middle[ellipse]),
    ]
    spans = [np.flatnonzero(chosen) for chosen in (straight, parabola, ellipse)]
    if rest.any():
        fitted, of_rest = _fitted(weighted[rest], weights[rest], tolerance)
        tables.append(fitted)
        spans.append(np.flatnonzero(rest)[of_rest])
    order = np.argsort(np.concatenate(spans), kind="stable")
    return concatenate(tables).take(order), not rest.any()


def _ellipses(points: Complexes, middle: Floats) -> Segments:
    """Return the arcs with control points of shape (m, 3) and weights 1, w, 1."""
    half_angle = np.arccos(middle)
    sine = np.sqrt(1 - middle * middle)
    foot = (points[:, 0] + points[:, 2]) / 2
    # In the frame of the circle the ends are (cos, -sin) and (cos, sin) of the half
    # angle a, and their tangents meet at (1 / cos a, 0).
    u = (points[:, 1] - foot) * (middle / (sine * sine))
    v = (points[:, 2] - points[:, 0]) / (2 * sine)
    return arc_segments(foot - u * middle, u, v, -half_angle, half_angle)


def _bezier_points(spline: Spline, values: Complexes) -> Complexes:
    """Return the Bezier points of every span that is not empty, shape (m, degree + 1).

    References
    ----------
    L. Ramshaw, Blossoms are polar forms, Computer Aided Geometric Design 6, 1989,
    323-358: point j is the blossom at degree - j times the start of the span and
    j times its end.
    """
    degree, knots = spline.degree, spline.knots
    spans = np.arange(degree, len(spline.points))
    spans = spans[knots[spans] < knots[spans + 1]]
    local = values[spans[:, np.newaxis] + np.arange(-degree, 1)]
    columns = [
        _blossom(knots, spans, local, [spans + (r < j) for r in range(degree)])
        for j in range(degree + 1)
    ]
    return np.stack(columns, axis=1)


def _blossom(
    knots: Floats, spans: Indices, local: Complexes, arguments: list[Indices]
) -> Complexes:
    """Run de Boor's triangle with one argument a level, each a knot by its index."""
    degree = len(arguments)
    values = local
    for level, argument in enumerate(arguments, start=1):
        i = np.arange(level, degree + 1)
        low = knots[spans[:, np.newaxis] - degree + i]
        high = knots[spans[:, np.newaxis] + 1 + i - level]
        share = (knots[argument][:, np.newaxis] - low) / (high - low)
        values = (1 - share) * values[:, :-1] + share * values[:, 1:]
    return values[:, 0]


def _fitted(
    weighted: Complexes, weights: Complexes, tolerance: float
) -> tuple[Segments, Indices]:
    """Fit cubics to rational Bezier curves, halving those that miss.

    Parameters
    ----------
    weighted : ndarray of complex128, shape (m, degree + 1)
        Control points times their weights.
    weights : ndarray of complex128, shape (m, degree + 1)
        Without imaginary part.
    tolerance : float

    Returns
    -------
    Segments
    ndarray of intp
        For each of them the row that it stands for.
    """
    start = np.arange(len(weights), dtype=np.float64)
    width = 1.0
    starts, cubics = [], []
    for halving in range(_MOST_HALVINGS + 1):
        fit = _hermite(weighted, weights.real)
        good = _miss(fit, weighted, weights.real) <= tolerance
        if halving == _MOST_HALVINGS:
            good[:] = True
        starts.append(start[good])
        cubics.append(fit[good])
        weighted, weights, start = weighted[~good], weights[~good], start[~good]
        if not len(start):
            break
        width /= 2
        weighted, weights = _halves(weighted), _halves(weights)
        start = np.concatenate([start, start + width])
    at = np.concatenate(starts)
    order = np.argsort(at)
    return cubic_segments(np.concatenate(cubics)[order]), at[order].astype(np.intp)


def _hermite(weighted: Complexes, weights: Floats) -> Complexes:
    """Return the cubics with the same ends and end derivatives, shape (m, 4)."""
    degree = weights.shape[1] - 1
    ends = weighted[:, [0, -1]] / weights[:, [0, -1]]
    inner = weighted[:, [1, -2]] / weights[:, [1, -2]]
    speed = degree * weights[:, [1, -2]] / weights[:, [0, -1]]
    handles = ends + (inner - ends) * speed / 3
    return np.stack([ends[:, 0], handles[:, 0], handles[:, 1], ends[:, 1]], axis=1)


def _miss(cubics: Complexes, weighted: Complexes, weights: Floats) -> Floats:
    """Return how far each cubic lies from its curve, at the most."""
    basis = _bernstein(weights.shape[1] - 1)
    curve = (weighted @ basis) / (weights @ basis)
    miss: Floats = np.abs(cubics @ _bernstein(3) - curve).max(axis=1)
    return miss


def _bernstein(degree: int) -> Floats:
    i = np.arange(degree + 1)[:, np.newaxis]
    binomials = np.array([[comb(degree, k)] for k in range(degree + 1)], dtype=float)
    basis: Floats = binomials * _SAMPLES**i * (1 - _SAMPLES) ** (degree - i)
    return basis


def _halves(control: Complexes) -> Complexes:
    """Cut m Bezier curves in the middle (de Casteljau): m first halves, m second."""
    left, right = [control[:, 0]], [control[:, -1]]
    while control.shape[1] > 1:
        control = (control[:, :-1] + control[:, 1:]) / 2
        left.append(control[:, 0])
        right.append(control[:, -1])
    return np.concatenate([np.stack(left, axis=1), np.stack(right[::-1], axis=1)])


def cubics_through(
    points: Complexes,
    *,
    closed: bool = False,
    tangents: tuple[complex | None, complex | None] = (None, None),
) -> Segments:
    """Draw the smooth line through a row of points.

    Parameters
    ----------
    points : ndarray of complex128, shape (n,)
        At least two different ones; a point equal to the one before is left out.
    closed : bool
        Whether the line returns to the first point.
    tangents : pair of complex or None
        Directions at the two ends; None leaves the end free of bending.

    Returns
    -------
    Segments
        One cubic between two neighbours; their second derivatives agree at the points
        when measured by chord length.
    """
    if closed and points[0] == points[-1]:
        points = points[:-1]
    if not closed:
        return _through(points[np.append(True, np.diff(points) != 0)], tangents)
    points = points[points != np.roll(points, 1)]
    count = len(points)
    around = points[np.arange(-_WRAP, count + _WRAP + 1) % count]
    return _through(around, (None, None)).take(slice(_WRAP, _WRAP + count))


def _through(
    points: Complexes, tangents: tuple[complex | None, complex | None]
) -> Segments:
    step = np.diff(points)
    chord = np.abs(step)
    slope = step / chord
    # Continuity of the second derivative in the slopes m at the points (C. de Boor,
    # A Practical Guide to Splines, 1978, chapter IV): below, on and above the diagonal.
    below = np.append(chord[1:], 1.0)
    above = np.append(1.0, chord[:-1])
    diagonal = np.concatenate([[2.0], 2 * (chord[:-1] + chord[1:]), [2.0]])
    right = np.concatenate(
        [
            3 * slope[:1],
            3 * (chord[1:] * slope[:-1] + chord[:-1] * slope[1:]),
            3 * slope[-1:],
        ]
    )
    for end, off, tangent in ((0, above, tangents[0]), (-1, below, tangents[1])):
        if tangent:
            diagonal[end], off[end], right[end] = 1.0, 0.0, tangent / abs(tangent)
    m = _tridiagonal(below, diagonal, above, right)
    third = chord / 3
    first, last = points[:-1], points[1:]
    return cubic_segments(
        np.stack([first, first + m[:-1] * third, last - m[1:] * third, last], axis=1)
    )


def _tridiagonal(
    below: Floats, diagonal: Floats, above: Floats, right: Complexes
) -> Complexes:
    """Solve a system with a dominant diagonal (Thomas's elimination)."""
    pivots, values = diagonal.tolist(), right.tolist()
    low, high = below.tolist(), above.tolist()
    for i in range(1, len(pivots)):
        factor = low[i - 1] / pivots[i - 1]
        pivots[i] -= factor * high[i - 1]
        values[i] -= factor * values[i - 1]
    values[-1] /= pivots[-1]
    for i in range(len(pivots) - 2, -1, -1):
        values[i] = (values[i] - high[i] * values[i + 1]) / pivots[i]
    return np.array(values, dtype=np.complex128)
