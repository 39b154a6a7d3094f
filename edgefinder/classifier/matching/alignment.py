"""Which edge of another drawing of a piece is which edge of this one.

Two outlines of one piece, in two sizes or before and after a change, are aligned as
cyclic sequences of edges. An edge may have become several (a new corner, a notch), and
several may have become one (a corner that melted into a curve). What is not sure is in
doubt, edge by edge, with the two likeliest readings; nothing is guessed.

An outline that agrees with the other one within the noise of a drawing is aligned by
`congruence`. Any other is laid over it in every pose that may be meant (`poses`), the
cheapest alignments are found (`trials`), and they are judged (`judging`). Outlines that
are `drawn_alike`, as most sizes are, need none of that.
"""

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from edgefinder.classifier.matching.congruence import congruences
from edgefinder.classifier.matching.drawn_alike import drawn_alike
from edgefinder.classifier.matching.edge_traits import RingTraits
from edgefinder.classifier.matching.judging import judge
from edgefinder.classifier.matching.outcome import (
    Alignment,
    Candidate,
    Doubt,
    Reason,
    outcome,
)
from edgefinder.classifier.matching.poses import AS_DRAWN, Pose, likely_poses
from edgefinder.classifier.matching.trials import DRAWING_NOISE, Trials
from edgefinder.classifier.matching.unchanged import (
    MUCH_UNCHANGED,
    between_unchanged,
    unchanged,
)

TIE: Final = math.radians(15.0)
"""Of two turns that bring a symmetrical piece over itself the lesser one is meant if
the other one is larger by this: a square that was turned by 45 degrees is in doubt,
and one that was turned by 10 is not. Larger: more is in doubt."""

HALF_ROUND: Final = math.radians(90.0)
"""A symmetrical piece that was turned by more may just as well have been mirrored
upside down, which takes one command in a drawing program too. Smaller: more is in
doubt."""

MOST_PAIRS: Final = 10_000
"""Edges of one outline times those of the other, a hundred each. With more, and a
change that is not the same on all of the outline, the search takes half a minute and
grows with the third power. Larger: more outlines are followed."""

EXACT_MM: Final = 0.02
"""Corners that are off by no more were only rounded, to two decimals of a
millimetre."""
INEXACT_MM: Final = 0.05
"""Corners that are off by more were moved. A piece that is symmetrical but for so much,
and agrees exactly once turned, was probably turned."""


def align(old: RingTraits, new: RingTraits) -> Alignment:
    """Align the edges of two outlines.

    Parameters
    ----------
    old, new : RingTraits

    Returns
    -------
    Alignment
        With the doubts that remain; none is raised.
    """
    return align_many([(old, new)])[0]


def search(old: RingTraits, new: RingTraits) -> Alignment:
    """Align the edges of two outlines whether they are drawn alike or not.

    Parameters
    ----------
    old, new : RingTraits

    Returns
    -------
    Alignment
        As that of `align`. Only the cost may differ, by less than 0.1, where outlines
        agree within the noise of a drawing.
    """
    agreed = _agreed(old, new)
    if agreed is not None:
        return agreed
    if len(old) * len(new) > MOST_PAIRS:
        return _too_many(old, new)
    seen = unchanged(old, new, [()] * len(old))
    if seen.most >= MUCH_UNCHANGED:
        confirmed = _confirmed(old, new, seen.pose)
        if confirmed is not None:
            return confirmed
    trials = Trials(old, new)
    trials.try_poses([AS_DRAWN])
    if trials.best.avoidable > DRAWING_NOISE:
        trials.try_poses(likely_poses(old, new))
    found = judge(trials)
    seen = unchanged(old, new, _edges(found))
    if seen.contradicts:
        return _doubted(found, align_in_pose(old, new, seen.pose))
    confirmed = None if found.is_sure else _confirmed(old, new, found.pose)
    return found if confirmed is None else confirmed


def align_in_pose(old: RingTraits, new: RingTraits, pose: Pose) -> Alignment:
    """Align the edges of two outlines whose pose is known, as that of a cut-out is."""
    trials = Trials(old, new)
    trials.try_poses([pose])
    return judge(trials, is_pose_known=True)


def align_many(
    pairs: Sequence[tuple[RingTraits, RingTraits]],
) -> tuple[Alignment, ...]:
    """Align many pairs of outlines, those that are drawn alike in one pass.

    Parameters
    ----------
    pairs : sequence of (old, new)

    Returns
    -------
    tuple of Alignment
    """
    groups: defaultdict[int, list[int]] = defaultdict(list)
    for k, (old, new) in enumerate(pairs):
        if len(old) == len(new):
            groups[len(old)].append(k)
    found: dict[int, Alignment] = {}
    for count, members in groups.items():
        alike = drawn_alike([pairs[k] for k in members])
        targets = tuple((edge,) for edge in range(count))
        for at in np.flatnonzero(alike.is_sure).tolist():
            misfit = float(alike.misfits[at])
            found[members[at]] = outcome(targets, AS_DRAWN, misfit, ())
    return tuple(found.get(k) or search(*pair) for k, pair in enumerate(pairs))


def _too_many(old: RingTraits, new: RingTraits) -> Alignment:
    """Put every edge in doubt."""
    last = len(new) - 1
    targets = [(min(edge, last),) for edge in range(len(old))]
    doubts = [
        Doubt(edge, Reason.MANY, Candidate(target, AS_DRAWN, 0.0), None)
        for edge, target in enumerate(targets)
    ]
    return outcome(targets, AS_DRAWN, 0.0, doubts)


@dataclass(frozen=True, slots=True)
class _Reading:
    """One way in which outlines agree."""

    pose: Pose
    targets: tuple[tuple[int, ...], ...]
    distance: float

    def candidate(self, edge: int) -> Candidate:
        return Candidate(self.targets[edge], self.pose, self.pose.prior)


def _agreed(old: RingTraits, new: RingTraits) -> Alignment | None:
    """Align outlines that agree within the noise of a drawing."""
    found = congruences(old, new)
    if len(found.first) == 0:
        return None
    readings = [
        _Reading(
            pose,
            tuple((edge,) for edge in found.targets(k, len(old)).tolist()),
            float(found.distances[k]),
        )
        for k, pose in enumerate(found.poses)
    ]
    readings.sort(key=lambda one: (one.pose.is_mirrored, one.pose.effort))
    best = readings[0]
    rivals = [other for other in readings[1:] if _is_tie(best, other)]
    doubts = []
    for e, target in enumerate(best.targets):
        other = next((r for r in rivals if r.targets[e] != target), None)
        if other is not None:
            both = best.candidate(e), other.candidate(e)
            doubts.append(Doubt(e, Reason.TIE, *both))
    return outcome(best.targets, best.pose, best.pose.prior, doubts)


def _confirmed(old: RingTraits, new: RingTraits, pose: Pose) -> Alignment | None:
    """Align in a pose, if what is unchanged puts it beyond doubt.

    Then what lies between unchanged edges is known without a comparison of shapes.
    """
    found = align_in_pose(old, new, pose)
    seen = unchanged(old, new, _edges(found))
    if not seen.confirms:
        return None
    known = between_unchanged(seen.pairs, (len(old), len(new)), pose)
    targets = [known.get(e, edges) for e, edges in enumerate(_edges(found))]
    doubts = [doubt for doubt in found.doubts if doubt.edge not in known]
    return outcome(targets, found.pose, found.cost, doubts)


def _edges(found: Alignment) -> list[tuple[int, ...]]:
    """Return where each old edge is taken, in doubt or not."""
    return [reading.edges for reading in found.readings]


def _doubted(found: Alignment, rival: Alignment) -> Alignment:
    """Put every edge in doubt whose pose is."""
    known = {doubt.edge: doubt for doubt in found.doubts}
    readings = zip(found.readings, rival.readings, strict=True)
    doubts = [
        known.get(e) or Doubt(e, Reason.TIE, *both) for e, both in enumerate(readings)
    ]
    return outcome(_edges(found), found.pose, found.cost, doubts)


def _is_tie(chosen: _Reading, other: _Reading) -> bool:
    if other.distance <= EXACT_MM and chosen.distance >= INEXACT_MM:
        return True
    if other.pose.is_mirrored and not chosen.pose.is_mirrored:
        # Turned half round or mirrored upside down: one command in a drawing program.
        return chosen.pose.effort > HALF_ROUND and other.pose.effort < TIE
    return other.pose.effort - chosen.pose.effort < TIE
