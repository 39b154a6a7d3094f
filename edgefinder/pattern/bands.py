"""The band of an edge: the cloth that its allowance takes.

It is as wide as the allowance and lies on the inner side of the edge. It ends square
where the edge ends; past an outside corner it goes on along the tangent as far as the
cloth goes on there, and at an inside corner between two edges with
allowances it goes on to where their set-in lines meet.
"""

import cmath
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
import shapely
from numpy.typing import NDArray

from edgefinder.geometry.flatten import flatten
from edgefinder.geometry.measured import (
    MeasuredPath,
    headings_at_lengths,
    points_at_lengths,
)
from edgefinder.geometry.nearest import nearest_stations
from edgefinder.geometry.segments import Complexes
from edgefinder.pattern.boxes import Box, box_of
from edgefinder.pattern.outside import CHORD_MM, NEAR_MM, cloth_of, xy
from edgefinder.pattern.pieces import Edge, Piece
from edgefinder.pattern.set_in import carried_on, is_straight_joint

Flags = NDArray[np.bool_]

ON_THE_BORDER_MM: Final = 1e-9
"""A place this near to the border of a band lies in it: where a band is as wide as the
cloth nothing is left."""

PAST_THE_CLOTH_MM: Final = 0.2
"""A band that goes on past a corner ends this far outside the cloth, so that its end
lies on no edge. Above `CHORD_MM`, below what reaches another part of the piece."""


@dataclass(frozen=True, slots=True, eq=False)
class Band:
    """The band of one edge.

    Parameters
    ----------
    edge : Edge
    width : float
        Millimetres.
    beyond : tuple of ndarray of complex128, shape (4,)
        Convex parts past its corners.
    """

    edge: Edge
    width: float
    beyond: tuple[Complexes, ...]

    def holds(self, points: Complexes) -> Flags:
        """Say for each point whether it lies in the band, shape (m,)."""
        inside = _is_in_strip(self.edge.path, self.width, points)
        for corners in self.beyond:
            inside |= _is_in_convex(corners, points)
        return inside

    def near(self, line: Any) -> Any:
        """Return what of a shapely line may lie in it."""
        path = self.edge.path
        vertices = flatten(path.path, CHORD_MM)
        if path.path.closed:
            vertices = np.append(vertices, vertices[:1])
        else:
            ends = np.array([0.0, path.length])
            first, last = NEAR_MM * headings_at_lengths(path, ends)
            vertices = np.concatenate(
                [[path.path.start - first], vertices, [path.path.end + last]]
            )
        drawn = shapely.LineString(xy(vertices))
        strip = shapely.buffer(drawn, self.width + NEAR_MM, cap_style="flat")
        parts = [shapely.Polygon(xy(q)) for q in self.beyond]
        parts = [shapely.buffer(part, NEAR_MM, quad_segs=2) for part in parts]
        return shapely.intersection(line, shapely.union_all([strip, *parts]))


def bands_near(
    piece: Piece,
    edges: Sequence[Edge],
    allowances: Mapping[int, float],
    box: Box,
    beside: Edge,
) -> list[Band]:
    """Make the bands that may reach into a box.

    Parameters
    ----------
    piece : Piece
    edges : sequence of Edge
        Those whose bands are wanted; each has an allowance.
    allowances : mapping of int to float
        Millimetres by edge number.
    box : Box
    beside : Edge
        Past its corners no band goes on: what its neighbours take is cut already.
    """
    found = []
    cloth = None
    for edge in edges:
        width = allowances[edge.number]
        ends = [e for e in _ends(piece, edge) if e.other.number != beside.number]
        onwards = [end for end in ends if end.goes_on]
        # At an inside corner a band reaches further than its width.
        inside = [
            part
            for end in ends
            if (part := _past_inside(end, width, allowances)) is not None
        ]
        reach = max((abs(p - q[0]) for q in inside for p in q), default=0.0)
        is_near = box_of(edge.path.path).widened(max(width, reach)).meets(box)
        if not is_near and not any(
            box.is_on_way(end.at, end.out, width * end.inwards) for end in onwards
        ):
            continue
        if cloth is None:
            cloth = cloth_of(piece)
        past = [_past_outside(end, width, cloth) for end in onwards]
        found.append(Band(edge, width, (*past, *inside)))
    return found


@dataclass(frozen=True, slots=True)
class _End:
    """An end of an edge.

    Parameters
    ----------
    at : complex
    out : complex
        The unit tangent there, away from the edge.
    inwards : complex
        The unit vector square to it, into the cloth.
    turn : float
        Of the corner, in radians.
    other : Edge
        The one that it shares the corner with.
    """

    at: complex
    out: complex
    inwards: complex
    turn: float
    other: Edge

    @property
    def goes_on(self) -> bool:
        """Whether the stitching goes on past it, through the allowance beside it."""
        return self.turn > 0 and not is_straight_joint(self.turn)


def _ends(piece: Piece, edge: Edge) -> tuple[_End, ...]:
    if edge.path.path.closed:
        return ()
    before, after = piece.neighbours(edge.number)
    ends = np.array([0.0, edge.length])
    first, last = headings_at_lengths(edge.path, ends).tolist()
    return (
        _End(edge.start, -first, 1j * first, edge.corner_before, before),
        _End(edge.end, last, 1j * last, edge.corner_after, after),
    )


def _past_outside(end: _End, width: float, cloth: Any) -> Complexes:
    """Carry a band on as far as the cloth goes on beside it."""
    depth = width * end.inwards
    cap = np.array([end.at, end.at + depth])
    low_x, low_y, high_x, high_y = cloth.bounds
    far = end.out * math.hypot(high_x - low_x, high_y - low_y)
    strip = shapely.Polygon(xy(np.concatenate([cap, cap[::-1] + far])))
    parts = shapely.get_parts(shapely.intersection(strip, cloth))
    beside = parts[shapely.distance(parts, shapely.LineString(xy(cap))) <= NEAR_MM]
    x, y = shapely.get_coordinates(beside).T
    along = ((x + 1j * y - end.at) * end.out.conjugate()).real
    onwards = (float(along.max(initial=0.0)) + PAST_THE_CLOTH_MM) * end.out
    return np.concatenate([cap, cap[::-1] + onwards])


def _past_inside(
    end: _End, width: float, allowances: Mapping[int, float]
) -> Complexes | None:
    """Carry a band on to that of the next edge, at an inside corner.

    Taken is what lies between the square ends of both, and less deep than either.
    """
    other = allowances[end.other.number]
    if end.turn >= 0 or other == 0 or is_straight_joint(end.turn):
        return None
    # Towards the start of an edge everything is mirrored.
    is_forward = (end.out.conjugate() * end.inwards).imag > 0
    towards = end.inwards * cmath.rect(1.0, end.turn if is_forward else -end.turn)
    own, theirs = width * end.inwards, other * towards
    onwards = carried_on(end.turn, width, other)
    tip = own + onwards * end.out
    if onwards < 0:  # the other line comes in through the end of this band
        own = tip = other / math.cos(end.turn) * end.inwards
    elif carried_on(end.turn, other, width) < 0:  # this one goes through the other end
        theirs = tip = width / math.cos(end.turn) * towards
    return end.at + np.array([0.0, own, tip, theirs])


def _is_in_strip(path: MeasuredPath, width: float, points: Complexes) -> Flags:
    s, apart = nearest_stations(path, points)
    tangents = headings_at_lengths(path, s)
    offset = (points - points_at_lengths(path, s)) * np.conj(tangents)
    inside = (apart <= width + ON_THE_BORDER_MM) & (offset.imag >= -ON_THE_BORDER_MM)
    if not path.path.closed:
        inside &= (s > ON_THE_BORDER_MM) | (offset.real >= -ON_THE_BORDER_MM)
        at_end = s >= path.length - ON_THE_BORDER_MM
        inside &= ~at_end | (offset.real <= ON_THE_BORDER_MM)
    return inside


def _is_in_convex(corners: Complexes, points: Complexes) -> Flags:
    sides = np.roll(corners, -1) - corners
    long = np.abs(sides)
    along = sides / np.where(long > 0, long, 1.0)
    depth = ((points[:, np.newaxis] - corners) * np.conj(along)).imag
    left = np.all(depth >= -ON_THE_BORDER_MM, axis=1)
    right = np.all(depth <= ON_THE_BORDER_MM, axis=1)
    inside: Flags = left | right
    return inside
