"""Arc length of segments, and the parameter at an arc length.

Lines are measured directly, cubics and conic arcs by Gauss-Legendre rules whose order
is chosen beforehand from the complex roots of the speed (`cubic_lengths`, `conic_lengths`,
`quadrature`): relative errors are near 1e-15, cusps and doubling back included.
"""

from typing import Final

import numpy as np

from edgefinder.geometry.conic_lengths import arc_lengths
from edgefinder.geometry.cubic_lengths import cubic_lengths, stretch
from edgefinder.geometry.segments import Complexes, Floats, Kind, Segments

LENGTH_TOLERANCE: Final = 1e-14
"""Of the whole length: when the parameter at an arc length is good enough."""

_MOST_STEPS: Final = 100
"""Bisection alone needs 53; Newton's steps between them only help."""


def lengths(segments: Segments) -> Floats:
    """Return the arc length of every segment in millimetres, shape (n,)."""
    return lengths_to(segments, np.ones(len(segments)))


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
    control = segments.control
    length = np.empty(len(segments))
    line, cubic, arc = (segments.kind == kind for kind in Kind)
    length[line] = abs(control[line, 1] - control[line, 0]) * t[line]
    d = np.diff(control[cubic]).T
    length[cubic] = cubic_lengths(stretch(d, np.zeros(d.shape[1]), t[cubic]))
    _, u, v, ends = control[arc].T
    start = ends.real
    length[arc] = arc_lengths(u, v, start, start + (ends.imag - start) * t[arc])
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
    Newton's steps on all rows at once, inside a bracket that each step narrows: one that
    leaves it (near a cusp) is replaced by its middle.
    """
    whole = lengths(segments)
    wanted = np.clip(length, 0.0, whole)
    t = np.divide(wanted, whole, out=np.zeros_like(whole), where=whole > 0)
    rows = np.flatnonzero((t > 0) & (t < 1) & (segments.kind != Kind.LINE))
    t[rows] = _newton(segments.take(rows), wanted[rows], whole[rows])
    return t


def _newton(segments: Segments, wanted: Floats, whole: Floats) -> Floats:
    found = wanted / whole
    rows = np.arange(len(segments))
    t = found.copy()
    low, high = np.zeros_like(t), np.ones_like(t)
    for _ in range(_MOST_STEPS):
        excess = lengths_to(segments, t) - wanted
        low = np.where(excess < 0, t, low)
        high = np.where(excess > 0, t, high)
        going = abs(excess) > LENGTH_TOLERANCE * whole
        going &= high - low > np.finfo(float).eps
        found[rows] = t
        keep = np.flatnonzero(going)
        if not keep.size:
            break
        segments, rows = segments.take(keep), rows[keep]
        t, low, high, wanted, whole, excess = (
            x[keep] for x in (t, low, high, wanted, whole, excess)
        )
        speed = _speeds(segments, t)
        step = np.divide(excess, speed, out=np.full_like(t, np.inf), where=speed > 0)
        t = t - step
        t = np.where((t > low) & (t < high), t, (low + high) / 2)
    return found


def _speeds(segments: Segments, t: Floats) -> Floats:
    """Return |dz/dt| of every segment at one parameter each, shape (n,)."""
    control = segments.control
    velocity: Complexes = control[:, 1] - control[:, 0]
    cubic, arc = segments.kind == Kind.CUBIC, segments.kind == Kind.ARC
    d0, d1, d2 = np.diff(control[cubic]).T
    s = t[cubic]
    velocity[cubic] = 3 * (
        d0 * (1 - s) ** 2 + 2 * d1 * s * (1 - s) + d2 * s * s
    )
    _, u, v, ends = control[arc].T
    span = ends.imag - ends.real
    angle = ends.real + span * t[arc]
    velocity[arc] = (v * np.cos(angle) - u * np.sin(angle)) * span
    return abs(velocity)
