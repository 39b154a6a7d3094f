import pytest
from hypothesis import given
from hypothesis import strategies as st

from edgefinder.classifier.size_words import parse_size
from edgefinder.errors import SettingsError

INCH = 25.4


@pytest.mark.parametrize(
    ("text", "across", "along"),
    [
        ("14 x 44 in", 14 * INCH, 44 * INCH),
        ("14x44in", 14 * INCH, 44 * INCH),
        ('14" x 44"', 14 * INCH, 44 * INCH),
        ("14 in by 1 yd", 14 * INCH, 36 * INCH),
        ("30 cm X 1.2 m", 300.0, 1200.0),
        ("30 \u00d7 40 cm", 300.0, 400.0),
        ("7 1/2 x 20 1/4 in", 7.5 * INCH, 20.25 * INCH),
    ],
)
def test_a_size_is_across_and_along(text: str, across: float, along: float) -> None:
    assert parse_size(text) == pytest.approx((across, along))


@pytest.mark.parametrize(
    "text", ["", "14 in", "14 x", "x 44 in", "1 x 2 x 3 cm", "14 x 44", "0 x 3 in"]
)
def test_what_is_no_size_is_refused(text: str) -> None:
    with pytest.raises(SettingsError):
        parse_size(text)


@given(st.text(max_size=30))
def test_whatever_is_typed_is_a_size_or_a_mistake(text: str) -> None:
    try:
        sides = parse_size(text)
    except SettingsError:
        return

    assert all(side > 0.0 for side in sides)
