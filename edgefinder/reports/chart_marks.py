"""What a chart is made of: lines, filled shapes and words, before they are SVG.

Places are millimetres of cloth with y up. What must keep its size on paper (words,
pens, gaps) is given in millimetres of paper and multiplied by the scale, which is
the millimetres of cloth that one millimetre of paper stands for.

Where words stand: outside the cloth, in places that the drawing keeps free (sizes
below and beside, captions above); only numbers and letters stand on the cloth. A
label that would touch another one is moved outwards until it is free. Numbers of
strips have a right to no place: those that find no room are left out, and the first
and the last are placed before the others.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import lru_cache
from types import MappingProxyType
from typing import Final

Point = tuple[float, float]
Box = tuple[float, float, float, float]
"""Left, bottom, right, top."""


@dataclass(frozen=True, slots=True)
class Pen:
    """How a line is drawn, so that it is known without its colour too.

    Parameters
    ----------
    meaning : str
        As the key of the chart says it.
    colour : str
    width : float
        Millimetres of paper.
    dashes : tuple of float
        Millimetres of paper drawn and left out by turns; empty for a whole line.
    """

    meaning: str
    colour: str
    width: float
    dashes: tuple[float, ...] = ()


class Line(StrEnum):
    """What a line means."""

    EDGE = "edge"
    CUT = "cut"
    RULE = "rule"
    SEW = "sew"
    UNDER = "under"
    THIN = "thin"


PENS: Final = MappingProxyType(
    {
        Line.EDGE: Pen("cloth edge", "#000000", 0.45),
        Line.CUT: Pen("first cuts", "#D55E00", 0.7, (4.0, 1.2)),
        Line.RULE: Pen("rule", "#0072B2", 0.4, (2.0, 0.8)),
        Line.SEW: Pen("sew", "#009E73", 0.8, (0.8, 0.8)),
        Line.UNDER: Pen("layer below", "#CC79A7", 0.5, (3.0, 0.8, 0.6, 0.8)),
        Line.THIN: Pen("", "#000000", 0.2),
    }
)
"""Okabe and Ito 2002, the colours that keep 3:1 on white; each has its own dashes."""


class Fill(StrEnum):
    """What a shape is filled with."""

    NONE = "none"
    CLOTH = "#FFFFFF"
    INK = "#000000"
    DROPPED = "hatch"
    """A pattern, not a colour: cloth that does not become tape."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A line or a shape.

    Parameters
    ----------
    points : tuple of (float, float)
        Millimetres of cloth, y up.
    line : Line or None
        None: not outlined.
    fill : Fill
    closed : bool
    key : str or None
        Names the mark within its chart, for its id.
    """

    points: tuple[Point, ...]
    line: Line | None = None
    fill: Fill = Fill.NONE
    closed: bool = False
    key: str | None = None


class Anchor(StrEnum):
    """Which end of a text stands at its place."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


class Frame(StrEnum):
    """What is drawn round a text."""

    NONE = "none"
    CLEARED = "cleared"
    """Nothing, but the lines below it are blanked out."""
    CIRCLE = "circle"
    """A number of a strip."""
    SQUARE = "square"
    """A letter of an edge."""


LABEL_MM: Final = 2.9
"""Height of letters on paper, 8.2 points: read at arm's length on a cutting table."""
FRAME_MM: Final = 1.0
"""Paper between a number and the frame round it."""
CLEAR_MM: Final = 0.5
"""Paper between the boxes of two labels: more than a browser's text was seen to exceed
its estimated box by (0.3 mm)."""
PUSH_MM: Final = 1.0
"""A label in the way is moved by this much at a time."""
MOST_PUSHES: Final = 200


@dataclass(frozen=True, slots=True)
class Label:
    """A text at its place.

    Parameters
    ----------
    text : str
    at : (float, float)
        Millimetres of cloth: the middle of its height, and of its width, its start
        or its end along the direction in which it is read.
    anchor : Anchor
    height : float
        Font size in millimetres of paper.
    bold, turned : bool
        Turned by a quarter, read from below to above.
    frame : Frame
    outwards : (float, float) or None
        The direction in which it may be moved; None: it is left out if it touches
        another label wherever it may stand.
    elsewhere : tuple of (float, float)
        Where it may stand instead, in this order, if it may not be moved.
    """

    text: str
    at: Point
    anchor: Anchor = Anchor.MIDDLE
    height: float = LABEL_MM
    bold: bool = False
    turned: bool = False
    frame: Frame = Frame.NONE
    outwards: Point | None = (0.0, -1.0)
    elsewhere: tuple[Point, ...] = ()


NARROW: Final = frozenset(" !'(),-./:;I[]fijlrt|")
WIDE: Final = frozenset("%@MWmw")
MOST_KEPT: Final = 4096
"""Widths of texts that are kept: most labels are numbers that come again and again."""


@lru_cache(maxsize=MOST_KEPT)
def text_width(text: str, height: float, *, bold: bool = False) -> float:
    """Estimate the width of a text from above.

    Parameters
    ----------
    text : str
    height : float
        Font size in any unit.
    bold : bool

    Returns
    -------
    float
        In the unit of the height.

    Notes
    -----
    The shares of the font size are those of a wide sans-serif font (DejaVu Sans),
    rounded up; letters beyond ASCII count as square.
    """
    ems = 0.0
    for letter in text:
        if not letter.isascii() or letter in WIDE:
            ems += 1.0
        elif letter in NARROW:
            ems += 0.42
        else:
            ems += 0.8 if letter.isupper() else 0.65
    return ems * height * (1.13 if bold else 1.0)


def label_box(label: Label, scale: float, at: Point | None = None) -> Box:
    """Return the box that a label takes, in millimetres of cloth.

    Parameters
    ----------
    label : Label
    scale : float
        Millimetres of cloth to one of paper.
    at : (float, float) or None
        Where it would stand instead of its own place.

    Returns
    -------
    tuple of float
    """
    long = text_width(label.text, label.height, bold=label.bold) * scale
    high = 1.2 * label.height * scale
    if label.frame in {Frame.CIRCLE, Frame.SQUARE}:
        high += FRAME_MM * scale
        long = max(long + FRAME_MM * scale, high)
    before = {Anchor.START: 0.0, Anchor.MIDDLE: 0.5, Anchor.END: 1.0}[label.anchor]
    x, y = at or label.at
    if label.turned:
        low = y - before * long
        return (x - high / 2, low, x + high / 2, low + long)
    left = x - before * long
    return (left, y - high / 2, left + long, y + high / 2)


def keep_apart(labels: Sequence[Label], scale: float) -> tuple[Label, ...]:
    """Move or leave out labels until no two touch.

    Parameters
    ----------
    labels : sequence of Label
        Those that must stand are placed first, in this order.
    scale : float
        Millimetres of cloth to one of paper.

    Returns
    -------
    tuple of Label
    """
    placed: list[Label] = []
    taken: list[Box] = []
    for label in sorted(labels, key=lambda label: label.outwards is None):
        found = _free(label, taken, scale)
        if found is not None:
            at, box = found
            placed.append(label if at == label.at else replace(label, at=at))
            taken.append(box)
    return tuple(placed)


def _free(label: Label, taken: Sequence[Box], scale: float) -> tuple[Point, Box] | None:
    """Return the first place where a label touches no other, and its box there."""
    gap = CLEAR_MM * scale
    for at in _places(label, scale):
        box = label_box(label, scale, at)
        if not any(boxes_touch(box, other, gap) for other in taken):
            return at, box
    if label.outwards is None:
        return None
    raise ValueError(f'no room for "{label.text}"')


def _places(label: Label, scale: float) -> Iterator[Point]:
    """Yield where a label may stand, the best place first."""
    if label.outwards is None:
        yield label.at
        yield from label.elsewhere
        return
    (x, y), (dx, dy) = label.at, label.outwards
    for i in range(MOST_PUSHES):
        step = i * PUSH_MM * scale
        yield x + step * dx, y + step * dy


def boxes_touch(one: Box, other: Box, gap: float = 0.0) -> bool:
    """Whether two boxes are nearer to each other than the gap."""
    return (
        one[0] < other[2] + gap
        and other[0] < one[2] + gap
        and one[1] < other[3] + gap
        and other[1] < one[3] + gap
    )


_WORDS: Final = re.compile(
    r"(?<!\S)(?:\d+ )?\d[\d./]* (?:in|mm|cm|yd|lines?)(?!\w)\S*|\S+", re.ASCII
)
"""A figure stays on one line with its fraction and its unit: ``2 3/8 in``."""


def wrapped(text: str, width: float, height: float, *, bold: bool = False) -> list[str]:
    """Break a text into lines of at most a width (in the unit of the height)."""
    lines: list[str] = []
    for word in _WORDS.findall(text):
        tried = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(tried, height, bold=bold) <= width:
            lines[-1] = tried
        else:
            lines.append(word)
    return lines


@dataclass(frozen=True, slots=True)
class Panel:
    """One drawing of a chart.

    Parameters
    ----------
    caption : str
        What is done here.
    marks : tuple of Mark
        In the order in which they are drawn.
    labels : tuple of Label
        Already kept apart.
    """

    caption: str
    marks: tuple[Mark, ...]
    labels: tuple[Label, ...]

    def box(self, scale: float) -> Box:
        """Return the box of all that is drawn, in millimetres of cloth."""
        boxes = [label_box(label, scale) for label in self.labels]
        boxes += [(x, y, x, y) for mark in self.marks for x, y in mark.points]
        return (
            min(box[0] for box in boxes),
            min(box[1] for box in boxes),
            max(box[2] for box in boxes),
            max(box[3] for box in boxes),
        )

    def moved(self, dx: float, dy: float) -> "Panel":
        """Return the same drawing elsewhere."""
        return Panel(
            self.caption,
            tuple(
                replace(mark, points=tuple((x + dx, y + dy) for x, y in mark.points))
                for mark in self.marks
            ),
            tuple(
                replace(label, at=(label.at[0] + dx, label.at[1] + dy))
                for label in self.labels
            ),
        )


def make_panel(
    caption: str, marks: Iterable[Mark], labels: Sequence[Label], scale: float
) -> Panel:
    """Return a drawing whose labels do not touch."""
    return Panel(caption, tuple(marks), keep_apart(labels, scale))
