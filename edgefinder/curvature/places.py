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
    return Scan(s, curvature, _zones_of(middles, parts), width)


def find_places(leg: Leg, seen: Scan) -> tuple[Place, ...]:
    """Return the places of a leg that do not lie flat, in order.

    Where a curve begins, the window takes in part of the straight before it, so that
    every tight curve has a milder fringe. A fringe shorter than the window belongs
    to the worse place beside it. On a closed leg a place may run past the start: then
    it ends beyond the length.
    """
    if leg.profile.closed:
        seen = _from_a_flat_part(seen, leg.length)
    bounds, zones_between = _without_fringes(seen)
    places = []
    for (a, b), zone in zip(pairwise(bounds), zones_between, strict=True):
        start, end = float(seen.s[a]), float(seen.s[b])
        if zone == FLAT_ZONE or end - start < SHORTEST_PLACE_MM:
            continue
        signed = seen.curvature[a : b + 1]
        sharp = np.abs(signed)
        edge, along = _sharpest(leg, seen.s[a : b + 1], sharp)
        round_ = leg.length if start >= leg.length else 0.0
        places.append(
            Place(
                verdict_of(zone),
                is_inside(zone),
                float(signed[np.argmax(sharp)]),
                edge,
                edge.drawn_at(along),
                edge.is_mirrored_at(along),
                start - round_,
                end - round_,
                spot_at(leg, start - round_),
                spot_at(leg, end - round_),
                _integral(signed, seen.s[a : b + 1]),
            )
        )
    return tuple(sorted(places, key=lambda place: place.start))


def _from_a_flat_part(seen: Scan, length: float) -> Scan:
    """Begin a closed scan where it lies flat, so that no place is cut in two.

    Without a flat part it begins at the longest: that is nobody's fringe.
    """
    changes = _changes(seen.zone)
    if not len(changes) or seen.zone[0] == seen.zone[-1] == FLAT_ZONE:
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


def _sharpest(leg: Leg, s: Floats, sharp: Floats) -> tuple[BoundEdge, float]:
    """Find the edge of the sharpest of some stations, and how far along it lies.

    On a stretch of even curvature that is the station nearest to its middle. Of
    several equal stretches the one counts that is drawn, and nearest to its start.
    """
    equal = np.flatnonzero(sharp >= sharp.max() * (1 - SAME_SHARPNESS))
    found = []
    for stretch in np.split(equal, np.flatnonzero(equal[1:] - equal[:-1] > 1) + 1):
        middle = (s[stretch[0]] + s[stretch[-1]]) / 2
        at = int(stretch[np.argmin(np.abs(s[stretch] - middle))])
        found.append(leg.locate(float(s[at]) % leg.length))
    if len(found) == 1:
        return found[0]
    return min(
        found, key=lambda at: (at[0].is_mirrored_at(at[1]), at[0].drawn_at(at[1]))
    )


def _without_fringes(seen: Scan) -> tuple[list[int], list[int]]:
    """Give fringes the zone of the worse place beside them.

    Returns
    -------
    list of int
        Stations that part the zones, the first and the last included.
    list of int
        The zones between them.
    """
    bounds = [0, *_changes(seen.zone).tolist(), len(seen.zone)]
    found = seen.zone[bounds[:-1]].tolist()
    for _ in range(2):  # steam beside too tight beside a mitre
        at = seen.s[bounds].tolist()
        given = found.copy()
        for i, zone in enumerate(found):
            beside = found[max(i - 1, 0) : i + 2]
            worst = min(beside) if is_inside(zone) else max(beside)
            same_side = zone != FLAT_ZONE and worst not in {zone, FLAT_ZONE}
            if same_side and at[i + 1] - at[i] < seen.window:
                given[i] = worst
        kept = [i for i, zone in enumerate(given) if not i or zone != given[i - 1]]
        bounds = [*(bounds[i] for i in kept), bounds[-1]]
        found = [given[i] for i in kept]
    return bounds, found


def _changes(zone: Indices) -> Indices:
    """Return where another zone begins."""
    return np.flatnonzero(zone[1:] != zone[:-1]) + 1


def _integral(values: Floats, s: Floats) -> float:
    """Integrate what is linear between stations."""
    return float(np.dot(values[1:] + values[:-1], s[1:] - s[:-1]) / 2)


def _zones_of(curvature: Floats, parts: Zones) -> Indices:
    """Return the zones of many curvatures, most of them flat."""
    low, high = parts.bounds[FLAT_ZONE - 1 : FLAT_ZONE + 1]
    others = np.flatnonzero((curvature <= low) | (curvature > high))
    found = np.full(len(curvature), FLAT_ZONE)
    found[others] = parts.of(curvature[others])
    return found


def _cut_at_bounds(s: Floats, curvature: Floats, parts: Zones) -> tuple[Floats, Floats]:
    """Add the stations where the curvature crosses from one zone to another."""
    zone = _zones_of(curvature, parts)
    near = np.flatnonzero(zone[1:] != zone[:-1])
    k0, k1 = curvature[near, np.newaxis], curvature[near + 1, np.newaxis]
    bounds = parts.bounds[np.newaxis, :]
    row, column = np.nonzero((k0 - bounds) * (k1 - bounds) < 0)
    if not len(row):
        return s, curvature
    row = near[row]
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
