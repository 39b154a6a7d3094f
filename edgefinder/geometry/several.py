"""Several paths looked at in one pass.

The same values as `headings.joint_turnings` and `extent` give path by path: a nest
holds thousands of short outlines, and a numpy call for each of them costs more than the
numbers in it.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from edgefinder.geometry.extent import turning_points
from edgefinder.geometry.headings import end_headings, jumps, start_headings
from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import (
    Complexes,
    Floats,
    Indices,
    Segments,
    concatenate,
    end_points,
    points_at,
)


@dataclass(frozen=True, slots=True, eq=False)
class Several:
    """The segments of several paths, one after the other.

    Parameters
    ----------
    segments : Segments, n rows
    closed : ndarray of bool, shape (m,)
        Whether each path is closed.
    bounds : ndarray of intp, shape (m + 1,)
        Path i has the rows from bounds[i] up to bounds[i + 1], at least one.
    """

    segments: Segments
    closed: NDArray[np.bool_]
    bounds: Indices

    @property
    def firsts(self) -> Indices:
        """First row of every path, shape (m,)."""
        return self.bounds[:-1]

    @property
    def counts(self) -> Indices:
        """Number of rows of every path, shape (m,)."""
        return np.diff(self.bounds)

    @property
    def owners(self) -> Indices:
        """The path of every row, shape (n,)."""
        return np.repeat(np.arange(len(self.closed)), self.counts)


def put_together(paths: Sequence[Path]) -> Several:
    """Put the segments of paths into one table."""
    counts = [len(path.segments) for path in paths]
    return Several(
        concatenate([path.segments for path in paths]),
        np.array([path.closed for path in paths], dtype=np.bool_),
        np.cumsum([0, *counts]),
    )


def joint_turnings_of_all(several: Several) -> Floats:
    """Return the angles between each segment and the next of its path, shape (n,).

    Radians, as `headings.joint_turnings` says.
    """
    starts = start_headings(several.segments)
    before = _fill_forward(end_headings(several.segments), several)
    following = np.arange(1, len(starts) + 1)
    lasts = several.bounds[1:] - 1
    following[lasts] = several.firsts
    turned = jumps(before, starts[following])
    turned[lasts[~several.closed]] = 0
    return turned


def lower_lefts(several: Several) -> Complexes:
    """Return the lower left corners of the bounding boxes, complex, shape (m,)."""
    return _corners(several, np.minimum)


def upper_rights(several: Several) -> Complexes:
    """Return the upper right corners of the bounding boxes, complex, shape (m,)."""
    return _corners(several, np.maximum)


def _fill_forward(headings: Complexes, several: Several) -> Complexes:
    """Give points the heading of the segment before them on their own path."""
    known = np.where(headings != 0, np.arange(len(headings)), -1)
    latest = np.maximum.accumulate(known)
    first = np.repeat(several.firsts, several.counts)
    # Before the first known heading: on a closed path the last one, wrapped round.
    wrapped = np.repeat(latest[several.bounds[1:] - 1], several.counts)
    wrapped = np.where(np.repeat(several.closed, several.counts), wrapped, -1)
    latest = np.where(latest < first, wrapped, latest)
    filled: Complexes = np.where(latest >= first, headings[latest], 0)
    return filled


def _corners(several: Several, furthest: np.ufunc) -> Complexes:
    if not len(several.closed):
        return np.empty(0, dtype=np.complex128)
    across = _reached(several, 1, furthest)
    upwards = _reached(several, 1j, furthest)
    corners: Complexes = across + 1j * upwards
    return corners


def _reached(several: Several, direction: complex, furthest: np.ufunc) -> Floats:
    """Return the least or the greatest reach of each path in a direction."""
    row, t = turning_points(several.segments, direction)
    inside = points_at(several.segments.take(row), t)
    ends = end_points(several.segments)
    way = np.conj(direction)
    # Every row has a place at its start, so that every path has one.
    begin = np.searchsorted(row, several.firsts)
    reached: Floats = furthest(
        furthest.reduceat((inside * way).real, begin),
        furthest.reduceat((ends * way).real, several.firsts),
    )
    return reached
