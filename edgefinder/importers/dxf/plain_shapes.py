"""Many lines, arcs, circles or polylines at once to segments.

The numbers come out the same as those of `entities`, which takes them one by one.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from edgefinder.geometry.segments import (
    Complexes,
    Floats,
    Indices,
    Segments,
    arc_segments,
    line_segments,
)
from edgefinder.importers.dxf.entities import FULL_TURN_SLACK
from edgefinder.importers.dxf.polylines import bulged_segments
from edgefinder.importers.dxf.vertices import Table

Bools = NDArray[np.bool_]
Numbers = Mapping[int, Floats]
"""Columns of numbers by their group codes."""


@dataclass(frozen=True, slots=True, eq=False)
class PlainShapes:
    """What k entities draw.

    Parameters
    ----------
    segments : Segments
    stops : ndarray of intp, shape (k + 1,)
        Entity i has the segments from stops[i] to stops[i + 1].
    closed : ndarray of bool, shape (k,)
    """

    segments: Segments
    stops: Indices
    closed: Bools


def plain_lines(numbers: Numbers) -> tuple[Bools, PlainShapes]:
    """Draw LINE entities; those that leave a plane of equal heights are not good."""
    count = len(numbers[10])
    segments = line_segments(_point(numbers, 10), _point(numbers, 11))
    level = numbers.get(30, np.zeros(count)) == numbers.get(31, np.zeros(count))
    return level, _one_each(segments, np.zeros(count, dtype=np.bool_))


def plain_circles(numbers: Numbers) -> tuple[Bools, PlainShapes]:
    """Draw ARC entities, or CIRCLE where there are no angles.

    Those without radius or angle are not good.
    """
    count = len(numbers[10])
    turn = 2 * math.pi
    start = np.radians(numbers.get(50, np.zeros(count)))
    end = np.radians(numbers[51]) if 51 in numbers else np.full(count, turn)
    angle = (end - start) % turn
    full = np.minimum(angle, turn - angle) <= FULL_TURN_SLACK
    full &= np.abs(end - start) > FULL_TURN_SLACK
    angle[full] = turn
    radius = np.abs(numbers[40])
    good = (start != end) & (angle != 0) & (radius != 0)
    centre = _point(numbers, 10)
    segments = arc_segments(centre, radius, 1j * radius, start, start + angle)
    return good, _one_each(segments, full)


def plain_polylines(
    table: Table, rows: Indices, closed: Bools
) -> tuple[Bools, PlainShapes]:
    """Draw polylines of a table.

    Those without length are not good, nor are those of which a vertex has flags.

    Parameters
    ----------
    table : Table
    rows : ndarray of intp, shape (k,)
        Which of its polylines; each has a vertex at least.
    closed : ndarray of bool, shape (k,)
    """
    counts = table.stops[rows + 1] - table.stops[rows]
    lasts = np.cumsum(counts) - 1
    firsts = lasts + 1 - counts
    places = np.arange(counts.sum()) + np.repeat(table.stops[rows] - firsts, counts)
    start = table.vertices.points[places]
    end = np.append(start[1:], 0)
    end[lasts] = start[firsts]
    apart = start != end
    apart[lasts] &= closed
    segments = bulged_segments(
        start[apart], end[apart], table.vertices.bulges[places[apart]]
    )
    lengths = np.add.reduceat(apart, firsts, dtype=np.intp)
    flagged = np.add.reduceat(table.vertices.flags[places] != 0, firsts, dtype=np.intp)
    stops = np.append(0, np.cumsum(lengths))
    return (lengths > 0) & (flagged == 0), PlainShapes(segments, stops, closed)


def _one_each(segments: Segments, closed: Bools) -> PlainShapes:
    return PlainShapes(segments, np.arange(len(segments) + 1), closed)


def _point(numbers: Numbers, code: int) -> Complexes:
    points = np.empty(len(numbers[code]), dtype=np.complex128)
    points.real, points.imag = numbers[code], numbers[code + 10]
    return points
