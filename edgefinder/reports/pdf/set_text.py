"""Text set in lines: paragraphs, and headings with their bookmarks."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable

from edgefinder.reports.pdf.letters import Letters

LEADING: Final = 1.3
"""From line to line, as a share of the font size."""
DESCENT: Final = 0.3
"""From the line that letters stand on to the lower end of their line, likewise."""


@dataclass(frozen=True, slots=True)
class Style:
    """How a text is set.

    Parameters
    ----------
    size : float
        Of the font, in points.
    bold : bool
    right : bool
        Whether lines end at the right.
    before, after : float
        Left free, in points.
    """

    size: float
    bold: bool = False
    right: bool = False
    before: float = 0.0
    after: float = 0.0


BODY: Final = Style(9.0, after=4.0)
CELL: Final = Style(8.0)
FIGURE: Final = Style(8.0, right=True)
HEAD: Final = Style(8.0, bold=True)
FIGURE_HEAD: Final = Style(8.0, bold=True, right=True)
CAPTION: Final = Style(8.0)
LONGEST_HEADING: Final = 6
"""Lines of a heading: a name of thousands of letters would take the whole page."""
HEADINGS: Final = (
    Style(18.0, bold=True, after=6.0),
    Style(14.0, bold=True, before=4.0, after=6.0),
    Style(11.0, bold=True, before=8.0, after=4.0),
    Style(9.0, bold=True, before=6.0, after=3.0),
)
"""Of the sheet, of a size, of a part of it, and of what is in a part."""


def draw_line(
    canvas: Canvas, text: str, at: tuple[float, float], style: Style, letters: Letters
) -> None:
    """Write one line that begins at a place, each part of it in its font."""
    line = canvas.beginText(*at)
    for span in letters.spans(text, bold=style.bold):
        line.setFont(span.font, style.size)
        line.textOut(span.text)
    canvas.drawText(line)


class Writing(Flowable):
    """A text in as many lines as it takes; no letter of it is markup.

    Parameters
    ----------
    text : str
    style : Style
    letters : Letters
    key : str
        By which links find it; empty for none.
    most : int or None
        Lines after which it is cut short.
    lines : tuple of str
        Where it is set in lines already.
    """

    def __init__(
        self,
        text: str,
        style: Style,
        letters: Letters,
        *,
        key: str = "",
        most: int | None = None,
        lines: tuple[str, ...] = (),
    ) -> None:
        super().__init__()
        self._is_set = bool(lines)
        self.width = self.height = -1.0
        self._text = text
        self._style = style
        self._letters = letters
        self._key = key
        self._most = most
        self._lines = lines

    def wrap(self, available: float, _high: float) -> tuple[float, float]:
        """Set the lines for a width; return what they take, in points."""
        style = self._style
        if not self._is_set and available != self.width:
            lines = self._letters.wrapped(
                self._text, available, style.size, bold=style.bold
            )
            if self._most is not None and len(lines) > self._most:
                lines = (*lines[: self._most - 1], "..")
            self._lines = lines
        self.width = available
        self.height = len(self._lines) * style.size * LEADING
        return self.width, self.height

    def split(self, available: float, high: float) -> list[Flowable]:
        """Divide the lines between this page and the next."""
        self.wrap(available, high)
        step = self._style.size * LEADING
        room = int(high / step)
        if room < 1 or room >= len(self._lines):
            return []
        first, rest = self._lines[:room], self._lines[room:]
        return [
            Writing("", self._style, self._letters, key=self._key, lines=first),
            Writing("", self._style, self._letters, lines=rest),
        ]

    def draw(self) -> None:
        """Write the lines."""
        canvas, style = self.canv, self._style
        step = style.size * LEADING
        if self._key:
            canvas.bookmarkHorizontal(self._key, 0, self.height)
        for number, line in enumerate(self._lines, start=1):
            left = 0.0
            if style.right:
                wide = self._letters.width(line, style.size, bold=style.bold)
                left = self.width - wide
            low = self.height - number * step + DESCENT * style.size
            draw_line(canvas, line, (left, low), style, self._letters)

    def getSpaceBefore(self) -> float:  # noqa: N802 - as the library calls it
        """Return what is left free above, in points."""
        return self._style.before

    def getSpaceAfter(self) -> float:  # noqa: N802
        """Return what is left free below, in points."""
        return self._style.after


class Heading(Writing):
    """A heading with its bookmark.

    Parameters
    ----------
    text : str
    depth : int
        0 for the sheet.
    letters : Letters
    key : str
        Of the bookmark; unique in the document.
    bookmark : tuple of (str, int) or None
        Its name, and how deep it lies.
    begun : callable or None
        Called when it is written.
    """

    def __init__(
        self,
        text: str,
        depth: int,
        letters: Letters,
        key: str,
        bookmark: tuple[str, int] | None = None,
        begun: Callable[[], None] | None = None,
    ) -> None:
        super().__init__(text, HEADINGS[depth], letters, key=key, most=LONGEST_HEADING)
        self._bookmark = bookmark
        self._begun = begun

    def split(self, _available: float, _high: float) -> list[Flowable]:
        """Keep a heading whole."""
        return []

    def draw(self) -> None:
        """Write the heading and note the bookmark."""
        if self._begun is not None:
            self._begun()
        super().draw()
        if self._bookmark is not None:
            name, depth = self._bookmark
            self.canv.addOutlineEntry(name, self._key, depth, closed=depth > 0)
