"""Where on the outlines of a piece its marks lie, in every size.

A mark that is drawn in one size only lies in the others at the same share of the same
edge.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fnmatch import fnmatchcase

import numpy as np

from edgefinder.classifier.mark_words import (
    AlongEdge,
    AtCorner,
    AtNotch,
    AtPoint,
    MarkWord,
    OwnMark,
    number_in,
)
from edgefinder.errors import TagError, did_you_mean
from edgefinder.pattern.on_outline import (
    EdgePlace,
    nearest_places,
    origin_of,
    ring_length,
)
from edgefinder.pattern.pieces import Edge, Piece


@dataclass(frozen=True, slots=True)
class Share:
    """A place that can be found in another size: a share of edges by their numbers."""

    numbers: tuple[int, ...]
    share: float


def mark_places(
    mark: MarkWord,
    pieces: Sequence[Piece],
    marks: Mapping[str, MarkWord],
    names: Mapping[str, int],
) -> list[EdgePlace]:
    """Find a mark in every size of a piece.

    Parameters
    ----------
    mark : MarkWord
    pieces : sequence of Piece
        One piece in several sizes, its edges labelled alike; the first is the one in
        which coordinates are measured.
    marks : mapping of str to MarkWord
        A person's own names for marks.
    names : mapping of str to int
        A person's own names for edges that have one number.

    Raises
    ------
    TagError
        If it is in no size, or cannot be carried over to one.
    """
    match mark:
        case OwnMark(name):
            return mark_places(marks[name], pieces, marks, names)
        case AtNotch(name):
            found = [_notch(name, piece) for piece in pieces]
            return _carried(found, pieces, f'there is no notch "{name}" in any size')
        case AtPoint(at):
            point = np.array([origin_of(pieces[0]) + at])
            place = nearest_places(pieces[0], point)[0][0]
            return _carried([place, *[None] * (len(pieces) - 1)], pieces, "")
        case AtCorner(number):
            return [_along(_known(number, piece), 0.0) for piece in pieces]
        case AlongEdge():
            number = _number(mark.edge, names)
            return [_along_edge(mark, number, piece) for piece in pieces]


def _along_edge(mark: AlongEdge, number: int, piece: Piece) -> EdgePlace:
    edges = _known(number, piece)
    length = ring_length(edges)
    s = mark.distance if mark.share is None else mark.share * length
    if s > length:
        raise TagError(
            f'edge {edges[0].label} of "{piece.name}" is {length:.1f} mm long and '
            f"has no place at {s:.1f} mm (size {piece.size})"
        )
    return _along(edges, s)


def _number(edge: str, names: Mapping[str, int]) -> int:
    wanted = edge.casefold().split()
    for name, number in names.items():
        if name.casefold().split() == wanted:
            return number
    written = number_in(edge)
    if written is not None:
        return written
    raise TagError(f'there is no edge "{edge}"{did_you_mean(edge, names)}')


def _known(number: int, piece: Piece) -> list[Edge]:
    """Return the edges of a number: more than one where a size has a corner more."""
    edges = [edge for edge in piece.edges if number in edge.known_as]
    if not edges:
        raise TagError(f'"{piece.name}" has no edge {number}')
    if edges[0].known_as != (number,):
        raise TagError(
            f'edge {number} of "{piece.name}" has no ends of its own in size '
            f"{piece.size}: there it is one with edge {edges[0].label}"
        )
    return edges


def _along(edges: Sequence[Edge], s: float) -> EdgePlace:
    """Return the place at a distance along edges that follow each other."""
    for edge in edges:
        if s <= edge.length or edge is edges[-1]:
            return EdgePlace(edge.number, min(s, edge.length))
        s -= edge.length
    raise ValueError("no edges")


def _notch(called: str, piece: Piece) -> EdgePlace | None:
    notches = piece.around.notches
    number = number_in(called)
    if number is not None:
        chosen = notches[number - 1 : number]
    else:
        pattern = called.casefold()
        chosen = tuple(
            notch
            for notch in notches
            if any(fnmatchcase(name.casefold(), pattern) for name in notch.names)
        )
    if len(chosen) > 1:
        raise TagError(
            f'{len(chosen)} notches of "{piece.name}" are called "{called}"; '
            "name them by number"
        )
    if not chosen:
        return None
    return nearest_places(piece, np.array([chosen[0].at]))[0][0]


def _carried(
    places: Sequence[EdgePlace | None], pieces: Sequence[Piece], missing: str
) -> list[EdgePlace]:
    """Put a mark that some sizes lack at the same share of the same edge there."""
    for piece, place in zip(pieces, places, strict=True):
        if place is not None:
            share = share_of(piece, place)
            break
    else:
        raise TagError(missing + _known_notches(pieces[0]))
    return [
        at_share(piece, share) if place is None else place
        for piece, place in zip(pieces, places, strict=True)
    ]


def _known_notches(piece: Piece) -> str:
    count = len(piece.around.notches)
    if not count:
        return "; the drawing marks none on this piece"
    names = [name for notch in piece.around.notches for name in notch.names]
    own = f", called {', '.join(names)}" if names else ""
    return f"; there are {count}{own}"


def share_of(piece: Piece, place: EdgePlace) -> Share:
    """Say where a place lies, so that it can be found in another size."""
    numbers = piece.edges[place.number - 1].known_as
    same = [edge for edge in piece.edges if edge.known_as == numbers]
    before = sum(edge.length for edge in same if edge.number < place.number)
    return Share(numbers, (before + place.s) / ring_length(same))


def at_share(piece: Piece, share: Share) -> EdgePlace:
    """Find a place of another size in this one.

    Raises
    ------
    TagError
        If no edge of this size is the same.
    """
    same = [edge for edge in piece.edges if edge.known_as == share.numbers]
    if not same:
        label = "+".join(map(str, share.numbers))
        raise TagError(
            f'a mark on edge {label} of "{piece.name}" cannot be carried over to size '
            f"{piece.size}: no edge there is the same; draw the mark in that size too"
        )
    return _along(same, share.share * ring_length(same))
