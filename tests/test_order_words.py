"""The order of strips in words."""

from dataclasses import replace

import pytest
from cutting_cases import ONE_WAY, SAME_SLANT, cuttings

from edgefinder.reports.cutting_steps import cutting_steps, steps_text
from edgefinder.reports.order_words import order_sentences
from edgefinder.units import Unit
from edgefinder.yardage.cutting import Cutting, Method, Need
from edgefinder.yardage.tape_run import TapeRun


def bias(need: Need) -> Cutting:
    return cuttings(need)[Method.BIAS_STRIPS]


def test_nothing_is_said_where_any_order_will_do() -> None:
    assert order_sentences(bias(Need(4000.0, 50.0)), Unit.MILLIMETRE) == ()


def test_recut_and_dropped_strips_are_named() -> None:
    cutting = bias(SAME_SLANT)

    said = " ".join(order_sentences(cutting, Unit.MILLIMETRE))

    # The two strips next to the corners are trapezoids; those in them are too short.
    assert cutting.strips == 16
    assert "Cut an end A of strips 2 and 15 anew along the crosswise grain" in said
    assert "it becomes an end B" in said
    assert "Join them in this order: 2 to 15." in said
    assert "Strips 1 and 16 would be too short once recut and are left out." in said


def test_the_order_names_every_strip_once_and_the_places_that_are_kept_free() -> None:
    cutting = bias(ONE_WAY)
    assert cutting.order is not None

    said = " ".join(order_sentences(cutting, Unit.MILLIMETRE))

    assert "turned" not in said
    assert "within 70 mm of 1000 mm, 2500 mm along the tape" in said
    listed = said.split("in this order: ")[1].split(".")[0]
    numbers: list[int] = []
    for part in listed.split(", "):
        first, *last = (int(n) for n in part.split(" to "))
        numbers += range(first, (last[0] if last else first) + 1)
    assert numbers == [one.strip.number for one in cutting.order.placed]


def test_turned_and_trimmed_strips_say_so() -> None:
    run = TapeRun(3000.0, avoid=((1060.0, 40.0),))
    cutting = cuttings(replace(Need(3000.0, 50.0), run=run))[Method.CROSSWISE_STRIPS]
    assert cutting.order is not None

    said = " ".join(order_sentences(cutting, Unit.MILLIMETRE))

    # The first join would stand at 1067 - 25 mm; it is moved to 1020 mm.
    assert cutting.order.extra == pytest.approx(1066.8 - 25 - 1020, abs=1e-3)
    assert "1 (22 mm cut off its second end)" in said
    assert "22 mm is trimmed off for it, the least that will do." in said


def test_a_loop_says_where_it_begins() -> None:
    run = TapeRun(4000.0, is_closed=True, avoid=((0.0, 50.0),))

    said = " ".join(order_sentences(bias(Need(4000.0, 50.0, run=run)), Unit.CENTIMETRE))

    assert "Begin the loop 5.0 cm on from the start of the run" in said


def test_the_steps_hold_the_order_before_the_joining() -> None:
    text = steps_text(cutting_steps(bias(ONE_WAY), Unit.MILLIMETRE))

    assert text.index("Join them in this order") < text.index("Join strip to strip")
    flat = " ".join(text.split())
    assert "on one-way cloth never turn a strip, end for end or over" in flat
    assert "turn strips end for end" not in flat
