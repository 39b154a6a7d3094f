"""Choosing drawn lines by what the drawing says about them."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from fnmatch import translate
from functools import lru_cache

from edgefinder.constants import LAST_COLOUR
from edgefinder.errors import SettingsError, did_you_mean
from edgefinder.importers.drawing import DrawnLine
from edgefinder.importers.svg.colours import read_colour


class Mark(StrEnum):
    """What of a drawn line is looked at."""

    LAYER = "layer"
    COLOUR = "colour"
    ID = "id"
    CLASS = "class"
    LABEL = "label"


@dataclass(frozen=True, slots=True)
class Selector:
    """One choice, ``layer:Size *`` or ``colour:#d55e00``.

    Parameters
    ----------
    mark : Mark
    pattern : str
        Compared without case; ``*``, ``?`` and ``[...]`` are wildcards. A colour may
        be written in any way that an SVG knows: ``red``, ``#f00``, ``rgb(255, 0, 0)``;
        a number from 1 to 255 is one of the colour table of DXF.
    """

    mark: Mark
    pattern: str

    @property
    def text(self) -> str:
        """As it is written."""
        return f"{self.mark}:{self.pattern}"

    def matches(self, line: DrawnLine) -> bool:
        """Whether a drawn line is chosen."""
        wanted = _wanted(self)
        return any(wanted.match(text.casefold()) for text in _said_of(line, self.mark))


def parse_selector(text: str) -> Selector:
    """Read ``mark:pattern``.

    Raises
    ------
    SettingsError
        If the part before the colon is not one of the marks, or there is no colour of
        that number.
    """
    head, colon, pattern = text.partition(":")
    mark = head.strip().casefold().replace("color", "colour")
    if not colon or not pattern.strip():
        raise SettingsError(
            f'"{text}" chooses nothing; write it like "layer:Bound" or "class:cut"'
        )
    if mark not in set(Mark):
        raise SettingsError(f'"{text}" begins with "{head}"{did_you_mean(mark, Mark)}')
    pattern = pattern.strip()
    if mark == Mark.COLOUR and pattern.isdecimal() and _number_of(pattern) is None:
        raise SettingsError(
            f'"{text}": the colours of a DXF are numbered from 1 to {LAST_COLOUR}; '
            'others are written like "colour:#d55e00"'
        )
    return Selector(Mark(mark), pattern)


def matches_any(line: DrawnLine, selectors: Iterable[Selector]) -> bool:
    """Whether at least one of the selectors chooses the line."""
    return any(selector.matches(line) for selector in selectors)


@lru_cache(maxsize=256)
def _wanted(selector: Selector) -> re.Pattern[str]:
    pattern = selector.pattern
    if selector.mark is Mark.COLOUR:
        pattern = _colour(pattern)
    return re.compile(translate(pattern.casefold()))


def _colour(pattern: str) -> str:
    number = _number_of(pattern)
    if number is None:
        return read_colour(pattern) or pattern
    # Loaded here because whoever names no number need not wait for the DXF library.
    from edgefinder.importers.dxf.layers import numbered_colour  # noqa: PLC0415

    return numbered_colour(number)


def _number_of(pattern: str) -> int | None:
    """Return the number in the colour table of DXF that a pattern is."""
    if not re.fullmatch("[1-9][0-9]{0,2}", pattern) or int(pattern) > LAST_COLOUR:
        return None
    return int(pattern)


def _said_of(line: DrawnLine, mark: Mark) -> tuple[str, ...]:
    one: dict[Mark, str | None] = {
        Mark.LAYER: line.layer,
        Mark.COLOUR: line.colour,
        Mark.ID: line.id,
    }
    if mark in one:
        text = one[mark]
        return () if text is None else (text,)
    if mark is Mark.CLASS:
        return line.classes
    return line.groups if line.label is None else (line.label, *line.groups)
