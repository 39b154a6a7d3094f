"""Digitised stretches of drawn lines: many short sides that wiggle.

A line that was traced point by point, or written with few decimals, is a polyline
whose points lie beside the line that was meant. What tells it from a polygon that was
drafted is that it has many short sides, and from a curve that was flattened that its
bend changes back and forth from side to side. How far the points lie beside the line
is read from third differences: they vanish on straight lines and, nearly, on curves.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from edgefinder.geometry.path import Path
from edgefinder.geometry.point_rows import PointRows, point_rows
from edgefinder.geometry.segments import (
    Complexes,
    Floats,
    Indices,
    Kind,
    end_points,
    start_points,
)

LONGEST_SIDE_MM: Final = 15.0
"""A longer side is a line that was drawn as one (tracers click every 2 to 10 mm;
working default). Larger: short straight edges lose their exact ends."""

LONG_SIDE: Final = 5.0
SHORTEST_LINE_MM: Final = 5.0
"""So is one this many times longer than the median of the short ones, from 5 mm on."""

FEWEST_SIDES: Final = 12
"""In a row. Fewer: drafted steps and scallops are taken for points, and noise is read
from too few of them."""

LEAST_NOISE_SHARE: Final = 0.002
"""Noise against spacing below which a line is left as it is: over a tape of 9 mm it
bends the line by less than a radius of 3 m. Smaller: rounding to many decimals counts
as noise."""

MOST_NOISE_MM: Final = 0.5
"""Beyond it, the line was meant to zigzag."""

BACK_AND_FORTH: Final = 0.5
"""Share of third differences that have the other sign than the one before. Of pure
noise it is 77 % (their correlation is -3/4), of a smooth curve near 0."""

EXACT_MM: Final = 1e-6
"""Third differences below this are rounding of floating point numbers."""

ACROSS: Final = 2
"""Points further out on both sides that the direction of the line is taken from."""

NORMAL_MEDIAN: Final = 0.6745
"""Median of the absolute value of a normal variable, in standard deviations."""

FINEST_SPACING_MM: Final = 1.0
"""Closer points are averaged to this spacing: noise makes them run back and forth."""


@dataclass(frozen=True, slots=True, eq=False)
class DenseRun:
    """Successive short sides of a path.

    Parameters
    ----------
    path : int
        Which path.
    rows : ndarray of intp, shape (n,)
        Segments of the path, in order; n sides.
    closed : bool
        Whether they are the whole of a closed path.
    points : ndarray of complex128
        Their distinct ends, averaged where they lie very close; a closed run does not
        repeat the first.
    vertex : ndarray, shape of points
        Which end every point is, counted in sides from the start of the run.
    noise, spacing : float
        Of the points, in millimetres.
    """

    path: int
    rows: Indices
    closed: bool
    points: Complexes
    vertex: Floats
    noise: float
    spacing: float


@dataclass(frozen=True, slots=True)
class Tracing:
    """How a line was traced: spacing of its points and their noise, in mm."""

    noise: float
    spacing: float


def find_dense_runs(
    paths: Sequence[Path],
) -> tuple[tuple[DenseRun, ...], dict[int, Tracing]]:
    """Find the stretches of paths that are digitised.

    Parameters
    ----------
    paths : sequence of Path

    Returns
    -------
    tuple of DenseRun
        In the order of paths, and along each of them.
    dict of int to Tracing
        By path, for those that have any.
    """
    found: list[tuple[int, Indices, bool, Complexes, Floats]] = []
    for index, path in enumerate(paths):
        for rows, closed in _runs(path):
            points, vertex = _vertices(path, rows, closed=closed)
            if len(points) > FEWEST_SIDES:
                found.append((index, rows, closed, points, vertex))
    if not found:
        return (), {}
    owners = np.array([one[0] for one in found])
    drawn = _tracings(point_rows([one[3] for one in found]), owners)
    thinned = [
        (*one[:3], *_thinned(one[3], one[4], drawn[one[0]].spacing, closed=one[2]))
        for one in found
        if one[0] in drawn
    ]
    if not thinned:
        return (), {}
    close = [one for one in thinned if _together(drawn[one[0]].spacing) > 1]
    seen = dict(drawn)
    if close:
        owners = np.array([one[0] for one in close])
        seen |= _noise(point_rows([one[3] for one in close]), owners)
    runs = tuple(
        DenseRun(*one, noise=seen[one[0]].noise, spacing=seen[one[0]].spacing)
        for one in thinned
    )
    return runs, drawn


def _runs(path: Path) -> list[tuple[Indices, bool]]:
    """Return successive short sides of a path, and whether they are all of it."""
    segments = path.segments
    count = len(segments)
    if count < FEWEST_SIDES:
        return []
    is_line = segments.kind == Kind.LINE
    length = np.abs(segments.control[:, 1] - segments.control[:, 0])
    short = is_line & (length <= LONGEST_SIDE_MM)
    if short.sum() < FEWEST_SIDES:
        return []
    usual = float(np.median(length[short]))
    short &= length <= max(LONG_SIDE * usual, SHORTEST_LINE_MM)
    if short.all():
        return [(np.arange(count), path.closed)]
    # A closed path is looked at from a long side on, so that no run is cut in two.
    first = int(np.argmin(short)) if path.closed else 0
    order = np.roll(np.arange(count), -first)
    steps = np.diff(np.concatenate([[0], short[order].astype(np.int8), [0]]))
    begins, ends = np.flatnonzero(steps > 0), np.flatnonzero(steps < 0)
    return [
        (order[a:b], False)
        for a, b in zip(begins, ends, strict=True)
        if b - a >= FEWEST_SIDES
    ]


def _vertices(path: Path, rows: Indices, *, closed: bool) -> tuple[Complexes, Floats]:
    """Return the distinct vertices of a run and which they are."""
    taken = path.segments.take(rows)
    points = start_points(taken)
    if not closed:
        points = np.append(points, end_points(taken)[-1])
    distinct = np.ones(len(points), dtype=np.bool_)
    distinct[1:] = points[1:] != points[:-1]
    if closed:
        distinct[-1] &= points[-1] != points[0]
    return points[distinct], np.flatnonzero(distinct).astype(np.float64)


def _tracings(rows: PointRows, paths: Indices) -> dict[int, Tracing]:
    return {
        path: tracing
        for path, tracing in _noise(rows, paths).items()
        if LEAST_NOISE_SHARE * tracing.spacing <= tracing.noise <= MOST_NOISE_MM
    }


def _noise(rows: PointRows, paths: Indices) -> dict[int, Tracing]:
    """Estimate noise and spacing by path; noise 0 where nothing goes to and fro.

    Parameters
    ----------
    rows : PointRows
        More than four points each.
    paths : ndarray of intp, shape (m,)
        The path of every row.
    """
    z, owner = rows.points, rows.owner
    along = rows.along
    last = rows.bounds[1:][owner] - 1
    first = np.flatnonzero(np.arange(len(z)) + 3 <= last)
    normals = _third_differences(z, along, first)
    low = np.maximum(first - ACROSS, rows.bounds[:-1][owner[first]])
    high = np.minimum(first + 3 + ACROSS, last[first])
    across = z[high] - z[low]
    size = np.abs(across)
    residual = (normals * np.conj(across)).imag / np.where(size > 0, size, 1.0)
    residual[np.abs(residual) < EXACT_MM] = 0.0
    together = owner[first][1:] == owner[first][:-1]
    product = np.where(together, residual[1:] * residual[:-1], 0.0)
    steps = rows.steps
    path_of_residual, path_of_point = paths[owner[first]], paths[owner]
    found = {}
    for path in np.unique(paths).tolist():
        a, b = np.searchsorted(path_of_residual, [path, path + 1])
        p, q = np.searchsorted(path_of_point, [path, path + 1])
        own = np.abs(residual[a:b])
        seen = own[own > 0]
        signs = product[a : b - 1]
        pairs = np.count_nonzero(signs)
        wiggles = pairs and np.count_nonzero(signs < 0) > BACK_AND_FORTH * pairs
        noise = _median(seen) / NORMAL_MEDIAN if wiggles else 0.0
        own_steps = steps[p:q]
        found[path] = Tracing(noise, _median(own_steps[own_steps > 0]))
    return found


def _median(values: Floats) -> float:
    """Return the upper median, which is quicker than numpy's for a few values."""
    middle = len(values) // 2
    return float(np.partition(values, middle)[middle])


def _together(spacing: float) -> int:
    """Return how many points are averaged into one."""
    return max(round(FINEST_SPACING_MM / spacing), 1)


def _third_differences(z: Complexes, along: Floats, first: Indices) -> Complexes:
    """Return third divided differences, scaled to the noise of one point."""
    x = np.stack([along[first + j] for j in range(4)])
    weight = np.empty_like(x)
    for j in range(4):
        others = [k for k in range(4) if k != j]
        weight[j] = 1 / np.prod([x[j] - x[k] for k in others], axis=0)
    weight /= np.sqrt((weight**2).sum(axis=0))
    difference: Complexes = sum(
        (weight[j] * z[first + j] for j in range(4)),
        np.zeros(len(first), dtype=complex),
    )
    return difference


def _thinned(
    points: Complexes, vertex: Floats, spacing: float, *, closed: bool
) -> tuple[Complexes, Floats]:
    """Average very close points; the ends of an open run stay."""
    together = _together(spacing)
    inner = slice(None) if closed else slice(1, -1)
    count = len(points[inner])
    groups = count // together
    if together == 1 or groups < FEWEST_SIDES:
        return points, vertex
    starts = np.linspace(0, count, groups, endpoint=False).astype(np.intp)
    sizes = np.diff(np.append(starts, count))
    sums = np.asarray(np.add.reduceat(points[inner], starts), dtype=np.complex128)
    mean = sums / sizes
    middle = np.add.reduceat(vertex[inner], starts) / sizes
    if closed:
        return mean, middle
    return (
        np.concatenate([points[:1], mean, points[-1:]]),
        np.concatenate([vertex[:1], middle, vertex[-1:]]),
    )
