"""Cutting, insetting, reflecting and joining heading profiles.

Every function returns a new open profile that starts at 0.
"""

from collections.abc import Sequence

import numpy as np

from edgefinder.geometry.profile import HeadingProfile
from edgefinder.geometry.segments import Floats


def stretch(profile: HeadingProfile, s0: float, s1: float) -> HeadingProfile:
    """Return the part from s0 to s1, carried on straight beyond its ends.

    Parameters
    ----------
    profile : HeadingProfile
        Open.
    s0, s1 : float
        Millimetres, s0 < s1; below 0 or above the length goes on along the tangent.
    """
    inside = (profile.s > s0) & (profile.s < s1)
    s = np.concatenate([[s0], profile.s[inside], [s1]])
    ends = np.interp([s0, s1], profile.s, profile.heading)
    heading = np.concatenate([ends[:1], profile.heading[inside], ends[1:]])
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
        Where the line runs round a curve, ds becomes (1 - k depth) ds; at a kink
        the two lines are carried on until they meet, which takes 2 tan(turn / 2)
        per unit of depth.
    """
    turns = np.diff(profile.heading)
    steps = np.diff(profile.s)
    lost = np.where(steps == 0, 2 * np.tan(turns / 2), turns)
    stations = np.concatenate([[0.0], np.cumsum(steps - depth * lost)])
    # Past an outside kink the line begins again further back: what lies between
    # is cut off.
    cut: Floats = np.minimum.accumulate(stations[::-1])[::-1]
    return np.maximum(cut, 0.0)


def at_stations(profile: HeadingProfile, stations: Floats) -> HeadingProfile:
    """Return the same headings at other stations, shape (m,), rising from 0."""
    return HeadingProfile(
        stations, profile.heading, closed=profile.closed, length=float(stations[-1])
    )


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
