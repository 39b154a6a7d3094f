"""Numbers and lengths as SVG attributes hold them."""

import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from edgefinder.constants import (
    MM_PER_INCH,
    PC_PER_INCH,
    PT_PER_INCH,
    PX_PER_INCH,
    Q_PER_MM,
)
from edgefinder.errors import DrawingError

MM_PER_PX: Final = MM_PER_INCH / PX_PER_INCH

MAX_NUMBER: Final = 1e12
"""Numbers beyond it are refused: no drawing has them, and squares of them would
leave the range in which the kernel is exact."""

DEFAULT_FONT_PX: Final = 16.0
"""CSS Fonts 4, section 2.5: "medium" is 16 px in every browser."""
EX_PER_EM: Final = 0.5
"""CSS Values and Units 3, section 5.1.1: 0.5em where the x-height is not known."""

_PX_PER_UNIT: Final = MappingProxyType(
    {
        "": 1.0,
        "px": 1.0,
        "in": float(PX_PER_INCH),
        "cm": PX_PER_INCH * 10 / MM_PER_INCH,
        "mm": PX_PER_INCH / MM_PER_INCH,
        "q": PX_PER_INCH / MM_PER_INCH / Q_PER_MM,
        "pt": PX_PER_INCH / PT_PER_INCH,
        "pc": PX_PER_INCH / PC_PER_INCH,
    }
)
_MM_PER_UNIT: Final = MappingProxyType(
    {
        "in": MM_PER_INCH,
        "cm": 10.0,
        "mm": 1.0,
        "q": 1 / Q_PER_MM,
        "pt": MM_PER_INCH / PT_PER_INCH,
        "pc": MM_PER_INCH / PC_PER_INCH,
    }
)
FONT_UNITS: Final = frozenset({"em", "ex", "rem"})
REAL_UNITS: Final = frozenset(_MM_PER_UNIT)

# The quantifiers are possessive, so that no text is tried in more than one way.
NUMBER_PATTERN: Final = (
    r"[+-]?+(?:[0-9]++(?:\.[0-9]*+)?+|\.[0-9]++)(?:[eE][+-]?+[0-9]++)?+"
)
"""SVG 2, section 9.3.9, "number"; a point without digits after it, which SVG 1.1
had, is taken too."""
SPACE_PATTERN: Final = r"[ \t\r\n\f]*+"
SEPARATOR_PATTERN: Final = rf"{SPACE_PATTERN}(?:,{SPACE_PATTERN})?+"

_NUMBER: Final = re.compile(NUMBER_PATTERN)
_LIST: Final = re.compile(
    rf"{SPACE_PATTERN}(?:{NUMBER_PATTERN}(?:{SEPARATOR_PATTERN}{NUMBER_PATTERN})*+)?+"
    rf"{SPACE_PATTERN}"
)
LENGTH_PATTERN: Final = re.compile(
    rf"{SPACE_PATTERN}({NUMBER_PATTERN})(%|[a-zA-Z]*+){SPACE_PATTERN}"
)
"""A number and its unit, which need not be one that is known."""


@dataclass(frozen=True, slots=True)
class Length:
    """A length as written.

    Parameters
    ----------
    number : float
    unit : str
        In lower case; empty where there is none.
    """

    number: float
    unit: str

    @property
    def is_percentage(self) -> bool:
        """Whether it is in per cent."""
        return self.unit == "%"

    @property
    def px(self) -> float:
        """The length in user units of 1/96 inch; of an absolute unit."""
        return self.number * _PX_PER_UNIT[self.unit]

    @property
    def mm(self) -> float:
        """The length in millimetres; exact where it is written in millimetres."""
        if self.unit in _MM_PER_UNIT:
            return self.number * _MM_PER_UNIT[self.unit]
        return self.px * MM_PER_PX


def read_length(text: str) -> Length:
    """Read a number with a unit.

    Parameters
    ----------
    text : str
        ``12``, ``12.5mm``, ``1in``, ``50%``, ``2em``.

    Returns
    -------
    Length

    Raises
    ------
    DrawingError
        With the reason; the caller adds the place.
    """
    match = LENGTH_PATTERN.fullmatch(text)
    if match is None:
        raise DrawingError(f'"{shortened(text)}" is not a length')
    unit = match[2].lower()
    _check_unit(unit, text)
    return Length(read_number(match[1]), unit)


def _check_unit(unit: str, text: str) -> None:
    if unit != "%" and unit not in _PX_PER_UNIT and unit not in FONT_UNITS:
        raise DrawingError(f'"{shortened(text)}" has the unknown unit "{unit}"')


def read_number(text: str) -> float:
    """Read one number that is known to be written like one."""
    number = float(text)
    if not abs(number) <= MAX_NUMBER:
        raise DrawingError(f'"{shortened(text)}" is too large a number')
    return number


def read_numbers(text: str) -> tuple[float, ...]:
    """Read a list of numbers parted by white space, commas or nothing.

    Raises
    ------
    DrawingError
        With the place of the mistake in the list.
    """
    match = _LIST.match(text)
    end = match.end() if match else 0
    if end < len(text):
        raise DrawingError(f"{position(text, end)} is not a number")
    return tuple(read_number(number) for number in _NUMBER.findall(text))


def position(text: str, at: int) -> str:
    """Name a place in an attribute: ``character 12, "x 20 L"``."""
    return f'character {at + 1}, "{shortened(text[at:])}",'


def shortened(text: str) -> str:
    """Cut a text for a message."""
    most = 24
    return text if len(text) <= most else f"{text[:most]}..."


@dataclass(frozen=True, slots=True)
class Font:
    """What lengths in em and rem are counted in.

    Parameters
    ----------
    px, root_px : float or None
        Size of the font of an element, and of the outermost one; None where it
        depends on more than the drawing says.
    """

    px: float | None = DEFAULT_FONT_PX
    root_px: float | None = DEFAULT_FONT_PX


DEFAULT_FONT: Final = Font()


@dataclass(frozen=True, slots=True)
class Viewport:
    """What percentages and lengths in em are of, in user units.

    Parameters
    ----------
    width, height : float or None
        None where the drawing does not say.
    on_font_unit : callable
        Called with the unit of a length that depends on a font that is not known.
    font : Font
    """

    width: float | None
    height: float | None
    on_font_unit: Callable[[str], None]
    font: Font = DEFAULT_FONT

    def sized(self, width: float | None, height: float | None) -> "Viewport":
        """Return the viewport of another size."""
        return Viewport(width, height, self.on_font_unit, self.font)

    def in_font(self, font: Font) -> "Viewport":
        """Return the viewport as an element of another font sees it."""
        if font == self.font:
            return self
        return Viewport(self.width, self.height, self.on_font_unit, font)

    def across(self, text: str) -> float:
        """Return a length along x in user units."""
        return self._resolved(text, self.width)

    def down(self, text: str) -> float:
        """Return a length along y in user units."""
        return self._resolved(text, self.height)

    def along(self, text: str) -> float:
        """Return a length without direction, such as a circle's radius.

        SVG 2, section 8.9, "Units": of sqrt((width^2 + height^2)/2).
        """
        if self.width is None or self.height is None:
            return self._resolved(text, None)
        return self._resolved(text, math.hypot(self.width, self.height) / math.sqrt(2))

    def absolute(self, text: str) -> Length:
        """Return a length in a unit that depends on nothing; a percentage stays one."""
        if "(" in text:
            units: set[str] = set()
            px = self._calculated(text, None, units)
            if units & REAL_UNITS:
                return Length(px * MM_PER_PX, "mm")
            return Length(px, "px")
        length = read_length(text)
        if length.unit in FONT_UNITS:
            return Length(self._px(length, None, text), "px")
        return length

    def _resolved(self, text: str, whole: float | None) -> float:
        if "(" in text:
            return self._calculated(text, whole, set())
        return self._px(read_length(text), whole, text)

    def _px(self, length: Length, whole: float | None, text: str) -> float:
        if length.unit in FONT_UNITS:
            px = length.number * self._px_of_font(length.unit)
            if not abs(px) <= MAX_NUMBER:
                raise DrawingError(f'"{shortened(text)}" is too large a number')
            return px
        if not length.is_percentage:
            return length.px
        if whole is None:
            raise DrawingError(
                f'"{shortened(text)}" is a share of the drawing, which has no size'
            )
        return whole * length.number / 100

    def _px_of_font(self, unit: str) -> float:
        size = self.font.root_px if unit == "rem" else self.font.px
        if size is None:
            self.on_font_unit(unit)
            size = DEFAULT_FONT_PX
        elif unit == "ex":
            self.on_font_unit(unit)
        return size * EX_PER_EM if unit == "ex" else size

    def _calculated(self, text: str, whole: float | None, units: set[str]) -> float:
        # The CSS library takes longer to load than most drawings take to read.
        from edgefinder.importers.svg.calc import calculated  # noqa: PLC0415

        def px_of(number: float, unit: str) -> float:
            _check_unit(unit, text)
            units.add(unit)
            return self._px(Length(number, unit), whole, text)

        return calculated(text, px_of)
