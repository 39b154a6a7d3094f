"""A job worked out as far as it goes, with every mistake on the way."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

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
from edgefinder.errors import DrawingError, EdgefinderError
from edgefinder.findings import Finding
from edgefinder.memory import Memory
from edgefinder.schedule.drawn_shapes import refreshed_text, with_shape
from edgefinder.schedule.reading import (
    PatternRead,
    PatternTagged,
    follow,
    read_pattern,
    tag_read,
)
from edgefinder.schedule.release import Release, release_of
from edgefinder.schedule.sources import Stamps, drawing_files, source_files, stamps
from edgefinder.schedule.telling import Tell, silent


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
        Of the job file and of the drawings, without what is in doubt.
    missing : tuple of str
        What is still to be said before there is a schedule.
    findings : tuple of Finding
    stamps : Stamps
        Of all files that were read, taken before the first one was.
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
    stamps: Stamps
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
    before = stamps(source_files(job))
    followed = follow(job, wrong, partial(_read, job, memory, tell), memory, tell)
    read, tagged, release = followed.read, followed.tagged, None
    mistakes, missing = list(followed.mistakes), followed.missing
    doubts: tuple[EdgeInDoubt, ...] = ()
    if tagged is not None and not mistakes and not missing:
        try:
            release = release_of(tagged, tell, memory)
        except EdgefinderError as error:
            mistakes += error.messages
    if tagged is None and read is not None:
        doubts = _doubts(read, memory)
        asked = [f"{job.path}: {one.message}" for one in doubts]
        told = once_for_sizes(asked, [size.size for size in read.sizes])
        mistakes = [line for line in mistakes if line not in told]
        tagged = _bare(read, memory)
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
        before,
        doubts,
    )


def _read(job: Job, memory: Memory, tell: Tell) -> PatternRead:
    """Read drawings unless they and how they are read are as before."""
    drawn = stamps(drawing_files(job))
    key = ("read", drawn, job.unit_mm, job.finding, job.path)
    read = memory.recall(key, lambda: read_pattern(job, tell=tell))
    return replace(read, job=job)


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
