import math
from dataclasses import replace
from itertools import product

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from edgefinder.classifier.job import Grain
from edgefinder.yardage.bias_strips import cut_bias_strips, usable_lengths
from edgefinder.yardage.buying import round_up_to_step
from edgefinder.yardage.cutting import Cutting, Need, NotPossible
from edgefinder.yardage.one_cut import WantedTape, cut_sizes, one_cut
from edgefinder.yardage.straight_strips import cut_crosswise, cut_lengthwise
from edgefinder.yardage.strip_rows import OneCut

SEAM = 6.35
ROOT = math.sqrt(2.0)
ALONE = {
    Grain.BIAS: cut_bias_strips,
    Grain.CROSSWISE: cut_crosswise,
    Grain.LENGTHWISE: cut_lengthwise,
}


def tapes_of(lengths: list[tuple[float, float]], width: float) -> list[WantedTape]:
    return [
        WantedTape(f"tape {n}", Need(length, cut, usable_width=width, buy_step=1.0))
        for n, (length, cut) in enumerate(lengths)
    ]


def cut_of(result: OneCut | NotPossible) -> OneCut:
    assert isinstance(result, OneCut)
    return result


def length_alone(tape: WantedTape, grain: Grain) -> float:
    cutting = ALONE[grain](tape.need)
    assert isinstance(cutting, Cutting)
    return cutting.cut_size[1]


wanted = st.builds(
    tapes_of,
    st.lists(
        st.tuples(st.floats(400.0, 9000.0), st.floats(20.0, 80.0)),
        min_size=1,
        max_size=4,
    ),
    st.floats(600.0, 1500.0),
)


@settings(max_examples=60, deadline=None)
@given(wanted, st.sampled_from(list(Grain)))
def test_every_tape_is_long_enough_and_no_two_strips_overlap(
    tapes: list[WantedTape], grain: Grain
) -> None:
    cut = cut_of(one_cut(tapes, grain))

    outlines = [shapely.Polygon(s.strip.corners) for s in cut.strips]
    cloth = shapely.buffer(shapely.box(0.0, 0.0, cut.width, cut.length), 1e-5)
    assert all(shapely.contains(cloth, outline) for outline in outlines)
    areas = math.fsum(s.strip.length * s.strip.cut_width for s in cut.strips)
    assert shapely.union_all(outlines, grid_size=1e-6).area == pytest.approx(
        areas, rel=1e-5
    )
    for tape in tapes:
        assert cut.tape_length(tape.name, tape.need.seam) >= tape.need.length - 1e-4
    assert cut.lower_bound <= cut.length * (1.0 + 1e-9) + 0.01
    numbers = [s.strip.number for s in cut.strips]
    assert numbers == list(range(1, len(numbers) + 1))


@settings(max_examples=40, deadline=None)
@given(wanted)
def test_crosswise_together_never_takes_more_than_apart(
    tapes: list[WantedTape],
) -> None:
    apart = sum(length_alone(tape, Grain.CROSSWISE) for tape in tapes)

    assert cut_of(one_cut(tapes, Grain.CROSSWISE)).length <= apart + 1e-6


@settings(max_examples=40, deadline=None)
@given(wanted)
def test_bias_together_never_takes_more_than_apart(tapes: list[WantedTape]) -> None:
    apart = sum(length_alone(tape, Grain.BIAS) for tape in tapes)

    assert cut_of(one_cut(tapes, Grain.BIAS)).length <= apart + 1e-6


def test_bias_tapes_take_a_row_each_where_that_is_less() -> None:
    tapes = tapes_of([(1241.0, 66.0), (1242.0, 67.0), (1478.0, 49.0)], 626.0)

    cut = cut_of(one_cut(tapes, Grain.BIAS))

    assert cut.rows == 3
    assert cut.length == pytest.approx(sum(length_alone(t, Grain.BIAS) for t in tapes))
    for tape in tapes:
        assert cut.tape_length(tape.name, SEAM) >= tape.need.length - 1e-6


def test_one_bias_tape_takes_what_it_takes_alone() -> None:
    (tape,) = tapes_of([(5000.0, 50.0)], 1066.8)

    cut = cut_of(one_cut([tape], Grain.BIAS))

    alone = length_alone(tape, Grain.BIAS)
    assert cut.length == pytest.approx(alone, abs=0.01)


def yield_of_blocks(
    order: tuple[int, ...], tapes: list[WantedTape], length: float, start: float
) -> bool:
    """Whether blocks laid from one starting line are enough, by plain loops."""
    width = tapes[0].need.usable_width
    border = start - length
    for i in order:
        need = tapes[i].need
        loss = 2.0 * ROOT * need.seam
        shortest = max(need.shortest_strip, need.cut_width + loss)
        got, strips = 0.0, 0
        while got < need.length or not strips:
            place = border + need.cut_width / ROOT
            if border + need.cut_width * ROOT >= width:
                return False
            strip = float(
                usable_lengths(np.array([place]), width, length, need.cut_width)[0]
            )
            border += need.cut_width * ROOT
            if strip >= shortest:
                got += strip - (loss if strips else 0.0)
                strips += 1
    return True


@pytest.mark.parametrize(
    ("sizes", "width"),
    [
        ([(3000.0, 60.0), (1500.0, 90.0)], 1000.0),
        ([(2000.0, 45.0), (2500.0, 70.0)], 700.0),
    ],
)
def test_no_order_of_bias_tapes_and_no_finer_start_takes_less(
    sizes: list[tuple[float, float]], width: float
) -> None:
    tapes = tapes_of(sizes, width)

    cut = cut_of(one_cut(tapes, Grain.BIAS))

    for less in (2.0, 5.0, 15.0):
        for order in ((0, 1), (1, 0)):
            spacing = tapes[order[0]].need.cut_width * ROOT
            for start in np.arange(0.0, spacing, 0.25):
                assert not yield_of_blocks(
                    order, tapes, cut.length - less, float(start)
                )


def brute_row(tapes: list[WantedTape]) -> float:
    """The least length of one row over all numbers of strips."""
    width = tapes[0].need.usable_width
    ranges = [range(1, int(width / tape.need.cut_width) + 1) for tape in tapes]
    best = math.inf
    for counts in product(*ranges):
        needs = [tape.need for tape in tapes]
        used = sum(n * need.cut_width for n, need in zip(counts, needs, strict=True))
        if used > width:
            continue
        lengths = (
            max((need.length + (n - 1) * need.cut_width) / n, need.shortest_strip)
            for n, need in zip(counts, needs, strict=True)
        )
        best = min(best, max(lengths))
    return best


@settings(max_examples=40, deadline=None)
@given(
    st.lists(
        st.tuples(st.floats(400.0, 9000.0), st.floats(40.0, 140.0)),
        min_size=2,
        max_size=3,
    ),
    st.floats(500.0, 900.0),
)
def test_no_numbers_of_lengthwise_strips_make_a_shorter_row(
    sizes: list[tuple[float, float]], width: float
) -> None:
    tapes = tapes_of(sizes, width)

    cut = cut_of(one_cut(tapes, Grain.LENGTHWISE))

    assert (cut.rows, cut.is_exact) == (1, True)
    assert cut.length == pytest.approx(brute_row(tapes))


def test_lengthwise_tapes_too_wide_for_one_row_take_a_row_each() -> None:
    tapes = tapes_of([(700.0, 60.0), (500.0, 60.0)], 100.0)

    cut = cut_of(one_cut(tapes, Grain.LENGTHWISE))

    assert (cut.rows, cut.is_exact) == (2, False)
    assert cut.length == pytest.approx(1200.0)


def test_the_rests_of_two_crosswise_tapes_share_a_row() -> None:
    # By hand: 1300 needs 1000 and 340; 1500 needs 1000 and 540; 340 + 540 < 1000.
    tapes = tapes_of([(1300.0, 40.0), (1500.0, 40.0)], 1000.0)

    cut = cut_of(one_cut(tapes, Grain.CROSSWISE))

    assert (cut.rows, cut.length, cut.is_exact) == (3, 120.0, True)
    assert sorted(s.strip.length for s in cut.strips) == [340.0, 540.0, 1000.0, 1000.0]
    assert cut.tape_length("tape 0", SEAM) == pytest.approx(1300.0)


def test_a_tape_that_cannot_be_cut_is_named() -> None:
    tapes = tapes_of([(1300.0, 40.0), (1500.0, 300.0)], 200.0)

    found = one_cut(tapes, Grain.CROSSWISE)

    assert isinstance(found, NotPossible)
    assert found.reason.startswith('tape "tape 1": cloth 200 mm')


def test_tapes_of_two_cloths_are_a_mistake_of_the_program() -> None:
    tapes = [*tapes_of([(500.0, 40.0)], 900.0), *tapes_of([(500.0, 40.0)], 1000.0)]

    with pytest.raises(ValueError, match="one cloth"):
        one_cut(tapes, Grain.BIAS)
    with pytest.raises(ValueError, match="at least one"):
        one_cut([], Grain.BIAS)


def test_five_bias_tapes_are_laid_widest_or_narrowest_first() -> None:
    tapes = tapes_of([(900.0 + 100 * n, 30.0 + 7 * n) for n in range(5)], 1000.0)

    cut = cut_of(one_cut(tapes, Grain.BIAS))

    for tape in tapes:
        assert cut.tape_length(tape.name, SEAM) >= tape.need.length - 1e-4


@pytest.mark.parametrize("grain", list(Grain))
def test_every_size_stands_on_its_own_and_the_largest_is_named(grain: Grain) -> None:
    sizes = [
        (name, tapes_of([(length, 50.0), (0.5 * length, 40.0)], 1000.0))
        for name, length in (("M", 3000.0), ("XL", 5000.0), ("S", 2000.0))
    ]

    cuts = cut_sizes(sizes, grain)

    assert [cut.size for cut in cuts.sizes] == ["M", "XL", "S"]
    for (_, tapes), cut in zip(sizes, cuts.sizes, strict=True):
        assert cut.result == one_cut(tapes, grain)
        assert cut.buy == round_up_to_step(cut_of(cut.result).length, 1.0)
    assert cuts.largest is cuts.sizes[1]


def test_without_every_size_there_is_no_largest() -> None:
    possible = tapes_of([(3000.0, 50.0)], 100.0)
    narrow = [replace(possible[0], need=replace(possible[0].need, cut_width=120.0))]

    cuts = cut_sizes([("S", possible), ("M", narrow)], Grain.LENGTHWISE)

    assert isinstance(cuts.sizes[1].result, NotPossible)
    assert cuts.sizes[1].buy is None
    assert cuts.largest is None


@pytest.mark.parametrize("grain", Grain)
def test_more_strips_than_anybody_rules_are_refused(grain: Grain) -> None:
    tapes = [WantedTape(name, Need(1e7, 1.0, minimum_strip=0.0)) for name in "ab"]

    found = one_cut(tapes, grain)

    assert isinstance(found, NotPossible)
    assert "more than" in found.reason
