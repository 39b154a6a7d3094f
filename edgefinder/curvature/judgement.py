"""Everything that the curves of runs come to."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import islice

from edgefinder.binding.runs import Run, RunCorner
from edgefinder.binding.tape import Tape
from edgefinder.curvature.advice import PlaceReport, report_places
from edgefinder.curvature.corners import mitre_length
from edgefinder.curvature.feeding import feed_lengths
from edgefinder.curvature.places import find_places
from edgefinder.curvature.scanning import scan


@dataclass(frozen=True, slots=True, eq=False)
class RunJudgement:
    """How the tape of a run lies.

    Parameters
    ----------
    run : Run
    fed : float
        Tape fed along the legs, in millimetres; the edge's own length where it lies
        at a feed of 1.
    mitres : tuple of (RunCorner, float)
        Every corner with the extra tape that it takes, in millimetres, in sewing order.
    places : tuple of PlaceReport
        That do not lie flat, in sewing order.
    """

    run: Run
    fed: float
    mitres: tuple[tuple[RunCorner, float], ...]
    places: tuple[PlaceReport, ...]


def judge_runs(runs: Sequence[Run]) -> tuple[RunJudgement, ...]:
    """Judge runs, each at the finished width of its tape; those of one tape at once."""
    by_tape: dict[Tape, list[int]] = {}
    for number, run in enumerate(runs):
        by_tape.setdefault(run.tape, []).append(number)
    found = {
        number: judgement
        for numbers in by_tape.values()
        for number, judgement in zip(
            numbers, _judge([runs[i] for i in numbers]), strict=True
        )
    }
    return tuple(found[number] for number in range(len(runs)))


def _judge(runs: Sequence[Run]) -> list[RunJudgement]:
    """Judge the runs of one tape."""
    tape = runs[0].tape
    limits = tape.cloth.along(tape.grain)
    seen = scan([leg for run in runs for leg in run.legs], tape.finished_width, limits)
    places = find_places(seen)
    reports = iter(report_places([place for leg in places for place in leg], tape))
    counts = iter([len(leg) for leg in places])
    fed = iter(feed_lengths(seen, limits).tolist())
    return [
        _judgement(
            run,
            math.fsum(islice(fed, len(run.legs))),
            list(islice(reports, sum(islice(counts, len(run.legs))))),
        )
        for run in runs
    ]


def _judgement(run: Run, fed: float, reports: list[PlaceReport]) -> RunJudgement:
    tape = run.tape
    mitres = [
        (corner, mitre_length(corner, tape.finished_width, run.settings.inside_corners))
        for corner in run.corners
    ]
    if run.is_against:  # in sewing order
        mitres.reverse()
        reports.reverse()
    return RunJudgement(run, fed, tuple(mitres), tuple(reports))
