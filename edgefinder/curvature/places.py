"""The places along legs that do not lie flat."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from edgefinder.binding.runs import BoundEdge, Leg
from edgefinder.curvature.scanning import Scan
from edgefinder.curvature.trouble import Trouble, find_trouble
from edgefinder.curvature.verdict import Verdict, is_inside, verdict_of
from edgefinder.geometry.segments import Floats

SAME_SHARPNESS: Final = 1e-6
"""Curvatures that differ by this share are equal when the sharpest point is named."""


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
    leg : Leg
        That it lies on.
    start, end : float
        Distances along the leg in millimetres; on a closed one the end may lie past
        its length.
    sharpest : float
        Distance along the leg of the sharpest point; on a stretch of even curvature
        that is its middle.
    curvature : float
        There, signed, at the tape's scale, in 1/mm.
    turn : float
        Turning from start to end at the tape's scale, signed, in radians.
    """

    verdict: Verdict
    inside: bool
    leg: Leg
    start: float
    end: float
    sharpest: float
    curvature: float
    turn: float

    @property
    def worst(self) -> Spot:
        """The sharpest point."""
        return spot_at(self.leg, self.sharpest)

    @property
    def begins(self) -> Spot:
        """The point at its start."""
        return spot_at(self.leg, self.start)

    @property
    def finishes(self) -> Spot:
        """The point at its end."""
        return spot_at(self.leg, self.end)

    @property
    def edge(self) -> BoundEdge:
        """The edge that the sharpest point lies on."""
        return self.worst.edge

    @property
    def at(self) -> float:
        """Distance of the sharpest point along the drawn edge, in millimetres."""
        return self.worst.at

    @property
    def mirrored(self) -> bool:
        """Whether the sharpest point lies on the mirror image of the drawn edge."""
        return self.worst.mirrored

    @property
    def length(self) -> float:
        """Millimetres along the bound edge."""
        return self.end - self.start

    @property
    def radius(self) -> float:
        """Millimetres, at the tape's own scale."""
        return 1 / abs(self.curvature)


def find_places(seen: Scan) -> tuple[tuple[Place, ...], ...]:
    """Return the places of every leg that do not lie flat, in order."""
    return tuple(
        tuple(_place(seen, number, one) for one in troubles)
        for number, troubles in enumerate(find_trouble(seen))
    )


def _place(seen: Scan, number: int, one: Trouble) -> Place:
    leg = seen.legs[number]
    s, curvature = _line(seen, number, one)
    sharp = abs(curvature)
    worst = int(sharp.argmax())
    return Place(
        verdict_of(one.zone),
        is_inside(one.zone),
        leg,
        one.start,
        one.end,
        _sharpest(leg, s, sharp, float(sharp[worst])),
        float(curvature[worst]),
        float(np.dot(curvature[1:] + curvature[:-1], s[1:] - s[:-1])) / 2,
    )


def _line(seen: Scan, number: int, one: Trouble) -> tuple[Floats, Floats]:
    """Return the curvature along a place, linear between stations."""
    lines, found = seen.lines, seen.stretches
    begin, stop = lines.bounds[number : number + 2].tolist()
    first, last = one.start, one.end
    a, k0 = int(found.station[one.first]), found.curvature[one.first]
    if one.stop == found.bounds[number + 1]:  # to the end of the leg
        b, k1 = stop, lines.curvature[stop - 1]
    else:
        b, k1 = int(found.station[one.stop]), found.curvature[one.stop]
    if one.stop > one.first:
        s, curvature = lines.s[a:b], lines.curvature[a:b]
    else:  # past the start of a closed leg
        over = lines.s[begin:b] + seen.legs[number].length
        s = np.concatenate([lines.s[a:stop], over])
        curvature = np.concatenate([lines.curvature[a:stop], lines.curvature[begin:b]])
    along, bent = np.empty((2, len(s) + 2))
    along[0], along[1:-1], along[-1] = first, s, last
    bent[0], bent[1:-1], bent[-1] = k0, curvature, k1
    return along, bent


def _sharpest(leg: Leg, s: Floats, sharp: Floats, most: float) -> float:
    """Find the sharpest point of a place, on a stretch of even curvature its middle.

    Of several equal stretches the one counts that is drawn, and nearest to the start
    of the drawn edge.
    """
    least = most * (1 - SAME_SHARPNESS)
    equal = (sharp >= least).nonzero()[0]
    first, last = int(equal[0]), int(equal[-1])
    if last - first < len(equal):
        return _middle(s, sharp, first, last, least)
    breaks = np.flatnonzero(equal[1:] - equal[:-1] > 1)
    firsts, lasts = equal[np.append(0, breaks + 1)], equal[np.append(breaks, -1)]
    found = [
        _middle(s, sharp, i, j, least)
        for i, j in zip(firsts.tolist(), lasts.tolist(), strict=True)
    ]
    spots = [spot_at(leg, middle) for middle in found]
    best = min(range(len(found)), key=lambda i: (spots[i].mirrored, spots[i].at))
    return found[best]


def _middle(s: Floats, sharp: Floats, first: int, last: int, least: float) -> float:
    begin = _where(s, sharp, first, -1, least)
    return (begin + _where(s, sharp, last, 1, least)) / 2


def _where(s: Floats, sharp: Floats, last: int, step: int, least: float) -> float:
    """Return how far a stretch of even curvature reaches past its last station."""
    beyond = last + step
    if not 0 <= beyond < len(s):
        return float(s[last])
    k0, k1 = float(sharp[beyond]), float(sharp[last])
    share = (least - k0) / (k1 - k0)
    return float(s[beyond] + share * (s[last] - s[beyond]))
