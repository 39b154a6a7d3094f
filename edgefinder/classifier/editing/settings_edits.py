"""Changing settings in a person's job file: one key, one table, one name at a time.

As in `job_edits`, text goes in and text comes out, and all else stays as it is.
"""

from collections.abc import Sequence
from typing import Final

from edgefinder.classifier.editing.job_places import (
    NamedTable,
    named_tables,
    plain,
    read_value,
    table_named,
)
from edgefinder.classifier.editing.renamed_entries import (
    with_new_pairs,
    with_word_list,
)
from edgefinder.classifier.editing.table_edits import (
    end_of_list,
    with_piece,
    with_value,
    without_table,
)
from edgefinder.classifier.editing.toml_edits import (
    key_text,
    quoted,
    spliced,
    with_table,
    without_entry,
)
from edgefinder.classifier.toml_layout import sections_of
from edgefinder.errors import SettingsError, did_you_mean

TOP: Final = ""
"""The kind of table that the keys at the top of a job file stand in."""
FABRIC: Final = "fabric"
"""The other table that there is one of."""

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
        return with_word_list(text, table, key, value)
    return with_value(text, table, key, value_text(value))


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

    Raises
    ------
    SettingsError
        If the new name is empty or is taken.
    """
    new = " ".join(new.split())
    if not new:
        raise SettingsError(f'{kind} "{name}": name: give a name')
    taken = table_named(named_tables(text, kind), new)
    if taken is not None and plain(taken.name) != plain(name):
        raise SettingsError(f'{kind} "{name}": name: there is a "{new}" already')
    for user, key in _USES.get(kind, ()):
        for table in reversed(named_tables(text, user)):
            text = _with_new_use(text, table, key, name, new)
    if kind == "cloths":
        _, fabric = _table(text, FABRIC, "")
        text = _with_new_use(text, fabric, "cloth", name, new)
    return set_key(text, kind, name, "name", new)


def remove_edge_name(text: str, piece: str, name: str) -> str:
    """Take a person's own name of an edge out of the table of a piece."""
    return _without_inner(text, piece, "edge_names", name)


def remove_allowance(text: str, piece: str, word: str) -> str:
    """Take the allowance of an edge out that a piece names by this very word."""
    return _without_inner(text, piece, "allowances", word)


def _without_inner(text: str, piece: str, table_key: str, name: str) -> str:
    table = table_named(named_tables(text, "pieces"), piece)
    if table is None:
        return text
    plans = [
        []
        if plain(key.name) == plain(name)
        else [(key.name, text[entry.value.start : entry.value.end])]
        for key, entry in table.pairs(table_key)
    ]
    return with_new_pairs(text, table, table_key, plans)


_USES: Final = {
    "tapes": (("runs", "tape"), ("pieces", "tape")),
    "cloths": (("tapes", "cloth"),),
}


def _with_new_use(text: str, table: NamedTable, key: str, old: str, new: str) -> str:
    entry = table.entry(key)
    value = None if entry is None else read_value(text, entry.value)
    if not isinstance(value, str) or plain(value) != plain(old):
        return text
    return with_value(text, table, key, quoted(new))


def _table(text: str, kind: str, name: str) -> tuple[str, NamedTable]:
    if kind in {TOP, FABRIC}:
        return _single_table(text, kind)
    if kind == "pieces":
        return with_piece(text, name)
    tables = named_tables(text, kind)
    found = table_named(tables, name)
    if found is None:
        known = [table.name for table in tables]
        raise SettingsError(f'{kind}: there is no "{name}"{did_you_mean(name, known)}')
    return text, found


def _single_table(text: str, kind: str) -> tuple[str, NamedTable]:
    path = () if kind == TOP else (kind,)
    for section in sections_of(text):
        if section.path == path:
            return text, NamedTable("", section, (section,))
    at = end_of_list(text, "cloths") if kind == TOP else _end_of_top(text)
    text = spliced(text, [with_table(text, at, [f"[{key_text(kind)}]"])])
    return _single_table(text, kind)


def _end_of_top(text: str) -> int:
    """Return where the first table begins."""
    starts = [section.start for section in sections_of(text) if section.path]
    return min(starts, default=len(text))
