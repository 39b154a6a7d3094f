"""Arc length of segments, and the parameter at an arc length.

Lines are measured directly, cubics and conic arcs by Gauss-Legendre rules whose order
is chosen beforehand from the complex roots of the speed (`cubic_lengths`,
`conic_lengths`, `quadrature`): relative errors are near 1e-15, cusps and doubling back
included.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np

from edgefinder.geometry.conic_lengths import arc_lengths_between
from edgefinder.geometry.cubic_lengths import (
    cubic_lengths,
    cubic_lengths_between,
    differences,
)
from edgefinder.geometry.segments import Complexes, Floats, Indices, Kind, Segments

LENGTH_TOLERANCE: Final = 1e-14
"""Part of the whole length to which `parameters_at` keeps; lengths are rounded to
about 1e-15. Smaller: rounding keeps it busy. Larger: digits are given away."""

LENGTHS_CHUNK: Final = 16384
"""Rows of which `lengths` gathers the lines and cubics at once. More: what is gathered
falls out of the cache. Fewer: cubics that have to be cut come one by one."""

INVERSE_CHUNK: Final = 16384
"""Rows of which `parameters_at` takes steps at once."""

_MOST_STEPS: Final = 100
"""Halving alone takes 53; Halley's steps are kept only where they do better."""

_EPSILON: Final = float(np.finfo(np.float64).eps)


@dataclass(frozen=True, slots=True)
class _Ways:
    """How one kind of segment is measured.

    ``between(control, t0, t1)`` is the signed arc length from t0 to t1,
    ``rates(control, t)`` the first two derivatives.
    """

    between: Callable[[Complexes, Floats, Floats], Floats]
    rates: Callable[[Complexes, Floats], tuple[Complexes, Complexes]]


def lengths(segments: Segments) -> Floats:
    """Return the arc length of every segment.

    Parameters
    ----------
    segments : Segments, n rows

    Returns
    -------
    ndarray of float64, shape (n,)
        Millimetres; 0 for a segment that is one point.
    """
    length = np.empty(len(segments))
    for start in range(0, len(segments), LENGTHS_CHUNK):
        some = slice(start, start + LENGTHS_CHUNK)
        _add_lines_and_cubics(segments.take(some), length[some])
    rows, control = _rows_of(segments, Kind.ARC)
    length[rows] = arc_lengths_between(
        control, np.zeros(len(control)), np.ones(len(control))
    )
    return length


def lengths_to(segments: Segments, t: Floats) -> Floats:
    """Return the arc length from the start to parameter t of every segment.

    Parameters
    ----------
    segments : Segments, n rows
    t : ndarray, shape (n,)
        Fraction of the parameter, 0 at the start and 1 at the end.

    Returns
    -------
    ndarray of float64, shape (n,)
        Millimetres.
    """
    return lengths_between(segments, np.zeros(len(segments)), t)


def lengths_between(
    segments: Segments, t0: Floats, t1: Floats, row: Indices | None = None
) -> Floats:
    """Return the arc length from parameter t0 to t1 of segments.

    Parameters
    ----------
    segments : Segments, n rows
    t0, t1 : ndarray, shape (m,)
        Fractions of the parameter.
    row : ndarray of intp, shape (m,), or None
        The segment that each stretch is on; if left out there is one on every segment.

    Returns
    -------
    ndarray of float64, shape (m,)
        Millimetres, negative where t1 < t0.
    """
    row = np.arange(len(segments)) if row is None else row
    kind, control = segments.kind[row], segments.control
    length = np.empty(len(t0))
    own = np.flatnonzero(kind == Kind.LINE)
    sides = control[row[own]]
    length[own] = abs(sides[:, 1] - sides[:, 0]) * (t1[own] - t0[own])
    own = np.flatnonzero(kind == Kind.CUBIC)
    length[own] = cubic_lengths_between(control, t0[own], t1[own], row[own])
    own = np.flatnonzero(kind == Kind.ARC)
    length[own] = arc_lengths_between(control[row[own]], t0[own], t1[own])
    return length


def parameters_at(segments: Segments, length: Floats) -> Floats:
    """Return the parameter at which every segment has run a given arc length.

    Parameters
    ----------
    segments : Segments, n rows
    length : ndarray, shape (n,)
        Millimetres from the start of each; clamped to its own length.

    Returns
    -------
    ndarray of float64, shape (n,)
        Fraction of the parameter, 0 to 1; 0 on a segment without length.

    Notes
    -----
    The arc length at the parameter found differs from the one asked for by at most
    1e-14 of the whole. Near a cusp, where the speed vanishes, the parameter itself has
    half as many digits.
    """
    whole = lengths(segments)
    wanted = np.clip(length, 0.0, whole)
    t = np.divide(wanted, whole, out=np.zeros_like(whole), where=whole > 0)
    for kind, ways in ((Kind.CUBIC, _CUBIC_WAYS), (Kind.ARC, _ARC_WAYS)):
        rows = np.flatnonzero((segments.kind == kind) & (t > 0) & (t < 1))
        for start in range(0, rows.size, INVERSE_CHUNK):
            some = rows[start : start + INVERSE_CHUNK]
            t[some] = _invert(ways, segments.control[some], wanted[some], whole[some])
    return t


def _add_lines_and_cubics(segments: Segments, length: Floats) -> None:
    rows, control = _rows_of(segments, Kind.LINE)
    length[rows] = abs(control[:, 1] - control[:, 0])
    rows, control = _rows_of(segments, Kind.CUBIC)
    length[rows] = cubic_lengths(control)


def _rows_of(segments: Segments, kind: Kind) -> tuple[Indices | slice, Complexes]:
    """Return the rows of one kind, and their control values."""
    rows = np.flatnonzero(segments.kind == kind)
    if rows.size == len(segments):
        return slice(None), segments.control
    return rows, segments.control[rows]


def _invert(ways: _Ways, control: Complexes, wanted: Floats, whole: Floats) -> Floats:
    """Find t by Halley's steps inside a bracket, all rows at once.

    A step that leaves the bracket, or is longer than half of the one before, is
    replaced by halving the bracket: so does `rtsafe` of Press et al., "Numerical
    Recipes", section 9.4. Only the stretch from the last t to the next is measured.
    """
    found = np.empty_like(wanted)
    rows = np.arange(wanted.size)
    t = _first_guess(ways, control, wanted, whole)
    low, high, last = np.zeros_like(t), np.ones_like(t), np.ones_like(t)
    run = ways.between(control, low, t)
    for _ in range(_MOST_STEPS):
        excess = run - wanted
        low = np.where(excess < 0, t, low)
        high = np.where(excess > 0, t, high)
        going = (abs(excess) > LENGTH_TOLERANCE * whole) & (high - low > _EPSILON)
        found[rows] = t
        keep = np.flatnonzero(going)
        if not keep.size:
            break
        if keep.size < t.size:
            control, rows = control[keep], rows[keep]
            t, low, high, last, run, excess, wanted, whole = (
                x[keep] for x in (t, low, high, last, run, excess, wanted, whole)
            )
        step = _step(excess, *ways.rates(control, t))
        proposed = t - step
        is_good = (proposed > low) & (proposed < high) & (abs(step) < last / 2)
        proposed = np.where(is_good, proposed, (low + high) / 2)
        run = run + ways.between(control, t, proposed)
        last = abs(proposed - t)
        t = proposed
    return found


def _first_guess(
    ways: _Ways, control: Complexes, wanted: Floats, whole: Floats
) -> Floats:
    """Return t on the cubic in s that has the right ends and end speeds.

    Slopes are held below 3, where it is known to rise all the way (Fritsch, Carlson,
    "Monotone Piecewise Cubic Interpolation", 1980).
    """
    ends = np.zeros_like(whole), np.ones_like(whole)
    slope0, slope1 = (
        whole / np.maximum(abs(ways.rates(control, t)[0]), whole / 3) for t in ends
    )
    s = wanted / whole
    rest = 1 - s
    return s + s * rest * ((slope0 - 1) * rest - (slope1 - 1) * s)


def _step(excess: Floats, first: Complexes, second: Complexes) -> Floats:
    """Return Halley's step 2 f f'/(2 f'^2 - f f''), where f' = |z'|."""
    square = first.real * first.real + first.imag * first.imag
    along = first.real * second.real + first.imag * second.imag
    below = 2 * square * np.sqrt(square) - excess * along
    none = np.full_like(excess, np.inf)
    return np.divide(2 * excess * square, below, out=none, where=below != 0)


def _cubic_rates(control: Complexes, t: Floats) -> tuple[Complexes, Complexes]:
    """Return z' and z'' of every cubic."""
    d0, d1, d2 = differences(control)
    s = 1 - t
    a, b = d0 * s + d1 * t, d1 * s + d2 * t
    return 3 * (a * s + b * t), 6 * (b - a)


def _arc_rates(control: Complexes, t: Floats) -> tuple[Complexes, Complexes]:
    """Return z' and z'' of every conic arc."""
    _, u, v, ends = control.T
    span = ends.imag - ends.real
    angle = ends.real + span * t
    cos, sin = np.cos(angle), np.sin(angle)
    return (v * cos - u * sin) * span, -(u * cos + v * sin) * span * span


_CUBIC_WAYS: Final = _Ways(cubic_lengths_between, _cubic_rates)
_ARC_WAYS: Final = _Ways(arc_lengths_between, _arc_rates)
