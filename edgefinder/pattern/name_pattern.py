"""A pattern in which the names of a drawing hold a piece and its size.

The regular expression is a person's own, the names come from a drawing. A pattern can
be written that takes longer than the age of the world on one name: where a repeated
part is itself repeated, or offers a choice. Such patterns are refused; for all others
the number of ways in which a name of limited length can be tried is known beforehand.
"""

import re
import warnings
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Final

from edgefinder.errors import SettingsError

LONGEST_PATTERN: Final = 200
"""Characters of a pattern; it is written by hand."""
LONGEST_NAME: Final = 60
"""Characters of a name that is looked at; a longer text is not a name."""
MOST_WAYS: Final = 1e8
"""Ways to try one name, some seconds at the worst. Four repeats without an end have
half a million, and leave room for a list of sizes."""

_GROUPS: Final = ("piece", "size")
_REPEAT: Final = re.compile(r"[*+?]|\{\d*,?\d*\}")
_EXACT: Final = re.compile(r"\{\d+\}")
_ITEM: Final = re.compile(r"\\.|\[\^?\]?(?:\\.|[^\]\\])*\]|\(\?[#:=!<>P]?|.", re.DOTALL)
"""An escaped sign, a set, the beginning of a group, or one sign."""


@dataclass(frozen=True, slots=True)
class NamePattern:
    """A regular expression with the groups ``piece`` and ``size``.

    Parameters
    ----------
    text : str
        As it is written.
    """

    text: str

    def read(self, name: str) -> tuple[str, str] | None:
        """Return the piece and the size that a whole name holds, if it does."""
        return _read(self.text, name) if len(name) <= LONGEST_NAME else None


@lru_cache(maxsize=4096)
def _read(text: str, name: str) -> tuple[str, str] | None:
    said = re.compile(text, re.IGNORECASE).fullmatch(name)
    if said is None:
        return None
    piece, size = (" ".join((said[group] or "").split()) for group in _GROUPS)
    return (piece, size) if piece and size else None


def parse_name_pattern(text: str) -> NamePattern:
    """Check a pattern.

    Raises
    ------
    SettingsError
        If it is no regular expression, lacks a group, or could take for ever.
    """
    if len(text) > LONGEST_PATTERN:
        raise SettingsError(f"is longer than {LONGEST_PATTERN} characters")
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error")  # signs that will change their meaning
            groups = re.compile(text, re.IGNORECASE).groupindex
    except (re.error, OverflowError, RecursionError, Warning) as error:
        raise SettingsError(
            f'"{text}" is not a regular expression: {error}; write it like '
            '"(?P<piece>.+)-(?P<size>.+)"'
        ) from None
    missing = [f"(?P<{group}>...)" for group in _GROUPS if group not in groups]
    if missing:
        raise SettingsError(
            f'"{text}" has no group {" and no group ".join(missing)}; write it like '
            '"(?P<piece>.+)-(?P<size>.+)"'
        )
    try:
        _refuse_endless(text)
    except SettingsError as error:
        raise SettingsError(f'"{text}" {error}') from None
    return NamePattern(text)


@dataclass(slots=True)
class _Group:
    """What stands between two brackets, as far as it is read."""

    choices: int = 1
    is_open: bool = False
    """Whether it can match one text in several ways."""


@dataclass(slots=True)
class _Ways:
    """In how many ways a name can be tried, at most."""

    count: float = 1.0
    repeats: int = 0
    groups: list[_Group] = field(default_factory=lambda: [_Group()])
    before: bool = False
    """Whether the item just before can match one text in several ways."""

    def take_repeat(self, sign: str) -> None:
        if self.before and sign != "?":
            raise SettingsError(
                "repeats a part that itself repeats or offers a choice: that could "
                "take for ever; write it without"
            )
        if _EXACT.fullmatch(sign):
            return
        if sign == "?":
            self.count *= 2
        else:
            # n repeats share at most LONGEST_NAME signs: one way for each partition.
            self.repeats += 1
            self.count *= LONGEST_NAME / self.repeats
        self.groups[-1].is_open = True

    def take_item(self, sign: str) -> None:
        self.before = False
        if sign.startswith("("):
            self.groups.append(_Group())
        elif sign == ")" and len(self.groups) > 1:
            group = self.groups.pop()
            self.count *= group.choices
            self.before = group.is_open
            self.groups[-1].is_open |= group.is_open
        elif sign == "|":
            self.groups[-1].choices += 1
            self.groups[-1].is_open = True


def _refuse_endless(text: str) -> None:
    """Refuse what could try more ways than anybody waits for."""
    ways = _Ways()
    at = 0
    while at < len(text):
        repeat = _REPEAT.match(text, at)
        if repeat is not None:
            ways.take_repeat(repeat[0])
            at = repeat.end()
            at += text[at : at + 1] in {"?", "+"}  # lazy or possessive
            continue
        item = _ITEM.match(text, at)
        sign = text[at] if item is None else item[0]
        ways.take_item(sign)
        at += len(sign)
    if ways.count * ways.groups[0].choices > MOST_WAYS:
        raise SettingsError("repeats too many parts: that could take for ever")
