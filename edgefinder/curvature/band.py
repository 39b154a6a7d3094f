r"""The band that binding covers, and the feeds at which it lies flat.

Binding of finished width w on an edge of signed curvature k covers depths d from 0
(the edge) to w (the stitching line). A line at depth d is g(d) = 1 - k d times as long
as the edge. Tape fed at f mm per mm of edge strains its thread line at depth d by
g(d)/f - 1, which must stay between -e- (ease) and +e+ (stretch). A feed exists if and
only if max g / min g <= S = (1 + e+)/(1 - e-).

The straight-line law across the width is that of a net of inextensible threads at 45
degrees to the strip (F. T. Kilby, "Planar stress-strain relationships in woven
fabrics", Journal of the Textile Institute 54, 1963, T9; page from memory): along and
across the strip l^2 + m^2 = 2.

All functions take arrays of curvature, shape (n,), in 1/mm.
"""

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from edgefinder.binding.cloth import Limits
from edgefinder.geometry.segments import Floats

STRAIGHT_CURVATURE: Final = 1e-9
"""1/mm. Below it a place is straight: a radius of 1,000 km."""


@dataclass(frozen=True, slots=True)
class FeedRange:
    """The feeds at which a band lies flat; there is none where low > high."""

    low: Floats
    high: Floats


def feed_range(curvature: Floats, width: float, limits: Limits) -> FeedRange:
    """Return the feeds that keep every thread line within the limits.

    Parameters
    ----------
    curvature : ndarray, shape (n,)
    width : float
        Finished width in millimetres.
    limits : Limits

    Returns
    -------
    FeedRange
        max g/(1 + e+) <= f <= min g/(1 - e-).
    """
    at_stitching = 1 - curvature * width
    return FeedRange(
        np.maximum(1, at_stitching) / (1 + limits.stretch),
        np.minimum(1, at_stitching) / (1 - limits.ease),
    )


def nearest_feed(feeds: FeedRange) -> Floats:
    """Return the feed nearest to 1; the lower end where there is none."""
    return np.maximum(np.minimum(1.0, feeds.high), feeds.low)


def inside_bound(width: float, limits: Limits) -> float:
    """Return the sharpest inside curvature that lies flat: R >= w/(S - 1)."""
    return (limits.span - 1) / width


def outside_bound(width: float, limits: Limits) -> float:
    """Return the sharpest outside curvature that lies flat: R >= w/(S - 1) + w."""
    return (1 - 1 / limits.span) / width


def widest_flat(curvature: float, limits: Limits) -> float:
    """Return the widest tape that lies flat on a curve, in millimetres.

    Inside w <= R (S - 1), outside w <= R (1 - 1/S); infinite on a straight line.
    """
    if abs(curvature) < STRAIGHT_CURVATURE:
        return math.inf
    share = limits.span - 1 if curvature < 0 else 1 - 1 / limits.span
    return share / abs(curvature)


def least_radius(width: float, limits: Limits, *, inside: bool) -> float:
    """Return the smallest radius that a width lies flat on, in millimetres."""
    bound = inside_bound if inside else outside_bound
    return 1 / bound(width, limits)


def stretch_needed(curvature: float, width: float, ease: float) -> float | None:
    """Return the stretch that a place takes once the ease is used up.

    Returns
    -------
    float or None
        Inside (1 + |k| w)(1 - e-) - 1, outside (1 - e-)/(1 - k w) - 1, not below 0;
        None where there is no flat band (k w >= 1).
    """
    if curvature < 0:
        needed = (1 - curvature * width) * (1 - ease) - 1
    elif curvature * width < 1:
        needed = (1 - ease) / (1 - curvature * width) - 1
    else:
        return None
    return max(0.0, needed)


def flat_width(curvature: float, width: float, feed: float) -> float | None:
    """Return the flat width of bias tape that covers the depths 0 to w when laid.

    The integral over 0..w of dd / sqrt(2 - l(d)^2) with l(d) = (1 - k d)/f.

    Returns
    -------
    float or None
        Millimetres; None where the net would have to stretch beyond sqrt 2.
    """
    edge = 1 / (feed * math.sqrt(2))
    stitching = (1 - curvature * width) / (feed * math.sqrt(2))
    if not (abs(edge) < 1 and abs(stitching) < 1):
        return None
    if abs(curvature) < STRAIGHT_CURVATURE:
        return width / math.sqrt(2 - 1 / feed**2)
    return feed / curvature * (math.asin(edge) - math.asin(stitching))


def laid_width(curvature: float, width: float, feed: float) -> float | None:
    """Return the width that bias tape of a flat width covers once it is laid.

    Solves `flat_width` for the laid width; None where it has no solution.
    """
    edge = 1 / (feed * math.sqrt(2))
    if not edge < 1:
        return None
    if abs(curvature) < STRAIGHT_CURVATURE:
        return width * math.sqrt(2 - 1 / feed**2)
    angle = math.asin(edge) - width * curvature / feed
    if not abs(angle) < math.pi / 2:
        return None
    return (1 - feed * math.sqrt(2) * math.sin(angle)) / curvature
