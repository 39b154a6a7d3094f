"""Where everything stands in a TOML text, to the character.

``tomllib`` returns values without their places; this finds the places without the
values. It is meant for texts that ``tomllib`` has accepted: it does not look for
mistakes, and its answer for a text with mistakes means nothing.

The grammar is that of TOML 1.0 (https://toml.io/en/v1.0.0), with the line ends and
the comma at the end that TOML 1.1 allows in inline tables.
"""

import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Final

BYTE_ORDER_MARK: Final = "\ufeff"

Part = str | int
"""Of a path: a key, or the index of an item."""


@dataclass(frozen=True, slots=True)
class Key:
    """One part of a dotted key; ``start`` and ``end`` enclose it, quotes included."""

    name: str
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Value:
    """A value, ``text[start:end]``.

    Parameters
    ----------
    start, end : int
    members : tuple of Value or Entry, or None
        The items of an array or the entries of an inline table; None of a plain
        value.
    commas : tuple of int
        Where the comma after each member stands. The last one may have none.
    """

    start: int
    end: int
    members: "tuple[Value | Entry, ...] | None" = None
    commas: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Entry:
    """A key with its value: ``text[start:end]``, without the comment after it."""

    keys: tuple[Key, ...]
    value: Value

    @property
    def start(self) -> int:
        """Where the key begins."""
        return self.keys[0].start

    @property
    def end(self) -> int:
        """Where the value ends."""
        return self.value.end


@dataclass(frozen=True, slots=True)
class Section:
    """A ``[table]`` or ``[[table]]`` with its entries, or the top of the file.

    Parameters
    ----------
    start, end : int
        Of the header; both are the beginning of the text at the top of the file.
    path : tuple of str and int
        Every array of tables is followed by the index of the table that is meant:
        ``("pieces", 1, "as_drawn")``.
    entries : tuple of Entry
    """

    start: int
    end: int
    path: tuple[Part, ...]
    entries: tuple[Entry, ...]


@dataclass(slots=True)
class _Table:
    """What the headers above have made of a name; ``last`` counts ``[[...]]``."""

    tables: "dict[Part, _Table]" = field(default_factory=dict)
    last: int = -1


@lru_cache(maxsize=1)
def sections_of(text: str) -> tuple[Section, ...]:
    """Find the tables and keys of a TOML text.

    Parameters
    ----------
    text : str
        Accepted by ``tomllib``, but for a byte order mark that it may begin with.

    Returns
    -------
    tuple of Section
        In the order of the text; the first is the top of the file.

    Notes
    -----
    The time grows with the length of the text. The last answer is kept: one text is
    looked through for several tables.
    """
    return tuple(_Scanner(text).sections())


# Between values anything may stand that is no value.
_BLANK: Final = re.compile(r"(?:[ \t\r\n\ufeff]|#[^\n]*)*+")
_PLAIN_KEY: Final = re.compile(r"[A-Za-z0-9_-]+")
_TEXT: Final = re.compile(
    r'"""(?:[^"\\]|\\[\s\S]|"{1,2}(?!"))*+"{3,5}'
    r"|'''(?:[^']|'{1,2}(?!'))*+'{3,5}"
    r'|"(?:[^"\\\n]|\\.)*+"'
    r"|'[^'\n]*'"
)
# A date may be parted from its time by a blank.
_OTHER: Final = re.compile(
    r"[0-9]{4}-[0-9]{2}-[0-9]{2} [0-9][^\s,\]}#]*|[^\s,\[\]{}#=\"']+"
)


class _Scanner:
    """Goes through a text once, from its beginning to its end."""

    def __init__(self, text: str) -> None:
        self._text = text
        self._at = 0

    def sections(self) -> Iterator[Section]:
        start = end = int(self._text.startswith(BYTE_ORDER_MARK))
        path: tuple[Part, ...] = ()
        made = _Table()
        while True:
            yield Section(start, end, path, tuple(self._entries()))
            if self._at == len(self._text):
                return
            start = self._at
            brackets = 2 if self._text.startswith("[[", start) else 1
            self._at += brackets
            path = _path(self._keys(), made, is_list=brackets == 2)
            self._expect("]" * brackets)
            end = self._at

    def _entries(self) -> Iterator[Entry]:
        """Yield the entries up to the next header or the end of the text."""
        self._skip()
        while self._at < len(self._text) and self._text[self._at] != "[":
            yield self._entry()
            self._skip()

    def _entry(self) -> Entry:
        keys = self._keys()
        self._expect("=")
        self._skip()
        return Entry(keys, self._value())

    def _keys(self) -> tuple[Key, ...]:
        keys = [self._key()]
        while self._text.startswith(".", self._at):
            self._at += 1
            keys.append(self._key())
        return tuple(keys)

    def _key(self) -> Key:
        self._skip()
        start = self._at
        if self._text.startswith(('"', "'"), start):
            written = self._match(_TEXT)
            name = written[1:-1]
            if written[0] == '"' and "\\" in name:
                (name,) = tomllib.loads(f"{written} = 0")
        else:
            name = self._match(_PLAIN_KEY)
        key = Key(name, start, self._at)
        self._skip()
        return key

    def _value(self) -> Value:
        # One call for each level, half of what tomllib takes, so that no text that
        # it has read is nested too deeply here.
        start = self._at
        first = self._text[start]
        if first not in "[{":
            self._match(_TEXT if first in "\"'" else _OTHER)
            return Value(start, self._at)
        closing = "]" if first == "[" else "}"
        members: list[Value | Entry] = []
        commas = []
        self._at += 1
        self._skip()
        while not self._text.startswith(closing, self._at):
            members.append(self._value() if first == "[" else self._entry())
            self._skip()
            if self._text.startswith(",", self._at):
                commas.append(self._at)
                self._at += 1
                self._skip()
        self._at += 1
        return Value(start, self._at, tuple(members), tuple(commas))

    def _skip(self) -> None:
        self._match(_BLANK)

    def _expect(self, written: str) -> None:
        self._skip()
        if not self._text.startswith(written, self._at):
            raise ValueError(f"no {written!r} at character {self._at}: not TOML")
        self._at += len(written)

    def _match(self, pattern: re.Pattern[str]) -> str:
        found = pattern.match(self._text, self._at)
        if found is None:
            raise ValueError(f"nothing known at character {self._at}: not TOML")
        self._at = found.end()
        return found[0]


def _path(keys: tuple[Key, ...], made: _Table, *, is_list: bool) -> tuple[Part, ...]:
    """Say which table a header means, and keep in mind that it was there."""
    path: list[Part] = []
    for n, key in enumerate(keys, start=1):
        path.append(key.name)
        made = made.tables.setdefault(key.name, _Table())
        if is_list and n == len(keys):
            # The tables inside an earlier one of the list are out of reach now.
            made.tables.clear()
            made.last += 1
        if made.last >= 0:
            path.append(made.last)
    return tuple(path)
