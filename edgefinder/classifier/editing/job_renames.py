"""Giving edges and pieces other names all through a job file's text.

As in `job_edits`, text goes in and text comes out, and all else stays as it is.
"""

import re
from collections.abc import Callable, Collection, Mapping, Sequence
from typing import Final

from edgefinder.classifier.editing.edge_renames import EdgeRenames, walked_backwards
from edgefinder.classifier.editing.job_edits import LIST_FINISHES
from edgefinder.classifier.editing.job_places import (
    NamedTable,
    items_of,
    named_tables,
    plain,
    read_value,
    table_named,
)
from edgefinder.classifier.editing.renamed_entries import (
    Pair,
    with_new_pairs,
    with_new_words,
    words_of,
)
from edgefinder.classifier.editing.table_edits import word_text
from edgefinder.classifier.editing.toml_edits import Splice, quoted, spliced
from edgefinder.errors import SettingsError

_MIRRORED: Final = re.compile(r"(?P<rest>.+) mirrored", re.IGNORECASE)

Words = Sequence[str]


def rename_edges(
    text: str,
    piece: str,
    new_words: Mapping[str, Sequence[str]],
    *,
    pieces: Collection[str] = (),
) -> str:
    """Give the edges of a piece other numbers in its own table and in all runs.

    Parameters
    ----------
    text : str
    piece : str
    new_words : mapping of str to sequence of str
        By old word, as for `EdgeRenames`. Where a run goes over an edge that became
        several, they stand in the order of the run: backwards if the edges beside it
        in the run say so, else backwards on the mirrored half only.
    pieces : collection of str
        Names of the pieces that the drawing has: of two with which a word of a run
        begins the longer one is meant. Those of the job file need not be given.

    Returns
    -------
    str
        ``as_drawn`` is left as it is.

    Raises
    ------
    SettingsError
        With one line for every place where one edge must be named and there are
        several now.
    """
    renames = EdgeRenames(new_words)
    mistakes: list[str] = []
    table = table_named(named_tables(text, "pieces"), piece)
    if table is not None:
        text = _in_piece(text, table.name, renames, mistakes)
    known = _pieces_of(text, {piece, *pieces})
    in_runs: list[str] = []
    # From the last to the first: a change leaves the places above it as they are.
    for run in reversed(named_tables(text, "runs")):
        try:
            new = _in_run(words_of(text, run, "edges"), piece, known, renames)
        except SettingsError as error:
            in_runs += [f'runs "{run.name}": edges: {m}' for m in error.messages]
            continue
        text = with_new_words(text, run, "edges", new)
    mistakes += reversed(in_runs)
    if mistakes:
        raise SettingsError(*mistakes)
    return text


def rename_piece(text: str, old: str, new: str, *, pieces: Collection[str] = ()) -> str:
    """Give a piece another name, in its own table and in all runs.

    Parameters
    ----------
    text : str
    old, new : str
    pieces : collection of str
        As for `rename_edges`.

    Returns
    -------
    str

    Raises
    ------
    SettingsError
        If another piece has a table with the new name.
    """
    tables = named_tables(text, "pieces")
    table = table_named(tables, old)
    if plain(old) != plain(new) and table_named(tables, new) is not None:
        raise SettingsError(
            f'pieces "{new}": has a table already; take one of the two out, "{old}" '
            f'or "{new}"'
        )
    splices = []
    entry = None if table is None else table.entry("name")
    if entry is not None:
        splices.append(Splice(entry.value.start, entry.value.end, quoted(new)))
    known = _pieces_of(text, {old, *pieces})
    for run in named_tables(text, "runs"):
        edges = run.entry("edges")
        for item, word in () if edges is None else items_of(text, edges.value):
            head, rest = split_run_word(word, known)
            if plain(head) == plain(old):
                splices.append(Splice(item.start, item.end, quoted(f"{new} {rest}")))
    return spliced(text, splices)


def _in_piece(text: str, piece: str, renames: EdgeRenames, mistakes: list[str]) -> str:
    place = f'pieces "{piece}": '
    for key in (*map(str, LIST_FINISHES), "fold_edge"):
        table = _piece(text, piece)
        rename = renames.at_most_one if key == "fold_edge" else renames.words
        new = [
            _told(mistakes, f"{place}{key}", rename, word)
            for word in words_of(text, table, key)
        ]
        text = with_new_words(text, table, key, new)
    for key, rename in (
        ("edge_names", renames.at_most_one),
        ("marks", lambda mark: (renames.mark(mark),)),
    ):
        table = _piece(text, piece)
        pairs = []
        for name, entry in table.pairs(key):
            old = str(read_value(text, entry.value))
            words = _told(mistakes, f"{place}{key}: {name.name}", rename, old)
            written = text[entry.value.start : entry.value.end]
            values = [written if word == old else word_text(word) for word in words]
            pairs.append([(name.name, value) for value in values])
        text = with_new_pairs(text, table, key, pairs)
    return _in_allowances(text, piece, renames, mistakes)


def _in_allowances(
    text: str, piece: str, renames: EdgeRenames, mistakes: list[str]
) -> str:
    table = _piece(text, piece)
    place = f'pieces "{piece}": allowances'
    amounts: dict[str, object] = {}
    pairs: list[list[Pair]] = []
    for key, entry in table.pairs("allowances"):
        amount = read_value(text, entry.value)
        written = text[entry.value.start : entry.value.end]
        pairs.append([])
        for word in _told(mistakes, place, renames.words, key.name):
            if plain(word) not in amounts:
                amounts[plain(word)] = amount
                pairs[-1].append((word, written))
            elif amounts[plain(word)] != amount:
                mistakes.append(
                    f"{place}: edge {word} was edges with {amounts[plain(word)]} and "
                    f"{amount}; write one of them"
                )
    return with_new_pairs(text, table, "allowances", pairs)


def _piece(text: str, name: str) -> NamedTable:
    return next(table for table in named_tables(text, "pieces") if table.name == name)


def _told(
    mistakes: list[str], place: str, rename: Callable[[str], Words], word: str
) -> Words:
    """Rename a word; one that cannot be renamed stays, and a line says why."""
    try:
        return rename(word)
    except SettingsError as error:
        mistakes += [f"{place}: {message}" for message in error.messages]
        return (word,)


def _in_run(
    words: Sequence[str], piece: str, known: Collection[str], renames: EdgeRenames
) -> list[Words]:
    halves: list[tuple[str, bool] | None] = []
    for word in words:
        head, rest = split_run_word(word, known)
        said = _MIRRORED.fullmatch(rest)
        is_own = plain(head) == plain(piece)
        halves.append((said["rest"] if said else rest, bool(said)) if is_own else None)
    new: list[Words] = []
    beside = [None, *halves, None]
    for n, (word, half) in enumerate(zip(words, halves, strict=True)):
        became = () if half is None else renames.words(half[0])
        if half is None or became == (half[0],):
            new.append((word,))
            continue
        edge, is_mirrored = half
        before, after = (
            other[0] if other is not None and other[1] == is_mirrored else None
            for other in (beside[n], beside[n + 2])
        )
        backwards = walked_backwards(edge, before, after)
        if is_mirrored if backwards is None else backwards:
            became = became[::-1]
        head, _ = split_run_word(word, known)
        tail = " mirrored" if is_mirrored else ""
        new.append([f"{head} {one}{tail}" for one in became])
    return new


def split_run_word(word: str, pieces: Collection[str]) -> tuple[str, str]:
    """Part the name of the piece, as it is written, from what is said of its edges.

    Parameters
    ----------
    word : str
    pieces : collection of str
        Of two with which the word begins the longer one is meant.

    Returns
    -------
    str
        Empty if the word begins with none of the names.
    str
        With single blanks, as the first one.
    """
    words = word.split()
    names = {plain(name) for name in pieces}
    for count in range(len(words) - 1, 0, -1):
        head = " ".join(words[:count])
        if plain(head) in names:
            return head, " ".join(words[count:])
    return "", " ".join(words)


def _pieces_of(text: str, others: Collection[str]) -> set[str]:
    return {*others, *(table.name for table in named_tables(text, "pieces"))}
