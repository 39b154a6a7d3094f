"""Find the places along a run that do not lie flat."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from edgefinder.binding.cloth import GrainLimits
from edgefinder.binding.runs import BoundEdge, Leg
from edgefinder.curvature.verdict import (
    FLAT_ZONE,
    Verdict,
    Zones,
    is_inside,
    verdict_of,
    zones,
)
from edgefinder.geometry.profile import window_stations, windowed_curvature
from edgefinder.geometry.segments import Floats, Indices

SHORTEST_PLACE_MM = 0.1
"""A shorter place is the rounding of a drawing program: no tape can show it."""

SAME_SHARPNESS = 1e-6
"""Curvatures that differ by this share are equal when the sharpest point is named."""


@dataclass(frozen=True, slots=True, eq=False)
class Scan:
    """A leg seen at the tape's own scale, cut where the verdict changes.

    Parameters
    ----------
    s : ndarray, shape (m,)
        Distance along the leg in millimetres, rising.
    curvature : ndarray, shape (m,)
        Turning within one finished width, divided by it, in 1/mm.
    zone : ndarray of int, shape (m - 1,)
        Zone between two stations; curvature is linear there.
    window : float
        The finished width in millimetres.
    """

    s: Floats
    curvature: Floats
    zone: Indices
    window: float


@dataclass(frozen=True, slots=True, eq=False)
class Spot:
    """A point of a run on the edge that it lies on.

    Parameters
    ----------
    edge : BoundEdge
    at : float
        Distance along the drawn edge in millimetres.
    mirrored : bool
        Whether it lies on the mirror image of the drawn edge.
    """

    edge: BoundEdge
    at: float
    mirrored: bool


def spot_at(leg: Leg, s: float) -> Spot:
    """Return the point at a distance along a leg; a closed one goes round."""
    edge, along = leg.locate(s % leg.length if s > leg.length else s)
    return Spot(edge, edge.drawn_at(along), edge.is_mirrored_at(along))


@dataclass(frozen=True, slots=True, eq=False)
class Place:
    """Neighbouring points of one verdict.

    Parameters
    ----------
    verdict : Verdict
    inside : bool
    curvature : float
        Sharpest, signed, at the tape's scale, in 1/mm.
    edge : BoundEdge
        That the sharpest point lies on.
    at : float
        Distance of the sharpest point along the drawn edge.
    mirrored : bool
        Whether it lies on the mirror image of the drawn edge.
    start, end : float
        Distances along the leg.
    begins, finishes : Spot
        The same two on the drawn edges.
    turn : float
        Turning from start to end at the tape's scale, signed, in radians.
    """

    verdict: Verdict
    inside: bool
    curvature: float
    edge: BoundEdge
    at: float
    mirrored: bool
    start: float
    end: float
    begins: Spot
    finishes: Spot
    turn: float

    @property
    def length(self) -> float:
        """Millimetres along the bound edge."""
        return self.end - self.start

    @property
    def radius(self) -> float:
        """Millimetres, at the tape's own scale."""
        return 1 / abs(self.curvature)


def scan(leg: Leg, width: float, limits: GrainLimits) -> Scan:
    """Look at a leg at the scale of a finished width.

    Parameters
    ----------
    leg : Leg
    width : float
        Finished width in millimetres.
    limits : GrainLimits

    Returns
    -------
    Scan
    """
    s = window_stations(leg.profile, width)
    curvature = windowed_curvature(leg.profile, width, s)
    parts = zones(width, limits)
    s, curvature = _cut_at_bounds(s, curvature, parts)
    middles = (curvature[:-1] + curvature[1:]) / 2
    return Scan(s, curvature, parts.of(middles), width)


def find_places(leg: Leg, seen: Scan) -> tuple[Place, ...]:
    """Return the places of a leg that do not lie flat, in order.

    Where a curve begins, the window takes in part of the straight before it, so that
    every tight curve has a milder fringe. A fringe shorter than the window belongs
    to the worse place beside it. On a closed leg a place may run past the start: then
    it ends beyond the length.
    """
    if leg.profile.closed:
        seen = _from_a_flat_part(seen, leg.length)
    zones_of_intervals = _without_fringes(seen)
    changes = np.flatnonzero(np.diff(zones_of_intervals)) + 1
    bounds = [0, *changes.tolist(), len(zones_of_intervals)]
    places = []
    for a, b in pairwise(bounds):
        zone = int(zones_of_intervals[a])
        if zone == FLAT_ZONE or seen.s[b] - seen.s[a] < SHORTEST_PLACE_MM:
            continue
        edge, along = _sharpest(leg, seen, a, b)
        signed = seen.curvature[a : b + 1]
        start, end = float(seen.s[a]), float(seen.s[b])
        round_ = leg.length if start >= leg.length else 0.0
        places.append(
            Place(
                verdict_of(zone),
                is_inside(zone),
                float(signed[np.argmax(np.abs(signed))]),
                edge,
                edge.drawn_at(along),
                edge.is_mirrored_at(along),
                start - round_,
                end - round_,
                spot_at(leg, start - round_),
                spot_at(leg, end - round_),
                float(np.trapezoid(signed, seen.s[a : b + 1])),
            )
        )
    return tuple(sorted(places, key=lambda place: place.start))


def _from_a_flat_part(seen: Scan, length: float) -> Scan:
    """Begin a closed scan where it lies flat, so that no place is cut in two.

    Without a flat part it begins at the longest: that is nobody's fringe.
    """
    changes = np.flatnonzero(np.diff(seen.zone)) + 1
    if not len(changes):
        return seen
    first, last = changes[0], changes[-1]
    starts = np.array([*changes[:-1], last])
    ends = np.array([*seen.s[changes[1:]], length + seen.s[first]])
    is_flat = seen.zone[starts] == FLAT_ZONE
    best = np.lexsort((ends - seen.s[starts], is_flat))[-1]
    at = int(starts[best])
    return Scan(
        np.concatenate([seen.s[at:], seen.s[1 : at + 1] + length]),
        np.concatenate([seen.curvature[at:], seen.curvature[1 : at + 1]]),
        np.roll(seen.zone, -at),
        seen.window,
    )


def _sharpest(leg: Leg, seen: Scan, first: int, last: int) -> tuple[BoundEdge, float]:
    """Find the edge of the sharpest station between two, and how far along it lies.

    On a stretch of even curvature that is the station nearest to its middle. Of
    several equal stretches the one counts that is drawn, and nearest to its start.
    """
    sharp = np.abs(seen.curvature[first : last + 1])
    equal = first + np.flatnonzero(sharp >= sharp.max() * (1 - SAME_SHARPNESS))
    found = []
    for stretch in np.split(equal, np.flatnonzero(np.diff(equal) > 1) + 1):
        middle = (seen.s[stretch[0]] + seen.s[stretch[-1]]) / 2
        at = int(stretch[np.argmin(np.abs(seen.s[stretch] - middle))])
        found.append(leg.locate(float(seen.s[at]) % leg.length))
    return min(
        found, key=lambda at: (at[0].is_mirrored_at(at[1]), at[0].drawn_at(at[1]))
    )


def _without_fringes(seen: Scan) -> Indices:
    """Give fringes the zone of the worse place beside them."""
    zone = seen.zone.copy()
    for _ in range(2):  # steam beside too tight beside a mitre
        changes = np.flatnonzero(np.diff(zone)) + 1
        bounds = [0, *changes.tolist(), len(zone)]
        found = [int(zone[a]) for a in bounds[:-1]]
        for i, (a, b) in enumerate(pairwise(bounds)):
            beside = found[max(i - 1, 0) : i + 2]
            worst = min(beside) if is_inside(found[i]) else max(beside)
            same_side = found[i] != FLAT_ZONE and worst not in {found[i], FLAT_ZONE}
            if same_side and seen.s[b] - seen.s[a] < seen.window:
                zone[a:b] = worst
    return zone


def _cut_at_bounds(s: Floats, curvature: Floats, parts: Zones) -> tuple[Floats, Floats]:
    """Add the stations where the curvature crosses from one zone to another."""
    k0, k1 = curvature[:-1, np.newaxis], curvature[1:, np.newaxis]
    bounds = parts.bounds[np.newaxis, :]
    row, column = np.nonzero((k0 - bounds) * (k1 - bounds) < 0)
    if not len(row):
        return s, curvature
    at_bound = parts.bounds[column]
    share = (at_bound - curvature[row]) / (curvature[row + 1] - curvature[row])
    crossing = s[row] + share * (s[row + 1] - s[row])
    # Two crossings in one interval must be put in by their order.
    order = np.lexsort((crossing, row))
    places = row[order] + 1
    return (
        np.insert(s, places, crossing[order]),
        np.insert(curvature, places, at_bound[order]),
    )
