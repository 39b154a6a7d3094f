"""Putting new words and pairs in place of those that a job file has."""

from collections.abc import Sequence

from edgefinder.classifier.editing.job_places import (
    NamedTable,
    items_of,
    plain,
)
from edgefinder.classifier.editing.table_edits import once, with_words, word_text
from edgefinder.classifier.editing.toml_edits import (
    Splice,
    key_text,
    line_start,
    spliced,
    without_entry,
)
from edgefinder.classifier.editing.toml_lists import without_member
from edgefinder.classifier.toml_layout import Entry, Key, Value, sections_of

Pair = tuple[str, str]
"""A key, and a value as it is written."""


def words_of(text: str, table: NamedTable, key: str) -> list[str]:
    """Return the words of a list; an empty one where the key is not there."""
    entry = table.entry(key)
    return [] if entry is None else [word for _, word in items_of(text, entry.value)]


def with_new_words(
    text: str, table: NamedTable, key: str, new: Sequence[Sequence[str]]
) -> str:
    """Put new words in place of each word of a list.

    Parameters
    ----------
    text : str
    table : NamedTable
    key : str
        Of a list, or of one word alone.
    new : sequence of sequence of str
        For each word of `words_of`. One that comes twice is written once; a word
        that has none in its place goes. An emptied list goes with its key, but
        ``edges`` stay.

    Returns
    -------
    str
    """
    entry = table.entry(key)
    if entry is None:
        return text
    old = words_of(text, table, key)
    if [list(words) for words in new] == [[word] for word in old]:
        return text
    plans = _without_doubles(old, new)
    for index in range(len(plans) - 1, -1, -1):
        if plans[index]:
            continue
        value = entry.value
        if len(value.members or (value,)) == 1 and key != "edges":
            return spliced(text, [without_entry(text, entry)])
        if value.members is None:
            return spliced(text, [Splice(value.start, value.end, "[]")])
        item = list(items_of(text, value))[index][0]
        text = spliced(text, without_member(text, value, value.members.index(item)))
        del plans[index]
        entry = _again(text, table).entry(key) or entry
    is_list = entry.value.members is not None
    return spliced(
        text,
        [
            Splice(item.start, item.end, _written(text, item, words, is_list=is_list))
            for (item, word), words in zip(
                items_of(text, entry.value), plans, strict=True
            )
            if words != [word]
        ],
    )


def with_word_list(text: str, table: NamedTable, key: str, words: Sequence[str]) -> str:
    """Let a list hold these words in this order; comments within it stay.

    Parameters
    ----------
    text : str
    table : NamedTable
    key : str
    words : sequence of str

    Returns
    -------
    str
    """
    old = words_of(text, table, key)
    plans = [[word] for word in words[: len(old)]]
    plans += [[] for _ in range(len(old) - len(plans))]
    text = with_new_words(text, table, key, plans)
    return with_words(text, _again(text, table), key, words[len(old) :])


def _without_doubles(
    old: Sequence[str], new: Sequence[Sequence[str]]
) -> list[list[str]]:
    """Leave out new words that stand for another old word already."""
    stands_for = {
        plain(word): plain(word)
        for word, words in zip(old, new, strict=True)
        if [word] == [*words]
    }
    plans = []
    for word, words in zip(old, new, strict=True):
        if [word] == [*words]:
            plans.append([word])
            continue
        others = [w for w, meant in stands_for.items() if meant != plain(word)]
        plans.append(once(words, others))
        stands_for |= {plain(one): plain(word) for one in plans[-1]}
    return plans


def _written(text: str, item: Value, words: Sequence[str], *, is_list: bool) -> str:
    written = [word_text(word) for word in words]
    if not is_list:
        return written[0] if len(written) == 1 else f"[{', '.join(written)}]"
    indent = text[line_start(text, item.start) : item.start]
    return (", " if indent.strip() else f",\n{indent}").join(written)


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
        table = _again(text, table)
    is_inline = table.entry(key) is not None
    splices: list[Splice] = []
    for (written, entry), pairs in zip(table.pairs(key), plans, strict=True):
        splices += _pair_splices(text, (written, entry), pairs, is_inline=is_inline)
    return spliced(text, splices)


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


def _again(text: str, table: NamedTable) -> NamedTable:
    """Find a table in a text that has changed meanwhile; none came or went."""
    path = table.own.path
    sections = sections_of(text)
    own = next(section for section in sections if section.path == path)
    inner = [one for one in sections if path and one.path[: len(path)] == path]
    return NamedTable(table.name, own, tuple(inner) or (own,))
