"""A job worked out as far as it goes, with every mistake on the way."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import TypeVar

from edgefinder.binding.tape import make_tapes
from edgefinder.classifier.carrying import (
    Carried,
    EdgeInDoubt,
    InDoubtError,
    carry_numbers,
)
from edgefinder.classifier.edges_meant import MarkedPiece
from edgefinder.classifier.job import Job
from edgefinder.classifier.job_file import draft_text
from edgefinder.classifier.own_list import OwnList, with_own_list
from edgefinder.classifier.sizes import once_for_sizes
from edgefinder.classifier.tagging import marked_pieces, settings_of
from edgefinder.errors import DrawingError, EdgefinderError, of_no_name
from edgefinder.findings import Finding
from edgefinder.memory import Memory
from edgefinder.schedule.drawn_shapes import refreshed_text, with_shape
from edgefinder.schedule.reading import (
    PatternRead,
    PatternTagged,
    missing_parts,
    read_pattern,
    tag_read,
)
from edgefinder.schedule.release import Release, release_of
from edgefinder.schedule.telling import Tell, silent

Made = TypeVar("Made")


@dataclass(frozen=True, slots=True, eq=False)
class Draft:
    """A job as far as it can be worked out.

    Parameters
    ----------
    job : Job
        With a harmless value in the place of every mistake.
    read : PatternRead or None
        None if a drawing cannot be read.
    tagged : PatternTagged or None
        Without the rules of the job file if they cannot be followed.
    release : Release or None
        None while anything is missing or wrong.
    mistakes : tuple of str
        Of the job file and of the drawings.
    missing : tuple of str
        What is still to be said before there is a schedule.
    findings : tuple of Finding
    doubts : tuple of EdgeInDoubt
        Edges of which the person must say what they are in some size.
    """

    job: Job
    read: PatternRead | None
    tagged: PatternTagged | None
    release: Release | None
    mistakes: tuple[str, ...]
    missing: tuple[str, ...]
    findings: tuple[Finding, ...]
    doubts: tuple[EdgeInDoubt, ...] = ()

    @property
    def sizes(self) -> tuple[str, ...]:
        """The names of the sizes."""
        return () if self.read is None else tuple(one.size for one in self.read.sizes)

    def marked(self, memory: Memory, size: str) -> dict[str, tuple[MarkedPiece, ...]]:
        """Return every piece in every size, one size first; see `marked_pieces`.

        Raises
        ------
        TagError
            If an edge cannot be told for sure.
        """
        carried = self.carried(memory)
        return marked_pieces(self.job, carried.sizes, memory, size)

    def carried(self, memory: Memory) -> Carried:
        """Return the pieces with the numbers of the job file.

        Raises
        ------
        DrawingError
            If the drawings cannot be read.
        TagError
            If an edge cannot be told for sure.
        """
        if self.read is None:
            raise DrawingError(*self.mistakes)
        return carry_numbers(self.job, self.read.sizes, memory)

    def refreshed(self, text: str, memory: Memory) -> str:
        """Let the numbers in the job file be those of the drawing as it is now."""
        carried = self.carried(memory)
        sizes = () if self.read is None else self.read.sizes
        return refreshed_text(text, self.job, sizes, carried)

    def with_shapes(self, text: str, names: Iterable[str], memory: Memory) -> str:
        """Keep how pieces are drawn of which the job file does not know it yet."""
        carried = self.carried(memory)
        sizes = () if self.read is None else self.read.sizes
        for name in names:
            if settings_of(self.job, name).as_drawn is None:
                text = with_shape(text, name, self.job, sizes, carried)
        return text


def work_out(
    path: Path, text: str, own: OwnList, memory: Memory, tell: Tell = silent
) -> Draft:
    """Work out a job file as far as it goes.

    Parameters
    ----------
    path : Path
        Of the job file; it need not hold the text.
    text : str
    own : OwnList
        The person's own cloths and tools.
    memory : Memory
        Of the same job file before; only what changed is worked out again.
    tell : Tell
        Told of every drawing and size.

    Returns
    -------
    Draft

    Raises
    ------
    SettingsError
        If the text is not TOML.
    """
    drafted, wrong = draft_text(path, text)
    job = with_own_list(drafted, own)
    tapes, tape_mistakes = make_tapes(job)
    mistakes = [*wrong, *tape_mistakes]
    missing = tuple(missing_parts(job))
    read = _tried(lambda: _read(job, memory, tell), mistakes)
    tagged, release = None, None
    doubts: tuple[EdgeInDoubt, ...] = ()
    if read is not None:
        sizes = [size.size for size in read.sizes]
        tagged = _tried(partial(tag_read, read, tapes, memory), mistakes, sizes)
        if tagged is not None and not mistakes and not missing:
            release = _tried(partial(release_of, tagged, tell, memory), mistakes, sizes)
        doubts = () if tagged else _doubts(read, memory)
        tagged = tagged or _bare(read, memory)
    found = release or tagged or read
    findings = () if found is None else found.findings
    return Draft(
        job,
        read,
        tagged,
        release,
        tuple(dict.fromkeys(mistakes)),
        missing,
        findings,
        doubts,
    )


def _read(job: Job, memory: Memory, tell: Tell) -> PatternRead:
    """Read drawings unless they and how they are read are as before."""
    key = ("read", drawing_stamps(job), job.unit_mm, job.finding, job.path)
    read = memory.recall(key, lambda: read_pattern(job, tell=tell))
    return replace(read, job=job)


Stamp = tuple[int, int, int] | None
"""What changes when a file is written; None if it is not there."""


def drawing_stamps(job: Job) -> tuple[tuple[Path, Stamp], ...]:
    """Return something for every drawing of a job that changes when it is written."""
    return tuple((path, _stamp(path)) for path in job.drawings)


def _stamp(path: Path) -> Stamp:
    try:
        there = path.stat()
    except (OSError, ValueError):
        return None  # told when it is read
    return there.st_mtime_ns, there.st_size, there.st_ino


def _doubts(read: PatternRead, memory: Memory) -> tuple[EdgeInDoubt, ...]:
    try:
        carry_numbers(read.job, read.sizes, memory)
    except InDoubtError as error:
        return error.doubts
    return ()


def _bare(read: PatternRead, memory: Memory) -> PatternTagged | None:
    """Return the pieces with none of the rules that cannot be followed."""
    job = read.job
    plain = tuple(
        replace(piece, rules=(), fold_edge=None, allowances=()) for piece in job.pieces
    )
    for pieces in (plain, ()):
        try:
            bare = replace(read, job=replace(job, pieces=pieces, runs=()))
            return tag_read(bare, (), memory)
        except EdgefinderError:
            continue
    return None


def _tried(
    make: Callable[[], Made], mistakes: list[str], sizes: Sequence[str] = ()
) -> Made | None:
    """Return what can be made, or put what is wrong with the other mistakes."""
    try:
        return make()
    except EdgefinderError as error:
        # A name that is missing is a mistake already told, not an unknown one.
        said = [line for line in error.messages if not of_no_name(line)]
        mistakes += once_for_sizes(said, sizes) if sizes else said
        return None
