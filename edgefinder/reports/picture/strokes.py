"""The lines and shapes that a piece is drawn with."""

import math
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
import shapely

from edgefinder.geometry.segments import Complexes
from edgefinder.reports.picture.pens import (
    BAND,
    BAND_FILLS,
    CIRCLE,
    FOLD,
    GRAIN,
    INK,
    OUTLINE,
    PAPER,
    Pen,
    run_pen,
)
from edgefinder.reports.picture.piece_view import EdgeView, PieceView, RadiusView

ARROW_MM: Final = 2.2
"""Length of an arrow's head on paper."""
NOTCH_MM: Final = 2.0
"""Height of the triangle of a notch on paper, into the cloth."""
FOLD_INSETS_MM: Final = (3.5, 7.0, 10.5)
"""Paper between the fold edge and the bracket that points to it; the farther ones are
for a grain line that was drawn where the bracket would lie."""
FROM_GRAIN_MM: Final = 2.0
"""Paper between the bracket and a grain line, so that they are two lines."""
CIRCLE_STEPS: Final = 96
FINEST_MM: Final = 0.05
"""Millimetres of cloth that a drawn line may be off: below a pen's width."""
LARGEST_CIRCLE: Final = 0.35
"""A circle with a larger radius than this share of its piece's longer side is left out:
it would hide more than it shows."""
SMALLEST_ANGLE: Final = math.radians(25.0)
"""Half the angle of an arrow's head."""


@dataclass(frozen=True, slots=True, eq=False)
class Stroke:
    """A line or a filled shape.

    Parameters
    ----------
    points : ndarray of complex128, shape (m,)
        Millimetres of cloth, y up.
    pen : Pen or None
    fill : str or None
        A colour.
    closed : bool
    kind : str
        What it is: a class name for whoever reads the file.
    """

    points: Complexes
    pen: Pen | None
    fill: str | None = None
    closed: bool = False
    kind: str = ""


def piece_strokes(view: PieceView, scale: float) -> list[Stroke]:
    """Draw a piece without its labels.

    Parameters
    ----------
    view : PieceView
    scale : float
        Millimetres of cloth to one of paper.

    Returns
    -------
    list of Stroke
        In the order in which they are drawn.
    """
    return [
        *_bands(view),
        *(_circle(circle) for circle in shown_circles(view)),
        *_outline(view, scale),
        *_fold(view, scale),
        *_notches(view, scale),
        *_grain(view, scale),
        *_bound(view),
    ]


def shown_circles(view: PieceView) -> list[RadiusView]:
    """Return the circles of a piece that are not larger than the piece."""
    return [circle for circle in view.circles if _is_shown(circle, view)]


def _bands(view: PieceView) -> list[Stroke]:
    return [
        Stroke(band.border, BAND, BAND_FILLS[band.verdict], closed=True, kind="band")
        for band in view.bands
    ]


def _bound(view: PieceView) -> list[Stroke]:
    # A white line below parts the tape's line from a black band beside it.
    strokes = []
    for line in view.bound:
        pen = run_pen(line.run)
        below = replace(pen, colour=PAPER, width=pen.width + 0.5, dashes=())
        points = _simplified(line.points)
        strokes.append(Stroke(points, below, kind="bound-below"))
        strokes.append(Stroke(points, pen, kind="bound"))
    return strokes


def _simplified(line: Complexes) -> Complexes:
    """Leave out points of a traced line that no eye can see."""
    if len(line) < 3:
        return line
    whole = shapely.LineString(np.column_stack([line.real, line.imag]))
    kept = shapely.get_coordinates(whole.simplify(FINEST_MM, preserve_topology=False))
    points: Complexes = kept[:, 0] + 1j * kept[:, 1]
    return points


def _outline(view: PieceView, scale: float) -> list[Stroke]:
    pen = OUTLINE
    return [
        Stroke(
            _simplified(edge.points), pen, kind="fold-edge" if edge.is_fold else "edge"
        )
        for edge in view.edges
    ] + [
        corner_mark(complex(edge.points[0]), scale)
        for edge in view.edges
        if len(view.edges) > 1
    ]


def corner_mark(at: complex, scale: float) -> Stroke:
    """Mark where an edge begins by a small square."""
    half = 0.45 * scale
    corners = (-1 - 1j, 1 - 1j, 1 + 1j, -1 + 1j)
    square = np.array([at + half * corner for corner in corners])
    return Stroke(square, None, INK, closed=True, kind="edge-start")


def _fold(view: PieceView, scale: float) -> list[Stroke]:
    """Draw a bracket beside the fold edge whose ends point to the fold."""
    strokes: list[Stroke] = []
    for edge in view.edges:
        if not edge.is_fold:
            continue
        start, end = complex(edge.points[0]), complex(edge.points[-1])
        inset = -edge.outwards * _fold_inset(view, edge, scale)
        along = (end - start) * 0.08
        bracket = np.array([start + along, start + along + inset])
        other = np.array([end - along, end - along + inset])
        strokes.append(Stroke(np.array([bracket[1], other[1]]), FOLD, kind="fold"))
        for foot, head in (bracket, other):
            strokes.append(Stroke(np.array([foot, head]), GRAIN, kind="fold"))
            strokes.append(_arrow(foot, head, scale))
    return strokes


def _fold_inset(view: PieceView, edge: EdgeView, scale: float) -> float:
    """Return how far from the fold the bracket lies, clear of a grain line."""
    insets = [inset * scale for inset in FOLD_INSETS_MM]
    if view.grain is None:
        return insets[0]
    start = complex(edge.points[0])
    depths = [-((at - start) * edge.outwards.conjugate()).real for at in view.grain]
    least = FROM_GRAIN_MM * scale
    clear = (x for x in insets if all(abs(depth - x) >= least for depth in depths))
    return next(clear, insets[0])


def _arrow(tip: complex, tail: complex, scale: float) -> Stroke:
    back = (tail - tip) / (abs(tail - tip) or 1.0) * ARROW_MM * scale
    turn = complex(math.cos(SMALLEST_ANGLE), math.sin(SMALLEST_ANGLE))
    points = np.array([tip + back * turn, tip, tip + back * turn.conjugate()])
    return Stroke(points, GRAIN, kind="arrow")


def _notches(view: PieceView, scale: float) -> list[Stroke]:
    high = NOTCH_MM * scale
    return [
        Stroke(
            np.array(
                [
                    at - 0.4j * inwards * high,
                    at + inwards * high,
                    at + 0.4j * inwards * high,
                ]
            ),
            OUTLINE,
            INK,
            closed=True,
            kind="notch",
        )
        for at, inwards in view.notches
    ]


def _grain(view: PieceView, scale: float) -> list[Stroke]:
    if view.grain is None:
        return []
    start, end = view.grain
    return [
        Stroke(np.array([start, end]), GRAIN, kind="grain"),
        _arrow(start, end, scale),
        _arrow(end, start, scale),
    ]


def _is_shown(circle: RadiusView, view: PieceView) -> bool:
    points = np.concatenate([edge.points for edge in view.edges])
    across = max(np.ptp(points.real), np.ptp(points.imag))
    return circle.radius <= LARGEST_CIRCLE * float(across)


def _circle(circle: RadiusView) -> Stroke:
    turns = np.exp(2j * np.pi * np.arange(CIRCLE_STEPS) / CIRCLE_STEPS)
    points = circle.centre + circle.radius * turns
    return Stroke(points, CIRCLE, closed=True, kind="radius")
