"""Writing what a swatch says into a job file or into a person's own list."""

from collections.abc import Mapping
from pathlib import Path

from edgefinder.classifier.editing.job_edits import write_cloth
from edgefinder.classifier.job import Job
from edgefinder.classifier.job_file import draft_text, job_bytes, text_of
from edgefinder.classifier.own_list import FIRST_LINES, list_of_text
from edgefinder.classifier.sizes import name_key
from edgefinder.errors import SettingsError, told_of
from edgefinder.files import bytes_there
from edgefinder.findings import Finding, note
from edgefinder.schedule.tag_edits import Edited


def cloth_in_job(path: Path, name: str, percents: Mapping[str, float]) -> Edited:
    """Write a cloth into a job file, or change the one that it has.

    Parameters
    ----------
    path : Path
    name : str
    percents : mapping of str to float
        By the keys of a job file.

    Returns
    -------
    Edited
        Nothing is written yet.

    Raises
    ------
    EdgefinderError
        If the job file cannot be read, or could not be followed after it.
    """
    data = job_bytes(path)
    before = text_of(path, data)
    _job(path, before)
    after = _with_cloth(path, before, name, percents)
    findings = _unused(_job(path, after), name)
    return Edited(path, data, before, after, findings)


def cloth_in_list(path: Path, name: str, percents: Mapping[str, float]) -> Edited:
    """Write a cloth into a person's own list, which need not be there yet.

    Raises
    ------
    EdgefinderError
        If the list cannot be read, or could not be followed after it.
    """
    data = bytes_there(path)
    before = text_of(path, data or b"")
    list_of_text(path, before)
    after = _with_cloth(path, before or FIRST_LINES, name, percents)
    list_of_text(path, after)
    return Edited(path, data, before, after, ())


def _with_cloth(path: Path, text: str, name: str, percents: Mapping[str, float]) -> str:
    with told_of(path):
        return write_cloth(text, name, percents)


def _job(path: Path, text: str) -> Job:
    job, mistakes = draft_text(path, text)
    if mistakes:
        raise SettingsError(*mistakes)
    return job


def _unused(job: Job, name: str) -> tuple[Finding, ...]:
    """Say it if no tape is cut from a cloth that was written."""
    written = next(c.name for c in job.cloths if name_key(c.name) == name_key(name))
    used = [job.fabric.cloth, *(tape.cloth for tape in job.tapes)]
    if written.casefold() in map(str.casefold, used):
        return ()
    message = f'no tape is cut from it yet: write cloth = "{written}" in [fabric]'
    return (note("cloth-not-used", f'cloths "{written}"', message),)
