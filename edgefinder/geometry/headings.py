"""Headings and turnings: where a line points, and by how much it turns.

Turning is exact and closed form: for a cubic the sum of the principal turns of the two
factors of its derivative (`cubic_factors`), for a conic arc see `_arc_turnings`.

Notes
-----
Through a true cusp the tangent jumps by half a turn, and to the formula left and
right are alike. Taken here is the side against which the two branches bend, as if the
tip were rounded and not looped: so a simple closed outline turns by one whole turn,
and mirroring or reversing a cubic flips the sign. On a straight line that doubles
back nothing bends; a straight cubic turns by +pi at its first reversal and by -pi at
its second, a flat conic arc by +pi at each tip that it passes forwards.
"""

import numpy as np

from edgefinder.geometry.cubic_factors import (
    PARALLEL,
    ROUNDING,
    CubicFactors,
    control_differences,
    cubic_factors,
)
from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import (
    Complexes,
    Floats,
    Indices,
    Kind,
    Segments,
    cubic_segments,
)

_AHEAD, _BEHIND = 1.0, -1.0


def start_headings(segments: Segments) -> Complexes:
    """Return the unit tangents at the starts, complex, shape (n,).

    Where the first handle has no length the next difference that does not vanish
    gives the direction, which is the limit of the tangent. A point has heading 0.
    """
    return _headings(segments, np.zeros(len(segments)), _AHEAD)


def end_headings(segments: Segments) -> Complexes:
    """Return the unit tangents at the ends, as `start_headings` does."""
    return _headings(segments, np.ones(len(segments)), _BEHIND)


def headings_at(segments: Segments, t: Floats) -> Complexes:
    """Return one unit tangent on every segment.

    Parameters
    ----------
    segments : Segments, n rows
    t : ndarray, shape (n,)
        Fraction of the parameter, 0 at the start and 1 at the end.

    Returns
    -------
    ndarray of complex128, shape (n,)
        At a cusp the direction in which the line leaves it; 0 for a point.
    """
    return _headings(segments, t, np.where(t < 1, _AHEAD, _BEHIND))


def turnings(segments: Segments) -> Floats:
    """Return by how much the tangent turns along every segment, radians, shape (n,).

    Left is positive. See the notes of the module for cusps.
    """
    return turnings_to(segments, np.ones(len(segments)))


def turnings_to(segments: Segments, t: Floats, row: Indices | None = None) -> Floats:
    """Return by how much the tangent turns from the start to t.

    Parameters
    ----------
    segments : Segments, n rows
    t : ndarray, shape (m,)
        Fraction of the parameter. A cusp at exactly t is not yet passed.
    row : ndarray of intp, shape (m,), or None
        The segment that each t is on; if left out there is one on every segment.

    Returns
    -------
    ndarray, shape (m,)
        Radians, left positive, not reduced to one turn.
    """
    if row is None:
        row = np.arange(len(segments))
    kind = segments.kind[row]
    turned = np.zeros(len(t))
    for which, turning in ((Kind.CUBIC, _cubic_turnings), (Kind.ARC, _arc_turnings)):
        places = np.flatnonzero(kind == which)
        if len(places):
            rows = np.flatnonzero(segments.kind == which)
            own = rows.searchsorted(row[places])
            turned[places] = turning(segments.control[rows], t[places], own)
    return turned


def absolute_turnings(segments: Segments) -> Floats:
    """Return a bound of the turning that left and right turns do not cancel in.

    It is exact for lines and arcs. For a cubic it is the sum of the absolute turns of
    the two factors of the derivative: never less than the integral of |k| ds, and
    equal to it where both factors turn the same way.
    """
    bound = np.abs(turnings(segments))
    cubic = segments.kind == Kind.CUBIC
    if cubic.any():
        factored = cubic_factors(segments.control[cubic])
        every = np.arange(len(factored.q))
        first, second = _factor_turnings(factored, np.ones(len(every)), every)
        bound[cubic] = np.where(
            factored.straight, bound[cubic], np.abs(first) + np.abs(second)
        )
    return bound


def joint_turnings(path: Path) -> Floats:
    """Return the angles between each segment and the next, radians, shape (n,).

    Parameters
    ----------
    path : Path

    Returns
    -------
    ndarray, shape (n,)
        Entry i, in (-pi, pi], is the turn from the end of segment i to the start of
        the next one. The last entry is the joint back to the first segment on a
        closed path, and 0 on an open one. Turning straight back is +pi.

    Notes
    -----
    A segment that is a point has no heading; the turn across it stands at the joint
    after it.
    """
    starts, ends = start_headings(path.segments), end_headings(path.segments)
    before = _fill_forward(ends, path.closed)
    turned = jumps(before, np.roll(starts, -1))
    if not path.closed:
        turned[-1:] = 0
    return turned


def jumps(before: Complexes, after: Complexes) -> Floats:
    """Return the angles from unit tangents to others, radians in (-pi, pi].

    0 where either is 0. Turning straight back is +pi.
    """
    product = after * np.conj(before)
    # Rounding of a straight reversal must not choose between +pi and -pi.
    sideways = np.where(np.abs(product.imag) <= PARALLEL, 0.0, product.imag)
    turned: Floats = np.where(product == 0, 0.0, np.arctan2(sideways, product.real))
    return turned


def _fill_forward(headings: Complexes, closed: bool) -> Complexes:
    """Give points the heading of the segment before them; 0 where there is none."""
    count = len(headings)
    known = np.where(headings != 0, np.arange(count), -1)
    latest = np.maximum.accumulate(known)
    if closed and count:
        # Entry -1 wraps round to the last heading that is known, if there is one.
        latest = np.where(latest < 0, latest[-1], latest)
    filled: Complexes = np.where(latest >= 0, headings[latest], 0)
    return filled


def _headings(segments: Segments, t: Floats, side: Floats | float) -> Complexes:
    """Return the limit of the unit tangent from ahead of t or from behind it."""
    first, second, third = _derivatives(segments, t)
    # Near t the tangent is first + side * second * small + third * smaller.
    later: Complexes = np.where(second != 0, side * second, third)
    direction: Complexes = np.where(first != 0, first, later)
    size = np.abs(direction)
    unit: Complexes = direction / np.where(size > 0, size, 1.0)
    return unit


def _derivatives(
    segments: Segments, t: Floats
) -> tuple[Complexes, Complexes, Complexes]:
    """Return three derivatives up to positive factors, with rounding noise set to 0."""
    derivatives = np.zeros((3, len(segments)), dtype=np.complex128)
    noise = np.zeros(len(segments))
    line, cubic, arc = (segments.kind == kind for kind in Kind)

    control = segments.control[line]
    derivatives[0, line] = control[:, 1] - control[:, 0]
    noise[line] = np.abs(control[:, :2]).max(axis=1, initial=0.0)

    control, s = segments.control[cubic], t[cubic]
    d0, d1, d2 = control_differences(control).T
    r = 1 - s
    derivatives[0, cubic] = d0 * r * r + 2 * d1 * r * s + d2 * s * s
    derivatives[1, cubic] = (d1 - d0) * r + (d2 - d1) * s
    derivatives[2, cubic] = d0 - 2 * d1 + d2
    noise[cubic] = np.abs(control).max(axis=1, initial=0.0)

    _, u, v, span = segments.control[arc].T
    angle = span.real * (1 - t[arc]) + span.imag * t[arc]
    way = np.sign(span.imag - span.real)
    derivatives[0, arc] = way * (v * np.cos(angle) - u * np.sin(angle))
    derivatives[1, arc] = -way * way * (u * np.cos(angle) + v * np.sin(angle))
    noise[arc] = np.abs(u) + np.abs(v)

    derivatives[np.abs(derivatives) <= ROUNDING * noise] = 0
    return derivatives[0], derivatives[1], derivatives[2]


def _cubic_turnings(control: Complexes, t: Floats, row: Indices) -> Floats:
    """Return the turning of cubics from their start to t, each on the row named."""
    factored = cubic_factors(control)
    first, second = _factor_turnings(factored, t, row)
    turned = first + second
    places = np.flatnonzero(factored.straight[row])
    if len(places):
        straight = cubic_segments(control[row[places]])
        turned[places] = _straight_turnings(straight, t[places])
    return turned


def _factor_turnings(
    factored: CubicFactors, t: Floats, row: Indices
) -> tuple[Floats, Floats]:
    """Return the turns of both factors from 0 to t, for cubics that are not straight.

    arg(f1(t) conj d0) and arg(f2(t) conj q), vanishing references dropped.
    """
    first = _linear_turnings(factored.d0, factored.q, t, row)
    second = _linear_turnings(factored.q, factored.d2, t, row)
    # A factor through zero turns by half a turn, against the other one. At most one
    # factor does so, else the cubic is straight. Roots at 0 and 1 turn nothing.
    for own, root, other in (
        (first, factored.root1, factored.cross2),
        (second, factored.root2, factored.cross1),
    ):
        at = np.flatnonzero((root < 1)[row])
        passed = (t[at] > root[row[at]]) & (root[row[at]] > 0)
        own[at] = np.pi * np.sign(other[row[at]]) * passed
    return first, second


def _linear_turnings(a: Complexes, b: Complexes, t: Floats, row: Indices) -> Floats:
    """Return the argument of (a (1-t) - b t) conj a, each on the row named."""
    size = a.real * a.real + a.imag * a.imag
    product = b * np.conj(a)
    along = size[row] * (1 - t) - product.real[row] * t
    across = product.imag[row] * -t
    return np.arctan2(across, along)


def _straight_turnings(cubics: Segments, t: Floats) -> Floats:
    """Return pi where a straight cubic runs against its start, else 0."""
    here = _headings(cubics, t, _BEHIND)
    back = (np.conj(start_headings(cubics)) * here).real < 0
    return np.where(back & (t > 0), np.pi, 0.0)


def _arc_turnings(control: Complexes, t: Floats, row: Indices) -> Floats:
    """Return the turning of conic arcs from their start to t, each on the row named.

    The derivative of c + u cos a + v sin a is

        A exp(ia) + B exp(-ia),     A = (v + iu)/2,     B = (v - iu)/2.

    The larger term turns evenly, left for A and right for B, and the rest,
    1 + (smaller/larger) exp(-+2ia), stays within a quarter turn of 1.
    """
    _, u, v, span = control.T
    start, end = span.real, span.imag
    way = np.sign(end - start)
    a, b = (v + 1j * u) / 2, (v - 1j * u) / 2
    # A flat ellipse counts as running left.
    left = np.abs(a) >= np.abs(b) * (1 - PARALLEL)
    sense = np.where(left, 1.0, -1.0)
    larger, smaller = np.where(left, a, b), np.where(left, b, a)
    ratio = smaller / np.where(larger == 0, 1.0, larger)

    def phase(angle: Floats, side: Floats, at: Indices) -> Floats:
        rest = 1 + ratio[at] * np.exp(-2j * sense[at] * angle)
        # At the tip of a flat ellipse: the limit from the side of the arc.
        limit = side[at] * sense[at] * np.pi / 2
        return np.where(np.abs(rest) <= 2 * ROUNDING, limit, np.angle(rest))

    first = phase(start, way, np.arange(len(control)))
    here = start[row] * (1 - t) + end[row] * t
    turned = sense[row] * (here - start[row]) + phase(here, -way, row) - first[row]
    moved = (here != start[row]) & (larger != 0)[row]
    return np.where(moved, turned, 0.0)
