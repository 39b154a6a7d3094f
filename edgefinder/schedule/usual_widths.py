"""The finished widths at which the places of a tape are counted."""

from collections.abc import Sequence
from dataclasses import replace

from edgefinder.binding.fold_tools import tool_needed, widths_of_tools
from edgefinder.binding.runs import Leg
from edgefinder.binding.tape import (
    USUAL_WIDTHS_INCH_MM,
    USUAL_WIDTHS_METRIC_MM,
    Tape,
)
from edgefinder.classifier.job import Job
from edgefinder.curvature.widths import WidthCount, count_places


def usual_widths(job: Job) -> tuple[float, ...]:
    """Return the usual finished widths in the unit of a job, in millimetres."""
    return USUAL_WIDTHS_METRIC_MM if job.unit.is_metric else USUAL_WIDTHS_INCH_MM


def counted_widths(tape: Tape, legs: Sequence[Leg], job: Job) -> tuple[WidthCount, ...]:
    """Count places at usual widths, and at those that the person's tools make.

    Parameters
    ----------
    tape : Tape
    legs : sequence of Leg
        Of all runs of the tape.
    job : Job

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
    limits = tape.cloth.along(tape.grain)
    counts = [count_places(legs, width, limits) for width in sorted([*made, *others])]
    return tuple(_with_tool(count, tape, job) for count in counts)


def _with_tool(count: WidthCount, tape: Tape, job: Job) -> WidthCount:
    needed = tool_needed(count.width, tape.fold, job.fold_tools)
    return replace(count, tool=None if needed is None else needed.own)
