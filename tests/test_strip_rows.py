import math
from collections.abc import Iterator

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from edgefinder.classifier.job import Grain
from edgefinder.yardage.cutting import NotPossible
from edgefinder.yardage.strip_rows import MOST_EXACT, OneCut, WholeStrip, pack_rows

WIDTH = 1000.0

strips_small = st.lists(
    st.builds(
        WholeStrip,
        st.sampled_from("abc"),
        st.floats(100.0, 1000.0),
        st.floats(20.0, 90.0),
    ),
    min_size=1,
    max_size=6,
)
strips_many = st.lists(
    st.builds(
        WholeStrip,
        st.sampled_from("abc"),
        st.floats(50.0, 1000.0),
        st.floats(20.0, 90.0),
    ),
    min_size=MOST_EXACT + 1,
    max_size=40,
)


def packed(result: OneCut | NotPossible) -> OneCut:
    assert isinstance(result, OneCut)
    return result


def partitions(items: list[int]) -> Iterator[list[list[int]]]:
    if not items:
        yield []
        return
    for rest in partitions(items[1:]):
        yield [[items[0]], *rest]
        for k in range(len(rest)):
            yield [*rest[:k], [items[0], *rest[k]], *rest[k + 1 :]]


def brute_length(strips: list[WholeStrip]) -> float:
    """The least length over every way to put crosswise strips into rows."""
    return min(
        sum(max(strips[i].cut_width for i in row) for row in rows)
        for rows in partitions(list(range(len(strips))))
        if all(sum(strips[i].length for i in row) <= WIDTH + 1e-9 for row in rows)
    )


def lies_well(cut: OneCut) -> None:
    outlines = [shapely.Polygon(s.strip.corners) for s in cut.strips]
    cloth = shapely.buffer(shapely.box(0.0, 0.0, cut.width, cut.length), 1e-6)
    assert all(shapely.contains(cloth, outline) for outline in outlines)
    apart = shapely.union_all(outlines, grid_size=1e-6).area
    assert apart == pytest.approx(
        math.fsum(s.strip.length * s.strip.cut_width for s in cut.strips), rel=1e-6
    )


@settings(max_examples=60, deadline=None)
@given(strips_small)
def test_no_way_to_put_a_few_strips_into_rows_takes_less(
    strips: list[WholeStrip],
) -> None:
    cut = packed(pack_rows(strips, WIDTH, Grain.CROSSWISE))

    assert cut.is_exact
    assert cut.length == pytest.approx(brute_length(strips))
    assert cut.lower_bound <= cut.length * (1.0 + 1e-9)
    lies_well(cut)


@settings(max_examples=40, deadline=None)
@given(strips_many)
def test_many_strips_lie_apart_and_near_the_bound(strips: list[WholeStrip]) -> None:
    cut = packed(pack_rows(strips, WIDTH, Grain.CROSSWISE))

    lies_well(cut)
    assert len(cut.strips) == len(strips)
    assert cut.lower_bound <= cut.length * (1.0 + 1e-9)
    # Derived: the first strip of a row did not fit the row before, and is as long as
    # its own row; so two neighbouring rows hold more area than the second is large.
    widest = max(strip.cut_width for strip in strips)
    assert cut.length <= 2.0 * cut.lower_bound + widest
    assert 0.0 <= cut.waste < 1.0


def test_strips_that_fill_a_row_exactly_share_it() -> None:
    strips = [WholeStrip("a", 600.0, 40.0), WholeStrip("b", 400.0, 40.0)]

    cut = packed(pack_rows(strips, WIDTH, Grain.CROSSWISE))

    assert (cut.length, cut.rows, cut.waste) == (40.0, 1, 0.0)
    assert cut.lower_bound == 40.0


def test_the_bound_counts_strips_of_which_no_two_share_a_row() -> None:
    strips = [WholeStrip("a", 510.0, 40.0)] * 3

    cut = packed(pack_rows(strips, WIDTH, Grain.CROSSWISE))

    assert cut.lower_bound == cut.length == 120.0


def test_lengthwise_strips_stand_beside_one_another() -> None:
    strips = [WholeStrip("a", 900.0, 400.0), WholeStrip("b", 500.0, 600.0)]

    cut = packed(pack_rows(strips, WIDTH, Grain.LENGTHWISE))

    assert (cut.length, cut.rows) == (900.0, 1)
    lies_well(cut)


def test_whole_widths_do_not_use_up_the_exact_search() -> None:
    strips = [WholeStrip("a", 1000.0, 40.0)] * 30 + [WholeStrip("b", 300.0, 40.0)] * 6

    cut = packed(pack_rows(strips, WIDTH, Grain.CROSSWISE))

    assert cut.is_exact
    assert cut.rows == 32


@settings(max_examples=20)
@given(strips_small)
def test_scaling_the_cut_widths_scales_the_length(strips: list[WholeStrip]) -> None:
    wider = [WholeStrip(s.tape, s.length, 3.0 * s.cut_width) for s in strips]

    before = packed(pack_rows(strips, WIDTH, Grain.CROSSWISE))
    after = packed(pack_rows(wider, WIDTH, Grain.CROSSWISE))

    assert after.length == pytest.approx(3.0 * before.length)


def test_the_length_of_a_tape_takes_its_joins_off() -> None:
    strips = [WholeStrip("a", 600.0, 40.0), WholeStrip("a", 400.0, 40.0)]

    cut = packed(pack_rows(strips, WIDTH, Grain.CROSSWISE))

    assert cut.tape_length("a", 6.35) == 960.0
    assert cut.tape_length("b", 6.35) == 0.0


def test_a_strip_longer_than_the_cloth_is_wide_is_not_possible() -> None:
    found = pack_rows([WholeStrip("a", 1001.0, 40.0)], WIDTH, Grain.CROSSWISE)

    assert isinstance(found, NotPossible)
    assert "use a wider cloth" in found.reason


def test_more_strips_than_anybody_cuts_are_not_possible() -> None:
    found = pack_rows([WholeStrip("a", 100.0, 40.0)] * 10_001, WIDTH, Grain.CROSSWISE)

    assert isinstance(found, NotPossible)
    assert "more than 10000" in found.reason


def test_bias_strips_and_no_strips_are_mistakes_of_the_program() -> None:
    with pytest.raises(ValueError, match="rows are of straight strips"):
        pack_rows([WholeStrip("a", 100.0, 40.0)], WIDTH, Grain.BIAS)
    with pytest.raises(ValueError, match="at least one"):
        pack_rows([], WIDTH, Grain.CROSSWISE)


def test_random_many_strips_waste_little() -> None:
    numbers = np.random.default_rng(3)
    strips = [WholeStrip("a", float(n), 40.0) for n in numbers.uniform(60, 400, 200)]

    cut = packed(pack_rows(strips, WIDTH, Grain.CROSSWISE))

    assert not cut.is_exact
    assert cut.length <= 1.1 * cut.lower_bound
