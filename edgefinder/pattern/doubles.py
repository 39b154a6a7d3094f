"""Outlines that are drawn twice, and outlines that cross themselves."""

from collections import defaultdict
from collections.abc import Sequence
from itertools import product
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray

from edgefinder.findings import Finding, warning
from edgefinder.geometry.segments import Complexes, Indices
from edgefinder.importers.chaining import SAME_POINT_MM
from edgefinder.pattern.edges import FLAT_TOLERANCE_MM
from edgefinder.pattern.flat_rings import FlatRings, are_within, sides_of

CELL_MM: Final = 1.0
"""Centres of outlines are sorted into squares of this side; those of two drawings of
one outline lie in one square or in neighbouring ones."""
LONGER: Final = 0.01
"""Two drawings of one outline differ by no larger share in length: the steps of coarse
rounding. It is a first sieve; how far they are apart decides."""
MOST_SIFTED: Final = 2_000
"""Outlines of one centre and one length whose sizes, lengths, areas and reaches are
compared with those of another."""
MOST_COMPARED: Final = 50
"""And of those that pass, how many are compared with it place by place: a flower of
ellipses turned about their centre is no pattern."""
MOST_VERTICES: Final = 4_000_000
"""Compared in one drawing, some seconds of work; what comes after is taken as drawn. A
nest of 60 traced pieces in 20 sizes, each drawn twice, has two million."""
FEW: Final = 8
"""Vertices compared before all of them are: most that are not the same differ at once.
"""
SIDES_AT_ONCE: Final = 8
"""Sides looked at together for the first crossing, then twice as many and so on: a
scribble has it near its start."""


def without_doubled(
    flat: FlatRings, sizes: Sequence[str | None], tolerance: float
) -> tuple[NDArray[np.bool_], tuple[Finding, ...]]:
    """Find outlines that repeat another one.

    Parameters
    ----------
    flat : FlatRings
    sizes : sequence of str or None
        Of each outline. The same shape in two sizes is two outlines.
    tolerance : float
        Outlines nowhere further apart are one, in millimetres.

    Returns
    -------
    ndarray of bool, shape (n,)
        Whether an outline stays.
    tuple of Finding
        One for each that does not.
    """
    stays = np.ones(len(flat.rings), dtype=np.bool_)
    if len(flat.rings) < 2:
        return stays, ()
    cells = _cells(flat)
    seen: defaultdict[tuple[int, int, int], list[int]] = defaultdict(list)
    findings = []
    sieve = _Sieve(flat, sizes, tolerance)
    for i, (x, y, z) in enumerate(cells):
        near = [
            j for dx, dy, dz in _AROUND for j in seen.get((x + dx, y + dy, z + dz), ())
        ]
        first = sieve.first_same(i, near[:MOST_SIFTED]) if near else None
        if first is None:
            seen[x, y, z].append(i)
            continue
        # What says its size stays in place of what does not.
        gone, kept = (i, first) if sizes[i] is None or sizes[first] else (first, i)
        stays[gone] = False
        if gone == first:
            own = seen[cells[first]]
            own[own.index(first)] = i
        where = flat.rings[gone].sources[0].where
        other = flat.rings[kept].sources[0].where
        message = f"is the same outline as {other}; it was taken once"
        findings.append(warning("drawn-twice", where, message))
    return stays, tuple(findings)


_AROUND: Final = tuple(product((0, -1, 1), repeat=3))


def _cells(flat: FlatRings) -> list[tuple[int, int, int]]:
    """Sort outlines by the place of their centre and by their length."""
    x, y = shapely.get_coordinates(shapely.centroid(flat.polygons)).T
    cells = np.floor([x / CELL_MM, y / CELL_MM, np.log(flat.lengths) / LONGER])
    return list(zip(*cells.astype(np.int64).tolist(), strict=True))


class _Sieve:
    """Finds the outline that another one repeats, by cheap tests before dear ones."""

    def __init__(
        self, flat: FlatRings, sizes: Sequence[str | None], tolerance: float
    ) -> None:
        self._vertices = flat.vertices
        self._tolerance = tolerance
        self._slack = tolerance + FLAT_TOLERANCE_MM
        self._lengths, self._areas = flat.lengths, flat.areas
        # How far an outline reaches changes by no more than the slack.
        self._reaches = flat.reaches
        numbers = {size: n for n, size in enumerate({*sizes} - {None}, start=1)}
        self._sizes = np.array([0 if s is None else numbers[s] for s in sizes])
        counts = np.array([len(one) for one in flat.vertices])
        first = np.cumsum(counts) - counts
        every = np.concatenate(flat.vertices)
        steps = np.arange(FEW) * counts[:, np.newaxis] // FEW
        self._few = every[first[:, np.newaxis] + steps]
        self._left = MOST_VERTICES

    def first_same(self, i: int, near: Sequence[int]) -> int | None:
        """Return the first of some outlines that is the same as outline i."""
        alike = self._alike(i, np.array(near))[:MOST_COMPARED]
        if not len(alike) or self._left < 0:
            return None
        sides = shapely.STRtree(sides_of(self._vertices[i]))
        points = self._few[alike]
        self._left -= points.size
        is_near = are_within(points.ravel(), sides, self._slack)
        for j in alike[is_near.reshape(-1, FEW).all(axis=1)].tolist():
            if self._are_one(i, j, sides):
                return int(j)
        return None

    def _alike(self, i: int, near: Indices) -> Indices:
        """Return those whose sizes, lengths, areas and reaches are alike."""
        size, sizes = self._sizes[i], self._sizes[near]
        long, lengths = self._lengths[i], self._lengths[near]
        area, areas = self._areas[i], self._areas[near]
        apart = np.abs(self._reaches[i] - self._reaches[near]).max(axis=1)
        is_alike = (
            ((sizes == size) | (sizes == 0) | (size == 0))
            & (np.abs(long - lengths) <= LONGER * lengths + self._tolerance)
            & (np.abs(area - areas) <= self._slack * (long + lengths))
            & (apart <= self._slack)
        )
        alike: Indices = near[is_alike]
        return alike

    def _are_one(self, i: int, j: int, sides: shapely.STRtree) -> bool:
        """Whether two outlines nowhere get further from each other than the slack."""
        one, other = self._vertices[i], self._vertices[j]
        if len(one) == len(other) and np.allclose(
            np.sort(one), np.sort(other), rtol=0.0, atol=SAME_POINT_MM
        ):
            return True
        self._left -= len(one) + len(other)
        return bool(
            are_within(other, sides, self._slack).all()
            and are_within(one, shapely.STRtree(sides_of(other)), self._slack).all()
        )


def crossing_findings(flat: FlatRings) -> tuple[Finding, ...]:
    """Say which outlines cross themselves, and where they first do."""
    findings = []
    for i in np.flatnonzero(~shapely.is_valid(flat.polygons)).tolist():
        line = flat.rings[i].sources[0]
        place = first_crossing(flat.vertices[i])
        said = (
            "touches itself or runs back along itself"
            if place is None
            else f"crosses itself, first at {line.say_place(place)}"
        )
        message = f"the outline {said}; its area cannot be trusted"
        findings.append(warning("self-crossing", line.where, message))
    return tuple(findings)


def first_crossing(vertices: Complexes) -> complex | None:
    """Find where a closed polygon first crosses itself, going along it from its start.

    Returns
    -------
    complex or None
        None where sides only touch.
    """
    sides = sides_of(vertices)
    tree = shapely.STRtree(sides)
    begin, at_once = 0, SIDES_AT_ONCE
    while begin < len(sides):
        some = sides[begin : begin + at_once]
        one, other = tree.query(some, predicate="crosses")
        if len(one):
            first = one.min()
            across = sides[other[one == first]]
            points = shapely.intersection(some[first], across)
            places = shapely.get_x(points) + 1j * shapely.get_y(points)
            along = np.abs(places - vertices[begin + first])
            return complex(places[np.argmin(along)])
        begin, at_once = begin + at_once, 2 * at_once
    return None
