from itertools import pairwise

import numpy as np
import pytest
from drawn import drawing, drawn
from shapes import polyline, rectangle

from edgefinder.errors import BrokenOutline
from edgefinder.importers.drawing import DrawnLine
from edgefinder.pattern.branches import needed_branches
from edgefinder.pattern.closing import close_lines
from edgefinder.pattern.flat_rings import flat_rings
from edgefinder.pattern.outlines import find_outlines
from edgefinder.pattern.settings import FindingSettings


def places(*lines: DrawnLine) -> list[complex]:
    closed = close_lines(lines, lambda _: None, tolerance=0.05, across_layers=True)
    around = flat_rings(closed.rings).polygons
    return [branch.place for branch in needed_branches(closed, around, 0.05)]


def frame(width: float, height: float, at: complex = 0) -> list[DrawnLine]:
    """Four loose sides."""
    corners = at + np.array([0, width, width + 1j * height, 1j * height, 0])
    return [drawn(polyline(a, b)) for a, b in pairwise(corners.tolist())]


def test_an_outline_that_a_dart_branches_off_needs_its_branches() -> None:
    # The dart is drawn in two lines that meet the hem at two of its points.
    hem = [drawn(polyline(0, 80)), drawn(polyline(80, 120)), drawn(polyline(120, 200))]
    dart = [drawn(polyline(80, 100 + 60j)), drawn(polyline(100 + 60j, 120))]

    assert sorted(places(*hem, *frame(200, 100)[1:], *dart), key=abs) == [80, 120]


def test_an_arrow_branches_and_runs_round_nothing() -> None:
    head = 50 + 80j
    arrow = [
        polyline(50 + 20j, head),
        polyline(head, 45 + 70j),
        polyline(head, 55 + 70j),
    ]

    assert places(*map(drawn, arrow), drawn(rectangle(200, 100))) == []


def test_a_small_loop_with_a_tail_is_a_mark() -> None:
    assert places(*frame(8, 6), drawn(polyline(8, 40))) == []


def test_a_grid_drawn_on_a_piece_is_a_mark_on_it() -> None:
    grid = [*frame(60, 60, 20 + 20j), *frame(60, 60, 80 + 20j)]
    piece = drawn(rectangle(200, 100))

    assert places(piece, *grid) == []
    assert places(*grid) != []


def test_the_branch_with_which_an_outline_would_be_closed_is_the_error() -> None:
    tail = drawn(polyline(200, 260 - 40j))
    other = drawn(rectangle(90, 60))
    lines = [*frame(200, 100, 400), *frame(200, 100), tail, other]

    with pytest.raises(BrokenOutline) as caught:
        find_outlines(drawing(*lines), FindingSettings())

    (message,) = caught.value.messages
    assert message == (
        "test.svg: line 1: no outline can be made of these lines: 3 line ends meet at "
        "(200.0, 0.0) mm; these lines are not joined there: delete the doubled or "
        "extra line, or move it to another layer"
    )


def test_many_branches_are_told_up_to_a_number() -> None:
    ladder = [line for n in range(20) for line in frame(30, 30, 100 * n)]
    tails = [drawn(polyline(100 * n, 100 * n - 30j)) for n in range(20)]

    with pytest.raises(BrokenOutline) as caught:
        find_outlines(drawing(*ladder, *tails), FindingSettings())

    assert len(caught.value.messages) == 11
    assert caught.value.messages[-1].endswith("10 more places like this")


def test_ends_that_nearly_meet_are_one_place() -> None:
    nearly = [
        drawn(polyline(0.02, 200)),
        *frame(200, 100)[1:],
        drawn(polyline(200, 300)),
    ]

    assert places(*nearly) == [200]


def test_a_branch_among_ten_thousand_lines_is_found_at_once() -> None:
    corners = 1000 * np.exp(2j * np.pi * np.arange(10_001) / 10_000)
    ring = [drawn(polyline(a, b)) for a, b in pairwise(corners.tolist())]

    assert len(places(*ring, drawn(polyline(1000, 1100)))) == 1
