import pytest

from edgefinder.classifier.width_words import ClothWidth, parse_cloth_width
from edgefinder.errors import SettingsError

INCH = 25.4


@pytest.mark.parametrize(
    ("text", "width"),
    [
        ("44-45 in", ClothWidth("44-45 in", 44 * INCH, 45 * INCH)),
        ("44/45 in", ClothWidth("44-45 in", 44 * INCH, 45 * INCH)),
        ("35 - 36 inches", ClothWidth("35-36 inches", 35 * INCH, 36 * INCH)),
        ("110-115cm", ClothWidth("110-115 cm", 1100.0, 1150.0)),
        ("150 cm", ClothWidth("150 cm", 1500.0, 1500.0)),
        ("1.4 m", ClothWidth("1.4 m", 1400.0, 1400.0)),
        ("44 1/2 in", ClothWidth("44 1/2 in", 44.5 * INCH, 44.5 * INCH)),
    ],
)
def test_a_width_or_a_range_is_read(text: str, width: ClothWidth) -> None:
    found = parse_cloth_width(text)

    assert found.label == width.label
    assert found.narrowest == pytest.approx(width.narrowest)
    assert found.widest == pytest.approx(width.widest)


@pytest.mark.parametrize("text", ["", "wide", "45-44 in", "0 cm", "44", "90-900 m"])
def test_what_is_no_width_is_refused(text: str) -> None:
    with pytest.raises(SettingsError):
        parse_cloth_width(text)
