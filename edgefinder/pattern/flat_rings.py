"""Outlines as polygons: for sizes and for what lies in what, never for a length."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
import shapely
from numpy.typing import NDArray

from edgefinder.geometry.flatten import flatten_all
from edgefinder.geometry.segments import Complexes, Floats, Indices
from edgefinder.pattern.edges import FLAT_TOLERANCE_MM, Ring

FEW_PAIRS: Final = 60_000
"""Of a point and a side; with more of them an index of the sides is quicker."""

DIRECTIONS: Final = np.exp(2j * np.pi * np.arange(32) / 32)
"""In which outlines are compared before they are at all their places. With 8 of them
two in five traced outlines of one shape pass for lying in each other, with 32 hardly
one; more tell no more."""

Polygons = NDArray[Any]
"""shapely.Polygon, one for each outline; or other geometries."""


@dataclass(frozen=True, slots=True, eq=False)
class FlatRings:
    """Outlines and their polygons, in the order of the drawing.

    Parameters
    ----------
    rings : tuple of Ring
    vertices : tuple of ndarray of complex128
        Of each outline, on it.
    polygons : ndarray of shapely.Polygon, shape (n,)
        Within 0.05 mm of the outlines.
    """

    rings: tuple[Ring, ...]
    vertices: tuple[Complexes, ...]
    polygons: Polygons

    @property
    def reaches(self) -> Floats:
        """How far they reach in `DIRECTIONS`, shape (n, directions)."""
        counts = np.array([len(one) for one in self.vertices], dtype=np.intp)
        points = np.concatenate([np.empty(0, dtype=np.complex128), *self.vertices])
        return reaches(points, np.cumsum(counts) - counts)

    @property
    def areas(self) -> Floats:
        """Square millimetres."""
        areas: Floats = shapely.area(self.polygons)
        return areas

    @property
    def lengths(self) -> Floats:
        """Millimetres."""
        lengths: Floats = shapely.length(self.polygons)
        return lengths

    @property
    def extents(self) -> Floats:
        """The longer sides of the bounding boxes in millimetres."""
        low_x, low_y, high_x, high_y = shapely.bounds(self.polygons).reshape(-1, 4).T
        extents: Floats = np.maximum(high_x - low_x, high_y - low_y)
        return extents

    def take(self, rows: NDArray[np.bool_]) -> "FlatRings":
        """Return the outlines chosen."""
        chosen = np.flatnonzero(rows).tolist()
        return FlatRings(
            tuple(self.rings[i] for i in chosen),
            tuple(self.vertices[i] for i in chosen),
            self.polygons[rows],
        )


def flat_rings(rings: Sequence[Ring]) -> FlatRings:
    """Flatten outlines, all of them in one pass."""
    vertices = flatten_all([ring.path for ring in rings], FLAT_TOLERANCE_MM)
    if not rings:
        return FlatRings((), (), np.array([], dtype=object))
    # A ring of one or two vertices encloses nothing, but shapely wants three.
    every = [np.pad(one, (0, max(3 - len(one), 0)), mode="edge") for one in vertices]
    points = np.concatenate(every)
    owners = np.repeat(np.arange(len(every)), [len(one) for one in every])
    lines = shapely.linearrings(points.real, points.imag, indices=owners)
    return FlatRings(tuple(rings), vertices, shapely.polygons(lines))


def sides_of(vertices: Complexes) -> Polygons:
    """Return the sides of a closed line as shapely.LineString, shape (n,)."""
    ends = np.stack([vertices, np.roll(vertices, -1)], axis=1)
    sides: Polygons = shapely.linestrings(np.stack([ends.real, ends.imag], axis=2))
    return sides


def reaches(points: Complexes, firsts: Indices) -> Floats:
    """Return how far rows of points reach in `DIRECTIONS`, in millimetres.

    Parameters
    ----------
    points : ndarray of complex128, shape (m,)
    firsts : ndarray of intp, shape (n,)
        Where each row of points begins; none is empty.

    Returns
    -------
    ndarray, shape (n, directions)
    """
    if not len(firsts):
        return np.empty((0, len(DIRECTIONS)))
    each = [
        np.maximum.reduceat(points.real * way.real + points.imag * way.imag, firsts)
        for way in DIRECTIONS
    ]
    return np.stack(each, axis=1)


def are_within(
    points: Complexes, sides: shapely.STRtree, distance: float
) -> NDArray[np.bool_]:
    """Say which points lie within a distance in millimetres of some sides."""
    places = shapely.points(points.real, points.imag)
    found, _ = sides.query(places, predicate="dwithin", distance=distance)
    within = np.zeros(len(points), dtype=np.bool_)
    within[found] = True
    return within


def furthest(vertices: Complexes, line: Complexes) -> float:
    """Return how far vertices get from a closed line, in millimetres."""
    return float(_distances(vertices, line).max())


def stays_near(vertices: Complexes, line: Complexes, distance: float) -> bool:
    """Whether all vertices of a closed line are nearer to another than a distance."""
    # From vertex to vertex the distance changes by no more than the way between them.
    way = np.append(0.0, np.cumsum(np.abs(np.diff(vertices))))
    _, some = np.unique(way // (distance / 2), return_index=True)
    apart = _distances(vertices[some], line)
    if apart.max() >= distance:
        return False
    before = np.searchsorted(some, np.arange(len(vertices)), side="right") - 1
    may_be_far = apart[before] + (way - way[some][before]) >= distance
    return not may_be_far.any() or furthest(vertices[may_be_far], line) < distance


def _distances(points: Complexes, line: Complexes) -> Floats:
    places = shapely.points(points.real, points.imag)
    if len(points) * len(line) <= FEW_PAIRS:
        outline = shapely.linearrings(line.real, line.imag)
        near: Floats = shapely.distance(places, outline)
        return near
    tree = shapely.STRtree(sides_of(line))
    _, apart = tree.query_nearest(places, return_distance=True, all_matches=False)
    found: Floats = apart
    return found
