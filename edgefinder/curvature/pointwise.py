"""The exact curvature of a finished edge at a point, without a window."""

import numpy as np

from edgefinder.curvature.places import Place
from edgefinder.geometry.curvature import curvatures_at
from edgefinder.geometry.measured import locate

STRAIGHT_RADIUS_MM = 1e6
"""A kilometre: a point with a larger radius is straight."""

CUSP_SLOPE = 1e-6
"""A set-in line that takes less than this share of the drawn length has no radius."""


def point_radius(place: Place) -> float | None:
    """Return the radius of the finished edge at the sharpest point of a place.

    Parameters
    ----------
    place : Place

    Returns
    -------
    float or None
        Millimetres. None where the edge is straight there, where it was traced by
        hand (its points are noisy), or where nothing is left of the curve.

    Notes
    -----
    Set in by an allowance a, a line of curvature k has the curvature k / (1 - k a) and
    takes 1 - k a of the length; that share is read from the stations of the two lines.
    """
    finished = place.edge.finished
    if finished.edge.digitised is not None:
        return None
    row, t = locate(finished.edge.path, np.array([place.at]))
    segments = finished.edge.path.path.segments.take(row)
    curvature = abs(float(curvatures_at(segments, t)[0]))
    share = _share_left(finished.drawn, finished.stations, place.at)
    if curvature * STRAIGHT_RADIUS_MM < 1 or share < CUSP_SLOPE:
        return None
    return share / curvature


def _share_left(drawn: np.ndarray, stations: np.ndarray, at: float) -> float:
    """Return how much finished length there is per drawn length at a place."""
    steps = np.diff(drawn)
    middles = (drawn[:-1] + drawn[1:]) / 2
    rising = np.abs(steps) > 0
    if not rising.any():
        return 0.0
    nearest = np.argmin(np.where(rising, np.abs(middles - at), np.inf))
    return float(np.diff(stations)[nearest] / abs(steps[nearest]))
