"""Pairs of outlines of which one lies in the other."""

from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray

from edgefinder.errors import DrawingError
from edgefinder.geometry.segments import Complexes, Indices
from edgefinder.pattern.edges import FLAT_TOLERANCE_MM
from edgefinder.pattern.flat_rings import (
    DIRECTIONS,
    FlatRings,
    Polygons,
    reaches,
    sides_of,
)

MOST_PAIRS: Final = 4_000_000
"""Pairs of outlines whose boxes overlap: 60 pieces in 20 sizes, all drawn over one
another, have 1.4 million. More take longer than anybody waits."""

MOST_CROSSINGS: Final = 1000
"""Of an outline with itself. Its area is put together from the parts between; with
thousands of them that takes minutes."""
SIDES_AT_ONCE: Final = 64

FEW_VERTICES: Final = 2_000
"""Of an outline, times the outlines that it may lie in: compared with each at once.
With more of them what is known of those around it saves most of the work."""

SAMPLES: Final = 8
"""Vertices looked at before a whole outline is: most that do not lie within another
show it at once."""

PAIRS_AT_ONCE: Final = 100_000
"""More of them fill the memory."""


def contained_pairs(flat: FlatRings) -> tuple[Indices, Indices]:
    """Return who lies in whom, in the order of the inner ones, small outer ones first.

    Parameters
    ----------
    flat : FlatRings

    Returns
    -------
    inner, outer : ndarray of intp, shape (n,)
        An outline lies in another if it nowhere leaves it by more than the tolerance of
        flattening. Of two that are the same, the one drawn later lies in the other.

    Raises
    ------
    DrawingError
        If more lie over one another than a pattern can hold.
    """
    if not flat.rings:
        return np.array([], dtype=np.intp), np.array([], dtype=np.intp)
    # As lines, not as areas: outlines that cross themselves have no proper area.
    lines = shapely.get_exterior_ring(flat.polygons)
    tree = shapely.STRtree(lines)
    _refuse_too_many(flat, tree)
    wider = _widened(flat)
    shapely.prepare(wider)
    areas = flat.areas
    inner, outer = _candidates(flat, wider, tree)
    order = np.lexsort((-outer, areas[outer], inner))
    inner, outer = inner[order], outer[order]

    counts = np.bincount(inner, minlength=len(lines))
    vertices = np.array([len(one) for one in flat.vertices])
    is_few = (counts * vertices <= FEW_VERTICES)[inner]
    holds = np.zeros(len(inner), dtype=np.bool_)
    holds[is_few] = shapely.contains(wider[outer[is_few]], lines[inner[is_few]])
    if not is_few.all():
        _look_inwards(flat, wider, inner, outer, holds, is_few)
    return inner[holds], outer[holds]


def _candidates(
    flat: FlatRings, wider: Polygons, tree: shapely.STRtree
) -> tuple[Indices, Indices]:
    """Return inner and outer outlines as far as areas and reaches say."""
    outer, inner = tree.query(wider)
    areas = flat.areas
    is_smaller = (areas[inner] < areas[outer]) | (
        (areas[inner] == areas[outer]) & (inner > outer)
    )
    inner, outer = inner[is_smaller], outer[is_smaller]
    corners, owners = shapely.get_coordinates(wider, return_index=True)
    known, firsts = np.unique(owners, return_index=True)
    reach, around = flat.reaches, np.full((len(wider), len(DIRECTIONS)), -np.inf)
    around[known] = reaches(corners[:, 0] + 1j * corners[:, 1], firsts)
    is_inside = np.zeros(len(inner), dtype=np.bool_)
    for begin in range(0, len(inner), PAIRS_AT_ONCE):
        some = slice(begin, begin + PAIRS_AT_ONCE)
        is_inside[some] = (reach[inner[some]] <= around[outer[some]]).all(axis=1)
    return inner[is_inside], outer[is_inside]


def _look_inwards(
    flat: FlatRings,
    wider: Polygons,
    inner: Indices,
    outer: Indices,
    holds: NDArray[np.bool_],
    is_known: NDArray[np.bool_],
) -> None:
    """Fill in which pairs hold, from the outermost outlines inwards.

    What lies strictly within an outline lies in all that this one lies in. So only the
    nearest one around is looked at as a rule, and not each of hundreds.
    """
    areas = flat.areas
    bounds = np.searchsorted(inner, np.arange(len(areas) + 1)).tolist()
    within = _Within(flat, wider)
    for i in np.lexsort((np.arange(len(areas)), -areas)).tolist():
        own = slice(bounds[i], bounds[i + 1])
        candidates = outer[own]
        if len(candidates) and not is_known[own.start]:
            holds[own] = within.look_around(i, candidates)
        within.note(i, candidates[holds[own]])


class _Within:
    """Tells what an outline lies in, from what is known of those around it."""

    def __init__(self, flat: FlatRings, wider: Polygons) -> None:
        self._wider = wider
        self._polygons = flat.polygons
        self._lines = shapely.get_exterior_ring(flat.polygons)
        shapely.prepare(self._polygons)
        self._is_proper = shapely.is_valid(self._polygons)
        # What runs round within one of these has all its inside there too.
        self._is_whole = (shapely.get_num_interior_rings(wider) == 0) & (
            shapely.get_type_id(wider) == shapely.GeometryType.POLYGON
        )
        self._vertices = flat.vertices
        self._whole_around: list[Indices] = [np.array([], dtype=np.intp)] * len(wider)

    def note(self, i: int, around: Indices) -> None:
        """Keep what an outline lies in."""
        self._whole_around[i] = around[self._is_whole[around]]

    def look_around(self, i: int, candidates: Indices) -> NDArray[np.bool_]:
        """Say in which of some outlines, the smallest first, outline i lies."""
        holds = np.zeros(len(self._wider), dtype=np.bool_)
        left, at_once = candidates, 1
        while len(left):
            some, left = left[:at_once], left[at_once:]
            for j in self._sifted(i, some).tolist():
                if holds[j] or not shapely.contains(self._wider[j], self._lines[i]):
                    continue
                holds[j] = True
                if len(left) and self._lies_strictly(i, j):
                    holds[self._whole_around[j]] = True
            left = left[~holds[left]]
            at_once *= 2
        return holds[candidates]

    def _sifted(self, i: int, some: Indices) -> Indices:
        """Leave out those that some vertices of outline i lie outside of."""
        vertices = self._vertices[i]
        points = vertices[np.arange(SAMPLES) * len(vertices) // SAMPLES]
        around = self._wider[some][:, np.newaxis]
        is_in = shapely.intersects_xy(around, points.real, points.imag)
        sifted: Indices = some[is_in.all(axis=1)]
        return sifted

    def _lies_strictly(self, i: int, j: int) -> bool:
        """Whether outline i nowhere leaves outline j, which does not cross itself."""
        return bool(
            self._is_proper[j] and shapely.covers(self._polygons[j], self._lines[i])
        )


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
        one, other = tree.query(sides[begin : begin + SIDES_AT_ONCE])
        one += begin
        is_cut = _are_apart(vertices, one, other) & _are_apart(vertices, other, one)
        count += int(is_cut.sum())
        if count > MOST_CROSSINGS:
            return True
    return False


def _are_apart(vertices: Complexes, one: Indices, other: Indices) -> NDArray[np.bool_]:
    """Say whether the ends of other sides lie on two sides of the line of one."""
    start = vertices[one]
    way = np.conj(vertices[(one + 1) % len(vertices)] - start)
    first = (way * (vertices[other] - start)).imag
    last = (way * (vertices[(other + 1) % len(vertices)] - start)).imag
    apart: NDArray[np.bool_] = first * last < 0
    return apart


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
