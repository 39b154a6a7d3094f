import math
from dataclasses import replace
from typing import cast

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from edgefinder.classifier.job import Grain
from edgefinder.errors import SettingsError
from edgefinder.yardage.cutting import Cutting, Method, Need
from edgefinder.yardage.methods import CuttingPlan, cut_everything

BIAS_METHODS = {
    Method.TUBE_FROM_SQUARE,
    Method.TUBE_FROM_RECTANGLE,
    Method.BIAS_STRIPS,
}

needs = st.builds(
    Need,
    length=st.floats(20.0, 30000.0),
    cut_width=st.floats(8.0, 200.0),
    seam=st.floats(0.0, 12.0),
    usable_width=st.floats(100.0, 1700.0),
    grain=st.sampled_from([None, *Grain]),
    buy_step=st.sampled_from([114.3, 100.0, 250.0]),
    minimum_strip=st.floats(0.0, 250.0),
)


def methods_of(plan: CuttingPlan) -> set[Method]:
    return {cutting.method for cutting in plan.cuttings}


def test_the_methods_have_the_names_that_reports_print() -> None:
    assert [str(method) for method in Method] == [
        "tube from a square",
        "tube from a rectangle",
        "bias strips",
        "crosswise strips",
        "lengthwise strips",
    ]


def test_without_a_grain_all_methods_are_compared() -> None:
    plan = cut_everything(Need(5000.0, 50.0))

    assert methods_of(plan) == set(Method)
    assert plan.not_possible == ()


@pytest.mark.parametrize(
    ("grain", "expected"),
    [
        (Grain.BIAS, BIAS_METHODS),
        (Grain.CROSSWISE, {Method.CROSSWISE_STRIPS}),
        (Grain.LENGTHWISE, {Method.LENGTHWISE_STRIPS}),
    ],
)
def test_only_methods_that_give_the_grain_are_tried(
    grain: Grain, expected: set[Method]
) -> None:
    plan = cut_everything(Need(5000.0, 50.0, grain=grain))

    assert methods_of(plan) == expected


def test_waste_is_measured_on_the_cloth_that_is_cut_off() -> None:
    need = Need(5000.0, 50.0)

    for cutting in cut_everything(need).cuttings:
        across, along = cutting.cut_size
        assert cutting.waste == pytest.approx(1.0 - 5000.0 * 50.0 / (across * along))


def test_a_method_that_is_not_possible_gives_its_reason() -> None:
    plan = cut_everything(Need(60000.0, 50.0, grain=Grain.BIAS))

    assert [missing.method for missing in plan.not_possible] == [
        Method.TUBE_FROM_SQUARE
    ]
    assert plan.not_possible[0].reason.startswith("the square would have a side of")
    assert methods_of(plan) == BIAS_METHODS - {Method.TUBE_FROM_SQUARE}


def test_cloth_narrower_than_the_tape_leaves_no_method() -> None:
    plan = cut_everything(Need(5000.0, 50.0, usable_width=30.0))

    assert plan.cuttings == ()
    assert {missing.method for missing in plan.not_possible} == set(Method)
    assert plan.least_waste is None
    assert plan.least_cloth is None


def test_the_rule_stands_beside_the_methods() -> None:
    plan = cut_everything(Need(144 * 25.4, 50.8))

    assert plan.rule.side == pytest.approx(math.sqrt(144 * 2) * 25.4)
    assert plan.rule.short > 0.0


def test_the_least_cloth_need_not_be_the_least_waste() -> None:
    plan = cut_everything(Need(144 * 25.4, 50.8, grain=Grain.BIAS))

    assert plan.least_waste is not None
    assert plan.least_cloth is not None
    assert plan.least_waste.method is Method.TUBE_FROM_SQUARE
    assert plan.least_cloth.method is Method.TUBE_FROM_RECTANGLE
    assert plan.least_cloth.buy < plan.least_waste.buy


@settings(max_examples=60)
@given(needs)
def test_every_method_is_answered_and_every_answer_is_enough(need: Need) -> None:
    plan = cut_everything(need)

    answered = [c.method for c in plan.cuttings] + [n.method for n in plan.not_possible]
    assert len(answered) == len(set(answered))
    assert len(answered) == {None: 5, Grain.BIAS: 3}.get(need.grain, 1)
    for cutting in plan.cuttings:
        across, along = cutting.cut_size
        assert cutting.yield_length >= need.length
        assert cutting.spare == cutting.yield_length - need.length
        assert across <= need.usable_width * (1.0 + 1e-9)
        assert along <= cutting.buy * (1.0 + 1e-9) < along + need.buy_step + 1e-3
        assert across * along >= need.length * need.cut_width * (1.0 - 1e-9)
        assert 0.0 <= cutting.waste < 1.0
        assert cutting.strips == len(cutting.strip_lengths) >= 1
        assert cutting.line_spacing == need.cut_width
        assert cutting.need is need


@settings(max_examples=60)
@given(needs)
def test_the_first_of_the_sorted_methods_wastes_least(need: Need) -> None:
    plan = cut_everything(need)
    wastes = [cutting.waste for cutting in plan.cuttings]

    assert wastes == pytest.approx(sorted(wastes), abs=1e-8)
    if plan.least_waste and plan.least_cloth:
        assert plan.least_waste.waste == pytest.approx(min(wastes), abs=1e-8)
        assert plan.least_cloth.buy == min(c.buy for c in plan.cuttings)


@settings(max_examples=40)
@given(needs, st.floats(0.2, 5.0))
def test_scaling_everything_scales_the_cloth(need: Need, factor: float) -> None:
    bias = replace(need, grain=Grain.BIAS)
    scaled = replace(
        bias,
        length=need.length * factor,
        cut_width=need.cut_width * factor,
        seam=need.seam * factor,
        usable_width=need.usable_width * factor,
        minimum_strip=need.minimum_strip * factor,
    )
    small, large = cut_everything(bias), cut_everything(scaled)

    before = {c.method: c.cut_size[1] * factor for c in small.cuttings}
    after = {c.method: c.cut_size[1] for c in large.cuttings}

    for method in before.keys() & after.keys():
        assert after[method] == pytest.approx(before[method], rel=1e-6, abs=0.2)


@pytest.mark.parametrize(
    ("need", "line"),
    [
        (
            {"length": 0.0},
            "the length of tape is 0 mm; give one above 0 and up to 1e+07 mm",
        ),
        ({"length": -3.0}, "the length of tape is -3 mm"),
        ({"length": math.nan}, "the length of tape is nan mm"),
        ({"length": math.inf}, "the length of tape is inf mm"),
        (
            {"cut_width": 0.0},
            "the cut width is 0 mm; give one from 1 mm to 1e+07 mm",
        ),
        ({"cut_width": 1e-9}, "the cut width is 1e-09 mm"),
        ({"seam": -1.0}, "the seam allowance of a join is -1 mm"),
        ({"usable_width": 0.0}, "the usable width of the cloth is 0 mm"),
        ({"usable_width": 1e9}, "the usable width of the cloth is 1e+09 mm"),
        ({"buy_step": 0.0}, "the step in which cloth is bought is 0 mm"),
        ({"minimum_strip": math.nan}, "the shortest strip is nan mm"),
    ],
)
def test_a_figure_that_cannot_be_right_is_named(
    need: dict[str, float], line: str
) -> None:
    figures = {"length": 1000.0, "cut_width": 40.0} | need

    with pytest.raises(SettingsError) as caught:
        Need(
            figures["length"],
            figures["cut_width"],
            seam=figures.get("seam", 6.35),
            usable_width=figures.get("usable_width", 1066.8),
            buy_step=figures.get("buy_step", 114.3),
            minimum_strip=figures.get("minimum_strip", 150.0),
        )

    assert len(caught.value.messages) == 1
    assert caught.value.messages[0].startswith(line)


def test_every_mistake_has_its_line() -> None:
    with pytest.raises(SettingsError) as caught:
        Need(0.0, 0.0, seam=-1.0)

    assert len(caught.value.messages) == 3


def test_a_grain_is_known_by_its_word_and_a_misspelt_one_is_not() -> None:
    word, misspelt = Grain("bias"), cast("Grain", "biass")  # as from a file

    assert Need(1000.0, 40.0, grain=word).grain is Grain.BIAS
    with pytest.raises(SettingsError, match='did you mean "bias"'):
        Need(1000.0, 40.0, grain=misspelt)


@pytest.mark.parametrize(
    "need",
    [
        Need(1e7, 1.0, seam=0.0, minimum_strip=0.0),
        Need(1e7, 1.0, usable_width=10_000.0, minimum_strip=0.0),
        Need(1e7, 1e7, usable_width=10_000.0),
        Need(1e7, 20.0, usable_width=21.0, minimum_strip=0.0),
        Need(1e-3, 1.0, usable_width=1e-3, minimum_strip=0.0),
        Need(1e-3, 1e7, seam=10_000.0, buy_step=1.0, minimum_strip=1e7),
    ],
)
def test_silly_sizes_end_with_an_answer_of_bounded_size(need: Need) -> None:
    plan = cut_everything(need)

    assert len(plan.cuttings) + len(plan.not_possible) == 5
    assert all(isinstance(cutting, Cutting) for cutting in plan.cuttings)
    assert all(cutting.strips < 20_000 for cutting in plan.cuttings)
