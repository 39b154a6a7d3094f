"""Elliptical arcs of path data: from end points to centre and half-diameters."""

import cmath
import math
from dataclasses import dataclass
from typing import Final

from edgefinder.importers.svg.subpath import Row, conic, line

STRAIGHT_RATIO: Final = 3e-8
"""Ratio of chord to diameter below which an arc bulges less than the rounding of its
own end points (the square root of the machine's epsilon, doubled); it is a line."""

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


def elliptical_arc(start: complex, shape: ArcShape, end: complex) -> Row | None:
    """Make the row of an elliptical arc between two points.

    Parameters
    ----------
    start, end : complex
        In user units.
    shape : ArcShape
        Radii that are too small are scaled up.

    Returns
    -------
    Row or None
        A line if a radius is zero, None if both ends are one point.

    Notes
    -----
    A half turn in one command is ill-conditioned: a radius rounded down in the last
    of three digits moves the middle of the arc by far more than that digit.

    References
    ----------
    SVG 2, appendix B.2.4, "Conversion from endpoint to center parameterization", and
    B.2.5, "Correction of out-of-range radii".
    """
    if start == end:
        return None
    rx, ry = abs(shape.rx), abs(shape.ry)
    if rx == 0 or ry == 0:
        return line(start, end)
    turn = cmath.rect(1.0, shape.tilt)
    half = (start - end) / 2 / turn
    ratio = math.hypot(half.real / rx, half.imag / ry)
    is_straight = ratio < STRAIGHT_RATIO and not shape.is_large
    if is_straight or not math.isfinite(ratio):
        return line(start, end)
    offset = 0j
    if ratio >= 1:
        rx, ry = rx * ratio, ry * ratio
    else:
        away = math.sqrt((1 - ratio) * (1 + ratio)) / max(ratio, _LEAST_RATIO)
        away = -away if shape.is_large == shape.sweeps else away
        offset = complex(rx * half.imag / ry, -ry * half.real / rx) * away
    first = _angle_on(half - offset, rx, ry)
    swept = (_angle_on(-half - offset, rx, ry) - first) % math.tau
    if not shape.sweeps:
        swept -= math.tau
    return conic(
        offset * turn + (start + end) / 2,
        rx * turn,
        ry * turn * 1j,
        (first, first + swept),
    )


def _angle_on(point: complex, rx: float, ry: float) -> float:
    return math.atan2(point.imag / ry, point.real / rx)
