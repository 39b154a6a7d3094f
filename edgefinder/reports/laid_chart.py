"""Charts of strips that lie in a cloth or in a scrap, whatever way they were found.

A strip's number begins with the letter of its tape where there are several.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from edgefinder.classifier.job import Grain
from edgefinder.reports.amounts import length, on_ruler, width
from edgefinder.reports.chart_cloth import (
    SIZE_MM,
    Cloth,
    arrow,
    grain_arrow,
    letter,
    numbered,
    size_below,
    size_beside,
    strip_number,
)
from edgefinder.reports.chart_marks import (
    Fill,
    Label,
    Line,
    Mark,
    Panel,
    Point,
    make_panel,
)
from edgefinder.reports.chart_page import lay_out
from edgefinder.reports.chart_svg import sheet_svg
from edgefinder.reports.cutting_words import bias_marks
from edgefinder.reports.tapes_text import ranges, search_words, way_words
from edgefinder.units import Unit
from edgefinder.yardage.intervals import Interval, merge
from edgefinder.yardage.scraps import ScrapCover, ScrapTape
from edgefinder.yardage.strip_ends import Strip
from edgefinder.yardage.strip_rows import OneCut

SAME_LINE_MM: Final = 0.01
"""Sides of strips nearer than this are one line: no ruler tells them apart."""
LETTERS: Final = "abcdefghijklmnopqrstuvwxyz"
ARROW_MM: Final = 14.0
"""Paper for the arrow along the grain of a scrap."""


@dataclass(frozen=True, slots=True)
class Named:
    """A strip with the text that stands on it."""

    text: str
    strip: Strip


def one_cut_title(cut: OneCut) -> str:
    """Name the chart of several tapes."""
    return f"All tapes in one cut, {way_words(cut.grain)}"


def one_cut_facts(cut: OneCut, unit: Unit) -> tuple[str, ...]:
    """Say what several tapes in one cut take, and which strip is whose."""
    across = on_ruler(cut.width, unit, cut.width)
    size = f"{across} across x {on_ruler(cut.length, unit)} along"
    found = [f"Cut {size} off the cloth; {search_words(cut, unit)}."]
    for sign, tape in zip(LETTERS, _tapes(cut), strict=False):
        strips = [one.strip for one in cut.strips if one.tape == tape]
        numbers = ranges([strip.number for strip in strips])
        first = _first_line(cut, strips, unit)
        found.append(
            f"{sign}: {tape}, strips {numbers}, {width(strips[0].cut_width, unit)} "
            f"wide{first}."
        )
    return tuple(found)


def _first_line(cut: OneCut, strips: Sequence[Strip], unit: Unit) -> str:
    """Say where the first line of a tape on the bias leaves the upper left corner."""
    if cut.grain is not Grain.BIAS or cut.rows > 1:
        return ""
    place = min(x - y for strip in strips for x, y in strip.corners) + cut.length
    begin, end = bias_marks(place, (cut.width, cut.length), unit)
    return f"; its first line runs from {begin} to {end}"


def one_cut_chart(cut: OneCut, unit: Unit, *, prefix: str = "chart") -> str:
    """Draw several tapes in one cloth.

    Parameters
    ----------
    cut : OneCut
    unit : Unit
    prefix : str
        Begins every id.

    Returns
    -------
    str
        One ``svg`` element; see `edgefinder.reports.cutting_chart`.
    """
    signs = dict(zip(_tapes(cut), LETTERS, strict=False))
    strips = [
        Named(f"{signs.get(one.tape, '')}{one.strip.number}", one.strip)
        for one in cut.strips
    ]

    def draw(scale: float) -> Sequence[Panel]:
        return (_cloth(cut, strips, unit, scale),)

    title, facts = one_cut_title(cut), one_cut_facts(cut, unit)
    sheet = lay_out(title, facts, draw, (cut.width, cut.length), unit)
    return sheet_svg(sheet, f"Cutting chart. {title}", " ".join(facts), prefix)


def _tapes(cut: OneCut) -> list[str]:
    return list(dict.fromkeys(one.tape for one in cut.strips))


def _cloth(cut: OneCut, strips: Sequence[Named], unit: Unit, scale: float) -> Panel:
    cloth = Cloth(cut.width, cut.width, cut.length, scale)
    left, _, right, _ = cloth.box
    apart = right + (SIZE_MM + 3.0) * scale
    across, along = on_ruler(cut.width, unit, cut.width), on_ruler(cut.length, unit)
    below, first = size_below(0.0, cut.width, -(SIZE_MM + 4.0) * scale, across, scale)
    beside, second = size_beside(0.0, cut.length, apart, along, scale)
    grain, word = grain_arrow((apart + 10.0 * scale, cut.length / 2), scale)
    marks = [
        Mark(cloth.corners, None, Fill.DROPPED, closed=True, key="cloth"),
        *_strips([one.strip for one in strips]),
        *cloth.marks(),
        *cloth.piece(),
        *below,
        *beside,
        *grain,
    ]
    labels = [*cloth.labels(), first, second, word, *_numbers(strips, scale)]
    if cut.grain is Grain.BIAS:
        side = 3.5 * scale
        labels += [
            letter("A", (left - side, cut.length / 3), (0.0, -1.0)),
            letter("A", (right + side, cut.length / 3), (0.0, -1.0)),
            letter("B", (0.6 * cut.width, cut.length + side), (1.0, 0.0)),
            letter("B", (0.6 * cut.width, -side), (1.0, 0.0)),
        ]
    caption = (
        "Cut the piece off; wrong side up, rule the strips of each tape side by side. "
        "The letter of a strip is that of its tape."
    )
    return make_panel(caption, marks, labels, scale)


def _strips(strips: Sequence[Strip]) -> list[Mark]:
    """Fill strips, rule their long sides and draw their ends."""
    marks = [
        Mark(strip.corners, None, Fill.CLOTH, closed=True, key=f"strip-{strip.number}")
        for strip in strips
    ]
    for strip in strips:
        lower_near, lower_far, upper_far, upper_near = strip.corners
        marks += [
            Mark((lower_near, upper_near), Line.THIN),
            Mark((lower_far, upper_far), Line.THIN),
        ]
    return marks + [Mark(ends, Line.RULE) for ends in _ruled(strips)]


def _ruled(strips: Sequence[Strip]) -> list[tuple[Point, Point]]:
    """List the long sides of strips that run one way; neighbours share a line once."""
    if not strips:
        return []
    (x0, y0), (x1, y1), *_ = strips[0].corners
    way = math.atan2(y1 - y0, x1 - x0)
    cos, sin = math.cos(way), math.sin(way)
    lines: dict[int, list[Interval]] = {}
    for strip in strips:
        lower_near, lower_far, upper_far, upper_near = strip.corners
        for one, other in ((lower_near, lower_far), (upper_near, upper_far)):
            across = one[1] * cos - one[0] * sin
            ends = sorted(x * cos + y * sin for x, y in (one, other))
            key = round(across / SAME_LINE_MM)
            lines.setdefault(key, []).append((ends[0], ends[1]))
    found = []
    for key, intervals in lines.items():
        across = key * SAME_LINE_MM
        for interval in merge(intervals):
            start, end = (
                (at * cos - across * sin, at * sin + across * cos) for at in interval
            )
            found.append((start, end))
    return found


def _numbers(strips: Sequence[Named], scale: float) -> list[Label]:
    """Return the numbers in the order of placing: those at the ends first."""
    if not strips:
        return []
    room = min(one.strip.cut_width for one in strips) / scale
    labels = []
    for i in numbered(len(strips), room):
        one = strips[i - 1]
        x, y = (sum(part) / 4.0 for part in zip(*one.strip.corners, strict=True))
        own = one.strip.cut_width / scale
        labels.append(replace(strip_number(i, (x, y), own), text=one.text))
    return labels


# Scraps


def taken_scraps(cover: ScrapCover) -> list[tuple[ScrapTape, tuple[Strip, ...]]]:
    """List the scraps that are taken, each with its strips as they are numbered."""
    found = []
    before = 0
    for i in cover.taken:
        tape = cover.tapes[i]
        last = before + len(tape.strips)
        own = tuple(s for s in cover.strips if before < s.number <= last)
        found.append((tape, own))
        before = last
    return found


def scrap_title(tape: ScrapTape) -> str:
    """Name the chart of a scrap, and its files."""
    name = tape.scrap.name
    if name.casefold().startswith("scrap"):
        return name[0].upper() + name[1:]
    return f"Scrap {name}"


def scrap_facts(strips: Sequence[Strip], unit: Unit) -> tuple[str, ...]:
    """Say what lies in a scrap."""
    if not strips:
        return ()
    lengths = ", ".join(length(strip.length, unit) for strip in strips)
    numbers = ranges([strip.number for strip in strips])
    return (
        f"Strips {numbers}, {width(strips[0].cut_width, unit)} wide.",
        f"Long on their midlines: {lengths}.",
    )


def scrap_chart(
    tape: ScrapTape, strips: Sequence[Strip], unit: Unit, *, prefix: str = "chart"
) -> str:
    """Draw the strips in a scrap.

    Parameters
    ----------
    tape : ScrapTape
    strips : sequence of Strip
        Its strips as they are numbered through all scraps.
    unit : Unit
    prefix : str
        Begins every id.
    """
    ring = tape.scrap.rings[0]
    left, low = min(x for x, _ in ring), min(y for _, y in ring)
    size = max(x for x, _ in ring) - left, max(y for _, y in ring) - low
    title, facts = scrap_title(tape), scrap_facts(strips, unit)

    def draw(scale: float) -> Sequence[Panel]:
        return (_scrap(tape, strips, (left, low, *size), unit, scale),)

    sheet = lay_out(title, facts, draw, size, unit)
    return sheet_svg(sheet, f"Cutting chart. {title}", " ".join(facts), prefix)


def _scrap(
    tape: ScrapTape,
    strips: Sequence[Strip],
    box: tuple[float, float, float, float],
    unit: Unit,
    scale: float,
) -> Panel:
    left, low, wide, high = box
    outer, *holes = tape.scrap.rings
    below, first = size_below(
        left, left + wide, low - SIZE_MM * scale, length(wide, unit), scale
    )
    beside, second = size_beside(
        low, low + high, left + wide + SIZE_MM * scale, length(high, unit), scale
    )
    marks = [
        Mark(outer, None, Fill.DROPPED, closed=True, key="cloth"),
        *(Mark(hole, None, Fill.CLOTH, closed=True) for hole in holes),
        *_strips(strips),
        *(Mark(ring, Line.EDGE, closed=True) for ring in tape.scrap.rings),
        *below,
        *beside,
    ]
    half = 0.5 * ARROW_MM * scale
    at = left + wide + (2.0 * SIZE_MM + 12.0) * scale, low + 0.5 * high
    way = math.cos(tape.scrap.grain) * half, math.sin(tape.scrap.grain) * half
    start = at[0] - way[0], at[1] - way[1]
    end = at[0] + way[0], at[1] + way[1]
    marks += arrow(start, end, scale, both=True)
    labels = [
        first,
        second,
        Label("grain", (at[0], at[1] - half - 3.0 * scale)),
        *_numbers([Named(str(s.number), s) for s in strips], scale),
    ]
    caption = (
        "Lay the scrap as it is drawn: rule the strips, cut them out, number them."
    )
    return make_panel(caption, marks, labels, scale)
