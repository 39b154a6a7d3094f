"""Smooth curves through points: against circle, ellipse and Bezier curves."""

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.interpolate import CubicSpline
from strategies import angles, points

from edgefinder.geometry.arclength import lengths
from edgefinder.geometry.conic_tangents import headings_and_curvatures
from edgefinder.geometry.curvature import curvatures_at
from edgefinder.geometry.headings import end_headings, joint_turnings, start_headings
from edgefinder.geometry.segments import (
    Complexes,
    Floats,
    Kind,
    Segments,
    cubic_segments,
    end_points,
    points_at,
    reverse,
    start_points,
)
from edgefinder.geometry.smooth_curve import smooth_curve, smooth_path
from edgefinder.geometry.straight_stretches import straight_chords

RIGHT = np.pi / 2
ELLIPSES = [(50.0, 50.0), (60.0, 40.0), (80.0, 40.0), (120.0, 40.0)]
PARAMETERS = np.linspace(0, 1, 33)
FINE = 200_001


def on_ellipse(
    axes: tuple[float, float], spacing: str, count: int, last: float = RIGHT
) -> Complexes:
    a, b = axes
    angle = np.linspace(0, last, count)
    if spacing == "length":
        fine = np.linspace(0, last, FINE)
        steps = np.abs(np.diff(a * np.cos(fine) + 1j * b * np.sin(fine)))
        s = np.concatenate([[0], np.cumsum(steps)])
        angle = np.interp(np.linspace(0, s[-1], count), s, fine)
    z: Complexes = a * np.cos(angle) + 1j * b * np.sin(angle)
    return z


def ellipse_length(axes: tuple[float, float], last: float = RIGHT) -> float:
    a, b = axes
    speed = quad(lambda t: np.hypot(a * np.sin(t), b * np.cos(t)), 0, last, limit=200)
    return float(speed[0])


def radius_error(segments: Segments, axes: tuple[float, float]) -> float:
    """Largest relative error of the radius against the ellipse, ends included."""
    a, b = axes
    worst = 0.0
    for t in PARAMETERS:
        at = np.full(len(segments), t)
        z = points_at(segments, at)
        angle = np.arctan2(z.imag / b, z.real / a)
        speed = np.hypot(a * np.sin(angle), b * np.cos(angle))
        true = speed**3 / (a * b)
        read = 1 / curvatures_at(segments, at)
        worst = max(worst, float(np.abs(read / true - 1).max()))
    return worst


@pytest.mark.parametrize("axes", ELLIPSES)
@pytest.mark.parametrize("spacing", ["angle", "length"])
def test_five_points_a_quarter_give_the_radius_of_an_ellipse(
    axes: tuple[float, float], spacing: str
) -> None:
    # What is asked for is 2 % everywhere, at the ends too.
    curve = smooth_curve(on_ellipse(axes, spacing, 5))

    assert radius_error(curve, axes) < 6e-4
    assert lengths(curve).sum() == pytest.approx(ellipse_length(axes), rel=1e-6)


def test_the_circle_comes_out_ten_times_closer() -> None:
    curve = smooth_curve(on_ellipse((50, 50), "angle", 5))

    assert radius_error(curve, (50, 50)) < 1e-4
    assert lengths(curve).sum() == pytest.approx(25 * np.pi, rel=1e-7)


@pytest.mark.parametrize("axes", ELLIPSES)
@pytest.mark.parametrize("spacing", ["angle", "length"])
def test_a_whole_ellipse_is_smooth_at_its_seam(
    axes: tuple[float, float], spacing: str
) -> None:
    z = on_ellipse(axes, spacing, 17, 4 * RIGHT)[:-1]

    path = smooth_path(z, closed=True)

    assert np.abs(joint_turnings(path)).max() < 1e-9
    assert radius_error(path.segments, axes) < 6e-4


def test_a_cubic_spline_would_not_be_good_enough() -> None:
    """Why the curve is made of conics: the usual spline is worse at the ends."""
    z = on_ellipse((80, 40), "length", 5)
    u = np.concatenate([[0], np.cumsum(np.abs(np.diff(z)))])
    spline = CubicSpline(u, z, bc_type="not-a-knot")
    first, second = spline(0, 1), spline(0, 2)
    radius = abs(first) ** 3 / (np.conj(first) * second).imag

    assert abs(radius / (40**2 / 80) - 1) > 0.5


def test_more_points_come_closer() -> None:
    errors = [
        radius_error(smooth_curve(on_ellipse((80, 40), "length", n)), (80, 40))
        for n in (5, 9, 17)
    ]

    assert errors[0] > 4 * errors[1] > 16 * errors[2]


def bezier_errors(count: int) -> tuple[float, float]:
    """Errors of radius and length on a neckline drawn as one cubic."""
    cubic = cubic_segments([[0, 60j, 40 + 100j, 120 + 110j]])
    t = np.linspace(0, 1, count)
    curve = smooth_curve(points_at(cubic.take(np.zeros(count, np.intp)), t))
    several = cubic.take(np.zeros(count - 1, np.intp))
    read = [curvatures_at(curve, np.full(count - 1, e)) for e in (0.0, 1.0)]
    true = [curvatures_at(several, part) for part in (t[:-1], t[1:])]
    radius = max(
        float(np.abs(b / a - 1).max()) for a, b in zip(read, true, strict=True)
    )
    length = float(lengths(curve).sum() / lengths(cubic).sum() - 1)
    return radius, abs(length)


def test_a_neckline_drawn_as_one_cubic_is_read_to_a_hundredth() -> None:
    coarse, fine = bezier_errors(5), bezier_errors(9)

    assert coarse[0] < 0.01
    assert coarse[1] < 1e-6
    assert fine[0] < coarse[0] / 4


def test_three_points_make_an_arc() -> None:
    curve = smooth_curve(on_ellipse((50, 50), "angle", 3))

    assert radius_error(curve, (50, 50)) < 2e-3


def test_two_points_make_a_line() -> None:
    curve = smooth_curve(np.array([1 + 2j, 30 + 40j]))

    assert curve.kind.tolist() == [Kind.LINE]
    assert curve.control[0, :2].tolist() == [1 + 2j, 30 + 40j]


def test_points_on_a_line_stay_lines() -> None:
    z = np.array([0, 10, 35, 36, 90]) * np.exp(0.7j)

    curve = smooth_curve(z)

    assert (curve.kind == Kind.LINE).all()


def test_rounded_points_on_a_line_stay_lines() -> None:
    z = np.linspace(0, 200, 21) * np.exp(0.7j)
    rounded = np.round(z.real, 2) + 1j * np.round(z.imag, 2)

    assert straight_chords(rounded).all()


def test_points_on_a_flat_arc_are_no_line() -> None:
    angle = np.linspace(0, 0.1, 11)
    curve = smooth_curve(1000 * np.exp(1j * angle))

    assert (curve.kind == Kind.CUBIC).all()


def mixed(chords: int, middle: bool) -> tuple[Complexes, Floats]:
    """A line, a quarter of a circle of 50 mm, and a line, joined smoothly."""
    angle = np.linspace(0, RIGHT, chords + 1)
    arc = 100 + 50 * np.sin(angle) + 50j * (1 - np.cos(angle))
    first = [0, 50] if middle else [0]
    last = [150 + 110j, 150 + 170j] if middle else [150 + 170j]
    z = np.concatenate([first, arc, last])
    return z, np.array([100 + 25 * np.pi + 120, 50.0])


@pytest.mark.parametrize("chords", [4, 8, 40])
@pytest.mark.parametrize("middle", [False, True])
def test_a_curve_between_straight_stretches_does_not_overshoot(
    chords: int, middle: bool
) -> None:
    # Without a middle point the long chord alone shows that it is straight.
    z, (length, radius) = mixed(chords, middle)

    curve = smooth_curve(z)

    curved = curve.kind == Kind.CUBIC
    assert curved.sum() == chords
    bends = np.array([curvatures_at(curve, np.full(len(curve), t)) for t in PARAMETERS])
    assert (bends[:, ~curved] == 0).all()
    assert (np.abs(bends[:, curved] * radius - 1) < 2e-4).all()
    assert lengths(curve).sum() == pytest.approx(length, rel=1e-7)
    inside = np.concatenate(
        [points_at(curve, np.full(len(curve), t)) for t in PARAMETERS]
    )
    assert inside.imag.min() == 0
    assert inside.real.max() <= 150 + 1e-9


def test_a_curve_leaves_a_straight_stretch_along_it() -> None:
    z, _ = mixed(4, middle=True)

    curve = smooth_curve(z)

    gaps = np.angle(start_headings(curve)[1:] / end_headings(curve)[:-1])
    assert np.abs(gaps).max() < 1e-9


def test_a_turned_over_curve_follows_both_bends() -> None:
    x = np.linspace(0, 200, 17)
    curve = smooth_curve(x + 20j * np.sin(2 * np.pi * x / 200))
    slope = 2 * np.pi / 200

    peak = curvatures_at(curve, np.zeros(len(curve)))[4]
    true = quad(lambda x: np.hypot(1, 20 * slope * np.cos(slope * x)), 0, 200)[0]

    assert peak == pytest.approx(-20 * slope**2, rel=0.02)
    assert lengths(curve).sum() == pytest.approx(true, rel=1e-4)


def test_a_given_direction_is_kept() -> None:
    start, end = np.exp(0.3j), np.exp(-0.4j)

    curve = smooth_curve(
        np.array([0, 30 + 4j, 60]), start_heading=start, end_heading=end
    )

    assert start_headings(curve)[0] == pytest.approx(start)
    assert end_headings(curve)[-1] == pytest.approx(end)


def test_one_chord_with_a_direction_is_an_arc() -> None:
    curve = smooth_curve(np.array([50, 50j]), start_heading=1j)

    assert end_headings(curve)[0] == pytest.approx(-1)
    assert radius_error(curve, (50, 50)) < 0.03


def test_rounded_coordinates_change_the_radius_little() -> None:
    z = on_ellipse((60, 40), "length", 9)
    rounded = np.round(z.real, 2) + 1j * np.round(z.imag, 2)

    assert radius_error(smooth_curve(rounded), (60, 40)) < 0.05


@pytest.mark.parametrize(
    "z", [[0], [0, 0], [0, 1, 1], []], ids=["one", "equal", "doubled", "none"]
)
def test_too_few_points_are_refused(z: list[complex]) -> None:
    with pytest.raises(ValueError, match="distinct"):
        smooth_curve(np.array(z, dtype=np.complex128))


@given(st.lists(points(), min_size=2, max_size=12, unique=True), st.booleans())
@example([0j, 1 + 0j, 0j + 1e-3], False)
@example([0j, 10 + 0j, 20 + 0j, 10 + 1e-3j], True)
def test_the_curve_runs_through_every_point(z: list[complex], closed: bool) -> None:
    if closed and len(z) < 3:
        closed = False
    given_points = np.array(z)

    curve = smooth_curve(given_points, closed=closed)

    ends = np.roll(given_points, -1) if closed else given_points[1:]
    starts = given_points if closed else given_points[:-1]
    assert np.abs(start_points(curve) - starts).max() < 1e-9
    assert np.abs(end_points(curve) - ends).max() < 1e-9
    assert np.isfinite(curve.control).all()


@given(angles(), points(), st.floats(0.2, 3))
def test_turning_moving_and_scaling_the_points_does_so_to_the_curve(
    angle: float, by: complex, scale: float
) -> None:
    z = on_ellipse((80, 40), "length", 7)
    turn = scale * np.exp(1j * angle)

    curve, other = smooth_curve(z), smooth_curve(z * turn + by)

    assert other.control == pytest.approx(curve.control * turn + by, abs=1e-4)


@given(st.lists(st.integers(0, 60), min_size=3, max_size=12, unique=True))
def test_the_curve_is_the_same_from_the_other_end(steps: list[int]) -> None:
    angle = np.radians(3 * np.sort(steps))
    z = 80 * np.cos(angle) + 60j * np.sin(angle)

    curve, back = smooth_curve(z), reverse(smooth_curve(z[::-1]))

    assert back.kind.tolist() == curve.kind.tolist()
    assert back.control == pytest.approx(curve.control, abs=1e-6)


def test_tangents_of_a_parabola_are_exact() -> None:
    x = np.array([-20.0, -7, 1, 15, 22])
    headings, bends = headings_and_curvatures(x + 1j * x * x / 50)

    slope = 1 + 1j * x / 25
    assert headings == pytest.approx(slope / np.abs(slope), abs=1e-9)
    assert bends == pytest.approx((1 / 25) / np.abs(slope) ** 3, rel=1e-8)
