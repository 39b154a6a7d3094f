"""The schedule of a release: per size the runs, tapes, fabric and places to watch."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from edgefinder.binding.seam_check import seam_findings
from edgefinder.classifier.job import Job
from edgefinder.classifier.job_file import draft_job
from edgefinder.classifier.own_list import NOTHING, OwnList, with_own_list
from edgefinder.classifier.sizes import same_name
from edgefinder.curvature.corners import is_sharp
from edgefinder.errors import SettingsError, did_you_mean, told_of
from edgefinder.findings import Finding, warning
from edgefinder.memory import Memory
from edgefinder.schedule.cautions import run_cautions
from edgefinder.schedule.one_cuts import LargestSize, largest_sizes
from edgefinder.schedule.reading import PatternTagged, follow, tag_pattern
from edgefinder.schedule.scraps_there import scraps_there
from edgefinder.schedule.size_rows import SizeSchedule
from edgefinder.schedule.size_schedule import size_schedule, tokens_of_runs
from edgefinder.schedule.telling import Tell, one_by_one, silent
from edgefinder.units import Unit


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
    with told_of(f"{job.path}: fabric"):
        there = scraps_there(job.fabric, job.path.parent)
    said_of_runs = tokens_of_runs(pattern, memory)
    sizes = tuple(
        size_schedule(pattern, size, there.scraps, said_of_runs, memory)
        for size in one_by_one(pattern.sizes, "working out size", tell)
    )
    findings = (*pattern.findings, *_sharp_corners(sizes), *seams, *there.findings)
    return Release(job, sizes, run_cautions(job), findings)


def release_from_file(
    path: Path,
    own: OwnList = NOTHING,
    tell: Tell = silent,
    shown_in: Unit | None = None,
) -> Release:
    """Read a job file and work out its schedule.

    Parameters
    ----------
    path : Path
    own : OwnList
        The person's own cloths and tools.
    tell : Tell
        Told of every drawing and size.
    shown_in : Unit or None
        The unit of the reports, in place of the one in the file.

    Raises
    ------
    EdgefinderError
        With every mistake in the job file and in the drawings together.
    """
    job, mistakes = draft_job(path, shown_in)
    followed = follow(with_own_list(job, own), mistakes, tell=tell)
    return release_of(followed.whole(), tell)


def only_sizes(release: Release, names: Sequence[str]) -> Release:
    """Keep some sizes of a release; all of them if none is named.

    Parameters
    ----------
    release : Release
    names : sequence of str
        As they are typed: small letters will do where only one size is meant.

    Raises
    ------
    SettingsError
        If a size is not there.
    """
    known = [size.size for size in release.sizes]
    meant = {name: _size_meant(name, known) for name in names}
    missing = [name for name, size in meant.items() if size is None]
    if missing:
        raise SettingsError(
            *(
                f'--size: there is no size "{n}"{did_you_mean(n, known)}'
                for n in missing
            )
        )
    wanted = set(meant.values())
    kept = [size for size in release.sizes if not names or size.size in wanted]
    return replace(release, sizes=tuple(kept))


def _size_meant(name: str, known: Sequence[str]) -> str | None:
    if name in known:
        return name
    alike = [size for size in known if same_name(size, name)]
    return alike[0] if len(alike) == 1 else None


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
