"""Which stretches of a leg are one place that does not lie flat.

Tape does not follow a change that is shorter than it is wide. Where a curve begins, the
window takes in part of the straight before it, so that every tight curve has a milder
fringe: a fringe shorter than the window belongs to the worse place beside it. And along
a curve that is drawn as a polygon the window takes in now one vertex more and now one
less: a gap shorter than the window, between two places of one side, belongs to them.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from edgefinder.curvature.scanning import Scan
from edgefinder.curvature.verdict import FLAT_ZONE, Verdict, is_inside, verdict_of

SHORTEST_PLACE_MM: Final = 0.1
"""A shorter place is the rounding of a drawing program: no tape can show it."""


@dataclass(frozen=True, slots=True)
class Trouble:
    """Neighbouring stretches of a leg that are one place.

    Parameters
    ----------
    zone : int
        The worst.
    start, end : float
        Millimetres along the leg; on a closed one the end may lie past its length.
    first, stop : int
        Numbers of the stretch that it begins with and of the one that it ends before,
        in the table of the scan. Past the start of the leg it goes on with its first.
    """

    zone: int
    start: float
    end: float
    first: int
    stop: int


def find_trouble(seen: Scan) -> tuple[tuple[Trouble, ...], ...]:
    """Find what does not lie flat along every leg, in order.

    On a closed leg a place may run past the start: then it ends beyond the length.
    """
    bounds = seen.stretches.bounds.tolist()
    zones = seen.stretches.zone.tolist()
    starts = seen.stretches.start.tolist()
    found: list[tuple[Trouble, ...]] = []
    for i, leg in enumerate(seen.legs):
        first, stop = bounds[i], bounds[i + 1]
        if stop == first + 1 and zones[first] == FLAT_ZONE:
            found.append(())
            continue
        length = leg.length
        order = list(range(first, stop))
        at = starts[first:stop]
        if leg.profile.closed:
            order, at = _from_a_flat_part(order, at, zones, length)
        at.append(at[0] + length)
        order.append(stop if order[0] == first else order[0])
        found.append(_troubles(at, order, zones, seen.width, length))
    return tuple(found)


def verdicts(seen: Scan) -> list[list[Verdict]]:
    """Return the verdicts of the places of every leg."""
    return [[verdict_of(one.zone) for one in leg] for leg in find_trouble(seen)]


def _from_a_flat_part(
    order: list[int], at: list[float], zones: Sequence[int], length: float
) -> tuple[list[int], list[float]]:
    """Begin a closed leg where it lies flat, so that no place is cut in two.

    Without a flat part it begins at the longest: that is nobody's fringe.
    """
    around = zones[order[0]] == zones[order[-1]]
    if len(order) == 1 or (around and zones[order[0]] == FLAT_ZONE):
        return order, at
    ends = [*at[1:], length + at[1]]
    best = max(
        range(1, len(order)),
        key=lambda i: (zones[order[i]] == FLAT_ZONE, ends[i] - at[i], i),
    )
    begin = 1 if around else 0  # the first goes on from the last
    return (
        [*order[best:], *order[begin:best]],
        [*at[best:], *(s + length for s in at[begin:best])],
    )


def _troubles(
    at: list[float],
    order: list[int],
    zones: Sequence[int],
    window: float,
    length: float,
) -> tuple[Trouble, ...]:
    found = []
    for a, b, zone in _without_fringes(at, [zones[i] for i in order[:-1]], window):
        start, end = at[a], at[b]
        if zone == FLAT_ZONE or end - start < SHORTEST_PLACE_MM:
            continue
        round_ = length if start >= length else 0.0
        found.append(Trouble(zone, start - round_, end - round_, order[a], order[b]))
    return tuple(sorted(found, key=lambda one: one.start))


def _without_fringes(
    at: Sequence[float], zones: Sequence[int], window: float
) -> list[tuple[int, int, int]]:
    """Put gaps and fringes that are shorter than the window to the places beside them.

    Returns
    -------
    list of (int, int, int)
        Number of the first stretch, of the one after the last, and their zone.
    """
    bounds, found = list(range(len(at))), list(zones)
    if all(end - start >= window for start, end in pairwise(at)):
        return list(zip(bounds[:-1], bounds[1:], found, strict=True))
    # Gaps; then steam beside too tight, then that beside a mitre.
    for zone_given in (_over_gap, _worst, _worst):
        given = [
            zone_given(found, i) if at[bounds[i + 1]] - at[bounds[i]] < window else zone
            for i, zone in enumerate(found)
        ]
        kept = [i for i, zone in enumerate(given) if not i or zone != given[i - 1]]
        bounds = [*(bounds[i] for i in kept), bounds[-1]]
        found = [given[i] for i in kept]
    return list(zip(bounds[:-1], bounds[1:], found, strict=True))


def _over_gap(zones: Sequence[int], i: int) -> int:
    """Return the milder of the places on both sides of what lies flat, if any."""
    if zones[i] != FLAT_ZONE or not 0 < i < len(zones) - 1:
        return zones[i]
    before, after = zones[i - 1], zones[i + 1]
    if is_inside(before) and is_inside(after):
        return max(before, after)
    return max(min(before, after), FLAT_ZONE)  # flat, if one of them is inside


def _worst(zones: Sequence[int], i: int) -> int:
    """Return the worst zone beside a fringe and on its side, its own included."""
    if zones[i] == FLAT_ZONE:
        return FLAT_ZONE
    beside = zones[max(i - 1, 0) : i + 2]
    worst = min(beside) if is_inside(zones[i]) else max(beside)
    return zones[i] if worst == FLAT_ZONE else worst
