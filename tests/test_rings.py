import pytest
from drawn import bodice, compound, piece_of, pieces_of
from shapes import circle_outline, rectangle

from edgefinder.classifier.rings import Copy, edge_rings


def written(ring: tuple[Copy, ...]) -> str:
    return " ".join(f"{c.number}{'m' if c.mirrored else ''}" for c in ring)


def test_a_piece_off_the_fold_has_its_outline_and_the_mirrored_one() -> None:
    rings = edge_rings(piece_of(rectangle(100, 60)), None)

    assert [written(ring) for ring in rings] == ["1 2 3 4", "4m 3m 2m 1m"]


def test_a_piece_on_the_fold_is_unfolded_round_it() -> None:
    (ring,) = edge_rings(piece_of(bodice()), 6)

    # Hem and neck meet the fold: each is one with its mirror image.
    assert written(ring) == "1 2 3 4 5 4m 3m 2m"


@pytest.mark.parametrize(
    ("fold", "wanted"), [(1, "2 3 4 3m"), (3, "4 1 2 1m"), (4, "1 2 3 2m")]
)
def test_any_edge_may_be_the_fold(fold: int, wanted: str) -> None:
    (ring,) = edge_rings(piece_of(rectangle(100, 60)), fold)

    assert written(ring) == wanted


def test_every_edge_but_those_at_the_fold_stands_twice() -> None:
    (ring,) = edge_rings(piece_of(bodice()), 6)

    assert len(ring) == len(set(ring)) == 2 * (6 - 1) - 2


def test_a_cut_out_stands_twice_beside_a_fold() -> None:
    (piece,) = pieces_of(*compound(rectangle(300, 200), circle_outline(40, 150 + 90j)))

    assert [written(ring) for ring in edge_rings(piece, 4)] == ["1 2 3 2m", "5", "5m"]


def test_a_smooth_outline_is_a_ring_of_one() -> None:
    rings = edge_rings(piece_of(circle_outline(80)), None)

    assert [written(ring) for ring in rings] == ["1", "1m"]
