"""Cutting one piece at the marks that a job file uses, in every size."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from fnmatch import fnmatchcase

import numpy as np

from edgefinder.classifier.edge_words import (
    BesideText,
    Between,
    EdgeWord,
    UnderMarker,
    words_within,
)
from edgefinder.classifier.edges_meant import (
    Found,
    Label,
    MarkedPiece,
    Words,
    own_words,
)
from edgefinder.classifier.job import PieceSettings
from edgefinder.classifier.mark_places import mark_places
from edgefinder.classifier.marker_stretches import Stretch, marker_stretches
from edgefinder.errors import EdgefinderError, TagError
from edgefinder.pattern.beside_outlines import TEXT_REACH_MM
from edgefinder.pattern.on_outline import nearest_places
from edgefinder.pattern.pieces import Piece
from edgefinder.pattern.splitting import split_at


def mark_pieces(
    pieces: Sequence[Piece], settings: PieceSettings, used: Sequence[EdgeWord]
) -> tuple[MarkedPiece, ...]:
    """Cut a piece at the marks that are used, in every size.

    Parameters
    ----------
    pieces : sequence of Piece
        One piece in several sizes, its edges labelled alike; the first is the one in
        which coordinates are measured.
    settings : PieceSettings
        Its own names and marks count.
    used : sequence of EdgeWord
        As `words_used` finds them.

    Returns
    -------
    tuple of MarkedPiece
        One for each size. What cannot be found is an error when it is asked for.
    """
    words = own_words(settings)
    failures: dict[EdgeWord, str] = {}
    stretches: list[dict[EdgeWord, tuple[Stretch, ...]]] = [{} for _ in pieces]
    for word in used:
        if not isinstance(word, Between | UnderMarker):
            continue
        try:
            found = _stretches(word, pieces, words)
        except EdgefinderError as error:
            failures[word] = "; ".join(error.messages)
            continue
        for own, several in zip(stretches, found, strict=True):
            own[word] = several
    splits = []
    for piece, own in zip(pieces, stretches, strict=True):
        ends = [
            end
            for some in own.values()
            for one in some
            for end in (one.first, one.last)
        ]
        splits.append(split_at(piece, ends))
    beside: list[dict[EdgeWord, frozenset[Label]]] = [{} for _ in pieces]
    for word in used:
        if isinstance(word, BesideText):
            labels = _beside(word, [split.piece for split in splits])
            if labels is None:
                failures[word] = f'no text like "{word.pattern}" is near an edge'
                continue
            for texts_here, label in zip(beside, labels, strict=True):
                texts_here[word] = label
    lost = _lost_marks(words, pieces)
    marked = [
        MarkedPiece(split, words, own, near, failures, lost)
        for split, own, near in zip(splits, stretches, beside, strict=True)
    ]
    return tuple(_named(one) for one in marked)


def words_used(settings: PieceSettings, texts: Sequence[str]) -> tuple[EdgeWord, ...]:
    """Return the words that cut a piece, or that are found by what lies beside it.

    Parameters
    ----------
    settings : PieceSettings
    texts : sequence of str
        All that the job file calls edges of this piece.
    """
    words = own_words(settings)
    found: list[EdgeWord] = []
    for text in texts:
        try:
            found += words_within(words.read(text))
        except EdgefinderError:
            continue  # told where the rule is followed
    for word in words.names.values():
        found += words_within(word)
    kinds = Between | UnderMarker | BesideText
    return tuple(dict.fromkeys(one for one in found if isinstance(one, kinds)))


def _stretches(
    word: Between | UnderMarker, pieces: Sequence[Piece], words: Words
) -> tuple[tuple[Stretch, ...], ...]:
    if isinstance(word, UnderMarker):
        return marker_stretches(word, pieces)
    first, last = (
        mark_places(end, pieces, words.marks, words.numbers)
        for end in (word.first, word.last)
    )
    for piece, a, b in zip(pieces, first, last, strict=True):
        if len({piece.edges[place.number - 1].ring for place in (a, b)}) > 1:
            raise TagError("the two marks lie on different outlines of the piece")
    return tuple((Stretch(a, b),) for a, b in zip(first, last, strict=True))


def _lost_marks(words: Words, pieces: Sequence[Piece]) -> dict[str, str]:
    lost = {}
    for name, mark in words.marks.items():
        try:
            mark_places(mark, pieces, words.marks, words.numbers)
        except EdgefinderError as error:
            lost[name] = "; ".join(error.messages)
    return lost


def _beside(word: BesideText, pieces: Sequence[Piece]) -> list[frozenset[Label]] | None:
    """Return the edges that texts name; sizes without such a text follow the others."""
    found = [frozenset(_labels_beside(word, piece)) for piece in pieces]
    model = next((labels for labels in found if labels), None)
    if model is None:
        return None
    return [labels or model for labels in found]


def _labels_beside(word: BesideText, piece: Piece) -> Iterable[Label]:
    pattern = word.pattern.casefold()
    places = [
        text.at
        for text in piece.around.texts
        if fnmatchcase(" ".join(text.text.casefold().split()), pattern)
    ]
    if not places:
        return
    for place, apart in nearest_places(piece, np.array(places)):
        if apart <= TEXT_REACH_MM:
            edge = piece.edges[place.number - 1]
            yield edge.known_as, edge.part


def _named(marked: MarkedPiece) -> MarkedPiece:
    """Put a person's own names on the edges; one for several edges with their numbers.

    A label must mean one edge: reports and comparisons go by it.
    """
    edges = marked.piece.edges
    meant: list[tuple[str, tuple[Found, ...]]] = []
    for name, word in marked.words.names.items():
        try:
            meant.append((name, marked.meant(word)))
        except EdgefinderError:
            continue  # told where the name is checked
    names: dict[int, str] = {}
    for name, found in sorted(meant, key=lambda one: -len(one[1])):
        for one in found:
            label = edges[one.number - 1].label
            names[one.number] = name if len(found) == 1 else f"{name} {label}"
    if not names:
        return marked
    named = tuple(replace(edge, name=names.get(edge.number, "")) for edge in edges)
    split = replace(marked.split, piece=replace(marked.piece, edges=named))
    return replace(marked, split=split)
