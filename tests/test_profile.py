"""Heading profiles and windowed curvature."""

from math import atan, pi, radians

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapes import (
    ZOO,
    circle_outline,
    leaf,
    parabola,
    polygon,
    polyline,
    rectangle,
    rounded_rectangle,
    stadium,
)
from strategies import closed_outlines, paths

from edgefinder.geometry.headings import joint_turnings, turnings
from edgefinder.geometry.measured import headings_at_lengths, measure, measure_all
from edgefinder.geometry.path import Path, reverse_path, rotate_path
from edgefinder.geometry.profile import (
    HeadingProfile,
    heading_profile,
    heading_profiles,
)
from edgefinder.geometry.segments import (
    cubic_segments,
)
from edgefinder.geometry.windowed import windowed_curvature

EXACT_RAD = 1e-12
WINDOW_MM = 7.0


def profile_of(path: Path) -> HeadingProfile:
    return heading_profile(measure(path))


def windowed(profile: HeadingProfile, window: float, s: float) -> float:
    return float(windowed_curvature(profile, window, np.array([s]))[0])


class TestProfile:
    def test_a_line_is_two_nodes(self) -> None:
        profile = profile_of(polyline(0, 3 + 4j))

        assert profile.s.tolist() == [0, 5]
        assert profile.heading == pytest.approx([atan(4 / 3)] * 2)

    def test_a_kink_is_a_double_node(self) -> None:
        profile = profile_of(polyline(0, 10, 10 - 5j))

        assert profile.s.tolist() == [0, 10, 10, 15]
        assert profile.heading == pytest.approx([0, 0, -pi / 2, -pi / 2])

    def test_a_kink_at_the_start_of_a_closed_line_stands_at_its_end(self) -> None:
        profile = profile_of(rectangle(40, 30))

        assert profile.s.tolist() == [0, 40, 40, 70, 70, 110, 110, 140, 140]
        assert profile.heading[-2:] == pytest.approx([3 * pi / 2, 2 * pi])

    def test_a_smooth_joint_is_one_node(self) -> None:
        profile = profile_of(stadium(30, 5))

        assert np.all(np.diff(profile.s) > 0)
        assert profile.winding == pytest.approx(2 * pi)

    def test_the_heading_of_a_circle_is_linear(self) -> None:
        profile = profile_of(circle_outline(5))

        assert profile.heading == pytest.approx(pi / 2 + profile.s / 5)

    def test_nodes_are_exact_and_near_enough_to_each_other(self) -> None:
        max_turn = radians(2)
        measured = measure(parabola(2.5, -4, 8))

        profile = heading_profile(measured, max_turn)

        exact = np.angle(headings_at_lengths(measured, profile.s))
        assert profile.heading == pytest.approx(exact, abs=1e-10)
        between = (profile.s[1:] + profile.s[:-1]) / 2
        taken = np.interp(between, profile.s, profile.heading)
        exact = np.angle(headings_at_lengths(measured, between))
        assert taken == pytest.approx(exact, abs=max_turn / 4)

    def test_turns_both_ways_do_not_save_nodes(self) -> None:
        wave = Path(cubic_segments([[0, 100j, 100 - 100j, 100]]), closed=False)

        assert turnings(wave.segments)[0] == pytest.approx(0)
        assert len(profile_of(wave).s) > 180

    def test_segments_that_are_points_leave_no_trace(self) -> None:
        with_points = profile_of(polygon(0, 0, 10, 10, 10, 10 + 10j, 10j, 10j))

        without = profile_of(rectangle(10, 10))

        assert with_points.s.tolist() == without.s.tolist()
        assert with_points.heading == pytest.approx(without.heading)

    @pytest.mark.parametrize("name", ["point", "point, closed", "point as an arc"])
    def test_a_line_without_length_is_one_node(self, name: str) -> None:
        profile = profile_of(ZOO[name])

        assert (profile.s.tolist(), profile.length) == ([0], 0)
        assert windowed(profile, WINDOW_MM, 3) == 0

    @given(closed_outlines())
    def test_a_simple_outline_winds_once(self, outline: Path) -> None:
        assert profile_of(outline).winding == pytest.approx(2 * pi, abs=1e-9)
        assert profile_of(reverse_path(outline)).winding == pytest.approx(
            -2 * pi, abs=1e-9
        )

    def test_an_outline_with_a_cusp_winds_once(self) -> None:
        assert profile_of(leaf()).winding == pytest.approx(2 * pi)

    @given(paths())
    def test_all_turning_is_in_the_profile(self, path: Path) -> None:
        profile = profile_of(path)

        expected = float((turnings(path.segments) + joint_turnings(path)).sum())

        assert profile.winding == pytest.approx(expected, abs=1e-9)
        assert np.all(np.diff(profile.s) >= 0)
        assert profile.s[-1] == profile.length

    def test_arrays_are_locked_and_have_to_fit(self) -> None:
        profile = profile_of(rectangle(40, 30))

        with pytest.raises(ValueError, match="read-only"):
            profile.heading[0] = 1
        with pytest.raises(ValueError, match="one heading per station"):
            HeadingProfile(np.zeros(2), np.zeros(3), closed=False, length=1)
        with pytest.raises(ValueError, match="at least one"):
            HeadingProfile(np.zeros(0), np.zeros(0), closed=False, length=0)

    @pytest.mark.parametrize("name", ZOO)
    def test_awkward_shapes_have_a_profile(self, name: str) -> None:
        profile = profile_of(ZOO[name])
        everywhere = np.linspace(0.0, profile.length, 101)

        assert np.all(np.diff(profile.s) >= 0)
        assert np.isfinite(profile.heading).all()
        assert np.isfinite(windowed_curvature(profile, WINDOW_MM, everywhere)).all()


class TestSeveral:
    @given(st.lists(st.one_of(closed_outlines(), paths(max_size=3)), max_size=4))
    def test_paths_are_looked_at_together_as_each_alone(
        self, lines: list[Path]
    ) -> None:
        measured = measure_all(lines)

        together = heading_profiles(measured, [path.segments for path in lines])

        for one, profile in zip(measured, together, strict=True):
            alone = heading_profile(one)
            assert (profile.closed, profile.length) == (alone.closed, alone.length)
            assert profile.s == pytest.approx(alone.s, abs=1e-9)
            assert profile.heading == pytest.approx(alone.heading, abs=1e-9)

    def test_awkward_shapes_stand_between_others(self) -> None:
        lines = list(ZOO.values())

        together = heading_profiles(
            measure_all(lines), [path.segments for path in lines]
        )

        for path, profile in zip(lines, together, strict=True):
            alone = profile_of(path)
            assert len(profile.s) == len(alone.s)
            assert profile.s == pytest.approx(alone.s, abs=1e-9)
            assert profile.heading == pytest.approx(alone.heading, abs=1e-9)


class TestWindow:
    @pytest.mark.parametrize("window", [1e-3, 1.0, 12.0, 31.0, 1000.0])
    def test_a_circle_has_1_over_r_in_any_window(self, window: float) -> None:
        s = np.linspace(-50, 100, 41)
        profile = profile_of(circle_outline(5, centre=2 - 1j))
        clockwise = profile_of(reverse_path(circle_outline(5)))

        assert windowed_curvature(profile, window, s) == pytest.approx(0.2, rel=1e-9)
        assert windowed_curvature(clockwise, window, s) == pytest.approx(-0.2, rel=1e-9)

    def test_a_kink_counts_with_its_turn_over_the_window(self) -> None:
        profile = profile_of(polyline(0, 100, 100 + 100j))

        found = windowed_curvature(
            profile, 8, np.array([95.9, 96.1, 100, 103.9, 104.1])
        )

        assert found == pytest.approx([0, pi / 16, pi / 16, pi / 16, 0])

    def test_a_kink_at_an_end_of_the_window_counts_in_full(self) -> None:
        profile = profile_of(polyline(0, 100, 100 + 100j))

        assert windowed(profile, 8, 96) == pytest.approx(pi / 16)
        assert windowed(profile, 8, 104) == pytest.approx(pi / 16)

    def test_a_kink_at_the_start_of_a_closed_line_counts_once(self) -> None:
        profile = profile_of(rectangle(40, 30))

        for s in (-4, -3, 0, 3, 4, 136, 140, 143):
            assert windowed(profile, 8, s) == pytest.approx(pi / 16)
        for s in (-5, 5, 135, 145):
            assert windowed(profile, 8, s) == 0

    def test_two_kinks_in_one_window_add_up(self) -> None:
        profile = profile_of(polyline(0, 100, 100 + 2j, 200 + 2j))

        assert windowed(profile, 8, 101) == pytest.approx(0)
        assert windowed(profile, 8, 97) == pytest.approx(pi / 16)

    def test_a_half_round_end_shows_in_a_window_that_fits_it(self) -> None:
        straight, radius = 30.0, 5.0
        profile = profile_of(stadium(straight, radius))
        middle = straight + pi * radius / 2

        assert windowed(profile, pi * radius, middle) == pytest.approx(1 / radius)
        # Twice as long a window holds the same half turn.
        assert windowed(profile, 2 * pi * radius, middle) == pytest.approx(0.5 / radius)
        assert windowed(profile, 4, straight / 2) == pytest.approx(0, abs=EXACT_RAD)

    def test_at_the_ends_of_an_open_line_the_window_is_shifted_inside(self) -> None:
        profile = profile_of(polyline(0, 5, 5 + 100j))

        for s in (-3.0, 0.0, 4.0, 5.0):
            assert windowed(profile, 10, s) == pytest.approx(pi / 20)
        assert windowed(profile, 10, 105) == 0

    def test_a_line_shorter_than_the_window_is_divided_by_its_own_length(self) -> None:
        corner = profile_of(polyline(0, 2, 2 + 3j))
        outline = profile_of(rounded_rectangle(4, 3, 1))

        assert windowed(corner, 100, 1) == pytest.approx(pi / 2 / 5)
        assert windowed(outline, 100, 1) == pytest.approx(2 * pi / outline.length)

    def test_a_parabola_follows_its_formula(self) -> None:
        path = parabola(25, -40, 80)
        measured = measure(path)
        profile = heading_profile(measured, radians(0.05))
        half = WINDOW_MM / 2

        for s in np.linspace(10, measured.length - 10, 5):
            slopes = np.angle(
                headings_at_lengths(measured, s + np.array([-half, half]))
            )
            assert windowed(profile, WINDOW_MM, s) == pytest.approx(
                (slopes[1] - slopes[0]) / WINDOW_MM, rel=1e-4
            )

    def test_a_handle_of_no_length_is_nothing_special(self) -> None:
        bend = Path(cubic_segments([[0, 0, 50, 50 + 50j]]), closed=False)
        profile = profile_of(bend)

        found = windowed_curvature(profile, 8, np.linspace(0, profile.length, 50))

        assert np.all(found * 8 < pi / 2)
        assert np.isfinite(found).all()

    @given(closed_outlines(), st.floats(1, 50))
    def test_the_mean_round_an_outline_is_2_pi_over_its_length(
        self, outline: Path, window: float
    ) -> None:
        profile = profile_of(outline)
        s = (np.arange(20_000) + 0.5) / 20_000 * profile.length

        mean = windowed_curvature(profile, window, s).mean()

        # A kink may be missed by one sample out of those in a window.
        kinks = abs(np.diff(profile.heading)[np.diff(profile.s) == 0]).sum()
        slack = (kinks + 0.1) / window / 10_000
        assert mean == pytest.approx(2 * pi / profile.length, abs=slack)

    @given(closed_outlines(), st.integers(1, 6), st.floats(1, 50))
    def test_another_start_moves_the_places_only(
        self, outline: Path, first: int, window: float
    ) -> None:
        first %= len(outline.segments)
        measured = measure(outline)
        shift = measured.stations[first]
        s = (np.arange(40) + 0.37) / 40 * measured.length
        other = profile_of(rotate_path(outline, first))

        found = windowed_curvature(heading_profile(measured), window, s + shift)

        # Off the places where a kink enters the window.
        kinks = other.s[1:][np.diff(other.s) == 0]
        ends = np.concatenate([s - window / 2, s + window / 2])
        near = np.abs(ends[:, np.newaxis] - kinks + measured.length / 2)
        off = np.abs(np.mod(near, measured.length) - measured.length / 2)
        clear = (off > 1e-6).all(axis=1).reshape(2, -1).all(axis=0)
        expected = windowed_curvature(other, window, s)
        assert found[clear] == pytest.approx(expected[clear], abs=1e-8)

    @pytest.mark.parametrize("window", [0.0, -1.0, float("nan")])
    def test_a_window_has_to_have_a_width(self, window: float) -> None:
        profile = profile_of(circle_outline(5))

        with pytest.raises(ValueError, match="window"):
            windowed_curvature(profile, window, np.zeros(1))
