import math
import time
from itertools import pairwise, permutations

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from edgefinder.errors import SettingsError
from edgefinder.yardage.bias_strips import BiasLayout, lay_out_need
from edgefinder.yardage.cut_strips import bias_strips, straight_strips
from edgefinder.yardage.cutting import Cutting, Need
from edgefinder.yardage.straight_strips import cut_crosswise
from edgefinder.yardage.strip_ends import (
    End,
    Strip,
    fit_ends,
)
from edgefinder.yardage.strip_order import (
    NoOrder,
    StripOrder,
    laid_outlines,
    order_strips,
)
from edgefinder.yardage.tape_run import TapeRun

ROOT = math.sqrt(2.0)
SEAM = 6.35
LOSS = 2.0 * ROOT * SEAM
CUT = 40.0


def strip(number: int, length: float, near: End, far: End) -> Strip:
    corners = ((0.0, 0.0), (1.0, 1.0), (0.0, 1.0), (0.0, 0.0))
    return Strip(number, length, CUT, near, far, corners)


def parallelograms(*lengths: float) -> list[Strip]:
    return [
        strip(number, length, End.BACK, End.BACK)
        for number, length in enumerate(lengths, start=1)
    ]


def layout(need: Need) -> BiasLayout:
    found = lay_out_need(need)
    assert isinstance(found, BiasLayout)
    return found


def ordered(result: StripOrder | NoOrder) -> StripOrder:
    assert isinstance(result, StripOrder)
    return result


def on_run(order: StripOrder, run: TapeRun) -> list[float]:
    """Joins along the run, and the closing join of a closed one."""
    places = [join - run.lead + order.start for join in order.joins]
    return [*places, order.start] if run.is_closed else places


def nearness(place: float, at: float, run: TapeRun) -> float:
    if not run.is_closed:
        return abs(place - at)
    apart = (place - at) % run.length
    return min(apart, run.length - apart)


def keeps_out(order: StripOrder, run: TapeRun) -> bool:
    return all(
        nearness(place, at, run) >= within - 1e-5
        for place in on_run(order, run)
        for at, within in run.avoid
    )


# Where the joins are


def test_joins_lie_where_the_seams_of_sewn_strips_lie() -> None:
    # By hand: 300 - 1/2 x 17.96; then 200 - 17.96 further on.
    order = ordered(order_strips(parallelograms(300, 200, 300), TapeRun(700.0), SEAM))

    assert order.joins == pytest.approx(
        (300 - LOSS / 2, 600 - 3 * LOSS / 2)
        if order.placed[1].strip.length == 300
        else (300 - LOSS / 2, 500 - 3 * LOSS / 2)
    )
    assert order.tape_length == pytest.approx(800 - 2 * LOSS)
    assert order.extra == 0.0


def test_square_strips_lose_a_strip_width_at_each_join() -> None:
    cutting = cut_crosswise(Need(1500.0, 50.0, usable_width=1000.0))
    assert isinstance(cutting, Cutting)

    order = ordered(order_strips(straight_strips(cutting), TapeRun(1500.0), SEAM))

    assert order.joins == pytest.approx((975.0,))
    assert order.tape_length == pytest.approx(cutting.yield_length)


def test_every_other_trapezoid_is_turned_end_for_end() -> None:
    need = Need(8000.0, CUT, usable_width=1000.0)
    strips = bias_strips(layout(need))

    order = ordered(order_strips(strips, TapeRun(need.length), SEAM))

    trapezoids = [p for p in order.placed if p.strip.near is not p.strip.far]
    slants = [placed.first_end for placed in trapezoids]
    assert len(trapezoids) > 4
    assert all(a is not b for a, b in pairwise(slants))
    assert not any(p.is_turned for p in order.placed if p.strip.near is p.strip.far)


needs = st.builds(
    Need,
    length=st.floats(500.0, 20000.0),
    cut_width=st.floats(15.0, 90.0),
    usable_width=st.floats(500.0, 1600.0),
)


@settings(max_examples=60)
@given(needs, st.booleans())
def test_ends_that_meet_lean_alike_and_no_strip_is_turned_over(
    need: Need, may_turn: bool
) -> None:
    least = need.cut_width + LOSS
    strips = fit_ends(bias_strips(layout(need)), least, may_turn=may_turn)
    tape = math.fsum(s.length for s in strips) - LOSS * (len(strips) - 1)

    order = ordered(
        order_strips(strips, TapeRun(tape - 0.001), SEAM, may_turn=may_turn)
    )

    pairs = pairwise(order.placed)
    assert all(a.second_end is b.first_end for a, b in pairs)
    assert may_turn or not any(placed.is_turned for placed in order.placed)
    assert {p.strip.number for p in order.placed} == {s.number for s in strips}
    for placed, corners in zip(order.placed, laid_outlines(order), strict=True):
        # The same way round, the same sides, the same diagonals: moved, not flipped.
        cloth = np.array(placed.strip.corners) @ (1.0, 1.0j)
        laid = np.array(corners) @ (1.0, 1.0j)
        turned = np.roll(cloth, -2) if placed.is_turned else cloth
        motion = (laid[1] - laid[0]) / (turned[1] - turned[0])
        moved = laid[0] + (turned - turned[0]) * motion
        assert abs(abs(motion) - 1.0) < 1e-6
        assert np.abs(moved - laid).max() < 1e-5


# Keeping joins out


def test_an_order_is_found_without_any_extra_tape_where_there_is_one() -> None:
    # 400 first: a join at 391, inside the place; 300 first: 291 and 673 are free.
    run = TapeRun(900.0, avoid=((390.0, 20.0),))

    order = ordered(order_strips(parallelograms(400, 300, 300), run, SEAM))

    assert order.placed[0].strip.length == 300
    assert order.extra == 0.0
    assert order.is_least
    assert keeps_out(order, run)


def test_a_strip_is_trimmed_where_no_order_does_it() -> None:
    # By hand: all joins fall on 291 + 282 k; the first must be at 280: 11 mm off.
    run = TapeRun(700.0, avoid=((300.0, 20.0),))

    order = ordered(order_strips(parallelograms(300, 300, 300), run, SEAM))

    assert order.joins[0] == pytest.approx(280.0)
    assert order.extra == pytest.approx(300.0 - LOSS / 2 - 280.0)
    assert order.placed[0].trim == pytest.approx(order.extra)
    assert order.is_least


def test_a_closed_run_starts_elsewhere_instead_of_being_trimmed() -> None:
    run = TapeRun(700.0, 75.0, 75.0, is_closed=True, avoid=((216.0, 10.0), (0.0, 30.0)))

    order = ordered(order_strips(parallelograms(300, 300, 300), run, SEAM))

    assert order.extra == 0.0
    assert order.start == pytest.approx(30.0, abs=1e-5)
    assert keeps_out(order, run)


def test_a_closed_run_may_start_where_a_place_to_avoid_ends() -> None:
    run = TapeRun(500.0, is_closed=True, avoid=((250.0, 240.0),))

    order = ordered(order_strips(parallelograms(520), run, SEAM))

    assert nearness(order.start, 250.0, run) >= 240.0 - 1e-9


def brute_extra(strips: list[Strip], run: TapeRun, starts: list[float]) -> float:
    """Least extra tape over all orders, starts and trims back to the next free place.

    With one order and one start the last free place for each join is best: from
    there every later join can still be reached by trimming. (Here no strip is so
    short that trimming is limited.)
    """
    best = math.inf
    rounds = range(-3, 4) if run.is_closed else range(1)
    for start in starts:
        holes = [
            (at + k * run.length - within, at + k * run.length + within)
            for at, within in run.avoid
            for k in rounds
        ]
        if run.is_closed and any(low < start < high for low, high in holes):
            continue
        for order in permutations(strips):
            best = min(best, _extra(order, run, start, holes))
    return best


def _extra(
    order: tuple[Strip, ...],
    run: TapeRun,
    start: float,
    holes: list[tuple[float, float]],
) -> float:
    at, extra = LOSS / 2, 0.0
    for part in order:
        if at + part.length - LOSS / 2 >= run.tape - 1e-9:
            return extra
        whole = at + part.length - LOSS
        join = whole + start - run.lead
        while inside := [low for low, high in holes if low < join - 1e-9 < high - 2e-9]:
            join = min(inside)
        free = join - start + run.lead
        if free < at:
            return math.inf
        extra += whole - free
        at = free
    return math.inf


@pytest.mark.parametrize("case", range(40))
def test_no_order_of_an_open_run_takes_less_extra_tape(case: int) -> None:
    random = np.random.default_rng(case)
    strips = parallelograms(*random.choice((210.0, 330.0, 420.0), 5).tolist())
    total = sum(s.length for s in strips) - 4 * LOSS
    places = tuple(
        (random.uniform(0, total - 200), random.uniform(10, 60)) for _ in range(4)
    )
    run = TapeRun(total - random.uniform(100, 160), 10.0, 10.0, avoid=places)
    expected = brute_extra(strips, run, [0.0])

    found = order_strips(strips, run, SEAM)

    if isinstance(found, NoOrder):
        assert expected > total - run.tape
        return
    assert found.extra == pytest.approx(expected, abs=1e-4)
    assert found.is_least
    assert keeps_out(found, run)
    assert found.tape_length >= run.tape - 1e-6


@pytest.mark.parametrize("case", range(12))
def test_no_start_and_order_of_a_closed_run_takes_less_extra_tape(case: int) -> None:
    random = np.random.default_rng(1000 + case)
    strips = parallelograms(*random.choice((210.0, 230.0, 420.0), 4).tolist())
    total = sum(s.length for s in strips) - 3 * LOSS
    run = TapeRun(
        total - random.uniform(160, 220),
        50.0,
        50.0,
        is_closed=True,
        avoid=tuple(
            (at, random.uniform(35, 62))
            for at in np.arange(70.0, total - 250, 130.0).tolist()
        ),
    )
    starts = [run.length * k / 4000 for k in range(4000)]
    tried = brute_extra(strips, run, starts[:: 1 + case % 3])

    found = order_strips(strips, run, SEAM)

    if isinstance(found, NoOrder):
        assert tried > total - run.tape
        return
    assert found.extra <= tried + 1e-6
    assert keeps_out(found, run)


@settings(max_examples=60)
@given(
    needs,
    st.booleans(),
    st.lists(st.tuples(st.floats(0.0, 1.0), st.floats(1.0, 60.0)), max_size=5),
)
def test_whatever_comes_out_keeps_out_and_is_long_enough(
    need: Need, is_closed: bool, places: list[tuple[float, float]]
) -> None:
    strips = bias_strips(layout(need))
    length = 0.9 * need.length - 20.0
    run = TapeRun(
        length,
        10.0,
        10.0,
        is_closed=is_closed,
        avoid=tuple((share * length, within) for share, within in places),
    )

    found = order_strips(strips, run, SEAM)

    if isinstance(found, NoOrder):
        assert found.missing is None or found.missing > -1e-6
        return
    assert keeps_out(found, run)
    assert found.tape_length >= run.tape - 1e-6
    used = math.fsum(p.strip.length for p in found.placed)
    assert found.tape_length == pytest.approx(
        used - found.extra - LOSS * len(found.joins), abs=1e-6
    )
    pairs = pairwise(found.placed)
    assert all(a.second_end is b.first_end for a, b in pairs)
    assert all(
        p.strip.length - p.trim >= min(p.strip.length, need.cut_width + LOSS) - 1e-5
        for p in found.placed
    )
    numbers = [p.strip.number for p in found.placed] + [s.number for s in found.unused]
    assert sorted(numbers) == [s.number for s in strips]


def test_joins_stand_where_the_laid_polygons_meet() -> None:
    strips = bias_strips(layout(Need(6000.0, CUT, usable_width=900.0)))
    order = ordered(
        order_strips(strips, TapeRun(5800.0, avoid=((1000.0, 80.0),)), SEAM)
    )
    laid = [shapely.Polygon(corners) for corners in laid_outlines(order)]

    shared = shapely.intersection(laid[:-1], laid[1:])
    sewn = shapely.union_all(laid, grid_size=1e-7)

    middles = shapely.get_x(shapely.centroid(shared))
    assert middles == pytest.approx(order.joins, abs=1e-3)
    assert shapely.area(shared) == pytest.approx(LOSS * CUT, rel=1e-6)
    assert sewn.area / CUT == pytest.approx(order.tape_length, abs=0.01)


# What is not possible


def test_a_place_longer_than_every_strip_is_not_possible() -> None:
    run = TapeRun(800.0, avoid=((400.0, 160.0),))

    found = order_strips(parallelograms(300, 300, 300), run, SEAM)

    assert isinstance(found, NoOrder)
    assert found.missing is None
    assert "240 mm (9 1/2 in) to 560 mm" in found.reason
    assert "longest strip reaches only" in found.reason


def test_a_closed_run_that_may_nowhere_be_joined_is_not_possible() -> None:
    run = TapeRun(500.0, is_closed=True, avoid=((100.0, 260.0),))

    found = order_strips(parallelograms(600), run, SEAM)

    assert isinstance(found, NoOrder)
    assert "closing join" in found.reason


def test_without_spare_tape_it_says_how_much_is_missing() -> None:
    strips = parallelograms(300, 300, 300)
    tape = 900 - 2 * LOSS
    run = TapeRun(tape, avoid=((300.0, 20.0),))

    found = order_strips(strips, run, SEAM)

    assert isinstance(found, NoOrder)
    assert found.missing == pytest.approx(300.0 - LOSS / 2 - 280.0)
    assert "more tape, or avoid less" in found.reason


def test_too_little_tape_is_told_before_any_search() -> None:
    found = order_strips(parallelograms(300), TapeRun(400.0), SEAM)

    assert isinstance(found, NoOrder)
    assert found.missing == pytest.approx(100.0)
    assert "cut more strips" in found.reason


def test_ends_that_cannot_fit_are_told() -> None:
    strips = [
        strip(1, 300, End.BACK, End.BACK),
        strip(2, 300, End.FORWARD, End.FORWARD),
    ]

    found = order_strips(strips, TapeRun(400.0), SEAM)

    assert isinstance(found, NoOrder)
    assert "do not lean alike" in found.reason
    fitted = fit_ends(strips, CUT + LOSS)
    assert isinstance(order_strips(fitted, TapeRun(400.0), SEAM), StripOrder)


def test_a_trapezoid_on_one_way_cloth_needs_its_like_from_the_opposite_corner() -> None:
    alike = [strip(n, 300, End.FORWARD, End.BACK) for n in (1, 2)]
    opposite = [alike[0], strip(2, 300, End.BACK, End.FORWARD)]
    run = TapeRun(400.0)

    assert isinstance(order_strips(alike, run, SEAM, may_turn=False), NoOrder)
    assert isinstance(order_strips(alike, run, SEAM), StripOrder)
    assert isinstance(order_strips(opposite, run, SEAM, may_turn=False), StripOrder)


@pytest.mark.parametrize(
    ("run", "line"),
    [
        ({"length": 0.0}, "the run takes 0 mm"),
        ({"length": math.nan}, "the run takes nan mm"),
        ({"lead": -1.0}, "the tape before the run is -1 mm long"),
        ({"tail": math.inf}, "the tape after the run is inf mm long"),
        ({"at": 900.0}, "no join near 900 mm: the run goes from 0 mm to 500 mm"),
        ({"within": -2.0}, "no join within -2 mm"),
    ],
)
def test_a_run_that_cannot_be_is_refused(run: dict[str, float], line: str) -> None:
    figures = {"length": 500.0, "lead": 0.0, "tail": 0.0} | run
    avoid = ((run.get("at", 0.0), run.get("within", 1.0)),)

    with pytest.raises(SettingsError) as caught:
        TapeRun(figures["length"], figures["lead"], figures["tail"], avoid=avoid)

    assert any(message.startswith(line) for message in caught.value.messages)


def test_loose_ends_that_go_round_and_round_are_refused() -> None:
    with pytest.raises(SettingsError, match="give shorter ends"):
        TapeRun(10.0, 75.0, 75.0, is_closed=True)


def test_strips_of_two_widths_are_a_mistake_of_the_program() -> None:
    narrow = Strip(2, 300.0, 30.0, End.BACK, End.BACK, ((0.0, 0.0),) * 4)

    with pytest.raises(ValueError, match="one cut width"):
        order_strips([*parallelograms(300), narrow], TapeRun(400.0), SEAM)


def test_many_strips_and_many_places_are_ordered_quickly() -> None:
    need = Need(20000.0, CUT, usable_width=1066.8)
    strips = bias_strips(layout(need))
    run = TapeRun(19000.0, avoid=tuple((150.0 * i, 48.0) for i in range(3, 15)))
    began = time.process_time()

    found = order_strips(strips, run, SEAM)

    assert isinstance(found, StripOrder)
    assert time.process_time() - began < 1.0  # a search without bounds takes hours
