"""The size of the font, which lengths in em and rem are counted in.

No font is needed for that: the size is what the drawing says, inherited from element to
element. Only the height of an x, which is what ex means, is in the font itself.
"""

import re
from types import MappingProxyType
from typing import Final

from edgefinder.errors import DrawingError
from edgefinder.importers.svg.units import (
    DEFAULT_FONT_PX,
    LENGTH_PATTERN,
    MAX_NUMBER,
    Font,
    Viewport,
)

KEYWORDS: Final = MappingProxyType(
    {
        "xx-small": 9.0,
        "x-small": 10.0,
        "small": 13.0,
        "medium": DEFAULT_FONT_PX,
        "large": 18.0,
        "x-large": 24.0,
        "xx-large": 32.0,
        "xxx-large": 48.0,
    }
)
"""CSS Fonts 4, section 2.5.1, leaves the table to the program; these are the sizes in
px that Chromium gives, read in 2026, and other browsers too."""
STEP: Final = 1.2
"""To the larger and to the smaller size: CSS Fonts 4, section 2.5.2, names 1.2 to 1.5;
Chromium has this."""

_INHERITED: Final = frozenset({"inherit", "unset", "revert", "revert-layer"})
_RELATIVE: Final = MappingProxyType({"larger": f"{STEP}em", "smaller": f"{1 / STEP}em"})
_SIZES: Final = MappingProxyType({**KEYWORDS, "initial": DEFAULT_FONT_PX})
_WORDS: Final = _INHERITED | _SIZES.keys() | _RELATIVE.keys()

_SYSTEM: Final = frozenset(
    {"caption", "icon", "menu", "message-box", "small-caption", "status-bar"}
)
_BEFORE_SIZE: Final = re.compile(
    r"normal|italic|oblique|small-caps|bold|bolder|lighter|[0-9.]++"
    r"|(?:ultra-|extra-|semi-)?(?:condensed|expanded)"
)
"""CSS Fonts 4, section 2.7: style, variant, weight and stretch come first."""
_MOST_WORDS: Final = 6


def is_font_size(text: str) -> bool:
    """Whether a declaration of ``font-size`` has a value that counts.

    An attribute may leave out the unit; a declaration may not, unless it is of 0.
    """
    plain = text.strip().lower()
    match = LENGTH_PATTERN.fullmatch(plain)
    if match is None:
        # What a function comes to is not known here.
        return plain in _WORDS or "(" in plain
    number = float(match[1])
    return number >= 0 and (bool(match[2]) or number == 0)


def size_in_font(text: str) -> str | None:
    """Return the size that a ``font`` declaration holds; None if it is none."""
    words = text.lower().split()
    if len(words) == 1:
        word = words[0]
        if word in _SYSTEM:
            return "medium"
        return word if word in _INHERITED or word == "initial" else None
    for index, word in enumerate(words[: min(_MOST_WORDS, len(words) - 1)]):
        if "(" in word:
            return " ".join(words[index:])
        if _BEFORE_SIZE.fullmatch(word) is None:
            size = word.partition("/")[0]
            return size if is_font_size(size) else None
    return None


def font_of(font: Font, written: str | None) -> Font:
    """Return the font of a child.

    Parameters
    ----------
    font : Font
        That of the parent.
    written : str or None
        What the child says of ``font-size``.

    Returns
    -------
    Font
        Without a size where what is written depends on more than the drawing; the
        parent's where it means nothing.

    References
    ----------
    CSS Fonts 4, section 2.5, "Font size"; SVG 2, section 6.4, for numbers without unit.
    """
    text = "" if written is None else written.strip().lower()
    if not text or text in _INHERITED:
        return font
    if text in _SIZES:
        return Font(_SIZES[text], font.root_px)
    text = _RELATIVE.get(text, text)
    is_function = "(" in text
    if LENGTH_PATTERN.fullmatch(text) is None and not is_function:
        return font
    px = _resolved(text, font)
    if px is None or px >= 0:
        return Font(px, font.root_px)
    return Font(0.0, font.root_px) if is_function else font


def _resolved(text: str, font: Font) -> float | None:
    try:
        px = Viewport(font.px, None, _refuse, font).across(text)
    except DrawingError:
        return None
    return px if px <= MAX_NUMBER else None


def _refuse(unit: str) -> None:
    raise DrawingError(f"{unit} depends on a font")
