"""Drawings on one sheet of paper: scale, order, captions, key and bar."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Final

from edgefinder.constants import MM_PER_INCH
from edgefinder.reports.chart_marks import (
    PENS,
    Anchor,
    Fill,
    Label,
    Line,
    Mark,
    Panel,
    label_box,
    text_width,
    wrapped,
)
from edgefinder.units import Unit

PAPER_WIDTH_MM: Final = 180.0
"""A4 (210 mm) with margins of 15 mm; narrower than US Letter with the same."""
PAPER_HEIGHT_MM: Final = 249.0
"""US Letter (279 mm) with margins of 15 mm; lower than A4 with the same."""
EDGE_MM: Final = 2.0
"""Paper left white round the drawings."""
ROOM_MM: Final = PAPER_WIDTH_MM - 2.0 * EDGE_MM
"""Paper between the white edges."""

SCALES: Final = tuple(
    step * 10.0**power
    for power in range(7)
    for step in (1.0, 1.2, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0)
)
"""Millimetres of cloth to one of paper, in steps that are easily said."""

TITLE_MM: Final = 5.0
MOST_LETTERS: Final = 100
"""A word of a title beyond this is cut at once: no line holds more."""
CAPTION_MM: Final = 3.3
FACT_MM: Final = 3.0
LINE_SHARE: Final = 1.35
"""Height of a line of text as a share of its font size."""
NARROWEST_MM: Final = 58.0
"""Paper that a caption gets beside a narrow drawing."""
GAP_MM: Final = 5.0
"""Paper between drawings."""
BAR_MM: Final = 50.0
"""The bar of the scale is at most this long on paper."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet, laid out.

    Parameters
    ----------
    scale : float
        Millimetres of cloth to one of paper.
    width, height : float
        Millimetres of cloth within the white edge: x runs from 0 to the width, y
        from 0 down to -height.
    marks : tuple of Mark
    labels : tuple of Label
    """

    scale: float
    width: float
    height: float
    marks: tuple[Mark, ...]
    labels: tuple[Label, ...]


def lay_out(
    title: str,
    facts: Sequence[str],
    draw: Callable[[float], Sequence[Panel]],
    piece: tuple[float, float],
    unit: Unit,
) -> Sheet:
    """Lay drawings out at the largest scale at which they fit on the paper.

    Parameters
    ----------
    title : str
    facts : sequence of str
        Sentences below the title.
    draw : callable
        Returns the drawings at a scale.
    piece : (float, float)
        Millimetres of cloth across and along: scales at which that alone is larger
        than the paper are not tried.
    unit : Unit
        Of the bar of the scale.

    Returns
    -------
    Sheet

    Raises
    ------
    ValueError
        If they fit at no scale.
    """
    least = max(piece[0] / PAPER_WIDTH_MM, piece[1] / PAPER_HEIGHT_MM)
    for scale in (scale for scale in SCALES if scale >= least):
        sheet = _sheet(title, facts, draw(scale), unit, scale)
        if sheet is not None:
            return sheet
    raise ValueError("the drawings are too large for any scale")


def _sheet(
    title: str, facts: Sequence[str], panels: Sequence[Panel], unit: Unit, scale: float
) -> Sheet | None:
    """Lay everything out at one scale; None if it does not fit."""
    labels, y = _head(title, facts, scale)
    marks: list[Mark] = []
    numbered = [(i, panel, panel.box(scale)) for i, panel in enumerate(panels, 1)]
    for row in _rows(numbered, scale):
        placed, y = _row(row, y, scale)
        for panel in placed:
            marks += panel.marks
            labels += panel.labels
        if -y > (PAPER_HEIGHT_MM - 2.0 * EDGE_MM) * scale:
            return None
    foot, y = _foot(marks, y, unit, scale)
    widest = max(
        [label_box(label, scale)[2] for label in (*labels, *foot.labels)]
        + [x for mark in (*marks, *foot.marks) for x, _ in mark.points]
    )
    if -y > (PAPER_HEIGHT_MM - 2.0 * EDGE_MM) * scale or widest > ROOM_MM * scale:
        return None
    return Sheet(
        scale,
        ROOM_MM * scale,
        -y,
        (*marks, *foot.marks),
        (*labels, *foot.labels),
    )


def _head(title: str, facts: Sequence[str], scale: float) -> tuple[list[Label], float]:
    labels: list[Label] = []
    y = 0.0
    for line in _clipped(title):
        labels.append(_text(line, (0.0, y), TITLE_MM, scale, bold=True))
        y -= TITLE_MM * LINE_SHARE * scale
    y -= 1.0 * scale
    for fact in facts:
        for line in wrapped(fact, ROOM_MM, FACT_MM):
            labels.append(_text(line, (0.0, y), FACT_MM, scale))
            y -= FACT_MM * LINE_SHARE * scale
    return labels, y


def _clipped(title: str) -> list[str]:
    """Break a title into at most two lines; a name without end is cut short."""
    lines: list[str] = []
    for line in wrapped(title, ROOM_MM, TITLE_MM, bold=True)[:2]:
        short = line if len(line) <= MOST_LETTERS else f"{line[:MOST_LETTERS]}.."
        while text_width(short, TITLE_MM, bold=True) > ROOM_MM:
            short = f"{short.removesuffix('..')[:-1]}.."
        lines.append(short)
    return lines


def _text(
    text: str,
    top_left: tuple[float, float],
    height: float,
    scale: float,
    *,
    bold: bool = False,
) -> Label:
    x, y = top_left
    middle = y - height * LINE_SHARE * scale / 2
    return Label(text, (x, middle), Anchor.START, height, bold=bold)


Numbered = tuple[int, Panel, tuple[float, float, float, float]]


def _rows(panels: Sequence[Numbered], scale: float) -> list[list[Numbered]]:
    """Put drawings side by side as long as the paper is wide enough."""
    rows: list[list[Numbered]] = []
    x = math.inf
    for numbered in panels:
        wide = _block_width(numbered, scale)
        if x + wide > ROOM_MM * scale:
            rows.append([])
            x = 0.0
        rows[-1].append(numbered)
        x += wide + GAP_MM * scale
    return rows


def _block_width(numbered: Numbered, scale: float) -> float:
    left, _, right, _ = numbered[2]
    return max(right - left, NARROWEST_MM * scale)


def _row(row: Sequence[Numbered], y: float, scale: float) -> tuple[list[Panel], float]:
    """Place the drawings of a row below their captions."""
    indent = 5.5 * scale
    y -= GAP_MM * scale
    spare = _spare(row, scale)
    blocks = [_block_width(numbered, scale) + spare for numbered in row]
    captions = [
        wrapped(panel.caption, (block - indent) / scale, CAPTION_MM)
        for (_, panel, _), block in zip(row, blocks, strict=True)
    ]
    step = CAPTION_MM * LINE_SHARE * scale
    drawing_top = y - step * max(map(len, captions)) - 2.0 * scale
    placed: list[Panel] = []
    x, low = 0.0, drawing_top
    for (i, panel, box), lines, block in zip(row, captions, blocks, strict=True):
        moved = panel.moved(x - box[0], drawing_top - box[3])
        words_above = [
            _text(line, (x + indent, y - j * step), CAPTION_MM, scale)
            for j, line in enumerate(lines)
        ]
        sign = _text(f"{i}", (x, y), CAPTION_MM * 1.2, scale, bold=True)
        placed.append(replace(moved, labels=(sign, *words_above, *moved.labels)))
        low = min(low, drawing_top - (box[3] - box[1]))
        x += block + GAP_MM * scale
    return placed, low


def _spare(row: Sequence[Numbered], scale: float) -> float:
    """Share out the width that a row leaves free: captions take fewer lines."""
    taken = sum(_block_width(numbered, scale) for numbered in row)
    taken += GAP_MM * scale * (len(row) - 1)
    return max(0.0, ROOM_MM * scale - taken) / len(row)


def _foot(
    marks: Sequence[Mark], y: float, unit: Unit, scale: float
) -> tuple[Panel, float]:
    """Lay out the key of lines and the bar of the scale."""
    key: list[tuple[Line | None, str]] = [
        (line, PENS[line].meaning)
        for line in Line
        if PENS[line].meaning and any(mark.line is line for mark in marks)
    ]
    if any(mark.fill is Fill.DROPPED for mark in marks):
        key.append((None, "not used"))
    drawn: list[Mark] = []
    labels: list[Label] = []
    step = 5.5 * scale
    x, y = 0.0, y - GAP_MM * scale - step / 2
    for line, meaning in key:
        wide = (12.0 + text_width(meaning, FACT_MM) + 3.0) * scale
        if x > 0.0 and x + wide > ROOM_MM * scale:
            x, y = 0.0, y - step
        drawn.append(_sample(line, x, y, scale))
        at = (x + 12.0 * scale, y)
        labels.append(Label(meaning, at, Anchor.START, FACT_MM))
        x += wide
    y -= step
    size, text = _bar(unit, scale)
    half = 0.8 * scale
    drawn += [
        Mark(((0.0, y), (size, y)), Line.EDGE, key="scale-bar"),
        Mark(((0.0, y - half), (0.0, y + half)), Line.EDGE),
        Mark(((size, y - half), (size, y + half)), Line.EDGE),
    ]
    said = f"{text}   (1 : {scale:g} if printed {PAPER_WIDTH_MM:g} mm wide)"
    labels.append(Label(said, (size + 3.0 * scale, y), Anchor.START, FACT_MM))
    return Panel("", tuple(drawn), tuple(labels)), y - step / 2


def _sample(line: Line | None, x: float, y: float, scale: float) -> Mark:
    long, half = 10.5 * scale, 1.5 * scale
    if line is not None:
        return Mark(((x, y), (x + long, y)), line)
    corners = (
        (x, y - half),
        (x + long, y - half),
        (x + long, y + half),
        (x, y + half),
    )
    return Mark(corners, Line.THIN, Fill.DROPPED, closed=True)


def _bar(unit: Unit, scale: float) -> tuple[float, str]:
    """Return the longest round length that the bar may have, and its name."""
    inch = unit is Unit.INCH
    one = MM_PER_INCH if inch else 10.0
    most = BAR_MM * scale / one
    power = 10.0 ** math.floor(math.log10(most))
    size = max(step * power for step in (1.0, 2.0, 5.0) if step * power <= most)
    if inch:
        return size * one, f"{size:g} in"
    if unit is Unit.MILLIMETRE:
        return size * one, f"{size * one:g} mm"
    return size * one, f"{size:g} cm"
