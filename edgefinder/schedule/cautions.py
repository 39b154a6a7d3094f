"""Safety lines, said where they concern the job."""

from typing import Final

from edgefinder.classifier.job import End, Job, Wearer

CHILD_TIES: Final = (
    "ties on children's clothing: no cords or ties at the neck or hood in sizes 2T to "
    "12; at waist or hem at most 75 mm (3 in) outside the channel in sizes 2T to 16 "
    "(ASTM F1816-18; 16 CFR 1120). In Europe EN 14682 applies up to 14 years: no neck "
    "cords up to 7 years. Check the rules in force where you sell"
)
"""ASTM F1816-18; 16 CFR 1120; EN 14682 as of its 2007 edition."""

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
    """Return the safety lines of a job: ties if there are any, cutting, pressing."""
    with_ties = [
        run.name
        for run in job.runs
        if not run.is_closed and End.TIES in {run.start, run.end}
    ]
    cautions = [CUTTER, IRON]
    if with_ties and job.wearer is not Wearer.NOT_WORN:
        runs = ", ".join(f'"{name}"' for name in with_ties)
        line = CHILD_TIES if job.wearer is Wearer.CHILD else ADULT_TIES
        what = f"run {runs} ends" if len(with_ties) == 1 else f"runs {runs} end"
        cautions.insert(0, f"{what} in {line}")
    return tuple(cautions)
