"""The finished widths at which the places of a tape are counted."""

from collections.abc import Sequence

from edgefinder.binding.fold_tools import tool_needed, widths_of_tools
from edgefinder.binding.runs import Run
from edgefinder.binding.tape import (
    USUAL_WIDTHS_INCH_MM,
    USUAL_WIDTHS_METRIC_MM,
    Tape,
)
from edgefinder.classifier.job import Job
from edgefinder.curvature.widths import WidthCount, count_places
from edgefinder.memory import Memory


def usual_widths(job: Job) -> tuple[float, ...]:
    """Return the usual finished widths in the unit of a job, in millimetres."""
    return USUAL_WIDTHS_METRIC_MM if job.unit.is_metric else USUAL_WIDTHS_INCH_MM


def counted_widths(
    tape: Tape, runs: Sequence[Run], job: Job, memory: Memory
) -> tuple[WidthCount, ...]:
    """Count places at usual widths, and at those that the person's tools make.

    Parameters
    ----------
    tape : Tape
    runs : sequence of Run
        All runs of the tape.
    job : Job
    memory : Memory
        Only runs that changed are looked at again.

    Returns
    -------
    tuple of WidthCount
        Rising. A usual width that a tool of theirs makes near enough is left out: the
        width of that tool stands in its place.
    """
    tools = job.fold_tools
    made = widths_of_tools(tape.fold, tools)
    needed = {
        width: tool_needed(width, tape.fold, tools) for width in usual_widths(job)
    }
    others = [
        width for width, tool in needed.items() if tool is None or tool.own is None
    ]
    widths = sorted([*made, *others])
    each = _counts(runs, widths, tape, memory)
    sums = [
        (sum(one.steam for one in counts), sum(one.too_tight for one in counts))
        for counts in zip(*each, strict=True)
    ]
    own = [tool_needed(width, tape.fold, tools) for width in widths]
    return tuple(
        WidthCount(width, steam, too_tight, None if tool is None else tool.own)
        for width, (steam, too_tight), tool in zip(widths, sums, own, strict=True)
    )


def _counts(
    runs: Sequence[Run], widths: Sequence[float], tape: Tape, memory: Memory
) -> list[tuple[WidthCount, ...]]:
    """Count the places of every run at every width."""
    limits = tape.cloth.along(tape.grain)

    def make(missing: list[int]) -> list[tuple[WidthCount, ...]]:
        legs = [runs[i].legs for i in missing]
        return list(
            zip(*(count_places(legs, width, limits) for width in widths), strict=True)
        )

    said = memory.token((tuple(widths), limits))
    return memory.recall_all([("counted", run, said) for run in runs], make)
