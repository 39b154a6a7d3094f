"""Pieces lie beside one another on the page and never on one another."""

from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from edgefinder.page.packing import LEAST_GAP_MM, pack

SIDE = st.floats(1.0, 3000.0)
BOXES = st.lists(st.tuples(SIDE, SIDE), min_size=1, max_size=40)


def test_nothing_takes_no_room() -> None:
    assert pack([]) == []


@given(BOXES)
def test_no_two_boxes_come_nearer_than_a_gap(boxes: list[tuple[float, float]]) -> None:
    placed = [
        (x, y, x + wide, y + high)
        for (x, y), (wide, high) in zip(pack(boxes), boxes, strict=True)
    ]
    for one, other in combinations(placed, 2):
        across = max(one[0] - other[2], other[0] - one[2])
        down = max(one[1] - other[3], other[1] - one[3])
        assert max(across, down) >= LEAST_GAP_MM - 1e-9


@given(BOXES)
def test_boxes_keep_their_order_and_begin_at_the_corner(
    boxes: list[tuple[float, float]],
) -> None:
    places = pack(boxes)
    assert places[0] == (0.0, 0.0)
    assert sorted(places, key=lambda place: (place[1], place[0])) == places
    assert all(x >= 0 and y >= 0 for x, y in places)
