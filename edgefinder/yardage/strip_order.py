"""The order in which strips are joined, so that no join falls where it must not.

Places are millimetres of tape. Strip k of length l_k adds l_k less one join; the first
join lies half a join's loss short of the first strip's end::

    join k = l_1 + ... + l_k - (2 k - 1) loss/2

A join may stand anywhere but inside the places to avoid. If no order of the whole
strips does it, strips are trimmed: each trim is extra tape. On a closed run the place
where the tape starts is free too, but there the closing join lies, which keeps out of
the places to avoid like any other.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from edgefinder.yardage.buying import in_both_units
from edgefinder.yardage.intervals import Intervals, merge, remove, shift
from edgefinder.yardage.strip_ends import End, Strip, join_loss
from edgefinder.yardage.strip_search import (
    grain_chain,
    trimmed_chain,
    untrimmed_chain,
)
from edgefinder.yardage.strip_supply import Chain, Supply, untrimmed_joins
from edgefinder.yardage.tape_run import TapeRun

Point = tuple[float, float]

EDGE_SLACK_MM: Final = 1e-6
"""A join this little inside a place to avoid is at its end: the rounding error of a sum
must not push it across."""
TRIM_SLACK_MM: Final = 1e-6
"""Rounding error allowed when trims use up all spare tape."""
STARTS_FOR_MISSING: Final = 3
"""Starts by which it is told how much tape is missing: more only costs time."""
MOST_STARTS: Final = 60
"""Starts of a closed run that are tried where strips must be trimmed; more only costs
time, fewer may miss the least extra tape (the result says so)."""


@dataclass(frozen=True, slots=True)
class PlacedStrip:
    """A strip in its place along the tape.

    Parameters
    ----------
    strip : Strip
    is_turned : bool
        Turned end for end, right side still up.
    start : float
        Millimetres along the tape of the middle of its first end.
    trim : float
        Millimetres cut off its second end, along the same slant.
    """

    strip: Strip
    is_turned: bool
    start: float
    trim: float

    @property
    def first_end(self) -> End:
        """How the end that comes first leans."""
        return self.strip.far if self.is_turned else self.strip.near

    @property
    def second_end(self) -> End:
        """How the end that comes second leans."""
        return self.strip.near if self.is_turned else self.strip.far


@dataclass(frozen=True, slots=True)
class StripOrder:
    """Strips in the order in which they are joined.

    Parameters
    ----------
    placed : tuple of PlacedStrip
    joins : tuple of float
        Millimetres along the tape of every join.
    tape_length : float
        Millimetres of the joined tape.
    start : float
        Millimetres along the run where the run's tape starts, after its lead; 0 on an
        open run. On a closed run the closing join lies there.
    extra : float
        Millimetres of tape cut off to keep joins out of the places to avoid.
    unused : tuple of Strip
        Strips that the run does not need.
    is_least : bool
        Whether no other order and no other start takes less extra tape.
    """

    placed: tuple[PlacedStrip, ...]
    joins: tuple[float, ...]
    tape_length: float
    start: float
    extra: float
    unused: tuple[Strip, ...]
    is_least: bool


@dataclass(frozen=True, slots=True)
class NoOrder:
    """Why the strips cannot be joined as asked for.

    Parameters
    ----------
    reason : str
    missing : float or None
        Millimetres of tape to cut in addition before trying again; None where that
        does not help.
    strip : float or None
        Millimetres that strips must have before trying again: shorter ones cannot pass
        a place to avoid. None where longer ones do not help.
    """

    reason: str
    missing: float | None
    strip: float | None = None


def order_strips(
    strips: Sequence[Strip],
    run: TapeRun,
    seam: float,
    *,
    shortest: float | None = None,
    may_turn: bool = True,
) -> StripOrder | NoOrder:
    """Find the order of strips that takes the least extra tape.

    Parameters
    ----------
    strips : sequence of Strip
        Of one cut width; see `strip_ends.fit_ends` for ends that do not fit.
    run : TapeRun
    seam : float
        Millimetres of seam allowance at each join.
    shortest : float or None
        Millimetres that a trimmed strip keeps; None: cut width and one join.
    may_turn : bool
        Whether strips may be turned end for end: False on one-way cloth.

    Returns
    -------
    StripOrder or NoOrder

    Notes
    -----
    Strips of one length and shape are one kind, and what counts is how many of each
    kind have been used. For every such state the search keeps all places at which the
    last join can stand, as intervals: nothing is lost by it. Where there are too many
    states it keeps the most promising ones (`is_least` is False then, unless no
    tape is cut off).

    Raises
    ------
    ValueError
        If there is no strip, or if they differ in cut width.
    """
    if not strips or len({strip.cut_width for strip in strips}) > 1:
        raise ValueError("strips of one cut width are ordered, and at least one")
    loss = join_loss(strips[0], seam)
    least = strips[0].cut_width + loss if shortest is None else shortest
    supply = Supply.of(strips, loss, least, may_turn=may_turn)
    whole = grain_chain(supply, run.tape)
    if whole is None:
        return NoOrder(
            "the ends of the strips do not lean alike wherever two of them meet; "
            "recut an end along the other thread",
            None,
        )
    missing = run.tape - supply.tape
    if missing > TRIM_SLACK_MM:
        return NoOrder(
            f"the strips give {in_both_units(supply.tape)} of tape, the run takes "
            f"{in_both_units(run.tape)}; cut more strips",
            missing,
        )
    found = _least_extra(supply, run, whole)
    return found if isinstance(found, NoOrder) else _placed(supply, run, found)


def laid_outlines(order: StripOrder) -> tuple[tuple[Point, Point, Point, Point], ...]:
    """Draw the strips as they are joined, along the x axis.

    Returns
    -------
    tuple
        Four corners for each strip (lower first, lower second, upper second, upper
        first), in millimetres, y across the tape from its middle. Neighbours overlap
        by the two seam allowances of their join.
    """
    return tuple(_laid(placed) for placed in order.placed)


def _laid(placed: PlacedStrip) -> tuple[Point, Point, Point, Point]:
    half = 0.5 * placed.strip.cut_width
    length = placed.strip.length - placed.trim
    lean = {End.FORWARD: half, End.BACK: -half, End.SQUARE: 0.0}
    first, second = lean[placed.first_end], lean[placed.second_end]
    start, end = placed.start, placed.start + length
    return (
        (start - first, -half),
        (end - second, -half),
        (end + second, half),
        (start + first, half),
    )


def _least_extra(supply: Supply, run: TapeRun, whole: Chain) -> Chain | NoOrder:
    """Try whole strips in one order, in any order, then trimmed ones."""
    holes = _holes(run)
    starts = _starts(run, holes)
    if not starts:
        return NoOrder(
            "no place is left on the closed run for its closing join; avoid less of it",
            None,
        )
    needed = run.tape
    if not holes:
        return whole
    blocked = _blocked(supply, run, holes)
    if blocked is not None:
        return blocked
    found, is_least = untrimmed_chain(
        supply, needed, shift(holes, run.lead), starts, whole
    )
    if found is not None:
        return found
    tried: tuple[float, ...] = (0.0,)
    if run.is_closed:
        tried, is_all = _starts_to_try(supply, run, holes, starts)
        is_least = is_least and is_all
    most = supply.tape - needed
    best: Chain | None = None
    for start in tried:
        chain, _ = trimmed_chain(
            supply, needed, shift(holes, run.lead - start), most + TRIM_SLACK_MM
        )
        if chain is not None and (best is None or chain.extra < best.extra):
            best = replace(chain, start=start, is_least=chain.is_least and is_least)
            most = min(most, best.extra)
    if best is not None:
        return best
    missing = min(
        trimmed_chain(supply, needed, shift(holes, run.lead - start), math.inf)[1]
        for start in tried[:STARTS_FOR_MISSING]
    )
    return NoOrder(
        "no order of the strips keeps their joins out of the places to avoid; cut "
        f"{in_both_units(missing)} more tape, or avoid less",
        missing,
    )


def _blocked(supply: Supply, run: TapeRun, holes: Intervals) -> NoOrder | None:
    """Refuse a place to avoid that the longest strip cannot pass."""
    longest = max(kind.net for kind in supply.kinds) + 0.5 * supply.loss
    for low, high in holes:
        is_inside = run.is_closed or (low > -run.lead and high < run.length + run.tail)
        if is_inside and high >= 0.0 and low <= run.length and high - low > longest:
            return NoOrder(
                f"no join from {in_both_units(low)} to {in_both_units(high)} along the "
                "run, but the longest strip reaches only "
                f"{in_both_units(longest)}; avoid less or cut longer strips",
                None,
                high - low + supply.loss,
            )
    return None


def _holes(run: TapeRun) -> Intervals:
    """Unroll the places to avoid: tape goes on round a closed run."""
    rounds = range(1)
    if run.is_closed:
        beyond = math.ceil((run.lead + run.tail) / run.length) + 2
        rounds = range(-beyond, beyond + 1)
    return merge(
        (
            at + turn * run.length - within + EDGE_SLACK_MM,
            at + turn * run.length + within - EDGE_SLACK_MM,
        )
        for at, within in run.avoid
        if within > EDGE_SLACK_MM
        for turn in rounds
    )


def _starts(run: TapeRun, holes: Intervals) -> Intervals:
    if not run.is_closed:
        return ((0.0, 0.0),)
    return remove(((0.0, run.length),), holes)


def _starts_to_try(
    supply: Supply, run: TapeRun, holes: Intervals, starts: Intervals
) -> tuple[tuple[float, ...], bool]:
    """Collect the starts of which one takes the least extra tape.

    Move the start back together with all joins before the first trim: that trim gets
    smaller until the start or one of these joins meets the far end of a place
    to avoid. So one of them stands there.
    """
    before = [0.0, *(join - run.lead for join in untrimmed_joins(supply, MOST_STARTS))]
    ends = {high + EDGE_SLACK_MM for _, high in holes}
    tried = sorted({(end - join) % run.length for end in ends for join in before})
    free = [s for s in tried if any(low <= s <= high for low, high in starts)]
    is_all = len(before) <= MOST_STARTS and len(free) <= MOST_STARTS
    free = [*(low for low, _ in starts), *free]
    return tuple(dict.fromkeys(free[:MOST_STARTS])), is_all


def _placed(supply: Supply, run: TapeRun, chain: Chain) -> StripOrder:
    """Hand out the strips to a chain of kinds, and say where each lies."""
    left = {i: list(kind.strips) for i, kind in enumerate(supply.kinds)}
    half = 0.5 * supply.loss
    placed = []
    joins = []
    start = 0.0
    for k, link in enumerate(chain.links):
        strip = left[link.kind].pop(0)
        is_last = k == len(chain.links) - 1
        trim = 0.0 if is_last else max(0.0, start + strip.length - half - link.join)
        if trim < 1e-9:
            trim = 0.0
        placed.append(PlacedStrip(strip, strip.near is not link.first, start, trim))
        if not is_last:
            joins.append(link.join)
            start = link.join - half
    last = placed[-1]
    unused = sorted((s for kind in left.values() for s in kind), key=lambda s: s.number)
    return StripOrder(
        placed=tuple(placed),
        joins=tuple(joins),
        tape_length=last.start + last.strip.length,
        start=chain.start % run.length if run.is_closed else 0.0,
        extra=math.fsum(p.trim for p in placed),
        unused=tuple(unused),
        is_least=chain.is_least,
    )
