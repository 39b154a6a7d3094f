import math

import numpy as np
import pytest
from ezdxf.math import bulge_center, bulge_radius
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from edgefinder.geometry.arclength import lengths
from edgefinder.geometry.segments import (
    Complexes,
    Kind,
    Segments,
    end_points,
    points_at,
    start_points,
)
from edgefinder.importers.dxf.polylines import FLATTEST_BULGE, polyline_segments

COORDINATES = st.complex_numbers(
    max_magnitude=2000, allow_nan=False, allow_infinity=False
)
BULGES = st.floats(1e-6, 50).flatmap(lambda size: st.sampled_from([size, -size]))


def arc(start: complex, end: complex, bulge: float) -> Segments:
    return polyline_segments(np.array([start, end]), np.array([bulge, 0]), closed=False)


def middle(segments: Segments) -> complex:
    return complex(points_at(segments, np.array([0.5]))[0])


def test_bulge_one_is_a_half_circle_to_the_right_of_the_chord() -> None:
    half = arc(-50, 50, 1.0)

    assert half.kind[0] == Kind.ARC
    assert lengths(half)[0] == pytest.approx(50 * math.pi, rel=1e-14)
    assert middle(half) == pytest.approx(-50j)


def test_a_negative_bulge_lies_on_the_other_side() -> None:
    assert middle(arc(-50, 50, -1.0)) == pytest.approx(50j)


def test_the_sagitta_is_the_bulge_times_half_the_chord() -> None:
    """DXF reference: the bulge is the tangent of a quarter of the angle."""
    assert middle(arc(0, 80, 0.25)) == pytest.approx(40 - 10j)


@given(COORDINATES, COORDINATES, BULGES)
def test_a_bulge_is_the_circle_that_the_library_gives(
    start: complex, end: complex, bulge: float
) -> None:
    if abs(end - start) < 1e-3:
        return
    segments = arc(start, end, bulge)
    pair = (start.real, start.imag), (end.real, end.imag)
    radius = bulge_radius(*pair, bulge)
    centre = bulge_center(*pair, bulge)

    assert abs(segments.control[0, 1]) == pytest.approx(radius, rel=1e-9)
    assert segments.control[0, 0] == pytest.approx(
        complex(centre.x, centre.y), rel=1e-9, abs=radius * 1e-9
    )
    assert lengths(segments)[0] == pytest.approx(
        radius * 4 * math.atan(abs(bulge)), rel=1e-9
    )
    slack = 1e-14 * (radius + abs(start) + abs(end)) + 1e-12
    assert abs(start_points(segments)[0] - start) < 10 * slack
    assert abs(end_points(segments)[0] - end) < 10 * slack


@given(COORDINATES, COORDINATES, st.floats(-1e-5, 1e-5))
def test_flat_bulges_keep_their_ends(
    start: complex, end: complex, bulge: float
) -> None:
    if abs(end - start) < 1e-3:
        return

    segments = arc(start, end, bulge)

    assert abs(start_points(segments)[0] - start) < 1e-4
    assert abs(end_points(segments)[0] - end) < 1e-4
    assert lengths(segments)[0] == pytest.approx(abs(end - start), rel=1e-8)


def test_a_bulge_too_flat_to_matter_is_a_line() -> None:
    assert arc(0, 100, FLATTEST_BULGE / 2).kind[0] == Kind.LINE
    assert arc(0, 100, FLATTEST_BULGE * 2).kind[0] == Kind.ARC


def test_the_last_bulge_of_a_closed_polyline_closes_it() -> None:
    points = np.array([0, 100, 100 + 50j, 50j])

    segments = polyline_segments(points, np.array([0, 0, 0, -1.0]), closed=True)

    assert list(segments.kind) == [Kind.LINE, Kind.LINE, Kind.LINE, Kind.ARC]
    assert lengths(segments).sum() == pytest.approx(250 + 25 * math.pi)
    assert end_points(segments)[-1] == pytest.approx(0)


def test_the_last_bulge_of_an_open_polyline_is_not_drawn() -> None:
    assert len(arc(0, 100, 0.0)) == 1
    open_line = polyline_segments(np.array([0, 9]), np.array([0, 1.0]), closed=False)
    assert list(open_line.kind) == [Kind.LINE]


@pytest.mark.parametrize(
    "points", [np.array([]), np.array([3 + 4j]), np.array([5j, 5j, 5j])]
)
@pytest.mark.parametrize("closed", [True, False])
def test_doubled_vertices_draw_nothing(points: Complexes, closed: bool) -> None:
    bulges = np.ones(len(points))

    segments = polyline_segments(points.astype(complex), bulges, closed=closed)

    assert len(segments) == 0


def test_a_repeated_first_vertex_adds_no_segment() -> None:
    points = np.array([0, 100, 100j, 0], dtype=complex)

    segments = polyline_segments(points, np.zeros(4), closed=True)

    assert_allclose(lengths(segments), [100, 100 * math.sqrt(2), 100])
