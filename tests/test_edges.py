"""Numbering of edges: the same shape has the same numbers, however it was drawn."""

import math
from pathlib import Path as FilePath

import numpy as np
import pytest
from drawn import LARGE_SHEET, compound, drawn, edge_from, piece_of, pieces_of
from dxf_drawings import drawing as dxf_drawing
from dxf_drawings import read as read_dxf_document
from hypothesis import assume, given
from hypothesis import strategies as st
from shapes import (
    circle_outline,
    ellipse_outline,
    leaf,
    polygon,
    rounded_rectangle,
    stadium,
)
from strategies import closed_outlines, parameters, vectors
from svg_texts import read_body

from edgefinder.geometry.affine import Affine, transform
from edgefinder.geometry.headings import joint_turnings
from edgefinder.geometry.path import Path, reverse_path, rotate_path
from edgefinder.geometry.segments import (
    arc_segments,
    concatenate,
    cubic_segments,
    line_segments,
    split,
)
from edgefinder.pattern.finding import find_pieces
from edgefinder.pattern.pieces import Piece
from edgefinder.pattern.settings import FindingSettings

SAME_MM = 1e-6
THIRTY = math.radians(30)


def split_everywhere(path: Path, at: float) -> Path:
    """Cut every segment in two at a fraction of its parameter."""
    tables = []
    for row in range(len(path.segments)):
        one = path.segments.take([row])
        tables.append(split(one, np.array([0.0]), np.array([at])))
        tables.append(split(one, np.array([at]), np.array([1.0])))
    return Path(concatenate(tables), closed=path.closed)


def moved(path: Path, by: complex) -> Path:
    shift = Affine(1, 0, 0, 1, by.real, by.imag)
    return Path(transform(path.segments, shift), path.closed)


def has_clear_corners(path: Path) -> bool:
    """Whether no jump of the tangent is so near 30 degrees that rounding decides."""
    return bool((np.abs(np.abs(joint_turnings(path)) - THIRTY) > 1e-6).all())


def assert_same_edges(one: Piece, other: Piece, shift: complex = 0) -> None:
    assert len(one.edges) == len(other.edges)
    for a, b in zip(one.edges, other.edges, strict=True):
        assert a.number == b.number
        assert abs(a.length - b.length) < SAME_MM
        assert abs(a.turning - b.turning) < 1e-6
        assert abs(a.corner_before - b.corner_before) < 1e-6
        assert abs(a.corner_after - b.corner_after) < 1e-6
        if not a.path.path.closed:
            assert abs(a.start + shift - b.start) < SAME_MM
            assert abs(a.end + shift - b.end) < SAME_MM


@given(closed_outlines(), st.integers(0, 6))
def test_another_start_point_leaves_the_numbers(outline: Path, first: int) -> None:
    assume(has_clear_corners(outline))

    again = rotate_path(outline, first % len(outline.segments))

    assert_same_edges(piece_of(outline), piece_of(again))


@given(closed_outlines())
def test_reversing_an_outline_leaves_the_numbers(outline: Path) -> None:
    assume(has_clear_corners(outline))

    assert_same_edges(piece_of(outline), piece_of(reverse_path(outline)))


@given(closed_outlines(), vectors())
def test_moving_an_outline_leaves_the_numbers(outline: Path, by: complex) -> None:
    assume(has_clear_corners(outline))

    assert_same_edges(piece_of(outline), piece_of(moved(outline, by)), by)


@given(closed_outlines(), parameters())
def test_splitting_segments_leaves_the_numbers(outline: Path, at: float) -> None:
    assume(has_clear_corners(outline))
    assume(0.01 < at < 0.99)

    assert_same_edges(piece_of(outline), piece_of(split_everywhere(outline, at)))


@given(closed_outlines())
def test_corners_and_turnings_add_up_to_one_round(outline: Path) -> None:
    edges = piece_of(outline).edges

    total = sum(edge.turning + edge.corner_after for edge in edges)

    assert total == pytest.approx(2 * math.pi, abs=1e-6)


@given(closed_outlines())
def test_edges_add_up_to_the_perimeter(outline: Path) -> None:
    piece = piece_of(outline)

    assert sum(e.length for e in piece.edges) == pytest.approx(piece.perimeter)


@given(closed_outlines())
def test_every_edge_begins_where_the_one_before_it_ends(outline: Path) -> None:
    edges = piece_of(outline).edges

    for before, after in zip(edges, [*edges[1:], edges[0]], strict=True):
        assert abs(before.end - after.start) < SAME_MM
        assert before.corner_after == pytest.approx(after.corner_before)


def lens() -> Path:
    """Two corners that lie equally far from the lower left corner of the box."""
    bow = 60.0
    return Path(
        cubic_segments(
            [
                [100j, -bow + 20j, 20 - bow * 1j, 100],
                [100, 120 + 90j, 90 + 120j, 100j],
            ]
        ),
        closed=True,
    )


@given(st.integers(0, 1), parameters(), vectors(), st.booleans())
def test_of_two_corners_equally_near_the_lower_one_comes_first(
    first: int, at: float, by: complex, backwards: bool
) -> None:
    assume(0.01 < at < 0.99)
    again = moved(split_everywhere(rotate_path(lens(), first), at), by)
    again = reverse_path(again) if backwards else again

    piece = piece_of(again)

    assert len(piece.edges) == 2
    assert abs(piece.edges[0].start - (100 + by)) < SAME_MM


def test_an_export_with_two_decimals_does_not_move_the_first_corner() -> None:
    square = polygon(0.004 - 0.003j, 99.996 + 0.004j, 100.004 + 100j, -0.004 + 100j)
    tilted = polygon(50.003, 100 + 49.998j, 50 + 100.002j, 0.001 + 50.003j)

    assert abs(piece_of(square).edges[0].start) < 0.01
    assert abs(piece_of(tilted).edges[0].start - 50) < 0.01


def test_edges_are_numbered_anticlockwise_from_the_lower_left() -> None:
    clockwise = polygon(100 + 50j, 100, 0, 50j)

    starts = [edge.start for edge in piece_of(clockwise).edges]

    assert starts == [0, 100, 100 + 50j, 50j]


DIAGONAL = complex(1, 1) / math.sqrt(2)


@pytest.mark.parametrize(
    ("outline", "start"),
    [
        (circle_outline(50, 10 + 20j), 10 + 20j - 50 * DIAGONAL),
        # The support of an ellipse in a direction n: (a^2 n_x, b^2 n_y) / h.
        (
            ellipse_outline(80, 30, centre=5j),
            5j - complex(80**2, 30**2) / math.hypot(80, 30),
        ),
        (stadium(100, 40), -40 * DIAGONAL),
        (rounded_rectangle(120, 80, 10), 10 + 10j - 10 * DIAGONAL),
    ],
)
def test_a_smooth_outline_is_one_edge_from_its_furthest_point_to_the_lower_left(
    outline: Path, start: complex
) -> None:
    (edge,) = piece_of(outline).edges

    assert edge.path.path.closed
    assert abs(edge.start - start) < 1e-6
    assert edge.turning == pytest.approx(2 * math.pi)
    assert (edge.corner_before, edge.corner_after) == (0, 0)


@given(st.floats(0.05, 0.95), st.integers(0, 3), st.booleans())
def test_a_smooth_outline_begins_at_the_same_place_however_it_is_drawn(
    at: float, first: int, backwards: bool
) -> None:
    # Two feet, equally far to the lower left: the lower one counts.
    upright = cubic_segments(
        [
            [-80, -80 - 60j, -10 - 60j, 0],
            [0, 10 + 60j, 10 + 60j, 20],
            [20, 30 - 60j, 100 - 60j, 100],
            [100, 100 + 150j, -80 + 150j, -80],
        ]
    )
    turn = DIAGONAL.real
    bib = Path(transform(upright, Affine(turn, -turn, turn, turn, 0, 0)), closed=True)
    again = split_everywhere(rotate_path(bib, first), at)
    again = reverse_path(again) if backwards else again

    (edge,) = piece_of(again, name="bib").edges

    (model,) = piece_of(bib).edges
    assert model.start.imag < model.start.real
    # The slope there is 0: a cut at a point 0.01 mm less far may begin it.
    assert abs(edge.start - model.start) < 2
    assert edge.length == pytest.approx(model.length, rel=1e-9)


def turned_corner(degrees: float) -> Path:
    """A triangle of three blunt sides with one joint of a known angle in its foot."""
    lift = 100 * np.tan(np.radians(degrees / 2))
    return polygon(0, complex(100, -lift), 200, 100 + 150j)


@pytest.mark.parametrize(("degrees", "edges"), [(29.99, 3), (30.01, 4)])
def test_a_corner_is_a_jump_of_thirty_degrees_or_more(
    degrees: float, edges: int
) -> None:
    piece = piece_of(turned_corner(degrees))

    assert len(piece.edges) == edges


def test_the_corner_angle_can_be_set() -> None:
    line = drawn(turned_corner(20.0))

    (coarse,) = pieces_of(line)
    (fine,) = pieces_of(line, settings=FindingSettings(corner_angle=np.radians(15)))

    assert (len(coarse.edges), len(fine.edges)) == (3, 4)


def test_a_small_jump_inside_an_edge_counts_in_its_turning() -> None:
    piece = piece_of(turned_corner(20.0))

    foot = edge_from(piece, 0, 200)

    assert foot.turning == pytest.approx(math.radians(20))


def test_a_single_corner_makes_one_open_edge() -> None:
    drop = Path(cubic_segments([[0, 100 - 100j, 100 + 100j, 0]]), closed=True)

    (edge,) = piece_of(drop).edges

    assert not edge.path.path.closed
    assert edge.start == edge.end == 0
    assert edge.corner_before == edge.corner_after == pytest.approx(math.pi / 2)
    assert edge.turning == pytest.approx(3 * math.pi / 2)


def test_a_cusp_inside_a_curve_turns_its_edge() -> None:
    grown = Path(transform(leaf().segments, Affine(100, 0, 0, 100, 0, 0)), closed=True)

    piece = piece_of(grown)

    total = sum(edge.turning + edge.corner_after for edge in piece.edges)
    assert total == pytest.approx(2 * math.pi, abs=1e-6)


def test_cut_outs_are_numbered_after_the_outline_and_run_the_other_way() -> None:
    outer = polygon(0, 300, 300 + 300j, 300j)
    hole = polygon(100 + 100j, 200 + 100j, 200 + 200j, 100 + 200j)

    (piece,) = pieces_of(*compound(outer, hole))

    assert [edge.ring for edge in piece.edges] == [0, 0, 0, 0, 1, 1, 1, 1]
    assert [edge.number for edge in piece.edges] == [1, 2, 3, 4, 5, 6, 7, 8]
    assert piece.edges[4].start == 100 + 100j
    assert piece.edges[4].end == 100 + 200j
    assert piece.area == pytest.approx(300**2 - 100**2)
    turned = sum(e.turning + e.corner_after for e in piece.edges if e.ring == 1)
    assert turned == pytest.approx(-2 * math.pi)


def test_neighbours_stay_on_their_own_outline() -> None:
    outer = polygon(0, 300, 300 + 300j, 300j)
    hole = polygon(100 + 100j, 200 + 100j, 150 + 200j)
    (piece,) = pieces_of(*compound(outer, hole))

    around = [[e.number for e in piece.neighbours(number)] for number in (1, 4, 5, 7)]

    assert around == [[4, 2], [3, 1], [7, 6], [6, 5]]


def test_an_edge_knows_the_lines_that_it_was_drawn_as() -> None:
    foot = drawn(Path(line_segments(0, 100), closed=False), id="foot")
    rest = drawn(
        Path(line_segments([100, 100 + 80j, 80j], [100 + 80j, 80j, 0]), closed=False),
        id="rest",
    )

    (piece,) = pieces_of(rest, foot)

    assert [[s.id for s in edge.sources] for edge in piece.edges] == [
        ["foot"],
        ["rest"],
        ["rest"],
        ["rest"],
    ]


def bodice_edges() -> list[tuple[float, float]]:
    """Lengths and turnings of the shape of the next test, by closed form."""
    quarter = math.pi / 2
    return [
        (200.0, 0.0),
        (300.0, 0.0),
        (100.0, 0.0),
        (100 * quarter, -quarter),  # the neck, an inside quarter of a circle
        (200.0, 0.0),
    ]


def test_svg_and_dxf_of_one_shape_number_alike(tmp_path: FilePath) -> None:
    # Drawn from different corners, in different directions.
    body = (
        '<path id="bodice" d="M0,500 V300 A100,100 0 0 0 100,200 H200 V500 z"'
        ' transform="translate(20,30)"/>'
    )
    svg = read_body(body, LARGE_SHEET)
    document = dxf_drawing()
    document.modelspace().add_lwpolyline(
        # The bulge is the tangent of a quarter of the angle, negative: clockwise.
        [
            (200, 300, 0),
            (100, 300, -math.tan(math.pi / 8)),
            (0, 200, 0),
            (0, 0, 0),
            (200, 0, 0),
        ],
        format="xyb",
        close=True,
    )
    dxf = read_dxf_document(tmp_path, document)

    (from_svg,) = find_pieces(svg, FindingSettings()).pieces
    (from_dxf,) = find_pieces(dxf, FindingSettings()).pieces

    for piece in (from_svg, from_dxf):
        found = [(edge.length, edge.turning) for edge in piece.edges]
        assert np.allclose(found, bodice_edges(), atol=1e-9)
    assert_same_edges(from_dxf, from_svg, from_svg.outline.path.start)


def test_the_tightest_curves_of_an_edge_are_signed_with_the_fabric() -> None:
    scoop = Path(
        concatenate(
            [
                line_segments([0, 200, 200 + 100j], [200, 200 + 100j, 150 + 100j]),
                arc_segments([100 + 100j], 50, 50j, 0.0, -math.pi),
                line_segments([50 + 100j, 100j], [100j, 0]),
            ]
        ),
        closed=True,
    )
    piece = piece_of(scoop)

    neck = edge_from(piece, 150 + 100j)

    assert neck.tightest_inside is not None
    assert neck.tightest_inside.radius == pytest.approx(50.0)
    assert neck.tightest_outside is None
    assert piece.edges[0].tightest_inside is None
    assert piece.edges[0].tightest_outside is None


def test_the_edge_of_a_disc_is_an_outside_curve() -> None:
    (edge,) = piece_of(circle_outline(40)).edges

    assert edge.tightest_outside is not None
    assert edge.tightest_outside.radius == pytest.approx(40.0)
    assert edge.tightest_inside is None
