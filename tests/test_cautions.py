from dataclasses import replace
from pathlib import Path as FilePath

import pytest
from tape_cases import demo_job, job_of

from edgefinder.classifier.job import End, Wearer
from edgefinder.schedule.cautions import ADULT_TIES, CUTTER, IRON, run_cautions


def test_ties_at_the_neck_of_a_childs_smock_are_warned_of_with_their_rules() -> None:
    cautions = run_cautions(demo_job("puddle-smock"))

    # ASTM F1816-18: none at neck or hood, 2T to 12; at waist or hem at most 3 in
    # (75 mm) outside the channel, 2T to 16. EN 14682: up to 14 years, no neck cords
    # up to 7.
    for words in (
        'run "neck" ends in ties',
        "no cords or ties at the neck or hood in sizes 2T to 12",
        "at most 75 mm (3 in) outside the channel in sizes 2T to 16",
        "ASTM F1816-18",
        "16 CFR 1120",
        "EN 14682 applies up to 14 years",
        "no neck cords up to 7 years",
        "Check the rules in force",
    ):
        assert words in cautions[0]
    assert cautions[1:] == (CUTTER, IRON)


def test_ties_for_adults_are_asked_about() -> None:
    job = replace(demo_job("puddle-smock"), wearer=Wearer.ADULT)

    assert run_cautions(job)[0].endswith(ADULT_TIES)
    assert "ASTM F1816-18" in ADULT_TIES


def test_ties_on_what_nobody_wears_are_no_matter() -> None:
    job = replace(demo_job("puddle-smock"), wearer=Wearer.NOT_WORN)

    assert run_cautions(job) == (CUTTER, IRON)


def test_without_ties_only_cutting_and_pressing_are_cautioned_of() -> None:
    cautions = run_cautions(demo_job("orchard-apron"))

    assert cautions == (CUTTER, IRON)
    assert "close the blade after every cut" in cautions[0]
    assert "cut away from you" in cautions[0]
    assert "burns fingers" in cautions[1]


@pytest.mark.parametrize(
    ("start", "end"), [(End.TIES, End.IN_SEAM), (End.IN_SEAM, End.TIES)]
)
def test_one_tied_end_is_enough_and_every_run_is_named(
    tmp_path: FilePath, start: End, end: End
) -> None:
    run = f'tape = "main"\nedges = ["patch 1"]\nstart = "{start}"\nend = "{end}"\n'
    job = job_of(
        tmp_path,
        "",
        'wearer = "child"\n[[tapes]]\nname = "main"\nfinished_width = "9 mm"\n'
        + "".join(
            f'[[runs]]\nname = "{name}"\n{run}tie_length = "20 cm"\n'
            for name in ("hood", "waist")
        ),
    )

    assert run_cautions(job)[0].startswith('runs "hood", "waist" end in ties on')
