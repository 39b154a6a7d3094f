"""Vertices with bulges to lines and exact arcs."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from edgefinder.geometry.segments import (
    Complexes,
    Floats,
    Kind,
    Segments,
    line_segments,
)

LARGEST_COORDINATE: Final = 1e12
"""In drawing units. A pattern is nowhere near; beyond it products overflow."""

FLATTEST_BULGE: Final = 1e-8
"""A smaller bulge is a line: its length differs by less than rounding, while the centre
of its circle lies so far off that the arc would lose more digits than the line."""


@dataclass(frozen=True, slots=True, eq=False)
class Vertices:
    """The vertices of a polyline, in the coordinates of its own plane.

    Parameters
    ----------
    points : ndarray of complex128, shape (n,)
    heights : ndarray, shape (n,)
        Third coordinates; those of a LWPOLYLINE are 0, its elevation says it.
    bulges : ndarray, shape (n,)
    flags : ndarray of int, shape (n,)
        Group 70 of VERTEX, or of it what says that it is no point of the line; those
        of a LWPOLYLINE are 0.
    """

    points: Complexes
    heights: Floats
    bulges: Floats
    flags: NDArray[np.integer]

    def __len__(self) -> int:
        return len(self.points)

    def take(self, rows: NDArray[np.bool_] | slice) -> "Vertices":
        """Return the vertices named, in that order."""
        return Vertices(
            self.points[rows], self.heights[rows], self.bulges[rows], self.flags[rows]
        )


def polyline_segments(points: Complexes, bulges: Floats, *, closed: bool) -> Segments:
    """Join vertices by lines and circular arcs.

    Parameters
    ----------
    points : ndarray of complex128, shape (n,)
    bulges : ndarray, shape (n,)
        Tangent of a quarter of the angle of the arc from a vertex to the next,
        positive anticlockwise, 0 for a line (DXF reference, LWPOLYLINE, group 42).
    closed : bool
        Whether the last vertex is joined to the first.

    Returns
    -------
    Segments
        Equal neighbours are not joined.
    """
    last = len(points) if closed else max(len(points) - 1, 0)
    start, end = points[:last], np.append(points[1:], points[:1])[:last]
    apart = start != end
    return bulged_segments(start[apart], end[apart], bulges[:last][apart])


def bulged_segments(start: Complexes, end: Complexes, bulge: Floats) -> Segments:
    """Join pairs of points by lines and circular arcs; see `polyline_segments`."""
    table = line_segments(start, end)
    bent = np.abs(bulge) >= FLATTEST_BULGE
    if not bent.any():
        return table
    kind, control = table.kind.copy(), table.control.copy()
    start, chord, bulge = start[bent], (end - start)[bent], bulge[bent]
    # From the centre to the start; the centre lies left of the chord for bulges
    # between 0 and 1 and crosses it at the half circle.
    radius = -chord * (0.5 + 0.25j * (1 / bulge - bulge))
    kind[bent] = Kind.ARC
    control[bent, 0] = start - radius
    control[bent, 1] = radius
    control[bent, 2] = 1j * radius
    control[bent, 3] = 1j * (4 * np.arctan(bulge))
    return Segments(kind, control)
