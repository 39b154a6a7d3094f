"""Changing the tags in a person's job file, and refusing what cannot be followed.

A change is made on the text, and the text that comes out is held against the drawing
before anything is written.
"""

from codecs import BOM_UTF8
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from edgefinder.binding.tape import make_tapes
from edgefinder.classifier.carrying import Carried, carry_numbers
from edgefinder.classifier.editing.job_edits import close_run
from edgefinder.classifier.job import Job
from edgefinder.classifier.job_file import draft_text, job_bytes, text_of
from edgefinder.classifier.retagging import Tagging, tagged_text, untagged_text
from edgefinder.classifier.sizes import SizePieces, same_name
from edgefinder.classifier.tagging import is_open_loop, settings_of, tag_sizes
from edgefinder.errors import (
    OutputError,
    SettingsError,
    TagError,
    as_typed,
    did_you_mean,
    told_of,
)
from edgefinder.files import alone_with, bytes_there, write_bytes
from edgefinder.findings import Finding, note
from edgefinder.schedule.drawn_shapes import names_of, refreshed_text, with_shape
from edgefinder.schedule.letters_kept import letters_kept
from edgefinder.schedule.reading import read_pattern
from edgefinder.schedule.telling import Tell, silent


@dataclass(frozen=True, slots=True)
class Edited:
    """A job file before and after a change, and what was unusual.

    Parameters
    ----------
    path : Path
    data : bytes or None
        As they were read; None if there was no file.
    before, after : str
        Without the byte order mark that the file may begin with.
    findings : tuple of Finding
    """

    path: Path
    data: bytes | None
    before: str
    after: str
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True, eq=False)
class _Drawn:
    """A job file as it was read, and what its drawings hold."""

    data: bytes
    job: Job
    sizes: tuple[SizePieces, ...]
    carried: Carried

    @property
    def names(self) -> list[str]:
        """Of all pieces, as the job file calls them."""
        return names_of(self.carried)


def tag_edges(
    path: Path,
    piece: str,
    words: Sequence[str],
    tagging: Tagging,
    tell: Tell = silent,
) -> Edited:
    """Give edges a finish in a job file.

    Parameters
    ----------
    path : Path
    piece : str
    words : sequence of str
        As in a job file; ``mirrored`` may follow one that goes into a run.
    tagging : Tagging
        What another rule said of these very edges before is taken out.
    tell : Tell
        Told of every drawing.

    Returns
    -------
    Edited
        Nothing is written yet.

    Raises
    ------
    EdgefinderError
        If the edges are not there, or the job file could not be followed after it.
    """
    drawn = _read(path, tell)
    name = _piece(drawn, piece)
    said = settings_of(drawn.job, name)
    text = drawn.job.text
    with told_of(path):
        for word in words:
            text = tagged_text(text, drawn.job, name, word, tagging)
        if said.as_drawn is None:
            text = with_shape(text, name, drawn.job, drawn.sizes, drawn.carried)
        text = letters_kept(drawn.job, drawn.carried.sizes, text)
    edited = _checked(drawn, text)
    run = " ".join((tagging.run or "").split())
    is_new = all(not same_name(one.name, run) for one in drawn.job.runs)
    if is_new and any(is_open_loop(one, run) for one in edited.findings):
        return _checked(drawn, close_run(text, run))
    return edited


def untag_edges(
    path: Path, piece: str, words: Sequence[str], tell: Tell = silent
) -> Edited:
    """Take edges out of all rules of a job file that name them.

    A word without ``mirrored`` stands for the mirrored edge too.

    Raises
    ------
    EdgefinderError
        If no rule names one of them, or the job file could not be followed after it.
    """
    drawn = _read(path, tell)
    name = _piece(drawn, piece)
    said = settings_of(drawn.job, name)
    text = drawn.job.text
    mistakes = []
    with told_of(path):
        for word in words:
            without = untagged_text(text, said, name, word)
            if without == text:
                mistakes.append(
                    f'no rule names "{name} {word}"; '
                    f'"edgefinder tags {as_typed(path.name)}" says why each edge has '
                    "its finish"
                )
            text = without
        if mistakes:
            raise TagError(*mistakes)
        text = letters_kept(drawn.job, drawn.carried.sizes, text)
    return _checked(drawn, text)


def refresh_tags(path: Path, tell: Tell = silent) -> Edited:
    """Let the numbers in a job file be those of the drawing as it is now.

    Raises
    ------
    EdgefinderError
        If an edge cannot be told for sure, or the job file could not be followed
        after it.
    """
    drawn = _read(path, tell)
    text = drawn.job.text
    with told_of(path):
        text = refreshed_text(text, drawn.job, drawn.sizes, drawn.carried)
    return _checked(drawn, text)


def write_edited(edited: Edited) -> bytes:
    """Write a changed job file, unless another program has changed it meanwhile.

    Returns
    -------
    bytes
        What was written.

    Raises
    ------
    OutputError
        If it has, or if the file cannot be written.
    """
    has_mark = edited.data is not None and edited.data.startswith(BOM_UTF8)
    mark = BOM_UTF8 if has_mark else b""
    data = mark + edited.after.encode("utf-8")
    with alone_with(edited.path):
        if bytes_there(edited.path) != edited.data:
            raise OutputError(
                f"{edited.path}: has changed since it was read, and was left as it is "
                "now; save it in your editor and try again"
            )
        write_bytes(edited.path, data)
    return data


def _read(path: Path, tell: Tell) -> _Drawn:
    data = job_bytes(path)
    job = _job(path, text_of(path, data))
    sizes = read_pattern(job, tell=tell).sizes
    return _Drawn(data, job, sizes, carry_numbers(job, sizes))


def _job(path: Path, text: str) -> Job:
    job, mistakes = draft_text(path, text)
    if mistakes:
        raise SettingsError(*mistakes)
    return job


def _checked(drawn: _Drawn, text: str) -> Edited:
    """Hold a changed job file against its drawings before it is written."""
    path, before = drawn.job.path, drawn.job.text
    if text == before:
        return Edited(path, drawn.data, before, text, ())
    job = _job(path, text)
    known = make_tapes(drawn.job)[1]
    mistakes = [mistake for mistake in make_tapes(job)[1] if mistake not in known]
    is_same = job.finding == drawn.job.finding
    sizes = drawn.sizes if is_same else read_pattern(job).sizes
    try:
        carried = carry_numbers(job, sizes)
        tagged = tag_sizes(job, carried.sizes)
    except TagError as error:
        raise TagError(*mistakes, *error.messages) from error
    if mistakes:
        raise TagError(*mistakes)
    own = [finding for size in tagged for finding in size.findings]
    findings = dict.fromkeys([*_gone(drawn.job, job), *carried.findings, *own])
    return Edited(path, drawn.data, before, text, tuple(findings))


def _gone(before: Job, after: Job) -> list[Finding]:
    """Say which runs went with their last edge."""
    left = {run.name for run in after.runs}
    message = "has no edge left and is taken out, with all that was said of it"
    return [
        note("run-gone", f'runs "{run.name}"', message)
        for run in before.runs
        if run.name not in left
    ]


def _piece(drawn: _Drawn, piece: str) -> str:
    for name in drawn.names:
        if same_name(name, piece):
            return name
    near = did_you_mean(piece, drawn.names)
    raise TagError(f'{drawn.job.path}: there is no piece "{piece}"{near}')
