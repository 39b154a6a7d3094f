"""What a drawing unit may be, where its scale cannot be right."""

from dataclasses import dataclass
from typing import Final

from edgefinder.constants import (
    LARGEST_PIECE_MM,
    MM_PER_FOOT,
    MM_PER_INCH,
    PT_PER_INCH,
    PX_PER_INCH,
    SMALLEST_PIECE_MM,
)
from edgefinder.units import Unit, format_length

USUAL_PIECE_MM: Final = (50.0, 1500.0)
"""Across the largest piece of most patterns: from a bib to a coat (common practice)."""

MOST_NAMED: Final = 3
"""Units named in one line; the most likely ones stand first."""


@dataclass(frozen=True, slots=True)
class LikelyUnit:
    """A unit that brings the largest piece to a likely size; lengths in mm."""

    name: str
    unit_mm: float
    largest: float


UNITS: Final = (
    ("millimetres", 1.0),
    ("inches", MM_PER_INCH),
    ("centimetres", 10.0),
    ("points, 72 to the inch", MM_PER_INCH / PT_PER_INCH),
    ("pixels, 96 to the inch", MM_PER_INCH / PX_PER_INCH),
    ("metres", 1000.0),
    ("feet", MM_PER_FOOT),
)
"""Units of drawing programs, the usual ones first."""


def is_likely(largest: float) -> bool:
    """Whether the largest piece of a pattern may be so many millimetres across."""
    return SMALLEST_PIECE_MM <= largest <= LARGEST_PIECE_MM


def likely_units(largest: float, unit_mm: float) -> tuple[LikelyUnit, ...]:
    """Find the units that bring the largest piece to a likely size.

    Parameters
    ----------
    largest : float
        Millimetres across the largest piece, with the unit that was used.
    unit_mm : float
        That unit.

    Returns
    -------
    tuple of LikelyUnit
        Those that give a usual size first.
    """
    count = largest / unit_mm
    likely = [
        LikelyUnit(name, size, count * size)
        for name, size in UNITS
        if is_likely(count * size)
    ]
    low, high = USUAL_PIECE_MM
    likely.sort(key=lambda unit: not low <= unit.largest <= high)
    return tuple(likely)


def say_units(largest: float, unit_mm: float) -> str:
    """Word what the drawing unit may be, and how to say so."""
    likely = likely_units(largest, unit_mm)[:MOST_NAMED]
    how = 'give the true unit with --unit-mm or in the job file (drawing_unit = "1 in")'
    if not likely:
        return f"no usual unit makes a pattern of it; {how}"
    listed = ", or ".join(
        f"--unit-mm {unit.unit_mm:.6g} ({unit.name}: "
        f"{format_length(unit.largest, Unit.MILLIMETRE)} across)"
        for unit in likely
    )
    return f"{how}: likely is {listed}"
