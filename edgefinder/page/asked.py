"""Reading values out of what a page sends: whatever comes from outside is checked."""

from collections.abc import Mapping, Sequence
from typing import Any, Final

from edgefinder.errors import SettingsError, one_line

LONGEST_TEXT: Final = 2000
"""Characters of one value: a list of edges in a run is the longest that is typed."""
MOST_ITEMS: Final = 2000
LARGEST: Final = 1e9
"""Of numbers: more than any length in a job file."""


def asked_text(asked: Mapping[str, Any], key: str, default: str | None = None) -> str:
    """Return a text in one line; an empty one only where there is a default.

    Raises
    ------
    SettingsError
        If it is missing, is no text, or is too long.
    """
    value = asked.get(key, default)
    if value is None and default is not None:
        value = default
    if not isinstance(value, str):
        raise SettingsError(f'"{key}" must be a text')
    if len(value) > LONGEST_TEXT:
        raise SettingsError(f'"{key}" is longer than {LONGEST_TEXT} letters')
    return one_line(value).strip()


def asked_number(asked: Mapping[str, Any], key: str) -> int:
    """Return a whole number; raises SettingsError if it is none."""
    value = asked.get(key)
    if isinstance(value, bool) or not isinstance(value, int):
        raise SettingsError(f'"{key}" must be a whole number')
    return value


def asked_numbers(asked: Mapping[str, Any], key: str) -> tuple[int, ...]:
    """Return several whole numbers; raises SettingsError if they are none."""
    value = asked.get(key)
    if not isinstance(value, list) or not 0 < len(value) <= MOST_ITEMS:
        raise SettingsError(f'"{key}" must be a list of whole numbers')
    return tuple(asked_number({key: one}, key) for one in value)


def asked_list(asked: Mapping[str, Any], key: str) -> Sequence[Mapping[str, Any]]:
    """Return a list of things with named values.

    Raises
    ------
    SettingsError
        If it is none, or is empty or too long.
    """
    value = asked.get(key)
    if not isinstance(value, list) or not 0 < len(value) <= MOST_ITEMS:
        raise SettingsError(f'"{key}" must be a list')
    if not all(isinstance(one, dict) for one in value):
        raise SettingsError(f'"{key}" must be a list of things with named values')
    return value


def asked_value(
    asked: Mapping[str, Any], key: str
) -> str | bool | int | float | list[str] | None:
    """Return what a key of a job file may hold; None where it is to be taken out.

    Raises
    ------
    SettingsError
        If it is anything else.
    """
    value = asked.get(key)
    if value is None or isinstance(value, bool | int):
        return value
    if isinstance(value, float) and abs(value) < LARGEST:
        return value
    if isinstance(value, str):
        return asked_text(asked, key)
    if isinstance(value, list) and len(value) <= MOST_ITEMS:
        return [asked_text({key: one}, key) for one in value]
    raise SettingsError(f'"{key}" cannot stand in a job file')
