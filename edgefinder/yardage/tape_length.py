"""How long a tape to cut for a run, every part of it a line of its own."""

import math
from dataclasses import dataclass
from typing import Final

from edgefinder.classifier.job import End, Join, RunSettings
from edgefinder.curvature.judgement import RunJudgement

ENDS_ON_GRAIN_PER_SEAM: Final = 2 * math.sqrt(2)
"""Two ends cut on the straight grain lie at 45 degrees to the strip: a seam of s on
each takes s sqrt 2 of its length."""


@dataclass(frozen=True, slots=True)
class TapeLength:
    """The tape of one pass of a run, in millimetres.

    Parameters
    ----------
    edge : float
        Joined length of the bound edges.
    feed : float
        Fed on top of it where inside curves need it.
    mitres : float
        Inside mitres.
    join : float
        Taken by joining the two ends of a closed run.
    tails : float
        Left loose at start and finish so that the ends can be joined flat.
    ends : float
        Turned under or caught in a seam, both ends of an open run.
    ties : float
        Tie lengths, their folded ends included.
    """

    edge: float
    feed: float
    mitres: float
    join: float
    tails: float
    ends: float
    ties: float

    @property
    def total(self) -> float:
        """Millimetres to cut."""
        return math.fsum(
            (
                self.edge,
                self.feed,
                self.mitres,
                self.join,
                self.tails,
                self.ends,
                self.ties,
            )
        )


def tape_length(
    judged: RunJudgement, seam_allowance: float, strip_seam: float
) -> TapeLength:
    """Add up the tape of one pass of a run.

    Parameters
    ----------
    judged : RunJudgement
    seam_allowance : float
        Of the seams that an end may be caught in, in millimetres.
    strip_seam : float
        Seam allowance of a join of two strips, in millimetres.

    Returns
    -------
    TapeLength
    """
    run = judged.run
    settings = run.settings
    join = tails = 0.0
    ends: tuple[End, ...] = (settings.start, settings.end)
    if settings.is_closed:
        ends = ()
        tails = 2 * settings.handling_tail
        join = (
            run.tape.cut_width
            if settings.join is Join.SQUARE
            else ENDS_ON_GRAIN_PER_SEAM * strip_seam
        )
    return TapeLength(
        edge=run.length,
        feed=judged.fed - run.length,
        mitres=math.fsum(extra for _, extra in judged.mitres),
        join=join,
        tails=tails,
        ends=math.fsum(_end(end, settings, seam_allowance) for end in ends),
        ties=math.fsum(_tie(end, settings) for end in ends),
    )


def _end(end: End, settings: RunSettings, seam_allowance: float) -> float:
    if end is End.IN_SEAM:
        return seam_allowance
    # A tie's own end is folded under like any other.
    return settings.turned_under


def _tie(end: End, settings: RunSettings) -> float:
    return settings.tie_length if end is End.TIES else 0.0
