import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from edgefinder.constants import (
    BUY_STEP_INCH_MM,
    BUY_STEP_METRIC_MM,
    USABLE_WIDTH_MM,
)
from edgefinder.errors import SettingsError
from edgefinder.units import Unit
from edgefinder.yardage.buying import (
    FABRIC_WIDTHS,
    in_both_units,
    round_up_to_step,
    ruler_size,
    usable_width,
)


def test_an_eighth_of_a_yard_is_four_and_a_half_inches() -> None:
    assert pytest.approx(4.5 * 25.4, rel=1e-15) == BUY_STEP_INCH_MM


@pytest.mark.parametrize(
    ("length", "step", "bought"),
    [
        (914.4, BUY_STEP_INCH_MM, 914.4),  # 1 yd is 8 steps
        (914.5, BUY_STEP_INCH_MM, 1028.7),  # a thread more is 9
        (1.0, BUY_STEP_INCH_MM, 114.3),
        (200.0, BUY_STEP_METRIC_MM, 200.0),
        (200.1, BUY_STEP_METRIC_MM, 300.0),
        (130.0, 250.0, 250.0),
        (0.0, 100.0, 0.0),
    ],
)
def test_cloth_is_bought_in_whole_steps(
    length: float, step: float, bought: float
) -> None:
    assert round_up_to_step(length, step) == pytest.approx(bought, rel=1e-12)


def test_a_rounding_error_does_not_buy_another_step() -> None:
    three_tenths = 0.1 + 0.1 + 0.1

    assert round_up_to_step(three_tenths * 1000.0, 100.0) == pytest.approx(300.0)


@given(
    length=st.floats(0.0, 1e6),
    step=st.floats(1.0, 2000.0),
)
def test_what_is_bought_holds_the_length_with_less_than_a_step_over(
    length: float, step: float
) -> None:
    bought = round_up_to_step(length, step)

    assert bought >= length * (1.0 - 1e-8) - 1e-6
    assert bought - length < step * (1.0 + 1e-6)
    assert bought / step == pytest.approx(round(bought / step), abs=1e-6)


@pytest.mark.parametrize("step", [0.0, -100.0, 0.5, math.nan, math.inf])
def test_a_step_that_nobody_cuts_is_refused(step: float) -> None:
    with pytest.raises(SettingsError, match="cannot be bought in steps of"):
        round_up_to_step(100.0, step)


def test_cloth_44_inches_wide_has_42_usable_inches() -> None:
    # Published: usable width of quilting cotton sold as 44/45 in.
    assert usable_width(44 * 25.4) == pytest.approx(42 * 25.4)
    assert pytest.approx(42 * 25.4) == USABLE_WIDTH_MM


def test_a_selvage_of_nothing_leaves_the_whole_width() -> None:
    assert usable_width(1400.0, selvage=0.0) == 1400.0


@pytest.mark.parametrize("selvage", [700.0, -1.0, math.nan])
def test_selvages_that_leave_nothing_are_refused(selvage: float) -> None:
    with pytest.raises(SettingsError, match="leaves nothing"):
        usable_width(1400.0, selvage)


def test_the_published_widths_are_all_in_the_table() -> None:
    # Published: 35-36, 39, 41, 44-45, 50, 52-54, 58-60, 66 in.
    published_inches = [35, 36, 39, 41, 44, 45, 50, 52, 54, 58, 60, 66]

    for inches in published_inches:
        rows = [
            row
            for row in FABRIC_WIDTHS
            if row.label.endswith(" in")
            and row.narrowest <= inches * 25.4 * (1 + 1e-12)
            and row.widest >= inches * 25.4 * (1 - 1e-12)
        ]
        assert len(rows) == 1
        assert rows[0].source.startswith("published")


def test_widths_from_memory_say_so() -> None:
    metric = [row for row in FABRIC_WIDTHS if row.label.endswith(" cm")]

    assert [row.label for row in metric] == ["90 cm", "110-115 cm", "140 cm", "150 cm"]
    assert all("not verified" in row.source for row in metric)


def test_only_one_usable_width_is_published() -> None:
    usable = {row.label: row.usable for row in FABRIC_WIDTHS if row.usable}

    assert usable == {"44-45 in": pytest.approx(1066.8)}


def test_a_length_in_a_sentence_stands_in_both_units() -> None:
    assert in_both_units(1066.8) == "1067 mm (42 in)"
    assert in_both_units(math.inf) == "inf mm"


@pytest.mark.parametrize(
    ("length", "unit", "rounded"),
    [
        (17.47 * 25.4, Unit.INCH, 17.5 * 25.4),
        (17.5 * 25.4, Unit.INCH, 17.5 * 25.4),
        (443.7, Unit.MILLIMETRE, 445.0),
        (443.7, Unit.CENTIMETRE, 445.0),
        (445.0 + 1e-10, Unit.MILLIMETRE, 445.0),
        (0.0, Unit.INCH, 0.0),
    ],
)
def test_a_size_to_cut_goes_up_to_the_next_mark_of_a_ruler(
    length: float, unit: Unit, rounded: float
) -> None:
    assert ruler_size(length, unit) == pytest.approx(rounded, abs=1e-9)


def test_nothing_is_rounded_up_beyond_the_cloth() -> None:
    assert ruler_size(1066.0, Unit.MILLIMETRE, most=1066.8) == 1066.8
    assert ruler_size(1066.8, Unit.MILLIMETRE, most=1066.8) == 1066.8


@given(st.floats(0.0, 1e5), st.sampled_from(list(Unit)))
def test_a_rounded_size_is_never_less_and_what_is_printed_is_a_mark(
    length: float, unit: Unit
) -> None:
    rounded = ruler_size(length, unit)

    step = 5.0 if unit.is_metric else 25.4 / 8
    assert length <= rounded < length + step * (1.0 + 1e-6)
    assert rounded / step == pytest.approx(round(rounded / step), abs=1e-3)
