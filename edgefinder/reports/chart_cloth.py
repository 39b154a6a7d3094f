"""The cloth on the table, as every chart draws it: selvages, grain, sizes, breaks."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from edgefinder.reports.chart_marks import (
    LABEL_MM,
    Anchor,
    Box,
    Fill,
    Frame,
    Label,
    Line,
    Mark,
    Point,
    text_width,
)
from edgefinder.yardage.cutting import Cutting

SELVAGE_MM: Final = 4.2
"""Paper for a selvage, whose real width nobody needs: room for the word."""
BREAK_GAP_MM: Final = 2.5
"""Paper between the two parts of cloth that is drawn broken."""
BREAK_SIDE_MM: Final = 8.5
"""Paper for the cloth that is still shown before a break."""
TOOTH_MM: Final = 1.1
"""Height of the zigzag of a break."""
ARROW_MM: Final = 14.0
"""Paper for the arrow along the grain."""
SIZE_MM: Final = 5.0
"""Paper between the cloth and the line that measures it."""
LEAST_NUMBER_MM: Final = 2.1
"""Height of the number of a narrow strip on paper, 6 points: the least that is read."""
CIRCLE_MM: Final = 4.8
"""Paper across a strip from which on its number has a circle: the circle's size."""
LEAST_SPACE_MM: Final = 1.2
"""Paper between ruled lines: two pens of 0.4 mm and as much white between them."""
LEAST_CUT_MM: Final = 0.01
"""Nothing is cut off a piece that is larger by less: the rounding of a sum."""
STEPS: Final = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000)
"""Every n-th line or number is drawn where all are too many."""
WORD_SPAN_MM: Final = 16.0
"""Paper that the word selvage needs along the selvage."""


def sized(start: Point, end: Point, bar: float) -> tuple[Mark, ...]:
    """Draw a measured distance: a thin line with a bar across both ends."""
    long = math.dist(start, end)
    across = (
        (-(end[1] - start[1]) / long * bar / 2, (end[0] - start[0]) / long * bar / 2)
        if long > 0.0
        else (0.0, bar / 2)
    )
    ends = [
        Mark(
            ((x - across[0], y - across[1]), (x + across[0], y + across[1])), Line.THIN
        )
        for x, y in (start, end)
    ]
    return Mark((start, end), Line.THIN), *ends


def size_below(
    left: float, right: float, y: float, text: str, scale: float
) -> tuple[tuple[Mark, ...], Label]:
    """Measure a distance across, the figure below its line."""
    marks = sized((left, y), (right, y), 2.0 * scale)
    return marks, Label(text, ((left + right) / 2, y - 2.6 * scale))


def size_above(
    left: float, right: float, y: float, text: str, scale: float
) -> tuple[tuple[Mark, ...], Label]:
    """Measure a distance across, the figure above its line."""
    marks = sized((left, y), (right, y), 2.0 * scale)
    label = Label(text, ((left + right) / 2, y + 2.6 * scale), outwards=(0.0, 1.0))
    return marks, label


def size_beside(
    low: float, high: float, x: float, text: str, scale: float
) -> tuple[tuple[Mark, ...], Label]:
    """Measure a distance along, the figure at the right of its line, turned."""
    marks = sized((x, low), (x, high), 2.0 * scale)
    label = Label(
        text,
        (x + 2.6 * scale, (low + high) / 2),
        turned=True,
        outwards=(1.0, 0.0),
    )
    return marks, label


def arrow(start: Point, end: Point, scale: float, *, both: bool) -> tuple[Mark, ...]:
    """Draw an arrow, with a head at its end or at both ends."""
    heads = [_head(start, end, scale)]
    if both:
        heads.append(_head(end, start, scale))
    return Mark((start, end), Line.THIN), *heads


def _head(start: Point, end: Point, scale: float) -> Mark:
    long = math.dist(start, end)
    ux, uy = (end[0] - start[0]) / long, (end[1] - start[1]) / long
    back, side = 2.4 * scale, 0.8 * scale
    x, y = end[0] - back * ux, end[1] - back * uy
    return Mark(
        (end, (x - side * uy, y + side * ux), (x + side * uy, y - side * ux)),
        fill=Fill.INK,
        closed=True,
    )


def grain_arrow(
    at: Point, scale: float, *, across: bool = False
) -> tuple[tuple[Mark, ...], Label]:
    """Draw the arrow along the lengthwise grain, with its word at the left of it."""
    x, y = at
    half = ARROW_MM * scale / 2
    if across:
        marks = arrow((x - half, y), (x + half, y), scale, both=True)
        return marks, Label("grain", (x, y + 2.6 * scale), outwards=(0.0, 1.0))
    marks = arrow((x, y - half), (x, y + half), scale, both=True)
    return marks, Label(
        "grain", (x - 2.6 * scale, y), turned=True, outwards=(-1.0, 0.0)
    )


def break_line(start: Point, end: Point, scale: float) -> Mark:
    """Draw the zigzag at which cloth goes on that is not drawn."""
    long = math.dist(start, end)
    teeth = max(2, round(long / (5.0 * scale)))
    ux, uy = (end[0] - start[0]) / long, (end[1] - start[1]) / long
    points = [start]
    for i in range(teeth):
        for share, side in ((0.35, 1.0), (0.65, -1.0)):
            at = (i + share) * long / teeth
            out = side * TOOTH_MM * scale
            points.append(
                (start[0] + at * ux - out * uy, start[1] + at * uy + out * ux)
            )
    points.append(end)
    return Mark(tuple(points), Line.THIN)


@dataclass(frozen=True, slots=True)
class Cloth:
    """The cloth that a piece is cut from, with the piece at its lower left.

    Parameters
    ----------
    usable : float
        Millimetres between the selvages.
    across, along : float
        Millimetres of the piece.
    scale : float
        Millimetres of cloth to one of paper.
    end : float or None
        Millimetres along of a piece of cloth that is there; None where it comes off the
        bolt.
    """

    usable: float
    across: float
    along: float
    scale: float
    end: float | None = None

    @property
    def right(self) -> float:
        """Where the right selvage is drawn, or the edge of a piece that is there."""
        width = max(self.usable, self.across)
        return min(width, self.across + self._shown) if self.is_broken else width

    @property
    def top(self) -> float:
        """Where the cloth is broken off towards the bolt, or ends."""
        if self.end is not None:
            return max(self.end, self.along)
        return self.along + BREAK_SIDE_MM * self.scale

    @property
    def is_broken(self) -> bool:
        """Whether most of the width beside the piece is left out."""
        if self.end is not None:
            return False
        return self.usable - self.across > 1.5 * self._shown

    @property
    def _shown(self) -> float:
        return (2.0 * BREAK_SIDE_MM + BREAK_GAP_MM) * self.scale

    @property
    def box(self) -> Box:
        """The cloth with its selvages; a piece that is there has none."""
        if self.end is not None:
            return (0.0, 0.0, self.right, self.top)
        selvage = SELVAGE_MM * self.scale
        return (-selvage, 0.0, self.right + selvage, self.top)

    def marks(self) -> tuple[Mark, ...]:
        """Draw the cloth, its selvages and the piece."""
        left, _, right, top = self.box
        if self.end is not None:
            corners = ((left, 0.0), (right, 0.0), (right, top), (left, top))
            return (Mark(corners, Line.EDGE, closed=True),)
        marks = [
            Mark(((0.0, top), (0.0, 0.0)), Line.THIN),
            Mark(((self.right, top), (self.right, 0.0)), Line.THIN),
            Mark(((left, top), (left, 0.0)), Line.EDGE),
            Mark(((right, top), (right, 0.0)), Line.EDGE),
        ]
        parts = [(left, right)]
        if self.is_broken:
            before = self.across + BREAK_SIDE_MM * self.scale
            after = before + BREAK_GAP_MM * self.scale
            parts = [(left, before), (after, right)]
            marks += [
                break_line((x, 0.0), (x, top), self.scale) for x in (before, after)
            ]
        for start, end in parts:
            marks.append(Mark(((start, 0.0), (end, 0.0)), Line.EDGE))
            marks.append(break_line((start, top), (end, top), self.scale))
        return tuple(marks)

    @property
    def corners(self) -> tuple[Point, ...]:
        """The piece."""
        return (
            (0.0, 0.0),
            (self.across, 0.0),
            (self.across, self.along),
            (0.0, self.along),
        )

    def piece(self) -> tuple[Mark, ...]:
        """Draw the piece and the first cuts; below, the end of the cloth is cut."""
        low_left, low_right, high_right, high_left = self.corners
        cuts: tuple[Point, ...] = (low_left, high_left, high_right, low_right)
        if self.end is not None:  # where it ends already, nothing is cut
            is_short = self.end - self.along > LEAST_CUT_MM
            is_narrow = self.usable - self.across > LEAST_CUT_MM
            cuts = (high_left,) if is_short else ()
            cuts += (high_right,) if is_short or is_narrow else ()
            cuts += (low_right,) if is_narrow else ()
        piece = Mark(self.corners, closed=True, key="piece")
        if not cuts:
            return (piece,)
        return piece, Mark(cuts, Line.CUT, key="first-cuts")

    def labels(self) -> tuple[Label, ...]:
        """Name the selvages, along them if there is room."""
        if self.end is not None:
            return ()
        left, _, right, top = self.box
        half = SELVAGE_MM * self.scale / 2
        if top < WORD_SPAN_MM * self.scale:
            above = top + 3.0 * self.scale
            return (
                Label("selvage", (left, above), Anchor.START, outwards=(0.0, 1.0)),
                Label("selvage", (right, above), Anchor.END, outwards=(0.0, 1.0)),
            )
        # Below the middle: the marks of the first line are mostly above it.
        low = max(0.3 * top, 0.5 * WORD_SPAN_MM * self.scale)
        return tuple(
            Label("selvage", (x, low), turned=True, height=2.6, outwards=(0.0, 1.0))
            for x in (left + half, right - half)
        )


def cloth_of(cutting: Cutting, scale: float) -> Cloth:
    """Return the cloth that a cutting is taken from, at a scale."""
    need = cutting.need
    end = None if need.in_hand is None else need.in_hand[1]
    return Cloth(need.usable_width, *cutting.cut_size, scale, end)


def dot(at: Point, scale: float) -> Mark:
    """Draw a place that is marked on the cloth, or a pin."""
    (x, y), size = at, 1.1 * scale
    corners = ((x - size, y), (x, y - size), (x + size, y), (x, y + size))
    return Mark(corners, fill=Fill.INK, closed=True)


def letter(text: str, at: Point, outwards: Point) -> Label:
    """Letter an edge: like letters are sewn together."""
    return Label(text, at, bold=True, frame=Frame.SQUARE, outwards=outwards)


def strip_number(
    number: int, at: Point, room: float, elsewhere: Sequence[Point] = ()
) -> Label:
    """Return the number of a strip, in a circle if the strip is wide enough.

    Parameters
    ----------
    number : int
    at : (float, float)
    room : float
        Millimetres of paper across the strip.
    elsewhere : sequence of (float, float)
        Where else on the strip the number may stand.
    """
    wide = room >= CIRCLE_MM
    return Label(
        str(number),
        at,
        height=_number_height(room),
        frame=Frame.CIRCLE if wide else Frame.CLEARED,
        outwards=None,
        elsewhere=tuple(elsewhere),
    )


def _number_height(room: float) -> float:
    return min(LABEL_MM, max(LEAST_NUMBER_MM, 0.55 * room))


def every(room: float) -> int:
    """Return n where every n-th line is drawn, so that lines stay apart on paper.

    Parameters
    ----------
    room : float
        Millimetres of paper between neighbouring lines.
    """
    return next((n for n in STEPS if n * room >= LEAST_SPACE_MM), STEPS[-1])


def numbered(count: int, room: float) -> tuple[int, ...]:
    """Choose the strips that get their number, in the order of placing.

    Parameters
    ----------
    count : int
        How many strips there are.
    room : float
        Millimetres of paper across a strip.

    Returns
    -------
    tuple of int
        The first, the last, then all, or every second, fifth, tenth and so on.
    """
    widest = text_width(str(count), _number_height(room))
    n = next((n for n in STEPS if n * room >= widest), STEPS[-1])
    return tuple(dict.fromkeys((1, count, *range(n, count, n))))
