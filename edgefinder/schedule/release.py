"""The schedule of a release: per size the runs, tapes, fabric and places to watch."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from edgefinder.binding.laying import lay_runs
from edgefinder.binding.runs import Run
from edgefinder.binding.seam_check import seam_findings
from edgefinder.binding.tape import (
    Tape,
)
from edgefinder.classifier.job import Job
from edgefinder.classifier.job_file import draft_job
from edgefinder.classifier.own_list import NOTHING, OwnList, with_own_list
from edgefinder.classifier.tags import TaggedSize
from edgefinder.curvature.corners import is_sharp
from edgefinder.curvature.judgement import RunJudgement, judge_runs
from edgefinder.curvature.widths import WidthCount, widest_everywhere
from edgefinder.errors import EdgefinderError, SettingsError, did_you_mean
from edgefinder.findings import Finding, warning
from edgefinder.schedule.avoid import Begin, Pass, TapeWay, avoided_places, tape_way
from edgefinder.schedule.cautions import run_cautions
from edgefinder.schedule.fabric_need import fabric_need, widths_of
from edgefinder.schedule.one_cuts import (
    GrainCut,
    LargestSize,
    TapeToCut,
    grain_cuts,
    largest_sizes,
)
from edgefinder.schedule.reading import PatternTagged, tag_pattern
from edgefinder.schedule.scraps_there import ScrapsThere, scraps_there
from edgefinder.schedule.telling import Tell, one_by_one, silent
from edgefinder.schedule.usual_widths import counted_widths
from edgefinder.yardage.buying_table import WidthRows, buying_table
from edgefinder.yardage.from_rectangle import FromRectangle, from_rectangle
from edgefinder.yardage.methods import CuttingPlan, cut_everything
from edgefinder.yardage.one_cut import WantedTape
from edgefinder.yardage.packets import Packets, packets
from edgefinder.yardage.scraps import Scrap, ScrapCover, least_scraps
from edgefinder.yardage.tape_length import TapeLength, tape_length
from edgefinder.yardage.tape_run import TapeRun


@dataclass(frozen=True, slots=True, eq=False)
class RunRow:
    """One run in one size.

    Parameters
    ----------
    judged : RunJudgement
    tape_length : TapeLength
        Of one pass; the run is sewn ``settings.times`` times.
    widest : float or None
        Millimetres of finished width that lie flat everywhere along it; None where
        no curve limits it.
    """

    judged: RunJudgement
    tape_length: TapeLength
    widest: float | None

    @property
    def run(self) -> Run:
        """The run itself."""
        return self.judged.run

    @property
    def tape_to_cut(self) -> float:
        """Millimetres of tape for all passes."""
        return self.tape_length.total * self.run.settings.times


@dataclass(frozen=True, slots=True, eq=False)
class TapeRow:
    """One tape in one size.

    Parameters
    ----------
    tape : Tape
    total : float
        Millimetres for all runs of it.
    plan : CuttingPlan
        Every way to cut it from the job's fabric.
    packets : Packets or None
        For ready-made tape.
    widest : float or None
        Millimetres of finished width that lie flat along all of its runs; None
        where no curve limits it.
    widths : tuple of WidthCount
        Usual widths, and those of the person's fold tools, against places that are
        steam or too tight.
    cloths : tuple of WidthRows
        What to buy of cloth of other widths, where the job asks for it.
    begins : tuple of Begin
        Where loops are begun so that no join lies where it must not.
    passes : tuple of Begin
        Where along the joined tape every pass begins; empty where it does not matter.
    rectangle : FromRectangle or None
        What the piece of cloth gives that the job says is there.
    scraps : ScrapCover or None
        The same of scraps.
    """

    tape: Tape
    total: float
    plan: CuttingPlan
    packets: Packets | None
    widest: float | None
    widths: tuple[WidthCount, ...]
    cloths: tuple[WidthRows, ...] = ()
    begins: tuple[Begin, ...] = ()
    passes: tuple[Begin, ...] = ()
    rectangle: FromRectangle | None = None
    scraps: ScrapCover | None = None


@dataclass(frozen=True, slots=True, eq=False)
class SizeSchedule:
    """Everything that is said about one size."""

    size: str
    tagged: TaggedSize
    runs: tuple[RunRow, ...]
    tapes: tuple[TapeRow, ...]
    cuts: tuple[GrainCut, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Release:
    """The schedule of a pattern release.

    Parameters
    ----------
    job : Job
    sizes : tuple of SizeSchedule
    cautions : tuple of str
        Safety lines that concern this job.
    findings : tuple of Finding
    """

    job: Job
    sizes: tuple[SizeSchedule, ...]
    cautions: tuple[str, ...]
    findings: tuple[Finding, ...]

    @property
    def largest(self) -> tuple[LargestSize, ...]:
        """The sizes that buy most, for the back cover."""
        return largest_sizes([(size.size, size.cuts) for size in self.sizes])


def make_release(job: Job, tell: Tell = silent) -> Release:
    """Work out the schedule of a job.

    Parameters
    ----------
    job : Job
    tell : Tell
        Told of every size.

    Returns
    -------
    Release

    Raises
    ------
    EdgefinderError
        With every mistake in the drawings, or in the job file against them.
    """
    pattern = tag_pattern(job)
    # First, because it tells the mistakes of all runs together.
    seams = seam_findings(pattern.sizes, str(job.path))
    there = _there(job)
    sizes = tuple(
        _size(pattern, size, there.scraps)
        for size in one_by_one(pattern.sizes, "working out size", tell)
    )
    findings = (*pattern.findings, *_sharp_corners(sizes), *seams, *there.findings)
    return Release(job, sizes, run_cautions(job), findings)


def _there(job: Job) -> ScrapsThere:
    try:
        return scraps_there(job.fabric, job.path.parent)
    except SettingsError as error:
        lines = [f"{job.path}: fabric: {line}" for line in error.messages]
        raise SettingsError(*lines) from error


def release_from_file(
    path: Path, own: OwnList = NOTHING, tell: Tell = silent
) -> Release:
    """Read a job file and work out its schedule.

    Parameters
    ----------
    path : Path
    own : OwnList
        The person's own cloths and tools.
    tell : Tell
        Told of every size.

    Raises
    ------
    EdgefinderError
        With every mistake in the job file and in the drawings together.
    """
    job, mistakes = draft_job(path)
    job = with_own_list(job, own)
    if not mistakes:
        return make_release(job, tell)
    found: tuple[str, ...] = ()
    if job.drawings:
        try:
            tag_pattern(job)
        except EdgefinderError as error:
            # A name that is missing is a mistake already told, not an unknown one.
            found = tuple(line for line in error.messages if '""' not in line)
    raise SettingsError(*dict.fromkeys((*mistakes, *found)))


def only_sizes(release: Release, names: Sequence[str]) -> Release:
    """Keep some sizes of a release; all of them if none is named.

    Raises
    ------
    SettingsError
        If a size is not there.
    """
    known = [size.size for size in release.sizes]
    missing = [name for name in names if name not in known]
    if missing:
        raise SettingsError(
            *(
                f'--size: there is no size "{n}"{did_you_mean(n, known)}'
                for n in missing
            )
        )
    kept = [size for size in release.sizes if not names or size.size in names]
    return replace(release, sizes=tuple(kept))


def _sharp_corners(sizes: Sequence[SizeSchedule]) -> list[Finding]:
    return [
        warning(
            "sharp-corner",
            f'run "{row.run.name}" (size {size.size})',
            f"the outside corner after {corner.edge.finished.piece.name} "
            f"{corner.edge.finished.edge.label} turns {math.degrees(corner.turn):.0f} "
            "degrees: the folded layers stack up; trim them or round the corner",
        )
        for size in sizes
        for row in size.runs
        for corner in row.run.corners
        if is_sharp(corner)
    ]


def _size(
    pattern: PatternTagged, size: TaggedSize, scraps: Sequence[Scrap]
) -> SizeSchedule:
    job = pattern.job
    laid = lay_runs(size, pattern.tapes, job.finding.corner_angle)
    runs = tuple(_run(judged, job) for judged in judge_runs(laid))
    used = [tape for tape in pattern.tapes if any(r.run.tape is tape for r in runs)]
    tapes = tuple(
        _tape(
            tape, [row for row in runs if row.run.tape is tape], pattern, size, scraps
        )
        for tape in used
    )
    return SizeSchedule(size.size, size, runs, tapes, _cuts(tapes))


def _cuts(tapes: Sequence[TapeRow]) -> tuple[GrainCut, ...]:
    return grain_cuts(
        [
            TapeToCut(
                WantedTape(row.tape.name, row.plan.need),
                row.tape.cloth.name,
                row.tape.grain,
                row.plan.least_cloth,
            )
            for row in tapes
        ]
    )


def _run(judged: RunJudgement, job: Job) -> RunRow:
    tape = judged.run.tape
    limits = tape.cloth.along(tape.grain)
    whole = tape_length(judged, job.seam_allowance, job.fabric.strip_seam)
    return RunRow(judged, whole, widest_everywhere(judged.run.legs, limits))


def _tape(
    tape: Tape,
    rows: Sequence[RunRow],
    pattern: PatternTagged,
    size: TaggedSize,
    scraps: Sequence[Scrap],
) -> TapeRow:
    job = pattern.job
    legs = [leg for row in rows for leg in row.run.legs]
    total = math.fsum(row.tape_to_cut for row in rows)
    limited = [row.widest for row in rows if row.widest is not None]
    way = tape_way(_passes(rows, pattern, size))
    plan = _plan(tape, total, job, way.run)
    return TapeRow(
        tape=tape,
        total=total,
        plan=plan,
        packets=_packets(tape, rows, job),
        widest=min(limited, default=None),
        widths=counted_widths(tape, legs, job),
        cloths=buying_table(plan.need, widths_of(job.fabric)),
        begins=_begins(way, plan),
        passes=way.passes,
        rectangle=_rectangle(plan, job),
        scraps=_scraps(plan, scraps),
    )


def _rectangle(plan: CuttingPlan, job: Job) -> FromRectangle | None:
    piece = job.fabric.rectangle
    return None if piece is None else from_rectangle(plan.need, *piece)


def _scraps(plan: CuttingPlan, scraps: Sequence[Scrap]) -> ScrapCover | None:
    if not scraps:
        return None
    need = plan.need
    return least_scraps(scraps, need, may_turn=not need.one_way)


def _passes(
    rows: Sequence[RunRow], pattern: PatternTagged, size: TaggedSize
) -> list[Pass]:
    """List every pass of every run of a tape, with the places to avoid."""
    passes: list[Pass] = []
    mistakes: list[str] = []
    for row in rows:
        try:
            places = avoided_places(row.judged, size, pattern.sizes, pattern.job)
        except SettingsError as error:
            mistakes += error.messages
            continue
        one = Pass(row.judged, row.tape_length, places)
        passes += [one] * row.run.settings.times
    if mistakes:
        raise SettingsError(*mistakes)
    return passes


def _begins(way: TapeWay, plan: CuttingPlan) -> tuple[Begin, ...]:
    """Say where loops begin; that of a single loop is found with its strips."""
    best = plan.least_cloth
    if way.loop and best is not None and best.order is not None and best.order.start:
        return (Begin(way.loop, best.order.start),)
    return way.begins


def _plan(tape: Tape, total: float, job: Job, run: TapeRun | None) -> CuttingPlan:
    try:
        return cut_everything(
            fabric_need(job.fabric, total, tape.cut_width, tape.grain, run)
        )
    except SettingsError as error:
        lines = [f'{job.path}: tapes "{tape.name}": {m}' for m in error.messages]
        raise SettingsError(*lines) from error


def _packets(tape: Tape, rows: Sequence[RunRow], job: Job) -> Packets | None:
    if tape.packet_length is None:
        return None
    needs = [
        row.tape_length.total for row in rows for _ in range(row.run.settings.times)
    ]
    try:
        return packets(needs, tape.packet_length, tape.cut_width)
    except SettingsError as error:
        lines = [f'{job.path}: tapes "{tape.name}": {m}' for m in error.messages]
        raise SettingsError(*lines) from error
