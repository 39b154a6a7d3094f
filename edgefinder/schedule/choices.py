"""Widths, cloths and angles to choose from, for every tape of every size."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from edgefinder.binding.cloth import CLOTH_CLASSES, find_cloth
from edgefinder.binding.runs import Run
from edgefinder.binding.tape import (
    USUAL_WIDTHS_INCH_MM,
    USUAL_WIDTHS_METRIC_MM,
    Tape,
)
from edgefinder.classifier.job import Grain, Job
from edgefinder.curvature.choosing import (
    Choice,
    Trial,
    angle_trials,
    choose,
    cloth_trials,
    width_trials,
)
from edgefinder.curvature.widths import widest_everywhere
from edgefinder.errors import SettingsError
from edgefinder.schedule.release import Release


class By(StrEnum):
    """What is compared."""

    WIDTH = "finished width"
    CLOTH = "cloth"
    ANGLE = "angle to the warp"


@dataclass(frozen=True, slots=True, eq=False)
class TapeChoices:
    """What can be chosen for one tape in one size.

    Parameters
    ----------
    size : str
    tape : Tape
    runs : tuple of Run
    choices : tuple of Choice
        The one wanted most first.
    widest : tuple of float or None
        Finished width that is easy all along each run, in millimetres; None where no
        curve limits it.
    """

    size: str
    tape: Tape
    runs: tuple[Run, ...]
    choices: tuple[Choice, ...]
    widest: tuple[float | None, ...]


def release_choices(
    release: Release, by: By, widths: Sequence[float] = ()
) -> tuple[TapeChoices, ...]:
    """Try widths, cloths or angles on the runs of every tape of every size.

    Parameters
    ----------
    release : Release
    by : By
    widths : sequence of float
        Finished widths in millimetres; the usual ones if none is given.

    Raises
    ------
    SettingsError
        If angles are asked for a tape that is cut along a straight grain.
    """
    found = []
    for size in release.sizes:
        for row in size.tapes:
            runs = tuple(r.run for r in size.runs if r.run.tape is row.tape)
            trials = _trials(release.job, runs[0], by, widths)
            limits = row.tape.cloth.along(row.tape.grain)
            widest = tuple(widest_everywhere(run.legs, limits) for run in runs)
            choices = choose(trials, runs)
            found.append(TapeChoices(size.size, row.tape, runs, choices, widest))
    return tuple(found)


def _trials(job: Job, run: Run, by: By, widths: Sequence[float]) -> list[Trial]:
    if by is By.WIDTH:
        usual = USUAL_WIDTHS_METRIC_MM if job.unit.is_metric else USUAL_WIDTHS_INCH_MM
        return width_trials(run, sorted(set(widths or usual)))
    if by is By.CLOTH:
        own = [find_cloth(cloth.name, job.cloths) for cloth in job.cloths]
        names = {cloth.name for cloth in own}
        others = [cloth for cloth in CLOTH_CLASSES if cloth.name not in names]
        return cloth_trials(run, [*own, *others])
    if run.tape.grain is not Grain.BIAS:
        raise SettingsError(
            f'{job.path}: tapes "{run.tape.name}": is cut {run.tape.grain}; angles are '
            'compared for grain = "bias"'
        )
    return angle_trials(run)
