"""The windowed curvature of lines, at some places and all along.

Tape cannot follow a wiggle shorter than its own width, so a curve is judged by how far
the tangent turns within a window: kinks count, and nothing is ever infinite.

The turning within a window is the heading at its far end less the heading at its near
end. Seen from the middle of the window these are two copies of one line of headings,
moved half a window back and half a window on. Both are straight between nodes, so that
their difference is straight between the nodes of either, put in order: a merge, and no
step that could miss an extreme.

A closed line is cut open at its start and carried on by half a window at both ends.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal, Self

import numpy as np

from edgefinder.geometry.profile import HeadingProfile
from edgefinder.geometry.segments import Floats, Indices

AT_A_KINK_MM: Final = 1e-11
"""An end of a window that comes this near to a kink has it inside.

Above the rounding of stations. Smaller: where the ends come to two kinks at once,
rounding decides whether both count, or one, or neither.
"""


@dataclass(frozen=True, slots=True, eq=False)
class WindowedLines:
    """The windowed curvature of several lines, linear between stations.

    Parameters
    ----------
    s : ndarray, shape (m,)
        Middles of windows in millimetres, for each line rising from 0 to its length;
        the same one several times where an end of the window comes to a kink.
    curvature : ndarray, shape (m,)
        Turning within the window over its width, 1/mm, positive to the left.
    bounds : ndarray of intp, shape (n + 1,)
        Line i has the stations from ``bounds[i]`` up to ``bounds[i + 1]``.
    """

    s: Floats
    curvature: Floats
    bounds: Indices


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


def windowed_lines(profiles: Sequence[HeadingProfile], window: float) -> WindowedLines:
    """Return the windowed curvature all along some lines.

    Parameters
    ----------
    profiles : sequence of HeadingProfile
    window : float
        Millimetres, > 0. Where a line is shorter its own length is taken.

    Returns
    -------
    WindowedLines
        What `windowed_curvature` is at every place. Where
        kinks at both ends of a window come to one station, there both count in full.

    Raises
    ------
    ValueError
        If the window is not above 0.
    """
    lines = [_windowed(profile, window) for profile in profiles]
    bounds = np.zeros(len(lines) + 1, dtype=np.intp)
    np.cumsum([len(s) for s, _ in lines], out=bounds[1:])
    nothing = np.empty(0)
    return WindowedLines(
        np.concatenate([nothing, *(s for s, _ in lines)]),
        np.concatenate([nothing, *(curvature for _, curvature in lines)]),
        bounds,
    )


def curvature_range(profile: HeadingProfile, window: float) -> tuple[float, float]:
    """Return the least and the greatest windowed curvature of a line, 1/mm.

    Raises
    ------
    ValueError
        If the window is not above 0.
    """
    turned = _turns(profile, window).turned
    width = min(window, profile.length)
    if width == 0:
        return 0.0, 0.0
    return float(turned.min()) / width, float(turned.max()) / width


@dataclass(frozen=True, slots=True, eq=False)
class _Turns:
    """Windows one end of which is at a node: their middles, and what turns in them.

    First ``far`` of them whose far end is, then all whose near end is, each in order;
    shape (k,).
    """

    s: Floats
    turned: Floats
    far: int


def _turns(profile: HeadingProfile, window: float) -> _Turns:
    half = _width(profile, window) / 2
    if half == 0:
        return _Turns(np.zeros(1), np.zeros(1), 0)
    s, heading = profile.s, profile.heading
    if profile.closed:
        s, heading = _carried_on(profile, half)
    # The middle of the window when its far end, or its near end, is at a node.
    far, near = s - half, s + half
    if profile.closed:
        near[0], far[-1] = 0.0, profile.length  # without their rounding
    # A window within the line begins no earlier and ends no later than the line.
    first = int(far.searchsorted(near[0]))
    last = int(near.searchsorted(far[-1], "right"))
    middles = np.concatenate([far[first:], near[:last]])
    count = len(far) - first
    other_end = middles + (half + AT_A_KINK_MM)
    other_end[:count] = middles[:count] - (half + AT_A_KINK_MM)
    turned = np.interp(other_end, s, heading)
    np.subtract(heading[first:], turned[:count], out=turned[:count])
    turned[count:] -= heading[:last]
    return _Turns(middles, turned, count)


def _windowed(profile: HeadingProfile, window: float) -> tuple[Floats, Floats]:
    """Return the stations of one line, and the curvature there."""
    turns = _turns(profile, window)
    if profile.length == 0:
        return turns.s, turns.turned
    order = turns.s.argsort(kind="stable")  # two runs in order are merged
    if profile.closed:
        return turns.s[order], turns.turned[order] / min(window, profile.length)
    s, curvature = np.empty((2, len(order) + 4))
    s[2:-2], curvature[2:-2] = turns.s[order], turns.turned[order]
    # At the ends the window is shifted so that it stays inside: near end at the first
    # node, or far end at the last, and what comes to the other end counts.
    last = turns.far - 1
    s[0], s[1], s[-2], s[-1] = 0.0, turns.s[last + 1], turns.s[last], profile.length
    curvature[:2], curvature[-2:] = turns.turned[last + 1], turns.turned[last]
    curvature /= min(window, profile.length)
    return s, curvature


def _carried_on(profile: HeadingProfile, half: float) -> tuple[Floats, Floats]:
    """Carry a closed line on by half a window before its start and after its end."""
    s, heading = profile.s, profile.heading
    length, once_round = profile.length, profile.winding
    a = int(s.searchsorted(length - half, "right"))
    b = int(s.searchsorted(half, "left"))
    start = _heading_before(profile, a, length - half) - once_round
    end = _heading_before(profile, b, half) + once_round
    # The last node of a round is the first of the next.
    before, after = s[a:-1] - length, s[1:b] + length
    turned_before, turned_after = heading[a:-1] - once_round, heading[1:b] + once_round
    return (
        np.concatenate([[-half], before, s, after, [length + half]]),
        np.concatenate([[start], turned_before, heading, turned_after, [end]]),
    )


def _heading_before(profile: HeadingProfile, node: int, s: float) -> float:
    """Return the heading at a station between a node and the one before it."""
    s0, s1 = profile.s[node - 1 : node + 1].tolist()
    heading0, heading1 = profile.heading[node - 1 : node + 1].tolist()
    return float(heading0 + (heading1 - heading0) * ((s - s0) / (s1 - s0)))


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
