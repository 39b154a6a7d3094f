import math
from pathlib import Path as FilePath

import pytest
from tape_cases import demo_job, job_of, runs_of

from edgefinder.binding.laying import lay_runs
from edgefinder.curvature.judgement import judge_runs
from edgefinder.curvature.verdict import Verdict
from edgefinder.schedule.reading import tag_pattern

# A square with a quarter circle of 30 mm bitten out of one corner.
BITTEN = '<path id="patch" d="M 100 100 H 300 V 270 A 30 30 0 0 0 270 300 H 100 Z"/>'
ALL_ROUND = """
[[tapes]]
name = "main"
finished_width = "9 mm"
[[runs]]
name = "all round"
tape = "main"
closed = true
edges = ["patch 1", "patch 2", "patch 3", "patch 4", "patch 5"]
"""


def test_a_run_is_fed_leg_by_leg_and_turns_every_corner(tmp_path: FilePath) -> None:
    (run,) = runs_of(job_of(tmp_path, BITTEN, ALL_ROUND))

    (judged,) = judge_runs([run])

    quarter = 30 * math.pi / 2
    straight = 170 + 200 + 200 + 170
    assert run.length == pytest.approx(straight + quarter)
    # The arc needs 1.3 and the cloth has 1.18; the window is shifted to stay inside.
    assert judged.fed == pytest.approx(straight + quarter * 1.3 / 1.18)
    assert len(judged.mitres) == 5
    assert all(extra == 0.0 for _, extra in judged.mitres)  # outside, all of them
    (report,) = judged.places
    assert report.place.verdict == Verdict.TOO_TIGHT
    assert report.place.length == pytest.approx(quarter)


def test_an_inside_mitre_is_listed_with_its_extra_tape(tmp_path: FilePath) -> None:
    notched = '<path id="patch" d="M 0 0 H 200 V 100 H 100 V 200 H 0 Z"/>'
    settings = ALL_ROUND.replace('"patch 5"', '"patch 5", "patch 6"')
    (run,) = runs_of(job_of(tmp_path, notched, settings))

    (judged,) = judge_runs([run])

    extras = sorted(extra for _, extra in judged.mitres)
    assert extras == pytest.approx([0, 0, 0, 0, 0, 2 * 9])
    assert judged.fed == pytest.approx(800)
    assert judged.places == ()


@pytest.mark.parametrize("name", ["orchard-apron", "puddle-smock"])
def test_the_tape_of_the_demo_is_fed_at_least_at_the_length_of_its_edges(
    name: str,
) -> None:
    job = demo_job(name)
    pattern = tag_pattern(job)

    for size in pattern.sizes:
        for run in lay_runs(size, pattern.tapes, job.finding.corner_angle):
            (judged,) = judge_runs([run])
            assert judged.fed >= run.length * (1 - 1e-12)
            assert judged.fed < run.length * 1.1
            assert len(judged.mitres) == len(run.corners)


def test_runs_of_several_tapes_are_judged_together_as_each_alone() -> None:
    job = demo_job("puddle-smock")
    pattern = tag_pattern(job)
    runs = lay_runs(pattern.sizes[0], pattern.tapes, job.finding.corner_angle)
    assert len({run.tape.finished_width for run in runs}) > 1
    assert any(run.is_against for run in runs)

    together = judge_runs(runs)

    assert [judged.run for judged in together] == list(runs)
    for run, judged in zip(runs, together, strict=True):
        (alone,) = judge_runs([run])
        assert judged.fed == pytest.approx(alone.fed, rel=1e-15)
        assert judged.mitres == alone.mitres
        assert [r.place.start for r in judged.places] == [
            r.place.start for r in alone.places
        ]
