"""Which outlines lie in which others, as far as they may belong together."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely

from edgefinder.errors import DrawingError
from edgefinder.geometry.segments import Complexes, Indices
from edgefinder.importers.drawing import DrawnLine
from edgefinder.pattern.edges import FLAT_TOLERANCE_MM, Ring
from edgefinder.pattern.flat_rings import FlatRings, Polygons, sides_of

MOST_PAIRS: Final = 4_000_000
"""Pairs of outlines whose boxes overlap: 60 pieces in 20 sizes, all drawn over one
another, have 1.4 million. More take longer than anybody waits."""

MOST_CROSSINGS: Final = 1000
"""Of an outline with itself. Its area is put together from the parts between; with
thousands of them that takes minutes."""
SIDES_AT_ONCE: Final = 64


@dataclass(frozen=True, slots=True)
class Around:
    """An outline around another.

    Parameters
    ----------
    index : int
    is_apart : bool
        Whether they stand on different layers or in different groups.
    """

    index: int
    is_apart: bool


@dataclass(frozen=True, slots=True, eq=False)
class Containment:
    """For every outline those around it, the smallest one first.

    Parameters
    ----------
    every : tuple of tuple of int
        All of them.
    related : tuple of tuple of Around
        Those of the same size, unless groups of other names tell the two apart.
    """

    every: tuple[tuple[int, ...], ...]
    related: tuple[tuple[Around, ...], ...]


def find_containment(flat: FlatRings, sizes: Sequence[str | None]) -> Containment:
    """Find out which outlines lie in which.

    Parameters
    ----------
    flat : FlatRings
    sizes : sequence of str or None
        Of each outline; one without a size may lie in one of any size.

    Raises
    ------
    DrawingError
        If more lie over one another than a pattern can hold.
    """
    inner, outer = _pairs(flat)
    every: list[list[int]] = [[] for _ in flat.rings]
    related: list[list[Around]] = [[] for _ in flat.rings]
    relations: dict[tuple[object, object], bool | None] = {}
    marks = [_Marks.of(ring) for ring in flat.rings]
    for i, j in zip(inner.tolist(), outer.tolist(), strict=True):
        every[i].append(j)
        if sizes[i] is not None and sizes[i] != sizes[j]:
            continue
        key = marks[i], marks[j]
        if key not in relations:
            relations[key] = marks[i].is_apart_from(marks[j])
        is_apart = relations[key]
        if is_apart is not None:
            related[i].append(Around(j, is_apart))
    return Containment(tuple(map(tuple, every)), tuple(map(tuple, related)))


def _pairs(flat: FlatRings) -> tuple[Indices, Indices]:
    """Return who lies in whom, in the order of the inner ones, small outer ones first.

    Of two that are the same, the one drawn later lies in the other.
    """
    if not flat.rings:
        return np.array([], dtype=np.intp), np.array([], dtype=np.intp)
    wider = _widened(flat)
    # As lines, not as areas: outlines that cross themselves have no proper area.
    tree = shapely.STRtree(shapely.get_exterior_ring(flat.polygons))
    _refuse_too_many(flat, tree)
    shapely.prepare(wider)
    outer, inner = tree.query(wider, predicate="contains")
    areas = flat.areas
    is_smaller = (areas[inner] < areas[outer]) | (
        (areas[inner] == areas[outer]) & (inner > outer)
    )
    inner, outer = inner[is_smaller], outer[is_smaller]
    order = np.lexsort((-outer, areas[outer], inner))
    return inner[order], outer[order]


def _widened(flat: FlatRings) -> Polygons:
    """Widen the outlines: those that coincide are flattened at different points."""
    polygons = flat.polygons.copy()
    for i in np.flatnonzero(~shapely.is_valid(polygons)).tolist():
        if _is_scribble(flat.vertices[i]):
            polygons[i] = shapely.convex_hull(polygons[i])
    widened: Polygons = shapely.buffer(
        polygons, 2 * FLAT_TOLERANCE_MM, join_style="mitre"
    )
    return widened


def _is_scribble(vertices: Complexes) -> bool:
    """Whether a line crosses itself so often that its area means nothing."""
    sides = sides_of(vertices)
    tree, count = shapely.STRtree(sides), 0
    for begin in range(0, len(sides), SIDES_AT_ONCE):
        some = sides[begin : begin + SIDES_AT_ONCE]
        count += len(tree.query(some, predicate="crosses")[0])
        if count > MOST_CROSSINGS:
            return True
    return False


def _refuse_too_many(flat: FlatRings, tree: shapely.STRtree) -> None:
    """Count the outlines that may lie in each other before any is looked at."""
    count = 0
    step = max(MOST_PAIRS // len(flat.rings), 1)
    for first in range(0, len(flat.rings), step):
        count += len(tree.query(flat.polygons[first : first + step])[0])
        if count > MOST_PAIRS:
            where = flat.rings[0].sources[0].where
            raise DrawingError(
                f"{where}: {len(flat.rings)} outlines lie over one another, too many "
                "for a pattern; choose the outlines of pieces with cut_lines in the "
                "job file"
            )


@dataclass(frozen=True, slots=True)
class _Marks:
    """Layer and groups of an outline."""

    layer: str | None
    groups: tuple[str, ...]

    @classmethod
    def of(cls, ring: Ring) -> "_Marks":
        line: DrawnLine = ring.sources[0]
        return cls(line.layer, line.groups)

    @property
    def own(self) -> tuple[str, ...]:
        """The groups below the layer: those that name a piece."""
        return tuple(group for group in self.groups if group != self.layer)

    def is_apart_from(self, outer: "_Marks") -> bool | None:
        """Say whether an outer outline stands elsewhere; None if it is another piece.

        Lines of one piece share their groups, else their layer: in DXF the cut line and
        the sewing line of one block lie on two layers.
        """
        if (self.groups or (self.layer,)) == (outer.groups or (outer.layer,)):
            return False
        if outer.own and self.groups[: len(outer.groups)] == outer.groups:
            return False
        if self.own and self.own != outer.own:
            return None
        return True
