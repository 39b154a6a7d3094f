"""Adding to arrays and inline tables of a TOML text, and taking out of them."""

import re
from collections.abc import Sequence
from typing import Final

from edgefinder.classifier.editing.toml_edits import Splice, line_start, next_line
from edgefinder.classifier.toml_layout import Value

INDENT: Final = "    "
"""Of an item that stands on a line of its own in a list that has no other."""

_REST_OF_LINE: Final = re.compile(r"[ \t]*(?:#[^\r\n]*)?(?=\r?\n|\r?\Z)")
_BLANKS: Final = re.compile(r"[ \t]*")


def with_items(text: str, array: Value, items: Sequence[str]) -> list[Splice]:
    """Put items at the end of an array, in the way its last item is written.

    Parameters
    ----------
    text : str
    array : Value
    items : sequence of str
        As they are to be written.

    Returns
    -------
    list of Splice
    """
    if not items:
        return []
    if not array.members:
        return [_first_items(text, array, items)]
    last = array.members[-1]
    has_comma = len(array.commas) == len(array.members)
    after = array.commas[-1] + 1 if has_comma else last.end
    indent = text[line_start(text, last.start) : last.start]
    if indent.strip():  # others stand on its line
        new = "".join(f" {item}," if has_comma else f", {item}" for item in items)
        return [Splice(after, after, new)]
    rest = _REST_OF_LINE.match(text, after)
    at = after if rest is None else rest.end()
    new = ",".join(f"\n{indent}{item}" for item in items)
    if has_comma:
        return [Splice(at, at, f"{new},")]
    return [Splice(after, after, ","), Splice(at, at, new)]


def _first_items(text: str, array: Value, items: Sequence[str]) -> Splice:
    inside = text[array.start + 1 : array.end - 1]
    if not inside.strip(" \t"):
        return Splice(array.end - 1, array.end - 1, ", ".join(items) + inside)
    # A list of several lines that holds no more than comments.
    at = line_start(text, array.end)
    indent = (_BLANKS.match(text, at) or [""])[0] + INDENT
    return Splice(at, at, "".join(f"{indent}{item},\n" for item in items))


def without_member(text: str, container: Value, index: int) -> list[Splice]:
    """Take one item out of an array, or one entry out of an inline table.

    Parameters
    ----------
    text : str
    container : Value
    index : int

    Returns
    -------
    list of Splice
        An item that has its lines to itself goes with the comment beside it; every
        other comment stays.
    """
    members, commas = container.members or (), container.commas
    member = members[index]
    comma = commas[index] if index < len(commas) else None
    # The last item has no comma of its own: then it takes the one above with it.
    above = commas[index - 1] if index and comma is None else None
    cuts = [Splice(above, above + 1, "")] if above is not None else []
    start = line_start(text, member.start)
    blank = start + len(text[start : member.start].rstrip(" \t"))
    end = member.end
    if comma is not None and not text[end:comma].strip(" \t"):
        end = comma + 1
    has_comma = comma is None or end > comma
    rest = _REST_OF_LINE.match(text, end)
    if rest and has_comma and blank == start:
        return [*cuts, Splice(start, next_line(text, rest.end()), "")]
    if index + 1 < len(members) and has_comma:
        following = members[index + 1].start
        if not text[end:following].strip(" \t"):
            return [Splice(member.start, following, "")]
    if above is not None and not text[above + 1 : member.start].strip():
        return [Splice(above, member.end, "")]
    if comma is not None:
        cuts.append(Splice(comma, comma + 1, ""))
    return [*cuts, Splice(blank, member.end, "")]


def with_inline_entry(table: Value, entry: str) -> Splice:
    """Put an entry at the end of an inline table."""
    if not table.members:
        return Splice(table.start, table.end, f"{{ {entry} }}")
    last = table.members[-1].end
    return Splice(last, last, f", {entry}")
