"""Verdicts, and the curvatures at which one gives way to the next."""

from bisect import bisect_left
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

import numpy as np

from edgefinder.binding.cloth import GrainLimits
from edgefinder.curvature.band import inside_bound, outside_bound
from edgefinder.geometry.segments import Floats, Indices


class Verdict(StrEnum):
    """How the tape lies at a place."""

    FLAT = "lies flat"
    STEAM = "ease and steam"
    TOO_TIGHT = "too tight"
    MITRE = "mitre"


_ZONES: Final = (
    Verdict.MITRE,
    Verdict.TOO_TIGHT,
    Verdict.STEAM,
    Verdict.FLAT,
    Verdict.STEAM,
    Verdict.TOO_TIGHT,
    Verdict.MITRE,
)
"""From the sharpest inside curve over straight to the sharpest outside curve."""

FLAT_ZONE: Final = 3

ROUNDING_SHARE: Final = 1e-9
"""A curve sharper than a bound by this share is on it: an arc drawn at exactly the
least radius lies flat, whatever the last digits of its curvature."""


STRAIGHT_PER_MM: Final = 1e-9
"""An edge that curves less, with a radius of a thousand kilometres, is straight: it
lies flat on any cloth, also on one that gives nothing at all without effort."""


@dataclass(frozen=True, slots=True, eq=False)
class Zones:
    """Ranges of signed curvature with one verdict each.

    Parameters
    ----------
    bounds : ndarray, shape (6,)
        Curvatures in 1/mm that part the seven zones, rising.
    """

    bounds: Floats

    def of(self, curvature: Floats) -> Indices:
        """Return the zone of every curvature, 0 to 6, shape (n,)."""
        # Most lie flat, and two comparisons are faster than a search.
        low, high = self.bounds[FLAT_ZONE - 1 : FLAT_ZONE + 1]
        others = np.flatnonzero((curvature <= low) | (curvature > high))
        found = np.full(len(curvature), FLAT_ZONE)
        found[others] = np.searchsorted(self.bounds, curvature[others])
        return found


def zones(width: float, limits: GrainLimits) -> Zones:
    """Return the zones for a finished width in millimetres.

    A place that turns more than a radian per width (radius below the width) has no
    flat band on an outside curve and is folded to a mitre on an inside one.
    """
    return Zones(np.array(_bounds(width, limits)))


def _bounds(width: float, limits: GrainLimits) -> list[float]:
    fold = 1 / width
    inside = [min(inside_bound(width, e), fold) for e in (limits.limit, limits.ok)]
    outside = [min(outside_bound(width, e), fold) for e in (limits.ok, limits.limit)]
    return [
        *(-_reached(k) for k in (fold, *inside)),
        *(_reached(k) for k in (*outside, fold)),
    ]


def _reached(bound: float) -> float:
    return max(bound * (1 + ROUNDING_SHARE), STRAIGHT_PER_MM)


def verdict_of(zone: int) -> Verdict:
    """Return the verdict of a zone."""
    return _ZONES[zone]


def is_inside(zone: int) -> bool:
    """Whether a zone is one of inside curves."""
    return zone < FLAT_ZONE


def verdict_at(curvature: float, width: float, limits: GrainLimits) -> Verdict:
    """Return the verdict at one signed curvature in 1/mm."""
    return verdict_of(bisect_left(_bounds(width, limits), curvature))
