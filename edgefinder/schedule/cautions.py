"""Safety lines, said where they concern the job."""

from collections.abc import Collection, Iterable
from typing import Final

from edgefinder.classifier.job import End, Job, RunSettings, Wearer

SEWN_CHILD_TIES: Final = (
    "ties on children's clothing: no cords or ties at the neck or hood in sizes 2T to "
    "12; at waist or hem at most 75 mm (3 in) outside the channel in sizes 2T to 16 "
    "(ASTM F1816-18; 16 CFR 1120). In Europe EN 14682 applies up to 14 years: no neck "
    "cords up to 7 years"
)
"""ASTM F1816-18; 16 CFR 1120; EN 14682 as of its 2007 edition."""

CHILD_TIES: Final = f"{SEWN_CHILD_TIES}. Check the rules in force where you sell"

SEWN_ADULT_TIES: Final = (
    "ties: leave them off if you sew this for a child; cords at the neck can catch"
)
"""The hazard behind ASTM F1816-18 and EN 14682, in words for whoever sews."""

ADULT_TIES: Final = (
    'ties: if this is children\'s clothing, write wearer = "child" and see the rules '
    "on cords where you sell (ASTM F1816-18, 16 CFR 1120, EN 14682)"
)

CUTTER: Final = (
    "rotary cutter: close the blade after every cut, cut away from you, keep the "
    "ruler between blade and hand"
)
"""Usual caution of sewing manuals."""

SCISSORS: Final = (
    "scissors: cut away from the hand that holds the cloth; shut them before you lay "
    "them down"
)
"""Usual caution of sewing manuals; common practice."""

IRON: Final = (
    "iron: narrow tape under steam burns fingers; hold it with a tool or a pin"
)
"""Usual caution of sewing manuals; common practice."""


def run_cautions(job: Job) -> tuple[str, ...]:
    """Return the safety lines for the maker: ties if any, cutting, pressing."""
    return _cautions(job, job.runs, CHILD_TIES, ADULT_TIES)


def sewing_cautions(job: Job, names: Collection[str]) -> tuple[str, ...]:
    """Return the safety lines for whoever sews some of the runs of a job.

    Parameters
    ----------
    job : Job
    names : collection of str
        Of the runs.
    """
    runs = [run for run in job.runs if run.name in names]
    return _cautions(job, runs, SEWN_CHILD_TIES, SEWN_ADULT_TIES)


def _cautions(
    job: Job, runs: Iterable[RunSettings], child_ties: str, adult_ties: str
) -> tuple[str, ...]:
    with_ties = [
        run.name
        for run in runs
        if not run.is_closed and End.TIES in {run.start, run.end}
    ]
    cautions = [CUTTER, IRON]
    if with_ties and job.wearer is not Wearer.NOT_WORN:
        listed = ", ".join(f'"{name}"' for name in with_ties)
        line = child_ties if job.wearer is Wearer.CHILD else adult_ties
        what = f"run {listed} ends" if len(with_ties) == 1 else f"runs {listed} end"
        cautions.insert(0, f"{what} in {line}")
    return tuple(cautions)
