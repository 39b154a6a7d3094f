"""The strips that there are, by kind, and chains of them."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from edgefinder.yardage.strip_ends import End, Strip

LENGTH_STEP_MM: Final = 1e-6
"""Strips whose lengths differ by less are of one kind: no scissors tell them apart."""


@dataclass(frozen=True, slots=True)
class Kind:
    """Strips that can stand for one another.

    Parameters
    ----------
    strips : tuple of Strip
    ways : tuple of (End, End)
        How its first and its second end can lean as it is joined.
    net : float
        Millimetres that one adds to a tape, from join to join.
    least : float
        Millimetres that it adds trimmed as far as it may be.
    """

    strips: tuple[Strip, ...]
    ways: tuple[tuple[End, End], ...]
    net: float
    least: float


@dataclass(frozen=True, slots=True)
class Supply:
    """All strips, by kind."""

    kinds: tuple[Kind, ...]
    loss: float

    @classmethod
    def of(
        cls, strips: Sequence[Strip], loss: float, shortest: float, *, may_turn: bool
    ) -> "Supply":
        """Sort strips into kinds, in the order in which the kinds first come."""
        groups: dict[tuple[tuple[tuple[End, End], ...], int], list[Strip]] = {}
        for strip in strips:
            ways = [(strip.near, strip.far)]
            if may_turn and strip.near is not strip.far:
                ways = sorted([*ways, (strip.far, strip.near)])
            key = (tuple(ways), round(strip.length / LENGTH_STEP_MM))
            groups.setdefault(key, []).append(strip)
        kinds = []
        for (leans, _), same in groups.items():
            net = min(strip.length for strip in same) - loss
            kinds.append(Kind(tuple(same), leans, net, min(net, shortest - loss)))
        return cls(tuple(kinds), loss)

    @property
    def counts(self) -> tuple[int, ...]:
        """How many strips there are of each kind."""
        return tuple(len(kind.strips) for kind in self.kinds)

    @property
    def tape(self) -> float:
        """Millimetres of tape that all strips give."""
        return self.natural(self.counts) + 0.5 * self.loss

    def natural(self, used: tuple[int, ...]) -> float:
        """Say where the last join stands if nothing is trimmed."""
        added = (n * kind.net for n, kind in zip(used, self.kinds, strict=True))
        return 0.5 * self.loss + math.fsum(added)


@dataclass(frozen=True, slots=True)
class Link:
    """One strip of a chain: its kind, the lean of its first end, the join after it."""

    kind: int
    first: End
    join: float


@dataclass(frozen=True, slots=True)
class Chain:
    """Strips in order; the join after the last one is its end and means nothing."""

    links: tuple[Link, ...]
    start: float = 0.0
    extra: float = 0.0
    is_least: bool = True


def untrimmed_joins(supply: Supply, most: int) -> tuple[float, ...]:
    """List where joins can stand while nothing has been trimmed.

    Parameters
    ----------
    supply : Supply
    most : int
        Where there are more places than this, the list breaks off beyond it.

    Returns
    -------
    tuple of float
        Millimetres from the start of the tape.
    """
    seen = {(0,) * len(supply.kinds)}
    edge = list(seen)
    joins: set[int] = set()
    while edge and len(joins) <= most:
        following = []
        for used in edge:
            for i, count in enumerate(supply.counts):
                more = (*used[:i], used[i] + 1, *used[i + 1 :])
                if used[i] < count and more not in seen:
                    seen.add(more)
                    following.append(more)
                    joins.add(round(supply.natural(more) / LENGTH_STEP_MM))
        edge = following
    return tuple(join * LENGTH_STEP_MM for join in sorted(joins))
