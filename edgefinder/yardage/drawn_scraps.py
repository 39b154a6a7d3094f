"""Scraps that are drawn: closed lines, with what is cut out of them and their grain.

A closed line is a scrap, unless it lies in another one: then it is a hole of it. An
open line in a scrap says where its lengthwise grain runs.
"""

import math
from collections.abc import Sequence

import numpy as np
import shapely

from edgefinder.errors import SettingsError
from edgefinder.geometry.flatten import flatten
from edgefinder.geometry.segments import end_points, start_points
from edgefinder.importers.drawing import Drawing, DrawnLine
from edgefinder.pattern.grain_lines import SHORTEST_GRAIN_MM
from edgefinder.yardage.scrap_outlines import scrap_polygon
from edgefinder.yardage.scraps import FLATTENING_MM, MOST_SCRAPS, UPRIGHT, Scrap


def drawn_scraps(drawing: Drawing, turned: float | None = None) -> tuple[Scrap, ...]:
    """Take the scraps out of a drawing.

    Parameters
    ----------
    drawing : Drawing
    turned : float or None
        Direction of the lengthwise grain from the x axis, in radians, for all scraps.
        None: along the longest open line in a scrap, and upright where there is none.

    Returns
    -------
    tuple of Scrap
        In drawing order.

    Raises
    ------
    SettingsError
        With one line for every outline that cannot be a scrap; if there is none.
    """
    closed = [line for line in drawing.lines if line.path.closed]
    if not closed:
        raise SettingsError(
            f"{drawing.name}: no closed line is drawn: draw the outline of each scrap"
        )
    if len(closed) > MOST_SCRAPS:
        raise SettingsError(
            f"{drawing.name}: {len(closed)} closed lines are too many scraps; "
            f"draw up to {MOST_SCRAPS}"
        )
    mistakes: list[str] = []
    outlines: list[tuple[str, shapely.Polygon]] = []
    for number, line in enumerate(closed, start=1):
        name = line.label or line.id or f"scrap {number}"
        corners = flatten(line.path, FLATTENING_MM)
        shape = shapely.Polygon(np.column_stack((corners.real, corners.imag)))
        if shape.is_empty or not shape.is_valid:
            mistakes.append(
                f'{line.where}: scrap "{name}": its outline crosses itself or encloses '
                "nothing; redraw it"
            )
        else:
            outlines.append((name, shape))
    if mistakes:
        raise SettingsError(*mistakes)
    found: list[Scrap] = []
    for name, shape in _with_holes(outlines):
        try:
            found.append(scrap_polygon(name, shape, _grain(shape, drawing, turned)))
        except SettingsError as error:
            mistakes += [f"{drawing.name}: {line}" for line in error.messages]
    if mistakes:
        raise SettingsError(*mistakes)
    return tuple(found)


def _with_holes(
    outlines: Sequence[tuple[str, shapely.Polygon]],
) -> list[tuple[str, shapely.Polygon]]:
    """Cut out of every scrap what lies within it."""
    shapes = [shape for _, shape in outlines]
    depth = [
        sum(
            other is not shape and other.area > shape.area and other.contains(shape)
            for other in shapes
        )
        for shape in shapes
    ]
    found = []
    for i, (name, shape) in enumerate(outlines):
        if depth[i] % 2:
            continue
        holes = [
            hole
            for j, hole in enumerate(shapes)
            if depth[j] == depth[i] + 1 and shape.contains(hole)
        ]
        found.append((name, _cut_out(shape, holes)))
    return found


def _cut_out(
    shape: shapely.Polygon, holes: Sequence[shapely.Polygon]
) -> shapely.Polygon:
    return shapely.Polygon(shape.exterior, [hole.exterior for hole in holes])


def _grain(shape: shapely.Polygon, drawing: Drawing, turned: float | None) -> float:
    if turned is not None:
        return turned
    lines = [_ends(line) for line in drawing.lines if not line.path.closed]
    inside = [
        (abs(end - start), end - start)
        for start, end in lines
        if abs(end - start) >= SHORTEST_GRAIN_MM and shape.contains(_middle(start, end))
    ]
    if not inside:
        return UPRIGHT
    _, way = max(inside, key=lambda one: one[0])
    return math.atan2(way.imag, way.real)


def _ends(line: DrawnLine) -> tuple[complex, complex]:
    segments = line.path.segments
    return complex(start_points(segments)[0]), complex(end_points(segments)[-1])


def _middle(start: complex, end: complex) -> shapely.Point:
    middle = 0.5 * (start + end)
    return shapely.Point(middle.real, middle.imag)
