"""Widths in which cloth is sold, as people write them: ``44/45 in``, ``150 cm``."""

import re
from dataclasses import dataclass
from typing import Final

from edgefinder.errors import SettingsError
from edgefinder.units import parse_length

USUAL: Final = "usual"
"""Written for the widths that shops sell most."""
WIDEST_CLOTH_MM: Final = 10_000.0
"""No loom is wider than 10 m: a slip of the unit."""
_RANGE: Final = re.compile(
    r"(?P<low>\d{2,4}) ?[-/\u2013] ?(?P<high>\d{2,4}) ?(?P<unit>[a-z\"]+)",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class ClothWidth:
    """A width that somebody wrote.

    Parameters
    ----------
    label : str
        As it was written.
    narrowest, widest : float
        Millimetres; equal where one width is meant.
    """

    label: str
    narrowest: float
    widest: float


def parse_cloth_width(text: str) -> ClothWidth:
    """Read one width of cloth, or a range of two.

    Raises
    ------
    SettingsError
        If it is none.

    Examples
    --------
    >>> parse_cloth_width("44/45 in").label
    '44-45 in'
    """
    plain = " ".join(text.split())
    said = _RANGE.fullmatch(plain)
    if said is not None:
        low, high, unit = said["low"], said["high"], said["unit"]
        ends = [parse_length(f"{end} {unit}") for end in (low, high)]
        label = f"{low}-{high} {unit}"
    else:
        ends = [parse_length(plain)] * 2
        label = plain
    if not 0.0 < ends[0] <= ends[1] <= WIDEST_CLOTH_MM:
        raise SettingsError(
            f'"{plain}" is no width of cloth; write it like "44-45 in" or "150 cm"'
        )
    return ClothWidth(label, *ends)
