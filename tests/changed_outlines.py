"""Outlines that were graded or drawn anew, with the edges they came from.

Every segment carries the numbers of the drawn edges that it belongs to, through every
change: so the true alignment is known without any comparison of shapes.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from shapely import Polygon

from edgefinder.classifier.matching.edge_traits import RingTraits
from edgefinder.geometry.arclength import lengths
from edgefinder.geometry.extent import lower_left
from edgefinder.geometry.headings import joint_turnings, turnings
from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import (
    Complexes,
    concatenate,
    cubic_segments,
    line_segments,
    split,
)

Random = np.random.Generator
CORNER = math.radians(30)
SHORTEST_MM = 15.0
SHORTEST_MOVED = 1 / 3
"""Share of the shortest edge by which corners move at most, as a deviation in each
direction: three deviations are that edge itself. With more it points anywhere, and
nobody could say where it went."""
IRREGULAR_MM = 3.0
"""A piece that is off its own mirror image, or itself turned, by more at some corner
is told apart from it by a person with a ruler."""
MOST_TOGETHER = 7


@dataclass(frozen=True)
class Outline:
    """A closed outline of cubics, straight ones among them.

    Parameters
    ----------
    control : ndarray of complex128, shape (n, 4)
    is_straight : tuple of bool
    drawn : tuple of frozenset of int
        The drawn edges that each segment belongs to.
    """

    control: Complexes
    is_straight: tuple[bool, ...]
    drawn: tuple[frozenset[int], ...]

    def __len__(self) -> int:
        return len(self.control)

    @property
    def chords(self) -> Complexes:
        chords: Complexes = self.control[:, 3] - self.control[:, 0]
        return chords

    @property
    def diagonal(self) -> float:
        points = self.control.ravel()
        return math.hypot(np.ptp(points.real), np.ptp(points.imag))

    @property
    def path(self) -> Path:
        tables = [
            line_segments(row[0], row[3]) if is_straight else cubic_segments(row)
            for row, is_straight in zip(self.control, self.is_straight, strict=True)
        ]
        return Path(concatenate(tables), closed=True)


@dataclass(frozen=True)
class Case:
    """One alignment whose truth is known.

    Parameters
    ----------
    change : str
    is_symmetrical : bool
    old, new : RingTraits
    truth : tuple of frozenset of int
        The new edges that each old one became.
    """

    change: str
    is_symmetrical: bool
    old: RingTraits
    new: RingTraits
    truth: tuple[frozenset[int], ...]


# Pieces


def piece(chance: Random, *, is_symmetrical: bool) -> Outline:
    """Draw a piece of lines and curves, with 3 to 14 corners or joints."""
    count = int(chance.integers(3, 15))
    while True:
        drawn = _symmetrical(chance) if is_symmetrical else _any(chance, count)
        is_corner = np.abs(joint_turnings(drawn.path)) >= CORNER
        if is_corner.sum() >= 3 and is_simple(drawn):
            return drawn


def _any(chance: Random, count: int) -> Outline:
    steps = chance.uniform(0.4, 1, count)
    angles = np.cumsum(steps) / steps.sum() * 2 * np.pi
    corners = chance.uniform(80, 300, count) * np.exp(1j * angles)
    corners = corners.real * chance.uniform(0.5, 1.5) + 1j * corners.imag
    if count > 4 and chance.random() < 0.4:  # one short edge
        k = int(chance.integers(count))
        step = corners[(k + 1) % count] - corners[k]
        step *= max(chance.uniform(0.1, 0.4), SHORTEST_MM / abs(step))
        corners[(k + 1) % count] = corners[k] + step
    is_straight = (chance.random(count) < 0.5).tolist()
    return _drawn(corners, is_straight, chance.uniform(-0.25, 0.25, (count, 2)))


def _symmetrical(chance: Random) -> Outline:
    kind = chance.integers(3)
    if kind == 0:  # a regular polygon, all edges alike
        count = int(chance.integers(3, 9))
        angles = 2 * np.pi * np.arange(count) / count + chance.uniform(0, 6)
        bend = np.full((count, 2), chance.uniform(-0.2, 0.2))
        is_straight = [bool(chance.integers(2))] * count
        return _drawn(200 * np.exp(1j * angles), is_straight, bend)
    if kind == 1:
        width, height = chance.uniform(60, 500, 2)
        corners = np.array([0, width, width + 1j * height, 1j * height])
        return _drawn(corners, [True] * 4, np.zeros((4, 2)))
    half = int(chance.integers(2, 7))  # corners on either side of a fold
    angles = np.linspace(-1.4, 1.4, half) + chance.uniform(-0.1, 0.1, half)
    right = chance.uniform(120, 300, half) * np.exp(1j * angles)
    bend = np.zeros((2 * half, 2))
    is_straight = [True] * (2 * half)
    for k in range(half - 1):
        bend[[k, 2 * half - 2 - k]] = chance.uniform(-0.2, 0.2)
        is_straight[k] = is_straight[2 * half - 2 - k] = bool(chance.integers(2))
    return _drawn(np.append(right, -right[::-1].conj()), is_straight, bend)


def nearly_symmetrical(chance: Random) -> Outline:
    """Draw a rectangle or a regular polygon that is off by some millimetres."""
    while True:
        count = int(chance.integers(3, 7))
        if count == 4 or chance.random() < 0.5:
            width = 200 * chance.uniform(1, 1.5)
            corners = np.array([0, width, width + 200j, 200j])
        else:
            corners = 150 * np.exp(2j * np.pi * np.arange(count) / count)
        count = len(corners)
        off = chance.choice([3, 6, 12, 25]) * chance.normal(size=(2, count))
        corners = corners + off[0] + 1j * off[1]
        drawn = _drawn(corners, [True] * count, np.zeros((count, 2)))
        if is_simple(drawn) and irregularity(corners) > IRREGULAR_MM:
            return drawn


def irregularity(corners: Complexes) -> float:
    """Return how far corners are off in the best of all other ways to lay them over.

    The farthest corner counts, laid so that the mean of the squares is least: turned
    by the angle of the complex inner product, as in Umeyama, "Least-squares estimation
    of transformation parameters between two point patterns", 1991.
    """
    fixed = corners - corners.mean()
    turned = [np.roll(fixed, k) for k in range(1, len(fixed))]
    flipped = [np.roll(fixed[::-1].conj(), k) for k in range(len(fixed))]
    least = math.inf
    for other in turned + flipped:
        turn = np.exp(1j * np.angle(np.vdot(other, fixed)))
        least = min(least, float(np.abs(other * turn - fixed).max()))
    return least


def _drawn(
    corners: Complexes, is_straight: Sequence[bool], bend: np.ndarray
) -> Outline:
    """Join corners; the handles lie beside the chord by shares of its length."""
    chord = np.roll(corners, -1) - corners
    first, second = bend.T
    control = np.stack(
        [
            corners,
            corners + chord * (0.33 - 1j * first),
            corners + chord * (0.67 - 1j * second),
            corners + chord,
        ],
        axis=1,
    )
    drawn = tuple(frozenset([k]) for k in range(len(corners)))
    return Outline(control, tuple(is_straight), drawn)


def is_simple(outline: Outline) -> bool:
    """Whether it does not cross itself, and runs with the fabric on its left."""
    t = np.linspace(0, 1, 9)[:-1, None]
    u = 1 - t
    p = outline.control.T[:, None]
    points = u**3 * p[0] + 3 * u * u * t * p[1] + 3 * u * t * t * p[2] + t**3 * p[3]
    ring = points.T.ravel()
    polygon = Polygon(np.stack([ring.real, ring.imag], axis=1))
    return bool(polygon.is_valid and polygon.exterior.is_ccw and polygon.area > 1000)


def has_its_corners(drawn: Outline, changed: Outline) -> bool:
    """Whether a changed outline has corners, and those that stayed are the same.

    None turns by more than a quarter turn more or less: if it pointed outwards and then
    inwards, as grading never does, nobody could say that it is the same corner.
    """
    before, after = _corner_turns(drawn), _corner_turns(changed)
    stayed = before.keys() & after.keys()
    is_corner = np.abs(joint_turnings(changed.path)) >= CORNER
    return bool(is_corner.any()) and all(
        abs(after[k] - before[k]) <= math.pi / 2 for k in stayed
    )


def _corner_turns(outline: Outline) -> dict[frozenset[frozenset[int]], float]:
    """Return what an outline turns between drawn edges, in radians."""
    turns = joint_turnings(outline.path).tolist()
    following = outline.drawn[1:] + outline.drawn[:1]
    return {
        frozenset(both): turn
        for turn, *both in zip(turns, outline.drawn, following, strict=True)
        if both[0] != both[1]
    }


# Changes of the whole outline


def moved_by(outline: Outline, change: Callable[[Complexes], Complexes]) -> Outline:
    return Outline(change(outline.control), outline.is_straight, outline.drawn)


def moved(outline: Outline, chance: Random) -> Outline:
    shift = complex(*chance.uniform(-300, 300, 2))
    return moved_by(outline, lambda z: z + shift)


def turned(outline: Outline, chance: Random) -> Outline:
    turn = np.exp(1j * chance.uniform(-np.pi, np.pi))
    return moved_by(outline, lambda z: z * turn)


def turned_by_a_quarter(outline: Outline, chance: Random) -> Outline:
    turn = 1j ** int(chance.integers(1, 4))
    return moved_by(outline, lambda z: z * turn)


def mirrored(outline: Outline, chance: Random) -> Outline:
    """Mirror left to right, and turn now and then."""
    flipped = Outline(
        -outline.control[::-1, ::-1].conj(),
        outline.is_straight[::-1],
        outline.drawn[::-1],
    )
    return turned(flipped, chance) if chance.random() < 0.5 else flipped


def rounded(outline: Outline) -> Outline:
    return moved_by(outline, lambda z: z.real.round(2) + 1j * z.imag.round(2))


def stretched(outline: Outline, across: float, along: float) -> Outline:
    return moved_by(outline, lambda z: z.real * across + 1j * z.imag * along)


def corners_moved(outline: Outline, chance: Random, by: float) -> Outline:
    """Move each corner on its own; curves follow as their handles do.

    Never so far that a short edge would point anywhere.
    """
    count = len(outline)
    by = min(by, SHORTEST_MOVED * float(np.abs(outline.chords).min()))
    start = by * (chance.normal(size=count) + 1j * chance.normal(size=count))
    end = np.roll(start, -1)
    shift = np.stack([start, (2 * start + end) / 3, (start + 2 * end) / 3, end], axis=1)
    return moved_by(outline, lambda z: z + shift)


def flattened(outline: Outline, chance: Random, least: float, most: float) -> Outline:
    """Let every curve bow out less or more."""
    bow = chance.uniform(least, most, (len(outline), 1))
    start, chord = outline.control[:, :1], outline.chords[:, None]

    def change(control: Complexes) -> Complexes:
        along = (control - start) / chord
        return start + chord * (along.real + 1j * bow * along.imag)

    return moved_by(outline, change)


def restarted(outline: Outline, first: int) -> Outline:
    order = [(first + k) % len(outline) for k in range(len(outline))]
    return Outline(
        outline.control[order],
        tuple(outline.is_straight[k] for k in order),
        tuple(outline.drawn[k] for k in order),
    )


# Changes of one edge


def with_corner(outline: Outline, chance: Random) -> Outline:
    """Let a corner appear within an edge."""
    k = int(chance.integers(len(outline)))
    left, right = _cut(outline.control[k], *[chance.uniform(0.35, 0.65)] * 2)
    side = 1 if chance.random() < 0.5 else -1
    off = 1j * outline.chords[k] * chance.uniform(0.14, 0.2) * side
    left[1:] += off * np.array([0.3, 0.7, 1])
    right[:-1] += off * np.array([1, 0.7, 0.3])
    return _replaced(outline, k, [left, right], [outline.is_straight[k]] * 2)


def with_notch(outline: Outline, chance: Random) -> Outline:
    """Cut a V notch into an edge."""
    k = int(chance.integers(len(outline)))
    half = chance.uniform(2, 4) / abs(outline.chords[k])
    middle = chance.uniform(0.25, 0.75)
    left, right = _cut(outline.control[k], middle - half, middle + half)
    a, b = left[3], right[0]
    inwards = 1j * (b - a) / abs(b - a)
    apex = (a + b) / 2 + inwards * chance.uniform(4, 9)
    sides = [np.linspace(a, apex, 4), np.linspace(apex, b, 4)]
    is_straight = outline.is_straight[k]
    return _replaced(
        outline, k, [left, *sides, right], [is_straight, True, True, is_straight]
    )


def with_corner_gone(outline: Outline, chance: Random) -> Outline:
    """Melt a blunt corner into a curve; without one nothing changes."""
    corners = np.abs(joint_turnings(outline.path))
    blunt = np.flatnonzero(corners < math.radians(80))
    if len(outline) < 4 or len(blunt) == 0:
        return outline
    k = int(chance.choice(blunt))
    outline = restarted(outline, k)  # the corner is that after the first segment
    first, second = outline.control[:2]
    ahead, back = first[1] - first[0], second[2] - second[3]
    handle = 0.4 * (abs(outline.chords[0]) + abs(outline.chords[1]))
    curve = np.array(
        [
            first[0],
            first[0] + handle * ahead / abs(ahead),
            second[3] + handle * back / abs(back),
            second[3],
        ]
    )
    return Outline(
        np.concatenate([[curve], outline.control[2:]]),
        (False, *outline.is_straight[2:]),
        (outline.drawn[0] | outline.drawn[1], *outline.drawn[2:]),
    )


def _cut(row: Complexes, end: float, begin: float) -> tuple[Complexes, Complexes]:
    one = cubic_segments(row)
    left = split(one, np.zeros(1), np.array([end])).control[0].copy()
    right = split(one, np.array([begin]), np.ones(1)).control[0].copy()
    return left, right


def _replaced(
    outline: Outline, k: int, rows: list[Complexes], is_straight: list[bool]
) -> Outline:
    return Outline(
        np.concatenate([outline.control[:k], rows, outline.control[k + 1 :]]),
        (*outline.is_straight[:k], *is_straight, *outline.is_straight[k + 1 :]),
        (
            *outline.drawn[:k],
            *[outline.drawn[k]] * len(rows),
            *outline.drawn[k + 1 :],
        ),
    )


# Mild and hard changes


def _evenly(outline: Outline, chance: Random) -> Outline:
    size = chance.uniform(0.8, 1.3)
    graded = stretched(outline, size, size * chance.uniform(0.93, 1.07))
    return corners_moved(graded, chance, 0.004 * outline.diagonal)


def _graded(outline: Outline, chance: Random, by: float = 0.0) -> Outline:
    across, along = chance.uniform(0.5, 1.6, 2)
    graded = stretched(outline, across, along)
    return corners_moved(graded, chance, by * graded.diagonal)


Change = Callable[[Outline, Random], Outline]

REVISED: dict[str, Change] = {
    "moved": moved,
    "rounded": lambda o, r: rounded(moved(o, r)),
    "noise": lambda o, r: rounded(corners_moved(o, r, 0.1)),
    "stretched": lambda o, r: stretched(o, *r.uniform(0.93, 1.07, 2)),
    "a corner more": with_corner,
    "a notch": with_notch,
    "two notches": lambda o, r: with_notch(with_notch(o, r), r),
    "a corner gone": with_corner_gone,
    "graded evenly": _evenly,
}
"""Mild changes that leave the page as it lies."""

TURNED: dict[str, Change] = {
    "turned": turned,
    "turned by a quarter": turned_by_a_quarter,
    "mirrored": mirrored,
    "turned, a corner more": lambda o, r: turned(with_corner(o, r), r),
    "mirrored, a notch": lambda o, r: mirrored(with_notch(o, r), r),
    "mirrored, rounded": lambda o, r: rounded(mirrored(o, r)),
}
"""Mild changes of the page, after which only pieces without symmetry have a truth."""

GRADED: dict[str, Change] = {
    "graded": _graded,
    "graded, curves flattened": lambda o, r: flattened(_graded(o, r), r, 0.3, 1.3),
    "graded, corners moved": lambda o, r: _graded(o, r, 0.02),
    "graded, a corner more": lambda o, r: _graded(with_corner(o, r), r, 0.01),
    "graded, a corner gone": lambda o, r: _graded(with_corner_gone(o, r), r, 0.01),
    "graded, a corner gone, a notch": lambda o, r: flattened(
        _graded(with_notch(with_corner_gone(o, r), r), r, 0.01), r, 0.6, 1.2
    ),
}
"""Hard changes that leave the page as it lies."""

TURNED_HARD: dict[str, Change] = {
    "corners moved far": lambda o, r: flattened(
        corners_moved(o, r, 0.025 * o.diagonal), r, 0.5, 1.5
    ),
    "turned, stretched, a corner more": lambda o, r: turned(
        corners_moved(
            stretched(with_corner(o, r), *r.uniform(0.8, 1.25, 2)),
            r,
            0.005 * o.diagonal,
        ),
        r,
    ),
}
"""Hard changes of pieces without symmetry."""


NEARLY: dict[str, Change] = {
    "moved": moved,
    "noise": lambda o, r: corners_moved(o, r, 0.5),
    "corners moved": lambda o, r: corners_moved(o, r, 2.0),
    "stretched": lambda o, r: stretched(o, *r.uniform(0.95, 1.05, 2)),
    "a corner more": with_corner,
    "a notch": with_notch,
}
"""Changes of pieces that are nearly symmetrical, by about as much as they are not."""


def nearly_symmetrical_cases(seed: int, count: int) -> list[Case]:
    """Make cases of nearly symmetrical pieces, most of them turned or mirrored."""
    chance = np.random.default_rng(seed)
    pages: list[Change] = [moved, turned, turned_by_a_quarter, mirrored]
    made: list[Case] = []
    while len(made) < count:
        drawn = nearly_symmetrical(chance)
        change = str(chance.choice(list(NEARLY)))
        page = pages[int(chance.integers(len(pages)))]
        changed = page(NEARLY[change](drawn, chance), chance)
        changed = restarted(changed, int(chance.integers(len(changed))))
        old, new = traits_of(drawn), traits_of(changed)
        truth = _truth(old[1], new[1])
        if truth is not None:
            made.append(Case(change, False, old[0], new[0], truth))
    return made


def cases(seed: int, count: int, *, is_hard: bool) -> list[Case]:
    """Make cases of known truth; every fourth piece is symmetrical."""
    chance = np.random.default_rng(seed)
    lying = GRADED if is_hard else REVISED
    every = lying | (TURNED_HARD if is_hard else TURNED)
    made: list[Case] = []
    while len(made) < count:
        is_symmetrical = len(made) % 4 == 3
        drawn = piece(chance, is_symmetrical=is_symmetrical)
        change = str(chance.choice(list(lying if is_symmetrical else every)))
        changed = every[change](drawn, chance)
        if not is_simple(changed) or not has_its_corners(drawn, changed):
            continue
        changed = restarted(changed, int(chance.integers(len(changed))))
        old, new = traits_of(drawn), traits_of(changed)
        truth = _truth(old[1], new[1])
        if truth is not None:
            made.append(Case(change, is_symmetrical, old[0], new[0], truth))
    return made


# Edges


def traits_of(outline: Outline) -> tuple[RingTraits, list[frozenset[int]]]:
    """Cut an outline at its corners, in its own order.

    Returns
    -------
    RingTraits
    list of frozenset of int
        The drawn edges that each edge belongs to.
    """
    path = outline.path
    joints = joint_turnings(path)
    begins = np.flatnonzero(np.abs(np.roll(joints, 1)) >= CORNER)
    if len(begins) == 0:
        raise ValueError("an outline without a corner has no edges to compare")
    count = len(outline)
    groups = [
        [(begin + k) % count for k in range((end - begin - 1) % count + 1)]
        for begin, end in zip(begins, np.roll(begins, -1), strict=True)
    ]
    length, turning = lengths(path.segments), turnings(path.segments)
    traits = RingTraits(
        np.array([length[group].sum() for group in groups]),
        np.array([turning[g].sum() + joints[g[:-1]].sum() for g in groups]),
        np.array([joints[group[-1]] for group in groups]),
        outline.control[begins, 0] - lower_left(path),
    )
    drawn = [
        frozenset[int]().union(*(outline.drawn[k] for k in group)) for group in groups
    ]
    return traits, drawn


def _truth(
    old: list[frozenset[int]], new: list[frozenset[int]]
) -> tuple[frozenset[int], ...] | None:
    """Return what became of each edge; None if one was both parted and joined."""
    found = tuple(frozenset(j for j, n in enumerate(new) if n & o) for o in old)
    for k, several in enumerate(found):
        others = [other for i, other in enumerate(found) if i != k]
        if len(several) > 1 and any(several & other for other in others):
            return None
    # Seven edges at most become one, or come from one.
    most = max(*map(len, found), *map(found.count, found))
    return found if most <= MOST_TOGETHER else None
