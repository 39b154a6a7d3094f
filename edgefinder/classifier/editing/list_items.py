"""What a list of a job file holds: how an item is written, and when two are one."""

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Final

from edgefinder.classifier.editing.toml_edits import quoted
from edgefinder.classifier.sizes import name_key

_NUMBER: Final = re.compile(r"[1-9][0-9]{0,5}")


def word_text(word: str) -> str:
    """Write an edge word as TOML: a number bare, all else in quotes."""
    word = " ".join(word.split())
    return word if _NUMBER.fullmatch(word) else quoted(word)


@dataclass(frozen=True, slots=True)
class Items:
    """How the items of a list are written, and when two of them are one.

    Parameters
    ----------
    written : callable
        Given an item; returns it as TOML.
    compared : callable
        Given an item; returns what two that are one share.
    """

    written: Callable[[str], str]
    compared: Callable[[str], str]


WORDS: Final = Items(word_text, name_key)
"""What edges are called: capitals and spacing do not count, a number is bare."""
TEXTS: Final = Items(quoted, str)
"""Names of files, sizes and the like: every character counts, a number is a text."""


def once(
    items: Iterable[str], there: Iterable[str] = (), kind: Items = WORDS
) -> list[str]:
    """Leave out the items that are there already, or come again."""
    seen = set(map(kind.compared, there))
    new = []
    for item in items:
        if kind.compared(item) not in seen:
            seen.add(kind.compared(item))
            new.append(item)
    return new
