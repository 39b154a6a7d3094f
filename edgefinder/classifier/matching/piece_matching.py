"""Which edge of one drawing of a piece is which edge of another, cut-outs and all."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from edgefinder.classifier.matching.edge_traits import RingTraits
from edgefinder.classifier.matching.outcome import Alignment, Doubt, Reason
from edgefinder.classifier.matching.ring_matching import match_rings

CUTOUT_GONE: Final = (
    "the cut-out that it lies on is not there, or may be one of several"
)


@dataclass(frozen=True, slots=True)
class EdgeDoubt:
    """An old edge of which it is not sure what became.

    Parameters
    ----------
    edge : int
        From 0.
    text : str
        What it may be in the new drawing, in words.
    choices : tuple of tuple of int
        The same: new edges, from 0, the likeliest first.
    """

    edge: int
    text: str
    choices: tuple[tuple[int, ...], ...] = ()


@dataclass(frozen=True, slots=True)
class PieceMatch:
    """What became of the edges of a piece.

    Parameters
    ----------
    targets : tuple of tuple of int
        The new edges, from 0, that each old edge became; the likeliest where that is
        in doubt.
    doubts : tuple of EdgeDoubt
    """

    targets: tuple[tuple[int, ...], ...]
    doubts: tuple[EdgeDoubt, ...]


def match_pieces(
    old: Sequence[RingTraits],
    new: Sequence[RingTraits],
    outer: Alignment | None = None,
) -> PieceMatch:
    """Match the edges of a piece with those of another drawing of it.

    Parameters
    ----------
    old, new : sequence of RingTraits
        The outer outline first, then the cut-outs.
    outer : Alignment or None
        Of the outer outlines, where it is known already.

    Returns
    -------
    PieceMatch
    """
    found = match_rings(old, new, outer)
    new_first = _firsts(new)
    targets: list[tuple[int, ...]] = []
    doubts: list[EdgeDoubt] = []
    for edges, ring, aligned in zip(old, found.rings, found.alignments, strict=True):
        first = len(targets)
        if ring is None or aligned is None:
            doubts += [EdgeDoubt(first + i, CUTOUT_GONE) for i in range(len(edges))]
            targets += [()] * len(edges)
            continue
        shift = new_first[ring]
        targets += _covering(aligned, len(new[ring]), shift)
        doubts += [
            EdgeDoubt(first + doubt.edge, _said(doubt, shift), _choices(doubt, shift))
            for doubt in aligned.doubts
        ]
    return PieceMatch(tuple(targets), tuple(doubts))


def _firsts(rings: Sequence[RingTraits]) -> list[int]:
    firsts, total = [], 0
    for ring in rings:
        firsts.append(total)
        total += len(ring)
    return firsts


def _covering(found: Alignment, count: int, shift: int) -> list[tuple[int, ...]]:
    """Return targets that leave out no new edge: what is in doubt has the likeliest."""
    likeliest = {doubt.edge: doubt.best.edges for doubt in found.doubts}
    targets = [
        list(likeliest[e] if target is None else target)
        for e, target in enumerate(found.targets)
    ]
    owner = {new: e for e, target in enumerate(targets) for new in target}
    for new in range(count):
        if new not in owner:  # a part more of the edge before it
            before = next(
                (
                    owner[(new - k) % count]
                    for k in range(1, count)
                    if (new - k) % count in owner
                ),
                0,
            )
            targets[before].append(new)
    return [tuple(shift + new for new in target) for target in targets]


def _said(doubt: Doubt, shift: int) -> str:
    """Say what an edge may be."""
    best = _edges(doubt.best.edges, shift)
    if doubt.reason is Reason.MANY:
        return "the outline changed, and has more corners than can be followed then"
    if doubt.second is None:
        return f"nothing there is like it; {best} comes nearest"
    return f"it may be {best} or {_edges(doubt.second.edges, shift)} there"


def _choices(doubt: Doubt, shift: int) -> tuple[tuple[int, ...], ...]:
    if doubt.reason is Reason.MANY:
        return ()
    each = (doubt.best, *([] if doubt.second is None else [doubt.second]))
    return tuple(tuple(shift + edge for edge in one.edges) for one in each if one.edges)


def _edges(edges: Sequence[int], shift: int) -> str:
    numbers = " and ".join(str(shift + edge + 1) for edge in edges)
    return f"{'edge' if len(edges) == 1 else 'edges'} {numbers}"
