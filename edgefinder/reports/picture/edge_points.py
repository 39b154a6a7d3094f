"""Points on a drawn edge and beside it."""

import math
from typing import Final

import numpy as np

from edgefinder.geometry.headings import headings_at
from edgefinder.geometry.measured import locate
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
    points, headings = _points_and_headings(edge, np.array([s]))
    heading = complex(headings[0])
    return complex(points[0]) + 1j * heading * depth, heading


def _points_and_headings(edge: Edge, s: Floats) -> tuple[Complexes, Complexes]:
    """Return points along an edge and the unit tangents there, each shape (m,)."""
    row, t = locate(edge.path, s)
    segments = edge.path.path.segments.take(row)
    return points_at(segments, t), headings_at(segments, t)


def set_in_edge(
    edge: Edge, start: float, end: float, *depths: float
) -> tuple[Complexes, ...]:
    """Return the part of an edge between two stations, set in by some depths."""
    steps = max(2, math.ceil((end - start) / SET_IN_STEP_MM))
    points, headings = _points_and_headings(edge, np.linspace(start, end, steps + 1))
    return tuple(points + 1j * depth * headings for depth in depths)
