"""The search behind the order of strips: states and how they follow one another.

A state says how many strips of each kind have been joined and how the free end leans.
For each state there is a set of places, kept as intervals: all that can be reached.
"""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Final

from edgefinder.yardage.intervals import (
    Intervals,
    overlap,
    reach,
    remove,
    shift,
)
from edgefinder.yardage.strip_ends import End
from edgefinder.yardage.strip_supply import Chain, Kind, Link, Supply

MOST_STEPS: Final = 8_000
"""Steps of one search, about 40 ms: more only costs time, fewer may miss the least
extra tape (the result says so). Seven strips of seven kinds take all theirs."""
FEWEST_STATES: Final = 8
"""States kept for each number of strips joined, however many strips there are."""
PLACE_SLACK_MM: Final = 1e-6
"""Rounding error allowed when a chain is walked back; trims below it are none."""

State = tuple[tuple[int, ...], End | None]
Step = Callable[[Intervals, State, "Kind"], Intervals]
Rank = Callable[[Intervals, State], float]


@dataclass(frozen=True, slots=True)
class _Node:
    places: Intervals
    before: tuple[tuple[State, int, End], ...]


def grain_chain(supply: Supply, needed: float) -> Chain | None:
    """Join whole strips so that every join is on the grain, in the order they come.

    Parameters
    ----------
    supply : Supply
    needed : float
        Millimetres of tape; strips beyond it are left off.

    Returns
    -------
    Chain or None
        None if no order of all strips makes their ends fit.

    Notes
    -----
    All strips with both ends of one lean come first, then a trapezoid leads to
    the other lean, and so on: with two leans there is nothing else to try but
    which to begin with.
    """
    ends = [end for kind in supply.kinds for way in kind.ways for end in way]
    for lean in dict.fromkeys(ends):
        order = _walk(supply, lean)
        if len(order) == sum(supply.counts):
            return _shortened(supply, order, needed)
    return None


def _walk(supply: Supply, lean: End) -> list[tuple[int, End]]:
    left = list(supply.counts)
    order: list[tuple[int, End]] = []
    while True:
        fits = [
            (first is not second, i, second)
            for i, kind in enumerate(supply.kinds)
            if left[i]
            for first, second in kind.ways
            if first is lean
        ]
        if not fits:
            return order
        _, i, second = min(fits, key=lambda fit: fit[:2])
        order.append((i, lean))
        left[i] -= 1
        lean = second


def _shortened(supply: Supply, order: list[tuple[int, End]], needed: float) -> Chain:
    links = []
    join = 0.5 * supply.loss
    for i, first in order:
        join += supply.kinds[i].net
        links.append(Link(i, first, join))
        if _is_enough(join + 0.5 * supply.loss, needed):
            break
    return Chain(tuple(links))


def untrimmed_chain(
    supply: Supply, needed: float, holes: Intervals, starts: Intervals, whole: Chain
) -> tuple[Chain | None, bool]:
    """Find an order of whole strips, and a start, that keep all joins out of holes.

    Parameters
    ----------
    supply : Supply
    needed : float
        Millimetres of tape.
    holes : tuple of (float, float)
        Where no join may stand, along a tape that starts at 0.
    starts : tuple of (float, float)
        Where the tape may start; every start moves all joins on by as much.
    whole : Chain
        An order to be tried first.

    Returns
    -------
    Chain or None
        With the fewest strips and the least start.
    bool
        Whether nothing was left untried.
    """
    free = starts
    for link in whole.links[:-1]:
        free = remove(free, shift(holes, -link.join))
    if free:
        return replace(whole, start=free[0][0]), True

    def step(places: Intervals, state: State, kind: Kind) -> Intervals:
        return remove(places, shift(holes, -supply.natural(state[0]) - kind.net))

    def rank(places: Intervals, _: State) -> float:
        return -math.fsum(high - low for low, high in places)

    levels, is_all = _levels(supply, starts, step, rank)
    for nodes in levels:
        endings = [
            (node.places[0][0], state, i, first)
            for state, node, i, first in _endings(supply, nodes)
            if _is_enough(
                supply.natural(state[0]) + supply.kinds[i].net + 0.5 * supply.loss,
                needed,
            )
        ]
        if endings:
            start, state, i, first = min(endings, key=lambda ending: ending[0])
            links = _walk_back_starts(supply, levels, state, start)
            return Chain((*links, Link(i, first, math.inf)), start), True
    return None, is_all


def trimmed_chain(
    supply: Supply, needed: float, holes: Intervals, most: float
) -> tuple[Chain | None, float]:
    """Find the order of strips that needs the least trimmed off.

    Parameters
    ----------
    supply : Supply
    needed : float
        Millimetres of tape.
    holes : tuple of (float, float)
        Where no join may stand, along the tape.
    most : float
        Millimetres that may be trimmed off in all.

    Returns
    -------
    Chain or None
    float
        Millimetres of tape that are missing where there is no chain.
    """
    half = 0.5 * supply.loss

    def step(places: Intervals, state: State, kind: Kind) -> Intervals:
        least = supply.natural(state[0]) + kind.net - most
        return overlap(
            remove(reach(places, kind.least, kind.net), holes), least, math.inf
        )

    def rank(places: Intervals, state: State) -> float:
        return supply.natural(state[0]) - places[-1][1]

    levels, is_all = _levels(supply, ((half, half),), step, rank)
    best: tuple[float, State, int, End] | None = None
    missing = math.inf
    for nodes in levels:
        for state, node, i, first in _endings(supply, nodes):
            last = node.places[-1][1]
            extra = max(0.0, supply.natural(state[0]) - last)
            end = last + supply.kinds[i].net + half
            missing = min(missing, needed - end)
            if not _is_enough(end, needed):
                continue
            if best is None or extra < best[0] - PLACE_SLACK_MM:
                best = (extra, state, i, first)
    if best is None:
        return None, missing
    extra, state, i, first = best
    last = levels[sum(state[0])][state].places[-1][1]
    links = _walk_back_places(supply, levels, state, last)
    return Chain((*links, Link(i, first, math.inf)), 0.0, extra, is_all), 0.0


def _levels(
    supply: Supply, first: Intervals, step: Step, rank: Rank
) -> tuple[list[dict[State, _Node]], bool]:
    """Join strip after strip, and keep for each state all that can be reached."""
    none: State = ((0,) * len(supply.kinds), None)
    levels: list[dict[State, _Node]] = [{none: _Node(first, ())}]
    is_all = True
    joined = sum(supply.counts)
    most = max(FEWEST_STATES, MOST_STEPS // (joined * len(supply.kinds)))
    for _ in range(joined - 1):
        found: dict[State, list[tuple[Intervals, State, int, End]]] = {}
        for state, node in levels[-1].items():
            for i, lean in _last_strips(supply, state):
                places = step(node.places, state, supply.kinds[i])
                if places:
                    after = _after(supply, state, i, lean)
                    found.setdefault(after, []).append((places, state, i, lean))
        nodes = {state: _united(ways) for state, ways in found.items()}
        kept = sorted(nodes, key=lambda state: rank(nodes[state].places, state))
        is_all = is_all and len(kept) <= most
        levels.append({state: nodes[state] for state in kept[:most]})
    return levels, is_all


def _united(ways: list[tuple[Intervals, State, int, End]]) -> _Node:
    intervals = [interval for places, *_ in ways for interval in places]
    return _Node(
        reach(tuple(intervals), 0.0, 0.0), tuple((s, i, lean) for _, s, i, lean in ways)
    )


def _last_strips(supply: Supply, state: State) -> list[tuple[int, End]]:
    """List the kinds that can be joined next, and how their first end leans."""
    used, lean = state
    return [
        (i, first)
        for i, kind in enumerate(supply.kinds)
        if used[i] < len(kind.strips)
        for first, _ in kind.ways
        if lean is None or first is lean
    ]


def _endings(
    supply: Supply, nodes: dict[State, _Node]
) -> Iterator[tuple[State, _Node, int, End]]:
    """List every state with every strip that can be the last one."""
    for state, node in nodes.items():
        for i, first in _last_strips(supply, state):
            yield state, node, i, first


def _after(supply: Supply, state: State, i: int, first: End) -> State:
    used = state[0]
    more = (*used[:i], used[i] + 1, *used[i + 1 :])
    second = next(b for a, b in supply.kinds[i].ways if a is first)
    return more, second


def _walk_back_starts(
    supply: Supply, levels: list[dict[State, _Node]], state: State, start: float
) -> list[Link]:
    """Find strips that lead to a state with this start; joins are as untrimmed."""
    links: list[Link] = []
    for level in range(sum(state[0]), 0, -1):
        join = supply.natural(state[0])
        for before, i, first in levels[level][state].before:
            if overlap(levels[level - 1][before].places, start, start):
                links.append(Link(i, first, join))
                state = before
                break
    return links[::-1]


def _walk_back_places(
    supply: Supply, levels: list[dict[State, _Node]], state: State, join: float
) -> list[Link]:
    """Find strips that lead to a state with its last join at this place."""
    links: list[Link] = []
    for level in range(sum(state[0]), 0, -1):
        for before, i, first in levels[level][state].before:
            kind = supply.kinds[i]
            places = overlap(
                levels[level - 1][before].places,
                join - kind.net - PLACE_SLACK_MM,
                join - kind.least + PLACE_SLACK_MM,
            )
            if places:
                links.append(Link(i, first, join))
                state, join = before, places[-1][1]
                break
    return links[::-1]


def _is_enough(length: float, needed: float) -> bool:
    return length >= needed - PLACE_SLACK_MM
