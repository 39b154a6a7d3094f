"""Boxes of labels and points of drawn lines: which lie in which.

Arrays of boxes have shape (m, 4): left, bottom, right, top.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from edgefinder.geometry.segments import Complexes, Floats
from edgefinder.reports.chart_marks import Box

Flags = NDArray[np.bool_]


def reached(boxes: Floats, points: Complexes) -> Complexes:
    """Leave out the points that no box reaches."""
    left, low = boxes[:, :2].min(axis=0)
    right, top = boxes[:, 2:].max(axis=0)
    x, y = points.real, points.imag
    near: Complexes = points[(left < x) & (x < right) & (low < y) & (y < top)]
    return near


def nearest_in(box: Box, point: complex) -> complex:
    """Return the point of a box that is nearest to a point."""
    left, low, right, top = box
    return complex(min(max(point.real, left), right), min(max(point.imag, low), top))


def holds(box: Box, point: complex) -> bool:
    """Whether a point lies in a box."""
    left, low, right, top = box
    return left < point.real < right and low < point.imag < top


def holds_any(boxes: Floats, points: Complexes) -> Flags:
    """Whether any of the points lies in each box, shape (m,)."""
    x, y = points.real, points.imag
    left, low, right, top = boxes.T[..., np.newaxis]
    held: Flags = ((left < x) & (x < right) & (low < y) & (y < top)).any(axis=1)
    return held


def sampled(lines: Sequence[Complexes], step: float) -> Complexes:
    """Return points along polylines, none farther from the next than a step."""
    lines = [line for line in lines if len(line) > 1]
    if not lines:
        return np.empty(0, dtype=np.complex128)
    joined = np.concatenate(lines)
    ends = np.cumsum([len(line) for line in lines])
    sides = np.abs(np.diff(joined))
    sides[ends[:-1] - 1] = 1.0  # a gap, so that one line does not run into the next
    s = np.concatenate([[0.0], np.cumsum(sides)])
    starts = s[np.concatenate([[0], ends[:-1]])]
    lengths = s[ends - 1] - starts
    steps = np.ceil(lengths / step).astype(np.intp)
    counts = np.where(steps > 0, steps + 1, 0)
    row = np.repeat(np.arange(len(lines)), counts)
    place = np.arange(len(row)) - (np.cumsum(counts) - counts)[row]
    places = starts[row] + lengths[row] * (place / steps[row])
    points: Complexes = np.interp(places, s, joined)
    return points
