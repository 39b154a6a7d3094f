"""Letters of parts of edges in a changed job file: each goes on to mean its stretch.

A part gets its letter by its place among the marks that are used, so that a mark that
comes into use or goes out of it changes the letters behind it.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence

from edgefinder.classifier.edges_meant import MarkedPiece
from edgefinder.classifier.editing.job_renames import rename_edges
from edgefinder.classifier.freeing import unit_word
from edgefinder.errors import TagError
from edgefinder.pattern.on_outline import EdgePlace, along_ring, ring_edges, ring_length
from edgefinder.pattern.pieces import Edge
from edgefinder.pattern.splitting import SNAP_MM, Split

Pieces = Mapping[str, Sequence[MarkedPiece]]
"""Every piece by its name, in every size."""

Words = dict[str, tuple[str, ...]]


def with_letters_kept(text: str, before: Pieces, after: Pieces) -> str:
    """Let letters of parts mean in a changed job file what they meant before.

    Parameters
    ----------
    text : str
        Of the changed job file, its letters as they were.
    before : mapping of str to sequence of MarkedPiece
        As the job file was.
    after : mapping of str to sequence of MarkedPiece
        As this text cuts the same pieces, in the same order of sizes.

    Returns
    -------
    str

    Raises
    ------
    TagError, SettingsError
        If a part is named of which an end is no mark any more, or that is not the
        same in every size, or where one word cannot mean all that became of it.
    """
    for name, several in before.items():
        if not has_parts(several):
            continue
        texts = [
            _in_size(text, name, list(before), was.split, now.split)
            for was, now in zip(several, after[name], strict=True)
        ]
        if len(set(texts)) > 1:
            raise TagError(
                f'letters of parts of "{name}" would not mean the same in every size: '
                "marks lie in another order there; give these parts names first"
            )
        text = texts[0]
    return text


def has_parts(several: Sequence[MarkedPiece]) -> bool:
    """Whether an edge of a piece is cut in any size."""
    return any(edge.part for one in several for edge in one.piece.edges)


def edge_at(split: Split, place: EdgePlace) -> Edge:
    """Return the part on which a place of the piece as it was lies."""
    ring = split.whole.edges[place.number - 1].ring
    edges = ring_edges(split.piece, ring)
    return min(edges, key=lambda edge: distance_ahead(split, edge, place))


def distance_ahead(split: Split, edge: Edge, place: EdgePlace) -> float:
    """Return how far from the start of a part on a place lies, along the outline."""
    begin = along_ring(split.whole, split.begins[edge.number - 1])
    length = ring_length(ring_edges(split.whole, edge.ring))
    return (along_ring(split.whole, place) - begin) % length


def _in_size(
    text: str, name: str, pieces: Collection[str], was: Split, now: Split
) -> str:
    new, lost = _new_words(was, now)
    for word in lost:
        if rename_edges(text, name, {word: ("all",)}, pieces=pieces) != text:
            raise TagError(
                f'"{name} {word}" is named, and a mark at which it ends would not be '
                "used any more; say first what happens to that part"
            )
    return rename_edges(text, name, new, pieces=pieces)


def _new_words(was: Split, now: Split) -> tuple[Words, list[str]]:
    """Return what parts are called now, and those of which an end is gone."""
    found: defaultdict[int, list[tuple[float, Edge]]] = defaultdict(list)
    for edge, begin in zip(now.piece.edges, now.begins, strict=True):
        middle = EdgePlace(begin.number, begin.s + edge.length / 2)
        old = edge_at(was, middle)
        found[old.number].append((distance_ahead(was, old, middle), edge))
    new: defaultdict[str, list[str]] = defaultdict(list)
    lost: list[str] = []
    for old in was.piece.edges:
        there = [edge for _, edge in sorted(found[old.number], key=lambda one: one[0])]
        length = sum(edge.length for edge in there)
        for number in old.known_as if old.part else ():
            word = unit_word((number, old.part))
            if abs(length - old.length) > 2 * SNAP_MM:
                lost.append(word)
            new[word] += [unit_word((number, edge.part)) for edge in there]
    words = {word: _once(several) for word, several in new.items() if word not in lost}
    return {word: now for word, now in words.items() if now != (word,)}, lost


def _once(words: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(words))
