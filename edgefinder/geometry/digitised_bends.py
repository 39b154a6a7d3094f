"""The sharpest bends of smoothed lines, each way."""

from typing import Final

import numpy as np

from edgefinder.geometry.bends import STRAIGHT_RADIUS_MM, Bend, Bends
from edgefinder.geometry.profile import HeadingProfile
from edgefinder.geometry.segments import Floats
from edgefinder.geometry.windowed import windowed_curvature

BEND_WINDOW_MM: Final = 10.0
"""A bend is what turns within about one width of tape."""

STATION_STEP_MM: Final = 1.0
"""How closely bends are looked for; the smoothed line changes far more slowly."""

LEAST_TURN_RAD: Final = float(np.radians(3.0))
"""A bend that turns less from end to end cannot be told from the wave that smoothing
leaves beside a tighter one."""


def smoothed_bends(profile: HeadingProfile) -> Bends:
    """Return the sharpest bend of a smoothed line to the left and to the right.

    Parameters
    ----------
    profile : HeadingProfile

    Returns
    -------
    Bends
        None where the line turns less than three degrees that way at a stretch.
    """
    if profile.length == 0:
        return Bends(None, None)
    count = max(int(np.ceil(profile.length / STATION_STEP_MM)), 2)
    s = np.linspace(0.0, profile.length, count + 1)
    curvature = windowed_curvature(profile, BEND_WINDOW_MM, s)
    turn = curvature * (s[1] - s[0])
    if profile.closed:
        turn[-1] = 0.0
    return Bends(
        _sharpest(s, curvature, turn, closed=profile.closed),
        _sharpest(s, -curvature, -turn, closed=profile.closed),
    )


def _sharpest(
    s: Floats, curvature: Floats, turn: Floats, *, closed: bool
) -> Bend | None:
    is_left = curvature > 0
    group = np.cumsum(np.diff(is_left, prepend=is_left[:1]))
    if closed and is_left[0] == is_left[-1]:
        group[group == group[-1]] = group[0]
    turned = np.bincount(group, turn * is_left)[group]
    seen = np.where(is_left & (turned >= LEAST_TURN_RAD), curvature, 0.0)
    most = int(np.argmax(seen))
    if seen[most] * STRAIGHT_RADIUS_MM <= 1:
        return None
    return Bend(float(1 / seen[most]), float(s[most]))
