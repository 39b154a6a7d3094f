"""The tape fed along a leg against a dense numerical integral of max(1, f*)."""

import math
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import ellipeinc
from shapes import circle_outline, ellipse_outline, polyline, stadium
from tape_cases import LAWN, QUILTING, leg_along

from edgefinder.binding.cloth import GrainLimits, Limits
from edgefinder.curvature.feeding import feed_at, feed_lengths
from edgefinder.curvature.scanning import scan
from edgefinder.geometry.path import Path, reverse_path
from edgefinder.geometry.segments import arc_segments, concatenate, line_segments


def fed(path: Path, width: float, limits: GrainLimits) -> float:
    leg = leg_along(path)
    return float(feed_lengths(scan([leg], width, limits), limits)[0])


def feed_by_definition(k: float, width: float, limits: GrainLimits) -> float:
    """max(1, f*): the first limits that have a feed, else max g/(1 + e+)."""
    lines = (1.0, 1 - k * width)
    for within in (limits.ok, limits.limit):
        low = max(lines) / (1 + within.stretch)
        high = min(lines) / (1 - within.ease)
        if low <= high:
            return max(1.0, min(max(low, 1.0), high))
    return max(1.0, max(lines) / (1 + limits.limit.stretch))


def integral(
    heading: Callable[[float], float], length: float, width: float, limits: GrainLimits
) -> float:
    """Integrate max(1, f*) of the windowed curvature at 20 000 midpoints."""

    def curvature(s: float) -> float:
        low = min(max(s - width / 2, 0.0), length - width)
        return (heading(low + width) - heading(low)) / width

    count = 20_000
    middles = (np.arange(count) + 0.5) * (length / count)
    feeds = [feed_by_definition(curvature(float(s)), width, limits) for s in middles]
    return math.fsum(feeds) * length / count


def straight_arc_straight(radius: float, turn: float, side: int) -> Path:
    """50 mm, an arc to the left (1) or the right (-1), 50 mm; smooth."""
    bend = arc_segments(
        [50 + 1j * side * radius],
        -1j * side * radius,
        radius,
        0.0,
        turn,
    )
    end = (
        50 + 1j * side * radius + radius * (math.sin(turn) - 1j * side * math.cos(turn))
    )
    out = complex(math.cos(turn), side * math.sin(turn))
    tables = [line_segments(0, 50), bend, line_segments(end, end + 50 * out)]
    return Path(concatenate(tables), closed=False)


@pytest.mark.parametrize("width", [3.0, 6.0, 9.0, 12.0, 20.0])
def test_a_round_hole_takes_its_length_times_the_feed_of_its_curvature(
    width: float,
) -> None:
    hole = reverse_path(circle_outline(50.0))

    found = fed(hole, width, QUILTING)

    expected = 2 * math.pi * 50 * feed_by_definition(-1 / 50, width, QUILTING)
    assert found == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("width", [3.0, 9.0, 20.0])
def test_outside_curves_take_no_more_than_the_length_of_the_edge(width: float) -> None:
    assert fed(circle_outline(40.0), width, QUILTING) == pytest.approx(80 * math.pi)
    assert fed(stadium(100, 30), width, LAWN) == pytest.approx(200 + 60 * math.pi)


def test_a_straight_edge_is_fed_at_its_own_length() -> None:
    assert fed(polyline(0, 100, 250), 9.0, QUILTING) == pytest.approx(250)


@pytest.mark.parametrize("radius", [18.0, 30.0, 45.0, 70.0, 100.0])
@pytest.mark.parametrize("side", [1, -1])
def test_straight_legs_beside_an_arc_are_fed_as_the_window_sees_them(
    radius: float, side: int
) -> None:
    turn = math.pi / 2
    path = straight_arc_straight(radius, turn, side)
    length = 100 + radius * turn

    def heading(s: float) -> float:
        return side * min(max((s - 50) / radius, 0.0), turn)

    found = fed(path, 9.0, QUILTING)

    expected = integral(heading, length, 9.0, QUILTING)
    assert found == pytest.approx(expected, rel=1e-5)


@pytest.mark.parametrize(("a", "b"), [(80.0, 55.0), (60.0, 30.0)])
def test_an_oval_hole_is_fed_as_elliptic_integrals_say(a: float, b: float) -> None:
    width = 9.0
    oval = reverse_path(ellipse_outline(a, b))
    m = 1 - (b / a) ** 2
    quarter = float(a * ellipeinc(math.pi / 2, m))

    # Clockwise from an end of the short axis: a sin t, b cos t.
    t = np.linspace(-1.0, 1.0 + math.pi / 2, 100_001)
    s = a * ellipeinc(t, m)
    heading = np.unwrap(np.arctan2(-b * np.sin(t), a * np.cos(t)))

    # By symmetry one quarter, looked at finely, stands for all four.
    count = 40_000
    middles = (np.arange(count) + 0.5) * quarter / count
    low, high = (np.interp(middles + x, s, heading) for x in (-width / 2, width / 2))
    curvatures = (high - low) / width
    feeds = [feed_by_definition(float(k), width, QUILTING) for k in curvatures]
    expected = 4 * quarter * math.fsum(feeds) / count

    found = fed(oval, width, QUILTING)

    assert found == pytest.approx(expected, rel=1e-5)
    assert found > 4 * quarter


@given(st.floats(-0.2, 0.04), st.floats(2, 20), st.floats(0, 0.4), st.floats(0, 0.3))
def test_the_feed_at_a_curvature_is_the_feasible_one_nearest_to_1(
    k: float, width: float, stretch: float, ease: float
) -> None:
    limits = Limits(stretch, ease)
    lines = (1.0, 1 - k * width)
    low, high = max(lines) / (1 + stretch), min(lines) / (1 - ease)
    trials = np.linspace(low, high, 1001) if low <= high else np.array([low])

    found = feed_at(k, width, limits)

    assert found == pytest.approx(float(trials[np.argmin(abs(trials - 1))]), abs=1e-3)
    assert low <= found * (1 + 1e-12)
