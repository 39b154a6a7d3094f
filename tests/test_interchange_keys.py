"""Keys and values of interchange texts."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from edgefinder.importers.interchange.keys import (
    PIECE_KEYS,
    grade_point_rule,
    key_and_value,
    read_keys,
    read_quantity,
)
from edgefinder.importers.interchange.layers import is_known, layer_number


@pytest.mark.parametrize(
    "text",
    [
        "Piece Name: Front",
        "piece name:Front",
        "PIECE NAME : Front ",
        "Piece_Name:\tFront",
        "Piece  Name\N{FULLWIDTH COLON}Front",
    ],
)
def test_a_key_is_read_however_it_is_spaced(text: str) -> None:
    assert read_keys([text]).get("piece name") == "Front"


def test_the_value_may_hold_a_colon() -> None:
    assert key_and_value("Creation Time: 12:30") == ("Creation Time", "12:30")


def test_a_text_without_a_colon_is_no_key() -> None:
    assert key_and_value("cut on the fold") is None
    assert key_and_value(": Front") is None


def test_the_first_key_that_says_something_counts() -> None:
    keys = read_keys(["Size:", "Size: M", "Size: L"])

    assert keys.get("size") == "M"


def test_the_second_name_of_a_key_is_asked_for_second() -> None:
    keys = read_keys(["Fabric: lawn"])

    assert keys.get("material", "fabric") == "lawn"
    assert keys.get("category") is None


def test_unknown_keys_are_listed_as_written() -> None:
    keys = read_keys(["Piece Name: A", "Colour: red", "colour: blue", "Colour: red"])

    assert keys.without(PIECE_KEYS) == ("Colour", "colour")


@pytest.mark.parametrize(
    ("text", "counts"),
    [
        ("1,1", (1, 1)),
        ("2", (2, 0)),
        ("0, 3", (0, 3)),
        ("1.0 , 1.000", (1, 1)),
        ("2 x", (2, 0)),
        ("0,0", None),
        ("1.5", None),
        ("-1", None),
        ("1,2,3", None),
        ("pair", None),
        (None, None),
    ],
)
def test_the_quantity_is_right_and_left(
    text: str | None, counts: tuple[int, int] | None
) -> None:
    assert read_quantity(text) == counts


@given(st.text(max_size=40))
def test_any_text_can_stand_in_a_drawing(text: str) -> None:
    read_keys([text])
    assert read_quantity(text) is None or sum(read_quantity(text) or ()) > 0
    grade_point_rule(text)


@pytest.mark.parametrize(
    ("text", "rule"),
    [("# 7", "7"), ("#12", "12"), (" # A1 ", "A1"), ("#", None), ("7", None)],
)
def test_a_grade_point_names_its_rule(text: str, rule: str | None) -> None:
    assert grade_point_rule(text) == rule


@pytest.mark.parametrize(
    ("name", "number"),
    [("1", 1), (" 84 ", 84), ("CUT", None), ("", None), (None, None)],
)
def test_layers_are_numbers(name: str | None, number: int | None) -> None:
    assert layer_number(name) == number


def test_layers_up_to_15_and_80_to_87_have_a_meaning() -> None:
    known = [n for n in range(200) if is_known(n)]

    assert known == [*range(16), *range(80, 88)]
