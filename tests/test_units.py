import contextlib
import doctest

import pytest
from hypothesis import given
from hypothesis import strategies as st

from edgefinder import units
from edgefinder.errors import SettingsError
from edgefinder.units import (
    LONGEST_TEXT,
    Rounding,
    Unit,
    format_length,
    format_yardage,
    parse_length,
    parse_load,
)

# 1 in = 25.4 mm, 1 ft = 12 in, 1 yd = 3 ft: international agreement of 1959.
READ = [
    ("9 mm", 9.0),
    ("9mm", 9.0),
    ("9.5 mm", 9.5),
    ("9,5 mm", 9.5),
    (".5 mm", 0.5),
    ("0 mm", 0.0),
    ("2.5 cm", 25.0),
    ("1 m", 1000.0),
    ("1 in", 25.4),
    ("3/8 in", 25.4 * 3 / 8),
    ("1 1/2 in", 38.1),
    ("1-1/2 in", 38.1),
    ('1 1/2"', 38.1),
    ("1½ in", 38.1),
    ("½”", 12.7),
    ("⅜ inch", 9.525),
    ("2 ''", 50.8),
    ("1 ft", 304.8),
    ("5' 3\"", 1600.2),
    ("1 yd", 914.4),
    ("1/4 yd", 228.6),
    ("1 yd 4 in", 1016.0),
    ("  10  MM ", 10.0),
    ("2 inches", 50.8),
    ("0,375 in", 9.525),
    ("10000 m", 1e7),
]


@pytest.mark.parametrize(("text", "millimetres"), READ)
def test_a_length_is_read_with_its_unit(text: str, millimetres: float) -> None:
    assert parse_length(text) == pytest.approx(millimetres, rel=1e-15)


@pytest.mark.parametrize("text", ["3", "3.5", "3/8", "1 1/2", " 7 ", "½", "0"])
def test_a_bare_number_is_an_error_that_offers_units(text: str) -> None:
    with pytest.raises(SettingsError, match=r'has no unit; write ".* in", ".* mm" or'):
        parse_length(text)


@pytest.mark.parametrize(
    ("text", "unit"), [("3 furlong", "furlong"), ("10 kilo", "kilo"), ("1e3 mm", "e")]
)
def test_an_unknown_unit_is_an_error_that_names_it(text: str, unit: str) -> None:
    with pytest.raises(SettingsError, match=f'has the unit "{unit}"; use mm, cm, m,'):
        parse_length(text)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "  ",
        "mm",
        "-3 mm",
        "+3 mm",
        "nan mm",
        "inf mm",
        "3 mm 4",
        "1/2/3 in",
        "1.5/2 in",
        "3 mm; 4 mm",
        "\u0663 mm",  # an Arabic-Indic three
        "\uff13 mm",  # a fullwidth three
        "3 mm\x00",
        "--",
        "1 //2 in",
    ],
)
def test_what_is_no_length_is_an_error_with_examples(text: str) -> None:
    with pytest.raises(SettingsError, match=r'is not a length; write it like "3/8 in"'):
        parse_length(text)


@pytest.mark.parametrize("text", ["1,000 mm", "12,500 mm", "1,375 in"])
def test_a_comma_before_three_digits_is_not_guessed_at(text: str) -> None:
    with pytest.raises(SettingsError, match="can be read in two ways"):
        parse_length(text)


def test_dividing_by_zero_is_an_error() -> None:
    with pytest.raises(SettingsError, match="divides by zero"):
        parse_length("1/0 in")


@pytest.mark.parametrize("text", ["10000.1 m", "999999999 yd", "9" * 50 + " mm"])
def test_a_length_beyond_ten_kilometres_is_a_slip_of_the_finger(text: str) -> None:
    with pytest.raises(SettingsError, match="longer than 10 km"):
        parse_length(text)


@pytest.mark.parametrize(
    "text", ["9" * 5000 + " in", "9" * 5000 + "/2 in", "1" + "0" * 400 + "/1 in"]
)
def test_a_number_of_thousands_of_digits_is_an_error_of_one_short_line(
    text: str,
) -> None:
    with pytest.raises(SettingsError) as caught:
        parse_length(text)

    assert len(caught.value.messages[0]) < 2 * LONGEST_TEXT


@given(st.text(max_size=80))
def test_any_text_is_a_length_or_an_error_for_the_person(text: str) -> None:
    with contextlib.suppress(SettingsError):
        assert 0 <= parse_length(text) <= 1e7


# Marks of a ruler, by hand: sixteenths and eighths of an inch.
INCHES = [
    (0.0, "0 in"),
    (25.4, "1 in"),
    (9.525, "3/8 in"),
    (38.1, "1 1/2 in"),
    (25.4 * 1.0624, "1 in"),
    (25.4 * 1.0626, "1 1/8 in"),
    (-9.525, "-3/8 in"),
]


@pytest.mark.parametrize(("length", "text"), INCHES)
def test_inches_are_written_in_eighths(length: float, text: str) -> None:
    assert format_length(length, Unit.INCH) == text


def test_a_finer_ruler_can_be_asked_for() -> None:
    assert format_length(25.4 * 1.0626, Unit.INCH, denominator=16) == "1 1/16 in"


@pytest.mark.parametrize(
    ("length", "millimetres", "centimetres"),
    [
        (0.0, "0 mm", "0.0 cm"),
        (365.4, "365 mm", "36.5 cm"),
        (365.5, "366 mm", "36.6 cm"),
        (9.0, "9 mm", "0.9 cm"),
        (-4.0, "-4 mm", "-0.4 cm"),
    ],
)
def test_metric_lengths_are_written_to_the_millimetre(
    length: float, millimetres: str, centimetres: str
) -> None:
    assert format_length(length, Unit.MILLIMETRE) == millimetres
    assert format_length(length, Unit.CENTIMETRE) == centimetres


@pytest.mark.parametrize(
    ("rounding", "inches", "millimetres"),
    [
        (Rounding.NEAREST, "4 in", "101 mm"),
        (Rounding.UP, "4 in", "102 mm"),
        (Rounding.DOWN, "3 7/8 in", "101 mm"),
    ],
)
def test_a_figure_is_moved_to_the_mark_that_is_asked_for(
    rounding: Rounding, inches: str, millimetres: str
) -> None:
    assert format_length(101.4, Unit.INCH, rounding=rounding) == inches
    assert format_length(101.4, Unit.MILLIMETRE, rounding=rounding) == millimetres


def test_the_rounding_error_of_a_sum_is_not_rounded_up() -> None:
    total = sum([25.4 / 10] * 30)  # 3 in and a few bits

    assert format_length(total, Unit.INCH, rounding=Rounding.UP) == "3 in"


@pytest.mark.parametrize(
    ("length", "yards", "centimetres"),
    [
        (914.4, "1 yd", "92 cm"),
        (914.5, "1 1/8 yd", "92 cm"),
        (0.0, "0 yd", "0 cm"),
        (1300.0, "1 1/2 yd", "130 cm"),
    ],
)
def test_cloth_is_rounded_up_to_what_a_shop_cuts(
    length: float, yards: str, centimetres: str
) -> None:
    assert format_yardage(length, Unit.INCH) == yards
    assert format_yardage(length, Unit.MILLIMETRE) == centimetres


@given(st.floats(0, 1e5), st.sampled_from(Unit))
def test_a_length_rounded_up_never_reads_back_shorter(
    length: float, unit: Unit
) -> None:
    text = format_length(length, unit, rounding=Rounding.UP)

    assert parse_length(text) >= length - 1e-4


@given(st.floats(0, 1e5), st.sampled_from(Unit))
def test_a_written_length_reads_back_within_half_a_mark(
    length: float, unit: Unit
) -> None:
    mark = 25.4 / 8 if unit is Unit.INCH else 1.0

    assert abs(parse_length(format_length(length, unit)) - length) <= mark / 2 + 1e-9


def test_the_examples_of_the_docstrings_are_true() -> None:
    results = doctest.testmod(units)

    assert results.attempted > 0
    assert results.failed == 0


# Loads


@pytest.mark.parametrize(
    ("text", "newton"),
    # Standard gravity 9.80665 m/s2 and the pound of 0.45359237 kg, both by definition;
    # a pound of force is 4.4482216152605 N exactly (NIST SP 811, appendix B.8).
    [
        ("1 N", 1.0),
        ("1kg", 9.80665),
        ("100 g", 0.980665),
        ("0,1 kg", 0.980665),
        ("1 lb", 4.4482216152605),
        ("16 oz", 4.4482216152605),
        ("1 lb 4 oz", 1.25 * 4.4482216152605),
        ("3 1/2 oz", 3.5 / 16 * 4.4482216152605),
        ("½ pound", 4.4482216152605 / 2),
        ("0 g", 0.0),
        ("2 Newtons", 2.0),
    ],
)
def test_a_load_is_read_in_newtons(text: str, newton: float) -> None:
    assert parse_load(text) == pytest.approx(newton, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("100", '"100" has no unit; write "100 g" or "100 oz"'),
        ("100 mm", '"100 mm" has the unit "mm"; use g, kg, N, oz or lb'),
        ("g", '"g" is not a load; write it like "100 g", "1 N" or "3 1/2 oz"'),
        ("-1 g", '"-1 g" is not a load; write it like "100 g", "1 N" or "3 1/2 oz"'),
        ("1,000 g", '"1,000 g" can be read in two ways; write a decimal point, or no'),
        ("2000 N", '"2000 N" is more than 1000 N, which no strip is tested with'),
        ("1/0 g", '"1/0 g" divides by zero'),
        ("9" * 80 + " g", f'"{"9" * 60}..." is not a load'),
    ],
)
def test_what_is_no_load_is_told_how_it_is_written(text: str, said: str) -> None:
    with pytest.raises(SettingsError) as told:
        parse_load(text)

    assert told.value.messages[0].startswith(said)
