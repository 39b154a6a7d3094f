"""Windowed curvature against closed forms: clothoids, ellipses, and arcs that meet.

`test_profile.py` has circles, straight lines with corners and a parabola.
"""

import cmath
import math
from typing import Final

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.optimize import brentq
from scipy.special import ellipeinc
from shapes import ellipse_outline, polygon, polyline
from strategies import closed_outlines, paths

from edgefinder.geometry.measured import measure
from edgefinder.geometry.path import Path, reverse_path
from edgefinder.geometry.profile import (
    MAX_TURN_RAD,
    HeadingProfile,
    heading_profile,
)
from edgefinder.geometry.segments import (
    Segments,
    arc_segments,
    circle,
    concatenate,
    line_segments,
)
from edgefinder.geometry.windowed import (
    WindowedLines,
    curvature_range,
    windowed_curvature,
    windowed_lines,
)

Floats = NDArray[np.float64]
HALF: Final = 80.0
"""Millimetres on both sides of a joint."""

widths = st.floats(3.0, 25.0)
curvatures = st.builds(
    lambda radius, side: side / radius,
    st.floats(25.0, 2000.0),
    st.sampled_from([-1.0, 1.0]),
)
turns = st.floats(-0.5, 0.5)  # below the corner angle of 30 degrees


# --- clothoids: the curvature grows evenly, k(s) = a + b s ---


def clothoid(a: float, b: float, length: float) -> HeadingProfile:
    s = np.linspace(0.0, length, round(length / 0.05) + 1)
    return HeadingProfile(s, a * s + b * s**2 / 2, closed=False, length=length)


@given(st.floats(-1 / 50, 1 / 50), st.floats(-1e-3, 1e-3), widths, st.floats(0, 1))
def test_on_a_clothoid_every_window_has_the_curvature_of_its_middle(
    a: float, b: float, width: float, share: float
) -> None:
    profile = clothoid(a, b, 100.0)
    s = np.array([width / 2 + share * (100.0 - width)])

    found = windowed_curvature(profile, width, s)

    # Between nodes the heading is a chord of the parabola b s^2/2.
    assert found == pytest.approx(a + b * s, abs=abs(b) * 0.05**2 / width + 1e-12)


def test_at_the_ends_of_an_open_clothoid_the_curvature_is_that_half_a_window_in() -> (
    None
):
    profile = clothoid(0.0, 5e-4, 100.0)

    found = windowed_curvature(profile, 10.0, np.array([0.0, 3.0, 97.0, 100.0]))

    assert found == pytest.approx([5 * 5e-4, 5 * 5e-4, 95 * 5e-4, 95 * 5e-4])


# --- ellipses ---


def ellipse_length(a: float, b: float, t: float) -> float:
    """Arc length from the end of the axis a, by the elliptic integral."""
    return float(b * ellipeinc(t, 1 - (a / b) ** 2))


def ellipse_heading(a: float, b: float, t: float) -> float:
    """Heading at a parameter: that of a circle, and what an ellipse is off it."""
    tangent = complex(-a * math.sin(t), b * math.cos(t))
    on_circle = complex(-math.sin(t), math.cos(t))
    return math.pi / 2 + t + cmath.phase(tangent * on_circle.conjugate())


def ellipse_turning(a: float, b: float, middle: float, width: float) -> float:
    """Turning within a window round an arc length, from the ends of the window."""

    def heading_at(s: float) -> float:
        t = brentq(lambda t: ellipse_length(a, b, t) - s, -7.0, 14.0, xtol=1e-14)
        return ellipse_heading(a, b, t)

    return heading_at(middle + width / 2) - heading_at(middle - width / 2)


@pytest.mark.parametrize(("a", "b"), [(90.0, 60.0), (60.0, 45.0), (70.0, 40.0)])
@pytest.mark.parametrize("width", [3.0, 6.0, 9.0, 12.0])
def test_an_ellipse_has_the_windowed_curvature_of_its_closed_form(
    a: float, b: float, width: float
) -> None:
    quarters = np.arange(4) * math.pi / 2
    ellipse = arc_segments(np.zeros(4), a, 1j * b, quarters, quarters + math.pi / 2)
    measured = measure(Path(ellipse, closed=True))
    s = np.linspace(0.0, ellipse_length(a, b, 1.2), 12)
    expected = np.array([ellipse_turning(a, b, x, width) / width for x in s.tolist()])

    errors = []
    for nodes in (4 * MAX_TURN_RAD, 2 * MAX_TURN_RAD, MAX_TURN_RAD):
        profile = heading_profile(measured, nodes)
        found = windowed_curvature(profile, width, s)
        errors.append(np.abs(found / expected - 1).max())

    # Far below what any verdict can tell; it falls faster than the distance of the
    # nodes.
    assert errors[2] < 3e-4
    assert errors[2] < errors[0] / 4


@pytest.mark.parametrize("width", [3.0, 9.0])
def test_the_sharpest_window_of_an_ellipse_lies_at_the_ends_of_its_longer_axis(
    width: float,
) -> None:
    a, b = 90.0, 60.0
    profile = heading_profile(measure(ellipse_outline(a, b)))

    lines = windowed_lines([profile], width)
    s, found = lines.s, lines.curvature

    sharpest = ellipse_turning(a, b, 0.0, width) / width
    mildest = ellipse_turning(b, a, 0.0, width) / width
    assert found.max() == pytest.approx(sharpest, rel=1e-3)
    assert found.min() == pytest.approx(mildest, rel=1e-3)
    # Blunter than the point itself, a/b^2, and more so the wider the tape.
    assert found.max() < a / b**2
    at = s[np.argmax(found)] % (profile.length / 2)
    assert min(at, profile.length / 2 - at) < width / 4


# --- arcs that meet, with and without a corner ---


def arc_through(k: float, heading: float, start: float, end: float) -> Segments:
    """An arc of curvature k that has a heading at 0, from arc length to arc length."""
    at_0 = cmath.exp(1j * heading) / k
    return arc_segments([1j * at_0], -1j * at_0, at_0, k * start, k * end)


def two_arcs(k1: float, k2: float, turn: float) -> HeadingProfile:
    """Two arcs that meet at 0, the second one turned against the first."""
    before, after = arc_through(k1, 0.0, -HALF, 0.0), arc_through(k2, turn, 0.0, HALF)
    return heading_profile(measure(Path(concatenate([before, after]), closed=False)))


def joined(k1: float, k2: float, turn: float, width: float, s: Floats) -> Floats:
    """Closed form: what each arc turns in the window, and the jump if it is in it."""
    low, high = s - width / 2, s + width / 2
    turned = k1 * (np.minimum(high, 0) - np.minimum(low, 0))
    turned += k2 * (np.maximum(high, 0) - np.maximum(low, 0))
    found: Floats = (turned + np.where((low < 0) & (high > 0), turn, 0.0)) / width
    return found


def off_the_jump(width: float) -> Floats:
    """Places where no end of a window is at 0, up to the ends of both arcs."""
    return np.linspace(-HALF + width, HALF - width, 238) + width * 1e-4


@given(curvatures, curvatures, widths)
def test_where_arcs_meet_without_a_corner_the_window_mixes_them(
    k1: float, k2: float, width: float
) -> None:
    s = off_the_jump(width)

    found = windowed_curvature(two_arcs(k1, k2, 0.0), width, HALF + s)

    assert found == pytest.approx(joined(k1, k2, 0.0, width, s), abs=1e-10)


@given(curvatures, curvatures, turns, widths)
def test_where_arcs_meet_with_a_corner_its_turn_counts_in_every_window_that_holds_it(
    k1: float, k2: float, turn: float, width: float
) -> None:
    s = off_the_jump(width)

    found = windowed_curvature(two_arcs(k1, k2, turn), width, HALF + s)

    assert found == pytest.approx(joined(k1, k2, turn, width, s), abs=1e-10)


@given(curvatures, curvatures, turns, widths)
def test_the_extremes_beside_a_joint_are_found_exactly(
    k1: float, k2: float, turn: float, width: float
) -> None:
    profile = two_arcs(k1, k2, turn)

    found = windowed_lines([profile], width).curvature

    # In closed form they lie where an end of the window is at the joint.
    inner = [(k1 * width + turn) / width, (k2 * width + turn) / width]
    every = [k1, k2, *inner]
    assert found.max() == pytest.approx(max(every), abs=1e-7)
    assert found.min() == pytest.approx(min(every), abs=1e-7)


@given(curvatures, curvatures, turns, widths)
def test_a_window_twice_as_wide_is_the_mean_of_two_side_by_side(
    k1: float, k2: float, turn: float, width: float
) -> None:
    """Why a wider tape never sees a sharper place (docs/curves.md)."""
    profile = two_arcs(k1, k2, turn)
    s = HALF + off_the_jump(2 * width)

    wide = windowed_curvature(profile, 2 * width, s)
    halves = [
        windowed_curvature(profile, width, s + side * width / 2) for side in (-1, 1)
    ]

    assert wide == pytest.approx((halves[0] + halves[1]) / 2, abs=1e-10)


def test_running_the_other_way_turns_the_sign_and_the_order() -> None:
    path = Path(
        concatenate(
            [arc_through(1 / 40, 0.0, -HALF, 0.0), arc_through(-1 / 60, 0.2, 0.0, HALF)]
        ),
        closed=False,
    )
    there, back = (heading_profile(measure(p)) for p in (path, reverse_path(path)))
    s = HALF + off_the_jump(9.0)

    found = windowed_curvature(back, 9.0, 2 * HALF - s)

    assert found == pytest.approx(-windowed_curvature(there, 9.0, s), abs=1e-10)


# --- all along a line, as straight pieces ---


def profile_of(path: Path) -> HeadingProfile:
    return heading_profile(measure(path))


drawn_lines = st.one_of(closed_outlines(), paths(max_size=3)).map(profile_of)


def between_stations(
    lines: WindowedLines, number: int, s: Floats
) -> tuple[Floats, NDArray[np.bool_]]:
    """Interpolate between stations, and say which places are away from kinks."""
    own = slice(*lines.bounds[number : number + 2])
    stations = lines.s[own]
    double = stations[1:][np.diff(stations) < 1e-6]
    away = np.abs(s[:, np.newaxis] - double).min(axis=1, initial=np.inf) > 1e-6
    return np.interp(s, stations, lines.curvature[own]), away


@given(drawn_lines, st.floats(1, 50))
def test_between_stations_the_curvature_is_what_the_window_says(
    profile: HeadingProfile, window: float
) -> None:
    kinks = profile.s[1:][np.diff(profile.s) == 0]
    ends = np.array([window, profile.length - window])
    # Else rounding decides whether the first window or the last takes in a kink.
    assume(np.abs(kinks[:, np.newaxis] - ends).min(initial=1.0) > 1e-9)

    lines = windowed_lines([profile], window)

    s = np.random.default_rng(3).uniform(0.0, profile.length, 500)
    found, away = between_stations(lines, 0, s)
    expected = windowed_curvature(profile, window, s)
    width = min(window, profile.length)
    turned, wanted = (k[away] * width for k in (found, expected))
    assert turned == pytest.approx(wanted, abs=1e-6)
    assert np.all(np.diff(lines.s) >= 0)
    assert (lines.s[0], lines.s[-1]) == (0.0, profile.length)


@given(drawn_lines, st.floats(1, 50))
def test_nowhere_is_the_windowed_curvature_more_extreme(
    profile: HeadingProfile, window: float
) -> None:
    s = np.linspace(0, profile.length, 500)
    everywhere = windowed_curvature(profile, window, s)

    low, high = curvature_range(profile, window)

    assert everywhere.max() <= high + 1e-9
    assert everywhere.min() >= low - 1e-9
    at_stations = windowed_lines([profile], window).curvature
    assert (low, high) == pytest.approx((at_stations.min(), at_stations.max()))


@given(st.lists(drawn_lines, max_size=4), st.floats(1, 50))
def test_several_lines_are_looked_at_as_each_of_them_alone(
    profiles: list[HeadingProfile], window: float
) -> None:
    together = windowed_lines(profiles, window)

    alone = [windowed_lines([profile], window) for profile in profiles]
    assert together.s.tolist() == [s for one in alone for s in one.s.tolist()]
    assert together.curvature.tolist() == [
        k for one in alone for k in one.curvature.tolist()
    ]
    assert np.diff(together.bounds).tolist() == [len(one.s) for one in alone]


def test_a_point_does_not_turn() -> None:
    point = profile_of(polyline(3, 3))

    lines = windowed_lines([point], 6.0)

    assert (lines.s.tolist(), lines.curvature.tolist()) == ([0.0], [0.0])
    assert curvature_range(point, 6.0) == (0.0, 0.0)


@pytest.mark.parametrize("window", [0.0, -1.0, math.nan])
def test_a_window_of_no_width_is_refused(window: float) -> None:
    with pytest.raises(ValueError, match="window"):
        windowed_lines([profile_of(polyline(0, 10))], window)


def test_both_sides_of_a_kink_are_looked_at() -> None:
    lines = windowed_lines([profile_of(polyline(0, 100, 100 + 100j))], 8.0)

    for edge in (96.0, 104.0):
        at_kink = lines.curvature[np.abs(lines.s - edge) < 1e-9]
        assert at_kink.min() == pytest.approx(0.0)
        assert at_kink.max() == pytest.approx(math.pi / 2 / 8)


def test_two_opposite_kinks_one_window_apart_do_not_hide_each_other() -> None:
    found = curvature_range(profile_of(polyline(0, 100, 100 + 8j, 200 + 8j)), 8.0)

    assert found == pytest.approx((-math.pi / 16, math.pi / 16))


@pytest.mark.parametrize("sides", [5, 8, 12, 37])
def test_a_polygon_with_sides_as_long_as_the_window_has_a_corner_in_every_one(
    sides: int,
) -> None:
    side = 7.0
    radius = side / (2 * math.sin(math.pi / sides))
    corners = radius * np.exp(2j * np.pi * np.arange(sides) / sides)
    profile = profile_of(polygon(*corners.tolist()))
    exact = float(np.diff(profile.s)[0])

    found = windowed_lines([profile], exact).curvature

    corner = 2 * math.pi / sides / exact
    assert found.min() == pytest.approx(corner)
    assert found.max() == pytest.approx(2 * corner)


def test_a_kink_between_curves_is_found() -> None:
    path = Path(concatenate([circle(0, 20), line_segments(20, 60)]), closed=False)

    low, high = curvature_range(profile_of(path), 8.0)

    # The circle ends upwards, the line leads off to the right.
    assert low == pytest.approx(-math.pi / 2 / 8, rel=1e-6)
    assert high == pytest.approx(1 / 20)
