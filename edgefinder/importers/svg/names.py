"""The names that a drawing offers for what is drawn."""

import itertools
import operator
from typing import Final

from edgefinder.importers.svg.xml import XML_NAMESPACE, Element

LABEL, TITLE, DATA, ID, DESCRIPTION = range(5)
"""Whence a name comes, in order of trust: a person has typed a label into a drawing
program; an id is often made by it, and a description tells more than a name."""

Names = tuple[tuple[str, ...], ...]
"""Names by whence they come."""
NO_NAMES: Final[Names] = ((), (), (), (), ())

MAX_NAME_CHARACTERS: Final = 200
"""A longer text is not a name."""
MAX_NAMES: Final = 50
"""Names of one kind for one line; what has more is hostile, and the first are kept."""

_LABELS: Final = frozenset({"label", "name", "id", "title"})
"""Attributes in the namespaces of editors that hold what a person has typed."""
_PLAIN_LABELS: Final = frozenset({"label", "aria-label"})
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
            found.append((ID, value))
        elif key[0] == "{" or key[:5] == "data-" or key in _PLAIN_LABELS:
            _add_attribute(found, key, value)
    if element.content:
        found += [
            (_CHILDREN[child.tag], child.text)
            for child in element.children
            if child.tag in _CHILDREN
        ]
    if not found:
        return NO_NAMES
    names: tuple[list[str], ...] = ([], [], [], [], [])
    for whence, name in found[:MAX_NAMES]:
        tidy = " ".join(name.split())
        if 0 < len(tidy) <= MAX_NAME_CHARACTERS:
            names[whence].append(tidy)
    return tuple(map(tuple, names))


def label(element: Element, names: Names) -> str | None:
    """Return the name that a person gave an element, of all that it has.

    That is a label of any editor, else the title.
    """
    if names[LABEL]:
        return names[LABEL][0]
    # Some editors keep the name in a data attribute: an id cannot hold every letter.
    if names[DATA]:
        kept = " ".join(element.attributes.get("data-name", "").split())
        if kept in names[DATA]:
            return kept
    return names[TITLE][0] if names[TITLE] else None


def under(names: Names, around: Names) -> Names:
    """Put the names of an element before those of what is around it."""
    if names is NO_NAMES:
        return around
    both = map(operator.add, names, around)
    return tuple(some if len(some) < MAX_NAMES else some[:MAX_NAMES] for some in both)


def in_order(names: Names) -> tuple[str, ...]:
    """Return names in order of trust, and from the element outwards; each once."""
    return tuple(dict.fromkeys(itertools.chain.from_iterable(names)))


def _add_attribute(found: list[tuple[int, str]], key: str, value: str) -> None:
    if key[0] == "{":
        namespace, _, name = key[1:].rpartition("}")
        if name in _LABELS:
            found.append((ID if namespace == XML_NAMESPACE else LABEL, value))
    else:
        found.append((LABEL if key in _PLAIN_LABELS else DATA, value))
