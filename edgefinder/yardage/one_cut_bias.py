"""Bias strips of several widths side by side in one piece of cloth.

The strips of each tape lie next to one another, tape after tape from the corner (0, H)
on; places are those of `bias_strips`. All orders of a few tapes are tried, each
from starting lines one step apart. A layout can be moved along a longer cloth, so a
step of starting lines costs no more than one step of cloth.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import permutations
from typing import Final

import numpy as np
from numpy.typing import NDArray

from edgefinder.yardage.bias_strips import BiasLayout, usable_lengths
from edgefinder.yardage.cutting import COUNT_SLACK, MOST_STRIPS, Need

Floats = NDArray[np.float64]

START_STEP_MM: Final = 1.0
"""Between starting lines that are tried: below what scissors waste on a first cut."""
LENGTH_STEP_MM: Final = 0.5
"""The least length of cloth is found to this; smaller only costs time."""
MOST_ORDERED: Final = 4
"""Up to this many tapes every order is tried; beyond it the widest come first."""


@dataclass(frozen=True, slots=True)
class _Block:
    cut_width: float
    length: float
    shortest: float
    loss: float


def lay_blocks(needs: Sequence[Need]) -> tuple[BiasLayout, ...]:
    """Lay out several tapes in the least length of cloth.

    Parameters
    ----------
    needs : sequence of Need
        Of one usable width. Each must be possible on its own.

    Returns
    -------
    tuple of BiasLayout
        One for each need, in their order, in one cloth: width and length are alike.
    """
    width = needs[0].usable_width
    blocks = [_block(need) for need in needs]
    low = sum(block.length * block.cut_width for block in blocks) / width
    orders = _orders(blocks)
    high = 2.0 * low + width
    while not any(_lay(order, blocks, width, high) for order in orders):
        high *= 2.0
    best = high
    for order in orders:
        if not _lay(order, blocks, width, best - LENGTH_STEP_MM):
            continue
        best = _least(order, blocks, width, low, best - LENGTH_STEP_MM)
    laid = next(
        found for order in orders if (found := _lay(order, blocks, width, best))
    )
    return tuple(_layout(laid[i], block, width, best) for i, block in enumerate(blocks))


def _least(
    order: Sequence[int],
    blocks: Sequence[_Block],
    width: float,
    low: float,
    high: float,
) -> float:
    while high - low > LENGTH_STEP_MM:
        middle = 0.5 * (low + high)
        if _lay(order, blocks, width, middle):
            high = middle
        else:
            low = middle
    return high


def _orders(blocks: Sequence[_Block]) -> list[tuple[int, ...]]:
    widest_first = sorted(
        range(len(blocks)), key=lambda i: (-blocks[i].cut_width, -blocks[i].length, i)
    )
    if len(blocks) <= MOST_ORDERED:
        return list(permutations(widest_first))
    return [tuple(widest_first), tuple(widest_first[::-1])]


def _lay(
    order: Sequence[int], blocks: Sequence[_Block], width: float, length: float
) -> dict[int, list[float]] | None:
    """Fill a cloth from every starting line; the places of the first that is enough."""
    first = blocks[order[0]].cut_width * math.sqrt(2.0)
    border = np.arange(0.0, first, START_STEP_MM) - length  # of the next strip
    enough = np.ones(len(border), dtype=np.bool_)
    taken: list[tuple[int, Floats, NDArray[np.bool_]]] = []
    for i in order:
        block = blocks[i]
        got = np.full(len(border), block.loss)  # no join before the first strip
        begun = np.zeros(len(border), dtype=np.bool_)
        spacing = block.cut_width * math.sqrt(2.0)
        goal = block.length * (1.0 - COUNT_SLACK)
        while True:
            active = enough & (border + spacing < width) & ((got < goal) | ~begun)
            if not active.any() or len(taken) > MOST_STRIPS:
                break
            places = border + 0.5 * spacing
            strip = usable_lengths(places, width, length, block.cut_width)
            kept = active & (strip >= block.shortest * (1.0 - COUNT_SLACK))
            begun |= kept
            got += np.where(kept, strip - block.loss, 0.0)
            border = np.where(active, border + spacing, border)
            taken.append((i, places, kept))
        enough &= begun & (got >= goal)
        if not enough.any():
            return None
    line = int(np.argmax(enough))
    found: dict[int, list[float]] = {i: [] for i in order}
    for i, places, kept in taken:
        if kept[line]:
            found[i].append(float(places[line]))
    return found


def _layout(
    places: Sequence[float], block: _Block, width: float, length: float
) -> BiasLayout:
    lengths = usable_lengths(np.array(places), width, length, block.cut_width)
    return BiasLayout(
        width=width,
        length=length,
        cut_width=block.cut_width,
        places=tuple(places),
        strip_lengths=tuple(lengths.tolist()),
        yield_length=float(lengths.sum()) - block.loss * (len(places) - 1),
    )


def _block(need: Need) -> _Block:
    loss = 2.0 * math.sqrt(2.0) * need.seam
    shortest = max(need.shortest_strip, need.cut_width + loss)
    return _Block(need.cut_width, need.length, shortest, loss)
