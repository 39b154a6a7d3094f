"""Where the pieces, runs and other named tables of a job file are written."""

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass

from edgefinder.classifier.sizes import name_key
from edgefinder.classifier.toml_layout import (
    Entry,
    Key,
    Section,
    Value,
    sections_of,
)
from edgefinder.errors import SettingsError


@dataclass(frozen=True, slots=True)
class NamedTable:
    """One ``[[pieces]]``, ``[[runs]]`` or the like.

    Parameters
    ----------
    name : str
        Empty if it has none.
    own : Section
        The table itself.
    sections : tuple of Section
        The table itself and the tables inside it, in the order of the text.
    """

    name: str
    own: Section
    sections: tuple[Section, ...]

    def entry(self, key: str) -> Entry | None:
        """Return the entry of a plain key."""
        for entry in self.own.entries:
            if len(entry.keys) == 1 and entry.keys[0].name == key:
                return entry
        return None

    def table(self, key: str) -> Section | None:
        """Return the section of a table inside this one, ``[pieces.allowances]``."""
        for section in self.sections:
            if section.path == (*self.own.path, key):
                return section
        return None

    def pairs(self, key: str) -> list[tuple[Key, Entry]]:
        """Return what stands in a table inside this one, however it is written."""
        section = self.table(key)
        found = [] if section is None else [(e.keys[0], e) for e in section.entries]
        for entry in self.own.entries:
            if entry.keys[0].name != key:
                continue
            if len(entry.keys) == 2:
                found.append((entry.keys[1], entry))
            found += [
                (inner.keys[0], inner)
                for inner in entry.value.members or ()
                if isinstance(inner, Entry)
            ]
        return found


def named_tables(text: str, kind: str) -> list[NamedTable]:
    """Find the tables of a list of named tables.

    Parameters
    ----------
    text : str
        A job file that ``tomllib`` reads.
    kind : str
        ``"pieces"``, ``"runs"``, ``"tapes"`` or ``"cloths"``.

    Returns
    -------
    list of NamedTable

    Raises
    ------
    SettingsError
        If the list is written in a way that cannot be added to safely.
    """
    own: dict[int, list[Section]] = {}
    for section in sections_of(text):
        for entry in section.entries if not section.path else ():
            if entry.keys[0].name == kind:
                raise _not_tables(text, kind, entry.start)
        if section.path[:1] != (kind,):
            continue
        index = section.path[1] if len(section.path) > 1 else None
        if not isinstance(index, int):
            raise _not_tables(text, kind, section.start)
        own.setdefault(index, []).append(section)
    return [
        NamedTable(_name(text, sections[0]), sections[0], tuple(sections))
        for sections in own.values()
    ]


def single_table(text: str, kind: str) -> NamedTable | None:
    """Find a table of which there is one, ``[fabric]``.

    Returns
    -------
    NamedTable or None
        Without a name. None if there is no such table, or only tables inside it.

    Raises
    ------
    SettingsError
        If it is written in a way that cannot be added to safely.
    """
    top, *others = sections_of(text)
    starts = [entry.start for entry in top.entries if entry.keys[0].name == kind]
    starts += [one.start for one in others if one.path[:2] == (kind, 0)]
    if starts:
        raise _not_added_to(text, kind, starts[0], "it", f"[{kind}]")
    own = tuple(one for one in others if one.path[:1] == (kind,))
    found = next((one for one in own if one.path == (kind,)), None)
    return None if found is None else NamedTable("", found, own)


def table_named(tables: list[NamedTable], name: str) -> NamedTable | None:
    """Find a table by its name; capitals and spacing do not count."""
    wanted = name_key(name)
    return next((table for table in tables if name_key(table.name) == wanted), None)


def found_again(text: str, table: NamedTable) -> NamedTable:
    """Find a table in a text that has changed meanwhile; none came or went."""
    path = table.own.path
    sections = sections_of(text)
    own = next(section for section in sections if section.path == path)
    inner = [one for one in sections if path and one.path[: len(path)] == path]
    return NamedTable(table.name, own, tuple(inner) or (own,))


def items_of(text: str, value: Value) -> Iterator[tuple[Value, str]]:
    """Yield the places and words of a list; one word alone is a list of one.

    What is neither a text nor a whole number is left out.
    """
    written = (value,) if value.members is None else value.members
    for item in written:
        if isinstance(item, Value) and item.members is None:
            word = read_value(text, item)
            if isinstance(word, str) or type(word) is int:
                yield item, str(word)


def read_value(text: str, value: Value) -> object:
    """Return a value as ``tomllib`` reads it."""
    return tomllib.loads(f"value = {text[value.start : value.end]}")["value"]


def line_of(text: str, at: int) -> int:
    """Return the line, from 1, in which a character stands."""
    return text.count("\n", 0, at) + 1


def _not_tables(text: str, kind: str, at: int) -> SettingsError:
    return _not_added_to(text, kind, at, f"each of the {kind}", f"[[{kind}]]")


def _not_added_to(text: str, kind: str, at: int, what: str, line: str) -> SettingsError:
    return SettingsError(
        f"{kind}: line {line_of(text, at)} is not written in a way that can be added "
        f"to; write {what} as a table that begins with the line {line}"
    )


def _name(text: str, section: Section) -> str:
    for entry in section.entries:
        if [key.name for key in entry.keys] == ["name"]:
            name = read_value(text, entry.value)
            return name if isinstance(name, str) else ""
    return ""
