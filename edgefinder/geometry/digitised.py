"""Digitised outlines: the smooth line that was meant by many noisy points.

A stretch of short sides that wiggle (`edgefinder.geometry.dense_runs`) is cut at its
corners (`edgefinder.geometry.dense_corners`). Between two corners it becomes a straight
line, if all its points lie on one but for their noise, or else a smooth curve
(`edgefinder.geometry.smoothing_spline`). Long sides and drawn curves of the same path
stay as they are; a curve that meets one without a corner goes on along it.

The window over which the curve looks for its bend is chosen so that noise moves the
curvature by a few per cent everywhere: wide where the line is flat, narrow where it is
tight. With points every 2 mm and noise of 0.1 mm:

================================  =============================  ============
                                  radius                         length
================================  =============================  ============
ellipse 2 : 1, tightest 20 to     within 10 % at every place     within 0.1 %
100 mm
circle of 25 to 300 mm            within 8 %                     within 0.1 %
arc that goes on into a line      up to 15 % too sharp beside    within
without a corner                  the line                       0.15 %
================================  =============================  ============

Noise lengthens a polyline by about (noise/spacing)^2.
"""

from collections import defaultdict
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from edgefinder.geometry.arclength import lengths
from edgefinder.geometry.dense_corners import CORNER_JUMP_RAD
from edgefinder.geometry.dense_runs import DenseRun, Tracing, find_dense_runs
from edgefinder.geometry.dense_stretches import Stretch, cut_into_stretches
from edgefinder.geometry.headings import end_headings, start_headings
from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import (
    Floats,
    Indices,
    Segments,
    concatenate,
    end_points,
)
from edgefinder.geometry.smooth_stretches import SmoothStretch, smooth_stretches

TINY: Final = 1e-300
"""In place of a length of 0 that is divided by."""

BLUNT_SHARE: Final = 0.75
"""A corner at which the smoothed lines meet with a smaller share of the least jump was
none: two tight curves and their noise."""


@dataclass(frozen=True, slots=True, eq=False)
class SmoothedPath:
    """What was meant by a digitised path.

    Parameters
    ----------
    path : Path
        n segments; joints between those of one smooth stretch do not turn.
    tangents : Segments
        n rows whose tangents are those of the line, at the same parameters.
    source : ndarray of intp, shape (n,)
        The segment of the drawn path that each one stands for, the first of several.
    drawn : ndarray, shape (n,)
        Length of the drawn line that each one stands for.
    tracing : Tracing
        How it was traced.
    """

    path: Path
    tangents: Segments
    source: Indices
    drawn: Floats
    tracing: Tracing


def smooth_digitised(paths: Sequence[Path]) -> tuple[SmoothedPath | None, ...]:
    """Smooth the paths that are digitised.

    Parameters
    ----------
    paths : sequence of Path
        Worked on together.

    Returns
    -------
    tuple of SmoothedPath or None
        None for paths that are not digitised.
    """
    runs, tracings = find_dense_runs(paths)
    if not runs:
        return (None,) * len(paths)
    parts: dict[int, list[_Part]] = {index: [] for index in tracings}
    for stretch, lines in _smooth(paths, runs):
        parts[stretch.run.path].append(_part(paths[stretch.run.path], stretch, lines))
    taken: dict[int, list[Indices]] = {index: [] for index in tracings}
    for run in runs:
        taken[run.path].append(run.rows)
    return tuple(
        _assembled(path, parts[index], np.concatenate(taken[index]), tracings[index])
        if index in tracings
        else None
        for index, path in enumerate(paths)
    )


def _smooth(
    paths: Sequence[Path], runs: Sequence[DenseRun]
) -> list[tuple[Stretch, SmoothStretch]]:
    """Smooth runs; what then turns out to be no corner is smoothed over."""
    found = _smooth_once(paths, runs, [()] * len(runs))
    blunt = _blunt_corners(found)
    again = [run for run in runs if id(run) in blunt]
    if not again:
        return found
    return [one for one in found if id(one[0].run) not in blunt] + _smooth_once(
        paths, again, [blunt[id(run)] for run in again]
    )


def _smooth_once(
    paths: Sequence[Path],
    runs: Sequence[DenseRun],
    smooth: Sequence[Collection[float]],
) -> list[tuple[Stretch, SmoothStretch]]:
    stretches = cut_into_stretches(paths, runs, smooth)
    return list(zip(stretches, smooth_stretches(stretches), strict=True))


def _blunt_corners(
    found: Sequence[tuple[Stretch, SmoothStretch]],
) -> dict[int, set[float]]:
    """Return by run the corners at which the smoothed line hardly turns."""
    starts = start_headings(concatenate([own.tangents.take([0]) for _, own in found]))
    ends = end_headings(concatenate([own.tangents.take([-1]) for _, own in found]))
    by_run: defaultdict[int, list[int]] = defaultdict(list)
    for i, (stretch, _) in enumerate(found):
        if not stretch.is_closed:
            by_run[id(stretch.run)].append(i)
    blunt: defaultdict[int, set[float]] = defaultdict(set)
    for run, own in by_run.items():
        seam = [own[-1]] if found[own[0]][0].run.closed else []
        for before, after in pairwise([*seam, *own]):
            turn = np.angle(starts[after] * np.conj(ends[before]))
            if abs(turn) < BLUNT_SHARE * CORNER_JUMP_RAD:
                blunt[run].add(float(found[after][0].vertex[0]))
    return blunt


def drawn_length(smoothed: SmoothedPath) -> float:
    """Return the length of the line as it was drawn, in millimetres."""
    return float(smoothed.drawn.sum())


@dataclass(frozen=True, slots=True, eq=False)
class _Part:
    """Segments of a smoothed path, and where on the drawn one they begin, in sides."""

    at: Floats
    segments: Segments
    tangents: Segments
    drawn: Floats


def _part(path: Path, stretch: Stretch, lines: SmoothStretch) -> _Part:
    run = stretch.run
    corners = path.segments.control[run.rows, :2]
    sides = np.abs(corners[:, 1] - corners[:, 0])
    reached = np.concatenate([[0.0], np.cumsum(sides)])
    count = len(sides)
    first, last = float(stretch.vertex[0]), float(stretch.vertex[-1])
    begin, end = np.interp([first, last % count], np.arange(count + 1), reached)
    if last >= count:
        end += reached[-1]
    chords = np.abs(end_points(lines.segments) - lines.segments.control[:, 0])
    share = chords / max(float(chords.sum()), TINY)
    return _Part(
        run.rows[0] + lines.vertex,
        lines.segments,
        lines.tangents,
        (end - begin) * share,
    )


def _assembled(
    path: Path, parts: Sequence[_Part], taken: Indices, tracing: Tracing
) -> SmoothedPath:
    """Put smooth stretches and what was kept in the order of the drawn path."""
    count = len(path.segments)
    is_kept = np.ones(count, dtype=np.bool_)
    is_kept[taken] = False
    kept = np.flatnonzero(is_kept)
    segments = path.segments.take(kept)
    tables = [segments, *(part.segments for part in parts)]
    tangents = [segments, *(part.tangents for part in parts)]
    at = np.concatenate([kept, *(part.at for part in parts)])
    kept_lengths = lengths(segments) if len(kept) else np.empty(0)
    drawn = np.concatenate([kept_lengths, *(part.drawn for part in parts)])
    # A closed path begins at a segment that is kept: no run goes on over it.
    key = np.mod(at - kept[0], count) if path.closed and len(kept) else at
    order = np.argsort(key, kind="stable")
    return SmoothedPath(
        Path(concatenate(tables).take(order), path.closed),
        concatenate(tangents).take(order),
        np.floor(at[order]).astype(np.intp) % count,
        drawn[order],
        tracing,
    )
