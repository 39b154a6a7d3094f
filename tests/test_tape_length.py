import math
from pathlib import Path as FilePath

import pytest
from tape_cases import job_of, runs_of

from edgefinder.curvature.judgement import judge_runs
from edgefinder.yardage.tape_length import TapeLength, tape_length

SQUARE = '<path id="patch" d="M 100 100 h 200 v 200 h -200 z"/>'
NOTCHED = '<path id="patch" d="M 100 100 H 300 V 200 H 200 V 300 H 100 Z"/>'
TAPE = '[[tapes]]\nname = "main"\nfinished_width = "10 mm"\n'
SEAM, STRIP_SEAM = 12.0, 6.35


def tape_of(folder: FilePath, outline: str, run: str) -> TapeLength:
    settings = f'{TAPE}[[runs]]\nname = "edge"\ntape = "main"\n{run}'
    (found,) = runs_of(job_of(folder, outline, settings))
    (judged,) = judge_runs([found])
    return tape_length(judged, SEAM, STRIP_SEAM)


def edges(count: int) -> str:
    return "edges = [" + ", ".join(f'"patch {n + 1}"' for n in range(count)) + "]\n"


def test_a_closed_run_of_square_ends_takes_one_cut_width_and_two_tails(
    tmp_path: FilePath,
) -> None:
    tape = tape_of(tmp_path, SQUARE, edges(4) + "closed = true\n")

    assert tape.edge == pytest.approx(800)
    assert tape.feed == pytest.approx(0, abs=1e-9)
    assert tape.mitres == 0.0
    assert tape.join == 40.0  # double fold, 4 x 10 mm
    assert tape.tails == 150.0  # 75 mm at each end (common practice)
    assert (tape.ends, tape.ties) == (0.0, 0.0)
    assert tape.total == pytest.approx(990)


def test_ends_cut_on_the_grain_take_two_root_two_seams(tmp_path: FilePath) -> None:
    run = edges(4) + 'closed = true\njoin = "ends on the grain"\n'

    tape = tape_of(tmp_path, SQUARE, run)

    # 1/4 in seams: 0.71 in, 18 mm (derived).
    assert tape.join == pytest.approx(2 * math.sqrt(2) * STRIP_SEAM)
    assert tape.join == pytest.approx(0.71 * 25.4, abs=0.005 * 25.4 + 0.1)


def test_the_handling_tail_can_be_set(tmp_path: FilePath) -> None:
    run = edges(4) + 'closed = true\nhandling_tail = "4 in"\n'

    assert tape_of(tmp_path, SQUARE, run).tails == pytest.approx(203.2)


@pytest.mark.parametrize(
    ("ends", "expected", "ties"),
    [
        ("", 20.0, 0.0),
        ('turned_under = "8 mm"\n', 16.0, 0.0),
        ('start = "caught in a seam"\n', SEAM + 10, 0.0),
        ('start = "caught in a seam"\nend = "caught in a seam"\n', 2 * SEAM, 0.0),
        # A tie's own end is folded under too.
        ('end = "ties"\ntie_length = "30 cm"\n', 20.0, 300.0),
        ('start = "ties"\nend = "ties"\ntie_length = "12 in"\n', 20.0, 609.6),
    ],
)
def test_open_ends_are_turned_under_caught_in_a_seam_or_run_on_into_ties(
    tmp_path: FilePath, ends: str, expected: float, ties: float
) -> None:
    tape = tape_of(tmp_path, SQUARE, edges(1) + ends)

    assert tape.edge == pytest.approx(200)
    assert (tape.join, tape.tails) == (0.0, 0.0)
    assert tape.ends == pytest.approx(expected)
    assert tape.ties == pytest.approx(ties)


def test_an_inside_mitre_takes_two_widths_at_a_right_angle(tmp_path: FilePath) -> None:
    closed = edges(6) + "closed = true\n"

    mitred = tape_of(tmp_path, NOTCHED, closed)
    clipped = tape_of(
        tmp_path, NOTCHED, closed + 'inside_corners = "clip and pull straight"\n'
    )

    assert mitred.mitres == pytest.approx(20)  # 2 w tan 45
    assert clipped.mitres == 0.0
    assert mitred.total - clipped.total == pytest.approx(20)


def test_the_total_is_the_sum_of_the_parts() -> None:
    parts = TapeLength(1.5, 20.25, 300.125, 4e3, 5e4, 6e5, 7e6)

    assert parts.total == 1.5 + 20.25 + 300.125 + 4e3 + 5e4 + 6e5 + 7e6


def test_what_a_curve_is_fed_stands_apart_from_its_length(tmp_path: FilePath) -> None:
    hole = '<path id="patch" d="M 0 0 h 400 v 400 h -400 z M 150 200 a 50 50 0 0 0 '
    hole += '100 0 a 50 50 0 0 0 -100 0 z"/>'

    tape = tape_of(tmp_path, hole, 'edges = ["patch 5"]\nclosed = true\n')

    # Radius 50, 10 mm: g = 1.2, more than 1.08; the limit of 1.18 asks 1.2 / 1.18.
    assert tape.edge == pytest.approx(100 * math.pi)
    assert tape.feed == pytest.approx(100 * math.pi * (1.2 / 1.18 - 1))
