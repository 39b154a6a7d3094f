"""Lines, cubics and conic arcs in one table.

A line is P0, P1. A cubic is four control points. A conic arc is
P(t) = c + u cos t + v sin t for t from t0 to t1, with free vectors u and v: every
circle, ellipse and elliptical arc, and closed under every affine map.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum
from typing import Any, Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

Complexes = NDArray[np.complex128]
Floats = NDArray[np.float64]
Indices = NDArray[np.intp]


class Kind(IntEnum):
    """What a row of the table holds in its four control values."""

    LINE = 0
    """P0, P1, unused, unused"""
    CUBIC = 1
    """P0, P1, P2, P3"""
    ARC = 2
    """c, u, v, t0 + i t1"""


CONTROLS: Final = 4


@dataclass(frozen=True, slots=True, eq=False)
class Segments:
    """A table of segments, in drawing order.

    Parameters
    ----------
    kind : ndarray of uint8, shape (n,)
        One `Kind` per segment.
    control : ndarray of complex128, shape (n, 4)
        Control values in millimetres, as `Kind` says (angles in radians).
    """

    kind: NDArray[np.uint8]
    control: Complexes

    def __post_init__(self) -> None:
        kind = _locked(self.kind, np.uint8)
        control = _locked(self.control, np.complex128).reshape(-1, CONTROLS)
        if kind.shape != (len(control),):
            raise ValueError("one kind per row of control values is needed")
        object.__setattr__(self, "kind", kind)
        object.__setattr__(self, "control", control)

    def __len__(self) -> int:
        return len(self.kind)

    def take(self, rows: ArrayLike | slice) -> "Segments":
        """Return the rows named, in that order, as a table of their own."""
        chosen = rows if isinstance(rows, slice) else np.asarray(rows)
        return Segments(self.kind[chosen], self.control[chosen])


def _locked(values: ArrayLike, dtype: type[np.generic]) -> NDArray[Any]:
    """Copy values that could still be changed; what is locked already is shared."""
    array = np.asarray(values, dtype=dtype)
    if array.flags.writeable:
        array = array.copy()
        array.flags.writeable = False
    return array


def _table(kind: Kind, control: Complexes) -> Segments:
    return Segments(np.full(len(control), kind, dtype=np.uint8), control)


def line_segments(starts: ArrayLike, ends: ArrayLike) -> Segments:
    """Make straight segments.

    Parameters
    ----------
    starts, ends : complex array_like, shape (n,)
        Points in millimetres.
    """
    start = np.atleast_1d(np.asarray(starts, dtype=np.complex128))
    control = np.zeros((len(start), CONTROLS), dtype=np.complex128)
    control[:, 0] = start
    control[:, 1] = ends
    return _table(Kind.LINE, control)


def cubic_segments(control: ArrayLike) -> Segments:
    """Make cubics from control points, complex, shape (n, 4), in millimetres."""
    return _table(
        Kind.CUBIC, np.asarray(control, dtype=np.complex128).reshape(-1, CONTROLS)
    )


def quadratic_segments(control: ArrayLike) -> Segments:
    """Raise quadratics to cubics, exactly.

    Parameters
    ----------
    control : complex array_like, shape (n, 3)
        Control points in millimetres.
    """
    p0, p1, p2 = np.asarray(control, dtype=np.complex128).reshape(-1, 3).T
    # Degree elevation: the inner points lie two thirds of the way to P1.
    return cubic_segments(
        np.stack([p0, p0 + (p1 - p0) * (2 / 3), p2 + (p1 - p2) * (2 / 3), p2], axis=1)
    )


def arc_segments(
    centres: ArrayLike, u: ArrayLike, v: ArrayLike, t0: ArrayLike, t1: ArrayLike
) -> Segments:
    """Make conic arcs c + u cos t + v sin t, t from t0 to t1.

    Parameters
    ----------
    centres, u, v : complex array_like, shape (n,)
        Centre and the two conjugate half-diameters in millimetres.
    t0, t1 : float array_like, shape (n,)
        Parameters in radians; t1 < t0 runs the other way round.
    """
    centre = np.atleast_1d(np.asarray(centres, dtype=np.complex128))
    control = np.empty((len(centre), CONTROLS), dtype=np.complex128)
    control[:, 0] = centre
    control[:, 1] = u
    control[:, 2] = v
    control[:, 3] = np.asarray(t0) + 1j * np.asarray(t1)
    return _table(Kind.ARC, control)


def circle(centre: complex, radius: float) -> Segments:
    """Make a full circle, anticlockwise from its rightmost point."""
    return arc_segments(centre, radius, 1j * radius, 0.0, 2 * np.pi)


def concatenate(tables: Sequence[Segments]) -> Segments:
    """Put tables one after the other."""
    if not tables:
        return Segments(
            np.empty(0, dtype=np.uint8), np.empty((0, CONTROLS), dtype=np.complex128)
        )
    kind = np.concatenate([table.kind for table in tables])
    control = np.concatenate([table.control for table in tables])
    kind.flags.writeable = control.flags.writeable = False
    return Segments(kind, control)


def reverse(segments: Segments) -> Segments:
    """Run the same line the other way: last segment first, each turned round."""
    control = segments.control[::-1].copy()
    kind = segments.kind[::-1]
    line, cubic, arc = (kind == k for k in Kind)
    control[line, :2] = control[line, 1::-1]
    control[cubic] = control[cubic, ::-1]
    spans = control[arc, 3]
    control[arc, 3] = spans.imag + 1j * spans.real
    return Segments(kind, control)


def start_points(segments: Segments) -> Complexes:
    """Return the first point of every segment, complex, shape (n,)."""
    points = segments.control[:, 0].copy()
    arc = segments.kind == Kind.ARC
    points[arc] = _conic(segments.control[arc], segments.control[arc, 3].real)
    return points


def end_points(segments: Segments) -> Complexes:
    """Return the last point of every segment, complex, shape (n,)."""
    points = segments.control[:, 3].copy()
    line = segments.kind == Kind.LINE
    arc = segments.kind == Kind.ARC
    points[line] = segments.control[line, 1]
    points[arc] = _conic(segments.control[arc], segments.control[arc, 3].imag)
    return points


def points_at(segments: Segments, t: Floats) -> Complexes:
    """Return one point on every segment.

    Parameters
    ----------
    segments : Segments, n rows
    t : ndarray, shape (n,)
        Fraction of the parameter, 0 at the start and 1 at the end.

    Returns
    -------
    ndarray of complex128, shape (n,)
    """
    control, kind = segments.control, segments.kind
    points = np.empty(len(segments), dtype=np.complex128)
    line, cubic, arc = (kind == k for k in Kind)
    p, s = control[line], t[line]
    points[line] = p[:, 0] * (1 - s) + p[:, 1] * s
    p, s = control[cubic], t[cubic]
    r = 1 - s
    points[cubic] = (
        p[:, 0] * r**3
        + 3 * p[:, 1] * r * r * s
        + 3 * p[:, 2] * r * s * s
        + p[:, 3] * s**3
    )
    p, s = control[arc], t[arc]
    points[arc] = _conic(p, p[:, 3].real * (1 - s) + p[:, 3].imag * s)
    return points


def split(segments: Segments, t0: Floats, t1: Floats) -> Segments:
    """Cut the stretch from t0 to t1 out of every segment, exactly.

    Parameters
    ----------
    segments : Segments, n rows
    t0, t1 : ndarray, shape (n,)
        Fractions of the parameter, 0 <= t0 <= t1 <= 1.
    """
    control = segments.control.copy()
    line, cubic, arc = (segments.kind == k for k in Kind)
    p, a, b = segments.control[line], t0[line], t1[line]
    control[line, 0] = p[:, 0] * (1 - a) + p[:, 1] * a
    control[line, 1] = p[:, 0] * (1 - b) + p[:, 1] * b
    p, a, b = segments.control[cubic], t0[cubic], t1[cubic]
    # The blossom of the cubic gives the control points of any stretch of it.
    for column, (x, y, z) in enumerate(((a, a, a), (a, a, b), (a, b, b), (b, b, b))):
        control[cubic, column] = _blossom(p, x, y, z)
    span, a, b = segments.control[arc, 3], t0[arc], t1[arc]
    control[arc, 3] = (span.real * (1 - a) + span.imag * a) + 1j * (
        span.real * (1 - b) + span.imag * b
    )
    return Segments(segments.kind, control)


def _conic(control: Complexes, angle: Floats) -> Complexes:
    point: Complexes = (
        control[:, 0] + control[:, 1] * np.cos(angle) + control[:, 2] * np.sin(angle)
    )
    return point


def _blossom(p: Complexes, x: Floats, y: Floats, z: Floats) -> Complexes:
    q0 = p[:, 0] * (1 - x) + p[:, 1] * x
    q1 = p[:, 1] * (1 - x) + p[:, 2] * x
    q2 = p[:, 2] * (1 - x) + p[:, 3] * x
    r0, r1 = q0 * (1 - y) + q1 * y, q1 * (1 - y) + q2 * y
    point: Complexes = r0 * (1 - z) + r1 * z
    return point
