"""Cutting an edge in two where a person says so; all that was said goes on to hold."""

from collections.abc import Iterator, Sequence
from typing import Final

from edgefinder.classifier.edge_words import Between, ByNumber
from edgefinder.classifier.edges_meant import MarkedPiece
from edgefinder.classifier.editing.edge_naming import name_edge
from edgefinder.classifier.editing.job_edits import set_edge_name
from edgefinder.classifier.mark_places import mark_places, share_of
from edgefinder.classifier.mark_words import AlongEdge, mark_text, parse_mark_word
from edgefinder.classifier.part_letters import distance_ahead, edge_at
from edgefinder.classifier.sizes import name_key
from edgefinder.errors import TagError
from edgefinder.pattern.on_outline import EdgePlace, ring_edges
from edgefinder.pattern.pieces import Edge
from edgefinder.pattern.splitting import SNAP_MM, Split

FIRST: Final = "first of"
"""Begins the name of the first part of an edge that is split."""
REST: Final = "rest of"
"""Likewise of the last part, where no word tells the start of the first one."""

SHARE_DIGITS: Final = 4
"""Hundredths of a per cent: a tenth of a millimetre on a metre."""


def with_edge_split(
    text: str, several: Sequence[MarkedPiece], number: int, place: str
) -> str:
    """Cut an edge in two by giving one part a name: the first if its start has one.

    Parameters
    ----------
    text : str
    several : sequence of MarkedPiece
        The piece in every size, that in which the edge is seen first.
    number : int
        Of the edge in that size.
    place : str
        A mark: ``"notch 2"``, ``"3 at 40 %"``; along a part, ``"3b at 40 %"`` too.

    Returns
    -------
    str
        What was said of the edge goes on to mean both parts, but for letters of
        parts: see `with_letters_kept`.

    Raises
    ------
    TagError, SettingsError
        If the place does not lie within the edge, or no word tells either end of it.
    """
    seen = several[0]
    edge = seen.piece.edges[number - 1]
    place = _along_whole_edge(seen, edge, place)
    there = mark_places(
        parse_mark_word(place, tuple(seen.words.marks)),
        [one.split.whole for one in several],
        seen.words.marks,
        seen.words.numbers,
    )[0]
    if edge_at(seen.split, there) is not edge or _is_cut(seen.split, there):
        raise TagError(
            f'"{place}" does not lie within edge {edge.label} of "{seen.piece.name}"; '
            "write a place that does"
        )
    text = _with_named_stretch(text, seen, edge)
    first, last = _mark_before(seen, edge), _mark_after(seen, edge)
    if not first and not last:
        raise TagError(
            f'edge {edge.label} of "{seen.piece.name}" has its ends where marker lines '
            "end and cannot be split further; draw shorter marker lines"
        )
    word = f"from {first} to {place}" if first else f"from {place} to {last}"
    which = FIRST if first else REST
    called = f"{which} {edge.label}"
    while name_key(called) in map(name_key, seen.words.names):
        called = f"{which} {called}"
    return name_edge(text, seen.piece.name, called, word)


def _along_whole_edge(marked: MarkedPiece, edge: Edge, place: str) -> str:
    """Let a place along a part be one along the edge of which it is a part."""
    said = parse_mark_word(place, tuple(marked.words.marks))
    is_own = isinstance(said, AlongEdge) and name_key(said.edge) == name_key(edge.label)
    if not isinstance(said, AlongEdge) or not edge.part or not is_own:
        return place
    along = said.distance if said.share is None else said.share * edge.length
    if along > edge.length:
        return place  # told where it is looked for
    begin = marked.split.begins[edge.number - 1]
    there = share_of(marked.split.whole, EdgePlace(begin.number, begin.s + along))
    share = round(there.share, SHARE_DIGITS)
    return mark_text(AlongEdge(str(there.numbers[0]), share))


def _with_named_stretch(text: str, marked: MarkedPiece, edge: Edge) -> str:
    """Let names that stand for a part by its letter stand for the stretch of the part.

    The letter will be that of its first half only.
    """
    first, last = _mark_before(marked, edge), _mark_after(marked, edge)
    if not edge.part or not first or not last:
        return text
    for name, word in marked.words.names.items():
        if isinstance(word, ByNumber) and marked.meant(word) == marked.of_numbers(
            [edge.number]
        ):
            stretch = f"from {first} to {last}"
            text = set_edge_name(text, marked.piece.name, name, stretch)
    return text


def _is_cut(split: Split, place: EdgePlace) -> bool:
    """Whether an edge ends at a place already."""
    edge = edge_at(split, place)
    ahead = distance_ahead(split, edge, place)
    is_loop = edge.path.path.closed
    return not is_loop and min(ahead, edge.length - ahead) <= SNAP_MM


def _mark_before(marked: MarkedPiece, edge: Edge) -> str:
    """Return a word for the mark at which an edge begins; empty if it has none."""
    begin = marked.split.begins[edge.number - 1]
    if begin.s == 0:
        return f"corner {min(edge.known_as)}"
    for mark, place in _marks(marked):
        if place.number == begin.number and abs(place.s - begin.s) <= SNAP_MM:
            return mark
    return ""


def _mark_after(marked: MarkedPiece, edge: Edge) -> str:
    """Return a word for the mark at which an edge ends; empty if it has none."""
    ring = ring_edges(marked.piece, edge.ring)
    after = edge.number - ring[0].number + 1
    return _mark_before(marked, ring[after % len(ring)])


def _marks(marked: MarkedPiece) -> Iterator[tuple[str, EdgePlace]]:
    """Yield the marks that are used on a piece, and where they lie on it as it was."""
    for word, stretches in marked.stretches.items():
        if isinstance(word, Between):
            for one in stretches:
                yield mark_text(word.first), one.first
                yield mark_text(word.last), one.last
