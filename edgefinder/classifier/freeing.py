"""Taking edges out of every rule that names them, whatever else the rule names.

A rule that names more than the edges is spelled out: it keeps the others.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from typing import Final

from edgefinder.classifier.edge_words import AllEdges, between_texts
from edgefinder.classifier.edges_meant import MarkedPiece
from edgefinder.classifier.editing.job_places import (
    named_tables,
    table_named,
)
from edgefinder.classifier.editing.renamed_entries import with_new_words, words_of
from edgefinder.classifier.editing.table_edits import without_table
from edgefinder.classifier.piece_settings import LISTED
from edgefinder.classifier.run_words import parse_run_word
from edgefinder.classifier.sizes import name_key
from edgefinder.errors import EdgefinderError, TagError
from edgefinder.pattern.pieces import Edge

Unit = tuple[int, str]
"""A number of the job file, and the letter of a part or nothing."""

KEYS: Final = (*map(str, LISTED), "fold_edge")
"""Of a piece: the keys that hold words for edges that have a finish."""


@dataclass(frozen=True, slots=True)
class Freed:
    """A job file in which no rule names some edges any more.

    Parameters
    ----------
    text : str
    spare : mapping of str to frozenset of Unit
        Words that named nothing else, and what they mean: they may be used again.
    kept : frozenset of Unit
        Those of the edges that are in the run that was left as it is.
    """

    text: str
    spare: Mapping[str, frozenset[Unit]]
    kept: frozenset[Unit]


def units_of(edge: Edge) -> frozenset[Unit]:
    """Return what a job file can call an edge; several where two melted into one."""
    return frozenset((number, edge.part) for number in edge.known_as)


def unit_word(unit: Unit) -> str:
    """Write a unit as a job file does."""
    number, part = unit
    return f"{number}{part}"


def free_edges(
    text: str,
    pieces: Sequence[str],
    sizes: Sequence[MarkedPiece],
    units: set[Unit],
    but_run: str | None = None,
) -> Freed:
    """Take edges of a piece out of every list and run.

    Parameters
    ----------
    text : str
        Of a job file that can be followed.
    pieces : sequence of str
        Names of all pieces.
    sizes : sequence of MarkedPiece
        The piece in every size.
    units : set of Unit
        Its edges.
    but_run : str or None
        The run that they are to be in: it is left as it is.

    Returns
    -------
    Freed
        A run that has no edge left is gone.

    Raises
    ------
    TagError
        If a rule names more than the edges and what is left cannot be written.
    """
    name = sizes[0].piece.name
    spare: dict[str, frozenset[Unit]] = {}
    for key in KEYS:
        table = table_named(named_tables(text, "pieces"), name)
        if table is None:
            break
        words = words_of(text, table, key)
        plans = [_left(word, sizes, units, f"{name}: {key}", spare) for word in words]
        text = with_new_words(text, table, key, plans)
    kept: set[Unit] = set()
    # From the last to the first: a change leaves the places above it as they are.
    for run in reversed(named_tables(text, "runs")):
        words = words_of(text, run, "edges")
        if but_run is not None and name_key(run.name) == name_key(but_run):
            kept = _units_in_run(words, pieces, sizes) & units
            continue
        plans = [
            _left_in_run(word, pieces, sizes, units, run.name, spare) for word in words
        ]
        if words and not any(plans):
            text = without_table(text, run)
        else:
            text = with_new_words(text, run, "edges", plans)
    return Freed(text, spare, frozenset(kept))


def _units_in_run(
    words: Sequence[str], pieces: Sequence[str], sizes: Sequence[MarkedPiece]
) -> set[Unit]:
    """Return the edges of a piece that a run names, in any size."""
    found: set[Unit] = set()
    for word in words:
        try:
            said = parse_run_word(word, pieces)
            if said.piece == sizes[0].piece.name:
                found |= {u for one in sizes for u in _units_meant(said.edges, one)}
        except EdgefinderError:
            continue  # told where the run is read
    return found


def _left_in_run(
    word: str,
    pieces: Sequence[str],
    sizes: Sequence[MarkedPiece],
    units: set[Unit],
    run: str,
    spare: dict[str, frozenset[Unit]],
) -> list[str]:
    try:
        said = parse_run_word(word, pieces)
    except EdgefinderError:
        return [word]  # told where the run is read
    if said.piece != sizes[0].piece.name:
        return [word]
    left = _left(said.edges, sizes, units, f'runs "{run}"', spare)
    if left == [said.edges]:
        return [word]
    return [replace(said, edges=one).text for one in left]


def _left(
    word: str,
    sizes: Sequence[MarkedPiece],
    units: set[Unit],
    where: str,
    spare: dict[str, frozenset[Unit]],
) -> list[str]:
    """Return the words that mean what a word means, but for some edges."""
    try:
        found = [list(_units_meant(word, one)) for one in sizes]
    except EdgefinderError:
        return [word]  # told where the rule is followed
    meant = dict.fromkeys(unit for one in found for unit in one)
    if not units & set(meant):
        return [word]
    left = [unit for unit in meant if unit not in units]
    if not left:
        spare[word] = frozenset(meant)
        return []
    kind = sizes[0].words.read(word)
    if isinstance(kind, AllEdges):
        but = ", ".join(unit_word(unit) for unit in meant if unit in units)
        return [f"{word}, {but}" if kind.but else f"{word} except {but}"]
    ends = between_texts(word)
    if ends is None:
        return [unit_word(unit) for unit in left]
    return [
        f"from {first} to {last}"
        for first, last in _stretches_left(list(meant), units, ends, where)
    ]


def _units_meant(word: str, marked: MarkedPiece) -> Iterator[Unit]:
    for one in marked.edges(word):
        part = marked.piece.edges[one.number - 1].part
        for number in one.claimed:
            yield number, part


def _stretches_left(
    meant: Sequence[Unit], units: set[Unit], ends: tuple[str, str], where: str
) -> Iterator[tuple[str, str]]:
    """Cut a stretch between two marks where edges are taken out of it."""

    def mark_before(index: int) -> str:
        if index in {0, len(meant)}:
            return ends[0] if index == 0 else ends[1]
        number, part = meant[index]
        if part not in {"", "a"}:
            raise TagError(
                f'{where}: "from {ends[0]} to {ends[1]}" names more than the chosen '
                f"edges, and no corner parts them; change it in the job file"
            )
        return f"corner {number}"

    at = 0
    for is_taken, group in groupby(meant, key=units.__contains__):
        after = at + len(list(group))
        if not is_taken:
            yield mark_before(at), mark_before(after)
        at = after
