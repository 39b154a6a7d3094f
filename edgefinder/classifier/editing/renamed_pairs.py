"""Putting new pairs in place of those of a table inside a table."""

from collections.abc import Sequence
from typing import Final

from edgefinder.classifier.editing.job_places import (
    NamedTable,
    found_again,
    read_value,
)
from edgefinder.classifier.editing.toml_edits import (
    Splice,
    key_text,
    line_start,
    spliced,
    without_entry,
)
from edgefinder.classifier.editing.toml_lists import without_member
from edgefinder.classifier.sizes import name_key
from edgefinder.classifier.toml_layout import Entry, Key, Value

Pair = tuple[str, str]
"""A key, and a value as it is written."""
Clash = tuple[str, object, object]
"""A key that is to have two values."""

_NEW: Final = object()


def with_new_pairs(
    text: str, table: NamedTable, key: str, new: Sequence[Sequence[Pair]]
) -> str:
    """Put new pairs in place of each pair of a table inside a table.

    Parameters
    ----------
    text : str
    table : NamedTable
    key : str
        Of the inner table, however it is written.
    new : sequence of sequence of (str, str)
        For each pair of ``table.pairs(key)``; a pair that has none in its place goes.

    Returns
    -------
    str
    """
    plans = list(new)
    for index in range(len(plans) - 1, -1, -1):
        if plans[index]:
            continue
        text = spliced(text, _without_pair(text, table, key, index))
        del plans[index]
        table = found_again(text, table)
    is_inline = table.entry(key) is not None
    splices: list[Splice] = []
    for (written, entry), pairs in zip(table.pairs(key), plans, strict=True):
        splices += _pair_splices(text, (written, entry), pairs, is_inline=is_inline)
    return spliced(text, splices)


def pairs_once(new: Sequence[Sequence[Pair]]) -> tuple[list[list[Pair]], list[Clash]]:
    """Leave out pairs that come again.

    Parameters
    ----------
    new : sequence of sequence of (str, str)
        As for `with_new_pairs`.

    Returns
    -------
    list of list of (str, str)
        Each key once.
    list of (str, object, object)
        The keys that come again with another value, and both values.
    """
    values: dict[str, object] = {}
    left: list[list[Pair]] = []
    clashes: list[Clash] = []
    for pairs in new:
        left.append([])
        for key, written in pairs:
            value = read_value(written, Value(0, len(written)))
            before = values.setdefault(name_key(key), _NEW)
            if before is _NEW:
                values[name_key(key)] = value
                left[-1].append((key, written))
            elif before != value:
                clashes.append((key, before, value))
    return left, clashes


def _without_pair(text: str, table: NamedTable, key: str, index: int) -> list[Splice]:
    _, entry = table.pairs(key)[index]
    inline = table.entry(key)
    if inline is None:
        return [without_entry(text, entry)]
    if inline.value.members is None or len(inline.value.members) == 1:
        return [without_entry(text, inline)]
    return without_member(text, inline.value, index)


def _pair_splices(
    text: str, old: tuple[Key, Entry], pairs: Sequence[Pair], *, is_inline: bool
) -> list[Splice]:
    key, entry = old
    value = entry.value
    (first_key, first_value), *others = pairs
    splices = []
    if first_key != key.name:
        splices.append(Splice(key.start, key.end, key_text(first_key)))
    if first_value != text[value.start : value.end]:
        splices.append(Splice(value.start, value.end, first_value))
    indent = text[line_start(text, entry.start) : entry.start]
    for name, amount in others:
        head = text[entry.start : key.start] + key_text(name)
        middle = text[key.end : value.start]
        parted_by = ", " if is_inline else f"\n{indent}"
        new = f"{parted_by}{head}{middle}{amount}"
        splices.append(Splice(value.end, value.end, new))
    return splices
