import pytest
from hypothesis import given
from hypothesis import strategies as st
from tape_cases import expected_text

from edgefinder.classifier.job import Grain
from edgefinder.errors import SettingsError
from edgefinder.reports.fabric_text import (
    fabric_text,
    packets_lines,
    plan_lines,
    ruling_lines,
)
from edgefinder.units import Unit
from edgefinder.yardage.cutting import Cutting, Method, Need
from edgefinder.yardage.methods import cut_everything
from edgefinder.yardage.packets import Packets, packets

INCH = 25.4
# 250 in of 2 in tape: the square-root rule says 22 3/8 in, rounded up in print to
# 23 in (sewing manual's worked example).
PLAN = cut_everything(Need(250 * INCH, 2 * INCH, seam=INCH / 4))


def cutting_of(method: Method) -> Cutting:
    (found,) = (c for c in PLAN.cuttings if c.method is method)
    return found


def test_the_methods_stand_in_a_table_least_waste_first() -> None:
    text = fabric_text(PLAN, Unit.INCH)

    assert text == expected_text("fabric.txt")


def test_strips_cut_at_45_degrees_are_told_where_the_first_line_leaves() -> None:
    (line, *more) = ruling_lines(cutting_of(Method.BIAS_STRIPS), Unit.MILLIMETRE)

    text = " ".join([line, *(m.strip() for m in more)])
    assert text.startswith("least waste: bias strips: rule ")
    assert "50.8 mm apart at 45 degrees; the first leaves a corner" in text
    assert text.endswith("from its point")


def test_straight_strips_are_only_ruled_apart() -> None:
    (line,) = ruling_lines(cutting_of(Method.CROSSWISE_STRIPS), Unit.INCH)

    assert line.startswith("least waste: crosswise strips: rule ")
    assert line.endswith("lines 2 in apart")


def test_a_method_that_is_not_possible_gives_its_reason() -> None:
    plan = cut_everything(Need(60_000.0, 50.0, grain=Grain.BIAS))

    lines = plan_lines(plan, Unit.MILLIMETRE)

    assert any(line.startswith("tube from a square: not possible: ") for line in lines)


def test_the_rule_is_not_called_short_where_it_is_enough() -> None:
    # Without seams the rule is exact where whole strips fill the square: 2 c n^2.
    plan = cut_everything(Need(2 * 50.0 * 4**2, 50.0, seam=0.0))
    lines = plan_lines(plan, Unit.MILLIMETRE)

    rule = " ".join(line.strip() for line in lines[-2:])

    assert plan.rule.short == pytest.approx(0, abs=1e-9)
    assert "the square-root rule says a square of" in rule
    assert "short" not in rule


@pytest.mark.parametrize(
    ("needs", "expected"),
    [
        ([1000.0], "ready-made: 1 packet of 3 yd, 0 joins, 1743 mm spare"),
        ([2600.0, 200.0], "ready-made: 2 packets of 3 yd, 1 join, 2646 mm spare"),
    ],
)
def test_packets_are_counted_in_words(needs: list[float], expected: str) -> None:
    counted = packets(needs, 2743.2, 40.0)

    text = " ".join(packets_lines(counted, 2743.2, Unit.MILLIMETRE))

    # A packet of 3 yd in a metric job is told in centimetres.
    assert text == expected.replace("3 yd", "275 cm")


def test_many_packets_stay_within_the_page() -> None:
    many = Packets(9999, 9998, 1e7, 1.0)

    lines = packets_lines(many, 1e6 + 123.4, Unit.INCH)

    assert all(len(line) <= 80 for line in lines)


@given(
    st.floats(20.0, 1e7),
    st.floats(2.0, 300.0),
    st.floats(0.0, 20.0),
    st.floats(100.0, 5000.0),
    st.sampled_from(Unit),
)
def test_no_line_is_longer_than_80_columns_whatever_the_figures(
    length: float, cut_width: float, seam: float, usable: float, unit: Unit
) -> None:
    try:
        plan = cut_everything(Need(length, cut_width, seam=seam, usable_width=usable))
    except SettingsError:
        return

    for line in fabric_text(plan, unit).splitlines():
        assert len(line) <= 80
        assert line == line.rstrip()
