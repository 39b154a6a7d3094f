"""What a picture shows of one piece, as points in millimetres, before it is drawn."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from edgefinder.classifier.job import Finish
from edgefinder.classifier.tags import TaggedPiece
from edgefinder.curvature.verdict import Verdict
from edgefinder.geometry.flatten import flatten, flatten_all
from edgefinder.geometry.measured import subpath
from edgefinder.geometry.segments import Complexes
from edgefinder.pattern.on_outline import nearest_places
from edgefinder.pattern.pieces import Edge, Piece
from edgefinder.reports.picture.edge_points import (
    along_edges,
    middle_of,
    point_on,
    set_in,
    stations_along,
)
from edgefinder.reports.picture.pens import run_letter
from edgefinder.reports.picture.size_index import MarkedStretch, SizeIndex

FLAT_SHARE: Final = 0.02
"""Millimetres of paper that a drawn curve may be off: a tenth of the thinnest pen."""
LEAST_BAND_MM: Final = 2.4
"""Paper that a band takes at least, or the tape's own line would hide it."""

SAME_PLACE_MM: Final = 0.5
"""Two places this near to each other on the paper pattern have one mark: a place and
its mirror image on a piece that is drawn half."""


@dataclass(frozen=True, slots=True, eq=False)
class EdgeView:
    """An edge with its label.

    Parameters
    ----------
    label : str
        Name or number, what is not bound by its finish, the letters of its runs.
    points : ndarray of complex128, shape (m,)
    middle : complex
    outwards : complex
        Unit direction from the cloth at the middle.
    is_fold : bool
    """

    label: str
    points: Complexes
    middle: complex
    outwards: complex
    is_fold: bool


@dataclass(frozen=True, slots=True, eq=False)
class BoundLine:
    """The bound part of an edge, where the tape's centre fold lies.

    ``run`` counts the runs of the release from 0.
    """

    run: int
    points: Complexes


@dataclass(frozen=True, slots=True, eq=False)
class Band:
    """The cloth that the tape covers along a place to watch."""

    verdict: Verdict
    border: Complexes


@dataclass(frozen=True, slots=True, eq=False)
class PlaceView:
    """The number of a place to watch; several where it is drawn for its mirror image.

    Parameters
    ----------
    numbers : tuple of int
    verdict : Verdict
    at, outwards : complex
        Sharpest point, and the unit direction from the cloth there.
    """

    numbers: tuple[int, ...]
    verdict: Verdict
    at: complex
    outwards: complex


@dataclass(frozen=True, slots=True, eq=False)
class RadiusView:
    """The circle of the tightest place of a run, touching the edge there."""

    centre: complex
    radius: float
    at: complex


@dataclass(frozen=True, slots=True, eq=False)
class PieceView:
    """A piece of one size.

    Parameters
    ----------
    piece : Piece
    cut : int
    size : str
    edges : tuple of EdgeView
    bound : tuple of BoundLine
    bands : tuple of Band
    places : tuple of PlaceView
    circles : tuple of RadiusView
    notches : tuple of (complex, complex)
        Point on the outline, and the unit direction into the cloth.
    grain : (complex, complex) or None
    """

    piece: Piece
    cut: int
    size: str
    edges: tuple[EdgeView, ...]
    bound: tuple[BoundLine, ...]
    bands: tuple[Band, ...]
    places: tuple[PlaceView, ...]
    circles: tuple[RadiusView, ...]
    notches: tuple[tuple[complex, complex], ...]
    grain: tuple[complex, complex] | None

    @property
    def is_on_fold(self) -> bool:
        """Whether it is drawn half, its fold edge on the fold of the cloth."""
        return any(edge.is_fold for edge in self.edges)

    @property
    def runs(self) -> tuple[int, ...]:
        """The runs along its edges, counted from 0."""
        return tuple(sorted({line.run for line in self.bound}))


def view_piece(tagged: TaggedPiece, index: SizeIndex, scale: float) -> PieceView:
    """Collect what a picture shows of a piece.

    Parameters
    ----------
    tagged : TaggedPiece
    index : SizeIndex
        Of the size that it belongs to.
    scale : float
        Millimetres of cloth to one of paper.

    Returns
    -------
    PieceView
    """
    return view_pieces([tagged], index, scale)[0]


def view_pieces(
    pieces: Sequence[TaggedPiece], index: SizeIndex, scale: float
) -> tuple[PieceView, ...]:
    """Collect what pictures show of several pieces of a size, as `view_piece` does."""
    edges = [edge for tagged in pieces for edge in tagged.piece.edges]
    flat = flatten_all([edge.path.path for edge in edges], FLAT_SHARE * scale)
    drawn = {
        id(edge): _closed(edge, points)
        for edge, points in zip(edges, flat, strict=True)
    }
    return tuple(_view(tagged, index, drawn, scale) for tagged in pieces)


def _view(
    tagged: TaggedPiece, index: SizeIndex, drawn: Mapping[int, Complexes], scale: float
) -> PieceView:
    piece = tagged.piece
    here = index.stretches.get(piece.name, [])
    return PieceView(
        piece=piece,
        cut=tagged.cut,
        size=index.size,
        edges=tuple(
            _edge(edge, drawn[id(edge)], tagged, index) for edge in piece.edges
        ),
        bound=tuple(_bound_lines(tagged, index, drawn, FLAT_SHARE * scale)),
        bands=tuple(_band(one, tagged, scale) for one in here),
        places=_places(here, tagged),
        circles=_circles(here, tagged),
        notches=tuple(_notches(piece)),
        grain=piece.around.grain_line,
    )


def _closed(edge: Edge, points: Complexes) -> Complexes:
    return np.append(points, points[:1]) if edge.path.path.closed else points


def _edge(
    edge: Edge, points: Complexes, tagged: TaggedPiece, index: SizeIndex
) -> EdgeView:
    finish = tagged.finishes[edge.number - 1]
    is_fold = edge.number == tagged.fold
    letters = " ".join(run_letter(run) for run in index.runs.get(id(edge), ()))
    said = "fold" if is_fold else letters
    if not said and finish not in {Finish.RAW, Finish.BOUND, Finish.SEAM}:
        said = str(finish)
    middle, heading = middle_of(points)
    label = f"{edge.label} {said}".rstrip()
    return EdgeView(label, points, middle, -1j * heading, is_fold)


def _bound_lines(
    tagged: TaggedPiece,
    index: SizeIndex,
    drawn: Mapping[int, Complexes],
    tolerance: float,
) -> list[BoundLine]:
    lines = []
    for edge in tagged.piece.edges:
        depth = tagged.allowances[edge.number - 1]
        for run, finished in index.runs.get(id(edge), {}).items():
            start, end = float(finished.drawn.min()), float(finished.drawn.max())
            if depth:
                ((points, headings),) = along_edges(
                    [edge], [stations_along(start, end)]
                )
                along = set_in(points, headings, depth)
            elif start == 0.0 and end == edge.length:
                along = drawn[id(edge)]
            else:
                along = flatten(subpath(edge.path, start, end), tolerance)
            lines.append(BoundLine(run, along))
    return lines


def _band(one: MarkedStretch, tagged: TaggedPiece, scale: float) -> Band:
    depth = tagged.allowances[one.part.edge.number - 1]
    finished_width = one.numbered.row.run.tape.finished_width
    width = max(finished_width, LEAST_BAND_MM * scale)
    near = set_in(one.points, one.headings, depth)
    far = set_in(one.points, one.headings, depth + width)
    verdict = one.numbered.report.place.verdict
    return Band(verdict, np.concatenate([near, far[::-1]]))


def _places(
    here: Sequence[MarkedStretch], tagged: TaggedPiece
) -> tuple[PlaceView, ...]:
    found: list[PlaceView] = []
    for one in here:
        at = _sharpest(one, tagged)
        number, verdict = one.numbered.number, one.numbered.report.place.verdict
        seen = PlaceView((number,), verdict, at, -1j * one.heading)
        for i, other in enumerate(found):
            if abs(other.at - at) < SAME_PLACE_MM and other.verdict is verdict:
                numbers = tuple(dict.fromkeys((*other.numbers, number)))
                found[i] = PlaceView(numbers, verdict, other.at, other.outwards)
                break
        else:
            found.append(seen)
    return tuple(found)


def _sharpest(one: MarkedStretch, tagged: TaggedPiece) -> complex:
    """Return the sharpest point of a stretch, where the tape's centre fold lies."""
    return one.at + 1j * one.heading * tagged.allowances[one.part.edge.number - 1]


def _circles(
    here: Sequence[MarkedStretch], tagged: TaggedPiece
) -> tuple[RadiusView, ...]:
    """Return the circle of the tightest place that each run has on the piece."""
    worst: dict[str, MarkedStretch] = {}
    for one in here:
        name, place = one.numbered.row.run.name, one.numbered.report.place
        if not one.part.is_sharpest:
            continue
        if name not in worst or place.radius < worst[name].numbered.report.place.radius:
            worst[name] = one
    circles = []
    for one in worst.values():
        place = one.numbered.report.place
        at = _sharpest(one, tagged)
        side = -1.0 if place.inside else 1.0
        centre = at + side * 1j * one.heading * place.radius
        circles.append(RadiusView(centre, place.radius, at))
    return tuple(circles)


def _notches(piece: Piece) -> list[tuple[complex, complex]]:
    marks = piece.around.notches
    if not marks:
        return []
    places = nearest_places(piece, np.array([mark.at for mark in marks]))
    found = []
    for place, _ in places:
        at, heading = point_on(piece.edges[place.number - 1], place.s)
        found.append((at, 1j * heading))
    return found
