"""The schedule as it is printed, compared with stored files and read like a person."""

import math
import re
import unicodedata
from dataclasses import replace
from pathlib import Path as FilePath

import pytest
from tape_cases import DEMO_NAMES, demo_job, expected_text, release_of

from edgefinder.reports.release_text import curves_text, schedule_text
from edgefinder.schedule.release import Release, make_release, only_sizes
from edgefinder.units import Unit

SQUARE = '<path id="patch" d="M 100 100 h 200 v 200 h -200 z"/>'
NOTCHED = '<path id="patch" d="M 100 100 H 300 V 200 H 200 V 300 H 100 Z"/>'
TAPE = '[[tapes]]\nname = "main"\nfinished_width = "9 mm"\n'
ALL_ROUND = """
[[runs]]
name = "all round"
tape = "main"
closed = true
edges = ["patch 1", "patch 2", "patch 3", "patch 4", "patch 5", "patch 6"]
"""


def shown(text: str) -> int:
    return sum(1 + (unicodedata.east_asian_width(c) in "WF") for c in text)


def flowing(text: str) -> str:
    """The text without its line ends."""
    return " ".join(text.split())


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_the_schedule_of_the_demo_is_the_stored_one(name: str) -> None:
    text = schedule_text(make_release(demo_job(name)))

    assert text == expected_text(f"{name}-schedule.txt")


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_the_curves_of_the_demo_are_the_stored_ones(name: str) -> None:
    release = make_release(demo_job(name))

    text = curves_text(release.sizes, release.job.unit)

    assert text == expected_text(f"{name}-curves.txt")


@pytest.mark.parametrize("unit", Unit)
@pytest.mark.parametrize("name", DEMO_NAMES)
def test_every_line_fits_80_columns_in_every_unit(name: str, unit: Unit) -> None:
    release = make_release(replace(demo_job(name), unit=unit))

    for text in (schedule_text(release), curves_text(release.sizes, unit)):
        for line in text.splitlines():
            assert len(line) <= 80
            assert line == line.rstrip()
        assert text.endswith("\n")
        assert not text.endswith("\n\n")


@pytest.mark.parametrize("unit", Unit)
@pytest.mark.parametrize(
    "name", ["the long and winding name of it", "子供用エプロンの前身頃の型紙"]
)
def test_long_names_and_large_numbers_fit_too(
    tmp_path: FilePath, name: str, unit: Unit
) -> None:
    long = f"{name} " * 3
    settings = f"""
    name = "{long * 3}"
    unit = "{unit}"
    drawing_unit = "2.9 mm"
    [fabric]
    usable_width = "9 m"
    [[tapes]]
    name = "{long}"
    finished_width = "18 mm"
    packet_length = "7 m"
    [[pieces]]
    name = "{long}"
    match = ["id:patch"]
    [[runs]]
    name = "{long}"
    tape = "{long.strip()}"
    closed = true
    edges = [{", ".join(f'"{long.strip()} {n}"' for n in range(1, 7))}]
    times = 999
    """
    release = release_of(tmp_path, NOTCHED, settings.replace(' "\n', '"\n'))

    for text in (schedule_text(release), curves_text(release.sizes, unit)):
        assert max(shown(line) for line in text.splitlines()) <= 80


def test_the_back_cover_has_one_row_for_every_size_and_tape() -> None:
    text = schedule_text(make_release(demo_job("puddle-smock")))

    cover = text.split("All sizes")[1].split("fabric:")[0].splitlines()[3:]
    assert [line.split()[:2] for line in cover] == [
        [size, tape] for size in ("2", "4", "6", "8") for tape in ("narrow", "wide")
    ]


def test_only_the_sizes_that_are_asked_for_are_printed() -> None:
    release = only_sizes(make_release(demo_job("orchard-apron")), ["M"])

    text = schedule_text(release)

    assert "Size M" in text
    assert "Size S" not in text
    assert "\nL " not in text


def test_the_tape_says_how_it_is_cut_and_whose_limits_it_was_judged_with() -> None:
    text = flowing(schedule_text(make_release(demo_job("orchard-apron"))))

    # Because the names of folds vary, the cut width is always printed.
    assert (
        'tape "main": 3/8 in finished, double fold, cut 1 9/16 in wide, bias, '
        "quilting cotton: stretch 8 % easily, 18 % at most; ease 3 % easily, 5 % at "
        "most"
    ) in text
    assert "working defaults; a swatch test of your own cloth overrides them" in text


def test_a_swatch_test_of_ones_own_is_not_called_a_default(tmp_path: FilePath) -> None:
    own = """
    [fabric]
    cloth = "my lawn"
    [[cloths]]
    name = "my lawn"
    stretch_ok_percent = 12
    stretch_limit_percent = 21
    ease_ok_percent = 2
    ease_limit_percent = 4
    """

    release = release_of(tmp_path, NOTCHED, own + TAPE + ALL_ROUND)
    text = schedule_text(release)

    assert "my lawn: stretch 12 % easily, 21 % at most" in flowing(text)
    assert "working defaults" not in text
    assert "working defaults" not in curves_text(release.sizes, Unit.INCH)


def test_the_safety_lines_stand_at_the_end() -> None:
    text = schedule_text(make_release(demo_job("puddle-smock")))

    cautions = flowing(text.split("Cautions\n--------\n")[1])
    assert cautions.startswith(
        '- run "neck" ends in ties on children\'s clothing: no cords or ties at the '
        "neck or hood in sizes 2T to 12"
    )
    assert "(ASTM F1816-18; 16 CFR 1120)" in cautions
    assert "rotary cutter: close the blade after every cut" in cautions


@pytest.mark.parametrize(
    ("more", "expected"),
    [
        (
            "",
            "; 5 outside corners to mitre; 1 inside corner to mitre)",
        ),
        (
            'inside_corners = "clip and pull straight"\n',
            "; 5 outside corners to mitre; 1 inside corner to clip and pull straight)",
        ),
    ],
)
def test_the_corners_of_a_run_are_counted_with_what_is_done_to_them(
    tmp_path: FilePath, more: str, expected: str
) -> None:
    text = schedule_text(release_of(tmp_path, NOTCHED, TAPE + ALL_ROUND + more))

    assert f"(closed; tape main{expected}" in flowing(text)


@pytest.mark.parametrize(
    ("ends", "expected"),
    [
        ("", "(turned under at both ends; tape main)"),
        (
            'start = "caught in a seam"\n',
            "(caught in a seam at the start, turned under at the end; tape main)",
        ),
    ],
)
def test_the_ends_of_an_open_run_are_told(
    tmp_path: FilePath, ends: str, expected: str
) -> None:
    run = '[[runs]]\nname = "hem"\ntape = "main"\nedges = ["patch 1"]\n'

    text = schedule_text(release_of(tmp_path, SQUARE, TAPE + run + ends))

    assert expected in flowing(text)
    assert "none: the tape lies flat everywhere" in text


def place_text(
    folder: FilePath, outline: str, more: str = "", *, width: str = "9 mm"
) -> str:
    """The places of a closed run along the first edge of a drawing."""
    run = '[[runs]]\nname = "edge"\ntape = "main"\nclosed = true\nedges = ["patch 1"]\n'
    tape = TAPE.replace("9 mm", width) + more
    release: Release = release_of(folder, outline, tape + run)
    text = schedule_text(release)
    return flowing(text.split("Places to watch")[1].split("Cautions")[0])


def disc(radius: float) -> str:
    return f'<circle id="patch" cx="300" cy="300" r="{radius}"/>'


def test_a_place_says_where_what_and_what_to_do(tmp_path: FilePath) -> None:
    told = place_text(tmp_path, disc(60))

    # Derived: 0.95 / (1 - 9/60) - 1; 60 (1 - 97/108).
    assert "over 377 mm all round: outside curve, radius 60 mm: EASE AND STEAM" in told
    assert "takes 12 % stretch with 5.0 % ease; the cloth has 18 %" in told
    # 1/1.18 and 0.85/0.95
    assert "the cloth has 18 %; feed 0.85 to 0.89; the tape covers 8." in told
    assert "a cut width of" in told
    assert (
        "do: shape the tape with steam first: stretch its fold by 12 to 18 %, shrink "
        "its open edges; or tape up to 6 mm wide"
    ) in told


def test_a_place_is_told_from_where_to_where_along_its_edge(
    tmp_path: FilePath,
) -> None:
    rounded = (
        '<path id="patch" d="M 100 100 h 300 v 140 a 60 60 0 0 1 -60 60 h -240 z"/>'
    )
    run = '[[runs]]\nname = "hem"\ntape = "main"\nedges = ["patch 1"]\n'

    text = flowing(schedule_text(release_of(tmp_path, rounded, TAPE + run)))

    # The arc begins 240 mm along; a window of 9 mm may hold R (1 - 97/108) of it.
    held = 60 * (1 - 97 / 108)
    ends = 240 + held - 4.5, 240 + 30 * math.pi - held + 4.5
    assert f"from {ends[0]:.0f} mm to {ends[1]:.0f} mm: outside curve" in text


def test_a_place_across_the_fold_names_both_halves(tmp_path: FilePath) -> None:
    half = '<path id="bib" d="M 100 400 V 160 A 60 60 0 0 0 160 100 H 300 V 400 Z"/>'
    tags = '[[pieces]]\nname = "bib"\nfold_edge = 3\n'
    run = '[[runs]]\nname = "neck"\ntape = "main"\nedges = ["bib 4"]\n'

    text = flowing(schedule_text(release_of(tmp_path, half, TAPE + tags + run)))

    # A quarter of a circle of 60 mm, 94 mm long, on both sides of the fold.
    assert (
        "bib 4: 0 mm along, over 188 mm from 94 mm on bib 4 mirrored to 94 mm on "
        "bib 4: inside curve, radius 60 mm" in text
    )


def test_a_place_that_is_too_tight_is_told_every_way_out(tmp_path: FilePath) -> None:
    told = place_text(tmp_path, disc(30))

    assert "radius 30 mm: TOO TIGHT" in told
    assert (
        "do: tape up to 3 mm wide; or a cloth that stretches more, 36 % or more; or "
        "redraw with a radius of 47 mm or more"
    ) in told
    assert "covers" not in told  # it cannot be laid


def test_a_disc_tighter_than_the_tape_is_wide_is_not_folded_once(
    tmp_path: FilePath,
) -> None:
    told = place_text(tmp_path, disc(15), width="16 mm")

    assert "radius 15 mm: MITRE" in told
    assert "tighter than the tape is wide: no flat band" in told
    shaped = "cover it with a facing cut to its shape"
    assert re.search(rf"do: {shaped}; or tape up to [\d.]+ mm wide; or redraw", told)


def test_an_inside_curve_tighter_than_the_tape_is_told_only_its_ways_out(
    tmp_path: FilePath,
) -> None:
    hole = '<path id="patch" d="M 100 100 h 300 v 300 h -300 z M 200 200 a 15 15 0 0 0 '
    hole += '30 0 a 15 15 0 0 0 -30 0 z"/>'
    run = '[[runs]]\nname = "eye"\ntape = "main"\nclosed = true\nedges = ["patch 5"]\n'

    tape = TAPE.replace("9 mm", "16 mm")
    text = flowing(schedule_text(release_of(tmp_path, hole, tape + run)))

    assert "inside curve, radius 15 mm: MITRE do: cover it with a facing cut" in text


def test_straight_strips_for_steam_do_not_narrow(tmp_path: FilePath) -> None:
    told = place_text(tmp_path, disc(250), 'grain = "crosswise"\n')

    # Crosswise, limit 3 / 2 per cent: R / w from 20.6 up (derived).
    assert "EASE AND STEAM" in told
    assert "the cloth has 3.0 %" in told
    assert "covers" not in told


def test_straight_strips_are_told_to_be_cut_on_the_bias(tmp_path: FilePath) -> None:
    told = place_text(tmp_path, disc(60), 'grain = "crosswise"\n')

    # On the bias it takes (1 - 0.05) / (1 - 9/60) - 1 = 12 %, of 18.
    assert "or cut the tape on the true bias (ease and steam); or" in told
    assert "covers" not in told


def test_ready_made_tape_is_told_in_packets(tmp_path: FilePath) -> None:
    run = '[[runs]]\nname = "hem"\ntape = "main"\nedges = ["patch 1"]\n'
    packet = TAPE + 'packet_length = "3 m"\n'

    text = schedule_text(release_of(tmp_path, SQUARE, packet + run))

    assert "ready-made: 1 packet of 300 cm, 0 joins, 2780 mm spare" in text


def test_the_same_job_is_printed_the_same_twice() -> None:
    first, second = (
        schedule_text(make_release(demo_job("orchard-apron"))) for _ in "ab"
    )

    assert first == second
