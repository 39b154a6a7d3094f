import math

import pytest

from edgefinder.reports.amounts import (
    area,
    cloth,
    degrees,
    length,
    percent,
    radius_at_least,
    to_cut,
    width,
    width_at_most,
)
from edgefinder.units import Unit

INCH, MM, CM = Unit.INCH, Unit.MILLIMETRE, Unit.CENTIMETRE


@pytest.mark.parametrize(
    ("millimetres", "unit", "expected"),
    [
        (365.125, INCH, "14 3/8 in"),
        (365.4, MM, "365 mm"),
        (365.4, CM, "36.5 cm"),
        (0.0, INCH, "0 in"),
        (None, INCH, "-"),
        (None, MM, "-"),
    ],
)
def test_a_measured_length_is_rounded_to_the_nearest_mark(
    millimetres: float | None, unit: Unit, expected: str
) -> None:
    assert length(millimetres, unit) == expected


@pytest.mark.parametrize(
    ("millimetres", "unit", "expected"),
    [
        (25.5, INCH, "1 1/8 in"),
        (25.4, INCH, "1 in"),
        (100.1, MM, "101 mm"),
        (100.1, CM, "10.1 cm"),
        (100 + 1e-9, MM, "100 mm"),  # the rounding error of a sum
    ],
)
def test_a_length_to_cut_is_rounded_up(
    millimetres: float, unit: Unit, expected: str
) -> None:
    assert to_cut(millimetres, unit) == expected
    assert radius_at_least(millimetres, unit) == expected


def test_widths_are_told_to_a_sixteenth_of_an_inch_or_a_tenth_of_a_millimetre() -> None:
    assert width(40.1, INCH) == "1 9/16 in"
    assert width(40.04, MM) == "40 mm"
    assert width(40.1, MM) == "40.1 mm"
    assert width(9.5, MM) == "9.5 mm"
    assert width(6.35, MM) == "6.4 mm"
    assert width(40.0, CM) == "4.0 cm"
    assert width(9.5, CM) == "0.95 cm"


@pytest.mark.parametrize(
    ("millimetres", "unit", "expected"),
    [
        (9.4, INCH, "5/16 in"),
        (9.4, MM, "9 mm"),
        (9.5, MM, "9.5 mm"),
        (9.99, CM, "0.95 cm"),
        (1.0, INCH, "none"),
        (0.9, MM, "none"),
        (0.9, CM, "none"),
        (10.4, CM, "1.0 cm"),
        (None, INCH, "any"),
        (math.inf, MM, "any"),
        (0.0, MM, "none"),
    ],
)
def test_a_greatest_width_is_rounded_down(
    millimetres: float | None, unit: Unit, expected: str
) -> None:
    assert width_at_most(millimetres, unit) == expected


def test_cloth_is_told_in_eighths_of_a_yard_or_centimetres_rounded_up() -> None:
    assert cloth(228.6, INCH) == "1/4 yd"
    assert cloth(230.0, INCH) == "3/8 yd"
    assert cloth(201.0, MM) == "21 cm"
    assert cloth(200.0, CM) == "20 cm"


def test_areas_are_told_in_whole_square_inches_or_centimetres() -> None:
    assert area(645.16, INCH) == "1 sq in"
    assert area(70_149.0, MM) == "701 cm2"


@pytest.mark.parametrize(
    ("fraction", "expected"),
    [(0.09, "9.0 %"), (0.0853, "8.5 %"), (0.214, "21 %"), (0.0, "0.0 %"), (None, "-")],
)
def test_per_cents_below_ten_have_a_decimal(
    fraction: float | None, expected: str
) -> None:
    assert percent(fraction) == expected


def test_angles_are_told_in_whole_degrees() -> None:
    assert degrees(math.pi / 2) == "90"
    assert degrees(-math.pi / 3) == "-60"
