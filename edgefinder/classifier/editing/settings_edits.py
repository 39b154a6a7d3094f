"""Changing settings in a person's job file: one key, one table, one name at a time.

As in `job_edits`, text goes in and text comes out, and all else stays as it is.
"""

from collections.abc import Sequence
from typing import Final

from edgefinder.classifier.editing.job_places import (
    NamedTable,
    named_tables,
    read_value,
    single_table,
    table_named,
)
from edgefinder.classifier.editing.list_items import TEXTS, WORDS, Items
from edgefinder.classifier.editing.renamed_entries import (
    with_word_list,
)
from edgefinder.classifier.editing.renamed_pairs import with_new_pairs
from edgefinder.classifier.editing.table_edits import (
    end_of_list,
    with_piece,
    with_value,
    with_words,
    without_table,
)
from edgefinder.classifier.editing.toml_edits import (
    quoted,
    spliced,
    with_table,
    without_entry,
)
from edgefinder.classifier.fabric_settings import DEFAULT_CLOTH
from edgefinder.classifier.piece_settings import LISTED
from edgefinder.classifier.sizes import name_key
from edgefinder.classifier.toml_layout import sections_of
from edgefinder.errors import SettingsError, did_you_mean

TOP: Final = ""
"""The kind of table that the keys at the top of a job file stand in."""
FABRIC: Final = "fabric"
"""The other table that there is one of."""

_EDGES: Final = frozenset({"edges", *map(str, LISTED)})
"""The keys of lists that hold what edges are called."""

Value = str | bool | int | float | Sequence[str]
"""A length is a text."""


def set_key(text: str, kind: str, name: str, key: str, value: Value | None) -> str:
    """Set a key of a table of a job file.

    Parameters
    ----------
    text : str
    kind : str
        ``"tapes"``, ``"runs"``, ``"cloths"``, ``"pieces"``, or `TOP` or `FABRIC`, of
        which there is one.
    name : str
        Of the table; a piece that has none is given one.
    key : str
    value : text, truth, number, list of texts or None
        None takes the key out.

    Returns
    -------
    str

    Raises
    ------
    SettingsError
        If there is no such table, or it is written in a way that cannot be changed
        safely.
    """
    text, table = _table(text, kind, name)
    if value is None:
        entry = table.entry(key)
        return text if entry is None else spliced(text, [without_entry(text, entry)])
    if not isinstance(value, str | bool | int | float) and table.entry(key) is not None:
        return with_word_list(text, table, key, value, _items(key))
    return with_value(text, table, key, value_text(value))


def add_to_list(text: str, kind: str, name: str, key: str, items: Sequence[str]) -> str:
    """Add texts at the end of a list, which stays as it is written.

    Parameters
    ----------
    text, kind, name, key
        As for `set_key`.
    items : sequence of str
        Those that the list has are left out.

    Raises
    ------
    SettingsError
        As `set_key` does.
    """
    text, table = _table(text, kind, name)
    return with_words(text, table, key, items, _items(key))


def _items(key: str) -> Items:
    return WORDS if key in _EDGES else TEXTS


def value_text(value: Value) -> str:
    """Write a value as TOML."""
    match value:
        case bool():
            return "true" if value else "false"
        case int() | float():
            return repr(value)
        case str():
            return quoted(value)
    return f"[{', '.join(map(quoted, value))}]"


def add_named_table(text: str, kind: str, name: str, keys: Sequence[str]) -> str:
    """Add a table to a list of named tables, behind the others.

    Parameters
    ----------
    text : str
    kind : str
    name : str
    keys : sequence of str
        The lines below the name, as they are to stand there.

    Raises
    ------
    SettingsError
        If the name is empty or is taken.
    """
    name = " ".join(name.split())
    if not name:
        raise SettingsError(f"{kind}: name: give a name")
    if table_named(named_tables(text, kind), name) is not None:
        raise SettingsError(f'{kind}: name: there is a "{name}" already')
    at = end_of_list(text, kind, "tapes")
    lines = [f"[[{kind}]]", f"name = {quoted(name)}", *keys]
    return spliced(text, [with_table(text, at, lines)])


def remove_named_table(text: str, kind: str, name: str) -> str:
    """Take a named table out; see `without_table`."""
    _, table = _table(text, kind, name)
    return without_table(text, table)


def rename_table(text: str, kind: str, name: str, new: str) -> str:
    """Give a tape, run or cloth another name, wherever the job file uses it.

    A cloth that counts where none is named is named in the fabric from now on.

    Raises
    ------
    SettingsError
        If the new name is empty or is taken, or the fabric is written in a way that
        cannot be changed safely.
    """
    new = " ".join(new.split())
    if not new:
        raise SettingsError(f'{kind} "{name}": name: give a name')
    taken = table_named(named_tables(text, kind), new)
    if taken is not None and name_key(taken.name) != name_key(name):
        raise SettingsError(f'{kind} "{name}": name: there is a "{new}" already')
    for user, key in _USES.get(kind, ()):
        for table in reversed(named_tables(text, user)):
            text = _with_new_use(text, table, key, name, new)
    if kind == "cloths":
        text = _with_new_fabric(text, name, new)
    return set_key(text, kind, name, "name", new)


def _with_new_fabric(text: str, old: str, new: str) -> str:
    """Let the fabric be the same cloth, also where it is the one that needs no word."""
    fabric = single_table(text, FABRIC)
    if fabric is not None and fabric.entry("cloth") is not None:
        return _with_new_use(text, fabric, "cloth", old, new)
    if name_key(old) == name_key(DEFAULT_CLOTH) != name_key(new):
        return set_key(text, FABRIC, "", "cloth", new)
    return text


def remove_allowance(text: str, piece: str, word: str) -> str:
    """Take the allowance of an edge out that a piece names by this very word."""
    table = table_named(named_tables(text, "pieces"), piece)
    if table is None:
        return text
    plans = [
        []
        if name_key(key.name) == name_key(word)
        else [(key.name, text[entry.value.start : entry.value.end])]
        for key, entry in table.pairs("allowances")
    ]
    return with_new_pairs(text, table, "allowances", plans)


_USES: Final = {
    "tapes": (("runs", "tape"), ("pieces", "tape")),
    "cloths": (("tapes", "cloth"),),
}


def _with_new_use(text: str, table: NamedTable, key: str, old: str, new: str) -> str:
    entry = table.entry(key)
    value = None if entry is None else read_value(text, entry.value)
    if not isinstance(value, str) or name_key(value) != name_key(old):
        return text
    return with_value(text, table, key, quoted(new))


def _table(text: str, kind: str, name: str) -> tuple[str, NamedTable]:
    if kind == TOP:
        top = sections_of(text)[0]
        return text, NamedTable("", top, (top,))
    if kind == FABRIC:
        return _fabric(text)
    if kind == "pieces":
        return with_piece(text, name)
    tables = named_tables(text, kind)
    found = table_named(tables, name)
    if found is None:
        known = [table.name for table in tables]
        raise SettingsError(f'{kind}: there is no "{name}"{did_you_mean(name, known)}')
    return text, found


def _fabric(text: str) -> tuple[str, NamedTable]:
    found = single_table(text, FABRIC)
    if found is None:
        at = end_of_list(text, FABRIC, "cloths", "tapes")
        text = spliced(text, [with_table(text, at, [f"[{FABRIC}]"])])
        found = single_table(text, FABRIC)
    if found is None:
        raise ValueError("a table that was written is not there")
    return text, found
