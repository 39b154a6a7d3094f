"""Places on the outlines of a piece."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from edgefinder.geometry.extent import lower_left
from edgefinder.geometry.nearest import nearest_stations
from edgefinder.geometry.segments import Complexes
from edgefinder.pattern.pieces import Edge, Piece
from edgefinder.pattern.surroundings import NotchMark


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
    found = [nearest_stations(edge.path, points) for edge in piece.edges]
    stations = np.array([s for s, _ in found])
    apart = np.array([d for _, d in found])
    best = apart.argmin(axis=0)
    return tuple(
        (EdgePlace(int(i) + 1, float(stations[i, j])), float(apart[i, j]))
        for j, i in enumerate(best)
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
