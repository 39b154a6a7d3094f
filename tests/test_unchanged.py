"""What of an outline is unchanged, and what it says of an alignment."""

import math

import numpy as np
import pytest

from edgefinder.classifier.alignment import align
from edgefinder.classifier.edge_traits import RingTraits
from edgefinder.classifier.poses import AS_DRAWN
from edgefinder.classifier.unchanged import unchanged

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
