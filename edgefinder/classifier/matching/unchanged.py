"""What of an outline is unchanged in another one, lying as a whole.

Where a piece was changed in one place, its other edges are what they were, to the
noise of a drawing, and lie as they lay with respect to each other. That speaks more
clearly than any cost of a fit, above all on pieces that are nearly symmetrical.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from edgefinder.classifier.matching.congruence import SAME_ANGLE, SAME_PLACE_MM
from edgefinder.classifier.matching.edge_traits import RingTraits, mirrored
from edgefinder.classifier.matching.poses import AS_DRAWN, Pose
from edgefinder.geometry.segments import Floats, Indices

Flags = NDArray[np.bool_]

UNCHANGED_MM: Final = SAME_PLACE_MM
"""Edges are unchanged whose lengths and ends agree to this: both of their ends may be
off by what a corner may. Larger: chance agreement counts."""

LEAST_UNCHANGED: Final = 0.25
"""Share of the perimeter that has to be unchanged, in two edges at least, before it
counts. Our own choice. Larger: a nearly symmetrical piece that was turned and changed
in several places is not recognised as turned. Smaller: chance agreement counts."""

MORE_UNCHANGED: Final = 0.05
"""And by this share it has to be more than in the alignment that is compared."""

MUCH_UNCHANGED: Final = 0.5
"""Share of the perimeter that puts the pose beyond doubt, if no more than half as much
speaks against it. Our own choice. Larger: more is in doubt."""

ENOUGH_EDGES: Final = 3
"""So many unchanged edges put the pose beyond doubt: of four edges that are all about
as long, two may agree by chance. Our own choice. Larger: more is in doubt."""

FARTHEST: Final = 3.0
"""The directions of an edge are noisy, and places are the more so the farther they are;
up to this many times. Larger: chance agreement counts."""


@dataclass(frozen=True, slots=True)
class Unchanged:
    """How much of an outline is unchanged, by an alignment and against it.

    Parameters
    ----------
    own : float
        Share of the old perimeter that lies unchanged as a whole as the alignment
        says; 0 if it is less than two edges.
    against : float
        The same of edges lying so that the alignment takes one of them elsewhere.
    most : float
        The same whatever the alignment says.
    pose : Pose
        In which most is unchanged.
    pairs : tuple of (old, new)
        The edges that ``own`` counts.
    """

    own: float
    against: float
    most: float
    pose: Pose
    pairs: tuple[tuple[int, int], ...]

    @property
    def contradicts(self) -> bool:
        """Whether far more is unchanged than the alignment says."""
        return self.most >= max(LEAST_UNCHANGED, self.own + MORE_UNCHANGED)

    @property
    def confirms(self) -> bool:
        """Whether so much is unchanged that the pose is beyond doubt."""
        is_much = self.own >= MUCH_UNCHANGED and len(self.pairs) >= ENOUGH_EDGES
        return is_much and self.against <= self.own / 2


def unchanged(
    old: RingTraits, new: RingTraits, targets: Sequence[Sequence[int]]
) -> Unchanged:
    """Find out how much is unchanged.

    Parameters
    ----------
    old, new : RingTraits
    targets : sequence of sequence of int
        The new edges that each old one became by some alignment.
    """
    taken = np.zeros((len(old), len(new)), dtype=np.bool_)
    for edge, target in enumerate(targets):
        taken[edge, list(target)] = True
    own, against, most, pose = 0.0, 0.0, 0.0, AS_DRAWN
    pairs: dict[int, int] = {}
    for is_mirrored, ring in ((False, new), (True, mirrored(new))):
        i, j = _alike(old, ring)
        if len(i) == 0:
            continue
        is_own = (taken[:, ::-1] if is_mirrored else taken)[i, j]
        turns, lying = _lying_alike(old, ring, i, j)
        found = _supported(lying & is_own, i, old.lengths)
        if found.max() > own:
            own, seen = float(found.max()), (lying & is_own)[np.argmax(found)]
            ours = len(new) - 1 - j if is_mirrored else j
            pairs = dict(zip(i[seen].tolist(), ours[seen].tolist(), strict=True))
        lengths = _supported(lying, i, old.lengths)
        is_against = (lying & ~is_own).any(axis=1)
        against = max(against, float((lengths * is_against).max()))
        best = int(np.argmax(lengths))
        if lengths[best] > most:
            most, turned = float(lengths[best]), float(turns[best])
            turned = 0.0 if abs(turned) <= SAME_ANGLE else turned
            pose = Pose(is_mirrored, -turned if is_mirrored else turned)
    whole = old.perimeter
    shares = own / whole, against / whole, most / whole
    return Unchanged(*shares, pose, tuple(pairs.items()))


def between_unchanged(
    pairs: Sequence[tuple[int, int]], counts: tuple[int, int], pose: Pose
) -> dict[int, tuple[int, ...]]:
    """Say what became of edges by what lies between those that are unchanged.

    Parameters
    ----------
    pairs : sequence of (old, new)
        The edges that are unchanged, at least one.
    counts : (int, int)
        Numbers of old and of new edges.
    pose : Pose

    Returns
    -------
    dict of int to tuple of int
        The new edges of old ones: of those unchanged, and of those that lie between
        two of them as the only old one, or with one new one only. Empty if the pairs
        are not in the same order on both outlines.
    """
    n, m = counts
    step = -1 if pose.is_mirrored else 1
    fixed = sorted(pairs)
    found: dict[int, tuple[int, ...]] = {i: (j,) for i, j in fixed}
    count = len(fixed)
    for (i, j), (after_i, after_j) in zip(fixed, [*fixed[1:], fixed[0]], strict=True):
        olds = [(i + 1 + k) % n for k in range((after_i - i - 1) % n)]
        news = [(j + step * (1 + k)) % m for k in range((step * (after_j - j) - 1) % m)]
        count += len(news)
        if news and (len(olds) == 1 or len(news) == 1):
            found |= dict.fromkeys(olds, tuple(news[::step]))
    return found if count == m else {}  # else they do not follow each other


def _alike(old: RingTraits, new: RingTraits) -> tuple[Indices, Indices]:
    """Return the pairs of edges that may be unchanged, and have a direction."""
    loose = SAME_ANGLE + 2 * np.arctan2(UNCHANGED_MM, old.lengths)[:, None]
    near = np.abs(new.lengths - old.lengths[:, None]) <= UNCHANGED_MM
    near &= np.abs(new.turnings - old.turnings[:, None]) <= loose
    near &= np.abs(np.abs(new.chords) - np.abs(old.chords)[:, None]) <= UNCHANGED_MM
    near &= (np.abs(old.chords) > 2 * UNCHANGED_MM)[:, None]
    i, j = np.nonzero(near)
    return i, j


def _lying_alike(
    old: RingTraits, new: RingTraits, i: Indices, j: Indices
) -> tuple[Floats, Flags]:
    """Lay the old outline over the new one by each of k pairs of edges.

    Returns
    -------
    turns : ndarray, shape (k,)
        Radians.
    lying : ndarray of bool, shape (k, k)
        Whether each pair (second axis) then lies over each other.
    """
    z, w = old.chords[i], new.chords[j]
    turns = np.angle(w * np.conj(z))
    turn = np.exp(1j * turns)
    middles = new.starts[j] + w / 2 - turn * (old.starts[i] + z / 2)
    apart = np.zeros((len(i), len(i)))
    far = np.zeros((len(i), len(i)))
    for a, b in (
        (old.starts[i], new.starts[j]),
        (old.starts[i] + z, new.starts[j] + w),
    ):
        laid = turn[:, None] * a + middles[:, None]
        apart = np.maximum(apart, np.abs(laid - b))
        far = np.maximum(far, np.abs(a - (old.starts[i] + z / 2)[:, None]))
    return turns, apart <= UNCHANGED_MM * np.clip(far / np.abs(z)[:, None], 1, FARTHEST)


def _supported(lying: Flags, i: Indices, lengths: Floats) -> Floats:
    """Return the length of unchanged edges for each way to lay, if two at least."""
    found = np.zeros((len(lying), len(lengths)), dtype=np.bool_)
    rows, columns = np.nonzero(lying)
    found[rows, i[columns]] = True
    total: Floats = np.where(found.sum(axis=1) >= 2, found @ lengths, 0.0)
    return total
