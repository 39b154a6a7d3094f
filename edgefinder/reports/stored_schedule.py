"""Reading back a schedule that was stored as JSON."""

import json
from pathlib import Path
from typing import Final, NoReturn

from edgefinder.errors import SettingsError, one_line
from edgefinder.files import read_bytes
from edgefinder.reports.compared_records import ComparedPattern, compared_pattern
from edgefinder.reports.json_text import SCHEMA_VERSION
from edgefinder.reports.record_fields import RecordFields

MOST_BYTES: Final = 32 * 2**20
"""A size of the demo takes 40 kB: this is room for hundreds of sizes of a coat, and a
hostile file ends before memory does."""

FIRST_BYTES: Final = 256
"""In which JSON shows its first bracket."""

SCHEDULE: Final = "edgefinder.schedule"

_MARKS: Final = b"\xef\xbb\xbf\xff\xfe\0 \t\r\n"
"""Byte order marks, blanks, and the zeros of UTF-16 before the first bracket."""


def is_stored(path: Path) -> bool:
    """Whether a file is JSON, by its name or by how it begins.

    Raises
    ------
    DrawingError
        If the file cannot be read.
    """
    head = read_bytes(path, first=FIRST_BYTES).lstrip(_MARKS)
    return path.suffix.lower() == ".json" or head[:1] in {b"{", b"["}


def read_stored(path: Path) -> ComparedPattern:
    """Read a schedule as ``edgefinder schedule JOB --json`` printed it.

    Parameters
    ----------
    path : Path
        In UTF-8, or in the UTF-16 in which some command windows write.

    Returns
    -------
    ComparedPattern

    Raises
    ------
    DrawingError
        If the file cannot be read.
    SettingsError
        If it is not JSON, not a schedule, or one of another version of the keys.
    """
    data = read_bytes(path, first=MOST_BYTES + 1)
    if len(data) > MOST_BYTES:
        raise SettingsError(
            f"{path}: has more than the {MOST_BYTES} bytes that are read of "
            "a schedule; print it again with edgefinder schedule JOB --json"
        )
    value = _parsed(data, path)
    _check_schema(value, path)
    return compared_pattern(value, str(path), is_schedule=True)


def _parsed(data: bytes, path: Path) -> object:
    def no_number(name: str) -> NoReturn:
        raise SettingsError(
            f"{path}: is not JSON: {name} is no number; print the schedule again with "
            "edgefinder schedule JOB --json"
        )

    try:
        return json.loads(data, parse_constant=no_number)
    except UnicodeDecodeError:
        message = "is not text in UTF-8"
    except json.JSONDecodeError as error:
        message = f"is not JSON: line {error.lineno}: {one_line(error.msg)}"
    except RecursionError:
        message = "is nested too deeply for a schedule"
    except ValueError:  # a whole number longer than Python reads
        message = "holds a number of thousands of digits"
    raise SettingsError(
        f"{path}: {message}; print the schedule again with "
        "edgefinder schedule JOB --json"
    )


def _check_schema(value: object, path: Path) -> None:
    """Refuse what was printed by another command, or by another make of this one."""
    schema = RecordFields(value, str(path), "").part("schema")
    name, version = schema.text("name"), schema.count("version")
    if name != SCHEDULE:
        command = name.removeprefix("edgefinder.")
        raise schema.mistake(
            "name", f'is "{command[:20]}": the output of another command'
        )
    if version != SCHEMA_VERSION:
        raise SettingsError(
            f"{path}: schema.version: is {version}, and this edgefinder reads "
            f"{SCHEMA_VERSION}; compare with the edgefinder that printed it, or print "
            "the schedule again"
        )
