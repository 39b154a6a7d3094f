"""Outlines that are drawn twice, and outlines that cross themselves."""

from collections import defaultdict
from collections.abc import Sequence
from itertools import product
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray

from edgefinder.findings import Finding, warning
from edgefinder.geometry.segments import Complexes
from edgefinder.importers.chaining import SAME_POINT_MM
from edgefinder.pattern.edges import FLAT_TOLERANCE_MM
from edgefinder.pattern.flat_rings import FlatRings, furthest, sides_of

CELL_MM: Final = 1.0
"""Centres of outlines are sorted into squares of this side; those of two drawings of
one outline lie in one square or in neighbouring ones."""
LONGER: Final = 0.01
"""Two drawings of one outline differ by no larger share in length: the steps of coarse
rounding. It is a first sieve; how far they are apart decides."""
MOST_COMPARED: Final = 50
"""Outlines of one centre and one length that are compared with another: a flower of
ellipses turned about their centre is no pattern."""
FEW: Final = 8
"""Vertices compared before all of them are."""
ROWS_AT_ONCE: Final = 256
"""Sides looked at together for the first crossing: a scribble has it near its start."""


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
    lengths, areas = flat.lengths.tolist(), flat.areas.tolist()
    slack = tolerance + FLAT_TOLERANCE_MM
    for i, (x, y, z) in enumerate(cells):
        near = [
            j for dx, dy, dz in _AROUND for j in seen.get((x + dx, y + dy, z + dz), ())
        ][:MOST_COMPARED]
        first = next(
            (
                j
                for j in near
                if (sizes[i] == sizes[j] or None in {sizes[i], sizes[j]})
                and abs(lengths[i] - lengths[j]) <= LONGER * lengths[j] + tolerance
                and abs(areas[i] - areas[j]) <= slack * (lengths[i] + lengths[j])
                and _are_one(flat.vertices[i], flat.vertices[j], slack)
            ),
            None,
        )
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


def crossing_findings(flat: FlatRings) -> tuple[Finding, ...]:
    """Say which outlines cross themselves, and where they first do."""
    findings = []
    for i in np.flatnonzero(~shapely.is_valid(flat.polygons)).tolist():
        place = first_crossing(flat.vertices[i])
        said = (
            "touches itself or runs back along itself"
            if place is None
            else f"crosses itself, first at ({place.real:.1f}, {place.imag:.1f}) mm"
        )
        where = flat.rings[i].sources[0].where
        message = f"the outline {said}; its area cannot be trusted"
        findings.append(warning("self-crossing", where, message))
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
    for begin in range(0, len(sides), ROWS_AT_ONCE):
        some = sides[begin : begin + ROWS_AT_ONCE]
        one, other = tree.query(some, predicate="crosses")
        if len(one):
            points = shapely.intersection(some[one], sides[other])
            places = shapely.get_x(points) + 1j * shapely.get_y(points)
            along = np.abs(places - vertices[begin + one])
            return complex(places[np.lexsort((along, one))[0]])
    return None


def _are_one(one: Complexes, other: Complexes, slack: float) -> bool:
    """Whether two outlines, as vertices, nowhere get further from each other."""
    if len(one) == len(other) and np.allclose(
        np.sort(one), np.sort(other), rtol=0.0, atol=SAME_POINT_MM
    ):
        return True
    few = max(len(one) // FEW, 1)  # most that are not the same differ at once
    return all(
        furthest(vertices, line) <= slack
        for vertices, line in ((one[::few], other), (one, other), (other, one))
    )
