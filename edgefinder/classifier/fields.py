"""Taking checked values out of the tables of a job file.

Every mistake is kept as one line, so that all of them are reported together.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, Final, TypeVar

from edgefinder.classifier.keys import Key, Kind
from edgefinder.classifier.sizes import name_key
from edgefinder.errors import SettingsError, did_you_mean
from edgefinder.units import MAX_LENGTH_MM, parse_length

MOST_EDGES: Final = 10**6
"""No outline has more edges, nor a sensible count of anything more digits."""

Choice = TypeVar("Choice", bound=StrEnum)
Value = TypeVar("Value")


KeyPath = tuple[str | int, ...]
"""Tables, numbers of tables in a list, keys and numbers of items, counted from 0."""


@dataclass(frozen=True, slots=True)
class Word:
    """What a job file calls edges, and where it stands in it."""

    text: str
    key: KeyPath


class Fields:
    """One table of a job file, read key by key.

    Where a reader has said which keys it expects, kinds, defaults and bounds are those
    that it declared, and no other key can be read. Defaults that are passed to the
    methods are for keys without a declared one.

    Parameters
    ----------
    data : mapping
        As the TOML parser returned it.
    place : str
        File and table, for messages.
    mistakes : list of str
        Shared by all tables of the file; a mistake is added and a harmless
        value returned.
    path : tuple of str and int
        Of the table in the file.
    """

    def __init__(
        self,
        data: Mapping[str, object],
        place: str,
        mistakes: list[str],
        path: KeyPath = (),
    ) -> None:
        self.path = path
        self._data = data
        self._place = place
        self._mistakes = mistakes
        self._known: list[str] = []
        self._keys: dict[str, Key] | None = None

    def expect(self, keys: Sequence[Key]) -> None:
        """Say which keys the table may have."""
        self._keys = {key.name: key for key in keys}
        self._known += self._keys

    def mistake(self, key: str, message: str) -> None:
        """Keep a mistake in the value of a key."""
        self._mistakes.append(f"{self._place}{key}: {message}")

    def complain(self, message: str) -> None:
        """Keep a mistake that lies in no single key."""
        self._mistakes.append(f"{self._place}{message}")

    def has(self, key: str) -> bool:
        """Whether the key is written."""
        return key in self._data

    def is_word(self, key: str, word: str) -> bool:
        """Whether the value of a key is a certain word, whatever its case."""
        self._known.append(key)
        value = self._data.get(key)
        return isinstance(value, str) and value.strip().casefold() == word

    def text(self, key: str, default: str | None = None) -> str:
        """Return a text that must not be empty; it is required without a default."""
        return self._text(key, self._default(key, Kind.TEXT, default))

    def _text(self, key: str, default: str | None = None) -> str:
        value = self._take(key, str, "a text in quotes", required=default is None)
        if value is None:
            return default or ""
        if not value.strip():
            self.mistake(key, "is empty")
        return value.strip()

    def texts(self, key: str, *, required: bool = False) -> tuple[str, ...]:
        """Return a list of texts; one text alone counts as a list of one."""
        self._declared(key, Kind.TEXTS, Kind.SELECTORS)
        if isinstance(self._data.get(key), str):
            text = self._text(key)
            return (text,) if text else ()
        value = self._take(key, list, "a list of texts", required=required)
        if value is None:
            return ()
        if not value or not all(isinstance(item, str) for item in value):
            self.mistake(key, 'must be a list of texts, like ["front 1", "back 2"]')
            return ()
        return tuple(value)

    def words(self, key: str, *, required: bool = False) -> tuple[Word, ...]:
        """Return a list of names for edges; an edge number may stand without quotes."""
        self._declared(key, Kind.EDGES, Kind.EDGE)
        value = self._data.get(key)
        is_one = isinstance(value, str) or type(value) is int
        if not is_one:
            wanted = 'a list of edges, like [1, "neck"]'
            value = self._take(key, list, wanted, required=required)
        self._known.append(key)
        if value is None:
            return ()
        items = value if isinstance(value, list) else [value]
        path = (*self.path, key)
        words = [
            Word(_plain(item), path if is_one else (*path, n))
            for n, item in enumerate(items)
        ]
        if not words or not all(word.text for word in words):
            self.mistake(key, 'must be a list of edges, like [1, "neck"]')
            return ()
        return tuple(words)

    def word(self, key: str) -> Word | None:
        """Return one name for an edge, or None where the key is not written."""
        self._declared(key, Kind.EDGE)
        if not self.has(key):
            self._known.append(key)
            return None
        if isinstance(self._data[key], list):
            self._known.append(key)
            self.mistake(key, 'must be one edge, like 2 or "neck"')
            return None
        found = self.words(key)
        return found[0] if found else None

    def count(
        self, key: str, default: int | None = None, *, most: int = MOST_EDGES
    ) -> int | None:
        """Return a whole number from 1 to ``most``."""
        declared = self._declared(key, Kind.COUNT)
        default = self._default(key, Kind.COUNT, default)
        most = int(declared.most) if declared and declared.most else most
        value = self._take(key, int, "a whole number")
        if value is not None and not 1 <= value <= most:
            self.mistake(key, f"{_shown(value)}must lie between 1 and {most}")
            return default
        return default if value is None else value

    def counts(self, key: str) -> tuple[int, ...]:
        """Return a whole number from 1, or several in a list; none if it is wrong."""
        if not isinstance(self._data.get(key), list):
            value = self.count(key)
            return () if value is None else (value,)
        values = self._take(key, list, "a list of whole numbers") or []
        if values and all(type(v) is int and 1 <= v <= MOST_EDGES for v in values):
            return tuple(dict.fromkeys(values))
        self.mistake(key, f"must be whole numbers between 1 and {MOST_EDGES}")
        return ()

    def number(
        self, key: str, default: float = 0.0, *, most: float = MOST_EDGES
    ) -> float:
        """Return a plain number from 0 to ``most``, for keys that name a unit."""
        declared = self._declared(key, Kind.NUMBER) or Key(key, Kind.NUMBER, "")
        default = self._default(key, Kind.NUMBER, default)
        in_doubt = default if declared.in_doubt is None else declared.in_doubt
        most = declared.most or most
        written = self._data.get(key)
        self._known.append(key)
        value: float | None = written if type(written) is int else None
        if value is None:
            value = self._take(key, float, "a number")
        if value is None:
            is_right = not self.has(key) and not declared.required
            return default if is_right else in_doubt
        if not 0 <= value <= most:
            self.mistake(key, f"{_shown(value)}must lie between 0 and {most:g}")
            return in_doubt
        if value == 0 and declared.positive:
            self.mistake(key, "is 0; must be more than nothing")
            return in_doubt
        return float(value)

    def truth(self, key: str, *, default: bool = False) -> bool:
        """Return true or false."""
        default = self._default(key, Kind.TRUTH, default)
        value = self._take(key, bool, "true or false")
        return default if value is None else value

    def length(
        self, key: str, default: float | None = None, *, positive: bool = False
    ) -> float | None:
        """Return a length written with its unit, in millimetres."""
        declared = self._declared(key, Kind.LENGTH)
        default = self._default(key, Kind.LENGTH, default)
        positive = declared.positive if declared else positive
        self._known.append(key)
        if not self.has(key):
            return default
        value = self._data[key]
        if not isinstance(value, str):
            self.mistake(key, _without_unit(value))
            return default
        length = self.parsed(key, value, parse_length)
        if length == 0 and positive:
            self.mistake(key, f'"{value}" must be more than nothing')
            return default
        return default if length is None else length

    def lengths(self, key: str) -> tuple[tuple[str, float], ...]:
        """Return a list of lengths, each as written and in millimetres, none of them 0.

        One length alone counts as a list of one.
        """
        self._declared(key, Kind.LENGTHS)
        wanted = 'a list of lengths, like ["18 mm", "1/2 in"]'
        is_one = isinstance(self._data.get(key), str)
        items = [self._data[key]] if is_one else self._take(key, list, wanted)
        self._known.append(key)
        found = []
        for item in items or []:
            if not isinstance(item, str):
                self.mistake(key, _without_unit(item))
                continue
            length = self.parsed(key, item, parse_length)
            if length == 0:
                self.mistake(key, f'"{item}" must be more than nothing')
            elif length is not None:
                found.append((" ".join(item.split()), length))
        return tuple(found)

    def needed_length(self, key: str) -> float:
        """Return a length that must be written and more than nothing."""
        length = self.length(key, None, positive=True)
        if not self.has(key):
            self.mistake(key, 'is missing; write a length with its unit, like "9 mm"')
        return length or 1.0

    def choice(
        self, key: str, kind: type[Choice], default: Choice | None = None
    ) -> Choice:
        """Return one of the values that a type names."""
        default = kind(self._default(key, Kind.CHOICE, default))
        text = self._text(key, str(default))
        if not text:  # said already
            return default
        known = {str(value): value for value in kind}
        if text.casefold() not in known:
            self.mistake(key, f'"{text}" is not known{did_you_mean(text, known)}')
            return default
        return known[text.casefold()]

    def parsed(
        self, key: str, text: str, parse: Callable[[str], Value]
    ) -> Value | None:
        """Return what a parser makes of a text, keeping its complaint."""
        try:
            return parse(text)
        except SettingsError as error:
            self.mistake(key, str(error))
            return None

    def table(self, key: str) -> "Fields":
        """Return a table inside this one; an empty one if it is not written."""
        self._declared(key, Kind.TABLE)
        value = self._take(key, dict, f"a table, [{key}]")
        place = f"{self._place}{key}: "
        return Fields(value or {}, place, self._mistakes, (*self.path, key))

    def tables(self, key: str) -> list["Fields"]:
        """Return the tables of a list of named tables, ``[[key]]``."""
        self._declared(key, Kind.TABLES)
        value = self._take(key, list, f"a list of tables, [[{key}]]") or []
        found = []
        seen: set[str] = set()
        for n, data in enumerate(value, start=1):
            if not isinstance(data, dict):
                self.mistake(key, f"must be a list of tables, [[{key}]]")
                continue
            name = data.get("name")
            place = f"number {n}"
            if isinstance(name, str) and name.strip():
                place = f'"{name}"'
                same = name_key(name)
                if same in seen:
                    self.mistake(key, f'two are called "{name}"; give one another name')
                seen.add(same)
            path = (*self.path, key, n - 1)
            place = f"{self._place}{key} {place}: "
            found.append(Fields(data, place, self._mistakes, path))
        return found

    def rows(self, key: str) -> tuple[tuple[float, ...], ...]:
        """Return a list of lists of numbers."""
        value = self._take(key, list, "a list of rows", required=True) or []
        rows = [row if isinstance(row, list) else [None] for row in value]
        if any(type(item) not in {int, float} for row in rows for item in row):
            self.mistake(key, "must be a list of rows of numbers")
            return ()
        return tuple(tuple(map(float, row)) for row in rows)

    def free_keys(self) -> list[str]:
        """Return the keys of a table in which any key may stand."""
        self._known += self._data
        return list(self._data)

    def close(self) -> None:
        """Complain of every key that nothing asked for."""
        for key in self._data:
            if key not in self._known:
                self.mistake(key, f"unknown key{did_you_mean(key, self._known)}")

    def _declared(self, name: str, *kinds: Kind) -> Key | None:
        """Return what is declared of a key; None where nothing is.

        Raises
        ------
        ValueError
            If the key is not among those expected, or is declared as another kind.
        """
        if self._keys is None:
            return None
        key = self._keys.get(name)
        if key is None or key.kind not in kinds:
            raise ValueError(f"{name} is not declared as {' or '.join(kinds)}")
        return key

    def _default(self, name: str, kind: Kind, passed: Any) -> Any:
        """Return the declared default of a key; where there is none, what is passed."""
        key = self._declared(name, kind)
        return passed if key is None or key.default is None else key.default

    def _take(
        self, key: str, kind: type[Value], wanted: str, *, required: bool = False
    ) -> Value | None:
        """Return the value of a key if it is there and of the right kind."""
        declared = None if self._keys is None else self._keys[key]
        required = required if declared is None else declared.required
        self._known.append(key)
        if key not in self._data:
            if required:
                better = declared.wanted if declared is not None else ""
                self.mistake(key, f"is missing; write {better or wanted}")
            return None
        value = self._data[key]
        if type(value) is not kind:  # True must not pass for 1
            self.mistake(key, f"must be {wanted}")
            return None
        return value


def _plain(item: object) -> str:
    """Return an edge as text: a number or a text; empty where it is neither."""
    if type(item) is int and 0 <= item <= MOST_EDGES:
        return str(item)
    return " ".join(item.split()) if isinstance(item, str) else ""


def _shown(value: float) -> str:
    """Show a number unless it has more digits than a line has room for."""
    return f"is {value:g}; " if abs(value) <= MOST_EDGES else ""


def _without_unit(value: object) -> str:
    if isinstance(value, bool) or not isinstance(value, int | float):
        return 'must be a length with its unit in quotes, like "9 mm"'
    if abs(value) < MAX_LENGTH_MM:
        return f'{value} has no unit; write "{value} mm" or "{value} in" in quotes'
    return "is no length; write it with its unit in quotes"
