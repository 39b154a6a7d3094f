"""A chart is true of the piece that is cut, on marks of a ruler."""

import math
import re
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import numpy as np
import pytest
from cutting_cases import INCH, every_cutting, named, needs
from hypothesis import given, settings
from hypothesis import strategies as st

from edgefinder.reports.cutting_steps import cutting_steps
from edgefinder.reports.fabric_text import plan_lines
from edgefinder.units import Unit
from edgefinder.yardage.as_cut import as_cut, as_cut_plan, rounded_rest
from edgefinder.yardage.bias_strips import usable_lengths
from edgefinder.yardage.cut_strips import bias_layout
from edgefinder.yardage.cutting import TUBES, Cutting, Method, Need
from edgefinder.yardage.methods import cut_everything
from edgefinder.yardage.preparation import Preparation

ROOT = math.sqrt(2.0)
NECK = Need(3938.0, 38.0, seam=6.0, usable_width=1100.0, buy_step=100.0)
"""20 strips of 196.9 mm: H = 196.9/sqrt 2 + 12 = 151.2 mm, cut 155 mm."""


def tube_of(need: Need) -> Cutting:
    found = {cutting.method: cutting for cutting in cut_everything(need).cuttings}
    return found[Method.TUBE_FROM_RECTANGLE]


def test_a_tube_is_told_with_the_figures_of_the_piece_that_is_cut() -> None:
    """Check by hand: 155 sqrt 2 = 219; 20 sqrt 2 (155 - 12) = 4045, less 3938 = 107."""
    steps = cutting_steps(tube_of(NECK), Unit.MILLIMETRE)
    text = " ".join(step.text for step in steps.steps)

    assert "155 mm along the selvage" in text
    assert "it runs at 45 degrees and is 219 mm long" in text
    assert "this gives 4045 mm of tape" in text
    assert "3938 mm is needed, 107 mm is spare" in text
    assert "this gives 4045 mm; 107 mm is spare" in steps.facts[0]
    assert steps.steps[2].figures["cut_mm"] == pytest.approx(155.0 * ROOT)


def test_the_table_of_ways_spares_what_the_chart_spares() -> None:
    rows = plan_lines(cut_everything(NECK), Unit.MILLIMETRE)

    row = next(line for line in rows if line.startswith("tube (rectangle)"))
    assert re.search(r"1090 x 155 mm +20 +2 +107 mm", row)


def test_a_square_is_told_with_its_diagonal() -> None:
    """Check 144 in of 2 in: 17.47 in, cut 17 1/2; 6 sqrt 2 (17.5 - 0.5) = 144.25."""
    need = Need(144 * INCH, 2 * INCH, seam=INCH / 4, usable_width=42 * INCH)
    plan = cut_everything(need)
    square = next(c for c in plan.cuttings if c.method is Method.TUBE_FROM_SQUARE)

    cut = as_cut(square, Unit.INCH)

    assert cut.cut_size == pytest.approx((17.5 * INCH, 17.5 * INCH))
    assert cut.yield_length == pytest.approx(6 * ROOT * 17 * INCH)


@pytest.mark.parametrize("cutting", every_cutting(), ids=named)
@pytest.mark.parametrize("unit", [Unit.INCH, Unit.MILLIMETRE])
def test_rounding_up_gives_no_less_and_is_done_once(
    cutting: Cutting, unit: Unit
) -> None:
    cut = as_cut(cutting, unit)

    assert as_cut(cut, unit) == cut
    assert cut.yield_length >= cutting.yield_length - 1e-6
    assert (cut.strips, cut.lines) == (cutting.strips, cutting.lines)


@settings(max_examples=60, deadline=None)
@given(need=needs(), unit=st.sampled_from(tuple(Unit)))
def test_strips_of_the_piece_that_is_cut_are_as_long_as_geometry_says(
    need: Need, unit: Unit
) -> None:
    for cutting in cut_everything(need).cuttings:
        cut = as_cut(cutting, unit)
        across, along = cut.cut_size

        if cut.method in TUBES:
            strip = ROOT * (min(across, along) - 2.0 * need.seam)
            expected = [strip] * cut.strips
            assert cut.yield_length == pytest.approx(strip * cut.strips)
        elif cut.method is Method.BIAS_STRIPS:
            at = np.array(bias_layout(cut).places)
            expected = usable_lengths(at, across, along, need.cut_width).tolist()
        else:
            side = across if cut.method is Method.CROSSWISE_STRIPS else along
            expected = [side] * cut.strips
        assert list(cut.strip_lengths) == pytest.approx(expected)
        assert cut.yield_length >= cutting.yield_length - 1e-6
        assert cut.buy == cutting.buy
        assert across <= need.usable_width * (1.0 + 1e-9)


def test_no_piece_is_rounded_up_beyond_what_is_bought() -> None:
    """Check a step of 4 1/2 in, in metric: 227 mm of 228.6 is not cut as 230."""
    need = Need(1000.0, 20.0, usable_width=1000.0, buy_step=114.3)
    plan = cut_everything(need)
    crosswise = next(c for c in plan.cuttings if c.method is Method.CROSSWISE_STRIPS)
    cutting = replace(crosswise, cut_size=(1000.0, 227.0))

    assert as_cut(cutting, Unit.MILLIMETRE).cut_size == (1000.0, 227.0)
    washed = replace(need, preparation=Preparation(shrinkage_along=0.05))
    again = replace(cutting, need=washed)
    assert as_cut(again, Unit.MILLIMETRE).buy == again.buy


def test_the_last_strip_is_wider_by_what_rounding_across_adds() -> None:
    """Check 20 x 38 sqrt 2 + 12 = 1086.8: cut 1090, 3.2/sqrt 2 = 2.3 mm square."""
    cut = as_cut(tube_of(NECK), Unit.MILLIMETRE)

    assert rounded_rest(cut) == pytest.approx(2.26, abs=0.01)


@settings(max_examples=40, deadline=None)
@given(need=needs())
def test_ways_stand_in_the_order_of_the_waste_that_is_printed(need: Need) -> None:
    plan = as_cut_plan(cut_everything(need), Unit.MILLIMETRE)

    wastes = [cutting.waste for cutting in plan.cuttings]
    assert all(one <= other + 1e-8 for one, other in pairwise(wastes))


@settings(max_examples=60, deadline=None)
@given(need=needs(), unit=st.sampled_from((Unit.INCH, Unit.MILLIMETRE)))
def test_what_is_given_needed_and_spare_add_up_as_they_are_printed(
    need: Need, unit: Unit
) -> None:
    for cutting in cut_everything(need).cuttings:
        text = cutting_steps(cutting, unit).steps[-1].text
        found = re.search(
            rf"this gives (.+?) {unit} of tape.* (?:in it|seam)\. (.+?) {unit} is "
            rf"needed, (?:(nothing)|(.+?) {unit}) is spare",
            text,
        )
        assert found is not None, text
        given_, needed, nothing, left = found.groups()
        spare = Fraction(0) if nothing else figure(left)
        assert figure(given_) - figure(needed) == spare


def figure(text: str) -> Fraction:
    """A printed figure, without its unit."""
    return sum((Fraction(part) for part in text.split()), Fraction(0))
