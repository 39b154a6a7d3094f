"""Changes of one named table of a job file: its keys, lists and inner tables."""

from collections.abc import Sequence

from edgefinder.classifier.editing.job_places import (
    NamedTable,
    items_of,
    line_of,
    named_tables,
    table_named,
)
from edgefinder.classifier.editing.list_items import WORDS, Items, once
from edgefinder.classifier.editing.toml_edits import (
    Splice,
    end_of_section,
    key_text,
    line_start,
    next_line,
    quoted,
    spliced,
    with_entry,
    with_table,
)
from edgefinder.classifier.editing.toml_lists import with_inline_entry, with_items
from edgefinder.classifier.sizes import name_key
from edgefinder.classifier.toml_layout import Section, sections_of
from edgefinder.errors import SettingsError


def with_words(
    text: str,
    table: NamedTable,
    key: str,
    words: Sequence[str],
    kind: Items = WORDS,
) -> str:
    """Add words at the end of a list; one that is not there is made.

    Parameters
    ----------
    text : str
    table : NamedTable
    key : str
        Its value may be one word alone; then it becomes a list.
    words : sequence of str
        Those that the list has are left out.
    kind : Items
        What the words are.

    Returns
    -------
    str

    Raises
    ------
    SettingsError
        If the value is neither a word nor a list.
    """
    # In a run every word holds the name of a piece, so that none is a number.
    entry = table.entry(key)
    if entry is None:
        new = ", ".join(map(kind.written, once(words, (), kind)))
        _refuse_others(text, table, key, "a list")
        return spliced(text, [with_entry(text, table.own, f"{key} = [{new}]")])
    value = entry.value
    there = [word for _, word in items_of(text, value)]
    items = [kind.written(word) for word in once(words, there, kind)]
    if not items:
        return text
    if value.members is None and there:
        more = "".join(f", {item}" for item in items)
        ends = Splice(value.start, value.start, "["), Splice(value.end, value.end, more)
        return spliced(text, [*ends, Splice(value.end, value.end, "]")])
    if text[value.start] != "[":
        raise _not_added(text, table, key, value.start, "a list")
    return spliced(text, with_items(text, value, items))


def with_value(text: str, table: NamedTable, key: str, value: str) -> str:
    """Set the value of a key, written as it is to stand there."""
    entry = table.entry(key)
    if entry is None:
        _refuse_others(text, table, key, "one value")
        line = f"{key_text(key)} = {value}"
        return spliced(text, [with_entry(text, table.own, line)])
    return spliced(text, [Splice(entry.value.start, entry.value.end, value)])


def with_inner_value(
    text: str, table: NamedTable, key: str, name: str, value: str
) -> str:
    """Set a value in a table inside a table, however that one is written.

    Parameters
    ----------
    text : str
    table : NamedTable
    key : str
        Of the inner table, ``"allowances"``.
    name, value : str
        A name that differs only in capitals or spacing is taken for the same. The
        value is written as it is to stand there.

    Returns
    -------
    str

    Raises
    ------
    SettingsError
        If the key is there and is no table.
    """
    for written, entry in table.pairs(key):
        if name_key(written.name) == name_key(name):
            old = entry.value
            return spliced(text, [Splice(old.start, old.end, value)])
    new = f"{key_text(' '.join(name.split()))} = {value}"
    section = table.table(key)
    if section is not None:
        return spliced(text, [with_entry(text, section, new)])
    inline = table.entry(key)
    if inline is not None:
        if text[inline.value.start] != "{":
            raise _not_added(text, table, key, inline.start, "a table")
        return spliced(text, [with_inline_entry(inline.value, new)])
    is_dotted = any(entry.keys[0].name == key for entry in table.own.entries)
    if not is_dotted:
        _refuse_others(text, table, key, "a plain table")
    line = f"{key}.{new}" if is_dotted else f"{key} = {{ {new} }}"
    return spliced(text, [with_entry(text, table.own, line)])


def without_table(text: str, table: NamedTable) -> str:
    """Take a named table out, with the tables inside it and the blank lines after it.

    Comments below its last entry stay.
    """
    cuts: list[Splice] = []
    for section in table.sections:
        start, end = lines_of_section(text, section)
        while end < len(text) and not text[end : next_line(text, end)].strip():
            end = next_line(text, end)
        if end == len(text):
            above = text[:start].rstrip()
            start = next_line(text, len(above)) if above else start
            start = max(start, cuts[-1].end if cuts else 0)
        cuts.append(Splice(start, end, ""))
    return spliced(text, cuts)


def lines_of_section(text: str, section: Section) -> tuple[int, int]:
    """Return where the lines from a header to its last entry begin and end."""
    last = section.entries[-1].end if section.entries else section.end
    return line_start(text, section.start), next_line(text, last)


def end_of_list(text: str, *kinds: str) -> int:
    """Return where a table may be added: after the last one of the first kind there.

    Parameters
    ----------
    text : str
    kinds : str
        Looked for one after the other.

    Returns
    -------
    int
        The end of the text if there is none of any kind.
    """
    for kind in kinds:
        own = [one for one in sections_of(text) if one.path[:1] == (kind,)]
        if own:
            return end_of_section(text, own[-1])
    return len(text)


def with_piece(text: str, piece: str) -> tuple[str, NamedTable]:
    """Find the table of a piece, and make one if there is none.

    Returns
    -------
    str
        The text with the table.
    NamedTable
    """
    found = table_named(named_tables(text, "pieces"), piece)
    if found is None:
        lines = ["[[pieces]]", f"name = {quoted(' '.join(piece.split()))}"]
        at = end_of_list(text, "pieces", "tapes")
        text = spliced(text, [with_table(text, at, lines)])
        found = table_named(named_tables(text, "pieces"), piece)
    if found is None:
        raise ValueError(f"{piece!r} is no name of a piece")
    return text, found


def _refuse_others(text: str, table: NamedTable, key: str, wanted: str) -> None:
    """Do not write a key a second time that is there in another form."""
    at = len(table.own.path)
    starts = [s.start for s in table.sections if s.path[at : at + 1] == (key,)]
    starts += [e.start for e in table.own.entries if e.keys[0].name == key]
    if starts:
        raise _not_added(text, table, key, starts[0], wanted)


def _not_added(
    text: str, table: NamedTable, key: str, at: int, wanted: str
) -> SettingsError:
    line = line_of(text, at)
    return SettingsError(
        f'{table.own.path[0]} "{table.name}": {key}: line {line} is not {wanted}; '
        f"correct it by hand"
    )
