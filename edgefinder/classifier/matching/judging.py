"""What is sure after trials, and what is in doubt."""

from collections.abc import Sequence
from typing import Final

import numpy as np

from edgefinder.classifier.matching.cyclic_steps import ROUNDING
from edgefinder.classifier.matching.outcome import (
    Alignment,
    Candidate,
    Doubt,
    Reason,
    outcome,
)
from edgefinder.classifier.matching.poses import AS_DRAWN
from edgefinder.classifier.matching.trials import CLEAR, ILL, Trial, Trials
from edgefinder.geometry.segments import Floats

UNLIKE: Final = 22.0
"""An edge whose own misfit is more has become another one: several of its traits are
off by far more than grading does. Larger: other shapes are recognised."""

UNLIKE_MEAN: Final = 4.5
"""An outline is another one if its edges have more misfit than this on average. In
trials with pieces graded by half to 1.6 times in each direction, with corners moved and
gone, one in fifty was above. Larger: other shapes are recognised."""

UNLIKE_BOLD: Final = 2.0
"""The same for a piece that was turned or mirrored, without what corners more or less
cost: that is done to a drawing, and no grading goes with it. And for one of few
corners, since any three can be laid over any other three. Larger: triangles are taken
for others that were turned."""

FEW_EDGES: Final = 3
"""So many edges are few."""


MOST_IN_DOUBT: Final = 0.5
"""An outline of which so large a share is in doubt has been drawn anew: what is left of
it is not sure either. Our own choice. Larger: fewer edges are in doubt."""


def judge(trials: Trials, *, is_pose_known: bool = False) -> Alignment:
    """Take the best of some trials, and say what of it is in doubt.

    Parameters
    ----------
    trials : Trials
        At least one is done; those left out can neither win nor cast doubt.
    is_pose_known : bool
        Whether the pose is certain for other reasons, so that it need not prove itself.
    """
    done, best = trials.done, trials.best
    count, n, m = best.through.shape
    flat = best.through.swapaxes(0, 1).reshape(n, count * m).argmin(axis=1)
    rows, columns = np.divmod(flat, m)  # of each old edge: new edges - 1, first of them
    own = best.own[rows, np.arange(n), columns]
    misfits = np.stack([trial.through for trial in done])  # (trials, p, n, m)
    misfits[:, rows, np.arange(n), columns] = np.inf  # what takes it elsewhere
    targets = [_target(row, first, m) for row, first in zip(rows, columns, strict=True)]
    is_bold = not best.pose.is_near(AS_DRAWN) or min(n, m) <= FEW_EDGES
    is_other = best.misfit > UNLIKE_MEAN * max(n, m) or (
        is_bold and not is_pose_known and best.avoidable > UNLIKE_BOLD * max(n, m)
    )
    clear = CLEAR + ILL * np.max([np.roll(own, 1), own, np.roll(own, -1)], axis=0)
    is_as_likely = [trials.is_as_likely(trial.pose) for trial in done]
    fair = np.array([trials.fair_misfit(trial.pose) for trial in done])
    near = [best.cost + np.where(is_as_likely, margin, CLEAR) for margin in clear]
    rivals = [_rival(done, misfits[:, :, e], near[e], fair) for e in range(n)]
    is_other |= sum(rival is not None for rival in rivals) >= MOST_IN_DOUBT * n
    doubts = []
    for e, target in enumerate(targets):
        if is_other or own[e] > UNLIKE:
            reason = Reason.UNLIKE
        else:
            reason = Reason.TIE
            # A rival that casts doubt on one edge does so on all that it takes away.
            rivals[e] = rivals[e] or _shared(done, misfits[:, :, e], rivals)
        rival = rivals[e]
        if reason is Reason.UNLIKE or rival is not None:
            chosen = Candidate(target, best.pose, best.cost)
            doubts.append(Doubt(e, reason, chosen, rival))
    return outcome(targets, best.pose, best.cost, doubts)


def _rival(
    trials: list[Trial], misfits: Floats, near: Floats, fair: Floats
) -> Candidate | None:
    """Return the likeliest alignment that casts doubt on where an edge is taken.

    ``misfits``, shape (trials, p, m), are those of all that take it elsewhere. They
    cast doubt if they cost less than ``near``, or are less than ``fair``.
    """
    costs = misfits + _priors(trials)
    is_near, is_fair = costs < near[:, None, None], misfits < fair[:, None, None]
    return _least(trials, np.where(is_near | is_fair, costs, np.inf))


def _shared(
    trials: list[Trial], misfits: Floats, rivals: Sequence[Candidate | None]
) -> Candidate | None:
    """Return the rival of another edge that takes this one elsewhere, too."""
    costs = misfits + _priors(trials)
    is_shared = np.zeros(costs.shape, dtype=np.bool_)
    for rival in filter(None, rivals):
        in_pose = [[[trial.pose == rival.pose]] for trial in trials]
        is_shared |= in_pose & (np.abs(costs - rival.cost) <= ROUNDING)
    return _least(trials, np.where(is_shared, costs, np.inf))


def _priors(trials: list[Trial]) -> Floats:
    return np.array([trial.pose.prior for trial in trials])[:, None, None]


def _least(trials: list[Trial], costs: Floats) -> Candidate | None:
    k, row, first = np.unravel_index(np.argmin(costs), costs.shape)
    if not np.isfinite(costs[k, row, first]):
        return None
    target = _target(row, first, costs.shape[-1])
    return Candidate(target, trials[k].pose, float(costs[k, row, first]))


def _target(row: np.intp, first: np.intp, count: int) -> tuple[int, ...]:
    return tuple((int(first) + k) % count for k in range(int(row) + 1))
