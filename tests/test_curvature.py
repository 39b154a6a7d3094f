"""Signed curvature at points, and its extremes."""

from math import inf, pi

import numpy as np
import pytest
from hypothesis import assume, given
from mpmath import mp, mpc, mpf
from shapes import ZOO, circle_outline, ellipse_outline, parabola, stadium
from strategies import angles, arcs, cubics, parameters, segments, smooth_cubics
from svgpathtools import CubicBezier

from edgefinder.geometry.affine import Affine, transform
from edgefinder.geometry.cubic_factors import cubic_factors
from edgefinder.geometry.curvature import curvature_extremes, curvatures_at
from edgefinder.geometry.segments import (
    Kind,
    Segments,
    arc_segments,
    circle,
    concatenate,
    cubic_segments,
    line_segments,
    reverse,
)


def curvature_at(table: Segments, t: float) -> float:
    return float(curvatures_at(table, np.array([t]))[0])


def curvature_in_50_digits(control: list[complex], t: float) -> float:
    with mp.workdps(50):
        p0, p1, p2, p3 = (mpc(p) for p in control)
        u, r = mpf(t), 1 - mpf(t)
        first = 3 * ((p1 - p0) * r * r + 2 * (p2 - p1) * r * u + (p3 - p2) * u * u)
        second = 6 * ((p2 - 2 * p1 + p0) * r + (p3 - 2 * p2 + p1) * u)
        return float(mp.im(mp.conj(first) * second) / abs(first) ** 3)


class TestAtPoints:
    @pytest.mark.parametrize("radius", [1e-3, 5.0, 1e5])
    def test_a_circle_run_anticlockwise_has_1_over_r(self, radius: float) -> None:
        table = circle(3 - 2j, radius)

        assert curvature_at(table, 0.3) == pytest.approx(1 / radius)
        assert curvature_at(reverse(table), 0.3) == pytest.approx(-1 / radius)

    def test_lines_and_straight_curves_have_none(self) -> None:
        straight: list[list[complex]] = [
            [0, 3 + 3j, -2 - 2j, 1 + 1j],
            [1, 1, 1, 1],
        ]
        table = concatenate(
            [
                line_segments(0, 5j),
                cubic_segments(straight),
                arc_segments([0], 1 + 2j, 1 + 2j, 0, 3),
            ]
        )

        for t in (0.0, 0.25, 1.0):
            assert curvatures_at(table, np.full(4, t)).tolist() == [0, 0, 0, 0]

    def test_the_ends_of_the_axes_of_an_ellipse_are_known(self) -> None:
        a, b = 9.0, 4.0
        table = ellipse_outline(a, b, tilt=0.5).segments

        # Radii of curvature b^2/a and a^2/b (any table of conic sections).
        assert curvature_at(table, 0) == pytest.approx(a / b**2)
        assert curvature_at(table, 0.25) == pytest.approx(b / a**2)

    def test_an_ellipse_that_is_squeezed_circle_follows_its_formula(self) -> None:
        # Conjugate half-diameters that are not square to each other.
        table = transform(circle(0, 1), Affine(a=3, c=1.5, d=2))
        angle = 0.7

        first = complex(-3 * np.sin(angle) + 1.5 * np.cos(angle), 2 * np.cos(angle))
        expected = 6 / abs(first) ** 3

        assert curvature_at(table, angle / (2 * pi)) == pytest.approx(expected)

    @pytest.mark.parametrize("x", [-4.0, 0.0, 1.5, 8.0])
    def test_a_parabola_follows_its_formula(self, x: float) -> None:
        focus = 2.5
        table = parabola(focus, -4, 8).segments

        expected = 1 / (2 * focus) / (1 + (x / (2 * focus)) ** 2) ** 1.5

        assert curvature_at(table, (x + 4) / 12) == pytest.approx(expected)

    @given(cubics(), parameters())
    def test_cubics_agree_with_50_digits(self, table: Segments, t: float) -> None:
        factors = cubic_factors(table.control)
        speed = abs(factors.derivative(np.array([t])))[0]
        assume(speed > 1e-4)

        # Rounding of the turn per parameter, divided by the speed there.
        slack = 1e-13 / (speed**3 * factors.scale[0])
        expected = curvature_in_50_digits(table.control[0].tolist(), t)

        assert curvature_at(table, t) == pytest.approx(expected, rel=1e-9, abs=slack)

    @pytest.mark.parametrize("t", [0.0, 1e-9, 1e-4, 0.3])
    def test_a_handle_of_1e_12_keeps_its_curvature(self, t: float) -> None:
        control = [0, 1e-12j, 10, 10 + 10j]

        assert curvature_at(cubic_segments([control]), t) == pytest.approx(
            curvature_in_50_digits(control, t), rel=1e-9
        )

    @given(smooth_cubics(), parameters())
    def test_its_size_agrees_with_another_library(
        self, table: Segments, t: float
    ) -> None:
        other = CubicBezier(*table.control[0].tolist())

        # That library has no sign.
        assert abs(curvature_at(table, t)) == pytest.approx(
            other.curvature(t), rel=1e-6, abs=1e-9
        )

    @pytest.mark.parametrize(
        ("control", "t", "expected"),
        [
            ([0, 0, 10, 10 + 10j], 0.0, inf),
            ([0, 10, 10 - 10j, 10 - 10j], 1.0, -inf),
            ([0, 10 + 10j, 10j, 10], 0.5, inf),
            ([10, 10j, 10 + 10j, 0], 0.5, -inf),
        ],
    )
    def test_it_is_infinite_where_the_line_stops_to_turn(
        self, control: list[complex], t: float, expected: float
    ) -> None:
        table = cubic_segments([control])

        assert curvature_at(table, t) == expected
        # The sign is that of the curvature beside it.
        beside = curvature_at(table, abs(t - 0.01))
        assert np.sign(beside) == np.sign(expected)

    @given(segments(), parameters())
    def test_reversing_flips_the_sign(self, table: Segments, t: float) -> None:
        assume(table.kind[0] != Kind.CUBIC or 1e-3 < t < 1 - 1e-3)

        there, back = curvature_at(table, t), curvature_at(reverse(table), 1 - t)

        assume(abs(there) < 1e3)
        assert back == pytest.approx(-there, rel=1e-6, abs=1e-9)

    @given(smooth_cubics(), parameters(), angles())
    def test_scaling_divides_it_and_turning_leaves_it(
        self, table: Segments, t: float, by: float
    ) -> None:
        cosine, sine = 3 * np.cos(by), 3 * np.sin(by)
        scaled = transform(table, Affine(cosine, sine, -sine, cosine, 7, 8))

        assert curvature_at(scaled, t) == pytest.approx(
            curvature_at(table, t) / 3, rel=1e-9, abs=1e-12
        )

    @pytest.mark.parametrize("name", ZOO)
    def test_awkward_shapes_have_a_curvature_everywhere(self, name: str) -> None:
        table = ZOO[name].segments

        for t in (0.0, 1e-9, 0.25, 0.5, 0.9, 1.0):
            assert not np.isnan(curvatures_at(table, np.full(len(table), t))).any()


class TestExtremes:
    def test_an_ellipse_has_them_at_the_ends_of_its_axes(self) -> None:
        a, b = 9.0, 4.0

        found = curvature_extremes(ellipse_outline(a, b, tilt=2.0).segments)

        assert found.t == pytest.approx([0, 0.25, 0.5, 0.75, 1])
        assert found.curvature == pytest.approx(
            [a / b**2, b / a**2, a / b**2, b / a**2, a / b**2]
        )

    def test_an_arc_of_an_ellipse_has_those_inside_its_span(self) -> None:
        table = arc_segments([0, 0], [9, 9], [4j, 4j], [1.0, 1.0], [2.0, -7.0])

        found = curvature_extremes(table)

        assert found.row.tolist() == [0] * 3 + [1] * 7
        assert found.t[found.row == 0] == pytest.approx([0, pi / 2 - 1, 1])
        # Backwards from 1 over 0, -pi/2, ... -2 pi to -7.
        inner = [(1 + pi / 2 * k) / 8 for k in range(5)]
        assert found.t[found.row == 1] == pytest.approx([0, *inner, 1])

    def test_a_circle_has_its_start_only(self) -> None:
        table = transform(
            circle(1e3, 5), Affine(np.cos(1), np.sin(1), -np.sin(1), np.cos(1))
        )

        found = curvature_extremes(table)

        assert found.t.tolist() == [0]
        assert found.curvature == pytest.approx([0.2])

    def test_lines_have_none(self) -> None:
        found = curvature_extremes(stadium(30, 5).segments)

        assert found.row.tolist() == [1, 3]
        assert curvature_extremes(line_segments(0, 1)).row.size == 0

    def test_a_parabola_has_its_vertex(self) -> None:
        found = curvature_extremes(parabola(2.5, -4, 8).segments)

        assert found.t == pytest.approx([0, 1 / 3, 1], abs=1e-12)
        assert found.curvature[1] == pytest.approx(0.2)

    def test_a_parabola_off_its_vertex_has_its_ends_only(self) -> None:
        found = curvature_extremes(parabola(2.5, 1, 8).segments)

        assert found.t.tolist() == [0, 1]

    def test_a_cusp_is_one(self) -> None:
        found = curvature_extremes(cubic_segments([[0, 10 + 10j, 10j, 10]]))

        assert found.t == pytest.approx([0, 0.5, 1], abs=1e-15)
        assert found.curvature[1] == inf

    @given(smooth_cubics())
    def test_between_two_of_them_curvature_is_monotone(self, table: Segments) -> None:
        found = curvature_extremes(table)

        for low, high in zip(found.t[:-1], found.t[1:], strict=True):
            t = np.linspace(low, high, 40)
            steps = np.diff(curvatures_at(table.take(np.zeros(40, dtype=int)), t))
            slack = 1e-13 + 1e-12 * abs(found.curvature).max()
            assert np.all(steps >= -slack) or np.all(steps <= slack)

    @given(cubics() | arcs())
    def test_no_point_is_tighter_than_all_of_them(self, table: Segments) -> None:
        t = np.linspace(0, 1, 301)

        found = curvature_extremes(table).curvature
        curvature = curvatures_at(table.take(np.zeros(301, dtype=int)), t)

        assert (
            curvature.max() <= found.max() * (1 + 1e-9 * np.sign(found.max())) + 1e-12
        )
        assert (
            curvature.min() >= found.min() * (1 - 1e-9 * np.sign(found.min())) - 1e-12
        )

    def test_places_are_good_to_ten_digits(self) -> None:
        control = [0, 30 + 80j, 90 - 20j, 100 + 40j]
        found = curvature_extremes(cubic_segments([control]))

        with mp.workdps(40):
            p = [mpc(q) for q in control]
            d = [p[i + 1] - p[i] for i in range(3)]

            def curvature(t: mpf) -> mpf:
                r = 1 - t
                h = d[0] * r * r + 2 * d[1] * r * t + d[2] * t * t
                slope = 2 * ((d[1] - d[0]) * r + (d[2] - d[1]) * t)
                return mp.im(mp.conj(h) * slope) / abs(h) ** 3 / 3

            inner = found.t[1:-1]
            assert inner.size
            for t in inner:
                exact = mp.findroot(lambda x: mp.diff(curvature, x), mpf(float(t)))
                assert t == pytest.approx(float(exact), abs=1e-12)

    def test_rows_are_those_of_the_table(self) -> None:
        table = concatenate(
            [line_segments(0, 1), circle(0, 5), ellipse_outline(9, 4).segments]
        )

        found = curvature_extremes(table)

        assert found.row.tolist() == [1, 2, 2, 2, 2, 2]
        assert found.curvature == pytest.approx(
            curvatures_at(table.take(found.row), found.t)
        )

    def test_a_table_without_rows_has_none(self) -> None:
        assert curvature_extremes(concatenate([])).t.size == 0

    @pytest.mark.parametrize("name", ZOO)
    def test_awkward_shapes_have_a_value_at_each(self, name: str) -> None:
        found = curvature_extremes(ZOO[name].segments)

        assert np.all(np.diff(found.t)[np.diff(found.row) == 0] > 0)
        assert not np.isnan(found.curvature).any()


def test_a_circle_outline_is_positive_all_round() -> None:
    table = circle_outline(5).segments

    assert all(curvature_at(table, t) > 0 for t in np.linspace(0, 1, 20))
