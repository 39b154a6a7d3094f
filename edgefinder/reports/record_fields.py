"""Taking checked values out of a record that was read from a file.

A record may have been edited, cut short or made by something else: the first value
that is not what a schedule carries ends the reading, with its place in the record.
"""

from collections.abc import Mapping
from enum import StrEnum
from typing import Final, TypeVar

from edgefinder.errors import SettingsError, one_line

Choice = TypeVar("Choice", bound=StrEnum)

MOST: Final = 1e9
"""Millimetres, or of anything that is counted: a thousand kilometres of tape."""

LONGEST_QUOTE: Final = 40
"""Characters of a wrong value that are told; a record may hold megabytes of it."""


class RecordFields:
    """One object of a record, read key by key.

    Parameters
    ----------
    value : object
        As the JSON parser returned it.
    file : str
        Name of the file, for messages.
    place : str
        Of the object in the record: ``sizes[0].pieces[2]``; empty for the whole.

    Raises
    ------
    SettingsError
        Here, and in every method: if the value is missing or of another kind.
    """

    def __init__(self, value: object, file: str, place: str) -> None:
        self._file = file
        self._place = place
        if not isinstance(value, Mapping):
            raise self.mistake("", "must be an object, { ... }")
        self._values: Mapping[object, object] = value

    def mistake(self, key: str, message: str) -> SettingsError:
        """Return an error that says where the record is wrong."""
        place = f"{self._place}.{key}".strip(".")
        where = f"{self._file}: {place}" if place else self._file
        return SettingsError(
            f"{where}: {message}; this is not the record of a schedule as it was "
            "printed: print it again with edgefinder schedule JOB --json"
        )

    def has(self, key: str) -> bool:
        """Whether the key is there and is not null."""
        return self._values.get(key) is not None

    def text(self, key: str) -> str:
        """Return a text, which may be empty."""
        value = self._take(key)
        if not isinstance(value, str):
            raise self._wrong(key, value, "a text")
        return value

    def choice(self, key: str, choices: type[Choice]) -> Choice:
        """Return one of the agreed words."""
        text = self.text(key)
        try:
            return choices(text)
        except ValueError:
            words = ", ".join(f'"{choice}"' for choice in choices)
            raise self._wrong(key, text, f"one of {words}") from None

    def flag(self, key: str) -> bool:
        """Return true or false."""
        value = self._take(key)
        if not isinstance(value, bool):
            raise self._wrong(key, value, "true or false")
        return value

    def number(self, key: str) -> float:
        """Return a length: a finite number, zero or more."""
        value = self._take(key)
        # True and false are whole numbers to Python, and so is one of 400 digits.
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise self._wrong(key, value, "a number")
        if not 0 <= value <= MOST:
            raise self._wrong(key, value, f"a number from 0 to {MOST:.0f}")
        return float(value)

    def number_or_none(self, key: str) -> float | None:
        """Return a length, or None where the record has null."""
        return self.number(key) if self.has(key) else None

    def count(self, key: str) -> int:
        """Return a whole number, zero or more."""
        value = self._take(key)
        if isinstance(value, bool) or not isinstance(value, int):
            raise self._wrong(key, value, "a whole number")
        if not 0 <= value <= MOST:
            raise self._wrong(key, value, f"a number from 0 to {MOST:.0f}")
        return value

    def edge(self, key: str) -> str:
        """Return the name of an edge, or its number as a text."""
        value = self._take(key)
        return self.text(key) if isinstance(value, str) else str(self.count(key))

    def part(self, key: str) -> "RecordFields":
        """Return the object of a key."""
        return RecordFields(self._take(key), self._file, self._inner(key))

    def parts(self, key: str) -> list["RecordFields"]:
        """Return the objects in a list."""
        value = self._take(key)
        if not isinstance(value, list):
            raise self._wrong(key, value, "a list, [ ... ]")
        return [
            RecordFields(item, self._file, f"{self._inner(key)}[{i}]")
            for i, item in enumerate(value)
        ]

    def _inner(self, key: str) -> str:
        return f"{self._place}.{key}".lstrip(".")

    def _take(self, key: str) -> object:
        if key not in self._values:
            raise self.mistake(key, "is missing")
        return self._values[key]

    def _wrong(self, key: str, value: object, wanted: str) -> SettingsError:
        return self.mistake(key, f"is {_quoted(value)}, not {wanted}")


def _quoted(value: object) -> str:
    if value is None:
        return "null"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int) and abs(value) > MOST:
        return "a number of many digits"  # not written out: it may have thousands
    if isinstance(value, str):
        text = one_line(value[:LONGEST_QUOTE])
        return f'"{text}..."' if len(value) > LONGEST_QUOTE else f'"{text}"'
    if isinstance(value, float):
        return f"{value:g}"
    return "a list" if isinstance(value, list) else "an object"
