"""Corners and curve points of a line, from the points on layers 2 and 3."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
import shapely

from edgefinder.geometry.headings import end_headings, start_headings
from edgefinder.geometry.segments import Complexes, Floats, Indices, Kind
from edgefinder.geometry.straight_stretches import Flags
from edgefinder.importers.drawing import DrawnPoint
from edgefinder.importers.interchange.marked_line import MarkedLine, with_vertices

MARK_MM: Final = 0.5
"""A mark this near to a vertex is meant for it: other digits are written for points
than for lines. Larger: marks of a line drawn close by are taken."""

LEAST_BEND: Final = np.radians(2.0)
"""Where no marks say what is a curve: a vertex that turns less, and its neighbours too,
is a curve point or lies on a line, which comes to the same."""


@dataclass(frozen=True, slots=True, eq=False)
class Marks:
    """The turn points and curve points of one piece.

    Parameters
    ----------
    turn, curve : ndarray of complex128, shapes (n,) and (m,)
    """

    turn: Complexes
    curve: Complexes


def marks_of(turn: Sequence[DrawnPoint], curve: Sequence[DrawnPoint]) -> Marks:
    """Collect the places of the points of layers 2 and 3."""
    return Marks(*(np.array([p.at for p in some], complex) for some in (turn, curve)))


def mark(line: MarkedLine, marks: Marks, corner_angle: float) -> MarkedLine:
    """Say which vertices of a line are corners, and which are curve points.

    Parameters
    ----------
    line : MarkedLine
    marks : Marks
        Of its piece; those of other lines are too far away to matter.
    corner_angle : float
        Turn that makes a corner of a vertex with no mark, in radians.

    Returns
    -------
    MarkedLine
        With a vertex more for each turn point that stands on a chord.

    Notes
    -----
    Marks win over angles. A vertex without one is a corner where it turns by
    ``corner_angle`` or more. Otherwise it is a curve point, except in a piece without
    curve points: there a vertex whose neighbours do not bend is a kink, and stays.
    """
    line = _with_turn_points(line, marks.turn)
    turned = near_vertices(line.points, marks.turn)
    curved = near_vertices(line.points, marks.curve) & ~turned
    turns = turns_of(line)
    sharp = np.abs(turns) >= corner_angle
    # The sides of a drawn notch were corners of the line before it was taken out.
    corner = (turned & ~line.smooth) | (~curved & sharp)
    smooth = ~corner
    if not len(marks.curve):
        smooth &= line.smooth | ~_is_lone(line, turns, corner)
    return replace(line, corner=corner, smooth=smooth)


def near_vertices(points: Complexes, marks: Complexes) -> Flags:
    """Say which points have a mark: for each mark the nearest one."""
    marked = np.zeros(len(points), dtype=np.bool_)
    if len(marks):
        tree = shapely.STRtree(shapely.points(points.real, points.imag))
        _, index = tree.query_nearest(
            shapely.points(marks.real, marks.imag), max_distance=MARK_MM
        )
        marked[index] = True
    return marked


def turns_of(line: MarkedLine) -> Floats:
    """Return the turn at every vertex in radians; 0 at the ends of an open line.

    Beside an arc or a cubic its tangent counts.
    """
    first, last = _headings(line)
    turns = np.zeros(len(line.points))
    if line.closed:
        return np.asarray(np.angle(first * np.conj(np.roll(last, 1))))
    turns[1:-1] = np.angle(first[1:] * np.conj(last[:-1]))
    return turns


def _headings(line: MarkedLine) -> tuple[Complexes, Complexes]:
    from_drawn = (start_headings(line.rows), end_headings(line.rows))
    straight = line.rows.kind == Kind.LINE
    first, last = (np.where(straight, line.chords, drawn) for drawn in from_drawn)
    return first, last


def _is_lone(line: MarkedLine, turns: Floats, corner: Flags) -> Flags:
    """Whether a vertex turns while both its neighbours do not, or are corners."""
    bends = (np.abs(turns) > LEAST_BEND) & ~corner
    before, after = np.roll(bends, 1), np.roll(bends, -1)
    if not line.closed:
        before[0] = after[-1] = False
    lone: Flags = bends & ~before & ~after
    return lone


def _with_turn_points(line: MarkedLine, turn: Complexes) -> MarkedLine:
    """Put a vertex where a turn point stands between two vertices."""
    after, at = between_vertices(line, turn, MARK_MM)
    return with_vertices(line, after, at, smooth=False) if len(after) else line


def between_vertices(
    line: MarkedLine, marks: Complexes, within: float
) -> tuple[Indices, Complexes]:
    """Find the marks that stand on chords, away from any vertex.

    Parameters
    ----------
    line : MarkedLine
    marks : ndarray of complex128, shape (m,)
    within : float
        Largest distance from the chord, and least from its ends, in millimetres.

    Returns
    -------
    after : ndarray of intp
        The vertex before each, rising.
    at : ndarray of complex128
        Where they stand on the chord; on one chord in its order.
    """
    found: list[tuple[int, float, complex]] = []
    chords = line.chords
    starts = line.points[: len(chords)]
    squares = np.where(chords != 0, np.abs(chords) ** 2, 1.0)
    for point in marks.tolist():
        if np.abs(line.points - point).min() <= within:
            continue
        along = ((point - starts) * np.conj(chords)).real / squares
        foot = starts + np.clip(along, 0, 1) * chords
        apart = np.where(line.rows.kind == Kind.LINE, np.abs(point - foot), np.inf)
        row = int(np.argmin(apart))
        if apart[row] <= within:
            found.append((row, float(along[row]), complex(foot[row])))
    found.sort(key=lambda entry: entry[:2])
    # Two marks at one place are one.
    found = [
        entry
        for i, entry in enumerate(found)
        if not i or abs(entry[2] - found[i - 1][2]) > within
    ]
    return (
        np.array([row for row, _, _ in found], dtype=np.intp),
        np.array([at for _, _, at in found], dtype=np.complex128),
    )
