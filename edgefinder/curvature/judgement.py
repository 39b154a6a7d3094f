"""Everything that the curves of one run come to."""

import math
from dataclasses import dataclass

from edgefinder.binding.runs import Run, RunCorner
from edgefinder.curvature.advice import PlaceReport, report_place
from edgefinder.curvature.corners import mitre_length
from edgefinder.curvature.feeding import feed_length
from edgefinder.curvature.places import find_places, scan


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


def judge_run(run: Run) -> RunJudgement:
    """Judge a run at the finished width of its tape."""
    tape = run.tape
    limits = tape.cloth.along(tape.grain)
    scans = [(leg, scan(leg, tape.finished_width, limits)) for leg in run.legs]
    mitres = [
        (corner, mitre_length(corner, tape.finished_width, run.settings.inside_corners))
        for corner in run.corners
    ]
    places = [
        report_place(place, tape)
        for leg, seen in scans
        for place in find_places(leg, seen)
    ]
    if run.is_against:  # in sewing order
        mitres.reverse()
        places.reverse()
    return RunJudgement(
        run=run,
        fed=math.fsum(
            feed_length(seen, tape.finished_width, limits) for _, seen in scans
        ),
        mitres=tuple(mitres),
        places=tuple(places),
    )
