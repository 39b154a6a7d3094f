import math

import numpy as np
import pytest
from hypothesis import given
from shapes import (
    ZOO,
    circle_outline,
    ellipse_outline,
    parabola,
    polygon,
    polyline,
    rectangle,
    stadium,
)
from strategies import closed_outlines

from edgefinder.geometry.bends import Bends, sharpest_bends
from edgefinder.geometry.measured import measure, points_at_lengths
from edgefinder.geometry.path import Path, reverse_path
from edgefinder.geometry.segments import (
    arc_segments,
    concatenate,
    cubic_segments,
    line_segments,
)


def bends(path: Path) -> Bends:
    (found,) = sharpest_bends([measure(path)])
    return found


def radii(path: Path) -> tuple[float | None, float | None]:
    found = bends(path)
    left = None if found.left is None else found.left.radius
    right = None if found.right is None else found.right.radius
    return left, right


def test_a_circle_bends_by_its_radius_to_one_side() -> None:
    left, right = radii(circle_outline(35))

    assert left == pytest.approx(35)
    assert right is None


def test_the_other_way_round_it_bends_to_the_other_side() -> None:
    left, right = radii(reverse_path(circle_outline(35)))

    assert left is None
    assert right == pytest.approx(35)


def test_an_ellipse_is_tightest_at_the_end_of_its_long_axis() -> None:
    # The radius of curvature there is b^2 / a.
    a, b = 80.0, 30.0

    found = bends(ellipse_outline(a, b)).left

    assert found is not None
    assert found.radius == pytest.approx(b * b / a)
    whole = measure(ellipse_outline(a, b))
    point = complex(points_at_lengths(whole, np.array([found.at]))[0])
    assert abs(point.real) == pytest.approx(a)


def test_a_parabola_is_tightest_at_its_vertex() -> None:
    # y = x^2 / (4 f) has the radius 2 f at its vertex.
    found = bends(parabola(20.0, -60.0, 90.0)).left

    assert found is not None
    assert found.radius == pytest.approx(40.0)
    # Its arc length from 0 to x: x/2 sqrt(1 + x^2/(4 f^2)) + f asinh(x / 2f).
    before = 30 * math.sqrt(1 + 60**2 / 1600) + 20 * math.asinh(60 / 40)
    assert found.at == pytest.approx(before)


@pytest.mark.parametrize(
    "path",
    [
        polyline(0, 100),
        polyline(0, 50, 100),
        Path(cubic_segments([[0, 10, 20, 30]]), closed=False),
    ],
)
def test_a_straight_line_bends_nowhere(path: Path) -> None:
    assert bends(path) == Bends(None, None)


def test_an_arc_of_a_hundred_metres_is_a_straight_line() -> None:
    nearly = Path(arc_segments([0], 1.1e5, 1.1e5j, 0.0, 0.001), closed=False)
    bent = Path(arc_segments([0], 0.9e5, 0.9e5j, 0.0, 0.001), closed=False)

    assert radii(nearly) == (None, None)
    assert radii(bent)[0] == pytest.approx(0.9e5)


def test_an_s_bends_both_ways_where_it_is_tightest() -> None:
    s = Path(
        concatenate(
            [
                arc_segments([20j], 20, 20j, -math.pi / 2, 0.0),
                arc_segments([50 + 20j], 30, 30j, math.pi, math.pi / 2),
            ]
        ),
        closed=False,
    )

    found = bends(s)

    assert radii(s) == pytest.approx((20.0, 30.0))
    assert found.left is not None
    assert found.right is not None
    assert found.left.at <= 10 * math.pi <= found.right.at


@pytest.mark.parametrize("count", [60, 200, 720])
def test_a_circle_drawn_as_a_polygon_bends_by_nearly_its_radius(count: int) -> None:
    corners = 80 * np.exp(2j * np.pi * np.arange(count) / count)

    left, right = radii(polygon(*corners))

    # turn / side = (2 pi / n) / (2 r sin(pi / n))
    wanted = 80 * math.sin(math.pi / count) / (math.pi / count)
    assert left == pytest.approx(wanted)
    assert right is None


def test_a_kink_stands_for_half_of_each_neighbour() -> None:
    kinked = polyline(0, 40, 40 + 20 * np.exp(0.1j))

    left, right = radii(kinked)

    assert left == pytest.approx(30 / 0.1)
    assert right is None


def test_a_kink_beside_curves_is_spread_over_ten_millimetres() -> None:
    # Two long arcs that meet at a jump of 0.2 radians.
    first = arc_segments([300j], 300, 300j, -math.pi / 2, 0.0)
    turn = 0.2
    corner = 300 + 300j
    out = np.exp(1j * (math.pi / 2 + turn))
    centre = corner + 300j * out
    second = arc_segments([centre], -300j * out, 300 * out, 0.0, 1.0)
    path = Path(concatenate([first, second]), closed=False)

    found = bends(path).left

    assert found is not None
    assert (found.radius, found.at) == pytest.approx((10 / turn, 150 * math.pi))


def test_a_jump_that_is_rounding_is_no_bend() -> None:
    tiny = polyline(0, 100, 200 + 200 * math.tan(math.radians(0.02)) * 1j)

    assert bends(tiny) == Bends(None, None)


def test_a_cusp_has_no_radius() -> None:
    found = bends(ZOO["cusp"])

    assert 0.0 in [b.radius for b in (found.left, found.right) if b is not None]


def test_a_closed_line_bends_at_its_start_too() -> None:
    start = polygon(0, 100, 100 + 100j, 100j)
    radius = radii(start)[0]

    # Every corner of the square turns by a quarter over 100 mm.
    assert radius == pytest.approx(100 / (math.pi / 2))
    assert radii(rectangle(100, 100)) == (radius, None)


def test_smooth_joints_add_nothing() -> None:
    left, right = radii(stadium(100, 40))

    assert left == pytest.approx(40)
    assert right is None


def test_lines_looked_at_together_bend_as_they_do_alone() -> None:
    paths = [measure(path) for path in ZOO.values()]

    together = sharpest_bends(paths)

    for found, one in zip(together, paths, strict=True):
        (alone,) = sharpest_bends([one])
        for a, b in ((found.left, alone.left), (found.right, alone.right)):
            assert (a is None) == (b is None)
            if a is not None and b is not None:
                assert (a.radius, a.at) == pytest.approx((b.radius, b.at))


def test_of_no_lines_there_are_no_bends() -> None:
    assert sharpest_bends([]) == ()


@given(closed_outlines())
def test_reversing_a_line_changes_its_sides(outline: Path) -> None:
    left, right = radii(outline)

    other = radii(reverse_path(outline))

    for one, two in zip((right, left), other, strict=True):
        assert (one is None) == (two is None)
        if one is not None and two is not None:
            assert one == pytest.approx(two, rel=1e-6, abs=1e-9)


@given(closed_outlines())
def test_bends_lie_on_the_line(outline: Path) -> None:
    whole = measure(outline)

    for bend in (bends(outline).left, bends(outline).right):
        assert bend is None or 0 <= bend.at <= whole.length + 1e-9


def test_a_line_beside_a_point_stays_straight() -> None:
    path = Path(line_segments([0, 50, 50], [50, 50, 100]), closed=False)

    assert bends(path) == Bends(None, None)
