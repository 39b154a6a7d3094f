"""Elliptical arcs of path data: from end points to centre and half-diameters."""

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from edgefinder.geometry.segments import CONTROLS, Complexes, Floats, Kind
from edgefinder.importers.svg.subpath import Row

STRAIGHT_RATIO: Final = 3e-8
"""Ratio of chord to diameter below which an arc bulges less than the rounding of its
own end points (the square root of the machine's epsilon, doubled); it is a line."""

_ROUNDING: Final = 4 * float(np.finfo(np.float64).eps)
"""Share of the coordinates by which rounding moves a chord. One that is a diameter but
for that is one: the centre lies off it by the square root of what is left over."""

_LEAST_RATIO: Final = 1e-150
"""Keeps a large arc between ends that all but coincide from dividing by zero."""


@dataclass(frozen=True, slots=True)
class ArcShape:
    """What an arc command says apart from its end point.

    Parameters
    ----------
    rx, ry : float
        Radii in user units; their signs do not matter.
    tilt : float
        Angle from the x axis to the first radius, radians.
    is_large : bool
        Whether it is the longer way round.
    sweeps : bool
        Whether the angle grows, which is clockwise with y down.
    """

    rx: float
    ry: float
    tilt: float
    is_large: bool
    sweeps: bool


@dataclass(frozen=True, slots=True, eq=False)
class ArcShapes:
    """What n arc commands say apart from their end points; see `ArcShape`.

    Parameters
    ----------
    rx, ry, tilt : ndarray, shape (n,)
    is_large, sweeps : ndarray of bool, shape (n,)
    """

    rx: Floats
    ry: Floats
    tilt: Floats
    is_large: NDArray[np.bool_]
    sweeps: NDArray[np.bool_]


def elliptical_arc(start: complex, shape: ArcShape, end: complex) -> Row | None:
    """Make the row of one elliptical arc; None if both ends are one point.

    See `elliptical_arcs`.
    """
    if start == end:
        return None
    shapes = ArcShapes(
        np.array([shape.rx]),
        np.array([shape.ry]),
        np.array([shape.tilt]),
        np.array([shape.is_large]),
        np.array([shape.sweeps]),
    )
    kind, control = elliptical_arcs(np.array([start]), shapes, np.array([end]))
    p0, p1, p2, p3 = control[0].tolist()
    return (int(kind[0]), p0, p1, p2, p3)


def elliptical_arcs(
    starts: Complexes, shapes: ArcShapes, ends: Complexes
) -> tuple[NDArray[np.uint8], Complexes]:
    """Make the rows of elliptical arcs between points.

    Parameters
    ----------
    starts, ends : ndarray of complex128, shape (n,)
        In user units; the two of an arc differ.
    shapes : ArcShapes
        Radii that are too small are scaled up.

    Returns
    -------
    kind : ndarray of uint8, shape (n,)
        Lines where a radius is zero, or so large that the arc is straight.
    control : ndarray of complex128, shape (n, 4)

    Notes
    -----
    A half turn in one command is ill-conditioned: a radius rounded down in the last
    of three digits moves the middle of the arc by far more than that digit.

    References
    ----------
    SVG 2, appendix B.2.4, "Conversion from endpoint to center parameterization", and
    B.2.5, "Correction of out-of-range radii".
    """
    rx, ry = np.abs(shapes.rx), np.abs(shapes.ry)
    turn = np.exp(1j * shapes.tilt)
    half = (starts - ends) / 2 / turn
    # Zero and endless radii make lines; what else comes of them is not used.
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        ratio = np.hypot(half.real / rx, half.imag / ry)
        is_line = (rx == 0) | (ry == 0) | ~np.isfinite(ratio)
        is_line |= (ratio < STRAIGHT_RATIO) & ~shapes.is_large
        grown = np.maximum(ratio, 1.0)
        rx, ry = rx * grown, ry * grown
        away = np.sqrt(np.maximum((1 - ratio) * (1 + ratio), 0.0))
        away /= np.maximum(ratio, _LEAST_RATIO)
        away = np.where(shapes.is_large == shapes.sweeps, -away, away)
        reach = 1 + (np.abs(starts) + np.abs(ends)) / np.abs(starts - ends)
        away[1 - ratio <= _ROUNDING * reach] = 0
        offset = (rx * half.imag / ry - 1j * (ry * half.real / rx)) * away
        first = _angles_on(half - offset, rx, ry)
        swept = (_angles_on(-half - offset, rx, ry) - first) % math.tau
        swept = np.where(shapes.sweeps, swept, swept - math.tau)
        control = np.empty((len(starts), CONTROLS), dtype=np.complex128)
        control[:, 0] = offset * turn + (starts + ends) / 2
        control[:, 1] = rx * turn
        control[:, 2] = ry * turn * 1j
        control[:, 3] = first + 1j * (first + swept)
    control[is_line] = 0
    control[is_line, 0] = starts[is_line]
    control[is_line, 1] = ends[is_line]
    kind = np.where(is_line, Kind.LINE, Kind.ARC).astype(np.uint8)
    return kind, control


def _angles_on(points: Complexes, rx: Floats, ry: Floats) -> Floats:
    angle: Floats = np.arctan2(points.imag / ry, points.real / rx)
    return angle
