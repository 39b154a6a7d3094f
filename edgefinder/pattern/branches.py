"""Places at which loose lines branch, where an outline is needed."""

from collections import defaultdict
from collections.abc import Sequence

import numpy as np
import shapely

from edgefinder.constants import SMALLEST_PIECE_MM
from edgefinder.geometry.flatten import flatten
from edgefinder.geometry.segments import Complexes, Indices
from edgefinder.importers.chaining import Branch
from edgefinder.importers.drawing import DrawnLine
from edgefinder.pattern.closing import Closed, ends_of
from edgefinder.pattern.edges import FLAT_TOLERANCE_MM
from edgefinder.pattern.flat_rings import Polygons


def needed_branches(
    closed: Closed, around: Polygons, tolerance: float
) -> tuple[Branch, ...]:
    """Find the branches without which there would be outlines of pieces.

    Parameters
    ----------
    closed : Closed
    around : ndarray of shapely.Polygon, shape (n,)
        Outlines that were found; lines within one of them are marks on a piece.
    tolerance : float
        Ends nearer than this are one point, in millimetres.

    Returns
    -------
    tuple of Branch
        Those of lines that run round something of the size of a piece. The strokes of
        an arrow branch too, but run round nothing.
    """
    if not closed.branches:
        return ()
    lines = closed.leftover
    needed: set[int] = set()
    for loop in _loops(lines, tolerance):
        chosen = [lines[i] for i in loop]
        vertices = np.concatenate([flatten(c.path, FLAT_TOLERANCE_MM) for c in chosen])
        across = max(np.ptp(vertices.real), np.ptp(vertices.imag))
        if across >= SMALLEST_PIECE_MM and not _is_within(vertices, around):
            needed.update(map(id, chosen))
    return tuple(
        branch
        for branch in closed.branches
        if sum(id(line) in needed for line in branch.lines) > 1
    )


def _is_within(vertices: Complexes, around: Polygons) -> bool:
    points = shapely.multipoints(np.stack([vertices.real, vertices.imag], axis=1))
    return bool(shapely.covers(around, points).any())


def _loops(lines: Sequence[DrawnLine], tolerance: float) -> list[list[int]]:
    """Find lines that together run round something, as indices."""
    ends = ends_of(lines)
    nodes = _clusters(ends.ravel(), tolerance).reshape(-1, 2).tolist()
    at: defaultdict[int, set[int]] = defaultdict(set)
    for i, (start, end) in enumerate(nodes):
        at[start].add(i)
        at[end].add(i)
    waiting = [node for node, own in at.items() if len(own) == 1]
    while waiting:  # a line with a loose end runs round nothing
        own = at[waiting.pop()]
        if len(own) != 1:
            continue
        i = own.pop()
        for node in nodes[i]:
            at[node].discard(i)
            if len(at[node]) == 1:
                waiting.append(node)
    loops: list[list[int]] = []
    seen: set[int] = set()
    for first in sorted({i for own in at.values() for i in own}):
        loop: list[int] = []
        stack = [first]
        while stack:
            i = stack.pop()
            if i in seen:
                continue
            seen.add(i)
            loop.append(i)
            stack += [j for node in nodes[i] for j in at[node]]
        if loop:
            loops.append(loop)
    return loops


def _clusters(points: Complexes, tolerance: float) -> Indices:
    """Label points; those nearer than the tolerance have one label."""
    # Points on one spot would give a square of pairs: merge them first.
    spots, spot = np.unique(points, return_inverse=True)
    geometries = shapely.points(spots.real, spots.imag)
    one, other = shapely.STRtree(geometries).query(
        geometries, predicate="dwithin", distance=tolerance
    )
    label = np.arange(len(spots))
    while True:  # labels sink to the smallest of their neighbours
        lowest = label.copy()
        np.minimum.at(lowest, one, label[other])
        lowest = lowest[lowest]
        if (lowest == label).all():
            return label[spot]
        label = lowest
