"""Many rows of points in one array, so that they are worked on in a few numpy calls."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from edgefinder.geometry.segments import Complexes, Floats, Indices


@dataclass(frozen=True, slots=True, eq=False)
class PointRows:
    """Rows of points, one after the other; made by `point_rows`.

    Parameters
    ----------
    points : ndarray of complex128, shape (n,)
        Millimetres.
    bounds : ndarray of intp, shape (m + 1,)
        Row j holds the points from ``bounds[j]`` up to ``bounds[j + 1]``.
    owner : ndarray of intp, shape (n,)
        The row of every point.
    steps : ndarray, shape (n,)
        Distance from the point before in its row, 0 at its first.
    along : ndarray, shape (n,)
        Distance along the row.
    """

    points: Complexes
    bounds: Indices
    owner: Indices
    steps: Floats
    along: Floats


def point_rows(rows: Sequence[Complexes]) -> PointRows:
    """Put rows of at least one point one after the other."""
    sizes = np.array([len(row) for row in rows], dtype=np.intp)
    bounds = np.concatenate([[0], np.cumsum(sizes)]).astype(np.intp)
    points = np.concatenate(rows) if rows else np.empty(0, dtype=np.complex128)
    owner = np.repeat(np.arange(len(rows)), sizes)
    steps = np.abs(np.diff(points, prepend=points[:1]))
    steps[bounds[:-1]] = 0.0
    return PointRows(points, bounds, owner, steps, running_sums(steps, bounds, owner))


def running_sums(steps: Floats, bounds: Indices, owner: Indices) -> Floats:
    """Return running sums along every row, 0 at its first point.

    Parameters
    ----------
    steps : ndarray, shape (n,)
        0 at the first point of every row.
    bounds, owner : ndarray of intp
        As in `PointRows`.
    """
    total = np.cumsum(steps)
    sums: Floats = total - total[bounds[:-1]][owner]
    return sums
