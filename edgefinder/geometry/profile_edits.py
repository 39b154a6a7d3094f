"""Cutting, insetting, reflecting and joining heading profiles.

Every function returns a new open profile that starts at 0.
"""

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from edgefinder.geometry.profile import HeadingProfile
from edgefinder.geometry.segments import Floats, Indices

Flags = NDArray[np.bool_]

SAME_STATION_MM: Final = 1e-9
"""Stations nearer than this are one: an arc whose radius is the depth leaves a point,
and rounding must not make a line of it."""

NO_WAY_ROUND_RAD: Final = float(np.radians(170.0))
"""Lines before and after a bend that turns by more meet too far off, or never: nothing
is left of them. Nearer to a half turn: their meeting point is rounding noise."""


def heading_before(profile: HeadingProfile, s: float) -> float:
    """Return the heading at a station, before the kink if there is one."""
    at = int(np.searchsorted(profile.s, s, side="left"))
    if at < len(profile.s) and profile.s[at] == s:
        return float(profile.heading[at])
    return float(np.interp(s, profile.s, profile.heading))


def heading_after(profile: HeadingProfile, s: float) -> float:
    """Return the heading at a station, after the kink if there is one."""
    at = int(np.searchsorted(profile.s, s, side="right")) - 1
    if at >= 0 and profile.s[at] == s:
        return float(profile.heading[at])
    return float(np.interp(s, profile.s, profile.heading))


def stretch(profile: HeadingProfile, s0: float, s1: float) -> HeadingProfile:
    """Return the part from s0 to s1, carried on straight beyond its ends.

    Parameters
    ----------
    profile : HeadingProfile
        Open.
    s0, s1 : float
        Millimetres, s0 < s1; below 0 or above the length goes on along the tangent.
        A kink at either of them is left out.
    """
    nodes = profile.s
    is_whole = s0 == 0 and s1 == profile.length and len(nodes) > 1
    if is_whole and nodes[0] < nodes[1] and nodes[-2] < nodes[-1]:
        return profile
    inside = (nodes > s0) & (nodes < s1)
    s = np.concatenate([[s0], nodes[inside], [s1]])
    first, last = heading_after(profile, s0), heading_before(profile, s1)
    heading = np.concatenate([[first], profile.heading[inside], [last]])
    return HeadingProfile(s - s0, heading, closed=False, length=float(s1 - s0))


def inset_stations(profile: HeadingProfile, depth: float) -> Floats:
    """Return how far along the line at a depth every node of the profile comes.

    Parameters
    ----------
    profile : HeadingProfile
    depth : float
        Millimetres to the left.

    Returns
    -------
    ndarray, shape (m,)
        Where the line runs round a curve, ds becomes (1 - k depth) ds; at a kink,
        and at a bend tighter than the depth, the two lines are carried on until they
        meet, which at a kink takes 2 tan(turn / 2) per unit of depth. All 0 where
        nothing of the line is left.
    """
    turns = np.diff(profile.heading)
    steps = np.diff(profile.s)
    inside_kink = (steps == 0) & (turns < 0)
    moved = steps - depth * np.where(inside_kink, 2 * np.tan(turns / 2), turns)
    bends = _backward_bends(moved < 0, closed=profile.closed)
    for bend in bends:
        angle = turns[bend].sum()
        if angle > NO_WAY_ROUND_RAD:
            return np.zeros(len(profile.s))
        # Between straight lines the arc of radius r and this angle would lose
        # (depth - r) angle; the lines that meet lose this. A kink is the case r = 0.
        moved[bend] *= 2 * np.tan(angle / 2) / angle
    stations = np.concatenate([[0.0], np.cumsum(moved)])
    return _cut_where_lines_meet(stations, bends)


def _backward_bends(back: Flags, *, closed: bool) -> list[Indices]:
    """List the steps of every bend along which the line would run backwards."""
    found = np.flatnonzero(back)
    if not len(found):
        return []
    bends = np.split(found, np.flatnonzero(np.diff(found) > 1) + 1)
    if closed and len(bends) > 1 and back[0] and back[-1]:
        return [*bends[1:-1], np.concatenate([bends[-1], bends[0]])]
    return bends


def _cut_where_lines_meet(stations: Floats, bends: list[Indices]) -> Floats:
    """Cut off as much before as after every bend that runs backwards."""
    length = float(stations[-1])
    low = np.full(len(stations), 0.0)
    high = np.full(len(stations), max(length, 0.0))
    for bend in bends:
        first, last = bend[0], bend[-1] + 1
        if last <= first:  # across the start, where the two lines meet then
            stations = stations - (stations[last] + stations[first] - length) / 2
            high[: last + 1] = 0.0
            low[first:] = length
        else:
            low[first : last + 1] = (stations[first] + stations[last]) / 2
            high[first : last + 1] = low[first]
    stations = np.clip(
        stations, np.maximum.accumulate(low), np.minimum.accumulate(high[::-1])[::-1]
    )
    # Lines that are too short for two bends vanish between them.
    cut: Floats = np.minimum.accumulate(stations[::-1])[::-1]
    return np.maximum(cut, 0.0)


def at_stations(profile: HeadingProfile, stations: Floats) -> HeadingProfile:
    """Return the same headings at other stations, shape (m,), rising from 0.

    Where several come to lie on one station they are one kink.
    """
    steps = np.diff(stations) > SAME_STATION_MM
    begins = np.append(True, steps)
    ends = begins | np.append(steps, True)
    first = np.maximum.accumulate(np.where(begins, np.arange(len(begins)), 0))
    s, heading = stations[first[ends]], profile.heading[ends]
    if profile.closed and len(s) > 1 and s[1] == 0:  # a kink at the start goes last
        s, end = s[1:], heading[-1] + heading[1] - heading[0]
        if len(s) > 1 and s[-2] == s[-1]:
            heading = np.append(heading[1:-1], end)
        else:
            s, heading = np.append(s, s[-1]), np.append(heading[1:], end)
    return HeadingProfile(s, heading, closed=profile.closed, length=float(s[-1]))


def reflect(profile: HeadingProfile) -> HeadingProfile:
    """Return the mirror image, run so that the same side stays on the left."""
    s = (profile.length - profile.s)[::-1]
    heading = (profile.heading[-1] - profile.heading)[::-1]
    return HeadingProfile(s, heading, closed=profile.closed, length=profile.length)


def join(
    profiles: Sequence[HeadingProfile], turns: Sequence[float], *, closed: bool = False
) -> HeadingProfile:
    """Put profiles one after the other.

    Parameters
    ----------
    profiles : sequence of HeadingProfile
        Open.
    turns : sequence of float
        Jump of the heading between each and the next, in radians; for a closed
        result one more, from the last back to the first.
    closed : bool
    """
    s: list[Floats] = []
    heading: list[Floats] = []
    at, angle = 0.0, 0.0
    for i, profile in enumerate(profiles):
        s.append(profile.s + at)
        heading.append(profile.heading - profile.heading[0] + angle)
        at = float(s[-1][-1])
        angle = float(heading[-1][-1]) + (turns[i] if i < len(turns) else 0.0)
    if closed:  # the jump back to the first node is a kink at the end
        s.append(np.array([at]))
        heading.append(np.array([angle]))
    return HeadingProfile(
        np.concatenate(s), np.concatenate(heading), closed=closed, length=at
    )


def cut_open(profile: HeadingProfile, s: float) -> HeadingProfile:
    """Cut a closed profile open at a station, from 0 up to but not its length.

    A kink at the station is left out: the result begins after and ends before it.
    """
    after = profile.s > s
    before = profile.s < s
    first, last = heading_after(profile, s), heading_before(profile, s)
    tail_s, tail_heading = profile.s[after], profile.heading[after]
    if s == 0:  # the last nodes are those of the first, once round
        kink = np.flatnonzero(tail_s == profile.length)
        keep = np.delete(np.arange(len(tail_s)), kink[1:])
        stations = np.concatenate([[0.0], tail_s[keep]])
        headings = np.concatenate([[first], tail_heading[keep]])
    else:
        once_round = profile.winding
        stations = np.concatenate(
            [
                [0.0],
                tail_s - s,
                profile.s[before] + profile.length - s,
                [profile.length],
            ]
        )
        headings = np.concatenate(
            [
                [first],
                tail_heading,
                profile.heading[before] + once_round,
                [last + once_round],
            ]
        )
    return HeadingProfile(stations, headings, closed=False, length=profile.length)


def kinks(profile: HeadingProfile, least: float) -> tuple[Floats, Floats]:
    """Find jumps of the heading.

    Parameters
    ----------
    profile : HeadingProfile
    least : float
        Smallest jump in radians, either way.

    Returns
    -------
    stations : ndarray, shape (k,)
    turns : ndarray, shape (k,)
    """
    turns = np.diff(profile.heading)
    found = np.flatnonzero((np.diff(profile.s) == 0) & (np.abs(turns) >= least))
    return profile.s[found], turns[found]
