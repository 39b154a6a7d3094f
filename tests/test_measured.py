"""Measured paths: places, stretches, areas."""

from math import pi

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Polygon
from shapes import (
    ZOO,
    circle_outline,
    ellipse_outline,
    leaf,
    parabola,
    polygon,
    polyline,
    rectangle,
    ring,
    rounded_rectangle,
    stadium,
)
from strategies import angles, closed_outlines, parameters, paths, points

from edgefinder.geometry.affine import Affine, transform
from edgefinder.geometry.flatten import flatten
from edgefinder.geometry.measured import (
    MeasuredPath,
    headings_at_lengths,
    locate,
    locate_all,
    measure,
    measure_all,
    points_at_lengths,
    signed_area,
    subpath,
)
from edgefinder.geometry.path import Path, reverse_path, rotate_path
from edgefinder.geometry.segments import end_points, start_points

LENGTH_MM = 1e-9
"""Accuracy of lengths of drawn pieces."""


def place(measured: MeasuredPath, s: float) -> complex:
    return complex(points_at_lengths(measured, np.array([s]))[0])


class TestMeasuring:
    def test_stations_are_the_lengths_up_to_each_segment(self) -> None:
        measured = measure(rectangle(40, 30))

        assert measured.stations.tolist() == [0, 40, 70, 110, 140]
        assert measured.length == 140

    def test_lengths_of_round_outlines_are_known(self) -> None:
        assert measure(stadium(30, 5)).length == pytest.approx(60 + 10 * pi)
        assert measure(rounded_rectangle(40, 30, 5)).length == pytest.approx(
            140 - (8 - 2 * pi) * 5
        )

    def test_many_paths_measure_like_each_alone(self) -> None:
        several = [stadium(30, 5), polyline(0, 3, 3 + 4j), leaf(), *ZOO.values()]

        together = measure_all(several)

        for path, measured in zip(several, together, strict=True):
            assert measured.path is path
            assert measured.stations == pytest.approx(measure(path).stations)

    def test_no_paths_are_no_measures(self) -> None:
        assert measure_all([]) == ()

    def test_stations_are_locked_and_have_to_fit(self) -> None:
        measured = measure(rectangle(40, 30))

        with pytest.raises(ValueError, match="read-only"):
            measured.stations[0] = 1
        with pytest.raises(ValueError, match="one station per segment"):
            MeasuredPath(rectangle(40, 30), np.zeros(3))


class TestPlaces:
    def test_a_closed_path_goes_round_and_round(self) -> None:
        measured = measure(rectangle(40, 30))

        assert place(measured, 50) == pytest.approx(40 + 10j)
        assert place(measured, 50 + 140) == pytest.approx(40 + 10j)
        assert place(measured, 50 - 280) == pytest.approx(40 + 10j)
        assert place(measured, 140) == 0
        assert place(measured, -1e-18) == 0

    def test_an_open_path_stops_at_its_ends(self) -> None:
        measured = measure(polyline(0, 3, 3 + 4j))

        assert place(measured, -1) == 0
        assert place(measured, 8) == 3 + 4j

    def test_the_segment_that_begins_at_a_joint_is_meant(self) -> None:
        row, t = locate(measure(rectangle(40, 30)), np.array([0.0, 40, 70, 140]))

        assert row.tolist() == [0, 1, 2, 0]
        assert t.tolist() == [0, 0, 0, 0]

    def test_segments_without_length_are_passed_over(self) -> None:
        row, _ = locate(
            measure(polyline(0, 10, 10, 10 + 10j, 10 + 10j)), np.array([10.0, 20])
        )

        assert row.tolist() == [2, 2]

    def test_a_path_without_length_has_one_place(self) -> None:
        for name in ("point", "point, closed", "point as a cubic"):
            measured = measure(ZOO[name])

            assert place(measured, 5) == ZOO[name].start

    @pytest.mark.parametrize("angle", [0.0, 1.0, 3.0, 6.0])
    def test_places_on_a_circle_are_known(self, angle: float) -> None:
        measured = measure(circle_outline(50, centre=3 + 2j))

        unit = complex(np.exp(1j * angle))

        assert place(measured, 50 * angle) == pytest.approx(3 + 2j + 50 * unit)
        heading = headings_at_lengths(measured, np.array([50 * angle]))[0]
        assert heading == pytest.approx(1j * unit)

    def test_places_on_several_paths_are_those_on_each_alone(self) -> None:
        chance = np.random.default_rng(12)
        every = [measure(path) for path in ZOO.values()]
        along = [
            chance.uniform(-0.5, 1.5, size=number % 4) * one.length
            for number, one in enumerate(every)
        ]

        segments, found = locate_all(every, along)

        alone = [locate(one, s) for one, s in zip(every, along, strict=True)]
        rows = [
            one.path.segments.take(row)
            for one, (row, _) in zip(every, alone, strict=True)
        ]
        wanted = np.concatenate([own.control for own in rows])
        assert segments.control.tolist() == wanted.tolist()
        wanted_t = np.concatenate([t for _, t in alone])
        assert found == pytest.approx(wanted_t, abs=1e-9)

    def test_at_a_kink_the_heading_is_that_of_what_follows(self) -> None:
        headings = headings_at_lengths(
            measure(rectangle(40, 30)), np.array([0.0, 39.9, 40, 140])
        )

        assert headings == pytest.approx([1, 1, 1j, 1])

    @given(paths(), parameters())
    def test_a_place_lies_as_far_along_as_it_says(
        self, path: Path, share: float
    ) -> None:
        measured = measure(path)
        s = share * measured.length

        row, t = locate(measured, np.array([s]))

        before = Path(path.segments.take(slice(0, int(row[0]) + 1)), closed=False)
        whole = measure(before).stations
        part = (s - whole[-2]) / max(whole[-1] - whole[-2], 1e-300)
        assert -1e-9 <= part <= 1 + 1e-9
        assert 0 <= t[0] <= 1


class TestStretches:
    def test_a_stretch_over_the_start_of_a_closed_path(self) -> None:
        part = subpath(measure(rectangle(40, 30)), 130, 150)

        assert start_points(part.segments) == pytest.approx(np.array([10j, 0]))
        assert end_points(part.segments) == pytest.approx(np.array([0, 10]))
        assert not part.closed

    def test_a_stretch_between_joints_has_no_slivers(self) -> None:
        measured = measure(rectangle(40, 30))

        for s0, s1 in ((40, 110), (40 + 1e-13, 110 - 1e-13), (40 - 1e-13, 110 + 1e-13)):
            part = subpath(measured, s0, s1)
            assert len(part.segments) == 2
            assert (part.start, part.end) == (40, 30j)

    def test_once_round_is_the_whole_path_from_another_start(self) -> None:
        outline = rounded_rectangle(40, 30, 5)
        measured = measure(outline)

        part = subpath(
            measured, measured.stations[3], measured.stations[3] + measured.length
        )

        assert np.array_equal(
            part.segments.control, rotate_path(outline, 3).segments.control
        )

    def test_once_round_from_the_middle_of_the_only_segment(self) -> None:
        measured = measure(circle_outline(5))

        part = subpath(measured, 7, 7 + measured.length)

        assert len(part.segments) == 2
        assert measure(part).length == pytest.approx(10 * pi)

    def test_a_stretch_within_one_segment(self) -> None:
        part = subpath(measure(circle_outline(5)), 5, 10)

        assert len(part.segments) == 1
        assert part.start == pytest.approx(5 * np.exp(1j))
        assert part.end == pytest.approx(5 * np.exp(2j))

    def test_an_open_path_is_cut_where_it_is(self) -> None:
        part = subpath(measure(polyline(0, 3, 3 + 4j)), -5, 5)

        assert (part.start, part.end) == (0, 3 + 2j)

    def test_whole_segments_keep_their_exact_points(self) -> None:
        outline = rounded_rectangle(40.1, 30.7, 5.3)

        part = subpath(measure(outline), 0, measure(outline).length)

        assert np.array_equal(part.segments.control, outline.segments.control)

    @pytest.mark.parametrize(("s0", "s1"), [(5.0, 5.0), (7.0, 5.0)])
    def test_a_stretch_must_not_be_empty(self, s0: float, s1: float) -> None:
        for path in (rectangle(40, 30), polyline(0, 100)):
            with pytest.raises(ValueError, match="empty"):
                subpath(measure(path), s0, s1)

    def test_a_stretch_is_at_most_once_round(self) -> None:
        with pytest.raises(ValueError, match="once round"):
            subpath(measure(rectangle(40, 30)), 0, 141)

    @given(closed_outlines(), parameters(), st.floats(0.001, 1))
    def test_a_stretch_is_as_long_as_asked_for(
        self, outline: Path, start: float, share: float
    ) -> None:
        measured = measure(outline)
        s0 = start * 3 * measured.length
        s1 = s0 + share * measured.length

        part = measure(subpath(measured, s0, s1))

        assert part.length == pytest.approx(s1 - s0, abs=1e-8)
        assert place(part, 0) == pytest.approx(place(measured, s0), abs=1e-8)
        assert place(part, part.length) == pytest.approx(place(measured, s1), abs=1e-8)

    @given(paths(), st.floats(0.01, 0.99))
    def test_two_stretches_are_together_as_long_as_the_path(
        self, path: Path, share: float
    ) -> None:
        measured = measure(path)
        cut = share * measured.length
        if measured.length < 1:
            return

        first = measure(subpath(measured, 0, cut))
        second = measure(subpath(measured, cut, measured.length))

        assert first.length + second.length == pytest.approx(measured.length, rel=1e-9)


class TestAreas:
    @pytest.mark.parametrize(
        ("outline", "area"),
        [
            (rectangle(40, 30), 1200),
            (polygon(0, 4, 3j), 6),
            (circle_outline(5, centre=100 - 7j), 25 * pi),
            (ellipse_outline(9, 4, tilt=0.3, centre=5), 36 * pi),
            (stadium(30, 5), 300 + 25 * pi),
            (rounded_rectangle(40, 30, 5), 1200 - (4 - pi) * 25),
            (leaf(), 0.3),
            # Closed by its chord: the segment of a parabola, (x1 - x0)^3 / (24 focus).
            (parabola(2.5, -4, 8), 12**3 / 60),
            (polyline(0, 4, 3j), 6),
            (ZOO["self-crossing"], 0),
            (ZOO["point as a cubic"], 0),
            (ZOO["1e6 mm"], 12e12 - (4 - pi) * 25e10),
        ],
    )
    def test_areas_follow_their_formulas(self, outline: Path, area: float) -> None:
        assert signed_area(outline) == pytest.approx(area, rel=1e-12, abs=1e-12)
        assert signed_area(reverse_path(outline)) == pytest.approx(
            -area, rel=1e-12, abs=1e-12
        )

    def test_a_hole_takes_its_area_away(self) -> None:
        assert sum(signed_area(path) for path in ring()) == pytest.approx(75 * pi)

    @given(closed_outlines())
    def test_areas_agree_with_shapely(self, outline: Path) -> None:
        vertices = flatten(outline, 1e-4)
        other = Polygon([(z.real, z.imag) for z in vertices])

        assert signed_area(outline) == pytest.approx(
            other.area, abs=1e-4 * other.length + 1e-9
        )

    @given(closed_outlines(), points(), angles())
    def test_moving_and_turning_leave_lengths_and_areas(
        self, outline: Path, by: complex, angle: float
    ) -> None:
        cosine, sine = np.cos(angle), np.sin(angle)
        motion = Affine(cosine, sine, -sine, cosine, by.real, by.imag)

        moved = Path(transform(outline.segments, motion), closed=True)

        assert signed_area(moved) == pytest.approx(signed_area(outline), rel=1e-9)
        assert measure(moved).length == pytest.approx(
            measure(outline).length, abs=LENGTH_MM
        )

    @given(closed_outlines(), st.integers(0, 6))
    def test_another_start_leaves_lengths_and_areas(
        self, outline: Path, first: int
    ) -> None:
        other = rotate_path(outline, first)

        assert signed_area(other) == pytest.approx(signed_area(outline), rel=1e-12)
        assert measure(other).length == pytest.approx(
            measure(outline).length, abs=LENGTH_MM
        )

    @given(closed_outlines(), st.floats(0.01, 100))
    def test_scaling_by_k_gives_k_and_k_squared(self, outline: Path, k: float) -> None:
        scaled = Path(transform(outline.segments, Affine(a=k, d=k)), closed=True)

        assert measure(scaled).length == pytest.approx(k * measure(outline).length)
        assert signed_area(scaled) == pytest.approx(k * k * signed_area(outline))


@pytest.mark.parametrize("name", ZOO)
def test_awkward_shapes_have_finite_measures(name: str) -> None:
    measured = measure(ZOO[name])
    s = np.linspace(-1, 2, 13) * max(measured.length, 1)

    assert np.isfinite(points_at_lengths(measured, s)).all()
    assert np.isfinite(headings_at_lengths(measured, s)).all()
    assert np.isfinite(signed_area(ZOO[name]))
