"""Give to each piece the grain line that is drawn in it.

It lies along the lengthwise threads of the cloth. A drawing has it where a layer, a
class, a label or an id says "grain"; a pattern interchange file has a layer for it.
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np
import shapely

from edgefinder.geometry.flatten import flatten_all
from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import Kind, end_points, start_points
from edgefinder.importers.drawing import Drawing, DrawnLine
from edgefinder.pattern.naming import size_of
from edgefinder.pattern.pieces import Piece
from edgefinder.pattern.selectors import matches_any, parse_selector
from edgefinder.pattern.settings import FindingSettings

DEFAULT_GRAIN_LINES: Final = tuple(
    parse_selector(f"{mark}:*grain*") for mark in ("class", "label", "layer", "id")
)

SHORTEST_GRAIN_MM: Final = 10.0
"""A shorter line is an arrow's head, or the stroke of a letter."""

FLAT_ENOUGH_MM: Final = 0.5
"""A grain line lies well inside its piece: the outline need not be finer."""


def with_grain_lines(
    pieces: Sequence[Piece], drawing: Drawing, settings: FindingSettings
) -> tuple[Piece, ...]:
    """Give the grain lines of a drawing to the pieces in which their middles lie.

    Parameters
    ----------
    pieces : sequence of Piece
        Of one drawing.
    drawing : Drawing
    settings : FindingSettings

    Returns
    -------
    tuple of Piece
        Of the pieces of one size around a line the smallest has it; of several lines
        in a piece it has the longest.
    """
    drawn = [
        (line, ends)
        for line in drawing.lines
        if not line.path.closed and matches_any(line, DEFAULT_GRAIN_LINES)
        if (ends := _longest_straight(line.path)) is not None
    ]
    if not drawn or not pieces:
        return tuple(pieces)
    outlines = _polygons(pieces)
    areas = [piece.area for piece in pieces]
    sizes = {piece.size for piece in pieces}
    longest: dict[int, tuple[complex, complex]] = {}
    for line, ends in drawn:
        middle = (ends[0] + ends[1]) / 2
        around = shapely.contains_xy(outlines, middle.real, middle.imag)
        size = _known_size(line, drawing, settings, sizes)
        for i in _smallest_of_each_size(
            np.flatnonzero(around).tolist(), pieces, areas, size
        ):
            known = longest.get(i)
            if known is None or abs(ends[1] - ends[0]) > abs(known[1] - known[0]):
                longest[i] = ends
    return tuple(
        replace(piece, around=replace(piece.around, grain_line=longest[i]))
        if i in longest
        else piece
        for i, piece in enumerate(pieces)
    )


def _longest_straight(path: Path) -> tuple[complex, complex] | None:
    """Return the ends of the longest straight segment, if it is long enough."""
    lines = path.segments.take(np.flatnonzero(path.segments.kind == Kind.LINE))
    if not len(lines):
        return None
    starts, ends = start_points(lines), end_points(lines)
    at = int(np.argmax(np.abs(ends - starts)))
    if abs(ends[at] - starts[at]) < SHORTEST_GRAIN_MM:
        return None
    return complex(starts[at]), complex(ends[at])


def _polygons(pieces: Sequence[Piece]) -> list[shapely.Polygon]:
    flat = flatten_all([piece.outline.path for piece in pieces], FLAT_ENOUGH_MM)
    return [
        shapely.Polygon(np.column_stack([points.real, points.imag]))
        if len(points) > 2
        else shapely.Polygon()
        for points in flat
    ]


def _known_size(
    line: DrawnLine,
    drawing: Drawing,
    settings: FindingSettings,
    sizes: set[str | None],
) -> str | None:
    size = size_of(line, drawing, settings)
    return size if size in sizes else None


def _smallest_of_each_size(
    around: Sequence[int],
    pieces: Sequence[Piece],
    areas: Sequence[float],
    size: str | None,
) -> list[int]:
    """Choose one piece of every size that a line may belong to."""
    by_size: dict[str | None, int] = {}
    for i in around:
        own = pieces[i].size
        if size is not None and own not in {None, size}:
            continue
        if own not in by_size or areas[i] < areas[by_size[own]]:
            by_size[own] = i
    return list(by_size.values())
