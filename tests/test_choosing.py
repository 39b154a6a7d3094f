"""Choosing widths, cloths and angles: laws that hold whatever the drawing."""

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapes import circle_outline, rounded_rectangle
from strategies import closed_outlines
from tape_cases import QUILTING, leg_along

from edgefinder.binding.cloth import (
    CLOTH_CLASSES,
    Cloth,
    GrainLimits,
    Limits,
    find_cloth,
)
from edgefinder.binding.runs import Leg, Run
from edgefinder.binding.tape import Tape
from edgefinder.classifier.job import (
    End,
    Grain,
    InsideCorner,
    Join,
    RunSettings,
    TapeFold,
)
from edgefinder.curvature.choosing import (
    ANGLES_DEG,
    Lie,
    Trial,
    angle_trials,
    choose,
    cloth_trials,
    lies_of,
    limits_at,
    width_trials,
)
from edgefinder.geometry.affine import Affine, transform
from edgefinder.geometry.path import Path, reverse_path
from edgefinder.geometry.segments import arc_segments, concatenate

WIDTHS = st.floats(2, 40)
CLOTHS = st.sampled_from(CLOTH_CLASSES)
COTTON = find_cloth("quilting cotton", ())
SETTINGS = RunSettings(
    name="neck",
    tape="main",
    edges=(),
    is_closed=False,
    start=End.TURNED_UNDER,
    end=End.TURNED_UNDER,
    turned_under=0.0,
    tie_length=0.0,
    handling_tail=0.0,
    join=Join.SQUARE,
    inside_corners=InsideCorner.MITRE,
    times=1,
)


def lie_of(legs: Sequence[Leg], width: float, limits: GrainLimits) -> Lie:
    """How a width lies along one run of some legs."""
    (lie,) = lies_of([legs], width, limits)
    return lie


def run_along(*legs: Leg, cloth: Cloth = COTTON, grain: Grain = Grain.BIAS) -> Run:
    tape = Tape("main", 9.0, 36.0, TapeFold.DOUBLE, grain, cloth, None)
    return Run(SETTINGS, tape, (), legs, ())


def scaled(path: Path, factor: float) -> Path:
    return Path(transform(path.segments, Affine(a=factor, d=factor)), path.closed)


@st.composite
def one_way_curves(draw: st.DrawFn) -> Leg:
    """A row of arcs that all turn to one side, open, inside or outside."""
    radii = draw(st.lists(st.floats(8, 300), min_size=1, max_size=6))
    turns = [draw(st.floats(0.05, 1.2)) for _ in radii]
    tables = []
    at, heading = 0j, 0.0
    for radius, turn in zip(radii, turns, strict=True):
        across = 1j * radius * np.exp(1j * heading)
        tables.append(arc_segments([at + across], -across, -1j * across, 0.0, turn))
        heading += turn
        at += across - 1j * radius * np.exp(1j * heading)
    path = Path(concatenate(tables), closed=False)
    return leg_along(reverse_path(path) if draw(st.booleans()) else path)


@st.composite
def limits(draw: st.DrawFn) -> GrainLimits:
    stretch, ease = draw(st.floats(0.01, 0.4)), draw(st.floats(0, 0.3))
    share = draw(st.floats(0.1, 1))
    return GrainLimits(Limits(stretch * share, ease * share), Limits(stretch, ease))


def troubled(lie: Lie) -> float:
    """Length that does not lie flat without effort."""
    return lie.steam_length + lie.tight_length


# Laws


@given(closed_outlines().map(leg_along), WIDTHS, limits())
@settings(max_examples=50)
def test_the_lengths_of_a_run_sum_to_its_own(
    leg: Leg, width: float, cloth: GrainLimits
) -> None:
    lie = lie_of([leg, leg], width, cloth)

    assert math.fsum([lie.easy_length, lie.steam_length, lie.tight_length]) == (
        pytest.approx(2 * leg.length, rel=1e-9)
    )


@given(one_way_curves(), WIDTHS, st.floats(1.001, 4), limits())
def test_a_wider_tape_never_makes_a_curve_easier(
    leg: Leg, width: float, factor: float, cloth: GrainLimits
) -> None:
    """A curve that turns one way: a wiggle both ways is levelled by a wider tape."""
    narrow, wide = (lie_of([leg], w, cloth) for w in (width, width * factor))

    assert wide.tight_length >= narrow.tight_length - 1e-3
    assert troubled(wide) >= troubled(narrow) - 1e-3
    assert narrow.is_easy or not wide.is_easy


@given(closed_outlines().map(leg_along), WIDTHS, limits(), st.floats(1, 2))
@settings(max_examples=50)
def test_a_stretchier_cloth_never_makes_anything_harder(
    leg: Leg, width: float, firm: GrainLimits, factor: float
) -> None:
    def softer(one: Limits) -> Limits:
        return Limits(one.stretch * factor, one.ease)

    soft = GrainLimits(softer(firm.ok), softer(firm.limit))

    hard, easy = lie_of([leg], width, firm), lie_of([leg], width, soft)

    assert easy.tight_length <= hard.tight_length + 1e-6
    assert troubled(easy) <= troubled(hard) + 1e-6
    assert easy.easy_length >= hard.easy_length - 1e-6


@given(closed_outlines(), WIDTHS, limits(), st.sampled_from([0.25, 0.5, 2, 4]))
@settings(max_examples=50)
def test_scaling_pattern_and_tape_together_changes_no_verdict(
    path: Path, width: float, cloth: GrainLimits, factor: float
) -> None:
    lie = lie_of([leg_along(path)], width, cloth)
    larger = lie_of([leg_along(scaled(path, factor))], width * factor, cloth)

    for name in ("easy_length", "steam_length", "tight_length"):
        assert getattr(larger, name) == pytest.approx(
            factor * getattr(lie, name), rel=1e-6, abs=1e-3
        ), name


def test_scaling_keeps_the_number_of_places() -> None:
    """Four quarter circles, each a place at 9 mm: R = 60 is 6.7 w, between 4.1, 8.8."""
    corners = rounded_rectangle(400, 300, 60)

    for factor in (0.5, 1, 3):
        leg = leg_along(reverse_path(scaled(corners, factor)))
        lie = lie_of([leg], 9 * factor, QUILTING)
        assert (lie.steam, lie.too_tight) == (4, 0)
        assert lie.steam_length == pytest.approx(
            factor * (4 * 60 * math.pi / 2), rel=0.05
        )


@pytest.mark.parametrize(
    ("width", "lengths"),
    # On a hole of radius 60 mm quilting cotton lies flat up to 60 (1.08/0.97 - 1) =
    # 6.8 mm and is possible up to 60 (1.18/0.95 - 1) = 14.5 mm.
    [
        (6.7, "easy_length"),
        (6.9, "steam_length"),
        (14.4, "steam_length"),
        (14.6, "tight_length"),
        (70.0, "tight_length"),
    ],
)
def test_a_round_hole_is_one_verdict_all_round(width: float, lengths: str) -> None:
    hole = leg_along(reverse_path(circle_outline(60)))

    lie = lie_of([hole], width, QUILTING)

    assert getattr(lie, lengths) == pytest.approx(2 * math.pi * 60)
    assert lie.is_easy is (lengths == "easy_length")


# Angles


@pytest.mark.parametrize(
    ("degrees", "percent"),
    # sin 2a, the first order of the sheared net, to whole per cent.
    [(45, 100), (35, 94), (30, 87), (20, 64)],
)
def test_off_the_true_bias_the_stretch_falls_with_sin_2a(
    degrees: float, percent: float
) -> None:
    found = limits_at(COTTON, math.radians(degrees))

    assert 100 * found.limit.stretch / 0.18 == pytest.approx(percent, abs=0.5)
    assert 100 * found.ok.stretch / 0.08 == pytest.approx(percent, abs=0.5)
    assert 100 * found.ok.ease / 0.03 == pytest.approx(percent, abs=0.5)
    assert 100 * found.limit.ease / 0.05 == pytest.approx(percent, abs=0.5)


@given(CLOTHS, st.floats(0, math.pi / 2))
def test_no_angle_gives_less_than_its_straight_grain_or_more_than_the_bias(
    cloth: Cloth, angle: float
) -> None:
    found = limits_at(cloth, angle)
    straight = cloth.lengthwise if angle <= math.pi / 4 else cloth.crosswise

    for one, least, most in (
        (found.ok, straight.ok, cloth.bias.ok),
        (found.limit, straight.limit, cloth.bias.limit),
    ):
        assert least.stretch <= one.stretch <= most.stretch
        assert least.ease <= one.ease <= most.ease


@pytest.mark.parametrize("cloth", CLOTH_CLASSES, ids=lambda cloth: str(cloth.name))
def test_the_ends_of_the_turn_are_the_grains_themselves(cloth: Cloth) -> None:
    assert limits_at(cloth, 0) == cloth.lengthwise
    assert limits_at(cloth, math.pi / 4) == cloth.bias
    assert limits_at(cloth, math.pi / 2) == cloth.crosswise


def test_angles_are_tried_from_the_warp_to_the_true_bias() -> None:
    trials = angle_trials(run_along())

    assert [round(math.degrees(trial.angle or 0)) for trial in trials] == sorted(
        ANGLES_DEG
    )
    assert trials[-1].limits == COTTON.bias
    assert all(trial.width == 9.0 and trial.cloth is COTTON for trial in trials)


# What is tried


def test_the_widest_is_tried_first() -> None:
    trials = width_trials(run_along(), [6, 12, 9])

    assert [trial.width for trial in trials] == [12, 9, 6]
    assert all(trial.limits == COTTON.bias for trial in trials)
    assert all(trial.angle == pytest.approx(math.pi / 4) for trial in trials)


@pytest.mark.parametrize("grain", Grain)
def test_cloths_are_tried_along_the_grain_of_the_tape_the_firmest_first(
    grain: Grain,
) -> None:
    trials = cloth_trials(run_along(grain=grain))

    spans = [trial.limits.ok.span for trial in trials]
    assert spans == sorted(spans)
    assert sorted(trial.cloth.name for trial in trials) == sorted(
        cloth.name for cloth in CLOTH_CLASSES
    )
    assert all(trial.limits == trial.cloth.along(grain) for trial in trials)
    assert all((trial.angle is None) is (grain is not Grain.BIAS) for trial in trials)


# What is worth choosing


def holes(*radii: float) -> Run:
    return run_along(*(leg_along(reverse_path(circle_outline(r))) for r in radii))


@given(
    st.lists(st.floats(15, 300), min_size=1, max_size=3),
    st.lists(st.floats(2, 40), min_size=1, max_size=8, unique=True),
)
@settings(max_examples=40)
def test_the_marks_are_those_of_comparing_each_with_each(
    radii: list[float], widths: list[float]
) -> None:
    run = holes(*radii)
    trials = width_trials(run, widths)

    choices = choose(trials, [run])

    def key(lie: Lie) -> tuple[float, float]:
        return round(lie.tight_length, 1), round(lie.steam_length, 1)

    for choice in choices:
        beaten = any(
            other.trial.width > choice.trial.width
            and key(other.whole) <= key(choice.whole)
            for other in choices
        )
        assert choice.is_best is not beaten


def test_of_equal_cloths_the_first_is_worth_choosing() -> None:
    twins = [replace(COTTON, name=name) for name in ("b", "a")]

    choices = choose(cloth_trials(holes(60), twins), [holes(60)])

    assert [(c.trial.cloth.name, c.is_best) for c in choices] == [
        ("a", True),
        ("b", False),
    ]


def test_the_whole_is_the_sum_of_the_runs() -> None:
    runs = [holes(30), holes(60, 200)]
    (choice,) = choose([Trial(9.0, COTTON.bias, COTTON, None)], runs)

    assert [(lie.steam, lie.too_tight) for lie in choice.by_run] == [(0, 1), (1, 0)]
    assert (choice.whole.steam, choice.whole.too_tight) == (1, 1)
    assert choice.whole.tight_length == pytest.approx(2 * math.pi * 30)
    assert choice.whole.steam_length == pytest.approx(2 * math.pi * 60)
    assert choice.whole.easy_length == pytest.approx(2 * math.pi * 200)
    assert choice.is_best


def test_mitres_count_as_too_tight() -> None:
    (choice,) = choose([Trial(30.0, COTTON.bias, COTTON, None)], [holes(20)])

    assert (choice.whole.steam, choice.whole.too_tight) == (0, 1)
    assert choice.whole.tight_length == pytest.approx(2 * math.pi * 20)
