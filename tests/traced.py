"""Exact lines traced as a person or a digitiser would: points in even steps, noise."""

import numpy as np

from edgefinder.geometry.measured import measure, points_at_lengths
from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import Complexes, line_segments


def points_along(
    path: Path, spacing: float, noise: float, seed: int, *, start: float | None = None
) -> Complexes:
    """Points about a spacing apart, off by normal noise in x and in y.

    On a closed path the first lies at a place of its own, so that no corner has a
    point but by chance.
    """
    rng = np.random.default_rng(seed)
    measured = measure(path)
    count = round(measured.length / spacing)
    if path.closed:
        first = rng.random() if start is None else start
        s = (np.arange(count) + first) * measured.length / count
    else:
        s = np.linspace(0.0, measured.length, count + 1)
    points = points_at_lengths(measured, s)
    return points + noise * (rng.normal(size=len(s)) + 1j * rng.normal(size=len(s)))


def through(points: Complexes, *, closed: bool) -> Path:
    """The polyline through points."""
    ends = np.roll(points, -1) if closed else points[1:]
    starts = points if closed else points[:-1]
    return Path(line_segments(starts, ends), closed)


def traced(path: Path, spacing: float, noise: float, seed: int) -> Path:
    """A path as a polyline of noisy points."""
    return through(points_along(path, spacing, noise, seed), closed=path.closed)
