"""Where outlines begin: at the corner from which their edges are numbered."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from edgefinder.geometry.extent import turning_points
from edgefinder.geometry.path import Path
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
from edgefinder.geometry.several import (
    joint_turnings_of_all,
    lower_lefts,
    put_together,
)
from edgefinder.pattern.edges import Ring, Smoothing, corners_of_all

START_TOLERANCE_MM: Final = 0.01
"""Distances that differ by less are equal when the first corner is chosen: the lower
and then the left one counts. So neither rounding nor an export with two decimals of a
millimetre moves the first corner of a symmetrical piece. Larger: corners that a person
tells apart are taken for equal."""

TO_LOWER_LEFT: Final = -(1 + 1j) / math.sqrt(2)
"""The direction in which an outline without a corner begins."""


def begin_at_first_corners(rings: Sequence[Ring], corner_angle: float) -> list[Ring]:
    """Let outlines begin where their first edges begin, all of them in one pass.

    Parameters
    ----------
    rings : sequence of Ring
    corner_angle : float
        Radians.
    """
    if not rings:
        return []
    headed = put_together([ring.headed for ring in rings])
    joints = joint_turnings_of_all(headed)
    corners = corners_of_all(rings, headed, joints, corner_angle)
    owners = headed.owners[corners]
    cornered = np.unique(owners)
    smooth = np.setdiff1d(np.arange(len(rings)), cornered)
    rows, t = np.zeros(len(rings), dtype=np.intp), np.zeros(len(rings))

    box = np.zeros(len(rings), dtype=np.complex128)
    box[cornered] = lower_lefts(put_together([rings[i].path for i in cornered]))
    drawn = concatenate([ring.path.segments for ring in rings])
    starts = start_points(drawn.take(corners))
    first = _firsts(np.abs(starts - box[owners]), starts, owners)
    rows[cornered] = corners[first] - headed.firsts[cornered]

    rows[smooth], t[smooth] = _lower_left_places([rings[i].path for i in smooth])
    return _begin_at(rings, rows, t)


def _lower_left_places(paths: Sequence[Path]) -> tuple[Indices, Floats]:
    """Return the segment and the parameter at which each path reaches furthest."""
    if not paths:
        return np.empty(0, dtype=np.intp), np.empty(0)
    # A flat bottom or side has no furthest point of its own; no direction is without
    # such outlines, but lines at 45 degrees down to the right are rare.
    several = put_together(paths)
    rows, t = turning_points(several.segments, TO_LOWER_LEFT)
    points = points_at(several.segments.take(rows), t)
    reach = (points * TO_LOWER_LEFT.conjugate()).real
    first = _firsts(-reach, points, several.owners[rows])
    return rows[first] - several.firsts, t[first]


def _firsts(distances: Floats, points: Complexes, owners: Indices) -> Indices:
    """Choose the place of each owner: the nearest, then the lowest, then the left one.

    Parameters
    ----------
    distances : ndarray, shape (n,)
    points : ndarray of complex128, shape (n,)
    owners : ndarray of intp, shape (n,)
        In rising order.

    Returns
    -------
    ndarray of intp
        One index for each owner that there is.
    """
    chosen = np.arange(len(owners))
    for key in (distances, points.imag):
        values, own = key[chosen], owners[chosen]
        _, begins, sizes = np.unique(own, return_index=True, return_counts=True)
        if not len(begins):
            break
        least = np.repeat(np.minimum.reduceat(values, begins), sizes)
        chosen = chosen[values <= least + START_TOLERANCE_MM]
    chosen = chosen[np.lexsort((points.real[chosen], owners[chosen]))]
    return chosen[np.unique(owners[chosen], return_index=True)[1]]


@dataclass(frozen=True, slots=True, eq=False)
class _Turned:
    """How the rows of closed paths are taken when these begin elsewhere.

    Parameters
    ----------
    order : ndarray of intp, shape (n,)
        Rows of all paths put together.
    local : ndarray of intp, shape (n,)
        The same rows, counted from the first one of their own path.
    t0, t1 : ndarray, shape (n,)
        The stretch taken of each.
    bounds : list of int
        Path i has the entries from bounds[i] up to bounds[i + 1].
    """

    order: Indices
    local: Indices
    t0: Floats
    t1: Floats
    bounds: list[int]

    def of(self, tables: Sequence[Segments]) -> list[Segments]:
        """Return the tables of the paths, begun elsewhere."""
        taken = concatenate(tables).take(self.order)
        partial = np.flatnonzero((self.t0 > 0) | (self.t1 < 1))
        if len(partial):
            cut = split(taken.take(partial), self.t0[partial], self.t1[partial])
            control = taken.control.copy()
            control[partial] = cut.control
            control.flags.writeable = False
            taken = Segments(taken.kind, control)
        return [taken.take(slice(a, b)) for a, b in pairwise(self.bounds)]


def _turned(paths: Sequence[Path], rows: Indices, t: Floats) -> _Turned:
    """Begin closed paths at t on a row of each; the rest of that row comes last."""
    table = put_together(paths)
    begin = table.segments.take(table.firsts + rows)
    heads = split(begin, np.zeros(len(t)), t)
    has_head = start_points(heads) != end_points(heads)
    counts = table.counts + has_head
    bounds = np.append(0, np.cumsum(counts))
    step = np.arange(bounds[-1]) - np.repeat(bounds[:-1], counts)
    local = (np.repeat(rows, counts) + step) % np.repeat(table.counts, counts)
    t0, t1 = np.zeros(len(local)), np.ones(len(local))
    t0[bounds[:-1]] = t
    t1[bounds[1:][has_head] - 1] = t[has_head]
    order = np.repeat(table.firsts, counts) + local
    return _Turned(order, local, t0, t1, bounds.tolist())


def _begin_at(rings: Sequence[Ring], rows: Indices, t: Floats) -> list[Ring]:
    """Let each ring begin at t on a row of its own."""
    moved = np.flatnonzero((rows > 0) | (t > 0))
    begun = list(rings)
    if not len(moved):
        return begun
    chosen = [rings[i] for i in moved.tolist()]
    turned = _turned([ring.path for ring in chosen], rows[moved], t[moved])
    paths = turned.of([ring.path.segments for ring in chosen])
    tangents = paths
    if any(ring.smoothing is not None for ring in chosen):
        tangents = turned.of([ring.headed.segments for ring in chosen])
    for i, ring, path, headings, (a, b) in zip(
        moved.tolist(), chosen, paths, tangents, pairwise(turned.bounds), strict=True
    ):
        local = turned.local[a:b]
        share = turned.t1[a:b] - turned.t0[a:b]
        smoothing = ring.smoothing
        begun[i] = Ring(
            Path(path, closed=True),
            ring.sources,
            ring.source_of_segment[local],
            smoothing and Smoothing(headings, smoothing.drawn[local] * share),
            None if ring.marked is None else ring.marked[local],
        )
    return begun
