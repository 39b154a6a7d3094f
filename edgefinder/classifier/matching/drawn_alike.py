"""Outlines that are drawn alike: edge for edge, and plainly so.

That is how most sizes of a piece are. Many are looked at in one pass, and those are
picked out for which the full search of `trials` is not needed: with n edges on both
sides, any other alignment either holds as many more corners as it lacks, which costs
`EXTRA_CORNER` at least twice, or takes each edge for the one k further on, forwards or
mirrored. There are few of those, and all are looked at.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from edgefinder.classifier.matching.congruence import SAME_PLACE_MM
from edgefinder.classifier.matching.courses import (
    Course,
    Laid,
    begun,
    chosen,
    courses,
    flipped,
    laid_over,
    stretches,
    turned_back,
)
from edgefinder.classifier.matching.edge_traits import RingTraits
from edgefinder.classifier.matching.poses import LEAST_PRIOR
from edgefinder.classifier.matching.step_costs import EXTRA_CORNER, fit
from edgefinder.classifier.matching.trials import (
    BETTER,
    CLEAR,
    DRAWING_NOISE,
    FAR_BETTER,
    ILL,
    as_good,
)
from edgefinder.classifier.matching.unchanged import (
    LEAST_UNCHANGED,
    UNCHANGED_MM,
    unchanged,
)
from edgefinder.geometry.segments import Floats

SMALL_TURNS: Final = 20
"""With more edges, a symmetrical piece may come over itself after so small a turn that
hardly a prior speaks against it. Of such outlines no turned one may fit as well."""

Flags = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class DrawnAlike:
    """Of b pairs of outlines.

    Parameters
    ----------
    is_sure : ndarray of bool, shape (b,)
        Whether edge for edge is proven to be the alignment, as drawn and beyond doubt.
    misfits : ndarray, shape (b,)
        Of that alignment.
    """

    is_sure: Flags
    misfits: Floats


def drawn_alike(pairs: Sequence[tuple[RingTraits, RingTraits]]) -> DrawnAlike:
    """Look at pairs of outlines that all have the same number of edges n.

    Parameters
    ----------
    pairs : sequence of (old, new)
    """
    old, new = courses([o for o, _ in pairs]), courses([n for _, n in pairs])
    laid = laid_over(old, new)
    misfits, worst = _edge_for_edge(laid, new)
    need = misfits + CLEAR + ILL * worst
    is_sure = (misfits <= BETTER) & (need <= min(2 * EXTRA_CORNER, LEAST_PRIOR))
    if old.count == 1:
        return DrawnAlike(np.zeros(len(pairs), dtype=np.bool_), misfits)
    for k in range(1, old.count):  # the boxes are the same
        is_sure &= _edge_for_edge(laid, begun(new, k))[0] >= need
    agrees = _turned_to(old, new)[1] <= SAME_PLACE_MM
    if old.count <= SMALL_TURNS:
        agrees &= misfits <= DRAWING_NOISE
        need = np.zeros(len(pairs))
    else:
        agrees[:] = False
    rows = np.flatnonzero(is_sure & ~agrees)
    if len(rows):
        old, new = chosen(old, rows), chosen(new, rows)
        turned = flipped(old), flipped(new)
        may_be = _may_be_turned((old, new), (old, new), 1, misfits[rows], need[rows])
        may_be |= _may_be_turned((old, new), turned, 0, misfits[rows], need[rows])
        is_sure[rows] = ~may_be
        same = [(edge,) for edge in range(old.count)]
        for row in rows[_may_be_unchanged(old, new)].tolist():
            one, other = pairs[row]
            is_sure[row] &= not unchanged(one, other, same).contradicts
    return DrawnAlike(is_sure, misfits)


def _may_be_unchanged(old: Course, new: Course) -> Flags:
    """Whether enough edges are as long as another one was, shape (b,)."""
    apart = np.abs(new.lengths[:, None, :] - old.lengths[:, :, None])  # (b, old, new)
    is_like = apart <= UNCHANGED_MM
    is_like[:, range(old.count), range(old.count)] = False
    total = (is_like.any(axis=2) * old.lengths).sum(axis=1)
    enough: Flags = total >= LEAST_UNCHANGED * old.lengths.sum(axis=1) / 2
    return enough


def _may_be_turned(
    drawn: tuple[Course, Course],
    pages: tuple[Course, Course],
    first: int,
    misfits: Floats,
    need: Floats,
) -> Flags:
    """Whether outlines agree about as well once turned, shape (b,).

    Old and new ones come as drawn and from a page that may have been mirrored; those
    are begun at each edge from the ``first`` on. A misfit below the ``need`` is as
    good in any case.
    """
    agrees = _turned_to(*drawn)[1] <= SAME_PLACE_MM
    is_noise = misfits <= DRAWING_NOISE
    may_be = np.zeros(len(misfits), dtype=np.bool_)
    for k in range(first, drawn[0].count):
        others = [begun(page, k) for page in pages]
        turned, distances = _turned_to(drawn[0], others[1])
        may_be |= ~agrees & (distances <= SAME_PLACE_MM)
        # A symmetrical piece agrees with itself; see `Trials.fair_misfit`.
        is_symmetrical = _turned_to(drawn[0], others[0])[1] <= SAME_PLACE_MM
        fair = np.where(is_symmetrical, misfits / FAR_BETTER, as_good(misfits))
        found = _edge_for_edge(laid_over(drawn[0], turned), turned)[0]
        may_be |= found < np.where(is_noise, need, np.maximum(fair, need))
    return may_be


def _edge_for_edge(laid: Laid, new: Course) -> tuple[Floats, Floats]:
    """Return the misfits, and those of the edge that fits worst, shape (b,)."""
    each = fit(stretches(laid.course, 1), stretches(new, 1), laid.diagonals[:, None])
    totals = each.sum(axis=-1) + laid.uneven  # (2, b)
    rows = np.arange(totals.shape[1])
    better = np.argmin(totals, axis=0)
    return totals[better, rows], each[better, rows].max(axis=-1)


def _turned_to(old: Course, new: Course) -> tuple[Course, Floats]:
    """Turn new outlines so that their corners come nearest to the old ones.

    Returns
    -------
    Course
    ndarray, shape (b,)
        How far the farthest corner then is, once the outline is moved as well.
    """
    fixed = old.starts - old.starts.mean(axis=-1, keepdims=True)
    corners = new.starts - new.starts.mean(axis=-1, keepdims=True)
    turns = np.angle((corners * np.conj(fixed)).sum(axis=-1))
    distances = np.abs(corners * np.exp(-1j * turns)[:, None] - fixed).max(axis=-1)
    return turned_back(new, turns), distances
