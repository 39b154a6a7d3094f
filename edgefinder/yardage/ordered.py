"""Strips whose order matters: one-way cloth, joins that slant alike, places to avoid.

Strips are laid out for the length of tape, their ends recut where they do not fit, and
put in order. Where that leaves too little tape, the cloth is laid out again for as much
more as was missing; where a place to avoid is longer than every strip, it is laid out
again for strips that reach past it.
"""

from collections.abc import Callable
from dataclasses import replace
from typing import Final

from edgefinder.units import MAX_LENGTH_MM
from edgefinder.yardage.cut_strips import cut_strips
from edgefinder.yardage.cutting import (
    Cutting,
    Method,
    Need,
    NotPossible,
    without_rounding,
)
from edgefinder.yardage.strip_ends import Strip, all_one_way, fit_ends
from edgefinder.yardage.strip_order import StripOrder, order_strips
from edgefinder.yardage.tape_run import TapeRun

MOST_TRIES: Final = 12
"""Layouts that are tried, each longer than the one before; more only costs time."""
LEAST_MORE_MM: Final = 5.0
"""The second layout is longer than the first by at least this; less costs tries."""
GROWTH: Final = 1.5
"""By this much that least rises from try to try: where a longer layout loses as much
again by recutting, small steps would never arrive. Larger wastes cloth."""

CutWay = Callable[[Need], Cutting | NotPossible]


def cut_tube_in_order(cut: CutWay) -> CutWay:
    """Return a way to cut a tube that refuses what a tube cannot do."""

    def cut_tube(need: Need) -> Cutting | NotPossible:
        found = cut(need)
        reason = ""
        if need.run is not None:
            reason = "the seams of a tube lie where they fall; cut separate strips"
        elif need.same_slant:
            reason = "the two seams of a tube slant two ways; cut separate strips"
        if reason and isinstance(found, Cutting):
            return NotPossible(found.method, reason)
        return found

    return cut_tube


def cut_in_order(cut: CutWay) -> CutWay:
    """Return a way to cut separate strips that puts them in the order asked for.

    Notes
    -----
    The cloth is as short as its layout can be for the length that was laid out last.
    A longer layout may be in luck with its joins where a shorter one is not: so this is
    enough cloth, but not always the least.
    """

    def cut_strips_in_order(need: Need) -> Cutting | NotPossible:
        if not need.has_order:
            return cut(need)
        return _longer_until_it_fits(cut, need)

    return cut_strips_in_order


def _longer_until_it_fits(cut: CutWay, need: Need) -> Cutting | NotPossible:
    run = need.run or TapeRun(need.length)
    length = need.length
    refused = NotPossible(Method.BIAS_STRIPS, "its strips are too short to be recut")
    minimum = need.minimum_strip
    for attempt in range(MOST_TRIES):
        if length > MAX_LENGTH_MM:
            break
        least_more = LEAST_MORE_MM * GROWTH**attempt
        laid = cut(replace(need, length=length, minimum_strip=minimum, run=None))
        if isinstance(laid, NotPossible):
            # Strips as long as a place to avoid asks for cannot be had.
            return laid if minimum == need.minimum_strip else refused
        strips = fitted_strips(cut_strips(laid), need)
        missing: float | None = least_more
        if strips:
            order = order_strips(strips, run, need.seam, may_turn=not need.one_way)
            if isinstance(order, StripOrder):
                return _in_order(laid, need, order)
            refused, missing = NotPossible(laid.method, order.reason), order.missing
            if order.strip is not None and order.strip > minimum:
                minimum, missing = order.strip, 0.0
        if missing is None:
            break
        length += max(missing, least_more) if missing else 0.0
    return refused


def fitted_strips(strips: tuple[Strip, ...], need: Need) -> tuple[Strip, ...]:
    """Recut the ends that must be recut so that strips can follow one another."""
    if need.same_slant:
        return all_one_way(strips, need.shortest_strip)
    return fit_ends(strips, need.shortest_strip, may_turn=not need.one_way)


def _in_order(laid: Cutting, need: Need, order: StripOrder) -> Cutting:
    joins = len(order.joins)
    return replace(
        laid,
        need=need,
        yield_length=without_rounding(order.tape_length, need),
        joins=joins,
        seams_in_tape=joins,
        order=order,
    )
