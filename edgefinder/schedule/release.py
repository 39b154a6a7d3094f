"""The schedule of a release: per size the runs, tapes, fabric and places to watch."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from edgefinder.binding.laying import lay_runs
from edgefinder.binding.runs import Run
from edgefinder.binding.seam_check import seam_findings
from edgefinder.binding.tape import (
    USUAL_WIDTHS_INCH_MM,
    USUAL_WIDTHS_METRIC_MM,
    Tape,
)
from edgefinder.classifier.job import Job
from edgefinder.classifier.job_file import draft_job
from edgefinder.classifier.own_list import NOTHING, OwnList, with_own_list
from edgefinder.classifier.tags import TaggedSize
from edgefinder.curvature.corners import is_sharp
from edgefinder.curvature.judgement import RunJudgement, judge_run
from edgefinder.curvature.widths import WidthCount, count_places, widest_everywhere
from edgefinder.errors import EdgefinderError, SettingsError, did_you_mean
from edgefinder.findings import Finding, warning
from edgefinder.schedule.cautions import run_cautions
from edgefinder.schedule.reading import PatternTagged, tag_pattern
from edgefinder.yardage.cutting import Need
from edgefinder.yardage.methods import CuttingPlan, cut_everything
from edgefinder.yardage.packets import Packets, packets
from edgefinder.yardage.tape_length import TapeLength, tape_length


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
        Usual widths against places that are steam or too tight.
    """

    tape: Tape
    total: float
    plan: CuttingPlan
    packets: Packets | None
    widest: float | None
    widths: tuple[WidthCount, ...]


@dataclass(frozen=True, slots=True, eq=False)
class SizeSchedule:
    """Everything that is said about one size."""

    size: str
    tagged: TaggedSize
    runs: tuple[RunRow, ...]
    tapes: tuple[TapeRow, ...]


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


def make_release(job: Job) -> Release:
    """Work out the schedule of a job.

    Parameters
    ----------
    job : Job

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
    sizes = tuple(_size(pattern, size) for size in pattern.sizes)
    findings = (*pattern.findings, *_sharp_corners(sizes), *seams)
    return Release(job, sizes, run_cautions(job), findings)


def release_from_file(path: Path, own: OwnList = NOTHING) -> Release:
    """Read a job file and work out its schedule.

    Parameters
    ----------
    path : Path
    own : OwnList
        The person's own cloths and tools.

    Raises
    ------
    EdgefinderError
        With every mistake in the job file and in the drawings together.
    """
    job, mistakes = draft_job(path)
    job = with_own_list(job, own)
    if not mistakes:
        return make_release(job)
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


def _size(pattern: PatternTagged, size: TaggedSize) -> SizeSchedule:
    job = pattern.job
    runs = tuple(
        _run(judge_run(run), job)
        for run in lay_runs(size, pattern.tapes, job.finding.corner_angle)
    )
    used = [tape for tape in pattern.tapes if any(r.run.tape is tape for r in runs)]
    tapes = tuple(
        _tape(tape, [row for row in runs if row.run.tape is tape], job) for tape in used
    )
    return SizeSchedule(size.size, size, runs, tapes)


def _run(judged: RunJudgement, job: Job) -> RunRow:
    tape = judged.run.tape
    limits = tape.cloth.along(tape.grain)
    whole = tape_length(judged, job.seam_allowance, job.fabric.strip_seam)
    return RunRow(judged, whole, widest_everywhere(judged.run.legs, limits))


def _tape(tape: Tape, rows: Sequence[RunRow], job: Job) -> TapeRow:
    limits = tape.cloth.along(tape.grain)
    legs = [leg for row in rows for leg in row.run.legs]
    total = math.fsum(row.tape_to_cut for row in rows)
    usual = USUAL_WIDTHS_METRIC_MM if job.unit.is_metric else USUAL_WIDTHS_INCH_MM
    limited = [row.widest for row in rows if row.widest is not None]
    return TapeRow(
        tape=tape,
        total=total,
        plan=_plan(tape, total, job),
        packets=_packets(tape, rows, job),
        widest=min(limited, default=None),
        widths=tuple(count_places(legs, width, limits) for width in usual),
    )


def _plan(tape: Tape, total: float, job: Job) -> CuttingPlan:
    fabric = job.fabric
    try:
        return cut_everything(
            Need(
                length=total,
                cut_width=tape.cut_width,
                seam=fabric.strip_seam,
                usable_width=fabric.usable_width,
                grain=tape.grain,
                buy_step=fabric.buy_step,
                minimum_strip=fabric.shortest_strip,
            )
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
