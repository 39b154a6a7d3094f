"""Corners, edges and their numbers.

A corner is a jump of the tangent of 30 degrees or more (settable). Edges are
numbered along the outline with the fabric on the left, from the corner nearest to
the lower left corner of the outline's bounding box. Neither depends on where the
drawing program began the path or which way it ran, so that the same shape gets the
same numbers after a re-export. An outline without a corner is one edge, which
begins at its furthest point to the lower left.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from edgefinder.geometry.bends import Bends, sharpest_bends
from edgefinder.geometry.extent import lower_left, turning_points
from edgefinder.geometry.headings import joint_turnings, turnings
from edgefinder.geometry.measured import MeasuredPath, measure_all
from edgefinder.geometry.path import Path, rotate_path
from edgefinder.geometry.segments import (
    Complexes,
    Floats,
    Indices,
    concatenate,
    end_points,
    points_at,
    split,
    start_points,
)
from edgefinder.importers.drawing import DrawnLine
from edgefinder.pattern.pieces import Edge

FLAT_TOLERANCE_MM = 0.05
"""Chord error of the polylines used for sizes and nesting, never for a length: far
below what decides either."""

START_TOLERANCE_MM = 0.01
"""Distances that differ by less are equal when the first corner is chosen: the lower
and then the left one counts. So neither rounding nor an export with two decimals of a
millimetre moves the first corner of a symmetrical piece. Larger: corners that a person
tells apart are taken for equal."""

TO_LOWER_LEFT = -(1 + 1j) / math.sqrt(2)
"""The direction in which an outline without a corner begins."""


@dataclass(frozen=True, slots=True, eq=False)
class Ring:
    """A closed outline and the drawn lines that its segments came from.

    Parameters
    ----------
    path : Path
        Closed, the fabric on its left.
    sources : tuple of DrawnLine
    source_of_segment : ndarray of int, shape (n,)
        Index into ``sources`` for every segment.
    """

    path: Path
    sources: tuple[DrawnLine, ...]
    source_of_segment: Indices


def begin_at_first_corner(ring: Ring, corner_angle: float) -> Ring:
    """Let an outline begin where its first edge begins.

    Parameters
    ----------
    ring : Ring
    corner_angle : float
        Radians.
    """
    corners = _corners(joint_turnings(ring.path), corner_angle)
    if len(corners) == 0:
        return _begin_at_lower_left(ring)
    starts = start_points(ring.path.segments)[corners]
    distances = np.abs(starts - lower_left(ring.path))
    first = int(corners[_first(distances, starts)])
    order = np.roll(np.arange(len(ring.path.segments)), -first)
    return Ring(
        rotate_path(ring.path, first), ring.sources, ring.source_of_segment[order]
    )


def cut_into_edges(
    pieces: Sequence[Sequence[Ring]], corner_angle: float
) -> tuple[tuple[Edge, ...], ...]:
    """Cut the outlines of pieces at their corners.

    Parameters
    ----------
    pieces : sequence of sequence of Ring
        For each piece its outer outline and its cut-outs, each begun at its first
        corner. Those of all pieces are measured together.
    corner_angle : float
        Radians.

    Returns
    -------
    tuple of tuple of Edge
        The edges of each piece, numbered from 1, cut-outs after the outer outline.
    """
    stretches = [
        [
            stretch
            for index, ring in enumerate(rings)
            for stretch in _stretches(ring, index, corner_angle)
        ]
        for rings in pieces
    ]
    measured = measure_all([one.path for several in stretches for one in several])
    paths = iter(zip(measured, sharpest_bends(measured), strict=True))
    return tuple(
        tuple(
            _edge(stretch, number, *next(paths))
            for number, stretch in enumerate(several, start=1)
        )
        for several in stretches
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Stretch:
    """An edge before it is measured and numbered."""

    ring: int
    path: Path
    turning: float
    corner_before: float
    corner_after: float
    sources: tuple[DrawnLine, ...]


def _stretches(ring: Ring, index: int, corner_angle: float) -> list[_Stretch]:
    joints = joint_turnings(ring.path)  # joint i lies after segment i
    turned = turnings(ring.path.segments)
    corners = _corners(joints, corner_angle)
    if len(corners) == 0:
        total = float(turned.sum() + joints.sum())
        return [_Stretch(index, ring.path, total, 0.0, 0.0, ring.sources)]
    ends = np.append(corners[1:], len(ring.path.segments))
    return [
        _Stretch(
            ring=index,
            path=Path(ring.path.segments.take(slice(a, b)), closed=False),
            turning=float(turned[a:b].sum() + joints[a : b - 1].sum()),
            corner_before=float(joints[a - 1]),
            corner_after=float(joints[b - 1]),
            sources=_sources(ring, a, b),
        )
        for a, b in zip(corners, ends, strict=True)
    ]


def _edge(stretch: _Stretch, number: int, path: MeasuredPath, bends: Bends) -> Edge:
    return Edge(
        number=number,
        ring=stretch.ring,
        path=path,
        turning=stretch.turning,
        corner_before=stretch.corner_before,
        corner_after=stretch.corner_after,
        bends=bends,
        sources=stretch.sources,
    )


def _corners(joints: Floats, corner_angle: float) -> Indices:
    """Return the segments that begin at a corner, in order."""
    before = np.roll(joints, 1)  # the joint before segment i
    return np.flatnonzero(np.abs(before) >= corner_angle)


def _first(distances: Floats, points: Complexes) -> int:
    chosen = np.arange(len(points))
    for key in (distances, points.imag):
        chosen = chosen[key[chosen] <= key[chosen].min() + START_TOLERANCE_MM]
    return int(chosen[np.argmin(points.real[chosen])])


def _begin_at_lower_left(ring: Ring) -> Ring:
    # A flat bottom or side has no furthest point of its own; no direction is without
    # such outlines, but lines at 45 degrees down to the right are rare.
    rows, t = turning_points(ring.path.segments, TO_LOWER_LEFT)
    points = points_at(ring.path.segments.take(rows), t)
    first = _first(-(points * TO_LOWER_LEFT.conjugate()).real, points)
    return _begin_within(ring, int(rows[first]), float(t[first]))


def _begin_within(ring: Ring, row: int, t: float) -> Ring:
    segments = ring.path.segments
    one = segments.take(slice(row, row + 1))
    head = split(one, np.zeros(1), np.array([t]))
    tail = split(one, np.array([t]), np.ones(1))
    parts = [tail, segments.take(slice(row + 1, None)), segments.take(slice(0, row))]
    owner = ring.source_of_segment
    owners = [owner[row:], owner[:row]]
    if start_points(head)[0] != end_points(head)[0]:
        parts.append(head)
        owners.append(owner[row : row + 1])
    return Ring(
        Path(concatenate(parts), closed=True), ring.sources, np.concatenate(owners)
    )


def _sources(ring: Ring, first: int, last: int) -> tuple[DrawnLine, ...]:
    named = dict.fromkeys(ring.source_of_segment[first:last].tolist())
    return tuple(ring.sources[i] for i in named)
