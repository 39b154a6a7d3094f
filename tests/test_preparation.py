import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from edgefinder.errors import SettingsError
from edgefinder.yardage.preparation import (
    Mark,
    Preparation,
    allowances,
    cloth_to_buy,
    prepared_width,
)

OFF = Preparation()


def test_every_allowance_is_off_by_default_and_shown() -> None:
    shown = allowances(OFF)

    assert [row.usual.name for row in shown] == [
        "shrinkage lengthwise",
        "shrinkage crosswise",
        "squaring up",
        "selvage, each side",
        "contingency",
    ]
    assert not any(row.is_on for row in shown)
    assert all(0.0 < row.usual.least <= row.usual.most for row in shown)


def test_the_usual_figures_carry_their_marks() -> None:
    by_name = {row.usual.name: row.usual for row in allowances(OFF)}

    # Pre-shrunk cotton: 3 to 5 %, from memory. 44 in less 42 in: 1 in each side.
    shrinkage = by_name["shrinkage lengthwise"]
    assert (shrinkage.least, shrinkage.most, shrinkage.mark) == (
        0.03,
        0.05,
        Mark.MEMORY,
    )
    assert by_name["selvage, each side"].least == pytest.approx(25.4)
    assert by_name["selvage, each side"].mark is Mark.DERIVED
    assert by_name["contingency"].mark is Mark.MEMORY


def test_with_everything_off_nothing_changes_but_the_step() -> None:
    amount = cloth_to_buy(950.0, OFF, 100.0)

    assert prepared_width(1400.0, OFF) == 1400.0
    assert (amount.buy, amount.rounding) == pytest.approx((1000.0, 50.0))
    assert amount.contingency == amount.squaring == amount.shrinkage == 0.0


def test_a_prepared_cloth_by_hand() -> None:
    # 1000 + 10 % + 45 = 1145 after washing; before it 1145/0.95 = 1205.26.
    preparation = Preparation(
        shrinkage_along=0.05, squaring=45.0, contingency=0.1, selvage=20.0
    )

    amount = cloth_to_buy(1000.0, preparation, 10.0)

    assert amount.contingency == pytest.approx(100.0)
    assert amount.squaring == 45.0
    assert amount.shrinkage == pytest.approx(1145.0 / 0.95 - 1145.0)
    assert amount.buy == pytest.approx(1210.0)


def test_the_cloth_shrinks_before_its_selvages_are_cut_off() -> None:
    preparation = Preparation(shrinkage_across=0.1, selvage=20.0)

    assert prepared_width(1000.0, preparation) == pytest.approx(900.0 - 40.0)


preparations = st.builds(
    Preparation,
    shrinkage_along=st.floats(0.0, 0.4),
    shrinkage_across=st.floats(0.0, 0.4),
    squaring=st.floats(0.0, 200.0),
    selvage=st.floats(0.0, 50.0),
    contingency=st.floats(0.0, 1.0),
)


@given(preparations, st.floats(1.0, 20000.0), st.sampled_from([100.0, 114.3]))
def test_what_is_bought_is_enough_once_it_is_washed_and_squared(
    preparation: Preparation, cut: float, step: float
) -> None:
    amount = cloth_to_buy(cut, preparation, step)

    washed = amount.buy * (1.0 - preparation.shrinkage_along)
    left = washed - preparation.squaring
    assert left >= cut * (1.0 + preparation.contingency) * (1.0 - 1e-8) - 1e-6
    assert left - amount.contingency - cut < step
    assert amount.buy == pytest.approx(
        math.fsum(
            (
                amount.cut,
                amount.contingency,
                amount.squaring,
                amount.shrinkage,
                amount.rounding,
            )
        )
    )


@pytest.mark.parametrize(
    ("preparation", "line"),
    [
        (
            {"shrinkage_along": 5.0},
            "the shrinkage lengthwise is 500 per cent; give one from 0 to 50 per cent",
        ),
        ({"shrinkage_across": -0.1}, "the shrinkage crosswise is -10 per cent"),
        ({"squaring": math.nan}, "the allowance for squaring up is nan mm"),
        ({"selvage": 1e9}, "the allowance for selvage, each side is 1e+09 mm"),
        ({"contingency": math.inf}, "the contingency is inf per cent"),
    ],
)
def test_a_figure_that_cannot_be_is_named(
    preparation: dict[str, float], line: str
) -> None:
    with pytest.raises(SettingsError) as caught:
        Preparation(**preparation)

    assert len(caught.value.messages) == 1
    assert caught.value.messages[0].startswith(line)


def test_selvages_that_leave_nothing_are_refused() -> None:
    with pytest.raises(SettingsError, match="leaves nothing after"):
        prepared_width(100.0, Preparation(selvage=50.0))
