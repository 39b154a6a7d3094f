"""Sizes of rectangles as people type them: ``14 x 44 in``."""

import re
from typing import Final

from edgefinder.errors import SettingsError, one_line
from edgefinder.units import parse_length

_TIMES: Final = re.compile(r"\s*(?:[x\u00d7*]|\bby\b)\s*", re.IGNORECASE)
_HAS_UNIT: Final = re.compile(r"[a-z\"'\u2033\u201d]+\s*$", re.IGNORECASE)


def parse_size(text: str) -> tuple[float, float]:
    """Read a width and a length; a unit at the end holds for both.

    Returns
    -------
    tuple of float
        Millimetres, as they stand: across the cloth first, then along it.

    Raises
    ------
    SettingsError
        If it is no size.

    Examples
    --------
    >>> parse_size("14 x 44 in")
    (355.6, 1117.6)
    """
    plain = " ".join(text.split())
    parts = _TIMES.split(plain)
    if len(parts) != 2 or not all(parts):
        raise SettingsError(
            f'"{one_line(plain)}" is no size; write across x along, like "14 x 44 in"'
        )
    first, second = parts
    unit = _HAS_UNIT.search(second)
    if unit is not None and not _HAS_UNIT.search(first):
        first = f"{first} {unit[0].strip()}"
    sides = parse_length(first), parse_length(second)
    if not all(sides):
        raise SettingsError(f'"{one_line(plain)}" has a side of nothing')
    return sides
