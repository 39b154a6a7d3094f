"""How much tape the curves of legs take.

Inside, the feed f* that is nearest to 1 rises in a straight line with |k| w once this
exceeds the stretch e+ of the cloth, f* = (1 + |k| w)/(1 + e+), up to the bound of the
zone; and k is linear between stations. So on every interval the feed above 1 is
integrated in closed form. Outside curves never ask for more tape than the edge is long.
"""

import numpy as np

from edgefinder.binding.cloth import GrainLimits, Limits
from edgefinder.curvature.band import feed_range, nearest_feed
from edgefinder.curvature.scanning import Scan
from edgefinder.curvature.verdict import FLAT_ZONE
from edgefinder.geometry.segments import Floats


def feed_lengths(seen: Scan, limits: GrainLimits) -> Floats:
    """Return the tape fed along every leg: the integral of max(1, f*) ds.

    Parameters
    ----------
    seen : Scan
        Of n legs.
    limits : GrainLimits
        Those that they were looked at with.

    Returns
    -------
    ndarray, shape (n,)
        Millimetres. f* is the feed nearest to 1 at which the tape lies flat within
        ``ok``, else within ``limit``; where neither has one, max g/(1 + e+).
    """
    lines = seen.lines
    # |k| w inside, at stations where any tape is fed above the length of the edge.
    least = -min(limits.ok.stretch, limits.limit.stretch) / seen.width
    bent = lines.curvature < least
    either = bent[1:] | bent[:-1]
    either[lines.bounds[1:-1] - 1] = False  # from one line to the next
    row = np.flatnonzero(either)
    bend0, bend1 = (-seen.width * lines.curvature[i] for i in (row, row + 1))
    low, high = np.minimum(bend0, bend1), np.maximum(bend0, bend1)
    # What lies flat is fed within ok, the rest within the limit.
    bound = -seen.width * float(seen.zones.bounds[FLAT_ZONE - 1])
    is_flat, is_bent = high <= bound, low >= bound
    fed = np.empty(len(row))
    for which, within in ((is_flat, limits.ok), (is_bent, limits.limit)):
        own = np.flatnonzero(which)
        fed[own] = _above_1(low[own], high[own], within)
    own = np.flatnonzero(~(is_flat | is_bent))
    low, high, middle = low[own], high[own], np.full(len(own), bound)
    flat = (middle - low) / (high - low)
    fed[own] = flat * _above_1(low, middle, limits.ok)
    fed[own] += (1 - flat) * _above_1(middle, high, limits.limit)
    fed *= lines.s[row + 1] - lines.s[row]
    owner = lines.bounds.searchsorted(row, "right") - 1
    lengths = np.array([leg.length for leg in seen.legs])
    return lengths + np.bincount(owner, fed, minlength=len(lengths))


def _above_1(low: Floats, high: Floats, limits: Limits) -> Floats:
    """Return the mean of f* - 1, not below 0, while |k| w rises evenly.

    With b above the stretch e+ f* - 1 is (b - e+)/(1 + e+).
    """
    first, last = low - limits.stretch, high - limits.stretch
    mean = (first + last) / (2 * (1 + limits.stretch))
    begins = np.flatnonzero(first < 0)  # part of the way
    over, rise = np.maximum(last[begins], 0.0), (last - first)[begins]
    share = over * over / (2 * (1 + limits.stretch))
    mean[begins] = share / np.where(rise > 0, rise, 1.0)
    return mean


def feed_at(curvature: float, width: float, limits: Limits) -> float:
    """Return the feed nearest to 1 at one curvature."""
    feeds = feed_range(np.array([curvature]), width, limits)
    return float(nearest_feed(feeds)[0])
