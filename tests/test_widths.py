"""The widest tape against trying every width, and against closed forms."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapes import circle_outline, polyline, rounded_rectangle, stadium
from tape_cases import LAWN, NO_STRETCH, QUILTING, leg_along

from edgefinder.binding.runs import Leg
from edgefinder.curvature.widths import (
    NARROWEST_MM,
    WIDEST_MM,
    count_places,
    widest_everywhere,
)
from edgefinder.geometry.path import Path, reverse_path
from edgefinder.geometry.segments import (
    arc_segments,
    concatenate,
    cubic_segments,
    line_segments,
)


def is_flat(leg: Leg, width: float) -> bool:
    (counted,) = count_places([[leg]], width, QUILTING)
    return counted.steam == counted.too_tight == 0


def oval_hole(a: float, b: float) -> Leg:
    oval = arc_segments([0], a, -1j * b, 0.0, 2 * math.pi)
    return leg_along(Path(oval, closed=True))


@given(st.floats(12, 600))
def test_a_round_hole_takes_its_radius_times_the_span_less_1(radius: float) -> None:
    hole = leg_along(reverse_path(circle_outline(radius)))

    widest = widest_everywhere([hole], QUILTING)

    assert widest == pytest.approx(radius * (108 / 97 - 1), abs=1e-3)


@given(st.floats(12, 600))
def test_a_round_piece_takes_its_radius_times_1_less_the_span_inverted(
    radius: float,
) -> None:
    piece = leg_along(circle_outline(radius))

    widest = widest_everywhere([piece], QUILTING)

    assert widest == pytest.approx(radius * (1 - 97 / 108), abs=1e-3)


@given(st.floats(40, 200), st.floats(0.5, 1))
@settings(max_examples=25)
def test_on_an_oval_the_widest_lies_flat_and_no_wider_one_does(
    a: float, ratio: float
) -> None:
    leg = oval_hole(a, a * ratio)

    widest = widest_everywhere([leg], QUILTING)

    assert widest is not None
    assert widest > 0
    assert is_flat(leg, widest * 0.9999 - 1e-3)
    wider = [widest * 1.001 + 2e-3, *np.linspace(widest + 0.2, 100, 25).tolist()]
    assert not any(is_flat(leg, width) for width in wider)


def test_short_corners_let_through_what_their_window_blunts() -> None:
    # A quarter circle of 1 mm turns pi/2 within any tape's width: never flat.
    sharp = leg_along(rounded_rectangle(200, 100, 1))
    # A wave that turns by 0.05 in all is never as tight as 1 - 1/S = 0.10 over w.
    shallow = leg_along(
        Path(cubic_segments([[0, 30, 60 + 0.5j, 90 + 1j]]), closed=False)
    )

    assert widest_everywhere([sharp], QUILTING) == 0.0
    assert widest_everywhere([shallow], QUILTING) is None


def test_a_kink_lies_flat_at_every_width_or_at_none() -> None:
    """The window divides a kink by the width, and the width multiplies it again."""

    def kinked(degrees: float) -> Leg:
        turn = math.radians(-degrees)
        out = complex(math.cos(turn), math.sin(turn))
        return leg_along(polyline(0, 200, 200 + 200 * out))

    assert widest_everywhere([kinked(6)], QUILTING) is None  # 0.105 < 0.113
    assert widest_everywhere([kinked(6.5)], QUILTING) == 0.0  # 0.11345
    assert widest_everywhere([kinked(7)], QUILTING) == 0.0  # 0.122
    assert widest_everywhere([kinked(20)], QUILTING) == 0.0


def test_a_small_turn_within_a_millimetre_lets_only_narrower_tape_through() -> None:
    """Nearly a kink: it takes more steps down than are tried."""
    turn = math.radians(6.6)  # 0.1152 and 0.1134 lies flat
    length = 3.0
    radius = length / turn
    out = complex(math.cos(turn), -math.sin(turn))
    end = 100 - 1j * radius + 1j * radius * out
    tables = [
        line_segments(0, 100),
        arc_segments([100 - 1j * radius], 1j * radius, radius, 0.0, turn),
        line_segments(end, end + 100 * out),
    ]
    leg = leg_along(Path(concatenate(tables), closed=False))

    widest = widest_everywhere([leg], QUILTING)

    assert widest == pytest.approx(radius * (108 / 97 - 1), abs=1e-3)


def test_nothing_limits_a_straight_edge() -> None:
    assert widest_everywhere([leg_along(polyline(0, 500))], NO_STRETCH) is None


def test_cloth_without_stretch_turns_no_curve_at_all() -> None:
    assert widest_everywhere([leg_along(stadium(100, 300))], NO_STRETCH) == 0.0


def test_a_width_below_the_narrowest_tape_is_none() -> None:
    tight = leg_along(reverse_path(circle_outline(8.0)))  # 8 x 0.113 = 0.91 mm

    assert NARROWEST_MM == 1.0
    assert widest_everywhere([tight], QUILTING) == 0.0


def test_a_width_above_the_widest_tape_is_not_told() -> None:
    gentle = leg_along(reverse_path(circle_outline(1000.0)))  # 113 mm

    assert WIDEST_MM == 100.0
    assert widest_everywhere([gentle], QUILTING) is None


def test_of_several_legs_the_tightest_counts() -> None:
    legs = [leg_along(reverse_path(circle_outline(r))) for r in (90.0, 50.0, 70.0)]

    assert widest_everywhere(legs, LAWN) == widest_everywhere([legs[1]], LAWN)


def test_places_are_counted_by_width_and_mitres_are_too_tight() -> None:
    # Inside radii 30 and 60 mm: steam from 3.4 and 6.8 mm on, too tight from 7.3
    # and 14.5 mm (derived).
    legs = [leg_along(reverse_path(circle_outline(r))) for r in (30.0, 60.0)]

    def counted(width: float) -> tuple[int, int]:
        (found,) = count_places([legs], width, QUILTING)
        assert found.width == width
        return found.steam, found.too_tight

    assert counted(3.0) == (0, 0)
    assert counted(5.0) == (1, 0)
    assert counted(7.0) == (2, 0)
    assert counted(10.0) == (1, 1)
    assert counted(20.0) == (0, 2)
    assert counted(40.0) == (0, 2)  # one of them a mitre
