"""A person's own names for edges: given, changed and taken out, with all their uses."""

from collections.abc import Collection

from edgefinder.classifier.editing.job_edits import set_edge_name
from edgefinder.classifier.editing.job_places import (
    named_tables,
    read_value,
    table_named,
)
from edgefinder.classifier.editing.job_renames import rename_edges
from edgefinder.classifier.editing.renamed_pairs import Pair, with_new_pairs
from edgefinder.classifier.run_words import split_run_word
from edgefinder.classifier.sizes import name_key
from edgefinder.errors import SettingsError


def name_edge(
    text: str, piece: str, name: str, word: str, *, pieces: Collection[str] = ()
) -> str:
    """Give an edge of a piece a name that no other edge of it has.

    Parameters
    ----------
    text : str
    piece, name : str
    word : str
        That the name is to stand for.
    pieces : collection of str
        Names of all pieces.

    Returns
    -------
    str

    Raises
    ------
    SettingsError
        If the name stands for something else already: rules that use it would mean
        another edge. Or if a run would take it for an edge of another piece.
    """
    _refuse_other_piece(piece, name, pieces)
    _refuse_taken(text, piece, name, word)
    return set_edge_name(text, piece, name, word)


def rename_edge(
    text: str, piece: str, name: str, new: str, *, pieces: Collection[str]
) -> str:
    """Give another name to what has one, wherever the job file uses it.

    Parameters
    ----------
    text : str
    piece, name, new : str
    pieces : collection of str
        As for `rename_edges`.

    Returns
    -------
    str

    Raises
    ------
    SettingsError
        As for `name_edge`.
    """
    new = " ".join(new.split())
    _refuse_other_piece(piece, new, pieces)
    if name_key(new) != name_key(name):
        _refuse_taken(text, piece, new, "")
    text = rename_edges(text, piece, {name: (new,)}, pieces=pieces)
    return _with_names(text, piece, {name_key(name): new})


def without_edge_name(
    text: str, piece: str, name: str, *, pieces: Collection[str]
) -> str:
    """Take a name out, and write what it stands for wherever the job file uses it.

    Raises
    ------
    SettingsError
        If what it stands for cannot be written there.
    """
    word = _words_of_names(text, piece).get(name_key(name))
    if word is None:
        return text
    text = rename_edges(text, piece, {name: (word,)}, pieces=pieces)
    return _with_names(text, piece, {name_key(name): None})


def _refuse_taken(text: str, piece: str, name: str, word: str) -> None:
    there = _words_of_names(text, piece).get(name_key(name))
    if there is not None and name_key(there) != name_key(word):
        raise SettingsError(
            f'pieces "{piece}": edge_names: "{" ".join(name.split())}" is the name of '
            f"{there} already; give another name, or change that one first"
        )


def _refuse_other_piece(piece: str, name: str, pieces: Collection[str]) -> None:
    said = split_run_word(f"{piece} {name}", pieces)
    if said.piece and name_key(said.piece) != name_key(piece):
        raise SettingsError(
            f'pieces "{piece}": edge_names: "{name}": in a run, "{piece} {name}" is '
            f'edge {said.edges} of "{said.piece}"; give another name'
        )


def _words_of_names(text: str, piece: str) -> dict[str, str]:
    """Return what the names of a piece stand for, by the names as they are compared."""
    table = table_named(named_tables(text, "pieces"), piece)
    pairs = () if table is None else table.pairs("edge_names")
    return {name_key(k.name): str(read_value(text, e.value)) for k, e in pairs}


def _with_names(text: str, piece: str, new: dict[str, str | None]) -> str:
    """Write other names in place of some; None takes one out."""
    table = table_named(named_tables(text, "pieces"), piece)
    if table is None:
        return text
    plans: list[list[Pair]] = []
    for key, entry in table.pairs("edge_names"):
        name = new.get(name_key(key.name), key.name)
        written = text[entry.value.start : entry.value.end]
        plans.append([] if name is None else [(name, written)])
    return with_new_pairs(text, table, "edge_names", plans)
