from decimal import ROUND_HALF_UP, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from edgefinder.classifier.price_words import Price, PriceUnit
from edgefinder.constants import BUY_STEP_INCH_MM, BUY_STEP_METRIC_MM
from edgefinder.yardage.cost import cost_of


@pytest.mark.parametrize(
    ("length", "step", "price", "cost"),
    [
        # By hand: 1 1/8 yd at 12.50 is 14.0625; 0.3 m at 9.95 is 2.985.
        (1028.7, BUY_STEP_INCH_MM, Price(1250, PriceUnit.YARD), 1406),
        (300.0, BUY_STEP_METRIC_MM, Price(995, PriceUnit.METRE), 299),
        (914.4, BUY_STEP_INCH_MM, Price(333, PriceUnit.YARD), 333),
        (914.4, BUY_STEP_INCH_MM, Price(1000, PriceUnit.METRE), 914),
        (100.0, BUY_STEP_METRIC_MM, Price(5, PriceUnit.METRE), 1),  # half a coin
        (0.0, BUY_STEP_METRIC_MM, Price(995, PriceUnit.METRE), 0),
    ],
)
def test_the_cost_is_exact_to_the_smallest_coin(
    length: float, step: float, price: Price, cost: int
) -> None:
    assert cost_of(length, step, price) == cost


@given(steps=st.integers(0, 100_000), coins=st.integers(0, 10_000_000))
def test_the_cost_is_that_of_decimal_arithmetic(steps: int, coins: int) -> None:
    exact = Decimal(steps) * coins / 8

    found = cost_of(
        steps * BUY_STEP_INCH_MM, BUY_STEP_INCH_MM, Price(coins, PriceUnit.YARD)
    )

    assert found == int(exact.quantize(Decimal(1), ROUND_HALF_UP))


def test_a_length_between_two_steps_is_a_mistake_of_the_program() -> None:
    with pytest.raises(ValueError, match="no whole number of steps"):
        cost_of(150.0, 100.0, Price(100, PriceUnit.METRE))
