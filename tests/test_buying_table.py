from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from edgefinder.constants import BUY_STEP_INCH_MM, BUY_STEP_METRIC_MM
from edgefinder.errors import SettingsError
from edgefinder.yardage.buying_table import (
    TABLE_WIDTHS,
    Price,
    PriceUnit,
    buying_table,
    cost_of,
    table_width,
)
from edgefinder.yardage.cutting import Need
from edgefinder.yardage.methods import cut_everything
from edgefinder.yardage.preparation import Preparation

OFF = Preparation()
NEED = Need(8000.0, 50.0)


def test_the_table_has_the_widths_that_shops_sell_most() -> None:
    assert [width.label for width in TABLE_WIDTHS] == [
        "35-36 in",
        "44-45 in",
        "54 in",
        "58-60 in",
        "90 cm",
        "112 cm",
        "140 cm",
        "150 cm",
    ]
    narrowest = [width.narrowest for width in TABLE_WIDTHS]
    assert narrowest[2] == pytest.approx(54 * 25.4)
    assert narrowest[5] == 1120.0
    assert all("not verified" in width.source for width in TABLE_WIDTHS[4:])


def test_a_range_of_widths_is_cut_as_its_narrowest() -> None:
    assert table_width(TABLE_WIDTHS[0], OFF) == pytest.approx(35 * 25.4)


def test_the_published_usable_width_stands_unless_a_selvage_is_set() -> None:
    quilting = TABLE_WIDTHS[1]

    assert table_width(quilting, OFF) == pytest.approx(42 * 25.4)
    assert table_width(quilting, Preparation(selvage=10.0)) == pytest.approx(
        44 * 25.4 - 20.0
    )


def test_every_row_is_the_cutting_from_that_width() -> None:
    for width in buying_table(NEED, Preparation(selvage=15.0)):
        plan = cut_everything(replace(NEED, usable_width=width.usable_width))

        assert {row.cutting.method: row.cutting.cut_size for row in width.rows} == {
            cutting.method: cutting.cut_size for cutting in plan.cuttings
        }
        assert len(width.rows) + len(width.not_possible) == 5
        bought = [row.amount.buy for row in width.rows]
        assert bought == sorted(bought)
        assert plan.least_cloth is not None
        assert bought[0] == pytest.approx(plan.least_cloth.buy)
        assert all(row.cost is None for row in width.rows)


def test_preparation_buys_more_of_every_width() -> None:
    need = replace(NEED, buy_step=1.0)  # a coarse step may hold the allowances

    plain = buying_table(need, OFF)
    washed = buying_table(need, Preparation(shrinkage_along=0.05, contingency=0.1))

    for before, after in zip(plain, washed, strict=True):
        assert after.rows[0].amount.buy > before.rows[0].amount.buy


def test_wider_cloth_never_takes_more() -> None:
    inches = sorted(buying_table(NEED, OFF), key=lambda width: width.usable_width)

    least = [width.rows[0].amount.buy for width in inches]

    assert least == sorted(least, reverse=True)


def test_a_table_with_a_price_has_a_cost_in_every_row() -> None:
    price = Price(1199, PriceUnit.YARD)

    for width in buying_table(NEED, OFF, price):
        for row in width.rows:
            eighths = round(row.amount.buy / 114.3)
            exact = Decimal(eighths) * 1199 / 8
            assert row.cost == int(exact.quantize(Decimal(1), ROUND_HALF_UP))


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


@pytest.mark.parametrize("coins", [-1, 10**13])
def test_a_price_that_cannot_be_is_refused(coins: int) -> None:
    with pytest.raises(SettingsError, match="give 0 or more"):
        Price(coins, PriceUnit.YARD)
