"""A finite net of pinned threads, laid along any edge by an optimiser.

Nothing of the band is used here. Threads run at 45 degrees to the tape, pinned where
they cross, and do not stretch. The nodes of the fold line lie on the edge; where along
it is unknown. Every other node is a thread segment away from two nodes of the row
before, so that the fold line decides where the whole net lies. Of all nets along an
edge that one is looked for whose shear energy is least: the sum of the squares of the
shear angles over all halves of cells. The ends are free, cut along the threads.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicHermiteSpline
from scipy.optimize import least_squares

Floats = NDArray[np.float64]
Complexes = NDArray[np.complex128]

GRID_MM: Final = 0.02
"""Between the points that an edge is interpolated from: good to 1e-9 mm."""
STEP_MM: Final = 1e-5
"""That a node of the fold line is moved by to find what follows from it."""
FOOT_STEPS: Final = 30
"""To the nearest point of an edge: each brings it nearer by depth over radius."""


class Edge:
    """A line in the plane by its arc length, from its heading.

    Parameters
    ----------
    heading : callable
        Radians at arc lengths in millimetres, shape (n,) to (n,); kept constant
        beyond the ends.
    start, end : float
        Millimetres.
    """

    def __init__(
        self, heading: Callable[[Floats], Floats], start: float, end: float
    ) -> None:
        self.heading = heading
        s = np.linspace(start, end, round((end - start) / GRID_MM) + 1)
        nodes, weights = np.polynomial.legendre.leggauss(4)
        half = (s[1] - s[0]) / 2
        inner = (s[:-1, np.newaxis] + s[1:, np.newaxis]) / 2 + half * nodes
        chords = (np.exp(1j * heading(inner)) * weights).sum(axis=1) * half
        points = np.concatenate([[0], np.cumsum(chords)])
        self._points = CubicHermiteSpline(s, points, np.exp(1j * heading(s)))

    def at(self, s: Floats) -> Complexes:
        """Return the points at arc lengths."""
        found: Complexes = self._points(s)
        return found

    def turning(self, s: Floats, window: Floats | float) -> Floats:
        """Return the turning within windows round arc lengths."""
        turned: Floats = self.heading(s + window / 2) - self.heading(s - window / 2)
        return turned

    def foot(self, points: Complexes, near: Floats) -> tuple[Floats, Floats]:
        """Return where points are nearest to the edge, and how far to its left."""
        s = near
        for _ in range(FOOT_STEPS):
            s = s + self._beside(points, s).real
        return s, self._beside(points, s).imag

    def _beside(self, points: Complexes, s: Floats) -> Complexes:
        """Return points as seen from the edge: along it and to its left."""
        found: Complexes = (points - self.at(s)) * np.exp(-1j * self.heading(s))
        return found


@dataclass(frozen=True)
class Row:
    """The segments between neighbours of one row of a laid net.

    ``x`` and ``y`` are their places in the flat tape (along, across), ``s`` and
    ``depth`` where their middles lie beside the edge, ``shear`` in radians, ``strain``
    along the tape as a fraction.
    """

    x: Floats
    y: float
    s: Floats
    depth: Floats
    shear: Floats
    strain: Floats


@dataclass(frozen=True)
class LaidNet:
    """A net along an edge: nodes row by row, the energy, and the rows measured."""

    nodes: tuple[Complexes, ...]
    energy: float
    rows: tuple[Row, ...]


def rows_from(fold: Complexes, side: float, cells: int) -> tuple[Complexes, ...]:
    """Return the nodes of every row of a net, from those of its fold line."""
    rows = [fold]
    for _ in range(2 * cells):
        step = np.diff(rows[-1])
        rise = np.sqrt(np.maximum((side / np.abs(step)) ** 2 - 0.25, 0.0))
        rows.append(rows[-1][..., :-1] + step * (0.5 + 1j * rise))
    return tuple(rows)


def shears_of(rows: tuple[Complexes, ...], side: float) -> list[Floats]:
    """Return the shear angles at the segments of every row."""
    return [
        np.pi / 2 - 2 * np.arccos(np.clip(np.abs(np.diff(row)) / (2 * side), -1, 1))
        for row in rows
    ]


def lay_net(edge: Edge, width: float, length: float, cells: int) -> LaidNet:
    """Lay a net along an edge, its middle node at arc length 0.

    Parameters
    ----------
    edge : Edge
    width, length : float
        Of the flat tape in millimetres.
    cells : int
        Across the width.
    """
    across = width / cells  # diagonal of a cell
    side = across / np.sqrt(2)
    count = round(length / across / 2) * 2 + 1
    x = (np.arange(count) - count // 2) * across
    # Half a cell lies on either side of a row, but for the first and the last row.
    weights = np.sqrt([1.0] + [2.0] * (2 * cells - 1) + [1.0])

    def fold_at(moved: Floats) -> Floats:
        return x + np.insert(moved, count // 2, 0.0, axis=-1)

    def residuals(moved: Floats) -> Floats:
        shears = shears_of(rows_from(edge.at(fold_at(moved)), side, cells), side)
        found: Floats = np.concatenate(
            [w * g for w, g in zip(weights, shears, strict=True)], axis=-1
        )
        return found

    def slopes(moved: Floats) -> Floats:
        """All derivatives in one go: one net for every node that is moved."""
        step = STEP_MM * np.eye(count - 1)
        found: Floats = (residuals(moved + step) - residuals(moved - step)).T
        return found / (2 * STEP_MM)

    start = np.zeros(count - 1)
    found = least_squares(residuals, start, slopes, method="lm")
    s = fold_at(found.x)
    nodes = rows_from(edge.at(s), side, cells)
    rows = []
    for number, (row, shear) in enumerate(
        zip(nodes, shears_of(nodes, side), strict=True)
    ):
        middles = (row[1:] + row[:-1]) / 2
        own_x = np.asarray(x[: len(middles)] + (number + 1) * across / 2, np.float64)
        at, depth = edge.foot(middles, np.interp(own_x, x, s))
        strain = np.abs(np.diff(row)) / across - 1
        rows.append(Row(own_x, number * across / 2, at, depth, shear, strain))
    return LaidNet(nodes, float(2 * found.cost), tuple(rows))
