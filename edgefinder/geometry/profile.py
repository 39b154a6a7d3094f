"""The heading of a line as a function of arc length."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import compress
from typing import Final

import numpy as np
from numpy.typing import NDArray

from edgefinder.geometry.arclength import lengths_between
from edgefinder.geometry.headings import (
    absolute_turnings,
    end_headings,
    jumps,
    start_headings,
    turnings_to,
)
from edgefinder.geometry.measured import MeasuredPath
from edgefinder.geometry.segments import (
    Complexes,
    Floats,
    Indices,
    Kind,
    Segments,
    concatenate,
)

Flags = NDArray[np.bool_]

MAX_TURN_RAD: Final = float(np.radians(0.5))
"""Turning between two nodes of a profile, on average over a segment.

Between nodes the heading is taken as linear, and is off there by the bend that is left:
a small part of this, nothing on a circle. Smaller: nodes cost time. Larger: tight
places are blunted.
"""

FEWEST_INTERVALS: Final = 8
"""Of a curved segment, however little it turns."""

MOST_INTERVALS: Final = 256
"""Of a curved segment: 128 degrees at `MAX_TURN_RAD`.

Smaller: curves that turn a long way get fewer nodes. Larger: a loop that turns by half
a turn at one spot, which more nodes do not mend, takes more of them.
"""

SAME_HEADING_RAD: Final = 1e-12
"""A jump below this is rounding, not a kink."""


@dataclass(frozen=True, slots=True, eq=False)
class HeadingProfile:
    """The tangent angle as a function of arc length, linear between nodes.

    Parameters
    ----------
    s : ndarray, shape (m,)
        Arc length in millimetres, rising from 0 to ``length``; the same value twice
        at a kink.
    heading : ndarray, shape (m,)
        Unwrapped tangent angle in radians.
    closed : bool
        A closed profile goes on with ``heading + winding`` after its end; a kink at
        the start is a double node at the end.
    length : float
        Millimetres.
    """

    s: Floats
    heading: Floats
    closed: bool
    length: float

    def __post_init__(self) -> None:
        for name in ("s", "heading"):
            values = np.asarray(getattr(self, name), dtype=np.float64)
            if values.flags.writeable:
                values = values.copy()
                values.flags.writeable = False
            object.__setattr__(self, name, values)
        if self.s.shape != self.heading.shape or not len(self.s):
            raise ValueError("one heading per station and at least one are needed")

    @property
    def winding(self) -> float:
        """The turning from the first node to the last, in radians.

        For a closed profile that is once round: 2 pi for a simple outline run
        anticlockwise.
        """
        return float(self.heading[-1] - self.heading[0])


def heading_profile(
    measured: MeasuredPath, max_turn: float = MAX_TURN_RAD
) -> HeadingProfile:
    """Return the heading of a path.

    Parameters
    ----------
    measured : MeasuredPath
    max_turn : float
        Turning between nodes in radians. Curved segments get nodes at even steps of
        their parameter, as many as that takes on average, within bounds.

    Returns
    -------
    HeadingProfile
        Exact at its nodes.
    """
    return heading_profiles([measured], [measured.path.segments], max_turn)[0]


def heading_profiles(
    paths: Sequence[MeasuredPath],
    tangents: Sequence[Segments],
    max_turn: float = MAX_TURN_RAD,
) -> tuple[HeadingProfile, ...]:
    """Return the headings of paths, which may be those of other segments.

    Parameters
    ----------
    paths : sequence of MeasuredPath
        Looked at together, in a few numpy calls.
    tangents : sequence of Segments
        For every path as many rows as it has. The heading at a place of the path is
        that of the row at the same parameter.
    max_turn : float
        As for `heading_profile`.
    """
    if not paths:
        return ()
    every = concatenate(tangents)
    headings = start_headings(every)
    has_heading = headings != 0
    known = _bounds(has_heading)
    counts = np.diff(known[_bounds([len(one) for one in tangents])])
    if not counts.sum():
        return tuple(_profile_of_a_point(one) for one in paths)
    segments = concatenate([one.path.segments for one in paths])
    if not has_heading.all():
        segments, every = segments.take(has_heading), every.take(has_heading)
        headings = headings[has_heading]
    start, end = _ends_of_rows(paths, has_heading, counts)
    row, t = _nodes(every, max_turn)
    s = _stations(segments, row, t, start, end)
    turned = turnings_to(every, t, row)
    joints = _joints(every, headings, counts, [one.path.closed for one in paths])
    whole = np.cumsum(turned[t == 1] + joints)  # the last node of every row
    at_start = np.concatenate([[0.0], whole[:-1]])
    bounds = _bounds(counts)
    firsts = np.minimum(bounds[:-1], len(every) - 1)  # a path may have no rows
    begin = np.angle(headings[firsts]) - at_start[firsts]
    heading = (np.repeat(begin, counts) + at_start)[row] + turned
    kept = np.ones(len(s), dtype=np.bool_)
    kept[1:] = (s[1:] != s[:-1]) | (abs(heading[1:] - heading[:-1]) > SAME_HEADING_RAD)
    kept[row.searchsorted(bounds[:-1][counts > 0])] = True
    s, heading, row = s[kept], heading[kept], row[kept]
    s.flags.writeable = heading.flags.writeable = False  # so that they are not copied
    nodes = row.searchsorted(bounds).tolist()
    last_joints = joints[bounds[1:] - 1].tolist()
    found = []
    for i, one in enumerate(paths):
        if not counts[i]:
            found.append(_profile_of_a_point(one))
            continue
        own = slice(nodes[i], nodes[i + 1])
        found.append(_profile(one, s[own], heading[own], last_joints[i]))
    return tuple(found)


def _bounds(counts: Sequence[int] | Indices | Flags) -> Indices:
    """Return the sums of all counts before each, and of all."""
    bounds = np.zeros(len(counts) + 1, dtype=np.intp)
    np.cumsum(counts, out=bounds[1:])
    return bounds


def _nodes(segments: Segments, max_turn: float) -> tuple[Indices, Floats]:
    """Return the row and the parameter of every node, both ends of rows included."""
    wanted = np.ceil(absolute_turnings(segments) / max_turn)
    intervals = np.clip(wanted, FEWEST_INTERVALS, MOST_INTERVALS).astype(np.intp)
    intervals[segments.kind == Kind.LINE] = 1
    row = np.repeat(np.arange(len(segments)), intervals + 1)
    first = np.cumsum(intervals + 1) - (intervals + 1)
    step = np.arange(len(row)) - first[row]
    return row, step / intervals[row]


def _stations(
    segments: Segments, row: Indices, t: Floats, start: Floats, end: Floats
) -> Floats:
    """Return the arc length of every node along its path.

    Parameters
    ----------
    segments : Segments, n rows
    row, t : ndarray, shape (m,)
        Of the nodes.
    start, end : ndarray, shape (n,)
        Arc length at which each segment begins and ends.
    """
    firsts = np.flatnonzero(t == 0)
    before = np.append(0.0, t[:-1])
    before[firsts] = 0.0
    run = lengths_between(segments, before, t, row)
    # Begin anew with every segment, so that no rounding of long ones stays.
    run[firsts[1:]] = -np.add.reduceat(run, firsts)[:-1]
    run = np.cumsum(run)
    run -= run[firsts][row]
    s = np.minimum(start[row] + run, end[row])
    s[firsts], s[t == 1] = start, end
    return s


def _profile_of_a_point(measured: MeasuredPath) -> HeadingProfile:
    nothing = np.zeros(1)
    return HeadingProfile(nothing, nothing, closed=measured.path.closed, length=0.0)


def _profile(
    measured: MeasuredPath, s: Floats, heading: Floats, last_joint: float
) -> HeadingProfile:
    """Make a profile of the nodes of all its segments."""
    closed = measured.path.closed
    if closed and abs(last_joint) > SAME_HEADING_RAD:
        s = np.append(s, s[-1])
        heading = np.append(heading, heading[-1] + last_joint)
    return HeadingProfile(s, heading, closed=closed, length=measured.length)


def _joints(
    headed: Segments, starts: Complexes, counts: Indices, closed: Sequence[bool]
) -> Floats:
    """Return the jumps after every segment of several paths."""
    lasts = np.cumsum(counts)[counts > 0] - 1
    after = np.arange(1, len(headed) + 1)
    after[lasts] = lasts + 1 - counts[counts > 0]
    joints = jumps(end_headings(headed), starts[after])
    joints[lasts[~np.array(closed)[counts > 0]]] = 0.0
    return joints


def _ends_of_rows(
    paths: Sequence[MeasuredPath], has_heading: Flags, counts: Indices
) -> tuple[Floats, Floats]:
    """Return where the segments with a heading begin and end; others are points."""
    bounds = _bounds(counts)
    own = counts > 0
    start = np.concatenate([one.stations[:-1] for one in paths])[has_heading]
    start[bounds[:-1][own]] = 0.0
    end = np.append(start[1:], 0.0)
    end[bounds[1:][own] - 1] = [one.length for one in compress(paths, own)]
    return start, end
