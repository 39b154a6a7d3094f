"""What an element looks like: drawn at all, visible, and in which colours."""

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

from edgefinder.importers.svg.colours import read_colour

Property = Callable[[str], str | None]
"""The style property of one element, by name; None where it says nothing."""

_UNPAINTED: Final = frozenset({"none", "transparent"})
_NO_WIDTH: Final = re.compile(r"0*\.?0+(?:[a-zA-Z]*|%)")
_INITIAL: Final = frozenset({"initial", "unset", "revert"})


@dataclass(frozen=True, slots=True)
class Style:
    """The inherited look of an element.

    Parameters
    ----------
    stroke : str
        As written, with ``currentColor`` already replaced.
    stroke_width : str
        As written.
    is_filled : bool
    colour : str
        The ``color`` property, which ``currentColor`` stands for.
    is_visible : bool
    """

    stroke: str = "none"
    stroke_width: str = "1"
    is_filled: bool = True
    colour: str = "#000000"
    is_visible: bool = True

    @property
    def is_stroked(self) -> bool:
        """Whether a line is painted along the outline."""
        is_wide = _NO_WIDTH.fullmatch(self.stroke_width) is None
        return is_wide and self.stroke not in _UNPAINTED

    @property
    def stroke_colour(self) -> str | None:
        """``#rrggbb``; None without a stroke, or where the paint is not known."""
        return paint_colour(self.stroke) if self.is_stroked else None


def inherit(style: Style, declared: Property) -> Style:
    """Return the look of a child.

    Parameters
    ----------
    style : Style
        That of the parent.
    declared : callable
        What the child itself declares.

    References
    ----------
    SVG 2, chapter 13, "Painting"; CSS Cascading 4, section 7 for the keywords.
    """
    written = {
        name: value.strip()
        for name in ("color", "stroke", "stroke-width", "fill", "visibility")
        if (value := declared(name)) is not None
        and value.strip() not in {"", "inherit"}
    }
    if not written:
        return style
    colour = _taken(written, "color", style.colour, Style().colour)
    if colour.lower() == "currentcolor":
        colour = style.colour
    stroke = _taken(written, "stroke", style.stroke, "none")
    if stroke.lower() == "currentcolor":
        stroke = colour
    visibility = written.get("visibility")
    fill = written.get("fill")
    return replace(
        style,
        colour=colour,
        stroke=stroke.lower() if stroke.lower() in _UNPAINTED else stroke,
        stroke_width=_taken(written, "stroke-width", style.stroke_width, "1"),
        is_filled=style.is_filled if fill is None else fill.lower() not in _UNPAINTED,
        is_visible=(
            style.is_visible
            if visibility is None
            else visibility.lower() not in {"hidden", "collapse"}
        ),
    )


def paint_colour(paint: str) -> str | None:
    """Return the colour of a paint: of a gradient its fallback, if it has one."""
    if paint.startswith("url("):
        paint = paint.partition(")")[2]
    elif "icc-color" in paint:
        paint = paint.split()[0]
    return read_colour(paint)


def _taken(written: dict[str, str], name: str, inherited: str, initial: str) -> str:
    value = written.get(name, inherited)
    return initial if value.lower() in _INITIAL else value
