"""How ill a stretch of one outline fits a stretch of another.

Every deviation is measured in units of what is usual between two sizes of a piece, and
squared; a large one counts at most `MOST_COST`, so that a stretch that was drawn anew
does not outweigh all others. The figures below are our own choice, from what grading
does (it moves corners and stretches the page) and from trials with outlines whose
alignment is known. Larger: more changes are followed, and more is in doubt, since
other alignments fit as well. Smaller: a stretch that was graded is not recognised.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from edgefinder.classifier.matching.courses import (
    Course,
    Stretches,
    stretches,
)
from edgefinder.classifier.matching.edge_traits import MOST_TURNING
from edgefinder.geometry.segments import Complexes, Floats

MOST_TOGETHER: Final = 7
"""Edges that can become one edge, or that one edge can become: an edge with two
notches is seven. Larger: takes longer."""

CORNER_MOVES: Final = 0.04
"""A corner may move by this share of the diagonal against the others: two centimetres
on a bodice."""
PLACE: Final = 0.08
"""A corner may lie elsewhere in the box round the piece by this share of its diagonal.
Twice as much as it moves against the others, since the box moves too."""
LENGTH: Final = 0.15
"""An edge may grow by this share more than its piece."""
HEADING: Final = math.radians(12.0)
"""An end of a long straight edge may point elsewhere by this much."""
BENDING: Final = 0.2
"""A curve may turn more or less by this share, and its ends point elsewhere by it."""
MOST_COST: Final = 9.0
"""The most that one deviation can count, three times the usual, squared."""
EXTRA_CORNER: Final = 3.0
"""For each corner more or less. Together with the threshold of doubt it decides
whether two edges are rather two edges; see `alignment`."""
NO_DIRECTION: Final = 1e-6
"""Chords shorter than this share of the diagonal have no direction."""


@dataclass(frozen=True, slots=True, eq=False)
class StepCosts:
    """What it costs to take stretches for each other, with leading axes.

    Parameters
    ----------
    splits : ndarray, shape (p, ..., n, m)
        At p - 1 the costs at which old edge i became the p new edges from j on.
    merges : ndarray, shape (q - 1, ..., n, m)
        At q - 2 the costs at which the q old edges from i on became new edge j.
    """

    splits: Floats
    merges: Floats

    def __add__(self, other: "StepCosts") -> "StepCosts":
        return StepCosts(self.splits + other.splits, self.merges + other.merges)

    def taken(self, which: tuple[int, ...]) -> "StepCosts":
        """Take those at a place of the leading axes."""
        place: tuple[slice | int, ...] = (slice(None), *which)
        return StepCosts(self.splits[place], self.merges[place])

    def shared(self, costs: Floats) -> "StepCosts":
        """Add what a whole outline costs, shape (...), a share to each old edge."""
        share = costs[..., None, None] / self.splits.shape[-2]
        taken = np.arange(2, len(self.merges) + 2).reshape(-1, *[1] * share.ndim)
        return StepCosts(self.splits + share, self.merges + taken * share)


def step_costs(old: Course, new: Course, diagonals: Floats) -> StepCosts:
    """Compare every stretch with every other one, by its ends, length and turning.

    Parameters
    ----------
    old : Course
        Laid over the new one, shape (..., n).
    new : Course
        Shape (..., m).
    diagonals : ndarray, shape (...)
        Of the boxes round the new outlines.
    """
    size = diagonals[..., None, None]
    one_old, one_new = stretches(old, 1).old(), stretches(new, 1).new()
    splits = [
        fit(one_old, stretches(new, p).new(), size) + (p - 1) * EXTRA_CORNER
        for p in range(1, min(MOST_TOGETHER, new.count) + 1)
    ]
    merges = [
        fit(stretches(old, q).old(), one_new, size) + (q - 1) * EXTRA_CORNER
        for q in range(2, min(MOST_TOGETHER, old.count) + 1)
    ]
    return StepCosts(np.stack(splits), _stacked(merges, splits[0]))


def inner_costs(old: Course, new: Course, diagonals: Floats) -> StepCosts:
    """Return what the corners within stretches cost that lie off the one edge.

    To be added to `step_costs`, which are a bound from below without them. Of one pair
    of courses, without leading axes.
    """
    size = diagonals[..., None, None]
    olds = [stretches(old, q) for q in range(1, min(MOST_TOGETHER, old.count) + 1)]
    news = [stretches(new, p) for p in range(1, min(MOST_TOGETHER, new.count) + 1)]
    one_old, one_new = olds[0].old(), news[0].new()
    splits = [
        np.zeros(np.broadcast_shapes(one_old.lengths.shape, one_new.lengths.shape))
    ]
    for whole in news[1:]:
        inner = [part.new() for part in news[: len(splits)]]
        splits.append(_off(one_old, inner, whole.new(), size))
    merges: list[Floats] = []
    for whole in olds[1:]:
        inner = [part.old() for part in olds[: len(merges) + 1]]
        merges.append(_off(one_new, inner, whole.old(), size))
    return StepCosts(np.stack(splits), _stacked(merges, splits[0]))


def _stacked(tables: list[Floats], like: Floats) -> Floats:
    return np.stack(tables) if tables else np.empty((0, *like.shape))


def fit(old: Stretches, new: Stretches, size: Floats) -> Floats:
    """Compare stretches that are broadcast against each other.

    Parameters
    ----------
    old, new : Stretches
    size : ndarray
        Diagonals in millimetres.
    """
    move = CORNER_MOVES * size
    mean = (old.lengths + new.lengths) / 2
    length = np.square(old.lengths - new.lengths) / (
        np.square(LENGTH * mean) + np.square(move)
    )
    old_size, new_size = np.abs(old.chords), np.abs(new.chords)
    chord = _squared(new.chords - old.chords) / (
        np.square(LENGTH * (old_size + new_size) / 2) + np.square(move)
    )
    place = (
        _squared(new.starts - old.starts) + _squared(new.ends - old.ends)
    ) / np.square(PLACE * size)
    least = np.maximum(np.minimum(old_size, new_size), NO_DIRECTION * size)
    bent = BENDING * (np.abs(old.turnings) + np.abs(new.turnings)) / 2
    heading = np.square(HEADING + bent) + np.square(move / least)
    ends = (
        np.square(_wrapped(new.before - old.before))
        + np.square(_wrapped(new.after - old.after))
    ) / heading
    straight = np.square(HEADING + bent) + np.square(move / mean)
    turning = np.square(new.turnings - old.turnings) / straight
    return (
        bounded(length)
        + bounded(chord)
        + bounded(place / 2)
        + bounded(ends / 2) * 2
        + bounded(turning)
    )


def _off(
    edge: Stretches, inner: Sequence[Stretches], whole: Stretches, size: Floats
) -> Floats:
    """How far corners lie off an edge, on average.

    ``inner`` are the parts of the whole stretch up to each corner within it.
    """
    usual = np.square(LENGTH * np.abs(edge.chords)) + np.square(CORNER_MOVES * size)
    chords = np.stack([part.chords for part in inner])
    shares = np.stack([part.lengths for part in inner]) / whole.lengths
    squares = _squared(chords - _along(edge, shares)) / usual
    mean: Floats = bounded(squares).mean(axis=0)
    return mean


def _along(edge: Stretches, share: Floats) -> Complexes:
    """Return where a share of an edge ends, from its start, as on a circular arc."""
    turning = np.clip(edge.turnings, -MOST_TURNING, MOST_TURNING)
    turning = np.where(np.abs(turning) < NO_DIRECTION, NO_DIRECTION, turning)
    reach = np.sin(turning * share / 2) / np.sin(turning / 2)
    place: Complexes = edge.chords * reach * np.exp(1j * (share - 1) * turning / 2)
    return place


def bounded(squares: Floats) -> Floats:
    """Let a squared deviation count at most `MOST_COST`; a concave function."""
    bounded: Floats = squares / (1 + squares / MOST_COST)
    return bounded


def _squared(vectors: Complexes) -> Floats:
    squared: Floats = np.square(vectors.real) + np.square(vectors.imag)
    return squared


def _wrapped(angles: Floats) -> Floats:
    wrapped: Floats = np.remainder(angles + np.pi, 2 * np.pi) - np.pi
    return wrapped
