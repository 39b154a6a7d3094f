"""Polylines within a tolerance."""

import numpy as np
import pytest
from hypothesis import given
from shapely import LineString, Polygon, hausdorff_distance, points
from shapes import ZOO, circle_outline, ellipse_outline, polygon, polyline, stadium
from strategies import closed_outlines, paths

from edgefinder.geometry.flatten import flatten
from edgefinder.geometry.measured import signed_area
from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import points_at

TOLERANCES = (1.0, 0.1, 0.01, 0.001)


def as_pairs(z: np.ndarray[tuple[int], np.dtype[np.complex128]]) -> list[list[float]]:
    return [[float(p.real), float(p.imag)] for p in z]


def farthest(path: Path, tolerance: float) -> float:
    """The largest distance of the path from its polyline, by shapely."""
    vertices = flatten(path, tolerance)
    if path.closed:
        vertices = np.append(vertices, vertices[0])
    line = LineString(as_pairs(vertices))
    worst = 0.0
    for t in np.linspace(0, 1, 97):
        on_path = points_at(path.segments, np.full(len(path.segments), t))
        worst = max(worst, float(line.distance(points(as_pairs(on_path))).max()))
    return worst


@pytest.mark.parametrize("tolerance", TOLERANCES)
@pytest.mark.parametrize(
    "path", [circle_outline(50), ellipse_outline(90, 5, 0.4), stadium(30, 20)]
)
def test_chords_stay_within_the_tolerance_and_use_it(
    path: Path, tolerance: float
) -> None:
    error = farthest(path, tolerance)

    assert error <= tolerance
    assert error >= tolerance / 4


@pytest.mark.parametrize("tolerance", TOLERANCES)
@given(path=paths(max_size=3))
def test_chords_of_any_line_stay_within_the_tolerance(
    path: Path, tolerance: float
) -> None:
    if len(flatten(path, tolerance)) > 1:
        assert farthest(path, tolerance) <= tolerance + 1e-9


@given(closed_outlines())
def test_the_area_of_a_flattened_outline_agrees_with_shapely(outline: Path) -> None:
    vertices = flatten(outline, 0.001)

    other = Polygon(as_pairs(vertices))

    assert other.is_valid
    assert other.area == pytest.approx(
        signed_area(outline), abs=0.001 * other.length + 1e-9
    )


def test_straight_edges_keep_their_corners_only() -> None:
    outline = polygon(0, 4, 4 + 3j, 3j)

    assert flatten(outline, 0.01).tolist() == [0, 4, 4 + 3j, 3j]


def test_an_open_line_keeps_both_ends() -> None:
    assert flatten(polyline(0, 4, 4 + 3j), 0.01).tolist() == [0, 4, 4 + 3j]


def test_no_vertex_is_given_twice() -> None:
    doubled = polygon(0, 0, 4, 4, 4 + 3j, 3j, 3j)

    assert flatten(doubled, 0.01).tolist() == [0, 4, 4 + 3j, 3j]


def test_a_circle_keeps_four_corners_at_any_tolerance() -> None:
    vertices = flatten(circle_outline(5), 100)

    assert vertices == pytest.approx(np.array([5, 5j, -5, -5j]))


def test_a_finer_tolerance_comes_nearer() -> None:
    coarse, fine = (
        LineString(as_pairs(flatten(circle_outline(50), tolerance)))
        for tolerance in (1.0, 0.0001)
    )

    assert hausdorff_distance(coarse, fine, densify=0.05) > 0.1


@pytest.mark.parametrize("tolerance", [0.0, -1.0, float("nan")])
def test_a_tolerance_has_to_be_positive(tolerance: float) -> None:
    with pytest.raises(ValueError, match="tolerance"):
        flatten(circle_outline(5), tolerance)


@pytest.mark.parametrize("name", ZOO)
def test_awkward_shapes_have_distinct_finite_vertices(name: str) -> None:
    vertices = flatten(ZOO[name], 10.0)

    assert vertices.size
    assert np.isfinite(vertices).all()
    assert np.all(np.diff(vertices) != 0)
