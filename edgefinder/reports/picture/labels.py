"""Put labels where they touch neither one another nor, if possible, a line.

A label is tried at places around its anchor, nearest first and the preferred direction
before others. The first place is taken where its box is free of the boxes of the labels
before it, of their leader lines, and of the drawn lines, and where its own leader line
crosses no box. If there is none within reach, drawn lines are disregarded; beyond reach
the label goes on outwards until it is clear of everything. So no two labels overlap,
whatever the piece looks like. The same labels get the same places every time.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

import numpy as np

from edgefinder.errors import one_line
from edgefinder.geometry.segments import Complexes, Floats
from edgefinder.reports.chart_marks import Box, boxes_touch, text_width
from edgefinder.reports.picture.label_boxes import (
    holds,
    holds_any,
    nearest_in,
    reached,
    sampled,
)

LABEL_MM: Final = 2.9
"""Height of letters on paper: 8.2 points."""
PADDING_MM: Final = 0.4
"""Paper around the letters of a label: what a browser's font was seen to exceed the
estimated box by is 0.3 mm."""
FRAME_MM: Final = 0.8
"""Paper between a number and the frame around it."""
LONGEST_LABEL: Final = 28
"""Letters of a label; a longer name is cut short in the middle."""

DIRECTIONS: Final = 16
STEPS_MM: Final = (1.2, 2.4, 4.0, 6.0, 9.0, 13.0, 18.0)
"""Paper between an anchor and the label's box at the places that are tried."""
TURN_MM: Final = 8.0
"""Paper that a label rather goes outwards than stand on the opposite side of its
anchor; less for smaller turns, in proportion."""
BEYOND_MM: Final = 4.0
"""Paper by which a label that found no room within reach goes on outwards."""
MOST_STEPS: Final = 500
LEADER_FROM_MM: Final = 3.0
"""A label farther from its anchor has a leader line."""
AT_A_TIME: Final = DIRECTIONS
"""Places that are looked at together: most labels find theirs among the first."""
LEADER_SHARES: Final[Sequence[float]] = np.linspace(0.0, 1.0, 12).tolist()
"""Of a leader line, where it is looked whether it crosses a label."""
SAMPLE_MM: Final = 0.7
"""Paper between the points by which drawn lines are kept clear: a label is higher."""


class Frame(StrEnum):
    """What is drawn around a label; the shape says what it is."""

    NONE = "none"
    CIRCLE = "circle"
    FILLED = "filled circle"
    SQUARE = "square"


@dataclass(frozen=True, slots=True)
class Wanted:
    """A label that is to be placed.

    Parameters
    ----------
    text : str
        Untrusted.
    at : complex
        The anchor, in millimetres of cloth.
    towards : complex
        Unit direction in which it is tried first.
    frame : Frame
    """

    text: str
    at: complex
    towards: complex
    frame: Frame = Frame.NONE


@dataclass(frozen=True, slots=True)
class Label:
    """A label at its place.

    Parameters
    ----------
    text : str
        As it is written, in one line.
    box : tuple of float
        Left, bottom, right, top in millimetres of cloth; the text stands in its middle.
    frame : Frame
    leader : (complex, complex) or None
        From the anchor to the box.
    """

    text: str
    box: Box
    frame: Frame
    leader: tuple[complex, complex] | None


def short(text: str, most: int = LONGEST_LABEL) -> str:
    """Cut a name short in the middle: its end tells like ones apart."""
    text = " ".join(one_line(text).split())
    if len(text) <= most:
        return text
    half = (most - 2) // 2
    return f"{text[: most - 2 - half]}..{text[-half:]}"


def label_size(text: str, frame: Frame) -> tuple[float, float]:
    """Return the width and height of a label's box in millimetres of paper."""
    wide = text_width(text, LABEL_MM, bold=frame is not Frame.NONE)
    high = 1.2 * LABEL_MM
    if frame is Frame.NONE:
        return wide + 2 * PADDING_MM, high + PADDING_MM
    high += FRAME_MM
    return max(wide + 2 * FRAME_MM, high), high


def place_labels(
    wanted: Sequence[Wanted], lines: Sequence[Complexes], scale: float
) -> tuple[Label, ...]:
    """Place labels one after the other; those that matter most come first.

    Parameters
    ----------
    wanted : sequence of Wanted
    lines : sequence of ndarray of complex128
        Drawn polylines, in millimetres of cloth.
    scale : float
        Millimetres of cloth to one of paper.

    Returns
    -------
    tuple of Label
        In the order of ``wanted``.
    """
    board = _Board(sampled(lines, SAMPLE_MM * scale), scale)
    return tuple(board.place(one) for one in wanted)


class _Board:
    """Boxes and leaders that are placed already.

    There are few of them, and most labels stand at one of the first places tried: they
    are compared one by one. Points of drawn lines are many: they are compared at once.
    """

    def __init__(self, ink: Complexes, scale: float) -> None:
        self._ink = ink
        self._leaders: list[complex] = []
        self._boxes: list[Box] = []
        self._scale = scale
        self._near = _Steps(STEPS_MM, scale)

    def place(self, wanted: Wanted) -> Label:
        """Find a place for a label and take it."""
        text = short(wanted.text)
        wide, high = (side * self._scale for side in label_size(text, wanted.frame))
        box = self._find(wanted, (wide, high))
        leader = self._leader(wanted.at, box)
        self._boxes.append(box)
        if leader is not None:
            drawn = sampled([np.array(leader)], SAMPLE_MM * self._scale)
            self._leaders += drawn.tolist()
        return Label(text, box, wanted.frame, leader)

    def _find(self, wanted: Wanted, size: tuple[float, float]) -> Box:
        clear_on_ink = None
        for some in self._near.boxes(wanted, size):
            on_ink = holds_any(some, reached(some, self._ink))
            for box, inked in zip(_listed(some), on_ink.tolist(), strict=True):
                if inked and clear_on_ink is not None:
                    continue
                if self._is_clear(box, wanted.at):
                    if not inked:
                        return box
                    clear_on_ink = box
        if clear_on_ink is not None:
            return clear_on_ink
        # Far enough out there is nothing: boxes are finite.
        steps = [STEPS_MM[-1] + BEYOND_MM * i for i in range(1, MOST_STEPS)]
        for some in _Steps(steps, self._scale).boxes(wanted, size):
            for box in _listed(some):
                if self._is_free(box):
                    return box
        raise ValueError(f'no room for "{wanted.text}"')

    def _is_free(self, box: Box) -> bool:
        """Whether a box touches no box that is placed."""
        return not any(boxes_touch(box, other) for other in self._boxes)

    def _is_clear(self, box: Box, anchor: complex) -> bool:
        """Whether a box is free, off leaders, and leads to the anchor over no box."""
        if not self._is_free(box) or any(holds(box, one) for one in self._leaders):
            return False
        end = nearest_in(box, anchor)
        x, y = sorted((anchor.real, end.real)), sorted((anchor.imag, end.imag))
        way = (x[0], y[0], x[1], y[1])
        crossed = [other for other in self._boxes if boxes_touch(way, other)]
        return not any(
            holds(other, anchor + (end - anchor) * share)
            for other in crossed
            for share in LEADER_SHARES
        )

    def _leader(self, anchor: complex, box: Box) -> tuple[complex, complex] | None:
        end = nearest_in(box, anchor)
        if abs(end - anchor) <= LEADER_FROM_MM * self._scale:
            return None
        return anchor, end


def _listed(boxes: Floats) -> list[Box]:
    return [(left, low, right, top) for left, low, right, top in boxes.tolist()]


class _Steps:
    """Steps from an anchor in every direction, the best first."""

    def __init__(self, steps_mm: Sequence[float], scale: float) -> None:
        steps = np.array(steps_mm) * scale
        turns = np.linspace(0.0, np.pi, DIRECTIONS // 2 + 1)
        turns = np.concatenate([turns, -turns[1:-1]])
        cost = steps[:, np.newaxis] + TURN_MM * scale * np.abs(turns) / np.pi
        order = np.argsort(cost.ravel(), kind="stable")
        self._step = np.repeat(steps, len(turns))[order]
        self._turn = np.tile(turns, len(steps))[order]

    def boxes(self, wanted: Wanted, size: tuple[float, float]) -> Iterator[Floats]:
        """Yield the boxes to be tried for a label, shape (`AT_A_TIME`, 4) each."""
        wide, high = size
        first = math.atan2(wanted.towards.imag, wanted.towards.real)
        for at in range(0, len(self._step), AT_A_TIME):
            step, turn = (
                self._step[at : at + AT_A_TIME],
                self._turn[at : at + AT_A_TIME],
            )
            ways = np.exp(1j * (first + turn))
            # So far out that the box stays clear of a line across the way.
            reach = np.abs(ways.real) * wide / 2 + np.abs(ways.imag) * high / 2
            middles = wanted.at + ways * (step + reach)
            x, y = middles.real, middles.imag
            yield np.array([x - wide / 2, y - high / 2, x + wide / 2, y + high / 2]).T
