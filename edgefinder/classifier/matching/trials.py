"""Alignments in each of the poses that a new drawing may have."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np

from edgefinder.classifier.matching.congruence import congruences
from edgefinder.classifier.matching.courses import (
    chosen,
    courses,
    laid_over,
    turned_back,
)
from edgefinder.classifier.matching.cyclic_steps import (
    ROUNDING,
    cheapest_through,
    least_costs,
)
from edgefinder.classifier.matching.edge_traits import RingTraits, mirrored
from edgefinder.classifier.matching.poses import Pose
from edgefinder.classifier.matching.step_costs import (
    EXTRA_CORNER,
    StepCosts,
    inner_costs,
    step_costs,
)
from edgefinder.geometry.segments import Floats

CLEAR: Final = 4.0
"""An edge is sure if every alignment that takes it elsewhere costs more by this. Our
own choice: were the deviations independent and normal, the odds would be about seven
to one on the step alone. Larger: more is in doubt. Smaller: edges are taken for others.
Not more than the priors of poses less `BETTER`: otherwise what fits well as drawn is in
doubt because it is symmetrical."""

ILL: Final = 3.0
"""In a pose that is as likely, an edge is sure only if that is more by this many times
its own misfit, or that of an edge beside it. Where a corner was moved far, the geometry
alone may speak clearly for the wrong one of two edges. Our own choice: with 2 one
outline in a thousand had a wrong edge in trials with corners moved far, with 2.5 one in
eight thousand, with 3 none. Larger: more is in doubt."""

BETTER: Final = 2.0
"""An edge is in doubt if an alignment that takes it elsewhere, however unlikely its
pose, has a misfit smaller by this. Larger: a piece that was turned is taken for one
that was stretched."""

FAR_BETTER: Final = 2.0
"""The same if the misfit is smaller by this factor: that is hardly chance, however
small both are."""

AS_GOOD: Final = 4.0
"""On a piece that is symmetrical but for little, an edge is in doubt if a pose that
takes it elsewhere has a misfit that is no more than this many times the least: it was
changed by about as much as it is irregular. Our own choice: with 2, one in 6,000 such
pieces that were turned and changed had a wrong edge in trials, with 4 one in 25,000.
Larger: more is in doubt, a rectangle that grew unevenly among them."""

MOST_SLACK: Final = 30.0
"""Alignments are looked for that cost more than the best one by up to this: `CLEAR`
with the misfits at which an edge is not recognised any more are above it, and there
the doubt is known without them. Larger: takes longer."""

DRAWING_NOISE: Final = 0.002
"""Misfits below this are noise of the drawing, two tenths of a millimetre on a piece
of 40 cm."""


@dataclass(frozen=True, slots=True, eq=False)
class Trial:
    """What alignments cost in one pose, as a misfit of the geometry.

    Parameters
    ----------
    pose : Pose
    through : ndarray, shape (p, n, m)
        At p - 1, i, j the least misfit of an alignment in which old edge i became the
        p new edges from j on; inf where there is none that matters. The whole outline
        stands at j = 0 only.
    own : ndarray, shape (p, n, m)
        The misfit of that step by itself, without what its extra corners cost.
    misfit : float
        Of the best alignment, the least of ``through``.
    slack : float
        By how much alignments in poses as likely that cast doubt on it cost more at
        most.
    """

    pose: Pose
    through: Floats
    own: Floats
    misfit: float
    slack: float

    @property
    def cost(self) -> float:
        """Of the best alignment, the prior of the pose included."""
        return self.misfit + self.pose.prior

    @property
    def avoidable(self) -> float:
        """The misfit without what other numbers of edges cost in any alignment."""
        return self.misfit - unavoidable(*self.through.shape[1:])


def unavoidable(old: int, new: int) -> float:
    """Return what numbers of edges that differ cost in any alignment."""
    return EXTRA_CORNER * abs(old - new)


class Trials:
    """Tries poses, but for those that can neither win nor cast doubt.

    Parameters
    ----------
    old, new : RingTraits
    """

    def __init__(self, old: RingTraits, new: RingTraits) -> None:
        self._ring = old
        self._old = courses([old])
        self._news = courses([new, mirrored(new)])
        self.done: list[Trial] = []

    @property
    def best(self) -> Trial:
        """The one of least cost."""
        return min(self.done, key=lambda trial: trial.cost)

    def try_poses(self, poses: Sequence[Pose]) -> None:
        """Try some more."""
        news = chosen(self._news, np.array([int(p.is_mirrored) for p in poses]))
        news = turned_back(news, np.array([p.turned_once_mirrored for p in poses]))
        laid = laid_over(self._old, news)
        costs = step_costs(laid.course, news, laid.diagonals).shared(laid.uneven)
        least = least_costs(costs)  # (2, poses)
        pending = {(way, k): pose for way in (0, 1) for k, pose in enumerate(poses)}
        while pending:
            limits = {pose: self._limit(pose) for pose in poses}
            matters = [at for at, p in pending.items() if least[at] <= limits[p]]
            if not matters:
                return
            at = min(matters, key=lambda at: least[at] + pending[at].prior)
            pose = pending.pop(at)
            fits = chosen(laid.course, at), chosen(news, at[1])
            inner = inner_costs(*fits, laid.diagonals[at[1]])
            self.done.append(_trial(pose, costs.taken(at) + inner, limits[pose]))

    def fair_misfit(self, pose: Pose) -> float:
        """Return the misfit below which an alignment in a pose casts doubt on the best.

        A piece that is symmetrical agrees with itself in several poses, whatever is
        done to it: that is told by how likely the poses are, and not by what is left
        of the noise of a change.
        """
        best = self.best
        fair = best.misfit - BETTER
        if best.avoidable > DRAWING_NOISE:
            least = best.misfit - best.avoidable
            if self._is_symmetry(pose):
                fair = max(fair, least + best.avoidable / FAR_BETTER)
            else:
                fair = least + float(as_good(np.array(best.avoidable)))
        return fair

    def is_as_likely(self, pose: Pose) -> bool:
        """Whether geometry alone speaks against a pose, and for the best one."""
        best = self.best.pose
        return pose.is_near(best) or pose.prior <= best.prior

    def _limit(self, pose: Pose) -> float:
        """Return the misfit up to which an alignment in a pose matters."""
        if not self.done:
            return math.inf
        best = self.best
        slack = best.slack if self.is_as_likely(pose) else CLEAR
        return max(best.cost + slack - pose.prior, self.fair_misfit(pose))

    def _is_symmetry(self, pose: Pose) -> bool:
        """Whether the old piece looks the same in a pose as in the best one."""
        best = self.best.pose
        return any(pose.is_near(one.then(best)) for one in self._symmetries)

    @cached_property
    def _symmetries(self) -> tuple[Pose, ...]:
        """Poses in which the old outline agrees with itself."""
        return congruences(self._ring, self._ring).poses


def as_good(misfits: Floats) -> Floats:
    """Return up to which misfit other poses fit about as well."""
    good: Floats = np.minimum(AS_GOOD * misfits, misfits + BETTER)
    return good


def slack(dearest: float) -> float:
    """Return the slack to look for, by the misfit of the step that fits worst."""
    return min(CLEAR + ILL * dearest, MOST_SLACK)


def _trial(pose: Pose, costs: StepCosts, limit: float) -> Trial:
    limit = limit if math.isfinite(limit) else 0.0
    through, merged = cheapest_through(costs, slack, limit)
    several = np.arange(len(costs.splits)).reshape(-1, 1, 1)
    own = costs.splits - several * EXTRA_CORNER
    n, m = own.shape[1:]
    for q, table in enumerate(merged, start=2):
        steps = costs.merges[q - 2] - (q - 1) * EXTRA_CORNER
        for k in range(q):  # old edge i as the one after k others that merge
            first = (np.arange(n) - k) % n
            better = table[first] < through[0]
            through[0][better] = table[first][better]
            own[0][better] = steps[first][better]
    if pose.is_mirrored:
        for p in range(1, len(through) + 1):
            j = (m - np.arange(m) - p) % m  # the last of the p edges comes first
            through[p - 1], own[p - 1] = through[p - 1][:, j], own[p - 1][:, j]
    if len(through) >= m:  # the whole outline is the same wherever it begins
        first = np.argmin(through[m - 1], axis=1)[:, None]
        for table in (through[m - 1], own[m - 1]):
            least = np.take_along_axis(table, first, axis=1)
            table[:] = np.inf
            table[:, :1] = least
    misfit = float(through.min())
    dearest = float(own[through <= misfit + ROUNDING].max())
    return Trial(pose, through, own, misfit, slack(dearest))
