"""Reading a job file, with every mistake in it reported together."""

import re
import tomllib
from pathlib import Path
from types import MappingProxyType
from typing import Final

from edgefinder.classifier.fields import Fields
from edgefinder.classifier.job import Job
from edgefinder.classifier.job_settings import job_settings
from edgefinder.errors import SettingsError, as_typed
from edgefinder.files import read_bytes
from edgefinder.units import Unit

MAX_JOB_BYTES: Final = 2**20
"""A job file is written by hand; a megabyte is a thousand pages of it."""

DRAWING_ENDINGS: Final = frozenset({".svg", ".svgz", ".dxf"})

CURLY: Final = frozenset("\u201c\u201d\u201e\u2018\u2019\u201a\u00ab\u00bb")
"""Quotation marks that word processors put in the place of straight ones."""

_AT: Final = re.compile(r" \(at line (?P<line>\d+), column (?P<column>\d+)\)")
_PLAIN_WORDS: Final = MappingProxyType(
    {
        "Cannot overwrite a value": "a key is written twice",
        r"Illegal character '\n'": "a quotation mark is missing at the end of a text",
    }
)


def is_job_file(path: Path) -> bool:
    """Whether a name is that of a job file and not of a drawing."""
    return path.suffix.lower() == ".toml"


def drawing_job(drawing: Path) -> Job:
    """Return the job that says nothing about a drawing but that it is there."""
    return job_settings(
        drawing, Fields({"drawings": [drawing.name]}, f"{drawing}: ", [])
    )


def read_job(path: Path) -> Job:
    """Read and check a job file.

    Parameters
    ----------
    path : Path

    Returns
    -------
    Job

    Raises
    ------
    DrawingError
        If the file cannot be read.
    SettingsError
        With one line for every mistake in it.
    """
    job, mistakes = draft_job(path)
    if mistakes:
        raise SettingsError(*mistakes)
    return job


def draft_job(path: Path, shown_in: Unit | None = None) -> tuple[Job, tuple[str, ...]]:
    """Read a job file as far as it goes.

    Parameters
    ----------
    path : Path
    shown_in : Unit or None
        The unit of the reports, in place of the one in the file.

    Returns
    -------
    Job
        With a harmless value in the place of every mistake.
    tuple of str
        One line for every mistake.

    Raises
    ------
    DrawingError, SettingsError
        If the file cannot be read, or is not TOML.
    """
    return draft_text(path, read_text(path), shown_in)


def draft_text(
    path: Path, text: str, shown_in: Unit | None = None
) -> tuple[Job, tuple[str, ...]]:
    """Read the text of a job file as far as it goes; see `draft_job`."""
    mistakes: list[str] = []
    data = toml_data(path, text, "a job file")
    job = job_settings(path, Fields(data, f"{path}: ", mistakes), text, shown_in)
    return job, tuple(dict.fromkeys(mistakes))


def toml_data(path: Path, text: str, what: str) -> dict[str, object]:
    """Return what TOML holds.

    Parameters
    ----------
    path : Path
        Of the file, for messages.
    text : str
    what : str
        What the file should be, ``a job file``.

    Raises
    ------
    SettingsError
        If it is not TOML.
    """
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise SettingsError(
            f"{path}: is not {what} in TOML: {_plainly(error, text)}; "
            "see docs/job-file.md for the way it is written"
        ) from None
    except ValueError:  # a whole number longer than Python reads
        raise SettingsError(
            f"{path}: holds a number of thousands of digits; correct it"
        ) from None
    except RecursionError:
        raise SettingsError(f"{path}: is nested too deeply for {what}") from None


def _plainly(error: tomllib.TOMLDecodeError, text: str) -> str:
    """Say in plain words the mistakes that are made most often."""
    said = str(error)
    at = _AT.search(said)
    if at is not None:
        line = text.splitlines()[int(at["line"]) - 1 :][:1]
        if line and line[0][int(at["column"]) - 1 :][:1] in CURLY:
            return f'texts stand in straight quotation marks, "like this"{at[0]}'
    for theirs, plain in _PLAIN_WORDS.items():
        said = said.replace(theirs, plain)
    return said


def read_text(path: Path) -> str:
    """Return the text of a job file, line ends as they are.

    Raises
    ------
    DrawingError, SettingsError
        If it cannot be read, or is not text.
    """
    return text_of(path, job_bytes(path))


def job_bytes(path: Path) -> bytes:
    """Return what stands in a job file; see `read_text`."""
    if path.suffix.lower() in DRAWING_ENDINGS and path.is_file():
        raise SettingsError(
            f"{path}: is a drawing, not a job file; "
            f'"edgefinder new {as_typed(path.name)}" writes a job file for it'
        )
    return read_bytes(
        path,
        limit=MAX_JOB_BYTES,
        if_empty='write drawings = ["my.svg"] in it, or let "edgefinder new" make one',
    )


def text_of(path: Path, data: bytes) -> str:
    """Return the text of a job file that has been read; see `read_text`."""
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise SettingsError(
            f"{path}: is not text in UTF-8; save the job file as plain text"
        ) from None
