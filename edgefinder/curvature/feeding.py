"""How much tape the curves of a leg take."""

import numpy as np

from edgefinder.binding.cloth import GrainLimits, Limits
from edgefinder.curvature.band import feed_range, nearest_feed
from edgefinder.curvature.places import Scan
from edgefinder.curvature.verdict import Verdict, verdict_of
from edgefinder.geometry.segments import Floats


def feed_length(seen: Scan, width: float, limits: GrainLimits) -> float:
    """Return the tape fed along a leg: the integral of max(1, f*) ds.

    Parameters
    ----------
    seen : Scan
    width : float
        Finished width in millimetres.
    limits : GrainLimits

    Returns
    -------
    float
        Millimetres. f* is the feed nearest to 1 at which the tape lies flat within
        ``ok``, else within ``limit``; where neither has one, max g/(1 + e+).
    """
    flat = np.array([verdict_of(int(z)) is Verdict.FLAT for z in range(7)])[seen.zone]
    return float(
        _integral(seen, width, limits.ok)[flat].sum()
        + _integral(seen, width, limits.limit)[~flat].sum()
    )


def _integral(seen: Scan, width: float, limits: Limits) -> Floats:
    """Integrate max(1, f*) over every interval, exactly.

    Inside, f* rises with |k| in a straight line once it exceeds 1, and k is linear
    between stations: an interval on which f* passes 1 is a triangle, any other a
    trapezium.
    """
    # Where no feed exists the lower end counts, which nearest_feed returns; outside
    # curves never ask for more than the edge's own length.
    inside = np.minimum(seen.curvature, 0.0)
    needed = feed_range(inside, width, limits).low - 1
    a, b = needed[:-1], needed[1:]
    step = np.diff(seen.s)
    crossing = a * b < 0
    top = np.maximum(a, b)
    span = np.where(crossing, np.abs(b - a), 1.0)
    triangle = top * top / (2 * span)
    trapezium = (np.maximum(a, 0) + np.maximum(b, 0)) / 2
    fed: Floats = step * (1 + np.where(crossing, triangle, trapezium))
    return fed


def feed_at(curvature: float, width: float, limits: Limits) -> float:
    """Return the feed nearest to 1 at one curvature."""
    feeds = feed_range(np.array([curvature]), width, limits)
    return float(nearest_feed(feeds)[0])
