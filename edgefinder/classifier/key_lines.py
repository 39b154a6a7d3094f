"""On which line of a TOML text every key stands, for messages."""

import re
from bisect import bisect_right
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Final

from edgefinder.classifier.toml_layout import Entry, Part, Value, sections_of

TOP: Final[tuple[Part, ...]] = ()


@dataclass(slots=True)
class _Place:
    """Where a name is written first, and what is inside it."""

    start: int
    inside: "dict[Part, _Place]" = field(default_factory=dict)

    def at(self, part: Part, start: int) -> "_Place":
        return self.inside.setdefault(part, _Place(start))


class KeyLines(Mapping[tuple[Part, ...], int]):
    """The line of every key, table and item, counted from 1.

    Parameters
    ----------
    text : str
        As for `key_lines`.
    """

    def __init__(self, text: str) -> None:
        self._ends = [found.start() for found in re.finditer("\n", text)]
        self._top = _places(text)

    def __getitem__(self, path: tuple[Part, ...]) -> int:
        place = self._top
        for part in path:
            place = place.inside[part]
        if place is self._top:
            raise KeyError(path)
        return self._line(place)

    def __iter__(self) -> Iterator[tuple[Part, ...]]:
        waiting = [(TOP, self._top)]
        while waiting:
            path, place = waiting.pop()
            if path:
                yield path
            inside = reversed(place.inside.items())
            waiting += [((*path, part), one) for part, one in inside]

    def __len__(self) -> int:
        return sum(1 for _ in self)

    def nearest(self, path: tuple[Part, ...]) -> int | None:
        """Return the line of a path, or of the innermost table around it.

        Parameters
        ----------
        path : tuple of str and int
            May end in keys that are not written, such as one that is missing.

        Returns
        -------
        int or None
            None if nothing of the path is written.
        """
        place = self._top
        for part in path:
            if part not in place.inside:
                break
            place = place.inside[part]
        return None if place is self._top else self._line(place)

    def _line(self, place: _Place) -> int:
        return bisect_right(self._ends, place.start) + 1


@lru_cache(maxsize=1)
def key_lines(text: str) -> KeyLines:
    """Find the line of every key of a TOML text.

    Parameters
    ----------
    text : str
        Accepted by ``tomllib``, but for a byte order mark that it may begin with.

    Returns
    -------
    KeyLines
        A mapping from paths to lines, counted from 1. A path is made of the keys of
        tables, the index of a table in an array of tables, and the index of an item
        in an array: ``("runs", 1, "edges", 0)`` is the first edge of the second run.
        A table stands where its header is, or else where its name is written first;
        an array of tables where the first of them is.

    Notes
    -----
    Time and memory grow with the length of the text. The last answer is kept: one file
    is asked for every mistake in it.
    """
    return KeyLines(text)


def _places(text: str) -> _Place:
    top = _Place(0)
    for section in sections_of(text):
        place = top
        for part in section.path:
            place = place.at(part, section.start)
        # [a.b] may stand above [a]; it is the header that makes the table.
        place.start = section.start
        for entry in section.entries:
            _place_entry(place, entry)
    return top


def _place_entry(table: _Place, entry: Entry) -> None:
    waiting: list[tuple[_Place, Entry | Value]] = [(table, entry)]
    while waiting:
        place, written = waiting.pop()
        if isinstance(written, Entry):
            for key in written.keys:
                place = place.at(key.name, written.start)
            written = written.value
        members = [
            (place.at(n, one.start) if isinstance(one, Value) else place, one)
            for n, one in enumerate(written.members or ())
        ]
        waiting += reversed(members)
