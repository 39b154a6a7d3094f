"""The unit of an interchange file, from what it says and how large its pieces are."""

from collections.abc import Iterator
from types import MappingProxyType
from typing import Final

from edgefinder.constants import MM_PER_INCH, SMALLEST_PIECE_MM
from edgefinder.errors import DrawingError, one_line
from edgefinder.findings import Finding, note, warning
from edgefinder.importers.interchange.keys import plain_key

LARGEST_PIECE_MM: Final = 2500.0
"""Pieces are about 2 to 250 cm (common practice)."""

USUAL_LEAST_MM: Final = 100.0
"""The largest piece of a pattern is rarely smaller; it decides only between units that
a file names both."""

UNIT_WORDS: Final = MappingProxyType(
    {
        "metric": 1.0,
        "mm": 1.0,
        "millimeter": 1.0,
        "millimetre": 1.0,
        "millimeters": 1.0,
        "millimetres": 1.0,
        "cm": 10.0,
        "centimeter": 10.0,
        "centimetre": 10.0,
        "centimeters": 10.0,
        "centimetres": 10.0,
        "english": MM_PER_INCH,
        "imperial": MM_PER_INCH,
        "in": MM_PER_INCH,
        "inch": MM_PER_INCH,
        "inches": MM_PER_INCH,
    }
)
"""Values of the key Units: METRIC and ENGLISH in the standard, the others seen."""

LIKELY_UNITS: Final = MappingProxyType(
    {1.0: "millimetre", 10.0: "centimetre", MM_PER_INCH: "inch", 0.1: "1/10 mm"}
)
"""What programs write, the most usual first."""


def choose_unit(
    name: str,
    units: str | None,
    largest: float,
    *,
    header_mm: float | None,
    unit_mm: float | None,
) -> tuple[float, tuple[Finding, ...]]:
    """Decide how many millimetres a drawing unit has.

    Parameters
    ----------
    name : str
        File name, for messages.
    units : str or None
        Value of the key Units.
    largest : float
        Extent of the largest piece in drawing units.
    header_mm : float or None
        What the header says; None if it says nothing.
    unit_mm : float or None
        What the person says; it wins.

    Returns
    -------
    float
        Millimetres per drawing unit.
    tuple of Finding
        What was applied, if the file says something else or nothing.

    Raises
    ------
    DrawingError
        If no likely unit makes pieces of a likely size.
    """
    if unit_mm is not None:
        return unit_mm, ()
    stated = None if units is None else UNIT_WORDS.get(plain_key(units))
    named = [unit for unit in (stated, header_mm) if unit is not None]
    for choices, least in (
        (named, USUAL_LEAST_MM),
        (named, SMALLEST_PIECE_MM),
        ([*LIKELY_UNITS], USUAL_LEAST_MM),
        ([*LIKELY_UNITS], SMALLEST_PIECE_MM),
    ):
        for choice in choices:
            if least <= largest * choice <= LARGEST_PIECE_MM:
                found = _findings(name, units, choice, largest, header_mm)
                return choice, tuple(found)
    raise DrawingError(
        f"{name}: its largest piece measures {largest:g} drawing units, which is no "
        "likely size in mm, cm or inches; give the true unit with --unit-mm"
    )


def _findings(
    name: str,
    units: str | None,
    chosen: float,
    largest: float,
    header_mm: float | None,
) -> Iterator[Finding]:
    stated = None if units is None else UNIT_WORDS.get(plain_key(units))
    size = largest * chosen
    what = LIKELY_UNITS.get(chosen, f"{chosen:g} mm")
    applied = (
        f"1 unit was taken as 1 {what}, which makes the largest piece {size:.0f} mm; "
        "if that is wrong, give --unit-mm"
    )
    said = one_line(units or "")
    if stated is None and chosen != header_mm:
        says = f'says Units: "{said}", which is not known' if said else "says no units"
        yield warning("unit-assumed", name, f"the file {says}; {applied}")
    elif stated is not None and chosen != stated:
        would = f"the largest piece would be {largest * stated:.4g} mm"
        message = f"the file says Units: {said}, but then {would}; {applied}"
        yield warning("unit-corrected", name, message)
    elif header_mm is not None and chosen != header_mm:
        message = f"the text Units: {said} was followed, not the header; {applied}"
        yield note("unit-from-text", name, message)
    elif size < USUAL_LEAST_MM:
        others = [
            f"{size / chosen * mm:.0f} mm if the unit is the {word}"
            for mm, word in LIKELY_UNITS.items()
            if USUAL_LEAST_MM <= largest * mm <= LARGEST_PIECE_MM
        ]
        message = f"the largest piece is {size:.0f} mm only ({', '.join(others)}); "
        yield warning("unit-doubtful", name, message + "if so, give --unit-mm")
