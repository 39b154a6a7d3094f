"""The scale of a drawing, from its test square.

A printed pattern carries a square of a known side. A drawing that was read at a wrong
scale is scaled by it; one that was stretched on its way cannot be mended, and is
refused.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from edgefinder.constants import MM_PER_INCH, PT_PER_INCH, PX_PER_INCH
from edgefinder.errors import DrawingError
from edgefinder.findings import Finding, note, warning
from edgefinder.importers.drawing import Drawing, DrawnLine, Reading
from edgefinder.importers.interchange.contents import scaled
from edgefinder.pattern.likely_units import is_likely
from edgefinder.pattern.lines import extents
from edgefinder.pattern.square import (
    NEARLY_SQUARE,
    Square,
    drawn_squares,
    named_squares,
)

STRETCHED: Final = 0.005
"""A square whose sides differ by more was stretched. Larger: a centimetre in two metres
passes. Smaller: squares drawn with one decimal of a millimetre fail."""
SAME_SCALE: Final = 0.001
"""A scale this near to a usual one is that one: a square of 50 mm, drawn to 0.05 mm."""
NEAR_SCALE: Final = 0.02
"""A square without a name is a test square if its side is this near to the true one at
a usual scale. Larger: patches are taken for it."""
MAY_BE_STRETCHED: Final = 0.1
"""A rectangle without a name whose sides differ by more is no stretched square."""
RIGHT_ANGLE: Final = math.radians(1.0)

_INCH_96: Final = "96 units to the inch"
_INCH_72: Final = "72 units to the inch"
USUAL_SCALES: Final = (
    (1.0, "right as it is"),
    (PX_PER_INCH / PT_PER_INCH, f"{_INCH_72}, taken for 96"),
    (PT_PER_INCH / PX_PER_INCH, f"{_INCH_96}, taken for 72"),
    (PX_PER_INCH / 90, "90 units to the inch, taken for 96"),
    (90 / PX_PER_INCH, f"{_INCH_96}, taken for 90"),
    (MM_PER_INCH, "inches, taken for millimetres"),
    (1 / MM_PER_INCH, "millimetres, taken for inches"),
    (10.0, "centimetres, taken for millimetres"),
    (0.1, "millimetres, taken for centimetres"),
    (2.54, "inches, taken for centimetres"),
    (1 / 2.54, "centimetres, taken for inches"),
    (PX_PER_INCH / MM_PER_INCH, f"millimetres, taken for {_INCH_96}"),
    (MM_PER_INCH / PX_PER_INCH, f"{_INCH_96}, taken for millimetres"),
    (PT_PER_INCH / MM_PER_INCH, f"millimetres, taken for {_INCH_72}"),
    (MM_PER_INCH / PT_PER_INCH, f"{_INCH_72}, taken for millimetres"),
    (10 * PX_PER_INCH / MM_PER_INCH, f"centimetres, taken for {_INCH_96}"),
    (float(PX_PER_INCH), f"inches, taken for {_INCH_96}"),
    (float(PT_PER_INCH), f"inches, taken for {_INCH_72}"),
    (1000.0, "metres, taken for millimetres"),
    (0.001, "millimetres, taken for metres"),
)
"""What a drawing is multiplied by, and what was the matter. Some programs wrote 90
units to the inch (from memory); the others are the units of files and screens."""

_NAME_IT: Final = 'give the right one, and only that, the id or the label "test square"'


@dataclass(frozen=True, slots=True, eq=False)
class Scaled:
    """A drawing at the scale that its test square asks for, and that square."""

    reading: Reading
    square: tuple[DrawnLine, ...]


def scale_by_square(reading: Reading, side: float) -> Scaled:
    """Scale a drawing so that its test square has its true side.

    Parameters
    ----------
    reading : Reading
    side : float
        Of the test square, in millimetres.

    Returns
    -------
    Scaled
        With a finding that says what scale was applied.

    Raises
    ------
    DrawingError
        If there is no test square, if several squares say different scales, or if
        the square was stretched.

    Notes
    -----
    A scale within one part in a thousand of a usual one is taken to be that one: the
    coordinates of the square were rounded.
    """
    drawing = reading.drawing
    square, is_named = _the_square(drawing, side)
    if square.stretched > STRETCHED:
        otherwise = "" if is_named else f"; if this is not the test square, {_NAME_IT}"
        raise DrawingError(
            f"{square.where}: the test square is {_stretched(square)}; export it again "
            f"with one scale for both directions{otherwise}"
        )
    scale = side / square.side
    usual, reason = _usual(scale)
    if reason and abs(scale / usual - 1) <= SAME_SCALE:
        scale = usual
    made = scaled(drawing, scale)
    chosen = tuple(
        line
        for line, before in zip(made.lines, drawing.lines, strict=True)
        if before in square.lines
    )
    said = _applied(square, side, scale, reason)
    return Scaled(Reading(made, (*reading.findings, said)), chosen)


def square_findings(drawing: Drawing) -> tuple[Finding, ...]:
    """Compare test squares that say their side with the scale of the drawing."""
    findings = []
    for named in named_squares(drawing):
        if not named.stated:
            continue
        square = named.square
        if square.stretched > NEARLY_SQUARE:
            continue
        side = min(named.stated, key=lambda one: abs(math.log(one / square.side)))
        if all(abs(drawn / side - 1) <= STRETCHED for drawn in square.sides):
            continue
        if square.stretched > STRETCHED:
            what = _stretched(square)
        else:
            _, reason = _usual(side / square.side)
            guess = f" (the drawing may have {reason})" if reason else ""
            what = (
                f'{square.side:.2f} mm{guess}; --test-square "{side:g} mm" or '
                "test_square in the job file scales the drawing by it"
            )
        message = f"the test square says {side:g} mm and is {what}"
        findings.append(warning("test-square", square.where, message))
    return tuple(findings)


def _stretched(square: Square) -> str:
    long, short = square.sides
    angle = square.stretches[2]
    if min(angle, 180 - angle) < 1:
        way = "from side to side"
    elif abs(angle - 90) < 1:
        way = "up and down"
    else:
        way = f"along {angle:.0f} degrees"
    return (
        f"{long:.2f} by {short:.2f} mm: the drawing has been stretched by "
        f"{100 * square.stretched:.1f} % {way}"
    )


def _applied(square: Square, side: float, scale: float, reason: str) -> Finding:
    drawn = f"the test square is {square.side:.5g} mm and should be {side:g} mm"
    if scale == 1:
        message = f"the test square is {side:g} mm as it should be: not scaled"
        return note("test-square", square.where, message)
    if reason and reason != USUAL_SCALES[0][1]:
        message = f"scaled by {scale:.6g}: {drawn} ({reason})"
        return note("test-square", square.where, message)
    message = f"scaled by {scale:.6g}: {drawn}; that is no usual mistake of units"
    return warning("test-square", square.where, message)


def _usual(scale: float) -> tuple[float, str]:
    """Return the usual scale nearest to one, with its words if it is near."""
    usual, reason = min(USUAL_SCALES, key=lambda one: abs(math.log(one[0] / scale)))
    return usual, reason if abs(scale / usual - 1) <= NEAR_SCALE else ""


def _the_square(drawing: Drawing, side: float) -> tuple[Square, bool]:
    """Find the test square; say whether it is called so."""
    named = named_squares(drawing)
    stating = [one for one in named if _states(one.stated, side)]
    if named:
        return _agreed([one.square for one in stating or named], side), True
    right = [square for square in drawn_squares(drawing) if _has_right_angles(square)]
    even = [square for square in right if square.stretched <= STRETCHED]
    likely = [square for square in even if _usual(side / square.side)[1]]
    if not likely:
        likely = [square for square in right if _may_be_stretched(square, side)]
    if not likely:
        raise DrawingError(
            f"{drawing.name}: there is no square of {side:g} mm, nor one at a usual "
            f"wrong scale; {_NAME_IT}"
        )
    fitting = [square for square in likely if _fits(drawing, side / square.side)]
    return _agreed(fitting or likely, side), False


def _states(stated: Sequence[float], side: float) -> bool:
    return any(abs(one / side - 1) <= SAME_SCALE for one in stated)


def _agreed(squares: Sequence[Square], side: float) -> Square:
    """Return the first of some squares, if they say one scale.

    A square of 1 in and one of 5 cm may stand side by side; the one counts that is
    right as it is, else the one that is at a usual scale.
    """
    near = [
        s for s in squares if abs(side / s.side / _nearest(s, side) - 1) < STRETCHED
    ]
    right = [s for s in near if abs(side / s.side - 1) <= STRETCHED]
    chosen = right or near or squares
    scales = [side / square.side for square in chosen]
    if max(scales) / min(scales) - 1 > STRETCHED:
        listed = ", ".join(
            f"{square.side:.4g} mm ({square.lines[0].where})" for square in chosen[:4]
        )
        raise DrawingError(
            f"{chosen[0].lines[0].where}: several squares may be the test square: "
            f"{listed}; {_NAME_IT}"
        )
    return chosen[0]


def _nearest(square: Square, side: float) -> float:
    return _usual(side / square.side)[0]


def _has_right_angles(square: Square) -> bool:
    first, second = np.diff(square.corners[:3])
    return bool(abs(abs(np.angle(second / first)) - math.pi / 2) <= RIGHT_ANGLE)


def _may_be_stretched(square: Square, side: float) -> bool:
    return square.stretched <= MAY_BE_STRETCHED and any(
        _usual(side / drawn)[1] for drawn in square.sides
    )


def _fits(drawing: Drawing, scale: float) -> bool:
    """Whether a scale brings the largest closed line to the size of a piece."""
    closed = [line.path for line in drawing.lines if line.path.closed]
    return bool(closed) and is_likely(float(extents(closed).max()) * scale)
