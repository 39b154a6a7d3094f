"""The stretches of an outline along which marker lines are drawn."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from edgefinder.classifier.edge_words import UnderMarker
from edgefinder.classifier.mark_places import at_share, share_of
from edgefinder.errors import TagError
from edgefinder.geometry.measured import measure, points_at_lengths
from edgefinder.importers.drawing import DrawnLine
from edgefinder.pattern.beside_outlines import MARKER_REACH_MM, SAMPLES
from edgefinder.pattern.on_outline import (
    EdgePlace,
    along_ring,
    nearest_places,
    ring_edges,
    ring_length,
)
from edgefinder.pattern.pieces import Piece


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of an outline, the fabric on its left; once round if both are one."""

    first: EdgePlace
    last: EdgePlace


def marker_stretches(
    word: UnderMarker, pieces: Sequence[Piece]
) -> tuple[tuple[Stretch, ...], ...]:
    """Find the stretches under marker lines, in every size of a piece.

    Parameters
    ----------
    word : UnderMarker
    pieces : sequence of Piece
        One piece in several sizes, its edges labelled alike.

    Returns
    -------
    tuple of tuple of Stretch
        For each size; one without markers has them where the first with markers has
        them.

    Raises
    ------
    TagError
        If there is no marker line in any size, or one cannot be carried over.
    """
    drawn = [
        [
            line
            for line in piece.around.markers
            if word.selector is None or word.selector.matches(line)
        ]
        for piece in pieces
    ]
    found = [
        [_under_marker(line, piece) for line in lines]
        for lines, piece in zip(drawn, pieces, strict=True)
    ]
    model = next((i for i, stretches in enumerate(found) if stretches), None)
    if model is None:
        chosen = "" if word.selector is None else f' drawn as "{word.selector.text}"'
        raise TagError(
            f"no marker line{chosen} runs along this piece in any size; marker_lines "
            "in the job file chooses them"
        )
    shares = [
        (share_of(pieces[model], one.first), share_of(pieces[model], one.last))
        for one in found[model]
    ]
    return tuple(
        tuple(own)
        or tuple(
            Stretch(at_share(piece, first), at_share(piece, last))
            for first, last in shares
        )
        for own, piece in zip(found, pieces, strict=True)
    )


def _under_marker(line: DrawnLine, piece: Piece) -> Stretch:
    """Project a marker line on the outline that it runs along."""
    path = measure(line.path)
    points = points_at_lengths(path, np.linspace(0, path.length, SAMPLES))
    places = [place for place, _ in nearest_places(piece, points)]
    ring = piece.edges[places[SAMPLES // 2].number - 1].ring
    length = ring_length(ring_edges(piece, ring))
    along = [
        along_ring(piece, place)
        for place in places
        if piece.edges[place.number - 1].ring == ring
    ]
    # The way from sample to sample is the shorter one round the outline.
    steps = [math.remainder(b - a, length) for a, b in pairwise(along)]
    covered = sum(steps)
    first, last = _snapped(places[0], piece), _snapped(places[-1], piece)
    if line.path.closed or abs(covered) > length - 2 * MARKER_REACH_MM:
        return Stretch(first, first)
    return Stretch(first, last) if covered > 0 else Stretch(last, first)


def _snapped(place: EdgePlace, piece: Piece) -> EdgePlace:
    """Take a corner near to a place for it: no hand stops to the millimetre."""
    edge = piece.edges[place.number - 1]
    if edge.path.path.closed:
        return place
    if place.s < MARKER_REACH_MM:
        return EdgePlace(place.number, 0.0)
    if place.s > edge.length - MARKER_REACH_MM:
        return EdgePlace(place.number, edge.length)
    return place
