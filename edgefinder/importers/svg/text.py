"""Lines of text, for the names and notes on pattern pieces."""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Final

from edgefinder.importers.svg.font_size import font_of
from edgefinder.importers.svg.units import Viewport
from edgefinder.importers.svg.xml import Element

_PARTS: Final = frozenset({"tspan", "textPath", "a"})

FontSize = Callable[[Element], str | None]


@dataclass(frozen=True, slots=True)
class TextLine:
    """Text and its insertion point in user units."""

    text: str
    at: complex


def read_text(
    element: Element, viewport: Viewport, font_size: FontSize
) -> tuple[TextLine, ...]:
    """Read a text element; a part with an x of its own begins a new line.

    Parameters
    ----------
    element : Element
    viewport : Viewport
        What percentages are of, and the font of the element.
    font_size : callable
        Gives what a part says of its font's size, or None.

    Returns
    -------
    tuple of TextLine
        Without empty ones; white space is one space.

    Raises
    ------
    DrawingError
        With the reason, if a position cannot be read.
    """
    lines = _Lines(font_size)
    lines.take(element, viewport)
    lines.end()
    return tuple(lines.done)


@dataclass(slots=True)
class _Lines:
    font_size: FontSize
    at: complex = 0j
    parts: list[str] = field(default_factory=list)
    done: list[TextLine] = field(default_factory=list)

    def take(self, element: Element, viewport: Viewport) -> None:
        x, y, down = (_first(element, name) for name in ("x", "y", "dy"))
        if x:
            self.end()
            self.at = complex(viewport.across(x), self.at.imag)
        if y:
            self.at = complex(self.at.real, viewport.down(y))
        if x and down:
            self.at += 1j * viewport.down(down)
        for part in element.content:
            if isinstance(part, str):
                self.parts.append(part)
            elif part.tag in _PARTS:
                font = font_of(viewport.font, self.font_size(part))
                self.take(part, viewport.in_font(font))

    def end(self) -> None:
        text = " ".join("".join(self.parts).split())
        self.parts = []
        if text:
            self.done.append(TextLine(text, self.at))


def _first(element: Element, name: str) -> str:
    # A list of positions places single letters; the first is where the text begins.
    return (element.attributes.get(name, "").replace(",", " ").split() or [""])[0]
