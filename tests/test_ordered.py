"""Strips whose order matters, cut and laid as polygons."""

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Final

import numpy as np
import pytest
import shapely

from edgefinder.classifier.job import Grain
from edgefinder.yardage.bias_strips import cut_bias_strips
from edgefinder.yardage.cut_strips import cut_strips
from edgefinder.yardage.cutting import Cutting, Method, Need, NotPossible
from edgefinder.yardage.methods import cut_everything
from edgefinder.yardage.ordered import cut_in_order
from edgefinder.yardage.straight_strips import cut_crosswise, cut_lengthwise
from edgefinder.yardage.strip_ends import End, Strip
from edgefinder.yardage.strip_order import StripOrder, laid_outlines
from edgefinder.yardage.tape_run import TapeRun

CASES: Final = 500
TAPE_MM: Final = 0.1
"""How far the laid tape may differ from the computed one."""
AREA_SHARE: Final = 1e-3
"""How far the parts of a cloth may differ from the whole."""
GRID_MM: Final = 1e-6
Way = Callable[[Need], Cutting | NotPossible]


def random_needs(seed: int, count: int, **wishes: bool) -> list[Need]:
    """Tapes with two places to avoid each, every other one a loop."""
    numbers = np.random.default_rng(seed)
    found = []
    for case in range(count):
        length = float(numbers.uniform(800.0, 9000.0))
        places = numbers.uniform(0.0, length, 2)
        within = numbers.uniform(5.0, 60.0, 2)
        avoid = tuple(
            (float(at), float(near)) for at, near in zip(places, within, strict=True)
        )
        run = TapeRun(length, is_closed=case % 2 == 1, avoid=avoid)
        found.append(
            Need(
                length=length,
                cut_width=float(numbers.uniform(14.0, 80.0)),
                seam=float(numbers.uniform(0.0, 9.0)),
                usable_width=float(numbers.uniform(500.0, 1600.0)),
                one_way=wishes.get("one_way", False),
                same_slant=wishes.get("same_slant", False),
                run=None if wishes else run,
            )
        )
    return found


def prove(cutting: Cutting) -> StripOrder:
    """Cut the strips of a cutting out of its cloth and lay them in their order."""
    need, order = cutting.need, cutting.order
    assert order is not None
    cloth = shapely.box(0.0, 0.0, *cutting.cut_size)
    laid_out = shapely.polygons([strip.corners for strip in cut_strips(cutting)])
    kept: list[Strip] = [one.strip for one in order.placed]
    in_cloth = shapely.polygons([strip.corners for strip in kept])
    outside = shapely.difference(in_cloth, shapely.buffer(cloth, 1e-5))
    assert shapely.area(outside).sum() == pytest.approx(0.0, abs=1e-3)
    recut = shapely.difference(
        shapely.union_all(in_cloth, grid_size=GRID_MM),
        shapely.buffer(shapely.union_all(laid_out, grid_size=GRID_MM), 1e-5),
    )
    assert recut.area == pytest.approx(0.0, abs=1e-3)  # cut off, nothing put on

    laid = shapely.polygons(laid_outlines(order))
    tape = shapely.union_all(laid, grid_size=GRID_MM)
    assert tape.geom_type == "Polygon"
    assert tape.bounds[3] - tape.bounds[1] == pytest.approx(need.cut_width, abs=1e-4)
    assert tape.area / need.cut_width == pytest.approx(
        cutting.yield_length, abs=TAPE_MM
    )

    overlaps = shapely.area(shapely.intersection(laid[:-1], laid[1:])).sum()
    trimmed = sum(one.trim for one in order.placed) * need.cut_width
    together = shapely.union_all(in_cloth, grid_size=GRID_MM)
    dropped = shapely.area(shapely.difference(cloth, together))
    total = cutting.yield_length * need.cut_width + overlaps + trimmed + dropped
    assert total == pytest.approx(cloth.area, rel=AREA_SHARE)
    return order


def prove_joins(cutting: Cutting, order: StripOrder) -> None:
    """No join, and no closing one, stands in a place to avoid."""
    run = cutting.need.run
    if run is None:
        return
    assert cutting.yield_length >= run.tape - 1e-6
    along = [order.start + join for join in order.joins if join <= run.tape]
    if run.is_closed:
        along = [place % run.length for place in (*along, order.start)]
    for at, within in run.avoid:
        for place in along:
            apart = abs(place - at)
            if run.is_closed:
                apart = min(apart, run.length - apart)
            assert apart >= within - 1e-5


@pytest.mark.parametrize("way", [cut_bias_strips, cut_crosswise, cut_lengthwise])
def test_strips_kept_out_of_places_yield_what_was_computed(way: Way) -> None:
    proved = 0
    cut = cut_in_order(way)
    for need in random_needs(11, CASES):
        cutting = cut(need)
        if isinstance(cutting, NotPossible):
            continue
        prove_joins(cutting, prove(cutting))
        proved += 1

    # Crosswise strips cannot be made longer than the cloth is wide.
    assert proved > 0.95 * CASES


def test_strips_of_one_way_cloth_are_never_turned() -> None:
    for need in random_needs(12, CASES, one_way=True):
        cutting = cut_in_order(cut_bias_strips)(need)
        assert isinstance(cutting, Cutting)
        order = prove(cutting)

        assert not any(one.is_turned for one in order.placed)
        assert cutting.yield_length >= need.length - 1e-6


def test_joins_that_must_slant_alike_all_do() -> None:
    for need in random_needs(13, CASES, same_slant=True):
        cutting = cut_in_order(cut_bias_strips)(need)
        assert isinstance(cutting, Cutting)
        order = prove(cutting)

        leans: set[End] = set()
        for one in order.placed:
            leans |= {one.first_end, one.second_end}
        assert len(leans) == 1


def test_the_plain_cloth_is_taken_where_nothing_has_to_be_recut() -> None:
    need = Need(6000.0, 40.0, usable_width=1000.0)

    plain = cut_bias_strips(need)
    ordered = cut_in_order(cut_bias_strips)(replace(need, one_way=True))

    assert isinstance(plain, Cutting)
    assert isinstance(ordered, Cutting)
    assert ordered.cut_size == plain.cut_size
    assert ordered.need.one_way
    assert plain.order is None


def test_a_place_longer_than_every_strip_takes_longer_strips() -> None:
    need = Need(2000.0, 40.0, run=TapeRun(2000.0, avoid=((1000.0, 150.0),)))

    plain = cut_bias_strips(need)
    found = cut_in_order(cut_bias_strips)(need)

    assert isinstance(plain, Cutting)
    assert isinstance(found, Cutting)
    assert max(plain.strip_lengths) < 300.0 < max(found.strip_lengths)
    prove_joins(found, prove(found))


def test_a_place_longer_than_any_strip_can_be_says_so() -> None:
    need = Need(2000.0, 40.0, usable_width=300.0)
    need = replace(need, run=TapeRun(2000.0, avoid=((1000.0, 600.0),)))

    found = cut_in_order(cut_crosswise)(need)

    assert isinstance(found, NotPossible)
    assert "the longest strip reaches only" in found.reason


WISHED = Need(4000.0, 40.0, grain=Grain.BIAS)


@pytest.mark.parametrize(
    ("need", "words"),
    [
        (
            replace(WISHED, run=TapeRun(4000.0, avoid=((500.0, 40.0),))),
            "lie where they fall",
        ),
        (replace(WISHED, same_slant=True), "slant two ways"),
    ],
)
def test_a_tube_refuses_what_it_cannot_do(need: Need, words: str) -> None:
    plan = cut_everything(need)

    refused = {one.method: one.reason for one in plan.not_possible}
    assert set(refused) == {Method.TUBE_FROM_SQUARE, Method.TUBE_FROM_RECTANGLE}
    assert all(words in reason for reason in refused.values())
    assert [cutting.method for cutting in plan.cuttings] == [Method.BIAS_STRIPS]


def test_a_tube_keeps_one_way_cloth_the_same_way_up() -> None:
    plan = cut_everything(Need(4000.0, 40.0, grain=Grain.BIAS, one_way=True))

    assert len(plan.cuttings) == 3
    assert math.isfinite(plan.cuttings[0].buy)


def test_a_tape_too_long_to_be_laid_out_longer_is_not_possible() -> None:
    need = Need(1e7, 60.0, grain=Grain.BIAS, same_slant=True, minimum_strip=0.0)

    plan = cut_everything(need)

    assert plan.cuttings == ()
    assert len(plan.not_possible) == 3
