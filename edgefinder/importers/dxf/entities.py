"""Single entities to segments, in the coordinates of the space that they stand in.

Circles, ellipses, arcs and bulges become conic arcs, so nothing is lost. Group codes
and their meanings are those of the DXF reference, ENTITIES section.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Final

import numpy as np
from ezdxf.entities.dxfgfx import DXFGraphic
from numpy.typing import ArrayLike

from edgefinder.errors import DrawingError
from edgefinder.geometry.affine import Affine, transform
from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import (
    Complexes,
    Floats,
    Segments,
    arc_segments,
    end_points,
    line_segments,
    start_points,
)
from edgefinder.importers.dxf.polylines import (
    LARGEST_COORDINATE,
    Vertices,
    polyline_segments,
)
from edgefinder.importers.dxf.spline import (
    Spline,
    cubics_through,
    spline_segments,
)

LEAST_TILT: Final = 1e-6
"""A smaller sine of the angle between a plane and the drawing plane is rounding: it
changes lengths by 5e-13 of them."""

FULL_TURN_SLACK: Final = 1e-6
"""Radians by which a full turn may be missed: six decimals are written for 2 pi."""

ROUNDING_SHARE: Final = 1e-3
"""Of the spline tolerance, so 1e-6 mm: by less the ends of a closed spline may differ
and be one point. Wider gaps are left to the joining of loose lines."""

_UP: Final = np.array([0.0, 0.0, 1.0])
_UP.flags.writeable = False

_CLOSED: Final = 1
_MESHES: Final = 16 | 64
_POLYLINE_3D: Final = 8
_FRAME_VERTEX: Final = 16


@dataclass(frozen=True, slots=True, eq=False)
class Shape:
    """What one entity draws.

    Parameters
    ----------
    path : Path or None
        None if it draws nothing that can be measured.
    remarks : tuple of (str, str)
        Code and subject of what is unusual, for `Tally`.
    """

    path: Path | None
    remarks: tuple[tuple[str, str], ...] = ()


def shape_of(entity: DXFGraphic, where: str, tolerance: float) -> Shape:
    """Return what an entity of a kind in `SHAPES` draws.

    Parameters
    ----------
    entity : DXFGraphic
    where : str
        Place for messages.
    tolerance : float
        Largest distance from a spline that is not exact, in drawing units.

    Raises
    ------
    DrawingError
        If a number of it is missing, not finite or beyond `LARGEST_COORDINATE`.
    """
    return SHAPES[entity.dxftype()](entity, where, tolerance)


def numbers(values: ArrayLike, where: str) -> Floats:
    """Return numbers of an entity as an array, if they are fit to compute with."""
    array = np.asarray(values, dtype=np.float64)
    wrong = ~(np.abs(array) <= LARGEST_COORDINATE)
    if wrong.any():
        value = array[wrong].ravel()[0]
        raise DrawingError(
            f"{where}: has the number {value:g} where a coordinate belongs; delete or "
            "redraw it"
        )
    return array


def attribute(entity: DXFGraphic, key: str, where: str) -> Floats:
    """Return a number or point that an entity must have."""
    value = entity.dxf.get(key)
    if value is None:
        raise DrawingError(f"{where}: has no {key.replace('_', ' ')}; redraw it")
    return numbers(tuple(value) if hasattr(value, "xyz") else value, where)


def plane_of(entity: DXFGraphic, elevation: float, where: str) -> tuple[Affine, bool]:
    """Return the map from an entity's own plane to the drawing, seen from above.

    Parameters
    ----------
    entity : DXFGraphic
    elevation : float
        Third coordinate in its own system.
    where : str

    Returns
    -------
    Affine
    bool
        Whether the plane is tilted.

    References
    ----------
    DXF reference, "Arbitrary Axis Algorithm".
    """
    normal = _normal(entity, where)
    if not normal[0] and not normal[1]:  # most of them: flat, seen from either side
        return Affine(a=normal[2]), False
    if abs(normal[0]) < 1 / 64 and abs(normal[1]) < 1 / 64:
        x_axis = np.cross((0.0, 1.0, 0.0), normal)
    else:
        x_axis = np.cross((0.0, 0.0, 1.0), normal)
    x_axis /= np.linalg.norm(x_axis)
    y_axis = np.cross(normal, x_axis)
    lift = normal * elevation
    plane = Affine(x_axis[0], x_axis[1], y_axis[0], y_axis[1], lift[0], lift[1])
    return plane, True


def _normal(entity: DXFGraphic, where: str) -> Floats:
    extrusion = entity.dxf.get("extrusion")
    if extrusion is None:
        return _UP
    normal = numbers(tuple(extrusion), where)
    size = np.linalg.norm(normal)
    if size == 0:
        return _UP
    normal = normal / size
    if math.hypot(normal[0], normal[1]) <= LEAST_TILT:
        return _UP if normal[2] > 0 else -_UP
    return normal


def _laid(segments: Segments, plane: Affine) -> Segments:
    """Map segments from their own plane; most lie in that of the drawing."""
    return segments if plane == Affine() else transform(segments, plane)


def _complex(points: Floats) -> Complexes:
    flat: Complexes = points[..., 0] + 1j * points[..., 1]
    return flat


def _shape(
    entity: DXFGraphic,
    segments: Segments,
    *,
    closed: bool = False,
    not_flat: bool = False,
    remarks: tuple[tuple[str, str], ...] = (),
) -> Shape:
    if not_flat:
        remarks = (*remarks, ("not-flat", entity.dxftype()))
    if not len(segments):
        return Shape(None, (*remarks, ("zero-length", entity.dxftype())))
    return Shape(Path(segments, closed), remarks)


def _line(entity: DXFGraphic, where: str, tolerance: float) -> Shape:
    start, end = attribute(entity, "start", where), attribute(entity, "end", where)
    segments = line_segments(_complex(start), _complex(end))
    return _shape(entity, segments, not_flat=abs(end[2] - start[2]) > tolerance)


def _circle(entity: DXFGraphic, where: str, tolerance: float) -> Shape:
    del tolerance  # exact
    return _arc_between(entity, where, 0.0, 2 * math.pi)


def _arc(entity: DXFGraphic, where: str, tolerance: float) -> Shape:
    del tolerance  # exact
    start, end = np.radians(
        [attribute(entity, key, where) for key in ("start_angle", "end_angle")]
    )
    return _arc_between(entity, where, float(start), float(end))


def _arc_between(entity: DXFGraphic, where: str, start: float, end: float) -> Shape:
    centre = attribute(entity, "center", where)
    radius = abs(float(attribute(entity, "radius", where)))
    plane, tilted = plane_of(entity, centre[2], where)
    angle, full = _span(start, end)
    arc = arc_segments(_complex(centre), radius, 1j * radius, start, start + angle)
    segments = _laid(arc, plane) if radius and angle else arc.take(slice(0))
    return _shape(entity, segments, closed=full, not_flat=tilted)


def _ellipse(entity: DXFGraphic, where: str, tolerance: float) -> Shape:
    centre = attribute(entity, "center", where)
    major = attribute(entity, "major_axis", where)
    ratio = float(numbers(entity.dxf.get("ratio", 1.0), where))
    start = float(numbers(entity.dxf.get("start_param", 0.0), where))
    end = float(numbers(entity.dxf.get("end_param", 2 * math.pi), where))
    normal = _normal(entity, where)
    minor = np.cross(normal, major) * ratio
    angle, full = _span(start, end)
    segments = arc_segments(
        _complex(centre), _complex(major), _complex(minor), start, start + angle
    )
    if angle == 0 or not major.any():
        segments = segments.take(slice(0))
    tilted = abs(major[2]) > tolerance or abs(minor[2]) > tolerance
    return _shape(entity, segments, closed=full, not_flat=tilted)


def _span(start: float, end: float) -> tuple[float, bool]:
    """Return the angle run anticlockwise, and whether it is a full turn.

    Equal angles draw nothing; angles that differ by full turns draw one.
    """
    if start == end:
        return 0.0, False
    turn = 2 * math.pi
    angle = (end - start) % turn
    if min(angle, turn - angle) <= FULL_TURN_SLACK < abs(end - start):
        return turn, True
    return angle, False


def _lwpolyline(entity: Any, where: str, tolerance: float) -> Shape:
    rows = numbers(entity.lwpoints.values, where).reshape(-1, 5)
    none = np.zeros(len(rows))
    vertices = Vertices(_complex(rows), none, rows[:, 4], none.astype(np.int16))
    return polyline_shape(entity, vertices, where, tolerance)


def _polyline(entity: Any, where: str, tolerance: float) -> Shape:
    if entity.dxf.get("flags", 0) & _MESHES:
        return Shape(None, (("kind-skipped", "POLYLINE meshes"),))
    places = [attribute(v, "location", where) for v in entity.vertices]
    points = np.array(places, dtype=np.float64).reshape(-1, 3)
    bulges = numbers([v.dxf.get("bulge", 0.0) for v in entity.vertices], where)
    flags = np.array(
        [v.dxf.get("flags", 0) & _FRAME_VERTEX for v in entity.vertices], dtype=np.int16
    )
    vertices = Vertices(_complex(points), points[:, 2], bulges, flags)
    return polyline_shape(entity, vertices, where, tolerance)


def polyline_shape(
    entity: DXFGraphic, vertices: Vertices, where: str, tolerance: float
) -> Shape:
    """Return what a LWPOLYLINE or POLYLINE draws through vertices of it.

    Parameters
    ----------
    entity : DXFGraphic
        For its flags and its plane.
    vertices : Vertices
    where : str
    tolerance : float

    Raises
    ------
    DrawingError
        If a number of its plane is unfit.
    """
    flags = entity.dxf.get("flags", 0)
    closed = bool(flags & _CLOSED)
    if entity.dxftype() == "LWPOLYLINE":
        elevation = float(numbers(entity.dxf.get("elevation", 0.0), where))
        return _bulged(entity, vertices, elevation, where)
    if flags & _MESHES:
        return Shape(None, (("kind-skipped", "POLYLINE meshes"),))
    # The frame of a spline-fit polyline only steers the curve; its points are others.
    vertices = vertices.take(vertices.flags & _FRAME_VERTEX == 0)
    if not flags & _POLYLINE_3D:
        first = entity.dxf.get("elevation")
        elevation = float(numbers(first[2] if first else 0.0, where))
        return _bulged(entity, vertices, elevation, where)
    straight = polyline_segments(
        vertices.points, np.zeros(len(vertices)), closed=closed
    )
    not_flat = _rises(vertices.heights, tolerance)
    return _shape(entity, straight, closed=closed, not_flat=not_flat)


def _bulged(
    entity: DXFGraphic, vertices: Vertices, elevation: float, where: str
) -> Shape:
    closed = bool(entity.dxf.get("flags", 0) & _CLOSED)
    plane, tilted = plane_of(entity, elevation, where)
    segments = polyline_segments(vertices.points, vertices.bulges, closed=closed)
    return _shape(entity, _laid(segments, plane), closed=closed, not_flat=tilted)


def _rises(heights: Floats, tolerance: float) -> bool:
    return len(heights) > 0 and bool(np.ptp(heights) > tolerance)


def _spline(entity: Any, where: str, tolerance: float) -> Shape:
    control = numbers(entity.control_points.values, where).reshape(-1, 3)
    if not len(control):
        return _spline_through(entity, where, tolerance)
    weights = numbers(entity.weights, where)
    spline = Spline(
        degree=int(entity.dxf.get("degree", 3)),
        knots=numbers(entity.knots, where),
        points=_complex(control),
        weights=weights if len(weights) else None,
    )
    if spline.fault:
        return _damaged(entity, spline.fault)
    segments, exact = spline_segments(spline, tolerance)
    gaps = np.abs(end_points(segments)[:-1] - start_points(segments)[1:])
    if (gaps > tolerance).any():
        return _damaged(entity, "is in several parts")
    closed = bool(entity.dxf.get("flags", 0) & _CLOSED)
    kind = "rational" if spline.weights is not None else f"of degree {spline.degree}"
    return _shape(
        entity,
        segments,
        closed=closed and _meets(segments, tolerance),
        not_flat=_rises(control[:, 2], tolerance),
        remarks=() if exact else (("spline-converted", kind),),
    )


def _meets(segments: Segments, tolerance: float) -> bool:
    """Whether a line ends where it began, up to rounding."""
    gap = abs(end_points(segments)[-1] - start_points(segments)[0])
    return bool(gap <= tolerance * ROUNDING_SHARE)


def _spline_through(entity: Any, where: str, tolerance: float) -> Shape:
    fit = numbers(entity.fit_points.values, where).reshape(-1, 3)
    points = _complex(fit)
    if len(points) < 2 or not (points != points[0]).any():
        return _damaged(entity, "has neither control points nor fit points")
    start, end = (entity.dxf.get(key) for key in ("start_tangent", "end_tangent"))
    closed = bool(entity.dxf.get("flags", 0) & _CLOSED) and len(points) > 2
    segments = cubics_through(
        points,
        closed=closed,
        tangents=(
            complex(start[0], start[1]) if start else None,
            complex(end[0], end[1]) if end else None,
        ),
    )
    return _shape(
        entity,
        segments,
        closed=closed,
        not_flat=_rises(fit[:, 2], tolerance),
        remarks=(("spline-through-points", "SPLINE"),),
    )


def _damaged(entity: DXFGraphic, fault: str) -> Shape:
    name = f"{entity.dxftype()} {entity.dxf.get('handle')}"
    return Shape(None, (("damaged", f"{name} {fault}"),))


SHAPES: Final[MappingProxyType[str, Callable[[Any, str, float], Shape]]] = (
    MappingProxyType(
        {
            "LINE": _line,
            "CIRCLE": _circle,
            "ARC": _arc,
            "ELLIPSE": _ellipse,
            "LWPOLYLINE": _lwpolyline,
            "POLYLINE": _polyline,
            "SPLINE": _spline,
        }
    )
)
"""The kinds of entity that draw lines."""
