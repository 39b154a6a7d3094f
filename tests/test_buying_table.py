from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal

import pytest

from edgefinder.classifier.price_words import Price, PriceUnit
from edgefinder.yardage.buying_table import TABLE_WIDTHS, buying_table, table_width
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
    for width in buying_table(replace(NEED, preparation=Preparation(selvage=15.0))):
        plan = cut_everything(replace(NEED, usable_width=width.usable_width))

        assert {row.method: row.cut_size for row in width.cuttings} == {
            cutting.method: cutting.cut_size for cutting in plan.cuttings
        }
        assert len(width.cuttings) + len(width.not_possible) == 5
        bought = [row.buy for row in width.cuttings]
        assert bought == sorted(bought)
        assert plan.least_cloth is not None
        assert bought[0] == pytest.approx(plan.least_cloth.buy)
        assert all(row.cost is None for row in width.cuttings)


def test_cloth_too_narrow_for_every_way_has_no_least() -> None:
    (narrow,) = buying_table(
        replace(NEED, cut_width=1400.0, length=1e5), [TABLE_WIDTHS[0]]
    )

    assert narrow.least is None
    assert len(narrow.not_possible) == 5


def test_preparation_buys_more_of_every_width() -> None:
    need = replace(NEED, buy_step=1.0)  # a coarse step may hold the allowances

    washed = Preparation(shrinkage_along=0.05, contingency=0.1)
    plain = buying_table(need)
    prepared = buying_table(replace(need, preparation=washed))

    for before, after in zip(plain, prepared, strict=True):
        assert after.cuttings[0].buy > before.cuttings[0].buy


def test_wider_cloth_never_takes_more() -> None:
    inches = sorted(buying_table(NEED), key=lambda width: width.usable_width)

    least = [width.cuttings[0].buy for width in inches]

    assert least == sorted(least, reverse=True)


def test_a_table_with_a_price_has_a_cost_in_every_row() -> None:
    price = Price(1199, PriceUnit.YARD)

    for width in buying_table(replace(NEED, price=price)):
        for row in width.cuttings:
            eighths = round(row.buy / 114.3)
            exact = Decimal(eighths) * 1199 / 8
            assert row.cost == int(exact.quantize(Decimal(1), ROUND_HALF_UP))
