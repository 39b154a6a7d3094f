"""What a job file says of its cloth, and the tape that is cut from it."""

from pathlib import Path

import pytest
from tape_cases import job_of

from edgefinder.classifier.job import FabricSettings, Grain
from edgefinder.classifier.price_words import Price, PriceUnit
from edgefinder.errors import SettingsError
from edgefinder.schedule.fabric_need import (
    fabric_need,
    preparation_of,
    usable_width_of,
    widths_of,
)
from edgefinder.yardage.buying_table import TABLE_WIDTHS

SQUARE = '<path id="patch" d="M 100 100 h 200 v 200 h -200 z"/>'
INCH = 25.4


def fabric(folder: Path, lines: str) -> FabricSettings:
    return job_of(folder, SQUARE, f"[fabric]\n{lines}").fabric


def test_everything_is_off_where_nothing_is_said(tmp_path: Path) -> None:
    found = fabric(tmp_path, "")

    assert preparation_of(found) == preparation_of(FabricSettings("", 1.0, 0, 1, 0))
    assert (found.one_way, found.same_slant, found.price) == (False, False, None)
    assert widths_of(found) == ()
    assert usable_width_of(found) == pytest.approx(42 * INCH)


def test_every_word_of_the_table_reaches_the_tape_that_is_needed(
    tmp_path: Path,
) -> None:
    found = fabric(
        tmp_path,
        """
cloth_width = "44 in"
selvage = "1 in"
shrinkage_lengthwise_percent = 4
shrinkage_crosswise_percent = 2.5
squaring_up = "2 in"
contingency_percent = 10
one_way = true
same_slant = true
price = "$9.99 per yd"
buy_step = "1/4 yd"
strip_seam = "3/8 in"
shortest_strip = "5 in"
""",
    )

    need = fabric_need(found, 4000.0, 50.0, Grain.BIAS)

    assert need.usable_width == pytest.approx((44 * 0.975 - 2) * INCH)
    bought = need.to_buy(960.0)
    assert bought.contingency == pytest.approx(96.0)
    assert bought.squaring == pytest.approx(2 * INCH)
    assert bought.buy == pytest.approx(6 * 228.6)  # (1056 + 50.8)/0.96 = 1152.9
    assert (need.one_way, need.same_slant) == (True, True)
    assert need.price == Price(999, PriceUnit.YARD, before="$")
    assert need.seam == pytest.approx(0.375 * INCH)
    assert need.minimum_strip == pytest.approx(5 * INCH)


def test_pieces_that_are_there_are_read_with_their_sizes(tmp_path: Path) -> None:
    found = fabric(
        tmp_path,
        'from = "14 x 44 in"\nscrap = ["8 x 20 in", "10  by 30 cm"]\n'
        'scraps = "left.svg"\nscrap_grain = 30',
    )

    assert found.rectangle == pytest.approx((14 * INCH, 44 * INCH))
    assert [text for text, *_ in found.scrap_sizes] == ["8 x 20 in", "10 by 30 cm"]
    assert found.scrap_sizes[1][1:] == pytest.approx((100.0, 300.0))
    assert (found.scrap_drawing, found.scrap_grain) == ("left.svg", 30.0)


def test_a_usable_width_shrinks_but_has_lost_its_selvages_already(
    tmp_path: Path,
) -> None:
    found = fabric(tmp_path, 'usable_width = "1 m"\nshrinkage_crosswise_percent = 5')

    assert usable_width_of(found) == pytest.approx(950.0)


def test_widths_are_the_usual_ones_or_those_that_are_written(tmp_path: Path) -> None:
    usual = fabric(tmp_path, 'widths = "Usual"')
    own = fabric(tmp_path, 'widths = ["44/45 in", "45 in", "112 cm", "2 m"]')
    one = fabric(tmp_path, 'widths = "150 cm"')

    assert widths_of(usual) == TABLE_WIDTHS
    assert [width.label for width in widths_of(own)] == [
        "44-45 in",
        "45 in",
        "112 cm",
        "2 m",
    ]
    # Only for 44 to 45 in is a usable width published.
    assert [width.usable for width in widths_of(own)] == [
        pytest.approx(42 * INCH),
        pytest.approx(42 * INCH),
        None,
        None,
    ]
    assert widths_of(own)[3].source == "as written"
    assert [width.narrowest for width in widths_of(one)] == [1500.0]


@pytest.mark.parametrize(
    ("lines", "words"),
    [
        ('cloth_width = "1 m"\nusable_width = "1 m"', "usable_width: follows from"),
        ('selvage = "1 cm"', "selvage: there is nothing to take it off"),
        ("contingency_percent = 300", "must lie between 0 and 200"),
        ("shrinkage_lengthwise_percent = -1", "must lie between 0 and 50"),
        ('shrinkage_crosswise_percent = "3 %"', "must be a number"),
        ('price = "cheap"', 'price: "cheap" is no price'),
        ('widths = ["wide"]', "widths: "),
        ('one_way = "yes"', "one_way: must be true or false"),
        ('squaring_up = "1"', "squaring_up: "),
        ('from = "14 44 in"', "from: "),
        ('scrap = ["8 x 20 in", "8 x"]', "scrap: "),
        ("scrap_grain = 30", "scrap_grain: turns drawn scraps"),
        ("onewy = true", 'did you mean "one_way"'),
    ],
)
def test_a_mistake_is_told_with_its_key(lines: str, words: str, tmp_path: Path) -> None:
    with pytest.raises(SettingsError) as caught:
        fabric(tmp_path, lines)

    assert any(words in line for line in caught.value.messages)
    assert all(": fabric: " in line for line in caught.value.messages)


def test_mistakes_are_told_together(tmp_path: Path) -> None:
    with pytest.raises(SettingsError) as caught:
        fabric(tmp_path, 'price = "x"\nselvage = "1 cm"\ncontingency_percent = "a"')

    assert len(caught.value.messages) == 3


def test_selvages_that_leave_nothing_are_told_with_the_width(tmp_path: Path) -> None:
    found = fabric(tmp_path, 'cloth_width = "1 m"\nselvage = "60 cm"')

    with pytest.raises(SettingsError, match="leaves nothing"):
        usable_width_of(found)
