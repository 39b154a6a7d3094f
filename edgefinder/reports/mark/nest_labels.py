"""Labels of a piece whose sizes may lie in one another: each says its sizes."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from edgefinder.reports.chart_marks import Box, boxes_touch
from edgefinder.reports.picture.labels import Frame, Wanted
from edgefinder.reports.picture.piece_panel import numbers_and_names
from edgefinder.reports.picture.piece_view import PieceView

ONE_LABEL_MM: Final = 40.0
"""Millimetres of the pattern: equal labels of several sizes that would stand nearer to
each other than this are one.

Larger: a label may be far from the line of some size. Smaller: a nest is full of equal
labels.
"""


@dataclass(frozen=True, slots=True)
class SharedLabel:
    """A label of one size or of several.

    Parameters
    ----------
    wanted : Wanted
        Its text ends in the sizes in brackets, unless it is true of all.
    first : int
        The first view that it belongs to, from 0.
    """

    wanted: Wanted
    first: int


def nests(views: Sequence[PieceView]) -> list[list[int]]:
    """Put together the views of a piece that lie in one another, by their numbers.

    Their boxes touch, or both touch that of a third.
    """
    found: list[tuple[list[Box], list[int]]] = []
    for i, view in enumerate(views):
        box = _box(view)
        touched = [one for one in found if any(boxes_touch(box, b) for b in one[0])]
        boxes = [b for one in touched for b in one[0]]
        numbers = sorted(n for one in touched for n in one[1])
        found = [one for one in found if one not in touched]
        found.append(([*boxes, box], [*numbers, i]))
    return sorted(numbers for _, numbers in found)


def _box(view: PieceView) -> Box:
    points = np.concatenate([edge.points for edge in view.edges])
    x, y = points.real, points.imag
    return (float(x.min()), float(y.min()), float(x.max()), float(y.max()))


def nest_labels(views: Sequence[PieceView]) -> list[SharedLabel]:
    """Return the labels of a piece in all of its sizes, those that matter most first.

    Parameters
    ----------
    views : sequence of PieceView
        Of one piece, a size each.
    """
    found: list[tuple[Wanted, list[int]]] = []
    by_look: dict[tuple[str, Frame], list[int]] = {}
    for i, view in enumerate(views):
        for wanted in numbers_and_names(view):
            alike = by_look.setdefault((wanted.text, wanted.frame), [])
            near = next((n for n in alike if _is_near(found[n], i, wanted)), None)
            if near is None:
                alike.append(len(found))
                found.append((wanted, [i]))
            else:
                found[near][1].append(i)
    found.sort(key=lambda one: one[0].frame is Frame.NONE)
    return [
        SharedLabel(_with_sizes(wanted, numbers, views), numbers[0])
        for wanted, numbers in found
    ]


def _is_near(one: tuple[Wanted, list[int]], number: int, wanted: Wanted) -> bool:
    """Whether a label of another size stands near."""
    other, numbers = one
    return number not in numbers and abs(other.at - wanted.at) <= ONE_LABEL_MM


def _with_sizes(
    wanted: Wanted, numbers: Sequence[int], views: Sequence[PieceView]
) -> Wanted:
    if len(numbers) == len(views):
        return wanted
    sizes = " ".join(views[i].size for i in numbers)
    return replace(wanted, text=f"{wanted.text} ({sizes})")
