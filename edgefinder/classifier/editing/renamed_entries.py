"""Putting new words in place of those that a job file has."""

from collections.abc import Sequence

from edgefinder.classifier.editing.job_places import (
    NamedTable,
    found_again,
    items_of,
)
from edgefinder.classifier.editing.list_items import WORDS, Items, once
from edgefinder.classifier.editing.table_edits import with_words
from edgefinder.classifier.editing.toml_edits import (
    Splice,
    line_start,
    spliced,
    without_entry,
)
from edgefinder.classifier.editing.toml_lists import without_member
from edgefinder.classifier.toml_layout import Value


def words_of(text: str, table: NamedTable, key: str) -> list[str]:
    """Return the words of a list; an empty one where the key is not there."""
    entry = table.entry(key)
    return [] if entry is None else [word for _, word in items_of(text, entry.value)]


def with_new_words(
    text: str,
    table: NamedTable,
    key: str,
    new: Sequence[Sequence[str]],
    kind: Items = WORDS,
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
    kind : Items
        What the words are.

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
    plans = _without_doubles(old, new, kind)
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
        entry = found_again(text, table).entry(key) or entry
    is_list = entry.value.members is not None
    return spliced(
        text,
        [
            Splice(
                item.start,
                item.end,
                _written(text, item, list(map(kind.written, words)), is_list=is_list),
            )
            for (item, word), words in zip(
                items_of(text, entry.value), plans, strict=True
            )
            if words != [word]
        ],
    )


def with_word_list(
    text: str,
    table: NamedTable,
    key: str,
    words: Sequence[str],
    kind: Items = WORDS,
) -> str:
    """Let a list hold these words in this order; comments within it stay.

    Parameters
    ----------
    text : str
    table : NamedTable
    key : str
    words : sequence of str
    kind : Items
        What the words are.

    Returns
    -------
    str
    """
    old = words_of(text, table, key)
    plans = [[word] for word in words[: len(old)]]
    plans += [[] for _ in range(len(old) - len(plans))]
    text = with_new_words(text, table, key, plans, kind)
    return with_words(text, found_again(text, table), key, words[len(old) :], kind)


def _without_doubles(
    old: Sequence[str], new: Sequence[Sequence[str]], kind: Items
) -> list[list[str]]:
    """Leave out new words that stand for another old word already."""
    own = kind.compared
    stands_for = {
        own(word): own(word)
        for word, words in zip(old, new, strict=True)
        if [word] == [*words]
    }
    plans = []
    for word, words in zip(old, new, strict=True):
        if [word] == [*words]:
            plans.append([word])
            continue
        others = [w for w, meant in stands_for.items() if meant != own(word)]
        plans.append(once(words, others, kind))
        stands_for |= {own(one): own(word) for one in plans[-1]}
    return plans


def _written(text: str, item: Value, written: Sequence[str], *, is_list: bool) -> str:
    if not is_list:
        return written[0] if len(written) == 1 else f"[{', '.join(written)}]"
    indent = text[line_start(text, item.start) : item.start]
    return (", " if indent.strip() else f",\n{indent}").join(written)
