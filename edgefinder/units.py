"""Lengths and loads as people type and read them.

Millimetres and newtons everywhere else.
"""

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType
from typing import Final

from edgefinder.constants import (
    KG_PER_OUNCE,
    KG_PER_POUND,
    MM_PER_FOOT,
    MM_PER_INCH,
    MM_PER_YARD,
    STANDARD_GRAVITY,
)
from edgefinder.errors import SettingsError


class Unit(StrEnum):
    """The unit that reports are printed in."""

    INCH = "in"
    MILLIMETRE = "mm"
    CENTIMETRE = "cm"

    @property
    def is_metric(self) -> bool:
        """Whether figures are printed in millimetres or centimetres."""
        return self is not Unit.INCH


_FACTORS: Final = MappingProxyType(
    {
        "mm": 1.0,
        "millimetre": 1.0,
        "millimetres": 1.0,
        "millimeter": 1.0,
        "millimeters": 1.0,
        "cm": 10.0,
        "centimetre": 10.0,
        "centimetres": 10.0,
        "centimeter": 10.0,
        "centimeters": 10.0,
        "m": 1000.0,
        "metre": 1000.0,
        "metres": 1000.0,
        "meter": 1000.0,
        "meters": 1000.0,
        "in": MM_PER_INCH,
        "inch": MM_PER_INCH,
        "inches": MM_PER_INCH,
        '"': MM_PER_INCH,
        "″": MM_PER_INCH,
        "”": MM_PER_INCH,
        "''": MM_PER_INCH,
        "ft": MM_PER_FOOT,
        "foot": MM_PER_FOOT,
        "feet": MM_PER_FOOT,
        "'": MM_PER_FOOT,
        "yd": MM_PER_YARD,
        "yds": MM_PER_YARD,
        "yard": MM_PER_YARD,
        "yards": MM_PER_YARD,
    }
)

_GRAM: Final = STANDARD_GRAVITY / 1000
_OUNCE: Final = KG_PER_OUNCE * STANDARD_GRAVITY
_POUND: Final = KG_PER_POUND * STANDARD_GRAVITY

_LOAD_FACTORS: Final = MappingProxyType(
    {
        "n": 1.0,
        "newton": 1.0,
        "newtons": 1.0,
        "g": _GRAM,
        "gram": _GRAM,
        "grams": _GRAM,
        "gramme": _GRAM,
        "grammes": _GRAM,
        "kg": STANDARD_GRAVITY,
        "kilogram": STANDARD_GRAVITY,
        "kilograms": STANDARD_GRAVITY,
        "kilogramme": STANDARD_GRAVITY,
        "kilogrammes": STANDARD_GRAVITY,
        "oz": _OUNCE,
        "ounce": _OUNCE,
        "ounces": _OUNCE,
        "lb": _POUND,
        "lbs": _POUND,
        "pound": _POUND,
        "pounds": _POUND,
    }
)

_VULGAR: Final = MappingProxyType(
    {
        "¼": "1/4",
        "½": "1/2",
        "¾": "3/4",
        "⅓": "1/3",
        "⅔": "2/3",
        "⅛": "1/8",
        "⅜": "3/8",
        "⅝": "5/8",
        "⅞": "7/8",
    }
)

_NUMBER: Final = r"(?:\d+\s*/\s*\d+|\d+[\s-]+\d+\s*/\s*\d+|\d*[.,]\d+|\d+[.,]?)"
_TERM: Final = re.compile(rf"\s*({_NUMBER})\s*([a-zA-Z]+|''|[\"'″”])\s*", re.ASCII)
_BARE: Final = re.compile(rf"\s*{_NUMBER}\s*", re.ASCII)
_THOUSANDS: Final = re.compile(r"(?<![\d.,])[1-9]\d{0,2},\d{3}(?!\d)", re.ASCII)
"""1,000 mm is a metre to some and a millimetre to others."""

LONGEST_TEXT: Final = 60
"""Characters: no length needs more, and numbers that long overflow."""

MAX_LENGTH_MM: Final = 1e7
"""10 km of tape: a typed length beyond it is a slip of the finger."""

MAX_LOAD_N: Final = 1000.0
"""A hundred kilograms on a strip of cloth: a slip of the finger."""


@dataclass(frozen=True, slots=True)
class _Kind:
    """What is typed: its units and the words that a mistake in it is told with."""

    name: str
    factors: Mapping[str, float]
    units: str
    without_unit: tuple[str, ...]
    example: str
    most: float
    too_much: str


_LENGTH: Final = _Kind(
    "a length",
    _FACTORS,
    "mm, cm, m, in, ft or yd",
    ("in", "mm", "cm"),
    '"3/8 in", "9.5 mm" or "1 1/2 in"',
    MAX_LENGTH_MM,
    "is longer than 10 km",
)

_LOAD: Final = _Kind(
    "a load",
    _LOAD_FACTORS,
    "g, kg, N, oz or lb",
    ("g", "oz"),
    '"100 g", "1 N" or "3 1/2 oz"',
    MAX_LOAD_N,
    "is more than 1000 N, which no strip is tested with",
)


def parse_length(text: str) -> float:
    """Read a length with its unit.

    Parameters
    ----------
    text : str
        ``3/8 in``, ``9.5mm``, ``1 1/2"``, ``2.5 cm``, ``1/4 yd``, ``1 yd 4 in``.

    Returns
    -------
    float
        Millimetres, zero or more.

    Raises
    ------
    SettingsError
        If there is no number, no unit, or an unknown unit.

    Examples
    --------
    >>> parse_length('2 1/2"')
    63.5
    """
    return _parsed(text, _LENGTH)


def parse_load(text: str) -> float:
    """Read a load with its unit; what is weighed hangs in standard gravity.

    Parameters
    ----------
    text : str
        ``100 g``, ``0.1kg``, ``1 N``, ``3 1/2 oz``, ``1 lb 4 oz``.

    Returns
    -------
    float
        Newtons, zero or more.

    Raises
    ------
    SettingsError
        If there is no number, no unit, or an unknown unit.
    """
    return _parsed(text, _LOAD)


def _parsed(text: str, kind: _Kind) -> float:
    """Read a sum of terms, each a number with its unit."""
    if len(text) > LONGEST_TEXT:
        raise SettingsError(f'"{text[:LONGEST_TEXT]}..." is not {kind.name}')
    plain = text
    for sign, fraction in _VULGAR.items():
        plain = plain.replace(sign, f" {fraction}")
    if _BARE.fullmatch(plain):
        number = plain.strip()
        *others, last = (f'"{number} {unit}"' for unit in kind.without_unit)
        raise SettingsError(
            f'"{text}" has no unit; write {", ".join(others)} or {last}'
        )
    if _THOUSANDS.search(plain):
        raise SettingsError(
            f'"{text}" can be read in two ways; write a decimal point, or no comma'
        )
    total, at = 0.0, 0
    while at < len(plain):
        term = _TERM.match(plain, at)
        if term is None:
            break
        factor = kind.factors.get(term[2].lower())
        if factor is None:
            raise SettingsError(f'"{text}" has the unit "{term[2]}"; use {kind.units}')
        total += _number(term[1], text) * factor
        at = term.end()
    if at == 0 or at < len(plain):
        raise SettingsError(
            f'"{text}" is not {kind.name}; write it like {kind.example}'
        )
    if not total <= kind.most:
        raise SettingsError(f'"{text}" {kind.too_much}')
    return total


def _number(written: str, text: str) -> float:
    if "/" not in written:
        return float(written.replace(",", "."))
    left, right = written.split("/")
    *whole, above = re.split(r"[\s-]+", left.strip())
    below = int(right)
    if below == 0:
        raise SettingsError(f'"{text}" divides by zero')
    return sum(map(int, whole)) + int(above) / below


class Rounding(StrEnum):
    """Which mark of a ruler a figure is moved to."""

    NEAREST = "nearest"
    UP = "up"
    """For what is cut or bought."""
    DOWN = "down"
    """For what must not be exceeded."""


def format_length(
    length: float,
    unit: Unit,
    *,
    denominator: int = 8,
    parts: int = 1,
    rounding: Rounding = Rounding.NEAREST,
) -> str:
    """Write a length the way a ruler shows it.

    Parameters
    ----------
    length : float
        Millimetres.
    unit : Unit
    denominator : int
        Inches are rounded to one part in this many.
    parts : int
        A millimetre is rounded to one part in this many: 1, 2 or 10.
    rounding : Rounding

    Returns
    -------
    str
        ``14 3/8 in``, ``365 mm`` or ``36.5 cm``; ``9.5 mm`` or ``0.95 cm`` in parts.
    """
    if unit is Unit.INCH:
        return f"{_fraction(length / MM_PER_INCH, denominator, rounding)} in"
    marked = rounded(length * parts, rounding) / parts
    if unit is Unit.MILLIMETRE:
        return f"{marked:.1f}".removesuffix(".0") + " mm"
    return f"{marked / 10:.2f}".removesuffix("0") + " cm"


def format_yardage(length: float, unit: Unit) -> str:
    """Write a length of cloth as a shop counts it, rounded up.

    Parameters
    ----------
    length : float
        Millimetres.
    unit : Unit
        Inches give yards in eighths, metric gives centimetres.

    Returns
    -------
    str
        ``1 3/8 yd`` or ``130 cm``.
    """
    if unit is Unit.INCH:
        return f"{_fraction(length / MM_PER_YARD, 8, Rounding.UP)} yd"
    return f"{rounded(length / 10, Rounding.UP)} cm"


ROUNDING_SLACK: Final = 1e-6
"""A figure this little above a mark counts as on it: rounding up must not turn the
rounding error of a sum into an eighth of an inch."""


def rounded(value: float, rounding: Rounding) -> int:
    """Round to a whole number."""
    if rounding is Rounding.UP:
        return math.ceil(value - ROUNDING_SLACK)
    if rounding is Rounding.DOWN:
        return math.floor(value + ROUNDING_SLACK)
    return math.floor(value + 0.5)


def _fraction(value: float, denominator: int, rounding: Rounding) -> str:
    parts = rounded(value * denominator, rounding)
    sign = "-" if parts < 0 else ""
    whole, rest = divmod(abs(parts), denominator)
    if rest == 0:
        return f"{sign}{whole}"
    common = math.gcd(rest, denominator)
    fraction = f"{rest // common}/{denominator // common}"
    return f"{sign}{whole} {fraction}" if whole else f"{sign}{fraction}"
