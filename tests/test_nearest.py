"""The nearest place on a path: against shapely and closed forms."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapes import circle_outline, ellipse_outline, polyline
from strategies import paths, points

from edgefinder.geometry.flatten import flatten
from edgefinder.geometry.measured import measure, points_at_lengths
from edgefinder.geometry.nearest import nearest_stations
from edgefinder.geometry.path import Path

SLACK_MM = 0.5
"""On hooks that bend within a sample, which the random curves have."""


def test_the_foot_on_a_line_is_exact() -> None:
    station, distance = nearest_stations(measure(polyline(0, 100)), np.array([30 + 4j]))

    assert station[0] == 30
    assert distance[0] == 4


def test_beyond_the_end_the_end_is_nearest() -> None:
    station, distance = nearest_stations(
        measure(polyline(0, 100)), np.array([103 + 4j, -5])
    )

    assert station.tolist() == [100, 0]
    assert distance.tolist() == [5, 5]


def test_a_corner_is_found_as_such() -> None:
    station, _ = nearest_stations(
        measure(polyline(0, 100, 100 + 50j)), np.array([120 - 7j])
    )

    assert station[0] == 100


def test_on_a_circle_the_place_lies_on_the_ray() -> None:
    angle = np.array([0.3, 2.0, 5.5])

    station, distance = nearest_stations(
        measure(circle_outline(40)), 55 * np.exp(1j * angle)
    )

    assert station == pytest.approx(40 * angle, abs=1e-5)
    assert distance == pytest.approx(15)


def test_on_an_ellipse_the_vertex_is_nearest_to_its_axis() -> None:
    _, distance = nearest_stations(
        measure(ellipse_outline(60, 20)), np.array([70, 25j])
    )

    assert distance == pytest.approx([10, 5])


@given(paths(), st.lists(points(), min_size=1, max_size=4))
def test_no_vertex_of_the_flattened_path_is_nearer(
    path: Path, places: list[complex]
) -> None:
    vertices = flatten(path, 0.05)
    measured = measure(path)

    station, distance = nearest_stations(measured, np.array(places))

    for place, near in zip(places, distance, strict=True):
        assert near <= np.abs(vertices - place).min() + SLACK_MM
    on_path = points_at_lengths(measured, station)
    assert np.abs(on_path - np.array(places)) == pytest.approx(distance, abs=1e-3)
