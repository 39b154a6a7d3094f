"""What of an outline is unchanged, and what follows from it."""

import math

import numpy as np
import pytest

from edgefinder.classifier.matching.alignment import align
from edgefinder.classifier.matching.edge_traits import RingTraits
from edgefinder.classifier.matching.poses import AS_DRAWN, Pose
from edgefinder.classifier.matching.unchanged import between_unchanged, unchanged

NEARLY_SQUARE: list[complex] = [0, 200, 205 + 204j, 2 + 197j]
"""Irregular by a few millimetres, as no graded square is."""


def ring_of(corners: list[complex]) -> RingTraits:
    at = np.array(corners)
    chords = np.roll(at, -1) - at
    jumps = np.angle(np.roll(chords, -1) / chords)
    low = complex(at.real.min(), at.imag.min())
    return RingTraits(np.abs(chords), np.zeros(len(at)), jumps, at - low)


def with_peak(corners: list[complex]) -> list[complex]:
    """A blunt corner more, in the first edge."""
    middle = (corners[0] + corners[1]) / 2
    return [corners[0], middle + 0.15j * (corners[0] - corners[1]), *corners[1:]]


def by_a_quarter(corners: list[complex]) -> list[complex]:
    return [1j * corner for corner in corners]


def test_all_but_the_changed_edge_is_unchanged() -> None:
    old, new = ring_of(NEARLY_SQUARE), ring_of(with_peak(NEARLY_SQUARE))

    seen = unchanged(old, new, [(0, 1), (2,), (3,), (4,)])

    share = old.lengths[1:].sum() / old.perimeter
    assert seen.own == seen.most == pytest.approx(share)
    assert seen.against == 0
    assert seen.pose == AS_DRAWN
    assert sorted(seen.pairs) == [(1, 2), (2, 3), (3, 4)]
    assert seen.confirms
    assert not seen.contradicts


def test_an_alignment_that_is_one_edge_off_is_contradicted() -> None:
    old, new = ring_of(NEARLY_SQUARE), ring_of(with_peak(NEARLY_SQUARE))

    seen = unchanged(old, new, [(2,), (3,), (4,), (0, 1)])

    assert seen.own == 0
    assert seen.contradicts
    assert not seen.confirms


def test_the_pose_in_which_most_is_unchanged_is_told() -> None:
    old = ring_of(NEARLY_SQUARE)
    new = ring_of(by_a_quarter(with_peak(NEARLY_SQUARE)))

    seen = unchanged(old, new, [()] * 4)

    assert math.degrees(seen.pose.turned) == pytest.approx(90, abs=0.1)
    assert not seen.pose.is_mirrored


def test_a_nearly_square_piece_that_was_turned_and_changed_is_followed() -> None:
    """To the eye it might as well not have been turned; its exact sides tell."""
    new = by_a_quarter(with_peak(NEARLY_SQUARE))

    found = align(ring_of(NEARLY_SQUARE), ring_of(new))

    assert found.targets == ((0, 1), (2,), (3,), (4,))
    assert math.degrees(found.turned) == pytest.approx(90, abs=0.1)


def test_a_square_that_was_changed_on_one_side_is_not_turned() -> None:
    """Its other sides lie alike in several poses; the one as drawn is meant."""
    square: list[complex] = [0, 200, 200 + 200j, 200j]

    found = align(ring_of(square), ring_of(with_peak(square)))

    assert found.targets == ((0, 1), (2,), (3,), (4,))
    assert found.pose == AS_DRAWN


def test_an_edge_between_unchanged_ones_is_known_whatever_became_of_it() -> None:
    old: list[complex] = [0, 120 - 30j, 300 + 40j, 180 + 210j, -20 + 150j]
    fan: list[complex] = [210 - 60j, 260 - 20j, 230 + 10j, 280 + 20j]
    new = [*old[:2], *fan, *old[2:]]

    assert align(ring_of(old), ring_of(new)).targets == (
        *((0,), (1, 2, 3, 4, 5)),
        *((6,), (7,), (8,)),
    )


@pytest.mark.parametrize(
    ("pairs", "counts", "pose", "known"),
    [
        # One old edge between two: all new ones between belong to it.
        (
            [(0, 0), (2, 4)],
            (3, 5),
            AS_DRAWN,
            {0: (0,), 1: (1, 2, 3), 2: (4,)},
        ),
        # Over the start of both outlines.
        (
            [(1, 2), (2, 3)],
            (4, 5),
            AS_DRAWN,
            {1: (2,), 2: (3,)},
        ),
        ([(0, 1), (1, 2)], (3, 4), AS_DRAWN, {0: (1,), 1: (2,), 2: (3, 0)}),
        # Several old edges and one new one: they merged.
        ([(0, 0), (3, 2)], (4, 3), AS_DRAWN, {0: (0,), 1: (1,), 2: (1,), 3: (2,)}),
        # Backwards on a mirrored outline, and told in its own order.
        (
            [(0, 4), (2, 1)],  # new edge 0 came in at a corner
            (3, 5),
            Pose(is_mirrored=True),
            {0: (4,), 1: (2, 3), 2: (1,)},
        ),
        (
            [(0, 4), (2, 0)],
            (3, 5),
            Pose(is_mirrored=True),
            {0: (4,), 1: (1, 2, 3), 2: (0,)},
        ),
        # Not in one order.
        ([(0, 0), (1, 2), (2, 1)], (3, 3), AS_DRAWN, {}),
    ],
)
def test_what_lies_between_unchanged_edges(
    pairs: list[tuple[int, int]],
    counts: tuple[int, int],
    pose: Pose,
    known: dict[int, tuple[int, ...]],
) -> None:
    assert between_unchanged(pairs, counts, pose) == known
