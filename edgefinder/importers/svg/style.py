"""What an element looks like: drawn at all, visible, and in which colours."""

import functools
import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

from edgefinder.importers.svg.colours import is_transparent, read_colour
from edgefinder.importers.svg.font_size import font_of
from edgefinder.importers.svg.units import DEFAULT_FONT, Font

Property = Callable[[str], str | None]
"""The style property of one element, by name; None where it says nothing."""

_ZERO: Final = re.compile(r"[+-]?0*\.?0+(?:[a-zA-Z]*|%)|-.*")
"""No width or opacity at all; less than none counts as none."""
_READ: Final = (
    "color",
    "stroke",
    "stroke-width",
    "stroke-opacity",
    "fill",
    "fill-opacity",
    "opacity",
    "visibility",
    "font-size",
)
_INHERITED: Final = frozenset({"", "inherit", "unset", "revert", "revert-layer"})


@dataclass(frozen=True, slots=True)
class Style:
    """The inherited look of an element.

    Parameters
    ----------
    stroke : str
        As written, with ``currentColor`` already replaced.
    stroke_width : str
        As written.
    is_stroked : bool
        Whether a line is painted along the outline.
    stroke_colour : str or None
        ``#rrggbb``; None without a stroke, or where the paint is not known.
    is_filled : bool
    is_stroke_clear, is_fill_clear : bool
        Whether stroke and fill have an opacity of zero.
    is_clear : bool
        Whether it, or a group around it, has an opacity of zero.
    colour : str
        The ``color`` property, which ``currentColor`` stands for.
    is_visible : bool
    font : Font
    """

    stroke: str = "none"
    stroke_width: str = "1"
    is_stroked: bool = False
    stroke_colour: str | None = None
    is_filled: bool = True
    is_stroke_clear: bool = False
    is_fill_clear: bool = False
    is_clear: bool = False
    colour: str = "#000000"
    is_visible: bool = True
    font: Font = DEFAULT_FONT

    @property
    def is_line_seen(self) -> bool:
        """Whether the line along the outline can be seen."""
        return self.is_stroked and not (self.is_stroke_clear or self.is_clear)

    @property
    def is_area_seen(self) -> bool:
        """Whether what the outline encloses can be seen."""
        return self.is_filled and not (self.is_fill_clear or self.is_clear)


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
    values = tuple(map(declared, _READ))
    return _inherited(style, values) if any(values) else style


@functools.lru_cache(maxsize=1024)
def _inherited(style: Style, values: tuple[str | None, ...]) -> Style:
    written = {
        name: value.strip()
        for name, value in zip(_READ, values, strict=True)
        if value is not None and value.strip().lower() not in _INHERITED
    }
    colour = _taken(written, "color", style.colour, Style().colour)
    if colour.lower() == "currentcolor":
        colour = style.colour
    stroke = _taken(written, "stroke", style.stroke, "none")
    if stroke.lower() == "currentcolor":
        stroke = colour
    stroke = "none" if _is_unpainted(stroke) else stroke
    width = _taken(written, "stroke-width", style.stroke_width, "1")
    is_stroked = stroke != "none" and _ZERO.fullmatch(width) is None
    visibility = written.get("visibility")
    fill = written.get("fill")
    return replace(
        style,
        colour=colour,
        stroke=stroke,
        stroke_width=width,
        is_stroked=is_stroked,
        stroke_colour=paint_colour(stroke) if is_stroked else None,
        is_filled=style.is_filled if fill is None else not _is_unpainted(fill),
        is_stroke_clear=_is_clear(written, "stroke-opacity", style.is_stroke_clear),
        is_fill_clear=_is_clear(written, "fill-opacity", style.is_fill_clear),
        # The opacity of a group is that of all in it, whatever they say themselves.
        is_clear=style.is_clear or _is_clear(written, "opacity", inherited=False),
        is_visible=(
            style.is_visible
            if visibility is None
            else visibility.lower() not in {"hidden", "collapse"}
        ),
        font=font_of(style.font, written.get("font-size")),
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
    return initial if value.lower() == "initial" else value


def _is_unpainted(paint: str) -> bool:
    return paint.lower() == "none" or is_transparent(paint)


def _is_clear(written: dict[str, str], name: str, inherited: bool) -> bool:
    opacity = written.get(name)
    return inherited if opacity is None else _ZERO.fullmatch(opacity) is not None
