"""The heading of a line as a function of arc length, and its windowed curvature.

Tape cannot follow a wiggle shorter than its own width, so a curve is judged by how far
the tangent turns within a window: kinks count, and nothing is ever infinite.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final, Literal, Self

import numpy as np

from edgefinder.geometry.arclength import lengths_to
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

KINK_STEP_MM: Final = 1e-6
"""How far before and after a kink `window_stations` looks.

Above the rounding of stations, far below anything that can be cut. Smaller: which side
of the kink is meant is left to rounding.
"""


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
            values = np.array(getattr(self, name), dtype=np.float64)
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
    firsts = np.cumsum([0, *(len(one) for one in tangents)])
    lines = [np.flatnonzero(headings[a:b]) for a, b in pairwise(firsts.tolist())]
    counts = np.array([len(rows) for rows in lines])
    if not counts.sum():
        return tuple(_profile_of_a_point(one) for one in paths)
    pairs = list(zip(paths, lines, strict=True))
    segments = concatenate([one.path.segments.take(rows) for one, rows in pairs])
    headed, headings = every.take(headings != 0), headings[headings != 0]
    ends = [_ends_of_rows(one, rows) for one, rows in pairs]
    start, end = (np.concatenate(part) for part in zip(*ends, strict=True))
    row, t = _nodes(headed, max_turn)
    s = np.where(t == 1, end[row], start[row] + lengths_to(segments.take(row), t))
    turned = turnings_to(headed.take(row), t)
    joints = _joints(headed, headings, counts, [one.path.closed for one in paths])
    whole = np.cumsum(turned[t == 1] + joints)  # the last node of every row
    at_start = np.concatenate([[0.0], whole[:-1]])
    begin = np.angle(headings)
    bounds = np.concatenate([[0], np.cumsum(counts)])
    nodes = np.searchsorted(row, bounds)
    found = []
    for i, one in enumerate(paths):
        if not counts[i]:
            found.append(_profile_of_a_point(one))
            continue
        own, first = slice(nodes[i], nodes[i + 1]), bounds[i]
        heading = begin[first] - at_start[first] + at_start[row[own]] + turned[own]
        found.append(_profile(one, s[own], heading, joints[bounds[i + 1] - 1]))
    return tuple(found)


def windowed_curvature(profile: HeadingProfile, window: float, s: Floats) -> Floats:
    """Return the turning within a window, divided by the window.

    Parameters
    ----------
    profile : HeadingProfile
    window : float
        Millimetres, > 0. Where the line is shorter its own length is taken.
    s : ndarray, shape (m,)
        Middle of the window, in millimetres. A closed profile wraps round; at the ends
        of an open one the window is shifted so that it stays inside.

    Returns
    -------
    ndarray, shape (m,)
        1/mm, positive to the left. A kink at an end of the window counts in full.
    """
    width = _width(profile, window)
    if width == 0:
        return np.zeros(np.shape(s))
    low = np.asarray(s, dtype=np.float64) - width / 2
    if not profile.closed:
        low = np.clip(low, 0.0, profile.length - width)
    headings = _SplitHeading.of(profile)
    turned = headings.at(low + width, "right") - headings.at(low, "left")
    return turned / width


def window_stations(profile: HeadingProfile, window: float) -> Floats:
    """Return where the windowed curvature can be at its largest or smallest.

    Parameters
    ----------
    profile : HeadingProfile
    window : float
        Millimetres, > 0.

    Returns
    -------
    ndarray, shape (m,)
        Middles of windows, sorted, from 0 to the length: the nodes, and every place
        where an end of the window reaches a node (just before and just after kinks).
        Between two of them the windowed curvature is monotone.
    """
    half = _width(profile, window) / 2
    nodes = profile.s
    double = nodes[1:][np.diff(nodes) == 0]
    kinks = np.concatenate([double - KINK_STEP_MM, double + KINK_STEP_MM])
    reached = np.concatenate([nodes, kinks])
    before, after = reached - half, reached + half
    if profile.closed and profile.length > 0:
        # No window is longer than the line, so that one round is enough.
        before = np.where(before < 0, before + profile.length, before)
        after = np.where(after >= profile.length, after - profile.length, after)
        before[before >= profile.length] -= profile.length
    every = np.concatenate([before, after, nodes, [0.0, profile.length]])
    every = every[(every >= 0) & (every <= profile.length)]
    every.sort()
    found: Floats = every[np.append(True, every[1:] != every[:-1])]
    return found


def _nodes(segments: Segments, max_turn: float) -> tuple[Indices, Floats]:
    """Return the row and the parameter of every node, both ends of rows included."""
    wanted = np.ceil(absolute_turnings(segments) / max_turn)
    intervals = np.clip(wanted, FEWEST_INTERVALS, MOST_INTERVALS).astype(np.intp)
    intervals[segments.kind == Kind.LINE] = 1
    row = np.repeat(np.arange(len(segments)), intervals + 1)
    first = np.cumsum(intervals + 1) - (intervals + 1)
    step = np.arange(len(row)) - first[row]
    return row, step / intervals[row]


def _profile_of_a_point(measured: MeasuredPath) -> HeadingProfile:
    nothing = np.zeros(1)
    return HeadingProfile(nothing, nothing, closed=measured.path.closed, length=0.0)


def _profile(
    measured: MeasuredPath, s: Floats, heading: Floats, last_joint: float
) -> HeadingProfile:
    """Make a profile of the nodes of all its segments."""
    closed = measured.path.closed
    if closed:
        s = np.append(s, measured.length)
        heading = np.append(heading, heading[-1] + last_joint)
    # Rounding must not make stations fall.
    s = np.minimum(np.maximum.accumulate(s), measured.length)
    kept = np.ones(len(s), dtype=np.bool_)
    kept[1:] = (np.diff(s) > 0) | (np.abs(np.diff(heading)) > SAME_HEADING_RAD)
    return HeadingProfile(s[kept], heading[kept], closed=closed, length=measured.length)


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


def _ends_of_rows(measured: MeasuredPath, lines: Indices) -> tuple[Floats, Floats]:
    """Return where the segments named begin and end; the others are points."""
    start = measured.stations[lines]
    start[:1] = 0.0
    end = np.append(start[1:], measured.length)[: len(lines)]
    return start, end


def _width(profile: HeadingProfile, window: float) -> float:
    if not window > 0:
        raise ValueError(f"a window of {window} mm")
    return min(window, profile.length)


@dataclass(frozen=True, slots=True, eq=False)
class _SplitHeading:
    """A heading as a line without jumps and the jumps of its kinks.

    ``s`` and ``smooth``, shape (m,), have every station once; ``kinks`` are the
    stations of the jumps, shape (j,), and ``jumped`` what all up to one add up to,
    shape (j + 1,).
    """

    profile: HeadingProfile
    s: Floats
    smooth: Floats
    kinks: Floats
    jumped: Floats

    @classmethod
    def of(cls, profile: HeadingProfile) -> Self:
        """Take the jumps out of the heading of a profile."""
        again = np.flatnonzero(profile.s[1:] == profile.s[:-1])
        jumps = profile.heading[again + 1] - profile.heading[again]
        jumped = np.concatenate([[0.0], np.cumsum(jumps)])
        if not len(again):
            return cls(profile, profile.s, profile.heading, profile.s[:0], jumped)
        smooth = profile.heading - np.repeat(
            jumped, np.diff(again + 1, prepend=0, append=len(profile.s))
        )
        once = np.append(True, profile.s[1:] != profile.s[:-1])
        return cls(profile, profile.s[once], smooth[once], profile.s[again + 1], jumped)

    def at(self, s: Floats, side: Literal["left", "right"]) -> Floats:
        """Return the heading just before s (``left``) or just after it (``right``)."""
        length, x = self.profile.length, s
        rounds: Floats | float = 0.0
        if self.profile.closed:
            # "Before" the start is the end of the round before.
            rounds = s / length
            rounds = np.floor(rounds) if side == "right" else np.ceil(rounds) - 1
            x = s - rounds * length
        x = np.clip(x, 0.0, length)
        heading = np.interp(x, self.s, self.smooth)
        if len(self.kinks):
            heading += self.jumped[np.searchsorted(self.kinks, x, side=side)]
        found: Floats = heading + rounds * self.profile.winding
        return found
