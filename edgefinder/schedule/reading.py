"""From a job file to the tagged pieces of every size."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from edgefinder.binding.tape import Tape, make_tapes
from edgefinder.classifier.carrying import carry_numbers
from edgefinder.classifier.job import Finish, Job
from edgefinder.classifier.sizes import SizePieces, once_for_sizes, sort_by_size
from edgefinder.classifier.tagging import tag_sizes
from edgefinder.classifier.tags import TaggedSize
from edgefinder.errors import DrawingError, EdgefinderError, SettingsError, TagError
from edgefinder.findings import Finding
from edgefinder.importers.drawing import Drawing
from edgefinder.importers.formats import read_drawing
from edgefinder.importers.interchange.detection import detect_interchange
from edgefinder.memory import Memory
from edgefinder.pattern.finding import PiecesFound, find_pieces
from edgefinder.pattern.glued_sizes import without_glued_sizes
from edgefinder.pattern.naming import unused_size_names
from edgefinder.pattern.pieces import Piece
from edgefinder.pattern.settings import Dialect, FindingSettings
from edgefinder.schedule.telling import Tell, one_by_one, silent


@dataclass(frozen=True, slots=True, eq=False)
class PatternRead:
    """The pieces that the drawings of a job hold: by size, and each once."""

    job: Job
    sizes: tuple[SizePieces, ...]
    pieces: tuple[Piece, ...]
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True, eq=False)
class PatternTagged:
    """The pieces of a job with what happens to their edges, and the tapes."""

    job: Job
    sizes: tuple[TaggedSize, ...]
    tapes: tuple[Tape, ...]
    findings: tuple[Finding, ...]


def read_pattern(
    job: Job,
    *,
    unit_mm: float | None = None,
    test_square: float | None = None,
    dialect: Dialect | None = None,
    tell: Tell = silent,
) -> PatternRead:
    """Read the drawings of a job and find their pieces.

    Parameters
    ----------
    job : Job
    unit_mm : float or None
        Millimetres per drawing unit; takes the place of the job file's.
    test_square : float or None
        True side of the test square in millimetres; takes the place of the job file's.
    dialect : Dialect or None
        How a DXF is meant; takes the place of the job file's.
    tell : Tell
        Told of every drawing.

    Returns
    -------
    PatternRead

    Raises
    ------
    DrawingError
        With the mistakes of every drawing.
    """
    unit = unit_mm or job.unit_mm
    settings = job.finding
    if test_square is not None:
        settings = replace(settings, test_square=test_square)
    if dialect is not None:
        settings = replace(settings, dialect=dialect)
    found: list[tuple[Piece, ...]] = []
    findings: list[Finding] = []
    mistakes: list[str] = []
    for path in one_by_one(job.drawings, "reading drawing", tell):
        try:
            pieces = _pieces(path, unit, settings)
        except DrawingError as error:
            mistakes += error.messages
            continue
        found.append(pieces.pieces)
        findings += pieces.findings
    if mistakes:
        raise DrawingError(*mistakes)
    given = [name for name, _ in settings.names]
    sizes, compared = sort_by_size(without_glued_sizes(found, given))
    each = tuple(dict.fromkeys(p for size in sizes for p in size.pieces))
    drawn = (piece.size for pieces in found for piece in pieces)
    unused = unused_size_names(drawn, settings, str(job.path))
    return PatternRead(job, sizes, each, (*findings, *unused, *compared))


def _pieces(
    path: Path, unit_mm: float | None, settings: FindingSettings
) -> PiecesFound:
    """Read one drawing; a pattern interchange file says itself what its pieces are."""
    reading = read_drawing(path, unit_mm=unit_mm)
    if any(finding.code == "cut-short" for finding in reading.findings):
        raise DrawingError(
            f"{path}: is cut short: it ends in the middle of its drawing, so that "
            "pieces may be missing; export it again"
        )
    if not _is_interchange(reading.drawing, settings):
        return find_pieces(reading, settings)
    # Loaded here because other files, which are most, need not wait for it.
    from edgefinder.schedule.interchange import interchange_found  # noqa: PLC0415

    return interchange_found(path, reading, unit_mm, settings)


def _is_interchange(drawing: Drawing, settings: FindingSettings) -> bool:
    """Whether the layers and blocks of a drawing have the meaning of the standard."""
    if settings.dialect is not Dialect.AUTO:
        return settings.dialect is Dialect.INTERCHANGE
    # What says which lines are cut says that the layers do not.
    return not settings.cut_lines and detect_interchange(drawing)


@dataclass(frozen=True, slots=True, eq=False)
class Followed:
    """A job file held against its drawings, and every mistake on the way.

    Parameters
    ----------
    read : PatternRead or None
        None if a drawing cannot be read.
    tagged : PatternTagged or None
        None if a rule cannot be followed.
    mistakes : tuple of str
        Of the job file and of the drawings.
    missing : tuple of str
        What is still to be said before there is a schedule.
    kind : type of EdgefinderError
        Of the mistakes.
    """

    read: PatternRead | None
    tagged: PatternTagged | None
    mistakes: tuple[str, ...]
    missing: tuple[str, ...]
    kind: type[EdgefinderError]

    def whole(self) -> PatternTagged:
        """Return the tagged pieces if nothing is wrong and nothing is missing.

        Raises
        ------
        EdgefinderError
            With every mistake; with what is missing only where there are pieces.
        """
        is_drawn = self.read is not None and bool(self.read.pieces)
        told = (*self.mistakes, *(self.missing if is_drawn else ()))
        if self.tagged is None or told:
            raise self.kind(*told)
        return self.tagged


def follow(
    job: Job,
    wrong: Sequence[str] = (),
    read: Callable[[], PatternRead] | None = None,
    memory: Memory | None = None,
    tell: Tell = silent,
) -> Followed:
    """Hold a job file against its drawings as far as it goes.

    Parameters
    ----------
    job : Job
        With a harmless value in the place of every mistake.
    wrong : sequence of str
        The mistakes that were found when the job file was read.
    read : callable or None
        Reads the drawings; None for `read_pattern`.
    memory : Memory or None
        Of the same job file before.
    tell : Tell
        Told of every drawing.
    """
    mistakes = list(wrong)
    kind: type[EdgefinderError] = SettingsError
    pattern, tagged = None, None
    try:
        pattern = read_pattern(job, tell=tell) if read is None else read()
    except EdgefinderError as error:
        kind = DrawingError
        mistakes += error.messages
    tapes, of_tapes = make_tapes(job)
    mistakes += of_tapes
    # Where no drawing is named, which is told, every rule would be a mistake.
    if pattern is not None and (pattern.pieces or not wrong):
        tell("finding the edges that are meant", 1, 1)
        try:
            tagged = tag_read(pattern, tapes, memory)
        except TagError as error:
            kind = TagError
            mistakes += error.messages
    return Followed(
        pattern,
        tagged,
        tuple(dict.fromkeys(mistakes)),
        tuple(missing_parts(job)),
        SettingsError if wrong else kind,
    )


def tag_pattern(job: Job, tell: Tell = silent) -> PatternTagged:
    """Read the drawings of a job and tag the edges of their pieces for a schedule.

    Parameters
    ----------
    job : Job
    tell : Tell
        Told of every drawing.

    Returns
    -------
    PatternTagged

    Raises
    ------
    DrawingError, SettingsError, TagError
        With every mistake of the drawings, or of the job file against them; nothing
        bound is one.
    """
    return follow(job, tell=tell).whole()


def tag_unfinished(job: Job, tell: Tell = silent) -> PatternTagged:
    """Tag the edges of a job in which tapes or runs may still be missing.

    Raises
    ------
    DrawingError, TagError
        As `tag_pattern`.
    """
    read = read_pattern(job, tell=tell)
    tell("finding the edges that are meant", 1, 1)
    return tag_read(read, ())


def tag_read(
    read: PatternRead, tapes: tuple[Tape, ...], memory: Memory | None = None
) -> PatternTagged:
    """Tag the edges of pieces that have been read.

    Parameters
    ----------
    read : PatternRead
        With the job that its edges are tagged by.
    tapes : tuple of Tape
        Of the job.
    memory : Memory or None
        Of the same drawings before.

    Raises
    ------
    TagError
        With every mistake of the job file against its drawings.
    """
    memory = memory or Memory()
    # Rows are put together by the identity of their tape.
    tapes = tuple(
        memory.recall_all(
            [("tape", one) for one in tapes], lambda new: [tapes[i] for i in new]
        )
    )
    try:
        carried = carry_numbers(read.job, read.sizes, memory)
        sizes = tag_sizes(read.job, carried.sizes, memory)
    except TagError as error:
        said = once_for_sizes(error.messages, [size.size for size in read.sizes])
        raise TagError(*said) from error
    own = [finding for size in sizes for finding in size.findings]
    findings = (*read.findings, *carried.findings, *_grouped(own, sizes))
    return PatternTagged(read.job, sizes, tapes, findings)


def missing_parts(job: Job) -> list[str]:
    """Say what a job file lacks before a schedule can be made."""
    is_bound = any(
        rule.finish is Finish.BOUND for piece in job.pieces for rule in piece.rules
    )
    if not job.runs and not is_bound:
        message = (
            "no edge is bound: put bound edges into a run, with the tape that they are "
            "sewn with"
        )
        return [f"{job.path}: {message}"]
    if is_bound and not job.tapes:
        return [f"{job.path}: no tape is there: write one, [[tapes]]"]
    return []


def _grouped(findings: Sequence[Finding], sizes: Sequence[TaggedSize]) -> list[Finding]:
    """Say once what holds for every size."""
    return [
        replace(finding, where=f"{finding.where} (all sizes)")
        if findings.count(finding) == len(sizes) > 1
        else finding
        for finding in dict.fromkeys(findings)
    ]
