import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from edgefinder.yardage.buying import round_up_to_step
from edgefinder.yardage.cutting import Cutting, Method, Need, NotPossible
from edgefinder.yardage.straight_strips import (
    cut_crosswise,
    cut_lengthwise,
    joined_length,
)

needs = st.builds(
    Need,
    length=st.floats(10.0, 40000.0),
    cut_width=st.floats(8.0, 150.0),
    usable_width=st.floats(300.0, 1700.0),
)


def cutting(result: Cutting | NotPossible) -> Cutting:
    assert isinstance(result, Cutting)
    return result


def test_a_diagonal_join_of_square_ends_takes_one_strip_width() -> None:
    # Two strips laid at right angles over each other and sewn corner to corner of
    # the square in which they cross: the midline turns the corner at its middle.
    width, strip = 40.0, 500.0
    first = shapely.box(0.0, 0.0, strip, width)
    crossing = shapely.box(strip - width, 0.0, strip, width)
    middle = shapely.centroid(crossing)

    midline_of_each = middle.x - 0.0

    assert shapely.contains(first, middle)
    assert 2.0 * midline_of_each == pytest.approx(joined_length(2, strip, width))


@pytest.mark.parametrize(
    ("length", "strips", "yielded"),
    [
        (1000.0, 1, 1000.0),
        (1000.1, 2, 1950.0),  # 2 x 1000 - 50
        (1950.0, 2, 1950.0),
        (1950.1, 3, 2900.0),
        (9550.0, 10, 9550.0),  # 10 x 1000 - 9 x 50
    ],
)
def test_crosswise_strips_by_hand(length: float, strips: int, yielded: float) -> None:
    found = cutting(cut_crosswise(Need(length, 50.0, usable_width=1000.0)))

    assert found.strips == strips
    assert found.yield_length == pytest.approx(yielded)
    assert found.cut_size == pytest.approx((1000.0, strips * 50.0))
    assert (found.joins, found.seams_in_tape) == (strips - 1, strips - 1)
    assert found.lines == strips - 1
    assert found.strip_lengths == (1000.0,) * strips


def test_crosswise_waste_is_the_share_of_cloth_that_is_not_needed() -> None:
    found = cutting(cut_crosswise(Need(1500.0, 50.0, usable_width=1000.0)))

    # 2 strips of 1000 x 50 are cut, 1500 x 50 of them are needed.
    assert found.waste == pytest.approx(0.25)
    assert found.spare == pytest.approx(450.0)
    assert found.buy == pytest.approx(114.3)


def test_lengthwise_strips_by_hand() -> None:
    # Two strips fit into 105 mm. Side by side each is (2000 + 50)/2 = 1025 long.
    found = cutting(
        cut_lengthwise(Need(2000.0, 50.0, usable_width=105.0, buy_step=100.0))
    )

    assert found.method is Method.LENGTHWISE_STRIPS
    assert found.strips == 2
    assert found.cut_size == pytest.approx((100.0, 1025.0))
    assert found.yield_length == pytest.approx(2000.0)
    assert found.buy == pytest.approx(1100.0)


def test_lengthwise_takes_the_fewest_joins_for_the_cloth_that_is_bought() -> None:
    # Bought by the metre, 950 mm of tape needs one strip, however many would fit.
    found = cutting(cut_lengthwise(Need(950.0, 20.0, buy_step=1000.0)))

    assert (found.strips, found.joins, found.lines) == (1, 0, 0)
    assert found.cut_size == pytest.approx((20.0, 950.0))


def test_lengthwise_strips_are_not_shorter_than_the_shortest_allowed() -> None:
    found = cutting(
        cut_lengthwise(Need(3000.0, 20.0, buy_step=1.0, minimum_strip=400.0))
    )

    assert min(found.strip_lengths) >= 400.0
    assert found.yield_length >= 3000.0


@given(needs)
def test_crosswise_is_enough_and_a_strip_less_is_not(need: Need) -> None:
    found = cutting(cut_crosswise(need))

    assert found.yield_length >= need.length
    assert found.cut_size[1] == pytest.approx(found.strips * need.cut_width)
    fewer = found.strips - 1
    assert (
        fewer == 0
        or joined_length(fewer, need.usable_width, need.cut_width) < need.length
    )


@given(needs)
def test_lengthwise_is_enough_and_no_count_of_strips_buys_less(need: Need) -> None:
    found = cutting(cut_lengthwise(need))
    across, along = found.cut_size

    assert found.yield_length >= need.length
    assert across <= need.usable_width
    assert joined_length(found.strips, along, need.cut_width) == pytest.approx(
        found.yield_length
    )
    for strips in range(1, int(need.usable_width / need.cut_width) + 1):
        strip = (need.length + (strips - 1) * need.cut_width) / strips
        allowed = max(strip, min(need.minimum_strip, need.length))
        bought = round_up_to_step(allowed, need.buy_step)
        assert bought >= found.buy - 1e-6
        assert strips >= found.strips or bought > found.buy + 1e-6


@given(needs, st.floats(0.0, 5000.0))
def test_a_longer_tape_never_takes_less_cloth(need: Need, more: float) -> None:
    longer = Need(need.length + more, need.cut_width, usable_width=need.usable_width)

    assert cutting(cut_crosswise(longer)).buy >= cutting(cut_crosswise(need)).buy
    assert cutting(cut_lengthwise(longer)).buy >= cutting(cut_lengthwise(need)).buy


@pytest.mark.parametrize(
    ("width", "cut", "minimum"),
    [(40.0, 50.0, 0.0), (50.0, 50.0, 0.0), (100.0, 20.0, 150.0)],
)
def test_strips_too_short_to_join_are_not_possible_crosswise(
    width: float, cut: float, minimum: float
) -> None:
    need = Need(1000.0, cut, usable_width=width, minimum_strip=minimum)

    found = cut_crosswise(need)

    assert isinstance(found, NotPossible)
    assert "use a wider cloth" in found.reason


def test_a_strip_wider_than_the_cloth_is_not_possible_lengthwise() -> None:
    found = cut_lengthwise(Need(1000.0, 50.0, usable_width=40.0))

    assert isinstance(found, NotPossible)
    assert "does not fit into cloth" in found.reason


def test_a_join_that_eats_nearly_the_whole_strip_ends_quickly() -> None:
    need = Need(1e7, 99.999999, usable_width=100.0, minimum_strip=0.0)

    found = cut_crosswise(need)

    assert isinstance(found, NotPossible)
    assert "more than 10000 strips" in found.reason


def test_a_strip_made_to_measure_is_not_lost_to_rounding() -> None:
    for strips in range(1, 200):
        length = joined_length(strips, 1066.8, 38.1)
        shared = math.fsum([length / 3] * 3)

        found = cutting(cut_crosswise(Need(shared, 38.1)))

        assert found.strips == strips
