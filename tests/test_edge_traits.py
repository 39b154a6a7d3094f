"""Traits of outlines: from pieces, to rows of a job file and back."""

import math

import numpy as np
import pytest
from drawn import bodice, compound, piece_of, pieces_of
from hypothesis import assume, given
from hypothesis import strategies as st
from shapes import circle_outline, rectangle
from strategies import closed_outlines

from edgefinder.classifier.matching.edge_traits import (
    RingTraits,
    mirrored,
    piece_traits,
    rows_from_traits,
    traits_from_rows,
)
from edgefinder.geometry.affine import Affine, transform
from edgefinder.geometry.path import Path, reverse_path
from edgefinder.pattern.pieces import Piece

ROUNDING_MM = 0.005
ROUNDING_DEG = 0.05


def traits_of(piece: Piece) -> RingTraits:
    ((outer, *_),) = piece_traits([piece])
    return outer


def moved(path: Path, by: complex) -> Path:
    shift = Affine(1, 0, 0, 1, by.real, by.imag)
    return Path(transform(path.segments, shift), path.closed)


def test_the_traits_of_a_rectangle_are_its_sides_and_square_corners() -> None:
    ring = traits_of(piece_of(moved(rectangle(300, 200), 70 + 90j)))

    assert ring.lengths.tolist() == pytest.approx([300, 200, 300, 200])
    assert ring.turnings.tolist() == pytest.approx([0, 0, 0, 0])
    assert ring.corners.tolist() == pytest.approx([math.pi / 2] * 4)
    assert ring.starts.tolist() == pytest.approx([0, 300, 300 + 200j, 200j])
    assert ring.chords.tolist() == pytest.approx([300, 200j, -300, -200j])
    assert ring.perimeter == pytest.approx(1000)


def test_the_middle_of_a_quarter_circle_lies_on_it() -> None:
    start, end = 100.0, 100j
    ring = RingTraits(
        np.array([50 * math.pi, 100, 100]),
        np.array([math.pi / 2, 0, 0]),
        np.array([math.pi / 2] * 3),
        np.array([start, end, 0]),
    )

    assert abs(ring.middles[0]) == pytest.approx(100)
    assert ring.middles[1] == pytest.approx(50j)


def test_cut_outs_are_measured_from_the_lower_left_of_the_piece() -> None:
    outer = moved(rectangle(300, 200), 70 + 90j)
    hole = reverse_path(moved(rectangle(40, 20), 170 + 140j))
    (piece,) = pieces_of(*compound(outer, hole))

    ((_, cutout),) = piece_traits([piece])

    corners = sorted(cutout.starts.tolist(), key=lambda z: (z.imag, z.real))
    assert corners == pytest.approx([100 + 50j, 140 + 50j, 100 + 70j, 140 + 70j])
    assert cutout.corners.tolist() == pytest.approx([-math.pi / 2] * 4)


def test_an_outline_without_a_corner_is_one_closed_edge() -> None:
    ring = traits_of(piece_of(circle_outline(50)))

    assert len(ring) == 1
    assert ring.turnings[0] == pytest.approx(2 * math.pi)
    assert ring.corners[0] == 0
    assert ring.chords[0] == 0
    assert abs(ring.starts[0] - (50 + 50j)) == pytest.approx(50)


def test_traits_of_many_pieces_are_those_of_each() -> None:
    pieces = [piece_of(bodice()), piece_of(rectangle(300, 200))]

    together = piece_traits(pieces)

    for (ring,), piece in zip(together, pieces, strict=True):
        assert np.array_equal(ring.starts, traits_of(piece).starts)
    assert piece_traits([]) == ()


@given(closed_outlines())
def test_turnings_and_corners_add_up_to_one_round(outline: Path) -> None:
    ring = traits_of(piece_of(outline))

    assert ring.turnings.sum() + ring.corners.sum() == pytest.approx(2 * math.pi)


@given(closed_outlines())
def test_mirroring_twice_changes_nothing(outline: Path) -> None:
    ring = traits_of(piece_of(outline))

    again = mirrored(mirrored(ring))

    for name in ("lengths", "turnings", "corners", "starts"):
        assert np.allclose(getattr(again, name), getattr(ring, name))


@given(closed_outlines())
def test_mirrored_traits_are_those_of_the_mirrored_outline(outline: Path) -> None:
    ring = traits_of(piece_of(outline))
    assume(len(ring) > 1)
    flip = Affine(-1, 0, 0, 1, 0, 0)
    flipped = Path(transform(outline.segments, flip), outline.closed)

    drawn = traits_of(piece_of(reverse_path(flipped)))

    computed = mirrored(ring)
    apart = np.abs(drawn.chords[:, None] - computed.chords).argmin(axis=1)
    assert np.allclose(drawn.chords, computed.chords[apart])
    assert np.allclose(drawn.lengths, computed.lengths[apart])
    assert np.allclose(drawn.turnings, computed.turnings[apart])
    assert np.allclose(drawn.corners, computed.corners[apart])


@given(st.lists(closed_outlines(), min_size=1, max_size=3))
def test_rows_give_the_traits_back_to_their_rounding(outlines: list[Path]) -> None:
    rings = [traits_of(piece_of(outline)) for outline in outlines]

    again = traits_from_rows(rows_from_traits(rings))

    assert len(again) == len(rings)
    for one, other in zip(again, rings, strict=True):
        rounded = 1.01 * math.radians(ROUNDING_DEG)
        assert np.abs(one.lengths - other.lengths).max() <= 1.01 * ROUNDING_MM
        assert np.abs(one.turnings - other.turnings).max() <= rounded
        assert np.abs(one.corners - other.corners).max() <= rounded
        assert np.abs(one.starts - other.starts).max() <= 1.5 * ROUNDING_MM


def test_rows_say_ring_length_turning_corner_and_start() -> None:
    rows = rows_from_traits([traits_of(piece_of(rectangle(300, 200)))])

    assert rows == [
        [0, 300, 0, 90, 0, 0],
        [0, 200, 0, 90, 300, 0],
        [0, 300, 0, 90, 300, 200],
        [0, 200, 0, 90, 0, 200],
    ]


@pytest.mark.parametrize(
    ("rows", "message"),
    [
        ([], "no rows"),
        ([[0, 10, 0, 90, 0]], "row 1: six finite numbers"),
        ([[0, 10, 0, 90, 0, math.nan]], "row 1: six finite numbers"),
        ([[0, 10, 0, 90, 0, 0], [0, 0, 0, 90, 0, 0]], "row 2: a length is above 0"),
        ([[1, 10, 0, 90, 0, 0]], "row 1: rings come in order"),
        ([[0, 10, 0, 90, 0, 0], [2, 10, 0, 90, 0, 0]], "row 2: rings come in order"),
        ([[0.5, 10, 0, 90, 0, 0]], "row 1: rings come in order"),
    ],
)
def test_rows_that_cannot_be_read_are_refused(
    rows: list[list[float]], message: str
) -> None:
    with pytest.raises(ValueError, match=message):
        traits_from_rows(rows)


def test_traits_need_one_value_for_each_edge() -> None:
    with pytest.raises(ValueError, match="one row of traits"):
        RingTraits(np.ones(3), np.ones(3), np.ones(2), np.ones(3, dtype=complex))


def test_traits_cannot_be_changed() -> None:
    ring = traits_of(piece_of(rectangle(300, 200)))

    with pytest.raises(ValueError, match="read-only"):
        ring.lengths[0] = 5
