"""Which of several pieces is one that lost its name."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from edgefinder.classifier.matching.alignment import align
from edgefinder.classifier.matching.edge_traits import RingTraits

PIECE_LIKE: Final = 1.0
"""A piece is recognised if its edges have less misfit than this on average, growth
included. Our own choice, as the next ones are. Larger: other pieces are recognised."""
PIECE_GROWTH: Final = 0.1
"""A piece that is larger or smaller by this, as a logarithm, has a misfit of 1."""
PIECE_CLEAR: Final = 1.0
"""And if the next best has more by this. A pair of mirrored pieces differs by more; see
`MIRRORED_SHARE`."""
MIRRORED_SHARE: Final = 0.25
"""Share of the prior of a pose that counts when pieces are compared."""


@dataclass(frozen=True, slots=True)
class Recognised:
    """Which of several pieces is one that lost its name.

    Parameters
    ----------
    piece : int or None
        Among the candidates; None where that is not sure.
    best, second : int or None
        The likeliest two.
    costs : tuple of float
        Of each candidate: 0 for one that agrees.
    """

    piece: int | None
    best: int | None
    second: int | None
    costs: tuple[float, ...]


def find_renamed(old: RingTraits, candidates: Sequence[RingTraits]) -> Recognised:
    """Find a piece among those that no name tells.

    Parameters
    ----------
    old : RingTraits
        Its outer outline as it was.
    candidates : sequence of RingTraits
        The outer outlines of the pieces that nothing else was recognised as. Whether
        one of them is rather another piece that lost its name is for the caller to
        ask.

    Returns
    -------
    Recognised
        Sure only if the outline is nearly the same, in millimetres, and no other one
        is.
    """
    misfits, costs = [], []
    for candidate in candidates:
        found = align(old, candidate)
        count = max(len(old), len(candidate))
        grown = np.log(candidate.perimeter / old.perimeter) / PIECE_GROWTH
        misfit = (found.cost - found.pose.prior) / count + float(np.square(grown))
        misfits.append(misfit)
        costs.append(misfit + found.pose.prior * MIRRORED_SHARE)
    best, second = [*np.argsort(costs, kind="stable").tolist(), None, None][:2]
    is_sure = (
        best is not None
        and misfits[best] <= PIECE_LIKE
        and (second is None or costs[second] >= costs[best] + PIECE_CLEAR)
    )
    return Recognised(best if is_sure else None, best, second, tuple(costs))
