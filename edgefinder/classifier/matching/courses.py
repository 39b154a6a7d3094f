"""Outlines laid over each other, stretch by stretch.

A course is the traits of one or several outlines in one frame of reference, with what
the comparison of stretches needs: where each edge begins, and where it points there.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from edgefinder.classifier.matching.edge_traits import MOST_TURNING, RingTraits
from edgefinder.geometry.segments import Complexes, Floats, Indices

LEAST_SIDE: Final = 0.02
"""Share of the perimeter below which the box round an outline has no side of its own
to be stretched by: on a narrow strap the noise of the width would be magnified.
Larger: straps are stretched wrongly. Smaller: noise is magnified."""

UNEVEN: Final = 0.5
"""A piece may grow more one way than the other by this, as a logarithm, at a cost of
1; graded pieces grow more in width than in length. Our own choice. Larger: a rectangle
that was turned is taken for one that was stretched."""


@dataclass(frozen=True, slots=True, eq=False)
class Course:
    """Outlines of n edges each, with any leading axes before the last.

    Parameters
    ----------
    lengths : ndarray, shape (..., n)
        Millimetres.
    starts : ndarray of complex128, shape (..., n)
        Millimetres.
    before, after : ndarray, shape (..., n)
        Headings at the start and at the end of each edge in radians, not reduced to
        one turn.
    once_round : ndarray, shape (...)
        Radians by which the headings have grown after one round.
    """

    lengths: Floats
    starts: Complexes
    before: Floats
    after: Floats
    once_round: Floats

    @property
    def count(self) -> int:
        """Number of edges n."""
        return int(self.lengths.shape[-1])


@dataclass(frozen=True, slots=True, eq=False)
class Laid:
    """Old outlines where they come to lie over new ones.

    Parameters
    ----------
    course : Course
        Leading axes (2, ...).
    diagonals : ndarray, shape (...)
        Of the boxes round the new outlines, in millimetres.
    uneven : ndarray, shape (2, ...)
        What it costs to believe that a piece was stretched more one way.
    low : ndarray of complex128, shape (...)
        Lower left of the box round the old outlines.
    factors : ndarray of complex128, shape (2, ...)
        By which they are stretched, along x + i along y.
    to : ndarray of complex128, shape (2, ...)
        Where that lower left comes to lie.
    """

    course: Course
    diagonals: Floats
    uneven: Floats
    low: Complexes
    factors: Complexes
    to: Complexes

    def place(self, point: complex) -> Complexes:
        """Return where a point of the old drawing comes to lie, shape (2, ...)."""
        place: Complexes = _scaled(point - self.low, self.factors) + self.to
        return place


@dataclass(frozen=True, slots=True, eq=False)
class Stretches:
    """Edges that follow each other, taken together from each edge of a course on.

    Parameters
    ----------
    lengths : ndarray, shape (..., n)
    starts, ends : ndarray of complex128, shape (..., n)
    before, after : ndarray, shape (..., n)
        Headings at the start and at the end, not reduced.
    """

    lengths: Floats
    starts: Complexes
    ends: Complexes
    before: Floats
    after: Floats

    @property
    def chords(self) -> Complexes:
        """From the start to the end, shape (..., n)."""
        chords: Complexes = self.ends - self.starts
        return chords

    @property
    def turnings(self) -> Floats:
        """Radians from the start to the end, inner corners included."""
        turnings: Floats = self.after - self.before
        return turnings

    def old(self) -> "Stretches":
        """Give them the axis of the old edges: shape (..., n, 1)."""
        return self._with_axis(-1)

    def new(self) -> "Stretches":
        """Give them the axis of the new edges: shape (..., 1, m)."""
        return self._with_axis(-2)

    def _with_axis(self, axis: int) -> "Stretches":
        places = (..., None) if axis == -1 else (..., None, slice(None))
        return Stretches(
            self.lengths[places],
            self.starts[places],
            self.ends[places],
            self.before[places],
            self.after[places],
        )


def courses(rings: Sequence[RingTraits]) -> Course:
    """Lay outlines with equally many edges out with their headings, shape (b, n).

    Notes
    -----
    Traits hold turnings and corners, which add up to headings but for one constant.
    It follows from the chords: on a circular arc the chord points half way between
    the headings of its ends, and on other curves about so.
    """
    turnings = np.stack([ring.turnings for ring in rings])
    starts = np.stack([ring.starts for ring in rings])
    summed = np.cumsum(turnings + np.stack([ring.corners for ring in rings]), axis=-1)
    before = np.zeros(turnings.shape)
    before[:, 1:] = summed[:, :-1]
    chords = _following(starts) - starts
    along = chords * np.exp(-1j * (before + turnings / 2))
    before += np.angle(along.sum(axis=-1))[:, None]
    return Course(
        np.stack([ring.lengths for ring in rings]),
        starts,
        before,
        before + turnings,
        summed[:, -1],
    )


def chosen(one: Course, rows: Indices | int | tuple[int, ...]) -> Course:
    """Take outlines by their places along the leading axes."""
    return Course(
        one.lengths[rows],
        one.starts[rows],
        one.before[rows],
        one.after[rows],
        one.once_round[rows],
    )


def begun(one: Course, first: int) -> Course:
    """Begin outlines at another edge, counted from 0."""
    return _in_order(one, (np.arange(one.count) + first) % one.count)


def flipped(one: Course) -> Course:
    """Mirror outlines left to right, edge for edge as `edge_traits.mirrored` does."""
    back = np.arange(one.count)[::-1]
    ends = Course(
        one.lengths,
        -np.conj(_following(one.starts)),
        -one.after,
        -one.before,
        one.once_round,
    )
    return _in_order(ends, back)


def _in_order(one: Course, order: Indices) -> Course:
    return Course(
        one.lengths[..., order],
        one.starts[..., order],
        one.before[..., order],
        one.after[..., order],
        one.once_round,
    )


def turned_back(one: Course, angles: Floats) -> Course:
    """Turn outlines clockwise by radians, shape (...) of the course's leading axes."""
    by = np.asarray(angles)[..., None]
    return Course(
        one.lengths,
        one.starts * np.exp(-1j * by),
        one.before - by,
        one.after - by,
        one.once_round,
    )


def middles(one: Course) -> Complexes:
    """Return where edges have their middle if they are circular arcs, (..., n)."""
    turnings = np.clip(one.after - one.before, -MOST_TURNING, MOST_TURNING)
    chords = _following(one.starts) - one.starts
    middle: Complexes = one.starts + chords / 2 * (1 - 1j * np.tan(turnings / 4))
    return middle


def box(one: Course) -> tuple[Complexes, Complexes]:
    """Return the lower left of each outline, and its width and height as x + iy.

    Shape (...) each; from the ends and the middles of edges. A side is never less than
    a small share of the perimeter.
    """
    points = np.concatenate([one.starts, middles(one)], axis=-1)
    low = points.real.min(axis=-1) + 1j * points.imag.min(axis=-1)
    high = points.real.max(axis=-1) + 1j * points.imag.max(axis=-1)
    least = LEAST_SIDE * one.lengths.sum(axis=-1)
    sides = np.maximum((high - low).real, least) + 1j * np.maximum(
        (high - low).imag, least
    )
    middle = (low + high) / 2
    return middle - sides / 2, sides


def stretched(one: Course, factors: Complexes, to: Complexes) -> Course:
    """Stretch outlines along the axes of the page.

    Parameters
    ----------
    one : Course
    factors : ndarray of complex128, shape (...)
        Along x + i along y.
    to : ndarray of complex128, shape (...)
        Where the lower left of the box comes to lie.

    Returns
    -------
    Course
        Headings are exact; the length of a curve grows as the two halves of the
        circular arc do.
    """
    low, _ = box(one)
    factors = np.asarray(factors)[..., None]
    middle = middles(one)
    half, other = middle - one.starts, _following(one.starts) - middle
    drawn = np.abs(half) + np.abs(other)
    grown = np.abs(_scaled(half, factors)) + np.abs(_scaled(other, factors))
    even = np.sqrt(factors.real * factors.imag)
    has_chord = drawn > LEAST_SIDE * one.lengths
    growth = np.where(has_chord, grown / np.where(has_chord, drawn, 1.0), even)
    return Course(
        one.lengths * growth,
        _scaled(one.starts - low[..., None], factors) + np.asarray(to)[..., None],
        _stretched_headings(one.before, factors),
        _stretched_headings(one.after, factors),
        np.broadcast_to(one.once_round, np.shape(to)),
    )


def laid_over(old: Course, new: Course) -> Laid:
    """Lay old outlines over new ones, in two ways along a new first axis.

    The first is stretched so that the boxes round both agree, as grading does. The
    second grows evenly to the same perimeter: it fits where one corner was moved far
    and took the box with it.
    """
    low, sides = box(new)
    old_low, old_sides = box(old)
    stretch = sides.real / old_sides.real + 1j * sides.imag / old_sides.imag
    even = new.lengths.sum(axis=-1) / old.lengths.sum(axis=-1)
    middle = low + sides / 2 - even * old_sides / 2
    uneven = np.square(np.log(stretch.real / stretch.imag) / UNEVEN)
    factors, to = np.stack([stretch, even * (1 + 1j)]), np.stack([low, middle])
    return Laid(
        course=stretched(old, factors, to),
        diagonals=np.abs(sides),
        uneven=np.stack([uneven, np.zeros(uneven.shape)]),
        low=old_low,
        factors=factors,
        to=to,
    )


def stretches(one: Course, count: int) -> Stretches:
    """Take ``count`` edges together from each edge on."""
    n = one.count
    last = np.arange(n) + count - 1
    ends = np.concatenate([one.starts, one.starts], axis=-1)
    rounds = (last // n) * one.once_round[..., None]
    summed = np.cumsum(np.concatenate([one.lengths, one.lengths], axis=-1), axis=-1)
    return Stretches(
        summed[..., last] - summed[..., :n] + one.lengths,
        one.starts,
        ends[..., last + 1],
        one.before,
        one.after[..., last % n] + rounds,
    )


def _following(points: Complexes) -> Complexes:
    """Return the next point of each, shape (..., n)."""
    return np.concatenate([points[..., 1:], points[..., :1]], axis=-1)


def _scaled(vectors: Complexes, factors: Complexes) -> Complexes:
    scaled: Complexes = vectors.real * factors.real + 1j * vectors.imag * factors.imag
    return scaled


def _stretched_headings(headings: Floats, factors: Complexes) -> Floats:
    """Stretching along the axes turns no heading by a quarter turn or more."""
    vectors = np.exp(1j * headings)
    turned: Floats = headings + np.angle(_scaled(vectors, factors) * np.conj(vectors))
    return turned
