"""Headings at ends and places, turning of segments and at joints."""

from itertools import pairwise
from math import atan, pi

import numpy as np
import pytest
from hypothesis import assume, given
from mpmath import mp, mpc, mpf, quad
from shapes import (
    ZOO,
    circle_outline,
    ellipse_outline,
    leaf,
    parabola,
    polygon,
    polyline,
    rounded_rectangle,
    stadium,
)
from strategies import (
    angles,
    arcs,
    closed_outlines,
    cubics,
    parameters,
    segments,
    smooth_cubics,
)

from edgefinder.geometry.affine import Affine, transform
from edgefinder.geometry.cubic_factors import cubic_factors
from edgefinder.geometry.headings import (
    absolute_turnings,
    end_headings,
    headings_at,
    joint_turnings,
    start_headings,
    turnings,
    turnings_to,
)
from edgefinder.geometry.path import Path, reverse_path
from edgefinder.geometry.segments import (
    Segments,
    arc_segments,
    circle,
    concatenate,
    cubic_segments,
    reverse,
    split,
)

EXACT_RAD = 1e-12


def is_straight(table: Segments) -> bool:
    return bool(cubic_factors(table.control).straight[0])


def rotation(angle: float) -> Affine:
    cosine, sine = np.cos(angle), np.sin(angle)
    return Affine(a=cosine, b=sine, c=-sine, d=cosine)


def total_turning(path: Path) -> float:
    return float((turnings(path.segments) + joint_turnings(path)).sum())


class TestHeadings:
    def test_a_line_points_from_its_start_to_its_end(self) -> None:
        line = polyline(1 + 1j, 4 + 5j).segments

        assert start_headings(line)[0] == pytest.approx(0.6 + 0.8j)
        assert end_headings(line)[0] == pytest.approx(0.6 + 0.8j)

    def test_a_circle_sets_out_upwards_from_its_rightmost_point(self) -> None:
        table = circle(2, 5)

        headings = [headings_at(table, np.array([q / 4]))[0] for q in range(4)]

        assert headings == pytest.approx([1j, -1, -1j, 1])

    def test_an_arc_that_runs_backwards_points_backwards(self) -> None:
        table = arc_segments([0], 5, 5j, pi / 2, 0)

        assert start_headings(table)[0] == pytest.approx(1)
        assert end_headings(table)[0] == pytest.approx(-1j)

    def test_a_parabola_has_the_slope_of_its_formula(self) -> None:
        table = parabola(2.5, -3, 8).segments

        for t in (0.0, 0.25, 0.6, 1.0):
            x = -3 + 11 * t
            slope = complex(1, x / 5)
            assert headings_at(table, np.array([t]))[0] == pytest.approx(
                slope / abs(slope)
            )

    @pytest.mark.parametrize(
        ("control", "start", "end"),
        [
            ([0, 0, 10, 10 + 10j], 1, 1j),
            ([0, 10, 10 + 10j, 10 + 10j], 1, 1j),
            ([0, 0, 3 + 4j, 3 + 4j], 0.6 + 0.8j, 0.6 + 0.8j),
            ([0, 0, 0, 2j], 1j, 1j),
            ([2j, 0, 0, 0], -1j, -1j),
            ([1, 1, 1, 1], 0, 0),
        ],
    )
    def test_a_handle_of_no_length_leaves_the_limit_of_the_tangent(
        self, control: list[complex], start: complex, end: complex
    ) -> None:
        table = cubic_segments([control])

        assert start_headings(table)[0] == pytest.approx(start)
        assert end_headings(table)[0] == pytest.approx(end)

    def test_a_cusp_is_left_downwards(self) -> None:
        cusp = cubic_segments([[0, 1 + 1j, 1j, 1]])

        assert headings_at(cusp, np.array([0.5]))[0] == pytest.approx(-1j)

    def test_a_flat_arc_sets_out_from_its_tip_along_itself(self) -> None:
        flat = arc_segments([0], 5, 0, 0, pi)

        assert start_headings(flat)[0] == pytest.approx(-1)
        assert end_headings(flat)[0] == pytest.approx(-1)

    @given(segments(), angles())
    def test_headings_turn_with_the_drawing(self, table: Segments, by: float) -> None:
        turned = transform(table, rotation(by))

        assert start_headings(turned) == pytest.approx(
            start_headings(table) * np.exp(1j * by), abs=1e-9
        )

    @given(segments())
    def test_headings_of_the_reversed_line_are_opposite(self, table: Segments) -> None:
        assert start_headings(reverse(table)) == pytest.approx(-end_headings(table))

    @pytest.mark.parametrize("name", ZOO)
    def test_awkward_shapes_have_unit_headings_or_none(self, name: str) -> None:
        table = ZOO[name].segments

        for headings in (start_headings(table), end_headings(table)):
            size = abs(headings)
            assert np.all((size == 0) | (abs(size - 1) < EXACT_RAD))


class TestTurnings:
    def test_a_line_does_not_turn(self) -> None:
        assert turnings(polyline(0, 3, 4j).segments).tolist() == [0, 0]

    def test_a_circle_turns_once_round(self) -> None:
        assert turnings(circle(3, 5))[0] == pytest.approx(2 * pi)

    def test_an_arc_may_turn_more_than_once_round_either_way(self) -> None:
        table = arc_segments(
            [0, 0, 0], [5, 5, 5], [3j, 3j, -3j], [0, 0, 0], [6 * pi, -5 * pi, 2 * pi]
        )

        assert turnings(table) == pytest.approx([6 * pi, -5 * pi, -2 * pi])

    def test_an_ellipse_turns_by_the_arctangent_of_its_slope(self) -> None:
        a, b, angle = 7.0, 2.0, 0.9
        table = arc_segments([0], a, 1j * b, 0, angle)

        # From the end of the axis a the tangent (-a sin, b cos) leans by this much.
        expected = atan(a * np.tan(angle) / b)

        assert turnings(table)[0] == pytest.approx(expected, abs=EXACT_RAD)

    def test_a_parabola_turns_by_the_difference_of_its_slopes(self) -> None:
        table = parabola(2.5, -3, 8).segments

        assert turnings(table)[0] == pytest.approx(atan(8 / 5) + atan(3 / 5))

    @pytest.mark.parametrize(
        "control",
        [
            [0, 30 + 80j, 90 - 20j, 100 + 40j],
            [0, 120 + 100j, -20 + 100j, 100],
            [0, 100 + 100j, 1e-3 + 100j, 100],
            [0, 99 + 100j, 2 + 100j, 100],
            [0, 1e-6j, 100, 100 + 100j],
        ],
    )
    def test_turning_is_the_integral_of_curvature(self, control: list[complex]) -> None:
        with mp.workdps(30):
            d = [mpc(q) - mpc(p) for p, q in pairwise(control)]

            def rate(t: mpf) -> mpf:
                h = d[0] * (1 - t) ** 2 + 2 * d[1] * t * (1 - t) + d[2] * t * t
                slope = 2 * ((d[1] - d[0]) * (1 - t) + (d[2] - d[1]) * t)
                return mp.im(slope / h)

            steps = [0, *(mpf(10) ** -k for k in range(9, 0, -1)), 0.3, 0.4, 0.45]
            steps += [0.49, 0.499, 0.5, 0.501, 0.51, 0.6, 0.7, 0.9, 1]
            expected = quad(rate, steps)

        assert turnings(cubic_segments([control]))[0] == pytest.approx(
            float(expected), abs=1e-10
        )

    @pytest.mark.parametrize("by", [0.0, 0.3, 2.0])
    def test_a_cusp_turns_by_half_a_turn_against_its_branches(self, by: float) -> None:
        cusp = transform(cubic_segments([[0, 1 + 1j, 1j, 1]]), rotation(by))

        # Each branch bends left by 45 degrees, up to the tip and down from it.
        assert turnings(cusp)[0] == pytest.approx(pi / 4 - pi + pi / 4)
        assert turnings(reverse(cusp))[0] == pytest.approx(-pi / 4 + pi - pi / 4)
        assert turnings_to(cusp, np.array([0.499]))[0] > 0
        assert turnings_to(cusp, np.array([0.501]))[0] < -pi / 2

    @pytest.mark.parametrize("by", [0.0, 0.3, 2.0])
    def test_a_straight_cubic_turns_back_and_back_again(self, by: float) -> None:
        table = transform(cubic_segments([[0, 3, -2, 1]] * 3), rotation(by))

        turned = turnings_to(table, np.array([0.2, 0.5, 0.8]))

        # 3 - 16 t + 16 t^2, the speed, vanishes at 1/4 and 3/4.
        assert turned.tolist() == [0, pi, 0]

    def test_a_flat_ellipse_turns_round_at_each_tip(self) -> None:
        there = arc_segments([0], 5, 0, 0, pi)
        there_and_back = arc_segments([0], 5, 0, -0.5, 2 * pi - 0.5)

        assert turnings(there)[0] == pytest.approx(0, abs=EXACT_RAD)
        assert turnings(there_and_back)[0] == pytest.approx(2 * pi)

    @given(segments(), parameters())
    def test_turning_leads_from_heading_to_heading(
        self, table: Segments, t: float
    ) -> None:
        assume(table.kind[0] != 1 or not is_straight(table))
        at = np.array([t])

        led = start_headings(table) * np.exp(1j * turnings_to(table, at))

        speed = abs(np.diff(table.control[0])).max() if table.kind[0] == 1 else 1.0
        ahead = split(table, at, np.ones(1)).control[0]
        assume(table.kind[0] != 1 or abs(ahead[1] - ahead[0]) > 1e-4 * speed)
        assume(t < 1)
        assert led == pytest.approx(headings_at(table, at), abs=1e-8)

    @given(segments(), parameters())
    def test_the_turnings_of_two_stretches_add_up(
        self, table: Segments, t: float
    ) -> None:
        assume(table.kind[0] != 1 or not is_straight(table))
        at = np.array([t])

        first = turnings(split(table, np.zeros(1), at))
        second = turnings(split(table, at, np.ones(1)))

        # A cut beside a cusp has handles that are hardly more than rounding.
        part = split(table, np.zeros(1), at).control[0]
        assume(table.kind[0] != 1 or abs(part[3] - part[2]) > 1e-3)
        assume(t > 1e-3)
        assert turnings_to(table, at) == pytest.approx(first, abs=1e-6)
        assert turnings(table) == pytest.approx(first + second, abs=1e-6)

    @given(segments())
    def test_reversing_flips_the_sign_of_turning(self, table: Segments) -> None:
        assume(table.kind[0] != 1 or not is_straight(table))

        assert turnings(reverse(table)) == pytest.approx(-turnings(table), abs=1e-9)

    @given(segments())
    def test_mirroring_flips_the_sign_of_turning(self, table: Segments) -> None:
        assume(table.kind[0] != 1 or not is_straight(table))

        mirrored = transform(table, Affine(a=-1))

        assert turnings(mirrored) == pytest.approx(-turnings(table), abs=1e-9)

    @given(smooth_cubics(), angles())
    def test_turning_does_not_depend_on_the_place_of_the_drawing(
        self, table: Segments, by: float
    ) -> None:
        moved = transform(table, Affine(e=40, f=-30) @ rotation(by))

        assert turnings(moved) == pytest.approx(turnings(table), abs=1e-9)

    @given(arcs(), parameters(), parameters())
    def test_arcs_turn_one_way_only(self, table: Segments, a: float, b: float) -> None:
        low, high = sorted((a, b))

        part = turnings_to(table, np.array([high])) - turnings_to(
            table, np.array([low])
        )

        assert part[0] * np.sign(turnings(table)[0]) >= -EXACT_RAD

    @given(cubics())
    def test_left_and_right_turns_do_not_cancel_in_the_bound(
        self, table: Segments
    ) -> None:
        t = np.linspace(0, 1, 101)

        turned = turnings_to(table.take(np.zeros(101, dtype=np.intp)), t)

        assume(not is_straight(table))
        assert absolute_turnings(table)[0] >= abs(np.diff(turned)).sum() - 1e-9

    @pytest.mark.parametrize("name", ZOO)
    def test_awkward_shapes_have_finite_turnings(self, name: str) -> None:
        path = ZOO[name]

        assert np.isfinite(turnings(path.segments)).all()
        assert np.isfinite(absolute_turnings(path.segments)).all()
        assert np.isfinite(joint_turnings(path)).all()


class TestJoints:
    def test_corners_of_a_rectangle_are_right_angles(self) -> None:
        joints = joint_turnings(polygon(0, 4, 4 + 3j, 3j))

        assert joints == pytest.approx([pi / 2] * 4)

    def test_an_open_line_has_no_joint_at_its_end(self) -> None:
        joints = joint_turnings(polyline(0, 4, 4 - 3j))

        assert joints == pytest.approx([-pi / 2, 0])

    @pytest.mark.parametrize("by", [0.0, 0.3, 1.7, 2.9])
    def test_turning_straight_back_is_plus_pi(self, by: float) -> None:
        there_and_back = polygon(0, 10 * np.exp(1j * by))

        assert joint_turnings(there_and_back).tolist() == [pi, pi]

    def test_the_turn_across_points_stands_after_them(self) -> None:
        joints = joint_turnings(polygon(0, 10, 10, 10, 10 + 10j, 10j))

        assert joints == pytest.approx([0, 0, pi / 2, pi / 2, pi / 2, pi / 2])

    def test_points_at_the_start_of_a_closed_line_hide_no_corner(self) -> None:
        joints = joint_turnings(polygon(0, 0, 10, 10 + 10j, 10j))

        assert joints == pytest.approx([pi / 2, pi / 2, pi / 2, pi / 2, 0])

    def test_a_line_of_points_only_does_not_turn(self) -> None:
        assert joint_turnings(polygon(1, 1, 1)).tolist() == [0, 0, 0]


class TestOnceRound:
    """A simple closed outline turns by 2 pi (the theorem of turning tangents)."""

    @pytest.mark.parametrize(
        "outline",
        [
            circle_outline(5),
            ellipse_outline(10, 1, 0.3),
            stadium(30, 5),
            rounded_rectangle(40, 30, 5),
            polygon(0, 4, 3j),
            leaf(),
        ],
    )
    def test_known_outlines_turn_once(self, outline: Path) -> None:
        assert total_turning(outline) == pytest.approx(2 * pi, abs=EXACT_RAD)
        assert total_turning(reverse_path(outline)) == pytest.approx(
            -2 * pi, abs=EXACT_RAD
        )

    @given(closed_outlines())
    def test_every_simple_outline_turns_once(self, outline: Path) -> None:
        assert total_turning(outline) == pytest.approx(2 * pi, abs=1e-9)

    def test_a_self_crossing_outline_does_not(self) -> None:
        assert total_turning(ZOO["self-crossing"]) == pytest.approx(0, abs=EXACT_RAD)


class TestSeveralPlacesOfOneSegment:
    def test_the_turning_is_that_of_the_segment_alone(self) -> None:
        table = concatenate([path.segments for path in ZOO.values()])
        random = np.random.default_rng(5)
        row = random.integers(len(table), size=500)
        t = random.choice([0.0, 1.0, *random.uniform(size=20)], size=500)

        found = turnings_to(table, t, row)

        assert found.tolist() == turnings_to(table.take(row), t).tolist()
