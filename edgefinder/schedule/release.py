"""The schedule of a release: per size the runs, tapes, fabric and places to watch."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from edgefinder.binding.seam_check import seam_findings
from edgefinder.classifier.job import Job
from edgefinder.classifier.job_file import draft_job
from edgefinder.classifier.own_list import NOTHING, OwnList, with_own_list
from edgefinder.curvature.corners import is_sharp
from edgefinder.errors import (
    EdgefinderError,
    SettingsError,
    did_you_mean,
    of_no_name,
)
from edgefinder.findings import Finding, warning
from edgefinder.memory import Memory
from edgefinder.schedule.cautions import run_cautions
from edgefinder.schedule.one_cuts import LargestSize, largest_sizes
from edgefinder.schedule.reading import PatternTagged, tag_pattern
from edgefinder.schedule.scraps_there import ScrapsThere, scraps_there
from edgefinder.schedule.size_rows import SizeSchedule
from edgefinder.schedule.size_schedule import size_schedule
from edgefinder.schedule.telling import Tell, one_by_one, silent


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
        Told of every drawing and size.

    Returns
    -------
    Release

    Raises
    ------
    EdgefinderError
        With every mistake in the drawings, or in the job file against them.
    """
    return release_of(tag_pattern(job, tell), tell)


def release_of(
    pattern: PatternTagged, tell: Tell = silent, memory: Memory | None = None
) -> Release:
    """Work out the schedule of a pattern whose edges are tagged.

    Parameters
    ----------
    pattern : PatternTagged
    tell : Tell
        Told of every size.
    memory : Memory or None
        Of the same job file before; only what changed is worked out again.

    Returns
    -------
    Release

    Raises
    ------
    EdgefinderError
        With every mistake in the runs.
    """
    job = pattern.job
    memory = Memory() if memory is None else memory
    # First, because it tells the mistakes of all runs together.
    seams = seam_findings(pattern.sizes, str(job.path), memory)
    there = _there(job)
    sizes = tuple(
        size_schedule(pattern, size, there.scraps, memory)
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
        Told of every drawing and size.

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
            tag_pattern(job, tell)
        except EdgefinderError as error:
            # A name that is missing is a mistake already told, not an unknown one.
            found = tuple(line for line in error.messages if not of_no_name(line))
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
