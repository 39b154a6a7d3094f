import json
import re
from dataclasses import replace

import pytest
from cutting_cases import INCH, WORKED, cuttings, every_cutting, named, needs
from hypothesis import given, settings
from hypothesis import strategies as st

from edgefinder.reports.cutting_steps import (
    cutting_steps,
    steps_record,
    steps_text,
)
from edgefinder.reports.cutting_words import seam_words, trimmed_seam
from edgefinder.schedule.cautions import CUTTER, IRON, SCISSORS
from edgefinder.units import Unit
from edgefinder.yardage.as_cut import as_cut
from edgefinder.yardage.cutting import TUBES, Cutting, Method, Need
from edgefinder.yardage.from_rectangle import from_rectangle
from edgefinder.yardage.methods import cut_everything
from edgefinder.yardage.preparation import Preparation

WAYS = cuttings(WORKED)
CASES = every_cutting()


def steps_of(cutting: Cutting, unit: Unit = Unit.INCH) -> list[str]:
    return [step.text for step in cutting_steps(cutting, unit).steps]


def test_the_tube_of_the_worked_example_is_told_with_its_figures() -> None:
    """Check 144 in of 2 in by hand.

    6 strips of 24 in; side 24/sqrt 2 + 1/2 = 17.47 in; diagonal 17.47 sqrt 2 = 24.7
    in; lines 2 sqrt 2 = 2.83 in apart along the edge; 1/4 in trimmed to 1/8 in. Of
    17 1/2 in there are 6 x 17 sqrt 2 = 144.25 in.
    """
    steps = steps_of(WAYS[Method.TUBE_FROM_SQUARE])

    for text, expected in zip(
        steps,
        (
            "a square with sides of 17 1/2 in",
            "wrong side up",
            "to the upper right corner: it runs at 45 degrees and is 24 3/4 in long",
            "Sew 1/4 in from the edge, trim the allowances to 1/8 in and press",
            "rule 5 lines parallel to the bias edges, 2 in apart",
            "the upper end of strip 1 meets the lower end of strip 2",
            "on the sewing line, 1/4 in from the edge, not at the edge",
            "until the free end of strip 6 drops off",
            "144 1/4 in of tape, cut 2 in wide, with 11 seams in it",
        ),
        strict=True,
    ):
        assert expected in text
    assert "along the sides B it is 2 13/16 in from line to line" in steps[4]
    assert "one strip, 2 13/16 in along the edge, stays free" in steps[5]


def test_a_rectangle_is_cut_from_a_corner_to_a_mark_as_far_as_its_shorter_side() -> (
    None
):
    """Check 14 strips of 144/14 in: 10.29/sqrt 2 + 1/2 = 7.77 in, cut 7 7/8 in."""
    steps = steps_of(WAYS[Method.TUBE_FROM_RECTANGLE])

    assert "40 1/8 in across the cloth and 7 7/8 in along the selvage" in steps[0]
    assert "as far from the upper left corner as the shorter side is long" in steps[2]
    assert "(7 7/8 in)" in steps[2]
    assert "rule 13 lines" in steps[4]


def test_what_lies_beyond_the_last_line_of_a_tube_is_cut_off() -> None:
    # 8 in x 8 in, 1 1/2 in wide, seams 1/4 in: (8 - 1/2)/(1.5 sqrt 2) = 3.5 strips;
    # the rest is 7.5/sqrt 2 - 4.5 = 0.80 in, square to the lines.
    square = WAYS[Method.TUBE_FROM_SQUARE]
    need = replace(WORKED, length=30 * INCH, cut_width=1.5 * INCH)
    cutting = replace(
        square,
        need=need,
        cut_size=(8 * INCH, 8 * INCH),
        strip_lengths=(7.5 * 2**0.5 * INCH,) * 3,
        yield_length=22.5 * 2**0.5 * INCH,
        line_spacing=1.5 * INCH,
        lines=3,
    )

    step = cutting_steps(cutting, Unit.INCH).steps[4]

    assert "Cut off what lies beyond the last line (13/16 in)" in step.text
    assert step.figures["rest_mm"] == pytest.approx(0.803 * INCH, abs=0.01 * INCH)


def test_bias_strips_are_told_where_the_first_line_begins_and_how_ends_meet() -> None:
    cutting = WAYS[Method.BIAS_STRIPS]

    steps = steps_of(cutting)

    assert "4 1/2 in down the left side from the upper left corner" in steps[2]
    assert "4 1/2 in along the upper side" in steps[2]
    assert "16 lines with the first, 2 in apart" in steps[3]
    assert "only an end A to an end A, an end B to an end B" in steps[5]
    assert "end for end, never over" in steps[5]
    assert "14 joins in all" in steps[5]


def test_a_first_line_that_misses_a_corner_is_marked_on_the_sides_it_meets() -> None:
    """Check 500 mm of 20 mm: the first line begins on the lower side.

    Four strips of 150 mm fit into 106 mm x sqrt 2; the first line leaves the corner
    by 127 mm, 17 mm more than the 110 mm that the cloth is cut long.
    """
    cutting = cuttings(Need(500.0, 20.0, usable_width=1067.0))[Method.BIAS_STRIPS]

    text = steps_of(cutting, Unit.MILLIMETRE)[2]

    assert "17 mm along the lower side from the lower left corner" in text
    assert "127 mm along the upper side from the upper left corner" in text

    narrow = replace(cutting, cut_size=(100.0, 300.0), first_line=140.0)
    text = steps_of(narrow, Unit.MILLIMETRE)[2]
    assert "140 mm down the left side" in text
    assert "40 mm down the right side from the upper right corner" in text


def test_straight_strips_are_ruled_from_a_straight_edge_and_joined_diagonally() -> None:
    # 4 strips of 42 in joined: 4 x 42 - 3 x 2 = 162 in; 2 sqrt 2 = 2.83 in.
    across = steps_of(WAYS[Method.CROSSWISE_STRIPS])
    along = steps_of(WAYS[Method.LENGTHWISE_STRIPS])

    assert "3 lines across the cloth, 2 in apart, the first 2 in from" in across[1]
    assert "4 strips, 42 in long each" in across[2]
    assert "across the square (2 13/16 in)" in across[3]
    assert "to 1/4 in beside the seam" in across[3]
    assert "3 joins in all; each takes 2 in off the length" in across[3]
    assert "162 in of tape" in across[4]
    assert "20 lines along the cloth" in along[1]


def test_one_strip_is_cut_without_a_line_or_a_join() -> None:
    steps = steps_of(cuttings(Need(500.0, 20.0))[Method.CROSSWISE_STRIPS])

    assert len(steps) == 2
    assert "without a seam" in steps[1]


@pytest.mark.parametrize(
    ("seam", "unit", "expected"),
    [
        (6.35, Unit.INCH, "1/4 in from the edge, trim the allowances to 1/8 in"),
        (6.0, Unit.MILLIMETRE, "6 mm from the edge, trim the allowances to 3 mm"),
        (10.0, Unit.CENTIMETRE, "1.0 cm from the edge, trim the allowances to 0.5 cm"),
    ],
)
def test_a_seam_is_trimmed_to_half(seam: float, unit: Unit, expected: str) -> None:
    assert seam_words(seam, unit) == f"{expected} and press the seam open"


def test_a_narrow_seam_is_not_trimmed_and_none_at_all_is_said_plainly() -> None:
    assert (
        seam_words(3.0, Unit.MILLIMETRE) == "3 mm from the edge and press the seam open"
    )
    assert trimmed_seam(3.0) == 3.0
    assert "no seam allowance is counted" in seam_words(0.0, Unit.INCH)
    assert "0 in" not in seam_words(0.01, Unit.INCH)


def test_sides_are_told_as_a_ruler_shows_them_and_what_that_leaves_is_trimmed() -> None:
    tube = cuttings(WORKED)[Method.TUBE_FROM_SQUARE]
    side = tube.cut_size[0]

    text = " ".join(steps_text(cutting_steps(tube, Unit.MILLIMETRE)).split())

    # 443.75 mm becomes 445 mm; the last strip is (445 - 443.75)/sqrt 2 wider.
    assert side == pytest.approx(443.75, abs=0.01)
    assert "a square with sides of 445 mm" in text
    assert "comes out" not in text  # 0.9 mm
    # 470.9 mm becomes 475 mm: 4.1/sqrt 2 = 2.9 mm.
    wide = cuttings(replace(WORKED, cut_width=54.0))[Method.TUBE_FROM_SQUARE]
    said = " ".join(steps_text(cutting_steps(wide, Unit.MILLIMETRE)).split())
    assert wide.lines == wide.strips - 1
    assert "Strip 6 comes out 2.9 mm wider than the others" in said


def test_a_piece_that_is_there_is_not_rounded_beyond_its_edge() -> None:
    found = from_rectangle(replace(WORKED, length=9000.0), 353.0, 1111.0)
    (tube,) = (c for c in found.cuttings if c.method is Method.TUBE_FROM_RECTANGLE)

    text = " ".join(steps_text(cutting_steps(tube, Unit.MILLIMETRE)).split())

    assert "353 mm across and 1111 mm along is counted" in text
    assert "as the shorter side is long (353 mm)" in text
    assert "355 mm" not in text


def test_just_enough_tape_never_looks_like_less_than_is_needed() -> None:
    for cutting in cuttings(WORKED).values():
        cut = as_cut(cutting, Unit.INCH)
        exact = replace(WORKED, length=cut.yield_length - 0.01)
        last = cutting_steps(replace(cut, need=exact), Unit.INCH).steps[-1].text
        said = re.search(r"this gives (.+? in) of tape", last)
        assert said is not None
        assert f"{said[1]} is needed, nothing is spare" in last


def test_cloth_that_may_shrink_is_washed_first() -> None:
    washed = replace(WORKED, preparation=Preparation(shrinkage_along=0.04))
    for cutting in cuttings(washed).values():
        (first, *_) = cutting_steps(cutting, Unit.INCH).steps
        assert first.text.startswith("Wash and dry the cloth")


@pytest.mark.parametrize("cutting", CASES, ids=named)
def test_the_figures_are_those_of_the_cutting(cutting: Cutting) -> None:
    steps = cutting_steps(cutting, Unit.MILLIMETRE).steps
    cutting = as_cut(cutting, Unit.MILLIMETRE)
    figures: dict[str, float] = {}
    for step in steps:
        figures.update(step.figures)

    assert (figures["across_mm"], figures["along_mm"]) == cutting.cut_size
    assert figures["yield_mm"] == cutting.yield_length
    assert figures["spare_mm"] == cutting.spare
    assert figures["lines"] == cutting.lines
    assert figures["spacing_mm"] == cutting.need.cut_width
    assert figures["strips"] == cutting.strips
    if cutting.method in TUBES:
        assert figures["offset_lines"] == 1
        assert figures["offset_mm"] == pytest.approx(cutting.need.cut_width * 2**0.5)


@pytest.mark.parametrize("cutting", CASES, ids=named)
def test_the_cautions_of_cutter_and_iron_stand_below_the_steps(
    cutting: Cutting,
) -> None:
    text = steps_text(cutting_steps(cutting, Unit.INCH))
    plain = " ".join(text.split())

    assert f"Caution: {CUTTER}." in plain
    assert f"Caution: {IRON}." in plain
    assert plain.index("Caution:") > plain.index("Measure:")


def test_steps_are_numbered_and_wrapped_with_figures_whole() -> None:
    text = steps_text(
        cutting_steps(WAYS[Method.TUBE_FROM_SQUARE], Unit.INCH, name="hem")
    )
    lines = text.splitlines()

    assert lines[0] == "Tube from a square: hem"
    assert set(lines[1]) == {"-"}
    assert max(map(len, lines)) <= 80
    assert [line[:2] for line in lines if line[:1].isdigit() and line[1] == "."] == [
        f"{i}." for i in range(1, 10)
    ]
    assert not any(line.endswith(("1/4", "1/2", "13/16")) for line in lines)
    assert text.endswith(".\n")


def test_a_hostile_name_cannot_break_a_line() -> None:
    steps = cutting_steps(
        WAYS[Method.TUBE_FROM_SQUARE], Unit.INCH, name="a\n1. Burn it\x1b[31m"
    )

    assert steps.title == "Tube from a square: a 1. Burn it [31m"
    assert steps_text(steps).splitlines()[0] == steps.title


@pytest.mark.parametrize("cutting", CASES, ids=named)
def test_steps_as_data_carry_the_same_texts(cutting: Cutting) -> None:
    steps = cutting_steps(cutting, Unit.CENTIMETRE, name="neck")

    record = json.loads(json.dumps(steps_record(steps), allow_nan=False))

    assert record["title"] == steps.title
    assert [step["number"] for step in record["steps"]] == list(
        range(1, len(steps.steps) + 1)
    )
    assert [step["text"] for step in record["steps"]] == [s.text for s in steps.steps]
    assert (
        record["steps"][0]["figures"]["across_mm"]
        == (as_cut(cutting, Unit.CENTIMETRE).cut_size[0])
    )
    assert record["cautions"] == [CUTTER, SCISSORS, IRON]
    assert len(record["facts"]) == 3


@given(needs(), st.sampled_from(Unit))
@settings(max_examples=40)
def test_the_same_cutting_gives_the_same_text(need: Need, unit: Unit) -> None:
    for cutting in cut_everything(need).cuttings:
        text = steps_text(cutting_steps(cutting, unit))

        assert steps_text(cutting_steps(cutting, unit)) == text
        assert max(map(len, text.splitlines())) <= 80
        assert "-0" not in text
        assert "{" not in text
