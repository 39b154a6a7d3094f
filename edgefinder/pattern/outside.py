"""What lies outside the cloth of a piece: there a set-in line is lost as well."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
import shapely
from numpy.typing import NDArray

from edgefinder.geometry.flatten import flatten_all
from edgefinder.geometry.measured import headings_at_lengths, points_at_lengths
from edgefinder.geometry.nearest import nearest_stations
from edgefinder.geometry.segments import Complexes, Floats
from edgefinder.pattern.boxes import Box, box_of
from edgefinder.pattern.pieces import Edge, Piece

CHORD_MM: Final = 0.02
"""Chord error of polygons: they say where to look, nothing is measured on them."""

NEAR_MM: Final = 0.1
"""Polygons are wider by this than what they stand for, so that no crossing is missed
where curves are replaced by chords. Larger: more is looked at for nothing."""

SAME_FOOT_MM: Final = 1e-9
"""Edges that are equally near to a place share the corner that is nearest to it."""


def xy(points: Complexes) -> Floats:
    """Return points as shapely takes them, shape (m, 2)."""
    return np.stack([points.real, points.imag], axis=1)


def cloth_of(piece: Piece) -> Any:
    """Return a piece as a shapely geometry, its curves replaced by chords."""
    rings = [ring.path for ring in (piece.outline, *piece.cutouts)]
    outer, *holes = (xy(ring) for ring in flatten_all(rings, CHORD_MM))
    cloth = shapely.Polygon(outer, [hole for hole in holes if len(hole) > 2])
    return cloth if cloth.is_valid else shapely.make_valid(cloth)


@dataclass(frozen=True, slots=True, eq=False)
class Outside:
    """What lies outside the cloth, as far as a set-in line may reach.

    Parameters
    ----------
    edge : Edge
        Whose line it is.
    width : float
        How far it is set in, in millimetres.
    edges : tuple of Edge
        All of the piece.
    cloth : shapely.Geometry
    touched : frozenset of int
        Numbers of the edges on which the line begins or ends: it goes in from there.
    """

    edge: Edge
    width: float
    edges: tuple[Edge, ...]
    cloth: Any
    touched: frozenset[int]

    def holds(self, points: Complexes) -> NDArray[np.bool_]:
        """Say for each point whether it lies outside, shape (m,)."""
        places = shapely.points(points.real, points.imag)
        outside: NDArray[np.bool_] = ~shapely.covers(self.cloth, places)
        near = shapely.distance(shapely.boundary(self.cloth), places) < NEAR_MM
        if near.any():
            outside[near] = self._side(points[near]) < 0
        return outside

    def near(self, line: Any) -> Any:
        """Return what of a shapely line may lie outside."""
        return shapely.difference(line, self.cloth)

    def _side(self, points: Complexes) -> Floats:
        """Say on which side of the nearest edge points lie: positive is inside.

        Where a corner is nearest the sides of both its edges are added up: the larger
        one is right.
        """
        apart, sides = [], []
        for edge in self._edges_near(points):
            s, distance = nearest_stations(edge.path, points)
            offset = points - points_at_lengths(edge.path, s)
            tangents = headings_at_lengths(edge.path, s)
            apart.append(distance)
            sides.append((offset * np.conj(tangents)).imag)
        nearest = np.array(apart) <= np.min(apart, axis=0) + SAME_FOOT_MM
        side: Floats = np.where(nearest, np.array(sides), 0.0).sum(axis=0)
        return side

    def _edges_near(self, points: Complexes) -> Iterator[Edge]:
        box = Box(
            complex(points.real.min(), points.imag.min()),
            complex(points.real.max(), points.imag.max()),
        ).widened(2 * NEAR_MM)
        return (edge for edge in self.edges if box_of(edge.path.path).meets(box))
