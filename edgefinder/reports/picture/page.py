"""Pieces side by side on one sheet, with a key, a scale bar and the places to watch."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from edgefinder.reports.chart_marks import text_width, wrapped
from edgefinder.reports.picture.drawing_svg import Drawing
from edgefinder.reports.picture.growing_sheet import (
    PAPER_WIDTH_MM,
    TEXT_MM,
    GrowingSheet,
    words_box,
)
from edgefinder.reports.picture.labels import short
from edgefinder.reports.picture.page_key import (
    draw_bar,
    write_key,
    write_marks_key,
)
from edgefinder.reports.picture.piece_panel import PiecePanel
from edgefinder.units import Unit

TITLE_MM: Final = 5.0
CAPTION_MM: Final = 3.6
GAP_MM: Final = 5.0
"""Paper between pieces."""
LONGEST_CAPTION: Final = 60


@dataclass(frozen=True, slots=True, eq=False)
class Block:
    """The pieces of one size.

    Parameters
    ----------
    heading : str
        Empty for none.
    panels : tuple of PiecePanel
    places : tuple of (int, str)
        Numbers and sentences of the places to watch on these pieces.
    """

    heading: str
    panels: tuple[PiecePanel, ...]
    places: tuple[tuple[int, str], ...]


def lay_out_blocks(
    title: str,
    blocks: Sequence[Block],
    runs: Sequence[str],
    unit: Unit,
    scale: float,
) -> Drawing:
    """Lay pieces out size by size, as many side by side as the paper is wide.

    Parameters
    ----------
    title : str
    blocks : sequence of Block
    runs : sequence of str
        Names of the runs; the first has letter A.
    unit : Unit
        Of the scale bar.
    scale : float
        Millimetres of cloth to one of paper.

    Returns
    -------
    Drawing
    """
    sheet = GrowingSheet(scale)
    sheet.write(short(title, LONGEST_CAPTION), TITLE_MM, bold=True)
    for block in blocks:
        if block.heading:
            sheet.gap(GAP_MM)
            sheet.write(short(block.heading, LONGEST_CAPTION), TITLE_MM, bold=True)
        for row in _rows(block.panels, scale):
            _place_row(sheet, row)
        _write_places(sheet, block.places)
    shown = sorted({run for b in blocks for p in b.panels for run in p.view.runs})
    verdicts = {band.verdict for b in blocks for p in b.panels for band in p.view.bands}
    sheet.gap(GAP_MM)
    write_marks_key(sheet)
    write_key(sheet, [(run, runs[run]) for run in shown], verdicts)
    draw_bar(sheet, unit)
    return sheet.drawing()


def lay_out_piece(panel: PiecePanel, unit: Unit, scale: float) -> Drawing:
    """Lay out one piece with a scale bar, for a page that has the key and the names."""
    left, _, _, top = panel.box
    moved = panel.moved(complex(-left, -top))
    low = moved.box[1]
    sheet = GrowingSheet(scale)
    sheet.panels.append(moved)
    sheet.y = low
    sheet.gap(2.0)
    draw_bar(sheet, unit)
    drawing = sheet.drawing()
    right = max(moved.box[2], *(words_box(one, scale)[2] for one in sheet.words))
    return Drawing(
        drawing.strokes,
        drawing.labels,
        drawing.words,
        (0.0, sheet.y, right, 0.0),
        scale,
    )


def caption_of(panel: PiecePanel) -> tuple[str, str]:
    """Return the name of a piece, and how often it is cut."""
    view = panel.view
    on_fold = " on the fold" if view.is_on_fold else ""
    return short(view.piece.name, LONGEST_CAPTION), f"cut {view.cut}{on_fold}"


def _block_width(panel: PiecePanel, scale: float) -> float:
    name, cut = caption_of(panel)
    widths = (text_width(name, CAPTION_MM, bold=True), text_width(cut, TEXT_MM))
    return max(panel.box[2] - panel.box[0], max(widths) * scale)


def _rows(panels: Sequence[PiecePanel], scale: float) -> list[list[PiecePanel]]:
    rows: list[list[PiecePanel]] = []
    x = math.inf
    for panel in panels:
        wide = _block_width(panel, scale)
        if x + wide > PAPER_WIDTH_MM * scale:
            rows.append([])
            x = 0.0
        rows[-1].append(panel)
        x += wide + GAP_MM * scale
    return rows


def _place_row(sheet: GrowingSheet, row: Sequence[PiecePanel]) -> None:
    sheet.gap(GAP_MM)
    top, x, scale = sheet.y, 0.0, sheet.scale
    lowest = top
    for panel in row:
        name, cut = caption_of(panel)
        sheet.y = top
        sheet.write(name, CAPTION_MM, x, bold=True)
        sheet.write(cut, TEXT_MM, x)
        sheet.gap(1.5)
        left, low, _, high = panel.box
        sheet.panels.append(panel.moved(complex(x - left, sheet.y - high)))
        lowest = min(lowest, sheet.y - (high - low))
        x += _block_width(panel, scale) + GAP_MM * scale
    sheet.y = lowest


def _write_places(sheet: GrowingSheet, places: Sequence[tuple[int, str]]) -> None:
    if not places:
        return
    indent = 8.0
    sheet.gap(GAP_MM)
    sheet.write("Places to watch", CAPTION_MM, bold=True)
    for number, text in places:
        first = sheet.y
        for line in wrapped(text, PAPER_WIDTH_MM - indent, TEXT_MM):
            sheet.write(line, TEXT_MM, indent * sheet.scale)
        below, sheet.y = sheet.y, first
        sheet.write(str(number), TEXT_MM, bold=True)
        sheet.y = below
