import numpy as np
import pytest
from hypothesis import given
from shapes import ZOO, circle_outline, ellipse_outline, parabola, polygon
from strategies import paths

from edgefinder.geometry.extent import lower_left, turning_points, upper_right
from edgefinder.geometry.flatten import flatten
from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import cubic_segments, points_at


def test_the_box_of_a_circle_is_its_centre_less_and_plus_its_radius() -> None:
    outline = circle_outline(35.0, 10 + 20j)

    assert abs(lower_left(outline) - (-25 - 15j)) < 1e-12
    assert abs(upper_right(outline) - (45 + 55j)) < 1e-12


def test_the_box_of_a_tilted_ellipse_follows_its_closed_form() -> None:
    # Half the height of an ellipse is sqrt(a^2 sin^2 + b^2 cos^2) of its tilt.
    a, b, tilt = 80.0, 30.0, 0.6
    half = complex(
        np.hypot(a * np.cos(tilt), b * np.sin(tilt)),
        np.hypot(a * np.sin(tilt), b * np.cos(tilt)),
    )

    outline = ellipse_outline(a, b, tilt)

    assert abs(upper_right(outline) - half) < 1e-12
    assert abs(lower_left(outline) + half) < 1e-12


def test_a_parabola_is_lowest_at_its_vertex() -> None:
    assert abs(lower_left(parabola(10.0, -30.0, 50.0)) - (-30 + 0j)) < 1e-12


def test_a_cubic_reaches_its_known_extremes() -> None:
    # x(t) = 3 t (1-t)^2 - 3 t^2 (1-t) has its extremes at t = 1/2 -+ sqrt(3)/6,
    # where it is +- sqrt(3)/6; y(t) = t rises all the way.
    path = Path(cubic_segments([[0, 1 + 1j / 3, -1 + 2j / 3, 1j]]), closed=False)

    assert abs(lower_left(path) - (-np.sqrt(3) / 6)) < 1e-12
    assert abs(upper_right(path) - (np.sqrt(3) / 6 + 1j)) < 1e-12


def test_corners_of_a_polygon_are_its_box() -> None:
    outline = polygon(3 + 1j, 10 + 4j, 2 + 9j)

    assert lower_left(outline) == 2 + 1j
    assert upper_right(outline) == 10 + 9j


@given(paths())
def test_no_point_of_a_path_lies_outside_its_box(path: Path) -> None:
    low, high = lower_left(path), upper_right(path)

    vertices = flatten(path, 0.01)

    assert low.real - 1e-9 <= vertices.real.min()
    assert low.imag - 1e-9 <= vertices.imag.min()
    assert vertices.real.max() <= high.real + 1e-9
    assert vertices.imag.max() <= high.imag + 1e-9


@given(paths())
def test_the_box_touches_the_path_on_all_sides(path: Path) -> None:
    low, high = lower_left(path), upper_right(path)

    vertices = flatten(path, 0.001)

    assert vertices.real.min() - low.real < 0.002
    assert vertices.imag.min() - low.imag < 0.002
    assert high.real - vertices.real.max() < 0.002
    assert high.imag - vertices.imag.max() < 0.002


@pytest.mark.parametrize("name", sorted(ZOO))
def test_awkward_shapes_have_a_box(name: str) -> None:
    row, t = turning_points(ZOO[name].segments, 1j)
    points = points_at(ZOO[name].segments.take(row), t)

    assert np.isfinite(points).all()
    assert np.isfinite([lower_left(ZOO[name]), upper_right(ZOO[name])]).all()
    assert ((t >= 0) & (t < 1)).all()
