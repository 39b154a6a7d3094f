import pytest
from hypothesis import given
from hypothesis import strategies as st

from edgefinder.classifier.price_words import Price, PriceUnit, parse_price
from edgefinder.errors import SettingsError

YARD, METRE = PriceUnit.YARD, PriceUnit.METRE


@pytest.mark.parametrize(
    ("text", "price"),
    [
        ("12.50 EUR per m", Price(1250, METRE, after="EUR")),
        ("12,50 kr per m", Price(1250, METRE, after="kr")),
        ("$9.99/yd", Price(999, YARD, before="$")),
        ("$ 9.99 per yard", Price(999, YARD, before="$")),
        ("CHF 20 per metre", Price(2000, METRE, before="CHF")),
        ("7.5 / m", Price(750, METRE)),
        ("1200 yen a meter", Price(120_000, METRE, after="yen")),
        ("3 half crowns per yd", Price(300, YARD, after="half crowns")),
        ("9.99 \u20ac/m", Price(999, METRE, after="\u20ac")),
    ],
)
def test_a_price_is_read_with_any_word_for_its_currency(
    text: str, price: Price
) -> None:
    assert parse_price(text) == price


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "is no price"),
        ("12.50 EUR", "is no price"),
        ("12.50 EUR per ell", "is no price"),
        ("EUR per m", "is no price"),
        ("-3 EUR per m", "is no price"),
        ("1,250 EUR per m", "3 figures after the point"),
        ("12.505 EUR per m", "3 figures after the point"),
        ("$12 EUR per m", "on both sides"),
        ("3 very precious seashells per m", "longer than 12 letters"),
    ],
)
def test_what_is_no_price_is_refused_with_what_it_is(text: str, words: str) -> None:
    with pytest.raises(SettingsError, match=words):
        parse_price(text)


@given(st.integers(0, 10**11 - 1), st.sampled_from(PriceUnit))
def test_what_is_written_is_read_again(coins: int, per: PriceUnit) -> None:
    price = Price(coins, per, after="thalers")

    assert parse_price(f"{price.write(coins)} per {per}") == price


def test_a_word_before_the_figure_stands_apart_and_a_sign_does_not() -> None:
    assert parse_price("USD 3/yd").write(1406) == "USD 14.06"
    assert parse_price("$3/yd").write(5) == "$0.05"


@pytest.mark.parametrize("coins", [-1, 10**13])
def test_a_price_that_cannot_be_is_refused(coins: int) -> None:
    with pytest.raises(SettingsError, match="give 0 or more"):
        Price(coins, PriceUnit.YARD)
