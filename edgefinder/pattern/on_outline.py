"""Places on the outlines of a piece."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from edgefinder.geometry.extent import lower_left
from edgefinder.geometry.measured import MeasuredPath
from edgefinder.geometry.nearest import nearest_stations
from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import Complexes, concatenate
from edgefinder.pattern.pieces import Edge, Piece
from edgefinder.pattern.surroundings import NotchMark

ON_THE_OUTLINE_MM: Final = 0.5
"""An end this near to an outline is on it: what is drawn by eye misses by a pencil's
width."""

SAME_PLACE_MM: Final = 1e-7
"""Places on an outline nearer than this are one: above rounding, far below a pencil."""


@dataclass(frozen=True, slots=True, order=True)
class EdgePlace:
    """A place on an edge of one piece.

    Parameters
    ----------
    number : int
        Of the edge.
    s : float
        Millimetres from the start of the edge.
    """

    number: int
    s: float


def nearest_places(
    piece: Piece, points: Complexes
) -> tuple[tuple[EdgePlace, float], ...]:
    """Find for each point the nearest place on an edge, and its distance.

    Parameters
    ----------
    piece : Piece
    points : ndarray of complex128, shape (m,)
        Millimetres.

    Returns
    -------
    tuple of (EdgePlace, float)
        At a corner that of the edge with the lower number.
    """
    edges = piece.edges
    bounds = np.concatenate([[0.0], np.cumsum([edge.length for edge in edges])])
    # All edges one after the other, looked at in one call.
    whole = MeasuredPath(
        Path(concatenate([edge.path.path.segments for edge in edges]), closed=False),
        np.concatenate(
            [
                *(
                    e.path.stations[:-1] + b
                    for e, b in zip(edges, bounds, strict=False)
                ),
                bounds[-1:],
            ]
        ),
    )
    stations, apart = nearest_stations(whole, points)
    last = np.maximum(np.searchsorted(bounds, stations - SAME_PLACE_MM) - 1, 0)
    after = np.minimum(last + 1, len(edges) - 1)
    starts = np.array([edge.start for edge in edges])
    ends = np.array([edge.end for edge in edges])
    # At a bound two edges meet, or one outline ends and the next one begins.
    at_end = bounds[last + 1] - stations < SAME_PLACE_MM
    gap = np.abs(starts[after] - points) - np.abs(ends[last] - points)
    is_next = at_end & (gap < -SAME_PLACE_MM)
    index = np.where(is_next, after, last)
    along = np.where(is_next, 0.0, np.clip(stations - bounds[last], 0.0, None))
    return tuple(
        (EdgePlace(n + 1, min(s, edges[n].length)), distance)
        for n, s, distance in zip(
            index.tolist(), along.tolist(), apart.tolist(), strict=True
        )
    )


def ring_edges(piece: Piece, ring: int) -> tuple[Edge, ...]:
    """Return the edges of one outline of a piece, in order; ring 0 is the outer one."""
    return tuple(edge for edge in piece.edges if edge.ring == ring)


def ring_length(edges: Sequence[Edge]) -> float:
    """Return the length of a whole outline in millimetres."""
    return float(sum(edge.length for edge in edges))


def along_ring(piece: Piece, place: EdgePlace) -> float:
    """Return how far along its outline a place lies, from that outline's first edge."""
    edges = ring_edges(piece, piece.edges[place.number - 1].ring)
    before = [edge.length for edge in edges if edge.number < place.number]
    return float(sum(before)) + place.s


def in_outline_order(
    piece: Piece, notches: Sequence[NotchMark]
) -> tuple[NotchMark, ...]:
    """Sort notches along the outer outline from edge 1 on, then along the cut-outs."""
    if not notches:
        return ()
    found = nearest_places(piece, np.array([notch.at for notch in notches]))
    places = [place for place, _ in found]
    order = sorted(range(len(places)), key=lambda i: places[i])
    return tuple(notches[i] for i in order)


def origin_of(piece: Piece) -> complex:
    """Return the lower left corner of the box around a piece.

    Coordinates in a job file are measured from it, so that they do not change when
    the piece is moved on the page.
    """
    return lower_left(piece.outline.path)
