"""Whether an outline is another one, moved, turned or mirrored.

Such an alignment needs no allowance for grading: it agrees within the noise of a
drawing, and chance agreement of all edges at once is out of the question. Several ones
mean that the piece is symmetrical.
"""

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from edgefinder.classifier.matching.edge_traits import RingTraits, mirrored
from edgefinder.classifier.matching.poses import Pose
from edgefinder.geometry.segments import Floats, Indices

SAME_PLACE_MM: Final = 0.3
"""Corners that are drawn nearer than this are one: a few roundings to a tenth of a
millimetre. Our own choice. Larger: a piece that was changed by less than a millimetre
counts as its mirror image."""

SAME_ANGLE: Final = math.radians(2.0)
"""Corners and turnings that differ by less are one, apart from what `SAME_PLACE_MM`
does to the directions of short edges. Our own choice: handles of curves are rounded as
well."""

SHORTEST_HANDLE: Final = 0.2
"""Share of an edge over which its direction at an end is taken to be drawn."""


@dataclass(frozen=True, slots=True, eq=False)
class Congruences:
    """Alignments in which an outline agrees with another one.

    Parameters
    ----------
    is_mirrored : ndarray of bool, shape (c,)
    first : ndarray of int, shape (c,)
        The new edge that old edge 0 became. The others follow in order, backwards if
        mirrored.
    turned : ndarray, shape (c,)
        Radians by which the page was turned (after it was mirrored left to right).
    distances : ndarray, shape (c,)
        How far the farthest corner is off, in millimetres.
    """

    is_mirrored: NDArray[np.bool_]
    first: Indices
    turned: Floats
    distances: Floats

    @property
    def poses(self) -> tuple[Pose, ...]:
        """The poses of the new outline, one for each alignment."""
        both = zip(self.is_mirrored.tolist(), self.turned.tolist(), strict=True)
        return tuple(Pose(is_mirrored, turned) for is_mirrored, turned in both)

    def targets(self, which: int, count: int) -> Indices:
        """Return the new edge of each old one, shape (n,)."""
        step = -1 if self.is_mirrored[which] else 1
        found: Indices = (self.first[which] + step * np.arange(count)) % count
        return found


def congruences(old: RingTraits, new: RingTraits) -> Congruences:
    """Find all alignments of two outlines that agree within the noise of a drawing.

    Parameters
    ----------
    old, new : RingTraits

    Returns
    -------
    Congruences
        Without any if the numbers of edges differ. An outline of one edge that agrees
        is not turned.
    """
    n = len(old)
    if n != len(new):
        return _none()
    straight, turned, off = _shifts(old, new)
    reverse, turned_reverse, off_reverse = _shifts(old, mirrored(new))
    # Mirroring the new outline turns the other way round; see `mirrored` for indices.
    first = np.concatenate([straight, n - 1 - reverse])
    flags = np.arange(len(first)) >= len(straight)
    turns = np.concatenate([turned, -turned_reverse])
    return Congruences(flags, first, turns, np.concatenate([off, off_reverse]))


def _none() -> Congruences:
    nothing = np.empty(0)
    return Congruences(nothing.astype(bool), nothing.astype(np.intp), nothing, nothing)


def _shifts(old: RingTraits, new: RingTraits) -> tuple[Indices, Floats, Floats]:
    """Return the shifts that agree, how each is turned, and how far it is off."""
    n = len(old)
    order = (np.arange(n)[:, None] + np.arange(n)) % n  # shift, old edge
    long = np.abs(new.lengths[order] - old.lengths) <= 2 * SAME_PLACE_MM
    share = SHORTEST_HANDLE * old.lengths
    loose = SAME_ANGLE + 2 * np.arctan2(SAME_PLACE_MM, share)
    turning = np.abs(new.turnings[order] - old.turnings) <= loose
    both = np.maximum(loose, np.roll(loose, -1))
    corner = np.abs(new.corners[order] - old.corners) <= both
    possible = np.flatnonzero((long & turning & corner).all(axis=1))
    if n == 1:
        return possible, np.zeros(len(possible)), np.zeros(len(possible))
    fixed = old.starts - old.starts.mean()
    moved = new.starts[order[possible]]
    moved = moved - moved.mean(axis=1, keepdims=True)
    # The turn that brings the corners nearest in the mean of squares.
    turns = np.angle((moved * np.conj(fixed)).sum(axis=1))
    apart = np.abs(moved * np.exp(-1j * turns)[:, None] - fixed).max(axis=1)
    near = apart <= SAME_PLACE_MM
    return possible[near], turns[near], apart[near]
