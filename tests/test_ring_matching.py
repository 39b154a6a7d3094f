"""Cut-outs and pieces without a name, told apart by place, size and shape."""

import math

import numpy as np
import pytest
from changed_outlines import corners_moved, piece, traits_of, turned

from edgefinder.classifier.matching.alignment import align
from edgefinder.classifier.matching.edge_traits import RingTraits
from edgefinder.classifier.matching.ring_matching import match_rings
from edgefinder.classifier.renamed import find_renamed

Drawn = list[list[complex]]

OUTER: list[complex] = [0, 400, 400 + 260j, 120 + 340j, 300j]
"""Without any symmetry."""


def square(side: float, middle: complex) -> list[complex]:
    """Clockwise, as a cut-out runs."""
    half = side / 2
    return [middle + half * z for z in (-1 - 1j, -1 + 1j, 1 + 1j, 1 - 1j)]


def traits(drawn: Drawn) -> list[RingTraits]:
    """Straight edges, measured from the lower left of the first ring."""
    outer = np.array(drawn[0])
    low = outer.real.min() + 1j * outer.imag.min()
    rings = []
    for corners in drawn:
        at = np.array(corners)
        chords = np.roll(at, -1) - at
        jumps = np.angle(np.roll(chords, -1) / chords)
        rings.append(RingTraits(np.abs(chords), np.zeros(len(at)), jumps, at - low))
    return rings


def eyelet(radius: float, middle: complex) -> RingTraits:
    """A round cut-out of a piece whose lower left is 0, begun at its lower left."""
    return RingTraits(
        np.array([2 * math.pi * radius]),
        np.array([-2 * math.pi]),
        np.zeros(1),
        np.array([middle - radius * (1 + 1j) / math.sqrt(2)]),
    )


def turned_by(angle: float, drawn: Drawn) -> Drawn:
    return [[z * np.exp(1j * angle) for z in corners] for corners in drawn]


def flipped(drawn: Drawn) -> Drawn:
    return [[-z.conjugate() for z in reversed(corners)] for corners in drawn]


def test_cut_outs_keep_their_places_when_the_piece_grows() -> None:
    old = [OUTER, square(40, 100 + 100j), square(40, 300 + 150j)]
    new = [
        [complex(1.3 * z.real, 1.1 * z.imag) for z in OUTER],
        square(40, 390 + 165j),
        square(40, 130 + 110j),
    ]

    found = match_rings(traits(old), traits(new))

    assert found.rings == (0, 2, 1)
    assert found.is_sure
    assert [a and a.targets for a in found.alignments[1:]] == [
        ((0,), (1,), (2,), (3,))
    ] * 2


@pytest.mark.parametrize("angle", [0.6, 1.9, -2.5, math.pi])
def test_cut_outs_turn_with_the_piece_and_so_do_their_edges(angle: float) -> None:
    old = [OUTER, square(40, 100 + 100j), square(60, 300 + 150j)]

    found = match_rings(traits(old), traits(turned_by(angle, old)))

    assert found.rings == (0, 1, 2)
    assert found.is_sure
    for alignment in found.alignments:
        assert alignment is not None
        count = len(alignment.targets)
        assert alignment.targets == tuple((k,) for k in range(count))


def test_cut_outs_of_a_mirrored_piece_are_mirrored() -> None:
    old = [OUTER, square(40, 100 + 100j), square(60, 300 + 150j)]

    found = match_rings(traits(old), traits(flipped(old)))

    assert found.rings == (0, 1, 2)
    assert found.alignments[1] is not None
    assert found.alignments[1].targets == ((2,), (1,), (0,), (3,))


def test_a_cut_out_between_two_is_in_doubt() -> None:
    old = traits([OUTER, square(40, 200 + 140j)])
    new = traits([OUTER, square(40, 180 + 140j), square(40, 220 + 140j)])

    found = match_rings(old, new)

    assert found.rings == (0, None)
    (doubt,) = found.doubts
    assert doubt.ring == 1
    assert {doubt.best, doubt.second} == {1, 2}
    assert not found.is_sure


def test_two_cut_outs_that_could_be_one_are_in_doubt() -> None:
    old = traits([OUTER, square(40, 180 + 140j), square(40, 220 + 140j)])
    new = traits([OUTER, square(40, 200 + 140j)])

    assert match_rings(old, new).rings == (0, None, None)


def test_a_cut_out_that_is_gone_has_no_candidate() -> None:
    found = match_rings(traits([OUTER, square(40, 100 + 100j)]), traits([OUTER]))

    assert found.rings == (0, None)
    assert (found.doubts[0].best, found.doubts[0].second) == (None, None)


def test_a_cut_out_elsewhere_and_of_another_size_is_another_one() -> None:
    old = traits([OUTER, square(40, 60 + 60j)])
    new = traits([OUTER, square(90, 320 + 200j)])

    assert match_rings(old, new).rings == (0, None)


def test_round_cut_outs_are_told_apart_by_size_where_they_are_near() -> None:
    (outer,) = traits([OUTER])
    old = [outer, eyelet(4, 200 + 150j), eyelet(30, 230 + 150j)]
    new = [outer, eyelet(31, 228 + 150j), eyelet(4, 199 + 150j)]

    found = match_rings(old, new)

    assert found.rings == (0, 2, 1)
    assert found.is_sure


def test_cut_outs_give_away_that_a_symmetrical_piece_was_turned() -> None:
    box: list[complex] = [0, 400, 400 + 200j, 200j]
    old = [box, square(40, 100 + 100j)]

    found = match_rings(traits(old), traits(turned_by(math.pi, old)))

    outer = found.alignments[0]
    assert outer is not None
    assert outer.targets == (None,) * 4
    assert found.rings == (0, None)
    assert align(traits(old)[0], traits(turned_by(math.pi, old))[0]).is_sure


def test_a_piece_without_cut_outs_is_its_outer_outline() -> None:
    found = match_rings(traits([OUTER]), traits([OUTER]))

    assert found.rings == (0,)
    assert found.is_sure


def test_an_alignment_that_is_known_is_not_sought_again() -> None:
    rings = traits([OUTER])
    known = align(rings[0], rings[0])

    assert match_rings(rings, rings, known).alignments == (known,)


def test_a_renamed_piece_is_found_among_others() -> None:
    chance = np.random.default_rng(4)
    drawn = [piece(chance, is_symmetrical=False) for _ in range(8)]
    rings = [traits_of(one)[0] for one in drawn]
    for k, one in enumerate(drawn):
        changed = corners_moved(turned(one, chance), chance, 0.3)
        candidates = [*rings[:k], traits_of(changed)[0], *rings[k + 1 :]]

        found = find_renamed(rings[k], candidates)

        assert found.piece == found.best == k
        assert found.costs[k] == min(found.costs)


def test_two_equal_pieces_are_in_doubt() -> None:
    (ring,) = traits([OUTER])

    found = find_renamed(ring, [ring, ring])

    assert found.piece is None
    assert {found.best, found.second} == {0, 1}


def test_a_piece_and_its_mirror_image_are_told_apart() -> None:
    (ring,), (image,) = traits([OUTER]), traits(flipped([OUTER]))

    assert find_renamed(ring, [image, ring]).piece == 1
    assert find_renamed(ring, [image]).piece == 0


def test_the_same_shape_in_another_size_is_another_piece() -> None:
    (ring,), (larger,) = traits([OUTER]), traits([[1.3 * z for z in OUTER]])

    found = find_renamed(ring, [larger])

    assert found.piece is None
    assert found.best == 0


def test_no_candidate_is_no_piece() -> None:
    (ring,) = traits([OUTER])

    found = find_renamed(ring, [])

    assert (found.piece, found.best, found.second, found.costs) == (None,) * 3 + ((),)
