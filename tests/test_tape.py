from dataclasses import replace
from pathlib import Path

import pytest
from tape_cases import job_of

from edgefinder.binding.cut_width import cut_width
from edgefinder.binding.tape import (
    USUAL_WIDTHS_INCH_MM,
    USUAL_WIDTHS_METRIC_MM,
    make_tapes,
    tape_named,
)
from edgefinder.classifier.job import Grain, TapeFold
from edgefinder.units import parse_length

SQUARE = '<path id="patch" d="M 10 10 h 100 v 100 h -100 z"/>'


@pytest.mark.parametrize(
    ("fold", "finished", "turn_of_cloth", "expected"),
    [
        # A strip pressed to the middle once is cut 2 x its width, folded again
        # 4 x its finished width (common practice).
        (TapeFold.SINGLE, "1/2 in", "0 mm", "1 in"),
        (TapeFold.DOUBLE, "3/8 in", "0 mm", "1 1/2 in"),
        (TapeFold.DOUBLE, "1/2 in", "0 mm", "2 in"),
        # Double layer: 6 w + 1/4 in (sewing manual).
        (TapeFold.DOUBLE_LAYER, "3/8 in", "1/4 in", "2 1/2 in"),
        # Turn of cloth 2 to 3 mm, light (from memory).
        (TapeFold.DOUBLE, "9 mm", "2 mm", "38 mm"),
    ],
)
def test_the_cut_width_follows_the_two_four_and_six_times_rules(
    fold: TapeFold, finished: str, turn_of_cloth: str, expected: str
) -> None:
    found = cut_width(parse_length(finished), fold, parse_length(turn_of_cloth))

    assert found == pytest.approx(parse_length(expected))


@pytest.mark.parametrize("width_in", [0.25, 0.5, 0.75])
def test_a_single_layer_of_1921_is_two_widths_and_three_quarters(
    width_in: float,
) -> None:
    # Published: The New Dressmaker, 1921, p. 131: 2 w + 3/4 in.
    seam = parse_length("3/8 in")

    cut = cut_width(parse_length(f"{width_in} in"), TapeFold.DOUBLE, seam=seam)

    assert cut / 25.4 == pytest.approx(2 * width_in + 0.75)


def test_a_flat_strip_covers_one_side_only() -> None:
    assert cut_width(25.0, TapeFold.FLAT, seam=6.0) == 37.0
    assert cut_width(25.0, TapeFold.FLAT) == 25.0
    assert cut_width(10.0, TapeFold.FACING) == 30.0


def test_the_usual_widths_are_those_of_the_trade() -> None:
    inches = [parse_length(f"{w} in") for w in ("1/4", "3/8", "1/2", "7/8")]

    assert list(USUAL_WIDTHS_METRIC_MM) == [6, 8, 9, 10, 12, 15, 20]
    assert list(USUAL_WIDTHS_INCH_MM) == pytest.approx(inches)


def test_a_tape_is_made_as_the_job_file_says(tmp_path: Path) -> None:
    job = job_of(
        tmp_path,
        SQUARE,
        """
        fabric = {cloth = "lawn"}
        [[tapes]]
        name = "narrow"
        finished_width = "6 mm"
        turn_of_cloth = "2 mm"
        packet_length = "3 yd"
        [[tapes]]
        name = "straight"
        finished_width = "1 cm"
        cut_width = "5 cm"
        grain = "crosswise"
        fold = "single fold"
        cloth = "denim"
        """,
    )

    tapes, mistakes = make_tapes(job)

    narrow, straight = tapes
    assert mistakes == []
    assert (narrow.finished_width, narrow.cut_width) == (6.0, 26.0)
    assert (narrow.fold, narrow.grain) == (TapeFold.DOUBLE, Grain.BIAS)
    assert narrow.cloth.name == "lawn"  # of the fabric
    assert narrow.packet_length == pytest.approx(3 * 914.4)
    assert straight.cut_width == 50.0  # as given, not 2 x 10 mm
    assert (straight.fold, straight.grain) == (TapeFold.SINGLE, Grain.CROSSWISE)
    assert straight.cloth.name == "twill"
    assert straight.packet_length is None
    assert tape_named("straight", tapes) is straight


def test_every_unknown_cloth_and_tape_is_named_together(tmp_path: Path) -> None:
    job = job_of(
        tmp_path,
        SQUARE,
        """
        [[tapes]]
        name = "narrow"
        finished_width = "6 mm"
        cloth = "lown"
        [[tapes]]
        name = "wide"
        finished_width = "9 mm"
        [[runs]]
        name = "hem"
        tape = "wider"
        edges = ["patch 1"]
        """,
    )

    tapes, mistakes = make_tapes(job)

    assert [tape.name for tape in tapes] == ["wide"]
    tapes_line, runs_line = mistakes
    assert tapes_line.startswith(f'{job.path}: tapes "narrow": cloth: ')
    assert tapes_line.endswith('there is no cloth "lown"; did you mean "lawn"?')
    assert runs_line.startswith(f'{job.path}: runs "hem": tape: ')
    assert runs_line.endswith('there is no tape "wider"; did you mean "wide"?')


def test_a_run_may_name_a_tape_whose_cloth_is_wrong_without_a_second_line(
    tmp_path: Path,
) -> None:
    job = job_of(
        tmp_path,
        SQUARE,
        """
        [[tapes]]
        name = "narrow"
        finished_width = "6 mm"
        cloth = "lown"
        [[runs]]
        name = "hem"
        tape = "narrow"
        edges = ["patch 1"]
        """,
    )

    assert len(make_tapes(job)[1]) == 1
    assert len(make_tapes(replace(job, tapes=()))[1]) == 1
