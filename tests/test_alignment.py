"""Alignment of the edges of two drawings of a piece, against what is known of them."""

import math
from collections import Counter
from itertools import product

import numpy as np
import pytest
from changed_outlines import (
    Case,
    Outline,
    cases,
    mirrored,
    nearly_symmetrical_cases,
    piece,
    restarted,
    stretched,
    traits_of,
    turned,
    with_notch,
)
from hypothesis import given
from hypothesis import strategies as st

from edgefinder.classifier.matching.alignment import (
    align,
    align_in_pose,
    align_many,
    search,
)
from edgefinder.classifier.matching.courses import chosen, courses, laid_over
from edgefinder.classifier.matching.courses import flipped as flipped_course
from edgefinder.classifier.matching.cyclic_steps import cheapest_through
from edgefinder.classifier.matching.edge_traits import (
    RingTraits,
    rows_from_traits,
    traits_from_rows,
)
from edgefinder.classifier.matching.edge_traits import mirrored as mirrored_traits
from edgefinder.classifier.matching.outcome import Alignment, Reason
from edgefinder.classifier.matching.poses import AS_DRAWN, LEAST_PRIOR, Pose
from edgefinder.classifier.matching.step_costs import (
    EXTRA_CORNER,
    StepCosts,
    inner_costs,
    step_costs,
)
from edgefinder.classifier.matching.trials import BETTER, CLEAR
from edgefinder.geometry.segments import Complexes

Fates = tuple[tuple[int, ...] | None, ...]

QUARTER = math.pi / 2


def ring_of(corners: list[complex]) -> RingTraits:
    """Straight edges, anticlockwise from the first corner."""
    at = np.array(corners)
    chords = np.roll(at, -1) - at
    jumps = np.angle(np.roll(chords, -1) / chords)
    low = complex(at.real.min(), at.imag.min())
    return RingTraits(np.abs(chords), np.zeros(len(at)), jumps, at - low)


def box(width: float, height: float) -> list[complex]:
    return [0, width, complex(width, height), 1j * height]


def by(angle_deg: float, corners: list[complex]) -> list[complex]:
    turn = np.exp(1j * math.radians(angle_deg))
    return [corner * turn for corner in corners]


def flipped(corners: list[complex]) -> list[complex]:
    """Mirrored left to right, anticlockwise again."""
    return [-corner.conjugate() for corner in reversed(corners)]


def loop(radius: float) -> RingTraits:
    """A circle: one edge, no corner, begun at its lower left."""
    start = radius * (1 + 1j) * (1 - math.sqrt(0.5))
    return RingTraits(
        np.array([2 * math.pi * radius]),
        np.array([2 * math.pi]),
        np.zeros(1),
        np.array([start]),
    )


def in_order(count: int, first: int = 0) -> Fates:
    return tuple(((first + k) % count,) for k in range(count))


KITE = [0, 120 - 30j, 300 + 40j, 180 + 210j, -20 + 150j]
"""Five corners without any symmetry."""


# Closed forms


def test_an_outline_is_aligned_with_itself_edge_for_edge() -> None:
    found = align(ring_of(KITE), ring_of(KITE))

    assert found.targets == in_order(5)
    assert found.is_sure
    assert (found.is_mirrored, found.turned) == (False, 0)
    assert found.cost == 0


@pytest.mark.parametrize("first", range(5))
@pytest.mark.parametrize("angle", [0, 10, 90, 137, 180, -90])
def test_an_outline_begun_elsewhere_and_turned_keeps_its_edges(
    first: int, angle: float
) -> None:
    new = by(angle, KITE[first:] + KITE[:first])

    found = align(ring_of(KITE), ring_of(new))

    assert found.targets == in_order(5, -first)
    assert math.degrees(found.turned) == pytest.approx(angle)
    assert not found.is_mirrored


@pytest.mark.parametrize("angle", [0, 30, 180])
def test_a_mirrored_outline_keeps_its_edges_the_other_way_round(angle: float) -> None:
    found = align(ring_of(KITE), ring_of(by(angle, flipped(KITE))))

    # Corner k became corner 4 - k: edge k, from k to k + 1, became that from 3 - k.
    assert found.targets == ((3,), (2,), (1,), (0,), (4,))
    assert found.is_mirrored
    assert math.degrees(found.turned) == pytest.approx(angle)


@pytest.mark.parametrize("angle", [-35, -10, 0, 10, 35])
def test_a_square_turned_a_little_keeps_its_edges(angle: float) -> None:
    found = align(ring_of(box(200, 200)), ring_of(by(angle, box(200, 200))))

    assert found.targets == in_order(4)
    assert math.degrees(found.turned) == pytest.approx(angle)


@pytest.mark.parametrize("angle", [40, 45, 50])
def test_a_square_turned_by_about_45_degrees_is_in_doubt(angle: float) -> None:
    found = align(ring_of(box(200, 200)), ring_of(by(angle, box(200, 200))))

    assert found.targets == (None,) * 4
    for edge, doubt in enumerate(found.doubts):
        assert doubt.edge == edge
        assert doubt.reason is Reason.TIE
        assert doubt.second is not None
        both = {doubt.best.edges, doubt.second.edges}
        assert both == {(edge,), ((edge - 1) % 4,)}


def test_a_square_turned_by_a_quarter_looks_unturned() -> None:
    found = align(ring_of(box(200, 200)), ring_of(by(90, box(200, 200))))

    assert found.targets == in_order(4, -1)
    assert found.turned == pytest.approx(0)


def test_a_rectangle_turned_by_a_quarter_is_in_doubt() -> None:
    """It may have been turned either way; nor is it one that was stretched."""
    for new in (by(90, box(300, 200)), box(200, 300)):
        found = align(ring_of(box(300, 200)), ring_of(new))

        assert found.targets == (None,) * 4


@pytest.mark.parametrize(("width", "height"), [(300, 200), (330, 200), (280, 240)])
def test_a_rectangle_that_grows_keeps_its_edges(width: float, height: float) -> None:
    found = align(ring_of(box(300, 200)), ring_of(box(width, height)))

    assert found.targets == in_order(4)
    assert found.pose == AS_DRAWN


def test_a_trapezium_upside_down_is_in_doubt_where_its_sides_may_be_swapped() -> None:
    """Turned half round, or mirrored: the parallel edges are the same either way."""
    trapezium: list[complex] = [0, 100, 80 + 60j, 20 + 60j]

    found = align(ring_of(trapezium), ring_of(by(180, trapezium)))

    assert found.targets == ((0,), None, (2,), None)


def test_a_mirror_symmetrical_piece_is_not_taken_for_mirrored() -> None:
    trapezium: list[complex] = [0, 100, 80 + 60j, 20 + 60j]

    found = align(ring_of(trapezium), ring_of(by(20, trapezium)))

    assert found.targets == in_order(4)
    assert not found.is_mirrored


def test_smooth_loops_are_one_edge_each() -> None:
    for radius in (50.0, 55.0, 90.0):
        assert align(loop(50), loop(radius)).targets == ((0,),)


def test_a_smooth_loop_against_one_with_a_corner() -> None:
    drop = RingTraits(
        np.array([330.0]),
        np.array([2 * math.pi - 0.9]),
        np.array([0.9]),
        np.array([15 + 15j]),
    )

    assert align(loop(50), drop).targets == ((0,),)
    assert align(drop, loop(50)).targets == ((0,),)


def test_a_smooth_loop_is_not_taken_for_a_square() -> None:
    found = align(loop(60), ring_of(box(90, 90)))

    assert found.targets == (None,)
    assert found.doubts[0].reason is Reason.UNLIKE


def test_an_edge_with_a_new_corner_became_two() -> None:
    new = [*KITE[:2], 215 - 15j, *KITE[2:]]  # 20 mm off the middle of edge 1

    found = align(ring_of(KITE), ring_of(new))

    assert found.targets == ((0,), (1, 2), (3,), (4,), (5,))


def test_edges_whose_corner_is_gone_became_one() -> None:
    old = [*KITE[:2], 215 - 15j, *KITE[2:]]

    found = align(ring_of(old), ring_of(KITE))

    assert found.targets == ((0,), (1,), (1,), (2,), (3,), (4,))


def test_an_edge_with_a_notch_became_four_and_back() -> None:
    notch = [150 + 210j * 0 + 195j + 50j * 0, 148 + 185j, 146 + 194j]
    along = np.linspace(KITE[3], KITE[4], 41)
    notch = [complex(along[19]), complex(along[20]) - 8j, complex(along[21])]
    notched = [*KITE[:4], *notch, KITE[4]]

    assert align(ring_of(KITE), ring_of(notched)).targets == (
        *((0,), (1,), (2,)),
        (3, 4, 5, 6),
        (7,),
    )
    assert align(ring_of(notched), ring_of(KITE)).targets == (
        *((0,), (1,), (2,)),
        *[(3,)] * 4,
        (4,),
    )


def test_a_target_may_run_over_the_start_of_the_new_outline() -> None:
    new = [215 - 15j, *KITE[2:], *KITE[:2]]  # begins at the new corner in edge 1

    found = align(ring_of(KITE), ring_of(new))

    assert found.targets == ((4,), (5, 0), (1,), (2,), (3,))


def test_another_shape_is_not_forced_upon_an_outline() -> None:
    ell: list[complex] = [0, 300, 300 + 90j, 80 + 90j, 80 + 260j, 260j]
    star = [(150 if k % 2 else 60) * np.exp(1j * k * math.pi / 3) for k in range(6)]

    found = align(ring_of(ell), ring_of(star))

    assert found.targets == (None,) * 6
    assert {doubt.reason for doubt in found.doubts} == {Reason.UNLIKE}


def test_more_corners_than_can_be_followed_are_in_doubt() -> None:
    many = [100 * np.exp(2j * math.pi * k / 11) for k in range(11)]

    assert align(loop(100), ring_of(many)).targets == (None,)
    assert align(ring_of(many), loop(100)).targets == (None,) * 11


def scalloped(count: int) -> Complexes:
    """A star whose points are all of different lengths."""
    chance = np.random.default_rng(count)
    reach = np.where(np.arange(count) % 2, 200, 300) * chance.uniform(0.9, 1.1, count)
    corners: Complexes = reach * np.exp(2j * np.pi * np.arange(count) / count)
    return corners


@pytest.mark.parametrize("count", [24, 60, 160])
def test_a_scalloped_piece_that_is_graded_keeps_its_edges(count: int) -> None:
    old = scalloped(count)
    new = 1.1 * old.real + 1j * old.imag

    found = align(ring_of(list(old)), ring_of(list(new)))

    assert found.targets == in_order(count)


def test_a_scalloped_piece_with_a_corner_more_keeps_its_edges() -> None:
    old = scalloped(60)
    new = np.insert(1.1 * old.real + 1j * old.imag, 5, 0)
    new[5] = (new[4] + new[6]) / 2 + 8

    found = align(ring_of(list(old)), ring_of(list(new)))

    assert found.targets == (*in_order(60)[:4], (4, 5), *in_order(61)[6:])


def test_a_change_among_hundreds_of_corners_is_in_doubt() -> None:
    old = scalloped(160)
    new = np.insert(1.1 * old.real + 1j * old.imag, 5, 0)
    new[5] = (new[4] + new[6]) / 2 + 8

    found = align(ring_of(list(old)), ring_of(list(new)))

    assert {doubt.reason for doubt in found.doubts} == {Reason.MANY}
    assert found.targets == (None,) * 160


def test_a_regular_polygon_of_many_edges_is_in_doubt_once_changed() -> None:
    """After a turn by 12 degrees it looks the same."""
    old = 200 * np.exp(2j * np.pi * np.arange(30) / 30)

    found = align(ring_of(list(old)), ring_of(list(old * np.exp(0.1j) * 1.1)))

    assert not found.is_sure


def test_only_the_edges_beside_a_cut_off_corner_are_in_doubt() -> None:
    """The new edge belongs to the one before as much as to the one after."""
    new = [*KITE[:2], 270 + 28j, 280 + 68j, *KITE[3:]]

    found = align(ring_of(KITE), ring_of(new))

    assert found.targets[0] == (0,)
    assert found.targets[3:] == ((4,), (5,))
    assert {doubt.edge for doubt in found.doubts} == {1, 2}


def test_in_a_known_pose_a_square_is_not_in_doubt() -> None:
    new = ring_of(by(45, box(80, 80)))

    found = align_in_pose(ring_of(box(80, 80)), new, Pose(turned=math.radians(45)))

    assert found.targets == in_order(4)


def test_what_fits_well_as_drawn_is_not_in_doubt_for_its_symmetry() -> None:
    """The relations between constants that the fast way rests on."""
    assert CLEAR + BETTER <= 2 * EXTRA_CORNER
    assert CLEAR + BETTER <= LEAST_PRIOR


# Cases of known truth


def told(case: Case, found: Alignment) -> str:
    for edge, target in enumerate(found.targets):
        if target is not None and frozenset(target) != case.truth[edge]:
            return "wrong"
    return "right" if found.is_sure else "doubt"


@pytest.mark.parametrize(
    ("is_hard", "seed", "least"), [(False, 2025, 0.95), (True, 2026, 0.8)]
)
def test_no_edge_is_wrong_in_a_thousand_changed_outlines(
    is_hard: bool, seed: int, least: float
) -> None:
    every = cases(seed, 1000, is_hard=is_hard)

    count = Counter(told(case, align(case.old, case.new)) for case in every)

    print(f"{'hard' if is_hard else 'mild'} changes: {dict(count)}")  # noqa: T201
    assert count["wrong"] == 0
    assert count["right"] + count["doubt"] == 1000
    assert count["right"] > least * 1000


def test_no_edge_is_wrong_in_a_thousand_nearly_symmetrical_outlines() -> None:
    """Turned or mirrored, and changed by about as much as they are irregular."""
    every = nearly_symmetrical_cases(2027, 1000)

    count = Counter(told(case, align(case.old, case.new)) for case in every)

    print(f"nearly symmetrical: {dict(count)}")  # noqa: T201
    assert count["wrong"] == 0
    assert count["right"] > 500


@pytest.mark.parametrize(("angle", "is_sure"), [(5, True), (-9, True), (-14.9, False)])
def test_a_piece_turned_a_little_is_not_taken_for_one_turned_half_round(
    angle: float, is_sure: bool
) -> None:
    """A rectangle that is off by some millimetres."""
    old = [0, 311, 308 + 202j, -3 + 199j]
    new = by(angle, [0, 311.4, 307.8 + 202.3j, -3.2 + 198.8j])

    found = align(ring_of(old), ring_of(new))

    assert found.is_sure == is_sure
    assert [reading.edges for reading in found.readings] == list(in_order(4))
    assert math.degrees(found.turned) == pytest.approx(angle, abs=0.3)


def test_a_nearly_symmetrical_piece_changed_as_much_as_it_is_irregular() -> None:
    """Turned half round or not: who moved the corners knows, and nobody else."""
    old = [0, 294, 297 + 206j, -4 + 205j]
    half_round = by(180, [2j, 293 - 1j, 299 + 205j, -6 + 206j])

    found = align(ring_of(old), ring_of(half_round))

    assert not found.is_sure


def test_rows_of_a_job_file_serve_as_well_as_the_outline() -> None:
    for case in cases(7, 60, is_hard=False):
        (old,) = traits_from_rows(rows_from_traits([case.old]))

        assert told(case, align(old, case.new)) != "wrong"
        assert align(old, case.old).targets == in_order(len(old))


def test_unlike_outlines_are_hardly_ever_taken_for_each_other() -> None:
    chance = np.random.default_rng(11)
    drawn = [piece(chance, is_symmetrical=False) for _ in range(60)]
    rings = [ring for ring, _ in map(traits_of, drawn) if len(ring) >= 5]

    sure = [
        align(one, other).is_sure
        for k, one in enumerate(rings)
        for other in rings[k + 1 : k + 6]
    ]

    assert len(sure) > 150
    assert sum(sure) <= 0.02 * len(sure)


def test_aligning_back_gives_the_same_pairs() -> None:
    for case in cases(23, 80, is_hard=False):
        there, back = align(case.old, case.new), align(case.new, case.old)
        if there.is_sure and back.is_sure:
            pairs = {(i, j) for i, t in enumerate(there.targets) for j in t or ()}
            assert pairs == {
                (i, j) for j, t in enumerate(back.targets) for i in t or ()
            }


@given(st.integers(0, 10_000), st.integers(0, 13))
def test_where_an_outline_begins_does_not_matter(seed: int, first: int) -> None:
    drawn = piece(np.random.default_rng(seed), is_symmetrical=False)
    changed = with_notch(drawn, np.random.default_rng(seed))
    old = traits_of(drawn)[0]
    new, begun = traits_of(changed)[0], traits_of(restarted(changed, first))[0]

    one, other = align(old, new), align(old, begun)

    shift = int(np.abs(new.starts - begun.starts[0]).argmin())
    for a, b in zip(one.targets, other.targets, strict=True):
        moved = None if b is None else tuple((j + shift) % len(new) for j in b)
        assert a == moved


def test_many_at_once_are_aligned_as_one_by_one() -> None:
    chance = np.random.default_rng(3)
    pairs = [(case.old, case.new) for case in cases(31, 100, is_hard=False)]
    pairs += [(case.old, case.new) for case in cases(32, 60, is_hard=True)]
    pairs += [(ring_of(box(200, 200)), ring_of(by(a, box(200, 200)))) for a in (3, 45)]
    pairs += [(ring_of(box(300, 280)), ring_of(box(280, 300))), (loop(50), loop(60))]
    for _ in range(60):
        symmetrical = piece(chance, is_symmetrical=True)
        near = stretched(symmetrical, *chance.uniform(0.96, 1.04, 2))
        pairs.append((traits_of(symmetrical)[0], traits_of(near)[0]))
        pairs.append((traits_of(near)[0], traits_of(change(near, chance))[0]))

    together = align_many(pairs)

    for found, (old, new) in zip(together, pairs, strict=True):
        alone = search(old, new)
        assert found.targets == alone.targets
        assert found.is_mirrored == alone.is_mirrored
        assert found.cost == pytest.approx(alone.cost, abs=0.1)
    assert align_many([]) == ()


def change(outline: Outline, chance: np.random.Generator) -> Outline:
    return (mirrored if chance.random() < 0.5 else turned)(outline, chance)


# The search, against all alignments there are


def test_the_cheapest_alignments_are_those_of_all_there_are() -> None:
    chance = np.random.default_rng(5)
    for n, m in product(range(1, 5), repeat=2):
        most_split, most_merge = m, n
        costs = StepCosts(
            chance.uniform(0, 10, (most_split, n, m)),
            chance.uniform(0, 10, (most_merge - 1, n, m)),
        )

        splits, merges = cheapest_through(costs, lambda _: 1000.0, 0.0)

        known_splits = np.full(splits.shape, np.inf)
        known_merges = np.full(merges.shape, np.inf)
        for steps in all_alignments(n, m):
            total = sum(
                costs.splits[p - 1, i, j] if q == 1 else costs.merges[q - 2, i, j]
                for i, q, j, p in steps
            )
            for i, q, j, p in steps:
                table = known_splits[p - 1] if q == 1 else known_merges[q - 2]
                table[i, j] = min(table[i, j], total)
        assert np.allclose(splits, known_splits)
        assert np.allclose(merges, known_merges)


def all_alignments(n: int, m: int) -> list[list[tuple[int, int, int, int]]]:
    """List all cyclic alignments as steps (old edge, how many, new edge, how many)."""

    def forward(i: int, j: int) -> list[list[tuple[int, int, int, int]]]:
        if i == n and j == m:
            return [[]]
        found = []
        for q in range(1, n - i + 1):
            for p in range(1, m - j + 1):
                if q == 1 or p == 1:
                    found += [[(i, q, j, p), *rest] for rest in forward(i + q, j + p)]
        return found

    return [
        [((i + a) % n, q, (j + b) % m, p) for i, q, j, p in steps]
        for steps in forward(0, 0)
        for a in range(n)
        for b in range(m)
    ]


def test_inner_corners_never_make_a_step_cheaper() -> None:
    """Bounds are taken without them."""
    for case in cases(41, 40, is_hard=True):
        new = courses([case.new])
        laid = laid_over(courses([case.old]), new)
        one = chosen(laid.course, (0, 0)), chosen(new, 0), laid.diagonals[0]

        inner, outer = inner_costs(*one), step_costs(*one)

        assert inner.splits.min() >= 0
        assert inner.merges.min(initial=0) >= 0
        assert outer.splits.shape == inner.splits.shape
        assert outer.merges.shape == inner.merges.shape


def test_courses_are_mirrored_as_traits_are() -> None:
    chance = np.random.default_rng(9)
    rings = [traits_of(piece(chance, is_symmetrical=True))[0] for _ in range(20)]
    for ring in rings:
        known, found = courses([mirrored_traits(ring)]), flipped_course(courses([ring]))

        assert np.allclose(found.lengths, known.lengths)
        assert np.allclose(found.starts, known.starts)
        for one, other in ((found.before, known.before), (found.after, known.after)):
            assert np.allclose(np.exp(1j * one), np.exp(1j * other))
        assert np.allclose(found.after - found.before, known.after - known.before)
        assert np.allclose(found.once_round, known.once_round)


def test_a_stretched_outline_fits_without_a_misfit_of_its_edges() -> None:
    """Lines stay lines and corners stay corners when the page is stretched."""
    new = courses([ring_of([complex(1.4 * z.real, 0.7 * z.imag) for z in KITE])])

    laid = laid_over(courses([ring_of(KITE)]), new)

    costs = step_costs(laid.course, new, laid.diagonals).splits[0, 0, 0]
    assert np.diagonal(costs) == pytest.approx(np.zeros(5), abs=1e-9)
    assert laid.uneven[0, 0] == pytest.approx((math.log(2) / 0.5) ** 2)
