import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from ezdxf.filemanagement import new
from ezdxf.layouts.layout import Modelspace
from numpy.testing import assert_allclose
from scipy.special import ellipe, ellipeinc

from edgefinder.errors import DrawingError
from edgefinder.geometry.arclength import lengths
from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import Kind, points_at
from edgefinder.importers.dxf.entities import Shape, shape_of

MIRRORED = {"extrusion": (0, 0, -1)}


@pytest.fixture
def space() -> Modelspace:
    return new().modelspace()


def shape(entity: Any) -> Shape:
    return shape_of(entity, "front.dxf, entity", 0.001)


def path(entity: Any) -> Path:
    drawn = shape(entity).path
    assert drawn is not None
    return drawn


def length(entity: Any) -> float:
    return float(lengths(path(entity).segments).sum())


def middle(entity: Any) -> complex:
    return complex(points_at(path(entity).segments, np.array([0.5]))[0])


def test_a_line_runs_from_its_start_to_its_end(space: Modelspace) -> None:
    line = path(space.add_line((1, 2, 7), (4, 6, 7)))

    assert (line.start, line.end, line.closed) == (1 + 2j, 4 + 6j, False)


def test_a_circle_is_one_closed_arc(space: Modelspace) -> None:
    circle = space.add_circle((10, 20), 5)

    assert path(circle).closed
    assert list(path(circle).segments.kind) == [Kind.ARC]
    assert length(circle) == pytest.approx(10 * math.pi, rel=1e-14)


@pytest.mark.parametrize(
    ("start", "end", "degrees"),
    [(0, 90, 90), (350, 10, 20), (-30, 30, 60), (90, 0, 270), (30, 390, 360)],
)
def test_an_arc_runs_anticlockwise(
    space: Modelspace, start: float, end: float, degrees: float
) -> None:
    arc = space.add_arc((3, 4), 50, start, end)

    assert length(arc) == pytest.approx(50 * math.radians(degrees), rel=1e-13)
    assert path(arc).start == pytest.approx(
        3 + 4j + 50 * np.exp(1j * math.radians(start))
    )
    assert path(arc).closed == (degrees == 360)


def test_a_mirrored_arc_is_mirrored_in_x(space: Modelspace) -> None:
    arc = space.add_arc((3, 4), 50, 0, 90, dxfattribs=MIRRORED)

    assert path(arc).start == pytest.approx(-53 + 4j)
    assert path(arc).end == pytest.approx(-3 + 54j)
    assert middle(arc) == pytest.approx(-3 + 4j + 50 * (-1 + 1j) / math.sqrt(2))


def test_an_ellipse_has_the_length_of_the_elliptic_integral(space: Modelspace) -> None:
    ellipse = space.add_ellipse((5, 5), major_axis=(60, 80), ratio=0.3)

    assert path(ellipse).closed
    assert length(ellipse) == pytest.approx(400 * ellipe(1 - 0.3**2), rel=1e-12)


def test_part_of_an_ellipse_runs_between_its_parameters(space: Modelspace) -> None:
    part = space.add_ellipse((0, 0), (100, 0), 0.5, 0.4, 1.3)

    # The integral counts the angle from the minor axis.
    expected = 100 * (
        ellipeinc(math.pi / 2 - 0.4, 0.75) - ellipeinc(math.pi / 2 - 1.3, 0.75)
    )
    assert length(part) == pytest.approx(expected, rel=1e-12)
    assert path(part).start == pytest.approx(100 * math.cos(0.4) + 50j * math.sin(0.4))


def test_a_mirrored_ellipse_runs_the_other_way(space: Modelspace) -> None:
    part = space.add_ellipse((1, 2), (100, 0), 0.5, 0, math.pi / 2, dxfattribs=MIRRORED)

    assert path(part).start == pytest.approx(101 + 2j)
    assert path(part).end == pytest.approx(1 - 48j)
    for place, point in ((0.0, "start_point"), (1.0, "end_point")):
        judged = getattr(part, point)
        ours = points_at(path(part).segments, np.array([place]))[0]
        assert ours == pytest.approx(complex(judged.x, judged.y))


def test_a_full_ellipse_written_with_six_decimals_is_closed(space: Modelspace) -> None:
    ellipse = space.add_ellipse((0, 0), (100, 0), 0.5, 0.0, 6.283185)

    assert path(ellipse).closed
    assert length(ellipse) == pytest.approx(400 * ellipe(0.75), rel=1e-12)


def stadium(space: Modelspace, attributes: dict[str, Any]) -> Any:
    points = [(0, 0, 0), (100, 0, 1), (100, 40, 0), (0, 40, 1)]
    return space.add_lwpolyline(points, "xyb", close=True, dxfattribs=attributes)


@pytest.mark.parametrize("attributes", [{}, MIRRORED, {"elevation": 30}])
def test_a_polyline_with_bulges_has_exact_arcs(
    space: Modelspace, attributes: dict[str, Any]
) -> None:
    polyline = stadium(space, attributes)

    assert list(path(polyline).segments.kind) == [Kind.LINE, Kind.ARC] * 2
    assert length(polyline) == pytest.approx(200 + 40 * math.pi, rel=1e-14)
    assert shape(polyline).remarks == ()


def test_a_mirrored_polyline_bulges_to_the_mirrored_side(space: Modelspace) -> None:
    points = [(0, 0, 1), (100, 0, 0)]
    polyline = space.add_lwpolyline(points, "xyb", dxfattribs=MIRRORED)

    assert path(polyline).end == pytest.approx(-100)
    assert middle(polyline) == pytest.approx(-50 - 50j)


def test_an_old_polyline_is_the_same_as_a_new_one(space: Modelspace) -> None:
    points = [(0, 0, 0), (100, 0, 1), (100, 40, 0), (0, 40, 1)]
    old = space.add_polyline2d(points, format="xyb", close=True)

    assert_allclose(
        path(old).segments.control, path(stadium(space, {})).segments.control
    )
    assert path(old).closed


@pytest.mark.parametrize("kind", ["add_polyline2d", "add_polyline3d"])
def test_the_frame_of_a_fitted_polyline_is_not_drawn(
    space: Modelspace, kind: str
) -> None:
    add: Callable[..., Any] = getattr(space, kind)
    polyline = add([(0, 0, 0), (10, 30, 0), (20, 0, 0), (5, 5, 0), (15, 5, 0)])
    polyline.dxf.flags |= 4
    for vertex, flag in zip(polyline.vertices, [16, 16, 16, 8, 8], strict=True):
        vertex.dxf.flags |= flag

    assert (path(polyline).start, path(polyline).end) == (5 + 5j, 15 + 5j)
    assert length(polyline) == 10


def test_a_level_3d_polyline_loses_its_height(space: Modelspace) -> None:
    polyline = space.add_polyline3d([(0, 0, 5), (30, 40, 5), (30, 0, 5)], close=True)

    assert length(polyline) == pytest.approx(120)
    assert shape(polyline).remarks == ()


@pytest.mark.parametrize(
    "draw",
    [
        lambda space: space.add_line((0, 0, 0), (30, 40, 1)),
        lambda space: space.add_polyline3d([(0, 0, 0), (30, 40, 5)]),
        lambda space: space.add_spline([(0, 0, 0), (30, 40, 5), (9, 9, 9)]),
        lambda space: space.add_ellipse((0, 0), (3, 4, 5), 0.5),
        lambda space: space.add_circle((0, 0), 9, dxfattribs={"extrusion": (0, 1, 1)}),
        lambda space: space.add_lwpolyline(
            [(0, 0), (9, 9)], dxfattribs={"extrusion": (1, 0, 1)}
        ),
    ],
)
def test_what_leaves_the_drawing_plane_is_said(
    space: Modelspace, draw: Callable[[Modelspace], Any]
) -> None:
    entity = draw(space)

    assert ("not-flat", entity.dxftype()) in shape(entity).remarks


def test_a_tilted_circle_is_seen_from_above_as_an_ellipse(space: Modelspace) -> None:
    """Tilted by 60 degrees about the x axis: the half-axis in y shrinks to a half."""
    tilt = {"extrusion": (0, -math.sin(math.pi / 3), 0.5)}
    circle = space.add_circle((0, 0), 100, dxfattribs=tilt)

    assert length(circle) == pytest.approx(400 * ellipe(0.75), rel=1e-12)


@pytest.mark.parametrize(
    "extrusion", [(0, 0, 1), (0, 0, -1), (0.3, -0.4, 2), (1, 0, 0.001), (0.001, 0, 1)]
)
def test_every_plane_lies_as_the_library_lays_it(
    space: Modelspace, extrusion: tuple[float, float, float]
) -> None:
    """The library's OCS is the second opinion on the arbitrary axis algorithm."""
    polyline = space.add_lwpolyline(
        [(3, 4), (50, 60)], dxfattribs={"extrusion": extrusion, "elevation": 7}
    )
    judged = [complex(point.x, point.y) for point in polyline.vertices_in_wcs()]

    assert path(polyline).start == pytest.approx(judged[0])
    assert path(polyline).end == pytest.approx(judged[1])


def test_an_unclamped_spline_is_read_exactly(space: Modelspace) -> None:
    spline = space.add_spline()
    corners = [(0, 0, 0), (100, 0, 0), (100, 100, 0), (0, 100, 0)]
    spline.set_closed(corners, degree=2)

    assert path(spline).closed
    assert shape(spline).remarks == ()
    # Quadratic B-spline: each span starts and ends at the middle of a side, and is a
    # parabola under a right angle with legs of 50: 50 (1 + asinh(1)/sqrt(2)) long.
    parabola = 50 * (math.sqrt(2) + math.asinh(1)) / math.sqrt(2)
    assert length(spline) == pytest.approx(4 * parabola, rel=1e-12)


def test_a_rational_quarter_circle_is_an_exact_arc(space: Modelspace) -> None:
    points = [(100, 0), (100, 100), (0, 100)]
    spline = space.add_rational_spline(points, [1, math.sqrt(0.5), 1], degree=2)

    assert list(path(spline).segments.kind) == [Kind.ARC]
    assert length(spline) == pytest.approx(50 * math.pi, rel=1e-14)
    assert shape(spline).remarks == ()


def test_a_rational_spline_that_is_no_ellipse_is_converted_and_said(
    space: Modelspace,
) -> None:
    points = [(100, 0), (100, 100), (0, 100)]
    spline = space.add_rational_spline(points, [1, 3, 1], degree=2)

    assert shape(spline).remarks == (("spline-converted", "rational"),)


def test_a_spline_of_high_degree_is_converted_and_said(space: Modelspace) -> None:
    points = [(0, 0), (10, 30), (30, 40), (60, 0), (80, 10), (90, 90)]
    spline = space.add_open_spline(points, degree=5)

    assert shape(spline).remarks == (("spline-converted", "of degree 5"),)
    assert path(spline).end == pytest.approx(90 + 90j)


def test_a_spline_through_points_is_said(space: Modelspace) -> None:
    spline = space.add_spline([(0, 0), (50, 50), (100, 0)])

    assert shape(spline).remarks == (("spline-through-points", "SPLINE"),)
    assert (path(spline).start, path(spline).end) == (0, 100)
    assert list(path(spline).segments.control[:, 3]) == [50 + 50j, 100]


def test_a_closed_spline_through_points_returns_to_the_first(space: Modelspace) -> None:
    spline = space.add_spline([(0, 0), (50, 50), (100, 0)])
    spline.closed = True

    assert path(spline).closed
    assert path(spline).end == path(spline).start == 0
    assert len(path(spline).segments) == 3


def test_a_plane_without_direction_is_the_drawing_plane(space: Modelspace) -> None:
    arc = space.add_arc((3, 4), 50, 0, 90)
    arc.dxf.__dict__["extrusion"] = (0, 0, 0)  # the library would not take it

    assert path(arc).start == pytest.approx(53 + 4j)


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        ({"knots": [0, 0, 0, 1, 1, 1]}, "has 6 knots instead of 8"),
        ({"control_points": []}, "has neither control points nor fit points"),
        ({"weights": [1, 0, 1, 1]}, "has weights that are not positive"),
    ],
)
def test_a_damaged_spline_is_left_out_and_said(
    space: Modelspace, change: dict[str, Any], fault: str
) -> None:
    points = [(0, 0), (10, 30), (30, 40), (60, 0)]
    spline = space.add_open_spline(points, degree=3)
    for key, value in change.items():
        setattr(spline, key, value)

    ((code, subject),) = shape(spline).remarks

    assert shape(spline).path is None
    assert code == "damaged"
    assert subject.startswith(f"SPLINE {spline.dxf.handle} {fault}")


def test_a_spline_in_two_parts_is_left_out_and_said(space: Modelspace) -> None:
    spline = space.add_spline()
    spline.dxf.degree = 1
    spline.control_points = [(0, 0, 0), (10, 0, 0), (50, 0, 0), (60, 0, 0)]
    spline.knots = [0, 0, 1, 1, 2, 2]

    assert shape(spline).remarks[0][1].endswith("is in several parts")


@pytest.mark.parametrize(
    "draw",
    [
        lambda space: space.add_circle((5, 5), 0),
        lambda space: space.add_arc((5, 5), 9, 30, 30),
        lambda space: space.add_lwpolyline([(5, 5), (5, 5)], close=True),
        lambda space: space.add_lwpolyline([]),
        lambda space: space.add_polyline3d([(5, 5, 5)]),
    ],
)
def test_what_has_no_length_draws_nothing(
    space: Modelspace, draw: Callable[[Modelspace], Any]
) -> None:
    entity = draw(space)

    assert shape(entity).path is None
    assert shape(entity).remarks == (("zero-length", entity.dxftype()),)


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, 1e13])
@pytest.mark.parametrize(
    ("draw", "key"),
    [
        (lambda space: space.add_line((0, 0), (1, 1)), "end"),
        (lambda space: space.add_circle((0, 0), 1), "center"),
        (lambda space: space.add_ellipse((0, 0), (1, 1)), "center"),
    ],
)
def test_a_number_that_is_no_coordinate_is_an_error(
    space: Modelspace,
    draw: Callable[[Modelspace], Any],
    key: str,
    value: float,
) -> None:
    entity = draw(space)
    entity.dxf.set(key, (0, value, 0))

    with pytest.raises(
        DrawingError,
        match=f"^front.dxf, entity: has the number {value:g}".replace("+", r"\+"),
    ):
        shape(entity)


def test_a_missing_point_is_an_error(space: Modelspace) -> None:
    line = space.add_line((0, 0), (1, 1))
    line.dxf.discard("end")

    with pytest.raises(DrawingError, match="has no end"):
        shape(line)


def test_a_mesh_is_not_read(space: Modelspace) -> None:
    assert shape(space.add_polymesh((3, 3))).remarks == (
        ("kind-skipped", "POLYLINE meshes"),
    )
