"""Which outline of another drawing is which outline of this one.

The outer outline of a piece is the outer outline; cut-outs are told apart by their
place in the piece and by their size.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from edgefinder.classifier.matching.alignment import align, align_in_pose
from edgefinder.classifier.matching.congruence import congruences
from edgefinder.classifier.matching.courses import courses, laid_over, turned_back
from edgefinder.classifier.matching.edge_traits import RingTraits, mirrored
from edgefinder.classifier.matching.outcome import (
    Alignment,
    Candidate,
    Doubt,
    Reason,
    outcome,
)
from edgefinder.classifier.matching.poses import Pose
from edgefinder.geometry.segments import Floats

CUTOUT_PLACE: Final = 0.08
"""A cut-out may lie elsewhere in its piece by this share of the diagonal at a cost of
1, as a corner may; see `step_costs`. Our own choice, as the next ones are."""
CUTOUT_GROWTH: Final = 0.25
"""A cut-out may be larger or smaller than its piece would have it by this, as a
logarithm; eyelets stay as they are while the piece is graded."""
CUTOUT_CORNERS: Final = 0.5
"""More or less of its round may lie in corners by this share: a square differs by 1
from a circle."""
CUTOUT_LIKE: Final = 9.0
"""A cut-out that costs more is none of the old ones: three times the usual, squared.
Larger: a new cut-out is taken for one that is gone."""
CUTOUT_CLEAR: Final = 4.0
"""A cut-out is sure if every other one costs more by this. Larger: more is in
doubt."""

TO_MIDDLE: Final = (1 + 1j) / np.sqrt(2)
"""From where a round cut-out begins to its middle, for a radius of 1."""


@dataclass(frozen=True, slots=True)
class RingDoubt:
    """An old cut-out of which it is not sure what became.

    Parameters
    ----------
    ring : int
        Of the old piece, from 1.
    best, second : int or None
        The likeliest new rings, if any is near enough.
    """

    ring: int
    best: int | None
    second: int | None


@dataclass(frozen=True, slots=True)
class RingMatches:
    """What became of the outlines of a piece.

    Parameters
    ----------
    rings : tuple of int or None
        The new ring that each old one became; the first is 0. None where a cut-out is
        in doubt or gone.
    alignments : tuple of Alignment or None
        Of the edges of each old ring with those of that new one.
    doubts : tuple of RingDoubt
    """

    rings: tuple[int | None, ...]
    alignments: tuple[Alignment | None, ...]
    doubts: tuple[RingDoubt, ...]

    @property
    def is_sure(self) -> bool:
        """Whether no outline and no edge is in doubt."""
        return not self.doubts and all(
            a is not None and a.is_sure for a in self.alignments
        )


def match_rings(
    old: Sequence[RingTraits],
    new: Sequence[RingTraits],
    outer: Alignment | None = None,
) -> RingMatches:
    """Pair the outlines of two drawings of a piece, and align their edges.

    Parameters
    ----------
    old, new : sequence of RingTraits
        The outer outline first, as `edge_traits.piece_traits` gives them.
    outer : Alignment, optional
        Of the outer outlines, where `align_many` has found it already.

    Returns
    -------
    RingMatches
    """
    outer = align(old[0], new[0]) if outer is None else outer
    if len(old) > 1 and len(new) > 1:
        outer = _weighed(old, new, outer)
    if len(old) == 1:
        return RingMatches((0,), (outer,), ())
    rings: list[int | None] = [0]
    alignments: list[Alignment | None] = [outer]
    doubts = []
    costs = _cutout_costs(old, new, outer.pose)  # (old, new)
    is_clear = not any(_is_of_pose(doubt, outer.pose) for doubt in outer.doubts)
    for k, row in enumerate(costs):
        order = np.argsort(row, kind="stable").tolist()
        near = [j for j in order if row[j] <= CUTOUT_LIKE + CUTOUT_CLEAR]
        match = near[0] if is_clear and near and _is_mutual(costs, k, near[0]) else None
        rings.append(None if match is None else match + 1)
        if match is None:
            alignments.append(None)
            first, second = [*(j + 1 for j in near[:2]), None, None][:2]
            doubts.append(RingDoubt(k + 1, first, second))
        else:
            alignments.append(align_in_pose(old[k + 1], new[match + 1], outer.pose))
    return RingMatches(tuple(rings), tuple(alignments), tuple(doubts))


def _is_mutual(costs: Floats, k: int, j: int) -> bool:
    """Whether two cut-outs are near, and others clearly less so to either."""
    others = np.append(np.delete(costs[k], j), np.delete(costs[:, j], k))
    least = float(others.min(initial=np.inf))
    return bool(costs[k, j] <= CUTOUT_LIKE and least >= costs[k, j] + CUTOUT_CLEAR)


def _is_of_pose(doubt: Doubt, pose: Pose) -> bool:
    """Whether it is the pose of the whole piece that is in doubt."""
    other = doubt.second
    return doubt.reason is Reason.UNLIKE or (other is not None and other.pose != pose)


def _weighed(
    old: Sequence[RingTraits], new: Sequence[RingTraits], outer: Alignment
) -> Alignment:
    """Doubt the pose of a symmetrical piece if its cut-outs speak for another one."""
    found = congruences(old[0], new[0])
    poses = found.poses
    if len(poses) < 2 or outer.doubts:
        return outer
    misfits = [_cutout_costs(old, new, pose).min(axis=1).sum() for pose in poses]
    best = int(np.argmin(misfits))
    if misfits[poses.index(outer.pose)] < misfits[best] + CUTOUT_CLEAR:
        return outer
    rival = poses[best]
    doubts = [
        Doubt(
            e,
            Reason.TIE,
            Candidate(target, outer.pose, outer.cost),
            Candidate((edge,), rival, rival.prior),
        )
        for e, (target, edge) in enumerate(
            zip(outer.targets, found.targets(best, len(old[0])).tolist(), strict=True)
        )
        if target is not None and target != (edge,)
    ]
    targets = [target for target in outer.targets if target is not None]
    return outcome(targets, outer.pose, outer.cost, doubts)


def _cutout_costs(
    old: Sequence[RingTraits], new: Sequence[RingTraits], pose: Pose
) -> Floats:
    """Return how ill each old cut-out fits each new one, shape (old, new)."""
    outer = mirrored(new[0]) if pose.is_mirrored else new[0]
    turned = pose.turned_once_mirrored
    laid = laid_over(
        courses([old[0]]), turned_back(courses([outer]), np.array([turned]))
    )
    growth = np.sqrt(laid.factors.real * laid.factors.imag)[:, 0]  # (2,)
    costs = np.empty((len(old) - 1, len(new) - 1))
    for k, one in enumerate(old[1:]):
        place = laid.place(_centre(one))[:, 0]  # (2,)
        for j, other in enumerate(new[1:]):
            centre = _centre(other)
            drawn = -centre.conjugate() if pose.is_mirrored else centre
            off = np.abs(drawn * np.exp(-1j * turned) - place) / laid.diagonals[0]
            grown = np.log(other.perimeter / (growth * one.perimeter))
            corners = _cornered(other) - _cornered(one)
            cost = (
                np.square(off / CUTOUT_PLACE)
                + np.square(grown / CUTOUT_GROWTH)
                + np.square(corners / CUTOUT_CORNERS)
            )
            costs[k, j] = cost.min()
    return costs


def _centre(ring: RingTraits) -> complex:
    """Return about where a cut-out has its middle.

    One without a corner begins at its furthest point to the lower left; it is taken
    for a circle.
    """
    if len(ring) == 1 and _cornered(ring) == 0:
        return complex(ring.starts[0] + ring.perimeter / (2 * np.pi) * TO_MIDDLE)
    return complex(np.concatenate([ring.starts, ring.middles]).mean())


def _cornered(ring: RingTraits) -> float:
    """Return how much of a round lies in corners, as a share."""
    return float(np.abs(ring.corners).sum() / (2 * np.pi))
