"""Edges cut at marks: exact, and nothing else is renumbered."""

import math
from itertools import pairwise

import numpy as np
import pytest
from drawn import bodice, compound, drawn, piece_of, pieces_of
from hypothesis import given
from hypothesis import strategies as st
from shapes import circle_outline, polygon, rectangle
from traced import traced

from edgefinder.geometry.measured import points_at_lengths
from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import arc_segments, concatenate, line_segments
from edgefinder.geometry.windowed import windowed_curvature
from edgefinder.pattern.on_outline import EdgePlace
from edgefinder.pattern.pieces import DrawnMarks, Edge, Piece
from edgefinder.pattern.splitting import SNAP_MM, Split, split_at

RADIUS = 80.0


def disc() -> Piece:
    return piece_of(circle_outline(RADIUS), "disc")


def cut(piece: Piece, *places: tuple[int, float]) -> Split:
    return split_at(piece, [EdgePlace(number, s) for number, s in places])


def labels(piece: Piece) -> list[str]:
    return [edge.label for edge in piece.edges]


def parts_of(split: Split, number: int) -> list[Edge]:
    return [e for e in split.piece.edges if e.known_as == (number,)]


def in_one_go(edges: list[Edge]) -> None:
    """Check that every edge begins where the one before it ends."""
    for before, after in pairwise([*edges, edges[0]]):
        assert before.end == pytest.approx(after.start, abs=1e-9)


def test_without_marks_a_piece_stays_as_it_is() -> None:
    piece = piece_of(bodice())

    assert cut(piece).piece is piece


def test_the_parts_of_an_edge_get_letters_and_all_others_keep_their_labels() -> None:
    split = cut(piece_of(bodice()), (3, 40.0), (5, 20.0), (5, 50.0))

    assert labels(split.piece) == ["1", "2", "3a", "3b", "4", "5a", "5b", "5c", "6"]
    assert [edge.number for edge in split.piece.edges] == list(range(1, 10))
    assert [edge.known_as for edge in split.piece.edges] == [
        (n,) for n in (1, 2, 3, 3, 4, 5, 5, 5, 6)
    ]
    in_one_go(list(split.piece.edges))


def test_edges_without_a_mark_are_the_same_ones() -> None:
    piece = piece_of(bodice())

    split = cut(piece, (3, 40.0))

    for number in (1, 2, 4, 5, 6):
        (kept,) = parts_of(split, number)
        whole = piece.edges[number - 1]
        assert (kept.path, kept.bends) == (whole.path, whole.bends)
        assert kept.turning == whole.turning
        assert (kept.corner_before, kept.corner_after) == (
            whole.corner_before,
            whole.corner_after,
        )


@given(st.sampled_from([1, 3, 5]), st.lists(st.floats(0, 1), min_size=1, max_size=6))
def test_lengths_and_turning_of_the_parts_add_up_to_the_edge(
    number: int, shares: list[float]
) -> None:
    piece = piece_of(bodice())
    whole = piece.edges[number - 1]

    split = cut(piece, *((number, share * whole.length) for share in shares))

    parts = parts_of(split, number)
    assert sum(part.length for part in parts) == pytest.approx(whole.length, abs=1e-9)
    turning = sum(part.turning for part in parts)
    turning += sum(part.corner_after for part in parts[:-1])
    assert turning == pytest.approx(whole.turning, abs=1e-9)
    assert all(part.length > SNAP_MM / 2 for part in parts)
    assert parts[0].corner_before == whole.corner_before
    assert parts[-1].corner_after == whole.corner_after
    assert parts[0].start == pytest.approx(whole.start, abs=1e-12)
    assert parts[-1].end == pytest.approx(whole.end, abs=1e-12)


def test_a_part_lies_where_the_edge_did() -> None:
    piece = piece_of(bodice())
    whole = piece.edges[2]

    _, part, _ = parts_of(cut(piece, (3, 30.0), (3, 75.0)), 3)

    s = np.linspace(0, 45, 50)
    assert points_at_lengths(part.path, s) == pytest.approx(
        points_at_lengths(whole.path, 30.0 + s), abs=1e-8
    )


def test_an_arc_is_cut_to_the_closed_form() -> None:
    """A quarter of a circle cut at 0.4 of its length: both parts are arcs."""
    quarter = arc_segments([0], 100.0, 100j, 0.0, math.pi / 2)
    outline = Path(
        concatenate([quarter, line_segments([100j, 0], [0, 100])]), closed=True
    )
    piece = piece_of(outline)
    (number,) = [e.number for e in piece.edges if e.turning > 1]

    first, second = parts_of(cut(piece, (number, 0.4 * 50 * math.pi)), number)

    assert first.length == pytest.approx(20 * math.pi, abs=1e-10)
    assert second.length == pytest.approx(30 * math.pi, abs=1e-10)
    assert first.turning == pytest.approx(0.4 * math.pi / 2, abs=1e-12)
    assert second.turning == pytest.approx(0.6 * math.pi / 2, abs=1e-12)
    assert first.end == pytest.approx(100 * np.exp(0.2j * math.pi), abs=1e-9)
    for part in (first, second):
        assert part.tightest_outside is not None
        assert part.tightest_outside.radius == pytest.approx(100, rel=1e-9)
        assert part.tightest_inside is None


def test_a_mark_on_a_small_kink_leaves_its_jump_between_the_parts() -> None:
    # 10 degrees at 60: below a corner.
    bent = 60 + 50 * np.exp(1j * math.radians(10))
    piece = piece_of(polygon(0, 60, complex(bent), 110 + 90j, 90j))

    first, second = parts_of(cut(piece, (1, 60.0)), 1)

    assert first.corner_after == pytest.approx(math.radians(10), abs=1e-12)
    assert second.corner_before == first.corner_after
    assert first.turning == pytest.approx(0, abs=1e-12)
    assert second.turning == pytest.approx(0, abs=1e-12)


@pytest.mark.parametrize(
    ("s", "parts"),
    [(0.0, 1), (0.3, 1), (0.6, 2), (99.4, 2), (99.7, 1), (100.0, 1)],
)
def test_a_mark_near_a_corner_is_the_corner(s: float, parts: int) -> None:
    split = cut(piece_of(rectangle(100, 60)), (1, s))

    assert len(parts_of(split, 1)) == parts


def test_marks_that_fall_together_are_one() -> None:
    split = cut(piece_of(rectangle(100, 60)), (1, 40.0), (1, 40.4), (1, 41.0))

    assert [round(e.length, 6) for e in parts_of(split, 1)] == [40, 1, 59]


def test_many_parts_have_letters_of_two() -> None:
    split = cut(piece_of(rectangle(100, 60)), *((1, 3.0 * n) for n in range(1, 31)))

    found = labels(split.piece)[:31]
    assert found[:3] == ["1a", "1b", "1c"]
    assert found[24:28] == ["1y", "1z", "1ba", "1bb"]
    assert len(set(found)) == 31


# Outlines without a corner


def test_a_loop_cut_once_is_the_same_loop_begun_at_the_mark() -> None:
    split = cut(disc(), (1, 100.0))

    (edge,) = split.piece.edges
    assert edge.label == "1"
    assert edge.path.path.closed
    assert edge.length == pytest.approx(2 * math.pi * RADIUS, abs=1e-9)
    assert edge.turning == pytest.approx(2 * math.pi, abs=1e-9)
    assert edge.start == pytest.approx(edge.end, abs=1e-9)
    whole = split.whole.edges[0]
    (at,) = points_at_lengths(whole.path, np.array([100.0]))
    assert edge.start == pytest.approx(complex(at), abs=1e-9)
    assert split.begins == (EdgePlace(1, 100.0),)


@given(st.lists(st.floats(0, 2 * math.pi * RADIUS), min_size=2, max_size=5))
def test_a_loop_is_cut_into_arcs(stations: list[float]) -> None:
    split = cut(disc(), *((1, s) for s in stations))

    edges = split.piece.edges
    assert sum(e.length for e in edges) == pytest.approx(2 * math.pi * RADIUS, abs=1e-9)
    assert sum(e.turning for e in edges) == pytest.approx(2 * math.pi, abs=1e-9)
    assert len({e.label for e in edges}) == len(edges)
    for edge in edges:
        assert edge.turning == pytest.approx(edge.length / RADIUS, abs=1e-9)
    in_one_go(list(edges))


def test_a_loop_cut_twice_is_two_edges_the_second_one_over_its_start() -> None:
    first, second = cut(disc(), (1, 50.0), (1, 250.0)).piece.edges

    assert (first.label, second.label) == ("1a", "1b")
    assert first.length == pytest.approx(200, abs=1e-9)
    assert second.length == pytest.approx(2 * math.pi * RADIUS - 200, abs=1e-9)
    assert not first.path.path.closed
    assert (first.corner_before, first.corner_after) == (0.0, 0.0)


def test_marks_on_both_sides_of_the_start_of_a_loop_are_one() -> None:
    round_once = 2 * math.pi * RADIUS

    assert len(cut(disc(), (1, 0.1), (1, round_once - 0.2)).piece.edges) == 1


def test_an_outline_of_one_corner_is_cut_there_and_at_the_mark() -> None:
    drop = Path(
        concatenate(
            [
                line_segments(-60j, complex(30, -30)),
                arc_segments(
                    [0], complex(30, -30), complex(30, 30), 0.0, 1.5 * math.pi
                ),
                line_segments(complex(-30, -30) * 1.0, -60j),
            ]
        ),
        closed=True,
    )
    # The arc ends at 30 - 30j turned by 270 degrees, which is -30 - 30j.
    piece = piece_of(drop, "drop")
    (whole,) = piece.edges

    split = cut(piece, (1, 70.0))

    assert labels(split.piece) == ["1a", "1b"]
    assert [e.length for e in split.piece.edges] == pytest.approx(
        [70, whole.length - 70]
    )
    assert split.piece.edges[0].corner_before == whole.corner_before


def test_cut_outs_are_cut_by_themselves() -> None:
    (piece,) = pieces_of(
        *compound(rectangle(300, 200), circle_outline(40, 150 + 90j), label="front")
    )

    split = cut(piece, (5, 30.0), (5, 130.0), (2, 50.0))

    assert labels(split.piece) == ["1", "2a", "2b", "3", "4", "5a", "5b"]
    assert [e.ring for e in split.piece.edges] == [0] * 5 + [1, 1]
    holes = parts_of(split, 5)
    assert sum(e.length for e in holes) == pytest.approx(80 * math.pi, abs=1e-9)
    assert sum(e.turning for e in holes) == pytest.approx(-2 * math.pi, abs=1e-9)


# Traced edges


def traced_piece(path: Path, seed: int = 4) -> Piece:
    return piece_of(traced(path, 3.0, 0.1, seed), "traced")


def test_a_traced_edge_is_cut_with_its_headings_and_its_length_as_drawn() -> None:
    quarter = arc_segments([0], 200.0, 200j, 0.0, math.pi / 2)
    outline = Path(
        concatenate([quarter, line_segments([200j, 0], [0, 200])]), closed=True
    )
    piece = traced_piece(outline)
    whole = max(piece.edges, key=lambda e: abs(e.turning))
    assert whole.digitised is not None
    s = whole.length / 3

    first, second = parts_of(cut(piece, (whole.number, s)), whole.number)

    assert first.digitised is not None
    assert second.digitised is not None
    assert first.length + second.length == pytest.approx(whole.length, abs=1e-9)
    drawn_length = first.drawn_length + second.drawn_length
    assert drawn_length == pytest.approx(whole.drawn_length, abs=1e-9)
    assert first.drawn_length > first.length
    for part, begin in ((first, 0.0), (second, s)):
        at = np.linspace(20.0, part.length - 20.0, 30)
        assert windowed_curvature(part.profile, 10.0, at) == pytest.approx(
            windowed_curvature(whole.profile, 10.0, begin + at), abs=1e-9
        )
        assert part.tightest_outside is not None
        assert part.tightest_outside.radius == pytest.approx(200, rel=0.15)


@pytest.mark.parametrize("stations", [(150.0,), (150.0, 400.0)])
def test_a_traced_loop_is_cut_with_its_headings(stations: tuple[float, ...]) -> None:
    piece = traced_piece(circle_outline(100))
    (whole,) = piece.edges
    assert whole.digitised is not None

    split = cut(piece, *((1, s) for s in stations))

    edges = split.piece.edges
    assert len(edges) == len(stations)
    total = sum(edge.length for edge in edges)
    assert total == pytest.approx(whole.length, abs=1e-9)
    for edge, begin in zip(edges, stations, strict=True):
        profile = edge.profile
        assert profile.closed == edge.path.path.closed == (len(stations) == 1)
        assert profile.length == pytest.approx(edge.length, abs=1e-9)
        at = np.linspace(10.0, edge.length - 10.0, 60)
        assert windowed_curvature(profile, 10.0, at) == pytest.approx(
            windowed_curvature(whole.profile, 10.0, (begin + at) % whole.length),
            abs=1e-9,
        )
    turned = sum(edge.profile.winding for edge in edges)
    assert turned == pytest.approx(2 * math.pi, abs=1e-9)


# Places and what the drawing says of edges


def test_edges_between_two_places_run_with_the_fabric_on_the_left() -> None:
    split = cut(piece_of(rectangle(100, 60)), (1, 40.0), (3, 30.0))
    first, last = EdgePlace(1, 40.0), EdgePlace(3, 30.0)

    def named(numbers: tuple[int, ...]) -> list[str]:
        return [split.piece.edges[n - 1].label for n in numbers]

    assert named(split.edges_between(first, last)) == ["1b", "2", "3a"]
    assert named(split.edges_between(last, first)) == ["3b", "4", "1a"]
    assert named(split.edges_between(first, first)) == [
        "1b",
        "2",
        "3a",
        "3b",
        "4",
        "1a",
    ]


@given(st.floats(0, 320), st.floats(0, 320))
def test_the_edges_between_two_places_are_as_long_as_the_way(
    a: float, b: float
) -> None:
    piece = piece_of(rectangle(100, 60))

    def place(s: float) -> EdgePlace:
        for edge in piece.edges:
            if s <= edge.length:
                return EdgePlace(edge.number, s)
            s -= edge.length
        return EdgePlace(4, 60.0)

    first, last = place(a), place(b)
    way = (b - a) % 320 or 320.0
    split = split_at(piece, [first, last])

    numbers = split.edges_between(first, last)

    found = sum(split.piece.edges[n - 1].length for n in numbers)
    if 2 * SNAP_MM < way < 320 - 2 * SNAP_MM:
        assert found == pytest.approx(way, abs=2 * SNAP_MM)
        in_a_row = [split.piece.edges[n - 1] for n in numbers]
        for before, after in pairwise(in_a_row):
            assert before.end == pytest.approx(after.start, abs=1e-9)


def test_what_the_drawing_says_of_an_edge_holds_for_its_parts() -> None:
    piece = piece_of(rectangle(100, 60))
    marked = Piece(
        **{
            **{f: getattr(piece, f) for f in piece.__slots__},
            "marks": DrawnMarks(2, 4, (1.0, 2.0, 3.0, 0.0)),
        }
    )

    split = cut(marked, (1, 40.0), (3, 50.0))

    marks = split.piece.marks
    assert marks is not None
    assert marks.cut == 2
    assert marks.fold_edge is not None
    assert split.piece.edges[marks.fold_edge - 1].label == "4"
    assert marks.allowances == (1.0, 1.0, 2.0, 3.0, 3.0, 0.0)


def test_a_piece_cut_again_goes_on_with_the_letters() -> None:
    once = cut(piece_of(rectangle(100, 60)), (1, 40.0)).piece

    twice = cut(once, (1, 10.0), (2, 20.0)).piece

    assert labels(twice) == ["1a", "1b", "1c", "1d", "2", "3", "4"]
    assert [e.length for e in twice.edges[:4]] == pytest.approx([10, 30, 20, 40])


def test_the_sources_of_a_part_are_those_of_the_edge() -> None:
    line = drawn(rectangle(100, 60), label="front")
    (piece,) = pieces_of(line)

    for part in parts_of(cut(piece, (1, 40.0)), 1):
        assert part.sources == piece.edges[0].sources
