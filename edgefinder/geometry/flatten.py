"""Polylines for pictures and booleans; never for a length that is reported."""

from collections.abc import Sequence
from typing import Final

import numpy as np

from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import (
    Complexes,
    Floats,
    Kind,
    Segments,
    concatenate,
    end_points,
    points_at,
)

_LONGEST_STEP: Final = np.pi / 2
"""Of an arc, in radians: a circle keeps four corners at any tolerance."""


def flatten(path: Path, tolerance: float) -> Complexes:
    """Replace a path by a polyline.

    Parameters
    ----------
    path : Path
    tolerance : float
        Largest distance between a chord and its curve in millimetres, > 0.

    Returns
    -------
    ndarray of complex128, shape (m,)
        Vertices, all on the path, without repeats; those of a closed path do not end
        with the first one again.

    Raises
    ------
    ValueError
        If the tolerance is not positive.
    """
    return flatten_all([path], tolerance)[0]


def flatten_all(paths: Sequence[Path], tolerance: float) -> tuple[Complexes, ...]:
    """Replace paths by polylines, as `flatten` does, in one pass."""
    if not tolerance > 0:
        raise ValueError(f"a flattening tolerance of {tolerance} mm")
    if not paths:
        return ()
    segments = concatenate([path.segments for path in paths])
    intervals = np.maximum(np.ceil(_steps(segments, tolerance)), 1).astype(np.intp)
    row = np.repeat(np.arange(len(segments)), intervals)
    step = np.arange(len(row)) - (np.cumsum(intervals) - intervals)[row]
    vertices = points_at(segments.take(row), step / intervals[row])
    last = np.cumsum([len(path.segments) for path in paths])
    ends = np.cumsum(intervals)[last - 1]
    return tuple(
        _without_repeats(path, own)
        for path, own in zip(paths, np.split(vertices, ends[:-1]), strict=True)
    )


def _without_repeats(path: Path, vertices: Complexes) -> Complexes:
    if not path.closed:
        vertices = np.append(vertices, end_points(path.segments.take([-1])))
    fresh = np.ones(len(vertices), dtype=np.bool_)
    fresh[1:] = vertices[1:] != vertices[:-1]
    if path.closed and fresh.sum() > 1:
        fresh[0] = vertices[0] != vertices[-1]
    return vertices[fresh]


def _steps(segments: Segments, tolerance: float) -> Floats:
    """Return how many equal steps of the parameter keep within the tolerance."""
    steps = np.ones(len(segments))
    cubic, arc = segments.kind == Kind.CUBIC, segments.kind == Kind.ARC
    # A chord over a step h is off by at most h^2/8 max|z''|, and z'' is a mean of six
    # times the second differences.
    bend = np.abs(np.diff(segments.control[cubic], n=2, axis=1)).max(axis=1, initial=0)
    steps[cubic] = np.sqrt(6 * bend / (8 * tolerance))
    # An ellipse is a circle of the larger half-axis a, compressed: off by at most
    # a (1 - cos(h/2)).
    _, u, v, span = segments.control[arc].T
    half_axis = (np.abs(v + 1j * u) + np.abs(v - 1j * u)) / 2
    off = np.minimum(tolerance / np.where(half_axis > 0, half_axis, np.inf), 1.0)
    widest = np.where(half_axis > 0, 4 * np.arcsin(np.sqrt(off / 2)), _LONGEST_STEP)
    widest = np.minimum(widest, _LONGEST_STEP)
    steps[arc] = np.abs(span.imag - span.real) / widest
    return steps
