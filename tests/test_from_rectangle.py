"""Tape from a rectangle that is there, proved with polygons and by hand."""

import math
from typing import Final

import numpy as np
import pytest
import shapely

from edgefinder.classifier.job import Grain
from edgefinder.errors import SettingsError
from edgefinder.yardage.cut_strips import cut_strips
from edgefinder.yardage.cutting import Cutting, Method, Need
from edgefinder.yardage.from_rectangle import (
    FromRectangle,
    from_rectangle,
    promised_length,
)
from edgefinder.yardage.strip_order import StripOrder, laid_outlines, order_strips
from edgefinder.yardage.tape_run import TapeRun

INCH: Final = 25.4
CASES: Final = 500
FOURTEEN: Final = (14 * INCH, 44 * INCH)


def found_by(found: FromRectangle, method: Method) -> Cutting:
    (cutting,) = (one for one in found.cuttings if one.method is method)
    return cutting


def need(length: float = 144 * INCH, grain: Grain | None = None) -> Need:
    return Need(length, 2 * INCH, seam=INCH / 4, grain=grain)


def test_what_14_by_44_inches_give_by_hand() -> None:
    whole = promised_length(2 * INCH, *FOURTEEN)
    found = from_rectangle(need(whole), *FOURTEEN)

    # 15 strips: (44 - 1/2)/(2 sqrt 2) = 15.4; each sqrt 2 (14 - 1/2) = 19.09 in.
    tube = found_by(found, Method.TUBE_FROM_RECTANGLE)
    assert (tube.strips, tube.cut_size) == (15, FOURTEEN)
    assert tube.yield_length / INCH == pytest.approx(15 * math.sqrt(2) * 13.5)
    # Seven strips of 44 in, six joins of 2 in; 22 strips of 14 in, 21 joins.
    assert found_by(
        found, Method.LENGTHWISE_STRIPS
    ).yield_length / INCH == pytest.approx(7 * 44 - 6 * 2)
    assert found_by(
        found, Method.CROSSWISE_STRIPS
    ).yield_length / INCH == pytest.approx(22 * 14 - 21 * 2)
    assert whole / INCH == pytest.approx(308)
    assert found.tube is not None
    assert found.tube.rule_short / INCH == pytest.approx(308 - 286.38, abs=0.01)


def test_no_more_is_cut_than_the_tape_takes() -> None:
    found = from_rectangle(need(), *FOURTEEN)

    # Four lengths of 44 in give 170 in, three 128; twelve widths of 14 in give 146.
    assert found_by(found, Method.LENGTHWISE_STRIPS).strips == 4
    assert found_by(found, Method.CROSSWISE_STRIPS).strips == 12
    for cutting in found.cuttings:
        assert cutting.short == 0.0
        assert cutting.cut_size[0] <= FOURTEEN[0] * (1 + 1e-9)
        assert cutting.cut_size[1] <= FOURTEEN[1] * (1 + 1e-9)
        assert cutting.need.in_hand == FOURTEEN


def test_what_is_missing_is_told() -> None:
    found = from_rectangle(need(500 * INCH), *FOURTEEN)

    for cutting in found.cuttings:
        assert cutting.spare == 0.0
        assert cutting.short == pytest.approx(500 * INCH - cutting.yield_length)


def test_the_ways_that_are_enough_come_first() -> None:
    found = from_rectangle(need(290 * INCH), *FOURTEEN)

    shorts = [cutting.short for cutting in found.cuttings]
    assert shorts == sorted(shorts)
    assert shorts[0] == 0.0 < shorts[-1]


@pytest.mark.parametrize("grain", Grain)
def test_only_the_grain_that_is_asked_for(grain: Grain) -> None:
    found = from_rectangle(need(grain=grain), *FOURTEEN)

    assert (found.tube is not None) == (grain is Grain.BIAS)
    straight = {Grain.CROSSWISE: "crosswise", Grain.LENGTHWISE: "lengthwise"}
    for cutting in found.cuttings:
        named = straight.get(grain)
        assert named is None or str(cutting.method).startswith(named)


def test_a_scrap_of_cloth_gives_nothing() -> None:
    found = from_rectangle(need(), 30.0, 40.0)

    assert found.cuttings == ()
    assert found.tube is not None
    assert found.tube.strips == 0


@pytest.mark.parametrize("sides", [(0.0, 10.0), (10.0, -1.0), (math.nan, 10.0)])
def test_a_side_that_cannot_be_is_refused(sides: tuple[float, float]) -> None:
    with pytest.raises(SettingsError, match="a side of the rectangle"):
        from_rectangle(need(), *sides)


def test_strips_out_of_random_rectangles_yield_what_was_computed() -> None:
    """Cut as polygons, laid end to end and joined; every part of the cloth counted."""
    numbers = np.random.default_rng(21)
    proved = 0
    for _ in range(CASES):
        across, along = numbers.uniform(150.0, 1500.0, 2).tolist()
        wanted = Need(
            length=float(numbers.uniform(300.0, 9000.0)),
            cut_width=float(numbers.uniform(14.0, 90.0)),
            seam=float(numbers.uniform(0.0, 9.0)),
            minimum_strip=float(numbers.uniform(0.0, 180.0)),
        )
        for cutting in from_rectangle(wanted, across, along).cuttings:
            if cutting.method is Method.TUBE_FROM_RECTANGLE:
                continue  # proved in test_fabric_proof.py
            proved += 1
            prove_strips(cutting)

    assert proved > 2 * CASES


def prove_strips(cutting: Cutting) -> None:
    cut = cutting.line_spacing
    order = order_strips(
        cut_strips(cutting), TapeRun(cutting.yield_length), cutting.need.seam
    )
    assert isinstance(order, StripOrder)
    assert len(order.placed) == cutting.strips
    laid = shapely.polygons(laid_outlines(order))
    tape = shapely.union_all(laid, grid_size=1e-6)
    assert tape.area / cut == pytest.approx(cutting.yield_length, abs=0.1)

    piece = shapely.box(0.0, 0.0, *cutting.cut_size)
    in_cloth = shapely.polygons([strip.corners for strip in cut_strips(cutting)])
    dropped = shapely.difference(piece, shapely.union_all(in_cloth, grid_size=1e-6))
    overlaps = shapely.area(shapely.intersection(laid[:-1], laid[1:])).sum()
    total = cutting.yield_length * cut + overlaps + dropped.area
    assert total == pytest.approx(piece.area, rel=1e-3)
