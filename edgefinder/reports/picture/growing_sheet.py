"""A sheet that is drawn from top to bottom."""

from typing import Final

from edgefinder.reports.chart_marks import Box, text_width
from edgefinder.reports.picture.drawing_svg import Drawing, Words
from edgefinder.reports.picture.piece_panel import PiecePanel
from edgefinder.reports.picture.strokes import Stroke

PAPER_WIDTH_MM: Final = 176.0
"""A4 (210 mm) with margins of 15 mm, and 2 mm left white."""
TEXT_MM: Final = 3.0
LINE_SHARE: Final = 1.4
"""Height of a line of text as a share of its font size."""


class GrowingSheet:
    """What is drawn so far; ``y`` is the lower end in millimetres of cloth."""

    def __init__(self, scale: float) -> None:
        self.scale = scale
        self.y = 0.0
        self.strokes: list[Stroke] = []
        self.panels: list[PiecePanel] = []
        self.words: list[Words] = []

    def write(
        self, text: str, height: float, x: float = 0.0, *, bold: bool = False
    ) -> None:
        """Write one line and go below it."""
        step = height * LINE_SHARE * self.scale
        at = complex(x, self.y - step / 2)
        self.words.append(Words(text, at, height, bold=bold))
        self.y -= step

    def gap(self, paper: float) -> None:
        """Leave paper free."""
        self.y -= paper * self.scale

    def drawing(self) -> Drawing:
        """Return all of it; the sheet is at least as wide as the paper."""
        boxes = [panel.box for panel in self.panels]
        boxes += [words_box(one, self.scale) for one in self.words]
        right = max([PAPER_WIDTH_MM * self.scale, *(box[2] for box in boxes)])
        return Drawing(
            strokes=(*(s for p in self.panels for s in p.strokes), *self.strokes),
            labels=tuple(label for panel in self.panels for label in panel.labels),
            words=tuple(self.words),
            box=(0.0, self.y, right, 0.0),
            scale=self.scale,
        )


def words_box(one: Words, scale: float) -> Box:
    """Return the box that a line of text takes, in millimetres of cloth."""
    wide = text_width(one.text, one.height, bold=one.bold) * scale
    half = one.height * scale / 2
    x, y = one.at.real, one.at.imag
    return (x, y - half, x + wide, y + half)
