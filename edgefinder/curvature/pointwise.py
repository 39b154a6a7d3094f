"""The exact curvature of a finished edge at a point, without a window."""

from collections.abc import Sequence
from typing import Final

import numpy as np

from edgefinder.curvature.places import Place, Spot
from edgefinder.geometry.curvature import curvatures_at
from edgefinder.geometry.measured import locate_all
from edgefinder.geometry.segments import Floats

STRAIGHT_RADIUS_MM: Final = 1e6
"""A kilometre: a point with a larger radius is straight."""

CUSP_SLOPE: Final = 1e-6
"""A set-in line that takes less than this share of the drawn length has no radius."""


def point_radii(places: Sequence[Place]) -> tuple[float | None, ...]:
    """Return the radii of finished edges at the sharpest points of places.

    Parameters
    ----------
    places : sequence of Place

    Returns
    -------
    tuple of (float or None)
        Millimetres. None where the edge is straight there, where it was traced by
        hand (its points are noisy), or where nothing is left of the curve.

    Notes
    -----
    Set in by an allowance a, a line of curvature k has the curvature k / (1 - k a) and
    takes 1 - k a of the length; that share is read from the stations of the two lines.
    """
    spots = [place.worst for place in places]
    paths = [spot.edge.finished.edge.path for spot in spots]
    segments, t = locate_all(paths, [np.array([spot.at]) for spot in spots])
    curvatures = np.abs(curvatures_at(segments, t)).tolist()
    return tuple(_radius(spot, k) for spot, k in zip(spots, curvatures, strict=True))


def _radius(spot: Spot, curvature: float) -> float | None:
    finished = spot.edge.finished
    if finished.edge.digitised is not None:
        return None
    share = _share_left(finished.drawn, finished.stations, spot.at)
    if curvature * STRAIGHT_RADIUS_MM < 1 or share < CUSP_SLOPE:
        return None
    return share / curvature


def _share_left(drawn: Floats, stations: Floats, at: float) -> float:
    """Return how much finished length there is per drawn length at a place."""
    steps = np.diff(drawn)
    middles = (drawn[:-1] + drawn[1:]) / 2
    rising = np.abs(steps) > 0
    if not rising.any():
        return 0.0
    nearest = np.argmin(np.where(rising, np.abs(middles - at), np.inf))
    return float(np.diff(stations)[nearest] / abs(steps[nearest]))
