"""Widths, cloths and angles to choose from, for every tape of every size."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from edgefinder.binding.cloth import CLOTH_CLASSES, Cloth, find_cloth
from edgefinder.binding.fold_tools import ToolNeeded, tool_needed, widths_of_tools
from edgefinder.binding.runs import Run
from edgefinder.binding.tape import Tape
from edgefinder.classifier.job import Grain, Job, Origin
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
from edgefinder.schedule.telling import Tell, one_by_one, silent
from edgefinder.schedule.usual_widths import usual_widths


class By(StrEnum):
    """What is compared."""

    WIDTH = "finished width"
    CLOTH = "cloth"
    ANGLE = "angle to the warp"


class WidthSource(StrEnum):
    """Where the widths that are compared come from."""

    TYPED = "typed"
    JOB_FILE = "fold tools of the job file"
    OWN_LIST = "fold tools of your own list"
    USUAL = "usual widths"


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
    tools : tuple of (ToolNeeded or None)
        For each choice.
    has_own_tools : bool
        Whether it is said which fold tools there are.
    source : WidthSource or None
        None where it is not widths that are compared.
    widest : tuple of float or None
        Finished width that is easy all along each run, in millimetres; None where no
        curve limits it.
    """

    size: str
    tape: Tape
    runs: tuple[Run, ...]
    choices: tuple[Choice, ...]
    tools: tuple[ToolNeeded | None, ...]
    has_own_tools: bool
    source: WidthSource | None
    widest: tuple[float | None, ...]


def release_choices(
    release: Release,
    by: By,
    widths: Sequence[float] = (),
    tell: Tell = silent,
) -> tuple[TapeChoices, ...]:
    """Try widths, cloths or angles on the runs of every tape of every size.

    Parameters
    ----------
    release : Release
    by : By
    widths : sequence of float
        Finished widths in millimetres. If none is given, those that the person's
        fold tools make, else the usual ones.
    tell : Tell
        Told of every size.

    Raises
    ------
    SettingsError
        If angles are asked for, and no tape is cut on the bias; a tape that is not is
        left out.
    """
    found = []
    job = release.job
    for size in one_by_one(release.sizes, "comparing size", tell):
        for tape in _compared([row.tape for row in size.tapes], by, job):
            runs = tuple(r.run for r in size.runs if r.run.tape is tape)
            source, tried = _widths(job, tape, widths)
            choices = choose(_trials(job, runs[0], by, tried), runs)
            limits = tape.cloth.along(tape.grain)
            found.append(
                TapeChoices(
                    size=size.size,
                    tape=tape,
                    runs=runs,
                    choices=choices,
                    tools=tuple(
                        tool_needed(one.trial.width, tape.fold, job.fold_tools)
                        for one in choices
                    ),
                    has_own_tools=bool(job.fold_tools),
                    source=source if by is By.WIDTH else None,
                    widest=tuple(widest_everywhere(run.legs, limits) for run in runs),
                )
            )
    return tuple(found)


def _widths(
    job: Job, tape: Tape, typed: Sequence[float]
) -> tuple[WidthSource, Sequence[float]]:
    """Return the widths to try: typed, else of the person's tools, else the usual."""
    if typed:
        return WidthSource.TYPED, sorted(set(typed))
    made = widths_of_tools(tape.fold, job.fold_tools)
    if made:
        is_own = job.fold_tools[0].origin is Origin.OWN_LIST
        return WidthSource.OWN_LIST if is_own else WidthSource.JOB_FILE, made
    return WidthSource.USUAL, usual_widths(job)


def _trials(job: Job, run: Run, by: By, widths: Sequence[float]) -> list[Trial]:
    if by is By.WIDTH:
        return width_trials(run, widths)
    if by is By.CLOTH:
        return cloth_trials(run, _cloths(job))
    return angle_trials(run)


def _compared(tapes: Sequence[Tape], by: By, job: Job) -> list[Tape]:
    """Return the tapes for which there is something to compare."""
    if by is not By.ANGLE:
        return list(tapes)
    found = [tape for tape in tapes if tape.grain is Grain.BIAS]
    if tapes and not found:
        raise SettingsError(
            *(
                f'{job.path}: tapes "{tape.name}": is cut {tape.grain}; angles are '
                'compared for grain = "bias"'
                for tape in tapes
            )
        )
    return found


def _cloths(job: Job) -> list[Cloth]:
    """Return the person's own cloths and the classes, each name once."""
    names = [*(own.name for own in job.cloths), *(one.name for one in CLOTH_CLASSES)]
    found = {name.casefold(): find_cloth(name, job.cloths) for name in names}
    return list(found.values())
