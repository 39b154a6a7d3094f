"""Giving edges and pieces other names all through a job file's text.

As in `job_edits`, text goes in and text comes out, and all else stays as it is.
"""

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import replace

from edgefinder.classifier.editing.edge_renames import EdgeRenames, walked_backwards
from edgefinder.classifier.editing.job_places import (
    NamedTable,
    items_of,
    named_tables,
    read_value,
    table_named,
)
from edgefinder.classifier.editing.list_items import word_text
from edgefinder.classifier.editing.renamed_entries import (
    with_new_words,
    words_of,
)
from edgefinder.classifier.editing.renamed_pairs import (
    Pair,
    pairs_once,
    with_new_pairs,
)
from edgefinder.classifier.editing.toml_edits import Splice, quoted, spliced
from edgefinder.classifier.piece_settings import LISTED
from edgefinder.classifier.run_words import split_run_word
from edgefinder.classifier.sizes import name_key
from edgefinder.errors import SettingsError

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
    if name_key(old) != name_key(new) and table_named(tables, new) is not None:
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
            said = split_run_word(word, known)
            if name_key(said.piece) == name_key(old):
                written = quoted(replace(said, piece=new).text)
                splices.append(Splice(item.start, item.end, written))
    return spliced(text, splices)


def _in_piece(text: str, piece: str, renames: EdgeRenames, mistakes: list[str]) -> str:
    place = f'pieces "{piece}": '
    for key in (*map(str, LISTED), "fold_edge"):
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
    pairs: list[list[Pair]] = []
    for key, entry in table.pairs("allowances"):
        written = text[entry.value.start : entry.value.end]
        new = _told(mistakes, place, renames.words, key.name)
        pairs.append([(word, written) for word in new])
    pairs, clashes = pairs_once(pairs)
    mistakes += [
        f"{place}: edge {word} was edges with {one} and {other}; write one of them"
        for word, one, other in clashes
    ]
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
    said = [split_run_word(word, known) for word in words]
    own = [one if name_key(one.piece) == name_key(piece) else None for one in said]
    new: list[Words] = []
    beside = [None, *own, None]
    for n, (word, one) in enumerate(zip(words, own, strict=True)):
        became = () if one is None else renames.words(one.edges)
        if one is None or became == (one.edges,):
            new.append((word,))
            continue
        before, after = (
            other.edges
            if other is not None and other.mirrored == one.mirrored
            else None
            for other in (beside[n], beside[n + 2])
        )
        backwards = walked_backwards(one.edges, before, after)
        if one.mirrored if backwards is None else backwards:
            became = became[::-1]
        new.append([replace(one, edges=edge).text for edge in became])
    return new


def _pieces_of(text: str, others: Collection[str]) -> set[str]:
    return {*others, *(table.name for table in named_tables(text, "pieces"))}
