"""One piece drawn: strokes and labels, in millimetres of cloth with y up."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Final

import numpy as np

from edgefinder.curvature.verdict import Verdict
from edgefinder.geometry.segments import Complexes
from edgefinder.reports.amounts import length
from edgefinder.reports.chart_marks import Box
from edgefinder.reports.picture.labels import Frame, Label, Wanted, place_labels
from edgefinder.reports.picture.piece_view import PieceView, RadiusView
from edgefinder.reports.picture.strokes import Stroke, piece_strokes, shown_circles
from edgefinder.units import Unit


@dataclass(frozen=True, slots=True, eq=False)
class PiecePanel:
    """A piece with its labels.

    Parameters
    ----------
    view : PieceView
    strokes : tuple of Stroke
        In the order in which they are drawn.
    labels : tuple of Label
        None touches another.
    box : tuple of float
        Left, bottom, right, top of everything, in millimetres of cloth.
    """

    view: PieceView
    strokes: tuple[Stroke, ...]
    labels: tuple[Label, ...]
    box: Box

    def moved(self, by: complex) -> "PiecePanel":
        """Return the same drawing elsewhere."""
        x, y = by.real, by.imag
        left, low, right, top = self.box
        return PiecePanel(
            self.view,
            tuple(replace(one, points=one.points + by) for one in self.strokes),
            tuple(_moved(label, by) for label in self.labels),
            (left + x, low + y, right + x, top + y),
        )


def _moved(label: Label, by: complex) -> Label:
    left, low, right, top = label.box
    x, y = by.real, by.imag
    leader = label.leader
    return replace(
        label,
        box=(left + x, low + y, right + x, top + y),
        leader=None if leader is None else (leader[0] + by, leader[1] + by),
    )


def draw_piece(view: PieceView, unit: Unit, scale: float) -> PiecePanel:
    """Draw a piece.

    Parameters
    ----------
    view : PieceView
    unit : Unit
        In which radii are written.
    scale : float
        Millimetres of cloth to one of paper.

    Returns
    -------
    PiecePanel
    """
    circles = shown_circles(view)
    strokes = piece_strokes(view, scale)
    labels = place_labels(
        _wanted(view, circles, unit), [_round(one) for one in strokes], scale
    )
    return PiecePanel(view, tuple(strokes), labels, _box(strokes, labels))


def _round(stroke: Stroke) -> Complexes:
    if not stroke.closed:
        return stroke.points
    return np.append(stroke.points, stroke.points[:1])


_FRAMES: Final[Mapping[Verdict, Frame]] = MappingProxyType(
    {
        Verdict.STEAM: Frame.CIRCLE,
        Verdict.TOO_TIGHT: Frame.FILLED,
        Verdict.MITRE: Frame.SQUARE,
    }
)


def numbers_and_names(view: PieceView) -> list[Wanted]:
    """Return the labels of a piece's places to watch, then those of its edges."""
    wanted = [
        Wanted(
            ", ".join(map(str, place.numbers)),
            place.at,
            place.outwards,
            _FRAMES[place.verdict],
        )
        for place in view.places
    ]
    wanted += [Wanted(edge.label, edge.middle, edge.outwards) for edge in view.edges]
    return wanted


def _wanted(view: PieceView, circles: Sequence[RadiusView], unit: Unit) -> list[Wanted]:
    """Return the labels, those that matter most first."""
    wanted = numbers_and_names(view)
    for circle in circles:
        towards = (circle.at - circle.centre) / circle.radius
        far = circle.centre - towards * circle.radius
        wanted.append(Wanted(f"R {length(circle.radius, unit)}", far, towards))
    if view.grain is not None:
        start, end = view.grain
        across = 1j * (end - start) / abs(end - start)
        wanted.append(Wanted("grain", (start + end) / 2, across))
    return wanted


def _box(strokes: Sequence[Stroke], labels: Sequence[Label]) -> Box:
    points = np.concatenate([stroke.points for stroke in strokes])
    boxes = [label.box for label in labels]
    boxes.append(
        (
            float(points.real.min()),
            float(points.imag.min()),
            float(points.real.max()),
            float(points.imag.max()),
        )
    )
    lows = [min(box[i] for box in boxes) for i in (0, 1)]
    highs = [max(box[i] for box in boxes) for i in (2, 3)]
    return (lows[0], lows[1], highs[0], highs[1])
