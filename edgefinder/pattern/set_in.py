"""Lines set in by an allowance, and where those of two edges that meet cross."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np

from edgefinder.errors import TagError
from edgefinder.geometry.headings import headings_at
from edgefinder.geometry.measured import MeasuredPath, locate
from edgefinder.geometry.segments import Complexes, Floats, points_at
from edgefinder.pattern.pieces import Edge

MEETING_STEPS: Final = 30
MEETING_TOLERANCE_MM: Final = 1e-9
"""Where two set-in lines meet is found by Newton's method to this distance, far below
what anybody cuts; more than 30 steps mean that they do not meet."""

STRAIGHT_JOINT: Final = math.radians(1.0)
"""Two lines that meet at less than this go on as one: they take nothing from each
other, and where they would cross is not defined."""


@dataclass(frozen=True, slots=True)
class Meeting:
    """Where the set-in lines of an edge and of the next one meet.

    Parameters
    ----------
    first, second : float
        Distances along the two edges in millimetres, below 0 or above the length
        where a line has to be carried on.
    turn : float
        From the first line to the second, radians in (-pi, pi], positive to the left.
    """

    first: float
    second: float
    turn: float


def set_in_points(
    path: MeasuredPath, s: Floats, depth: float
) -> tuple[Complexes, Complexes]:
    """Return points of a set-in line and its directions.

    Parameters
    ----------
    path : MeasuredPath
        Open, or closed with ``s`` from 0 to its length.
    s : ndarray, shape (m,)
        Millimetres along the path; below 0 or above its length along its tangents.
    depth : float
        Millimetres to the left.

    Returns
    -------
    points, tangents : ndarray of complex128, shape (m,)
    """
    inside = np.clip(s, 0.0, path.length)
    row, t = locate(path, inside)
    segments = path.path.segments.take(row)
    tangents = headings_at(segments, t)
    points = points_at(segments, t) + (s - inside + 1j * depth) * tangents
    return points, tangents


def is_straight_joint(turn: float) -> bool:
    """Whether two lines go on as one: they meet in no corner to speak of."""
    return abs(math.sin(turn)) < STRAIGHT_JOINT


def carried_on(turn: float, own: float, other: float) -> float:
    """Return how far a set-in line goes on past a corner to meet the other one.

    Parameters
    ----------
    turn : float
        At the corner, in radians; no straight joint.
    own, other : float
        How far the line is set in, and how far the one that it meets, in millimetres.

    Returns
    -------
    float
        Millimetres along the tangent at the corner, negative if they meet before it.
        With the corner at 0 and the line along x, the other one is the points p with
        p . (-sin turn, cos turn) = other.
    """
    return (own * math.cos(turn) - other) / math.sin(turn)


def meeting(first: Edge, second: Edge, allowances: Mapping[int, float]) -> Meeting:
    """Find where the set-in lines of two edges meet that share a corner.

    Parameters
    ----------
    first, second : Edge
        The second begins where the first ends.
    allowances : mapping of int to float
        Millimetres by edge number.

    Raises
    ------
    TagError
        If the lines do not meet.
    """
    a, b = allowances[first.number], allowances[second.number]
    turn = first.corner_after
    has_inside_cap = turn < 0 and (a == 0 or b == 0)
    if a == b == 0 or is_straight_joint(turn) or has_inside_cap:
        return Meeting(first.length, 0.0, turn)
    # The two lines that touch the edges at the corner, set in, meet here.
    x = first.length + carried_on(turn, a, b)
    y = -carried_on(turn, b, a)
    for _ in range(MEETING_STEPS):
        p, t = _one(first.path, x, a)
        q, u = _one(second.path, y, b)
        apart = p - q
        across = _cross(t, u)
        if abs(apart) < MEETING_TOLERANCE_MM:
            return Meeting(x, y, math.atan2(across, (t.conjugate() * u).real))
        if abs(across) < math.sin(STRAIGHT_JOINT):
            break
        x -= _cross(apart, u) / across
        y -= _cross(apart, t) / across
    raise TagError(
        f"{first.sources[0].where}: the allowances of edges {first.label} and "
        f"{second.label} ({a:.1f} and {b:.1f} mm) do not meet; give smaller ones"
    )


def _one(path: MeasuredPath, s: float, depth: float) -> tuple[complex, complex]:
    points, tangents = set_in_points(path, np.array([s]), depth)
    return complex(points[0]), complex(tangents[0])


def _cross(a: complex, b: complex) -> float:
    return (a.conjugate() * b).imag
