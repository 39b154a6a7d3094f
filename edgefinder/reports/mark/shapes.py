"""What the layer of marks shows, in millimetres with y up, before it is a file."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from edgefinder.geometry.segments import Complexes
from edgefinder.importers.drawing import DrawnLine
from edgefinder.reports.mark.nest_labels import nest_labels, nests
from edgefinder.reports.picture.labels import LABEL_MM, Label, place_labels
from edgefinder.reports.picture.pens import BAND, LEADER, Pen, run_pen
from edgefinder.reports.picture.piece_view import PieceView, view_piece
from edgefinder.reports.picture.size_index import index_size
from edgefinder.reports.release_rows import run_names
from edgefinder.schedule.release import Release
from edgefinder.schedule.telling import Tell, one_by_one, silent

SCALE: Final = 2.5
"""Millimetres of the pattern to one of a picture on paper: letters are 7 mm high, read
from where one stands at a cutting table."""
TEXT_MM: Final = SCALE * LABEL_MM


@dataclass(frozen=True, slots=True, eq=False)
class MarkLine:
    """A line of the layer.

    Parameters
    ----------
    points : ndarray of complex128, shape (m,)
    pen : Pen
        Its sizes in millimetres of the pattern.
    closed : bool
    run : int or None
        The run, from 0, that is bound along it.
    """

    points: Complexes
    pen: Pen
    closed: bool = False
    run: int | None = None


@dataclass(frozen=True, slots=True, eq=False)
class PieceMarks:
    """The marks of one piece in one size.

    Parameters
    ----------
    piece, size : str
    lines : tuple of MarkLine
    labels : tuple of Label
        `TEXT_MM` high.
    source : DrawnLine
        One of the lines that its outline was drawn with.
    """

    piece: str
    size: str
    lines: tuple[MarkLine, ...]
    labels: tuple[Label, ...]
    source: DrawnLine


@dataclass(frozen=True, slots=True, eq=False)
class SeenPiece:
    """A piece of one size before its labels are placed.

    Parameters
    ----------
    view : PieceView
    source : DrawnLine
        One of the lines that its outline was drawn with.
    """

    view: PieceView
    source: DrawnLine


def seen_pieces(release: Release, tell: Tell = silent) -> tuple[SeenPiece, ...]:
    """Look at every piece in every size.

    Parameters
    ----------
    release : Release
    tell : Tell
        Told of every size.
    """
    found = []
    names = run_names(release.sizes)
    for size in one_by_one(release.sizes, "drawing size", tell):
        index = index_size(size, names)
        for tagged in size.tagged.pieces:
            source = tagged.piece.edges[0].sources[0]
            found.append(SeenPiece(view_piece(tagged, index, SCALE), source))
    return tuple(found)


def piece_marks(pieces: Sequence[SeenPiece]) -> tuple[PieceMarks, ...]:
    """Mark the pieces of one drawing.

    The sizes of a piece may lie in one another: their labels are placed together, so
    that none lies on another.

    Parameters
    ----------
    pieces : sequence of SeenPiece

    Returns
    -------
    tuple of PieceMarks
        One for each; a label that several sizes share is with the first of them.
    """
    by_name: dict[str, list[SeenPiece]] = {}
    for one in pieces:
        by_name.setdefault(one.view.piece.name, []).append(one)
    labels: dict[int, list[Label]] = {}
    for nest in _nests(by_name.values()):
        views = [one.view for one in nest]
        lines = [edge.points for view in views for edge in view.edges]
        lines += [line.points for view in views for line in view.bound]
        lines += [band.border for view in views for band in view.bands]
        shared = nest_labels(views)
        placed = place_labels([one.wanted for one in shared], lines, SCALE)
        for want, label in zip(shared, placed, strict=True):
            labels.setdefault(id(nest[want.first]), []).append(label)
    return tuple(_marks(one, tuple(labels.get(id(one), ()))) for one in pieces)


def _nests(alike: Iterable[Sequence[SeenPiece]]) -> Iterator[list[SeenPiece]]:
    for pieces in alike:
        for numbers in nests([one.view for one in pieces]):
            yield [pieces[i] for i in numbers]


def _marks(one: SeenPiece, labels: tuple[Label, ...]) -> PieceMarks:
    view = one.view
    return PieceMarks(
        piece=view.piece.name,
        size=view.size,
        lines=(*_bound(view), *_bands(view), *_leaders(labels)),
        labels=labels,
        source=one.source,
    )


def _bound(view: PieceView) -> Iterator[MarkLine]:
    for line in view.bound:
        yield MarkLine(line.points, _true_size(run_pen(line.run)), run=line.run)


def _bands(view: PieceView) -> Iterator[MarkLine]:
    for band in view.bands:
        yield MarkLine(band.border, _true_size(BAND), closed=True)


def _leaders(labels: tuple[Label, ...]) -> Iterator[MarkLine]:
    for label in labels:
        if label.leader is not None:
            yield MarkLine(np.array(label.leader), _true_size(LEADER))


def _true_size(pen: Pen) -> Pen:
    dashes = tuple(SCALE * dash for dash in pen.dashes)
    return replace(pen, width=SCALE * pen.width, dashes=dashes)
