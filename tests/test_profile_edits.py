import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapes import (
    circle_outline,
    ellipse_outline,
    polygon,
    polyline,
    rectangle,
    rounded_rectangle,
    stadium,
)
from strategies import closed_outlines, paths, smooth_cubics

from edgefinder.geometry.measured import measure, subpath
from edgefinder.geometry.path import Path, reverse_path
from edgefinder.geometry.profile import HeadingProfile, heading_profile
from edgefinder.geometry.profile_edits import (
    at_stations,
    cut_open,
    heading_after,
    heading_before,
    inset_stations,
    join,
    kinks,
    reflect,
    stretch,
)
from edgefinder.geometry.segments import Floats, Segments, arc_segments

QUARTER = math.pi / 2


def profile(path: Path) -> HeadingProfile:
    return heading_profile(measure(path))


def inset(path: Path, depth: float) -> HeadingProfile:
    one = profile(path)
    return at_stations(one, inset_stations(one, depth))


def turned(one: HeadingProfile, s: Floats) -> Floats:
    """Heading against its start, off the kinks."""
    heading: Floats = np.interp(s, one.s, one.heading) - one.heading[0]
    return heading


def test_at_a_kink_the_heading_is_that_before_or_after_it() -> None:
    bent = profile(polyline(0, 100, 100 + 50j))

    assert heading_before(bent, 100) == pytest.approx(0)
    assert heading_after(bent, 100) == pytest.approx(QUARTER)
    assert heading_before(bent, 99) == heading_after(bent, 99) == pytest.approx(0)


def test_between_nodes_the_heading_is_that_of_the_circle() -> None:
    arc = profile(Path(arc_segments([0], 40, 40j, 0.0, 1.0), closed=False))

    for s in (0.0, 7.3, 40.0):
        assert heading_before(arc, s) == pytest.approx(QUARTER + s / 40)
        assert heading_after(arc, s) == pytest.approx(QUARTER + s / 40)


@given(smooth_cubics(), st.floats(0.05, 0.45), st.floats(0.55, 0.95))
def test_a_stretch_turns_as_the_same_stretch_of_the_line(
    cubic: Segments, first: float, last: float
) -> None:
    measured = measure(Path(cubic, closed=False))
    s0, s1 = first * measured.length, last * measured.length

    part = stretch(heading_profile(measured), s0, s1)

    wanted = profile(subpath(measured, s0, s1))
    assert part.length == pytest.approx(s1 - s0)
    assert (part.s[0], part.closed) == (0.0, False)
    # Between nodes half a degree apart the heading is taken as linear.
    assert part.winding == pytest.approx(wanted.winding, abs=math.radians(1))


def test_a_stretch_beyond_the_ends_goes_on_straight() -> None:
    arc = profile(Path(arc_segments([0], 40, 40j, 0.0, 1.0), closed=False))

    longer = stretch(arc, -10.0, 45.0)

    assert longer.length == pytest.approx(55)
    assert longer.winding == pytest.approx(1.0)
    assert turned(longer, np.array([0.0, 10.0, 30.0, 50.0, 55.0])) == pytest.approx(
        [0.0, 0.0, 0.5, 1.0, 1.0]
    )


def test_kinks_at_the_ends_of_a_stretch_are_left_out() -> None:
    square = profile(polyline(0, 100, 100 + 100j, 100j))

    side = stretch(square, 100.0, 200.0)

    assert side.winding == 0
    assert side.length == 100


@given(st.floats(0, 200), st.floats(0.1, 6), st.sampled_from([1, -1]))
def test_an_arc_set_in_is_shorter_by_the_depth_times_its_turning(
    depth: float, turning: float, side: int
) -> None:
    r = 250.0
    arc = Path(arc_segments([0], r, r * 1j, 0.0, side * turning), closed=False)

    one = inset(arc, depth)

    assert one.length == pytest.approx(turning * (r - side * depth))
    assert one.winding == pytest.approx(side * turning)


def test_lines_are_carried_on_at_a_kink() -> None:
    outside, inside = polyline(0, 100, 100 + 80j), polyline(0, 100, 100 - 80j)

    assert inset(outside, 10).length == pytest.approx(160)
    assert inset(inside, 10).length == pytest.approx(200)


@pytest.mark.parametrize("turn", [20, 60, 120, 150])
def test_what_an_outside_kink_takes_is_the_tangent_of_half_its_turn(
    turn: float,
) -> None:
    bent = polyline(0, 100, 100 + 100 * np.exp(1j * math.radians(turn)))

    taken = 2 * 5 * math.tan(math.radians(turn) / 2)
    assert inset(bent, 5).length == pytest.approx(200 - taken)


@pytest.mark.parametrize("radius", [0.5, 3.0, 5.9, 6.0])
@pytest.mark.parametrize("turn", [30, 90, 150])
def test_a_bend_tighter_than_the_depth_becomes_the_corner_of_its_lines(
    radius: float, turn: float
) -> None:
    depth, angle = 6.0, math.radians(turn)
    cut = radius * math.tan(angle / 2)  # what the arc takes of each line of 100 mm
    bend = Path(
        arc_segments(
            [100 - cut + radius * 1j], radius, radius * 1j, -QUARTER, -QUARTER + angle
        ),
        closed=False,
    )
    lines = [profile(polyline(0, 100 - cut)), profile(polyline(0, 100 - cut))]
    whole = join([lines[0], profile(bend), lines[1]], [0.0, 0.0])

    one = at_stations(whole, inset_stations(whole, depth))

    assert one.length == pytest.approx(200 - 2 * depth * math.tan(angle / 2))
    at, turns = kinks(one, 0.01)
    assert at == pytest.approx([one.length / 2])
    assert turns == pytest.approx([angle])


@pytest.mark.parametrize("depth", [60.0, 61.0, 500.0])
def test_nothing_is_left_of_a_circle_as_deep_as_its_radius(depth: float) -> None:
    stations = inset_stations(profile(circle_outline(60)), depth)

    assert stations == pytest.approx(np.zeros(len(stations)), abs=1e-9)


@pytest.mark.parametrize("turn", [40, 90, 140])
def test_a_corner_is_cut_off_as_much_before_as_after_it(turn: float) -> None:
    angle = math.radians(turn)
    bent = polyline(0, 100, 100 + 60 * np.exp(1j * angle))

    one = inset(bent, 4.0)

    at, turns = kinks(one, 0.01)
    assert at == pytest.approx([100 - 4 * math.tan(angle / 2)])
    assert turns == pytest.approx([angle])
    assert one.length - at[0] == pytest.approx(60 - 4 * math.tan(angle / 2))


@pytest.mark.parametrize("depth", [0.0, 10.0, 39.0])
def test_stadium_set_in_keeps_its_straight_sides(depth: float) -> None:
    one = inset(stadium(100, 40), depth)

    assert one.length == pytest.approx(200 + 2 * math.pi * (40 - depth))
    assert one.winding == pytest.approx(2 * math.pi)


@given(closed_outlines(), st.floats(0, 300))
def test_stations_set_in_rise_from_zero(outline: Path, depth: float) -> None:
    one = profile(outline)

    stations = inset_stations(one, depth)

    assert stations.shape == one.s.shape
    assert stations[0] == 0
    assert (np.diff(stations) >= 0).all()


@given(closed_outlines())
def test_no_depth_changes_nothing(outline: Path) -> None:
    one = profile(outline)

    assert inset_stations(one, 0.0) == pytest.approx(one.s)


def test_headings_that_fall_together_are_one_kink() -> None:
    one = profile(Path(arc_segments([0], 40, 40j, 0.0, 1.0), closed=False))

    point = at_stations(one, np.zeros(len(one.s)))

    assert point.s.tolist() == [0.0, 0.0]
    assert kinks(point, 0.5)[1] == pytest.approx([1.0])


def test_a_kink_at_the_start_of_a_closed_line_goes_to_its_end() -> None:
    # Begun in the middle of a rounded corner that the depth makes sharp.
    box = profile(rounded_rectangle(200, 100, 8))
    middle = stretch_closed(box, 4 * math.pi / 4 + 184 + 0.0)

    one = at_stations(middle, inset_stations(middle, 12.0))

    assert one.closed
    at, turns = kinks(one, 0.01)
    assert turns == pytest.approx([QUARTER] * 4)
    assert one.length == pytest.approx(2 * (176 + 76))
    assert at[-1] == pytest.approx(one.length)
    assert one.winding == pytest.approx(2 * math.pi)


def stretch_closed(one: HeadingProfile, s: float) -> HeadingProfile:
    """Begin a smooth closed profile at another station."""
    opened = cut_open(one, s)
    return HeadingProfile(opened.s, opened.heading, closed=True, length=one.length)


@given(paths())
def test_a_reflection_turns_as_the_mirrored_line_run_backwards(path: Path) -> None:
    one = profile(path)

    mirrored = reflect(one)

    assert mirrored.length == one.length
    assert mirrored.winding == pytest.approx(one.winding, abs=1e-9)
    assert reflect(mirrored).s == pytest.approx(one.s)
    assert reflect(mirrored).heading - one.heading == pytest.approx(
        np.full(len(one.s), -one.heading[0]), abs=1e-9
    )


def test_a_reflection_has_its_bends_at_the_other_end() -> None:
    hook = profile(polyline(0, 100, 100 + 20j))

    at, turns = kinks(reflect(hook), 0.1)

    assert at == pytest.approx([20])
    assert turns == pytest.approx([QUARTER])


def test_a_line_reflected_is_the_mirrored_line_run_the_other_way() -> None:
    corners = [0, 100, 130 + 40j, 130 + 90j]
    mirrored = polyline(*[-complex(z).conjugate() for z in corners])

    one, other = reflect(profile(polyline(*corners))), profile(reverse_path(mirrored))

    assert one.s == pytest.approx(other.s)
    assert one.heading == pytest.approx(other.heading - other.heading[0])


def test_joined_profiles_follow_each_other_with_the_turns_between_them() -> None:
    side, foot = profile(polyline(0, 60j)), profile(polyline(0, 100))

    one = join([foot, side, foot], [QUARTER, -0.3])

    assert one.length == pytest.approx(260)
    at, turns = kinks(one, 0.01)
    assert at == pytest.approx([100, 160])
    assert turns == pytest.approx([QUARTER, -0.3])


def test_a_closed_join_has_its_last_turn_at_the_end() -> None:
    foot, side = profile(polyline(0, 100)), profile(polyline(0, 60j))

    one = join([foot, side, foot, side], [QUARTER] * 4, closed=True)

    wanted = profile(rectangle(100, 60))
    assert one.closed
    assert one.s == pytest.approx(wanted.s)
    assert one.heading == pytest.approx(wanted.heading)
    assert one.winding == pytest.approx(2 * math.pi)


@given(closed_outlines(), st.floats(0, 0.999))
def test_a_closed_profile_cut_open_keeps_length_and_turning(
    outline: Path, share: float
) -> None:
    one = profile(outline)
    s = share * one.length

    opened = cut_open(one, s)

    left_out = (
        heading_after(one, s) - heading_before(one, s)
        if s > 0
        else (one.heading[-1] - heading_before(one, one.length))
    )
    assert not opened.closed
    assert opened.length == one.length
    assert (opened.s[0], opened.s[-1]) == (0.0, one.length)
    assert (np.diff(opened.s) >= 0).all()
    assert opened.winding == pytest.approx(2 * math.pi - left_out, abs=1e-6)


@pytest.mark.parametrize("s", [0.0, 30.0, 100.0, 130.0, 260.0])
def test_a_rectangle_cut_open_keeps_the_kinks_that_are_not_cut(s: float) -> None:
    opened = cut_open(profile(rectangle(100, 60)), s)

    at, turns = kinks(opened, 0.1)

    corners = [(c - s) % 320 for c in (0.0, 100.0, 160.0, 260.0)]
    assert at == pytest.approx(sorted(c for c in corners if c > 0))
    assert turns == pytest.approx([QUARTER] * len(at))


def test_a_smooth_loop_cut_open_turns_evenly() -> None:
    opened = cut_open(profile(circle_outline(50)), 77.0)

    s = np.linspace(0, opened.length, 9)
    assert turned(opened, s) == pytest.approx(s / 50)


def test_kinks_are_found_from_a_least_jump_on_either_way() -> None:
    bent = profile(polyline(0, 10, 20 + 2j, 30, 30 - 10j))
    _, every = kinks(bent, 0.01)

    assert len(every) == 3
    assert len(kinks(bent, 0.3)[0]) == 2
    assert every[0] > 0 > every[1]


def test_curves_have_no_kinks() -> None:
    assert len(kinks(profile(ellipse_outline(90, 20)), 1e-6)[0]) == 0
    assert len(kinks(profile(polygon(0, 100, 50 + 80j)), 1e-6)[0]) == 3
