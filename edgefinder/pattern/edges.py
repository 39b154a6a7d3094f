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
from itertools import islice

import numpy as np
from numpy.typing import NDArray

from edgefinder.geometry.bends import Bends, sharpest_bends
from edgefinder.geometry.digitised_bends import smoothed_bends
from edgefinder.geometry.extent import lower_left, turning_points
from edgefinder.geometry.headings import joint_turnings, turnings
from edgefinder.geometry.measured import MeasuredPath, measure_all
from edgefinder.geometry.path import Path, rotate_path
from edgefinder.geometry.profile import heading_profiles
from edgefinder.geometry.segments import (
    Complexes,
    Floats,
    Indices,
    Segments,
    concatenate,
    end_points,
    points_at,
    split,
    start_points,
)
from edgefinder.importers.drawing import DrawnLine
from edgefinder.pattern.pieces import Digitised, Edge

FLAT_TOLERANCE_MM = 0.05
"""Chord error of the polylines used for sizes and nesting, never for a length: far
below what decides either."""

START_TOLERANCE_MM = 0.01
"""Distances that differ by less are equal when the first corner is chosen: the lower
and then the left one counts. So neither rounding nor an export with two decimals of a
millimetre moves the first corner of a symmetrical piece. Larger: corners that a person
tells apart are taken for equal."""

Flags = NDArray[np.bool_]

TO_LOWER_LEFT = -(1 + 1j) / math.sqrt(2)
"""The direction in which an outline without a corner begins."""


DIGITISED_CORNER_SHARE = 2 / 3
"""On a digitised outline a corner is read from noisy points, and the curves between are
smooth: two thirds of the angle (20 degrees for 30) tell them apart, so that no drafted
corner is missed. Larger: noise hides corners."""


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
    smoothing : Smoothing or None
        None unless the path is the smoothed line of a digitised one.
    marked : ndarray of bool, shape (n,), or None
        Whether a segment begins at a corner, where the drawing itself says so; its
        marks win over the angle. None: corners are found by angle.
    """

    path: Path
    sources: tuple[DrawnLine, ...]
    source_of_segment: Indices
    smoothing: "Smoothing | None" = None
    marked: Flags | None = None

    @property
    def headed(self) -> Path:
        """The path whose tangents are the headings of this one."""
        if self.smoothing is None:
            return self.path
        return Path(self.smoothing.tangents, closed=True)


@dataclass(frozen=True, slots=True, eq=False)
class Smoothing:
    """What goes with the segments of a smoothed outline, row by row.

    Parameters
    ----------
    tangents : Segments, n rows
        The headings of each segment are those of its row, at the same parameter.
    drawn : ndarray, shape (n,)
        Length of the drawn line that each stands for, in millimetres.
    """

    tangents: Segments
    drawn: Floats

    def take(self, rows: Indices | slice) -> "Smoothing":
        """Return the rows named."""
        return Smoothing(self.tangents.take(rows), self.drawn[rows])


def begin_at_first_corner(ring: Ring, corner_angle: float) -> Ring:
    """Let an outline begin where its first edge begins.

    Parameters
    ----------
    ring : Ring
    corner_angle : float
        Radians.
    """
    corners = _corners(ring, joint_turnings(ring.headed), corner_angle)
    if len(corners) == 0:
        return _begin_at_lower_left(ring)
    starts = start_points(ring.path.segments)[corners]
    distances = np.abs(starts - lower_left(ring.path))
    first = int(corners[_first(distances, starts)])
    order = np.roll(np.arange(len(ring.path.segments)), -first)
    return Ring(
        rotate_path(ring.path, first),
        ring.sources,
        ring.source_of_segment[order],
        ring.smoothing and ring.smoothing.take(order),
        None if ring.marked is None else ring.marked[order],
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
    flat = [one for several in stretches for one in several]
    measured = measure_all([one.path for one in flat])
    digitised = _digitised(flat, measured)
    exact = iter(
        sharpest_bends([path for i, path in enumerate(measured) if i not in digitised])
    )
    bends = [
        smoothed_bends(digitised[i].profile) if i in digitised else next(exact)
        for i in range(len(flat))
    ]
    every = iter(enumerate(zip(flat, measured, bends, strict=True)))
    return tuple(
        tuple(
            _edge(stretch, number, path, bend, digitised.get(i))
            for number, (i, (stretch, path, bend)) in enumerate(
                islice(every, len(several)), start=1
            )
        )
        for several in stretches
    )


def _digitised(
    stretches: Sequence["_Stretch"], measured: Sequence[MeasuredPath]
) -> dict[int, Digitised]:
    """Return what the smoothed ones were, by index."""
    rows = [
        (i, stretch.smoothing)
        for i, stretch in enumerate(stretches)
        if stretch.smoothing is not None
    ]
    profiles = heading_profiles(
        [measured[i] for i, _ in rows], [one.tangents for _, one in rows]
    )
    return {
        i: Digitised(profile, float(one.drawn.sum()))
        for (i, one), profile in zip(rows, profiles, strict=True)
    }


@dataclass(frozen=True, slots=True, eq=False)
class _Stretch:
    """An edge before it is measured and numbered."""

    ring: int
    path: Path
    turning: float
    corner_before: float
    corner_after: float
    sources: tuple[DrawnLine, ...]
    smoothing: Smoothing | None


def _stretches(ring: Ring, index: int, corner_angle: float) -> list[_Stretch]:
    joints = joint_turnings(ring.headed)  # joint i lies after segment i
    turned = turnings(ring.headed.segments)
    corners = _corners(ring, joints, corner_angle)
    if len(corners) == 0:
        total = float(turned.sum() + joints.sum())
        whole = ring.sources, ring.smoothing
        return [_Stretch(index, ring.path, total, 0.0, 0.0, *whole)]
    ends = np.append(corners[1:], len(ring.path.segments))
    return [
        _Stretch(
            ring=index,
            path=Path(ring.path.segments.take(slice(a, b)), closed=False),
            turning=float(turned[a:b].sum() + joints[a : b - 1].sum()),
            corner_before=float(joints[a - 1]),
            corner_after=float(joints[b - 1]),
            sources=_sources(ring, a, b),
            smoothing=ring.smoothing and ring.smoothing.take(slice(a, b)),
        )
        for a, b in zip(corners, ends, strict=True)
    ]


def _edge(
    stretch: _Stretch,
    number: int,
    path: MeasuredPath,
    bends: Bends,
    digitised: Digitised | None,
) -> Edge:
    return Edge(
        number=number,
        ring=stretch.ring,
        path=path,
        turning=stretch.turning,
        corner_before=stretch.corner_before,
        corner_after=stretch.corner_after,
        bends=bends,
        sources=stretch.sources,
        digitised=digitised,
    )


def _corners(ring: Ring, joints: Floats, corner_angle: float) -> Indices:
    """Return the segments that begin at a corner, in order."""
    if ring.marked is not None:
        return np.flatnonzero(ring.marked)
    least = corner_angle * (1.0 if ring.smoothing is None else DIGITISED_CORNER_SHARE)
    before = np.roll(joints, 1)  # the joint before segment i
    return np.flatnonzero(np.abs(before) >= least)


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
    head = split(segments.take([row]), np.zeros(1), np.array([t]))
    has_head = start_points(head)[0] != end_points(head)[0]
    count = len(segments)
    order = np.concatenate(
        [np.arange(row, count), np.arange(row), np.full(int(has_head), row)]
    )
    smoothing = ring.smoothing
    if smoothing is not None:
        drawn = smoothing.drawn[order]
        drawn[0] *= 1 - t
        drawn[count:] *= t
        smoothing = Smoothing(_cut_at(smoothing.tangents.take(order), count, t), drawn)
    return Ring(
        Path(_cut_at(segments.take(order), count, t), closed=True),
        ring.sources,
        ring.source_of_segment[order],
        smoothing,
    )


def _cut_at(segments: Segments, count: int, t: float) -> Segments:
    """Begin the first segment at t, and end at t those from a count on."""
    first, rest = segments.take(slice(0, 1)), segments.take(slice(1, count))
    last = segments.take(slice(count, None))
    begin, end = np.full(1, t), np.full(len(last), t)
    tail = split(first, begin, np.ones(1))
    return concatenate([tail, rest, split(last, np.zeros(len(last)), end)])


def _sources(ring: Ring, first: int, last: int) -> tuple[DrawnLine, ...]:
    named = dict.fromkeys(ring.source_of_segment[first:last].tolist())
    return tuple(ring.sources[i] for i in named)
