"""Digitised runs cut into smooth stretches, from corner to corner."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from edgefinder.geometry.arclength import lengths
from edgefinder.geometry.dense_corners import MOST_POINTS, find_corners
from edgefinder.geometry.dense_runs import DenseRun
from edgefinder.geometry.path import Path
from edgefinder.geometry.point_rows import point_rows
from edgefinder.geometry.segments import Complexes, Floats, Indices, points_at

CONTEXT_MM: Final = 150.0
"""How far a closed run is carried on over its seam, so that it is smoothed there like
elsewhere. Larger: time."""

NEIGHBOUR_MM: Final = 20.0
"""How far an open run is carried on along what it joins, to see if it makes a corner
there: somewhat more than a half window."""


@dataclass(frozen=True, slots=True, eq=False)
class Stretch:
    """A smooth part of a run.

    Parameters
    ----------
    run : DenseRun
    points : ndarray of complex128, shape (n,)
        Those of the stretch, from ``begin`` to ``end``. A closed one is carried on
        over its seam on both sides. At a corner the first or last one is where both
        flanks meet.
    begin, end : int
    vertex : ndarray, shape (end - begin + 1,)
        Which vertex of the run each point is, counted in sides; past the number of
        sides on the second round of a closed run.
    is_closed : bool
        Whether it is a closed line without a corner.
    """

    run: DenseRun
    points: Complexes
    begin: int
    end: int
    vertex: Floats
    is_closed: bool

    @property
    def own(self) -> Complexes:
        """The points of the stretch itself."""
        return self.points[self.begin : self.end + 1]


def cut_into_stretches(
    paths: Sequence[Path],
    runs: Sequence[DenseRun],
    smooth: Sequence[Collection[float]],
) -> list[Stretch]:
    """Cut runs at their corners.

    Parameters
    ----------
    paths : sequence of Path
    runs : sequence of DenseRun
        Of these paths.
    smooth : sequence of collection of float
        For every run vertices that are known to be no corners.

    Returns
    -------
    list of Stretch
        In order along each run.
    """
    contexts = [_context(paths[run.path], run) for run in runs]
    rows = point_rows(
        [
            np.concatenate([before, run.points, after])
            for run, (before, after) in zip(runs, contexts, strict=True)
        ]
    )
    begins = rows.bounds[:-1] + [len(before) for before, _ in contexts]
    looked_at = np.zeros(len(rows.points), dtype=np.bool_)
    ends = begins + [len(run.points) for run in runs]
    for i, (run, begin, end) in enumerate(zip(runs, begins, ends, strict=True)):
        # A corner at the seam is one vertex: both sides of it are compared.
        over = min(MOST_POINTS, len(contexts[i][0])) if run.closed else 0
        looked_at[begin - over : end + over] = True
    corners = find_corners(
        rows,
        np.array([run.noise for run in runs]),
        np.array([run.spacing for run in runs]),
        looked_at,
    )
    firsts, lasts = (np.searchsorted(corners.at, bound) for bound in (begins, ends))
    found: list[Stretch] = []
    for i, run in enumerate(runs):
        own = slice(firsts[i], lasts[i])
        at, place = corners.at[own] - begins[i], corners.place[own]
        sharp = ~np.isin(run.vertex[at], list(smooth[i]))
        cut = _cut_closed if run.closed else _cut_open
        found += cut(run, at[sharp], place[sharp], contexts[i])
    return found


def _context(path: Path, run: DenseRun) -> tuple[Complexes, Complexes]:
    """Return points before and after a run, on what it joins."""
    if run.closed:
        count = min(len(run.points), int(np.ceil(CONTEXT_MM / run.spacing)))
        return run.points[-count:], run.points[:count]
    total = len(path.segments)
    before, after = int(run.rows[0]) - 1, int(run.rows[-1]) + 1
    if path.closed:
        before, after = before % total, after % total
    nothing = run.points[:0]
    count = int(np.ceil(NEIGHBOUR_MM / run.spacing)) + MOST_POINTS // 4
    return (
        _points_on(path, before, run.spacing)[:-1][-count:] if before >= 0 else nothing,
        _points_on(path, after, run.spacing)[1:][:count] if after < total else nothing,
    )


def _points_on(path: Path, row: int, spacing: float) -> Complexes:
    """Return points on a segment, about a spacing apart, with both ends."""
    segment = path.segments.take([row])
    count = max(int(lengths(segment)[0] / spacing), 1)
    t = np.linspace(0.0, 1.0, count + 1)
    return points_at(path.segments.take(np.full(len(t), row)), t)


def _cut_open(
    run: DenseRun, at: Indices, place: Complexes, _: tuple[Complexes, Complexes]
) -> list[Stretch]:
    # What a run joins is exact, and need not be smoothed into it: its own points tell
    # how it arrives there.
    points, last = run.points.copy(), len(run.points) - 1
    inner = (at > 0) & (at < last)
    points[at[inner]] = place[inner]
    return [
        Stretch(
            run, points[a : b + 1], 0, b - a, run.vertex[a : b + 1], is_closed=False
        )
        for a, b in pairwise([0, *at[inner].tolist(), last])
    ]


def _cut_closed(
    run: DenseRun,
    at: Indices,
    place: Complexes,
    context: tuple[Complexes, Complexes],
) -> list[Stretch]:
    count = len(run.points)
    points = run.points.copy()
    points[at] = place
    twice = np.concatenate([points, points])
    vertex = np.concatenate([run.vertex, run.vertex + len(run.rows)])
    if not len(at):
        before, after = context
        begin = len(before)
        everything = np.concatenate([before, points, after])
        return [
            Stretch(run, everything, begin, begin + count, vertex[: count + 1], True)
        ]
    cuts = [*at.tolist(), int(at[0]) + count]
    return [
        Stretch(run, twice[a : b + 1], 0, b - a, vertex[a : b + 1], is_closed=False)
        for a, b in pairwise(cuts)
    ]
