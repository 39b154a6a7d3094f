"""Sizes of paper, and what of a page is written on."""

from enum import StrEnum
from types import MappingProxyType
from typing import Final

from edgefinder.units import Unit

POINTS_PER_MM: Final = 72.0 / 25.4
"""A PDF counts in points, 72 to the inch (ISO 32000-2, 8.3.2.3)."""


class Paper(StrEnum):
    """What a sheet is printed on."""

    A4 = "a4"
    LETTER = "letter"


SIZES_MM: Final = MappingProxyType(
    {
        Paper.A4: (210.0, 297.0),  # ISO 216:2007, table 1
        Paper.LETTER: (215.9, 279.4),  # ASME Y14.1, size A: 8.5 x 11 in
    }
)
"""Width and height, upright; both from memory."""

MARGIN_MM: Final = 15.0
"""That of the printed page of HTML, and more than any desk printer leaves white."""
FOOT_MM: Final = 6.0
"""Between what is written on a page and the line at its foot."""


def usual_paper(unit: Unit) -> Paper:
    """Return the paper that is usual where lengths are given in a unit."""
    return Paper.A4 if unit.is_metric else Paper.LETTER
