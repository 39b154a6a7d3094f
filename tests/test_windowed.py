"""Windowed curvature against closed forms: clothoids, ellipses, and arcs that meet.

`test_profile.py` has circles, straight lines with corners and a parabola.
"""

import cmath
import math
from typing import Final

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.optimize import brentq
from scipy.special import ellipeinc
from shapes import ellipse_outline

from edgefinder.geometry.measured import measure
from edgefinder.geometry.path import Path, reverse_path
from edgefinder.geometry.profile import (
    MAX_TURN_RAD,
    HeadingProfile,
    heading_profile,
    window_stations,
    windowed_curvature,
)
from edgefinder.geometry.segments import Segments, arc_segments, concatenate

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

    s = window_stations(profile, width)
    found = windowed_curvature(profile, width, s)

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

    found = windowed_curvature(profile, width, window_stations(profile, width))

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
