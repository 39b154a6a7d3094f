"""Reading a job file, with every mistake in it reported together."""

import tomllib
from pathlib import Path
from typing import Final

from edgefinder.classifier.fields import Fields
from edgefinder.classifier.job import Job
from edgefinder.classifier.job_settings import job_settings
from edgefinder.errors import SettingsError
from edgefinder.files import read_bytes

MAX_JOB_BYTES: Final = 2**20
"""A job file is written by hand; a megabyte is a thousand pages of it."""


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


def draft_job(path: Path) -> tuple[Job, tuple[str, ...]]:
    """Read a job file as far as it goes.

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
    return draft_text(path, read_text(path))


def draft_text(path: Path, text: str) -> tuple[Job, tuple[str, ...]]:
    """Read the text of a job file as far as it goes; see `draft_job`."""
    mistakes: list[str] = []
    data = toml_data(path, text, "a job file")
    job = job_settings(path, Fields(data, f"{path}: ", mistakes), text)
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
            f"{path}: is not {what} in TOML: {_plainly(error)}; "
            "see docs/job-file.md for the way it is written"
        ) from None
    except ValueError:  # a whole number longer than Python reads
        raise SettingsError(
            f"{path}: holds a number of thousands of digits; correct it"
        ) from None
    except RecursionError:
        raise SettingsError(f"{path}: is nested too deeply for {what}") from None


def _plainly(error: tomllib.TOMLDecodeError) -> str:
    """Say in plain words the mistake that is made most often."""
    return str(error).replace("Cannot overwrite a value", "a key is written twice")


def read_text(path: Path) -> str:
    """Return the text of a job file, line ends as they are.

    Raises
    ------
    DrawingError, SettingsError
        If it cannot be read, or is not text.
    """
    return text_of(path, read_bytes(path, limit=MAX_JOB_BYTES))


def text_of(path: Path, data: bytes) -> str:
    """Return the text of a job file that has been read; see `read_text`."""
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise SettingsError(
            f"{path}: is not text in UTF-8; save the job file as plain text"
        ) from None
