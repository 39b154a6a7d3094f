"""A line with its corners and curve points, and the smooth path that it stands for."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import (
    Complexes,
    Indices,
    Kind,
    Segments,
    concatenate,
    end_points,
    line_segments,
    start_points,
)
from edgefinder.geometry.smooth_curve import smooth_curve
from edgefinder.geometry.straight_stretches import Flags
from edgefinder.importers.drawing import DrawnLine

DOUBLED_MM: Final = 0.01
"""Vertices nearer than this are one: the first point repeated, or digits lost. Larger:
fine detail goes. Smaller: a chord of rounding has any direction, and the curve with
it."""


@dataclass(frozen=True, slots=True, eq=False)
class MarkedLine:
    """Vertices joined by chords, of which some are curve points.

    Parameters
    ----------
    points : ndarray of complex128, shape (n,)
        Vertices in millimetres; a closed line does not repeat the first one.
    rows : Segments
        One from each vertex to the next (n when closed, else n - 1). What is a line is
        given by the points; arcs and cubics stay as they were drawn.
    closed : bool
    corner, smooth : ndarray of bool, shape (n,)
        Whether an edge ends there, and whether the line runs through smoothly. A vertex
        that is neither is a kink.
    source : DrawnLine
        The first of the lines that it came from.
    """

    points: Complexes
    rows: Segments
    closed: bool
    corner: Flags
    smooth: Flags
    source: DrawnLine

    @property
    def chords(self) -> Complexes:
        """The vectors from vertex to vertex, one for each row."""
        return np.diff(self.points, append=self.points[:1] if self.closed else [])


def marked_line(path: Path, source: DrawnLine) -> MarkedLine:
    """Take a drawn path as a line whose vertices are not marked yet."""
    rows = path.segments
    points = start_points(rows)
    if not path.closed:
        points = np.append(points, end_points(rows)[-1])
    none = np.zeros(len(points), dtype=np.bool_)
    line = MarkedLine(points, rows, path.closed, none, none, source)
    return without_doubled(line)


def without_vertices(line: MarkedLine, gone: Flags) -> MarkedLine:
    """Leave out vertices; the chord before reaches to the next that stays."""
    stays = np.flatnonzero(~gone)
    rows = stays if line.closed else stays[:-1]
    return replace(
        line,
        points=line.points[stays],
        rows=line.rows.take(rows),
        corner=line.corner[stays],
        smooth=line.smooth[stays],
    )


def with_vertices(
    line: MarkedLine, after: Indices, at: Complexes, *, smooth: bool
) -> MarkedLine:
    """Put vertices on chords.

    Parameters
    ----------
    line : MarkedLine
    after : ndarray of intp, shape (m,)
        For each the vertex before it.
    at : ndarray of complex128, shape (m,)
        Those on one chord in the order of the line.
    smooth : bool
        Whether the line runs through them smoothly.
    """
    places = after + 1
    new = line_segments(at, at)
    kind = np.insert(line.rows.kind, places, new.kind)
    control = np.insert(line.rows.control, places, new.control, axis=0)
    return replace(
        line,
        points=np.insert(line.points, places, at),
        rows=Segments(kind, control),
        corner=np.insert(line.corner, places, False),
        smooth=np.insert(line.smooth, places, smooth),
    )


def moved(line: MarkedLine, points: Complexes) -> MarkedLine:
    """Bring the vertices to new places; arcs and cubics are turned and scaled along."""
    control = line.rows.control.copy()
    before, after = line.chords, replace(line, points=points).chords
    curved = np.flatnonzero(line.rows.kind != Kind.LINE)
    # A full circle has no chord: it is carried as it is.
    chord = before[curved]
    open_ = chord != 0
    factor = np.where(open_, after[curved] / np.where(open_, chord, 1), 1)
    factor = factor[:, np.newaxis]
    old, new = line.points[curved, np.newaxis], points[curved, np.newaxis]
    arc = line.rows.kind[curved] == Kind.ARC
    control[curved] = np.where(
        arc[:, np.newaxis], control[curved], new + (control[curved] - old) * factor
    )
    arcs = curved[arc]
    control[arcs, :1] = new[arc] + (control[arcs, :1] - old[arc]) * factor[arc]
    control[arcs, 1:3] *= factor[arc]
    return replace(line, points=points, rows=Segments(line.rows.kind, control))


def smooth_line(line: MarkedLine) -> Path:
    """Return the path that a marked line stands for, one row for each of its rows."""
    order = np.arange(len(line.rows))
    breaks = _breaks(line)
    points = line.points
    if line.closed:
        if not len(breaks):
            return Path(smooth_curve(points, closed=True), closed=True)
        first = int(breaks[0])
        order = np.roll(order, -first)
        breaks = np.append((breaks - first) % len(points), len(points))
        points = np.append(np.roll(points, -first), points[first])
    tables = []
    for begin, end in zip(breaks[:-1].tolist(), breaks[1:].tolist(), strict=True):
        if line.rows.kind[order[begin]] == Kind.LINE:
            tables.append(smooth_curve(points[begin : end + 1]))
        else:
            tables.append(line.rows.take(order[begin:end]))
    table = concatenate(tables)
    return Path(table.take(np.argsort(order)), line.closed)


def _breaks(line: MarkedLine) -> Indices:
    """Return the vertices at which no smooth curve runs through."""
    breaks = ~line.smooth
    curved = line.rows.kind != Kind.LINE
    breaks[np.flatnonzero(curved)] = True
    breaks[(np.flatnonzero(curved) + 1) % len(breaks)] = True
    if not line.closed:
        breaks[[0, -1]] = True
    elif len(breaks) < 3:
        breaks[:] = True
    return np.flatnonzero(breaks)


def without_doubled(line: MarkedLine) -> MarkedLine:
    """Leave out vertices that are one point with the one before (`DOUBLED_MM`).

    Ends of arcs, cubics and open lines stay.
    """
    straight = line.rows.kind == Kind.LINE
    if not ((np.abs(line.chords) <= DOUBLED_MM) & straight).any():
        return line
    count = len(line.points)
    curved = np.flatnonzero(~straight)
    fixed = np.zeros(count, dtype=np.bool_)
    fixed[curved] = fixed[(curved + 1) % count] = True
    points = line.points.tolist()
    kept = [0]
    for i in range(1, count):
        if fixed[i] or abs(points[i] - points[kept[-1]]) > DOUBLED_MM:
            kept.append(i)
    if not line.closed and kept[-1] != count - 1:
        if len(kept) > 1 and not fixed[kept[-1]]:
            kept.pop()
        kept.append(count - 1)
    while line.closed and len(kept) > 1 and not fixed[kept[-1]]:
        if abs(points[kept[-1]] - points[0]) > DOUBLED_MM:
            break
        kept.pop()
    gone = np.ones(count, dtype=np.bool_)
    gone[kept] = False
    return without_vertices(line, gone)


def has_length(line: MarkedLine) -> bool:
    """Whether a line is more than one doubled point."""
    reach = np.abs(line.points - line.points[0]).max()
    return bool(reach > DOUBLED_MM or (line.rows.kind != Kind.LINE).any())
