"""The names that a drawing offers for what is drawn."""

import re
import sys
from operator import itemgetter
from typing import Final, overload

from edgefinder.importers.svg.prefixes import XML_NAMESPACE
from edgefinder.importers.svg.xml import Element

LABEL, TITLE, DATA, ID, DESCRIPTION = range(5)
"""Whence a name comes, in order of trust: a person has typed a label into a drawing
program; an id is often made by it, and a description tells more than a name."""

Names = tuple[tuple[int, str], ...]
"""Names, each after whence it comes, from the element outwards."""

MAX_NAME_CHARACTERS: Final = 200
"""A longer text is not a name."""
MAX_NAMES: Final = 100
"""Names for one line; what has more is hostile, and the first are kept."""

_LABELS: Final = frozenset({"label", "name", "id", "title"})
"""Attributes in the namespaces of editors that hold what a person has typed."""
_PLAIN_LABELS: Final = frozenset({"label", "aria-label"})
_ESCAPED: Final = re.compile(r"_x([0-9A-Fa-f]{2,6})_")
"""A letter that an id cannot hold, as drawing programs write it there: its number in
Unicode, in hexadecimal (``_x20_`` is a space, ``_x5F_`` an underscore)."""

_CHILDREN: Final = {"title": TITLE, "desc": DESCRIPTION}


def names_of(element: Element) -> Names:
    """Return the names that an element itself has.

    Parameters
    ----------
    element : Element

    Returns
    -------
    Names
        White space is one space; without empty names and those too long for one.
    """
    found: list[tuple[int, str]] = []
    for key, value in element.attributes.items():
        # Most attributes are none of these, and are passed by at once.
        if key == "id":
            found.append((ID, readable_id(value)))
        elif key[0] == "{" or key[:5] == "data-" or key in _PLAIN_LABELS:
            _add_attribute(found, key, value)
    if element.content:
        found += [
            (_CHILDREN[child.tag], child.text)
            for child in element.children
            if child.tag in _CHILDREN
        ]
    tidied = [(whence, " ".join(name.split())) for whence, name in found[:MAX_NAMES]]
    return tuple(one for one in tidied if 0 < len(one[1]) <= MAX_NAME_CHARACTERS)


@overload
def readable_id(text: str) -> str: ...
@overload
def readable_id(text: None) -> None: ...
def readable_id(text: str | None) -> str | None:
    """Return an id as it was called before letters in it were escaped.

    Examples
    --------
    >>> readable_id("Size_x20_XS")
    'Size XS'
    """
    if text is None or "_x" not in text:
        return text
    return _ESCAPED.sub(_letter, text).strip() or text


def _letter(escaped: re.Match[str]) -> str:
    """Return what an escape stands for; what is no printed letter stays as it is."""
    number = int(escaped[1], 16)
    letter = chr(number) if number <= sys.maxunicode else ""
    return letter if letter.isprintable() and letter else escaped[0]


def label(element: Element, names: Names) -> str | None:
    """Return the name that a person gave an element, of all that it has.

    That is a label of any editor, else the title.
    """
    by_whence = dict(reversed(names))
    if LABEL in by_whence:
        return by_whence[LABEL]
    if DATA in by_whence:
        # Some editors keep the name here, because an id cannot hold every letter.
        kept = " ".join(element.attributes.get("data-name", "").split())
        if (DATA, kept) in names:
            return kept
    return by_whence.get(TITLE)


def under(names: Names, around: Names) -> Names:
    """Put the names of an element before those of what is around it."""
    return (names + around)[:MAX_NAMES]


def in_order(names: Names) -> tuple[str, ...]:
    """Return names in order of trust, and from the element outwards; each once."""
    return tuple(dict.fromkeys([name for _, name in sorted(names, key=itemgetter(0))]))


def _add_attribute(found: list[tuple[int, str]], key: str, value: str) -> None:
    if key[0] == "{":
        namespace, _, name = key[1:].rpartition("}")
        if name in _LABELS:
            found.append((ID if namespace == XML_NAMESPACE else LABEL, value))
    else:
        found.append((LABEL if key in _PLAIN_LABELS else DATA, value))
