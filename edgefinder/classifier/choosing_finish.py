"""Giving edges that a person points at a finish, whatever was said of them before."""

from collections.abc import Iterator, Mapping, Sequence

from edgefinder.classifier.edge_words import between_texts
from edgefinder.classifier.edges_meant import MarkedPiece
from edgefinder.classifier.editing.job_edits import (
    add_piece_edge,
    add_run_edges,
    close_run,
    set_fold_edge,
)
from edgefinder.classifier.editing.job_places import named_tables, table_named
from edgefinder.classifier.editing.renamed_entries import with_word_list, words_of
from edgefinder.classifier.freeing import (
    Freed,
    Unit,
    free_edges,
    unit_word,
    units_of,
)
from edgefinder.classifier.job import Finish
from edgefinder.classifier.retagging import Tagging
from edgefinder.errors import TagError
from edgefinder.pattern.pieces import Piece

Pieces = Mapping[str, Sequence[MarkedPiece]]
"""Every piece by its name, in every size, the size that is seen first."""

Pointed = Mapping[str, Sequence[int]]
"""Numbers of edges by the name of their piece, in the size that is seen."""


def with_finish(
    text: str, pieces: Pieces, pointed: Pointed, tagging: Tagging
) -> Iterator[str]:
    """Give edges a finish, and take them out of all rules that say otherwise.

    Parameters
    ----------
    text : str
        Of a job file that can be followed.
    pieces : mapping of str to sequence of MarkedPiece
    pointed : mapping of str to sequence of int
    tagging : Tagging
        With a finish.

    Yields
    ------
    str
        The job file. Where the edges go into a run there are several ways: behind the
        others or before them, in the order of the outline or against it. The first
        one that can be followed is meant.

    Raises
    ------
    TagError, SettingsError
        If a rule cannot be written.
    """
    finish = tagging.finish
    if finish is Finish.FOLD and sum(map(len, pointed.values())) != 1:
        raise TagError("one edge lies on the fold; choose one")
    run = tagging.run if finish is Finish.BOUND else None
    words: list[tuple[str, str]] = []
    for name, numbers in pointed.items():
        several = pieces[name]
        seen = several[0].piece
        edges = [seen.edges[number - 1] for number in _from_gap(seen, numbers)]
        units = dict.fromkeys(unit for edge in edges for unit in sorted(units_of(edge)))
        freed = free_edges(text, list(pieces), several, set(units), run)
        text = freed.text
        left = [unit for unit in units if unit not in freed.kept]
        words += [(name, word) for word in _words(freed, left, several[0])]
    if run is not None:
        named = [f"{name} {word}" for name, word in words]
        is_one_piece = len(pointed) == 1
        yield from _in_run(text, run, named, tagging.tape, is_one_piece=is_one_piece)
        return
    for name, word in words:
        if finish is Finish.FOLD:
            text = set_fold_edge(text, name, word)
        elif finish is not None and (finish is not Finish.SEAM or _is_part(word)):
            text = add_piece_edge(text, name, finish, word)
    yield text


def _from_gap(piece: Piece, numbers: Sequence[int]) -> Sequence[int]:
    """Begin behind the gap between edges: on an outline the first follows the last."""
    before = {
        edge.number: piece.edges[edge.number - 2].number
        if edge.number > 1 and piece.edges[edge.number - 2].ring == edge.ring
        else max(one.number for one in piece.edges if one.ring == edge.ring)
        for edge in piece.edges
    }
    starts = [number for number in numbers if before[number] not in numbers]
    at = numbers.index(starts[0]) if len(starts) == 1 else 0
    return [*numbers[at:], *numbers[:at]]


def _words(freed: Freed, units: Sequence[Unit], seen: MarkedPiece) -> list[str]:
    """Return words for edges: those that named just them before, else their own."""
    words = []
    left = dict.fromkeys(units)
    for word, meant in freed.spare.items():
        if meant <= left.keys():
            words.append(word)
            left = {unit: None for unit in left if unit not in meant}
    names = {number: name for name, number in seen.words.numbers.items()}
    for number, part in left:
        known = names.get(number, "") if not part else ""
        words.append(known or unit_word((number, part)))
    return words


def _is_part(word: str) -> bool:
    """Whether a word needs a mark that cuts an edge, and so keeps it cut."""
    return between_texts(word) is not None or (word[0].isdigit() and word[-1].isalpha())


def _in_run(
    text: str,
    run: str,
    words: Sequence[str],
    tape: str | None,
    *,
    is_one_piece: bool,
) -> Iterator[str]:
    if not words:
        yield text
        return
    found = table_named(named_tables(text, "runs"), run)
    there = [] if found is None else words_of(text, found, "edges")
    behind = add_run_edges(text, run, words, tape=tape)
    if found is None and is_one_piece:  # the first that can be followed: a loop
        yield close_run(behind, run)
    yield behind
    table = table_named(named_tables(behind, "runs"), run)
    if table is not None:
        back = words[::-1]
        for ordered in ([*there, *back], [*words, *there], [*back, *there]):
            yield with_word_list(behind, table, "edges", ordered)
