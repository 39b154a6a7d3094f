"""Notches and drill holes that stand on layers of their own."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
import shapely

from edgefinder.findings import Finding, warning
from edgefinder.geometry.measured import MeasuredPath, points_at_lengths
from edgefinder.geometry.nearest import nearest_stations
from edgefinder.geometry.segments import Complexes, Floats, end_points, start_points
from edgefinder.importers.drawing import DrawnLine
from edgefinder.importers.interchange.contents import Contents
from edgefinder.importers.interchange.drawn_piece import Notch
from edgefinder.importers.interchange.layers import NOTCH_LAYERS, Layer, NotchKind

FARTHEST_MM: Final = 10.0
"""A notch farther from the boundary than this marks something inside the piece."""

MOUTH_MM: Final = 1.0
"""Ends of a drawn notch this near to the boundary are its mouth."""

TOUCHING_MM: Final = 0.05
"""Lines this near to each other draw one notch."""

SLIT_MM: Final = 0.3
"""A narrower mouth is that of a slit."""

SAME_PLACE_MM: Final = 3.0
"""A notch that is drawn into the boundary and stands on its layer too is one notch;
two notches side by side are at least 6 mm apart (common practice)."""


@dataclass(frozen=True, slots=True, eq=False)
class LooseNotch:
    """A notch as it is drawn, before it is put on the boundary.

    Parameters
    ----------
    points : ndarray of complex128, shape (n,)
        One point, or those of its lines.
    depth, width, angle : float or None
        What a point says.
    kind : NotchKind or None
    """

    points: Complexes
    depth: float | None
    width: float | None
    angle: float | None
    kind: NotchKind | None


def loose_notches(contents: Contents) -> tuple[LooseNotch, ...]:
    """Collect the notches of all notch layers of a piece."""
    found = []
    for layer, kind in NOTCH_LAYERS.items():
        for point in contents.points_on(layer):
            at = np.array([point.at], dtype=np.complex128)
            found.append(LooseNotch(at, point.depth, point.width, point.angle, kind))
        found += [
            LooseNotch(points, None, None, None, kind)
            for points in clusters(contents.lines_on(layer))
        ]
    return tuple(found)


def drill_holes(contents: Contents) -> Complexes:
    """Return the places of the drill holes of a piece: points, circles and crosses."""
    points = [point.at for point in contents.points_on(Layer.DRILL)]
    for cross in clusters(contents.lines_on(Layer.DRILL)):
        middle = complex(cross.real.min() + cross.real.max()) / 2
        points.append(middle + 0.5j * float(cross.imag.min() + cross.imag.max()))
    return np.array(points, dtype=np.complex128)


def clusters(lines: Sequence[DrawnLine]) -> tuple[Complexes, ...]:
    """Return the vertices of lines, those of lines that touch together."""
    groups: list[tuple[Complexes, shapely.Geometry]] = []
    for line in lines:
        own = vertices_of(line)
        drawn = shapely.LineString(np.stack([own.real, own.imag], axis=1))
        apart = []
        for group, shape in groups:
            if shape.distance(drawn) <= TOUCHING_MM:
                own = np.concatenate([group, own])
                drawn = shapely.union(shape, drawn)
            else:
                apart.append((group, shape))
        groups = [*apart, (own, drawn)]
    return tuple(group for group, _ in groups)


def vertices_of(line: DrawnLine) -> Complexes:
    """Return the points at which the segments of a line meet, and its ends."""
    segments = line.path.segments
    return np.append(start_points(segments), end_points(segments)[-1])


def put_on_boundary(
    loose: Sequence[LooseNotch],
    drawn: Sequence[Notch],
    boundary: MeasuredPath,
    where: str,
) -> tuple[tuple[Notch, ...], tuple[Finding, ...]]:
    """Bring notches to the nearest points of the boundary.

    Parameters
    ----------
    loose : sequence of LooseNotch
    drawn : sequence of Notch
        Those that were drawn into the boundary.
    boundary : MeasuredPath
    where : str
        File and block, for findings.

    Returns
    -------
    tuple of Notch
        In the order given, ``loose`` first; what is drawn in both ways once.
    tuple of Finding
        One for those that are too far away (`FARTHEST_MM`), which are left out.
    """
    placed = [_placed(one, boundary) for one in loose]
    notches = [notch for notch in placed if notch is not None]
    findings = []
    far = len(placed) - len(notches)
    if far:
        message = (
            f"{far} notches lie more than {FARTHEST_MM:g} mm from the boundary; left "
            "out"
        )
        findings.append(warning("notch-off-boundary", where, message))
    if drawn:
        places = np.array([notch.at for notch in drawn])
        for notch, at in zip(drawn, _on(boundary, places)[0].tolist(), strict=True):
            same = [
                i
                for i, known in enumerate(notches)
                if abs(known.at - notch.at) <= SAME_PLACE_MM
            ]
            if same:
                notches[same[0]] = _completed(notches[same[0]], notch)
            else:
                notches.append(replace(notch, at=at))
    return tuple(notches), tuple(findings)


def _on(boundary: MeasuredPath, points: Complexes) -> tuple[Complexes, Floats]:
    stations, distances = nearest_stations(boundary, points)
    return points_at_lengths(boundary, stations), distances


def _placed(loose: LooseNotch, boundary: MeasuredPath) -> Notch | None:
    feet, apart = _on(boundary, loose.points)
    near = int(np.argmin(apart))
    if apart[near] > FARTHEST_MM:
        return None
    if len(loose.points) == 1:
        kind = loose.kind or (NotchKind.V if loose.width else NotchKind.SLIT)
        return Notch(complex(feet[0]), loose.depth, loose.width, loose.angle, kind)
    mouth = loose.points[apart <= apart[near] + MOUTH_MM]
    middle = complex(mouth.mean())
    width = float(np.abs(mouth[:, np.newaxis] - mouth).max())
    tip = loose.points[int(np.argmax(np.abs(loose.points - middle)))]
    at = complex(_on(boundary, np.array([middle]))[0][0])
    open_ = width > SLIT_MM
    kind = loose.kind or (NotchKind.V if open_ else NotchKind.SLIT)
    return Notch(
        at=at,
        depth=float(abs(tip - middle)),
        width=width if open_ else None,
        angle=float(np.angle(tip - middle)),
        kind=kind,
    )


def _completed(notch: Notch, other: Notch) -> Notch:
    return replace(
        notch,
        depth=notch.depth if notch.depth is not None else other.depth,
        width=notch.width if notch.width is not None else other.width,
        angle=notch.angle if notch.angle is not None else other.angle,
    )
