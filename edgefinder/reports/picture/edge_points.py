"""Points on a drawn edge and beside it."""

import math
from collections.abc import Sequence
from typing import Final

import numpy as np

from edgefinder.geometry.headings import headings_at
from edgefinder.geometry.measured import locate_all
from edgefinder.geometry.segments import Complexes, Floats, points_at
from edgefinder.pattern.pieces import Edge

SET_IN_STEP_MM: Final = 2.0
"""Millimetres of an edge between the points at which a line beside it is drawn: at a
radius of 10 mm it is off by 0.05 mm."""


def middle_of(line: Complexes) -> tuple[complex, complex]:
    """Return the middle of a polyline and its direction there; for a label only."""
    steps = np.abs(np.diff(line))
    before = np.concatenate([[0.0], np.cumsum(steps)])
    half = before[-1] / 2
    at = min(int(np.searchsorted(before, half, side="right")), len(line) - 1) - 1
    way = complex(line[at + 1] - line[at])
    heading = way / (abs(way) or 1.0)
    return complex(line[at]) + heading * float(half - before[at]), heading


def point_on(edge: Edge, s: float, depth: float = 0.0) -> tuple[complex, complex]:
    """Return a point set in from an edge by a depth, and the heading there."""
    ((points, headings),) = along_edges([edge], [np.array([s])])
    heading = complex(headings[0])
    return complex(points[0]) + 1j * heading * depth, heading


def along_edges(
    edges: Sequence[Edge], s: Sequence[Floats]
) -> list[tuple[Complexes, Complexes]]:
    """Return points and unit tangents on each of several edges, found in one pass.

    Parameters
    ----------
    edges : sequence of Edge
    s : sequence of ndarray, shape (m_i,)
        Of each edge, millimetres from its start.

    Returns
    -------
    list of (ndarray, ndarray), complex128, each shape (m_i,)
    """
    if not edges:
        return []
    segments, t = locate_all([edge.path for edge in edges], s)
    points, headings = points_at(segments, t), headings_at(segments, t)
    ends = np.cumsum([len(own) for own in s])[:-1]
    return list(
        zip(np.split(points, ends), np.split(headings, ends), strict=True),
    )


def stations_along(start: float, end: float) -> Floats:
    """Return the places between two stations at which a line beside an edge is drawn.

    Returns
    -------
    ndarray of float64, shape (m,)
        Millimetres from the start of the edge, evenly spaced.
    """
    steps = max(2, math.ceil((end - start) / SET_IN_STEP_MM))
    return np.linspace(start, end, steps + 1)


def set_in(points: Complexes, headings: Complexes, depth: float) -> Complexes:
    """Move points on an edge into the cloth by a depth in millimetres."""
    return points + 1j * depth * headings
