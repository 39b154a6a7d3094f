"""Outlines as polygons: for sizes and for what lies in what, never for a length."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from edgefinder.geometry.flatten import flatten_all
from edgefinder.geometry.segments import Complexes, Floats
from edgefinder.pattern.edges import FLAT_TOLERANCE_MM, Ring

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


def furthest(vertices: Complexes, line: Complexes) -> float:
    """Return how far vertices get from a closed line, in millimetres."""
    tree = shapely.STRtree(sides_of(line))
    points = shapely.points(vertices.real, vertices.imag)
    _, apart = tree.query_nearest(points, return_distance=True, all_matches=False)
    return float(apart.max())
