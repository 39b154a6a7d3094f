"""The edge as it is bound, against closed forms and against shapely's differences."""

import math
from collections.abc import Mapping

import numpy as np
import pytest
import shapely
from drawn import compound, drawn, edge_from, piece_of, pieces_of
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapes import circle_outline, ellipse_outline, polygon, rounded_rectangle
from strategies import angles

from edgefinder.errors import TagError
from edgefinder.geometry.affine import Affine, transform
from edgefinder.geometry.flatten import flatten
from edgefinder.geometry.path import Path, reverse_path
from edgefinder.geometry.profile_edits import kinks
from edgefinder.geometry.segments import (
    Complexes,
    Floats,
    arc_segments,
    concatenate,
    cubic_segments,
    line_segments,
)
from edgefinder.pattern.finished import FinishedEdge, finish_edge
from edgefinder.pattern.pieces import Edge, Piece
from edgefinder.pattern.settings import FindingSettings

FAR = 2000.0
FINE_MM = 1e-5
ON_THE_LINE_MM = 1e-6


def finish(
    piece: Piece, number: int, allowances: Mapping[int, float], fold: int | None = None
) -> FinishedEdge:
    every = {edge.number: 0.0 for edge in piece.edges} | dict(allowances)
    return finish_edge(piece, number, every, fold)


def xy(points: Complexes) -> Floats:
    return np.stack([points.real, points.imag], axis=1)


def polygon_of(piece: Piece) -> shapely.Polygon:
    return shapely.Polygon(xy(flatten(piece.outline.path, FINE_MM)))


def band(edge: Edge, width: float, beyond: float = FAR) -> shapely.Polygon:
    """The strip inside a straight edge, carried on beyond both its ends."""
    along = (edge.end - edge.start) / abs(edge.end - edge.start)
    first, last = edge.start - beyond * along, edge.end + beyond * along
    inwards = 1j * along * width
    corners = np.array([first, last, last + inwards, first + inwards])
    return shapely.Polygon(xy(corners))


def bound_length(piece: Piece, number: int, allowances: Mapping[int, float]) -> float:
    """Boundary length, from one straight edge, of the piece less all bands."""
    bands = [
        band(piece.edges[n - 1], width) for n, width in allowances.items() if width > 0
    ]
    rest = polygon_of(piece).difference(shapely.union_all(bands))
    # Rounding leaves slivers along the outline.
    left = max(shapely.get_parts(rest), key=shapely.area)
    edge = piece.edges[number - 1]
    along = (edge.end - edge.start) / abs(edge.end - edge.start)
    ring = shapely.get_coordinates(left.exterior)
    points = ring[:, 0] + 1j * ring[:, 1]
    # How far to the left of the edge every corner of what is left lies.
    depth = ((points - edge.start) * along.conjugate()).imag
    on_line = np.abs(depth - allowances.get(number, 0.0)) < ON_THE_LINE_MM
    return float(np.abs(np.diff(points))[on_line[:-1] & on_line[1:]].sum())


@st.composite
def convex_polygons(draw: st.DrawFn) -> Path:
    """Polygons on a circle of 300 mm whose corners all turn by more than 30 degrees."""
    count = draw(st.integers(3, 5))
    shares = np.array([draw(st.floats(1, 1.8)) for _ in range(count)])
    round_ = draw(angles()) + np.cumsum(shares) / shares.sum() * 2 * np.pi
    return polygon(*(300 * np.exp(1j * round_)))


@settings(max_examples=60)
@given(convex_polygons(), st.data())
def test_convex_pieces_agree_with_the_difference_of_shapely(
    outline: Path, data: st.DataObject
) -> None:
    piece = piece_of(outline)
    allowances = {
        edge.number: data.draw(st.sampled_from([0.0, 3.0, 10.0, 16.0]))
        for edge in piece.edges
    }

    for edge in piece.edges:
        finished = finish(piece, edge.number, allowances)

        wanted = bound_length(piece, edge.number, allowances)
        assert finished.length == pytest.approx(wanted, abs=1e-6)
        assert finished.cut_length == pytest.approx(edge.length)


def between_slanted_seams(left: float, right: float) -> Piece:
    """A bound foot of 200 mm whose seams rise at two inside angles in degrees."""
    up_left = 80 / math.tan(math.radians(left))
    up_right = 80 / math.tan(math.radians(right))
    return piece_of(
        polygon(0, 200, complex(200 - up_right, 80), complex(up_left, 80)), "foot"
    )


@pytest.mark.parametrize("left", [60, 75, 90, 110, 135, 149])
@pytest.mark.parametrize("right", [60, 90, 120, 149])
def test_a_seam_takes_its_allowance_over_the_sine_of_its_angle(
    left: float, right: float
) -> None:
    piece = between_slanted_seams(left, right)
    foot = edge_from(piece, 0, 200)
    before, after = piece.neighbours(foot.number)
    seams = {before.number: 15.0, after.number: 10.0}

    finished = finish(piece, foot.number, seams)

    taken = 15 / math.sin(math.radians(left)) + 10 / math.sin(math.radians(right))
    assert finished.length == pytest.approx(200 - taken, abs=1e-9)
    wanted = bound_length(piece, foot.number, seams)
    assert finished.length == pytest.approx(wanted, abs=1e-6)
    assert finished.drawn_at(0) == pytest.approx(15 / math.sin(math.radians(left)))


def scoop(left: complex, right: complex) -> Path:
    """A bodice whose neck, an inside curve, meets two slanted shoulder seams."""
    neck = cubic_segments([[right, right - 5 - 80j, left + 5 - 80j, left]])
    foot = line_segments(
        [left, -20 + 150j, 0, 300, 320 + 150j],
        [-20 + 150j, 0, 300, 320 + 150j, right],
    )
    return Path(concatenate([neck, foot]), closed=True)


@settings(max_examples=40)
@given(
    st.floats(60, 110),
    st.floats(185, 240),
    st.floats(160, 260),
    st.floats(2, 20),
    st.floats(2, 20),
)
def test_seams_at_a_curved_neck_agree_with_the_difference_of_shapely(
    left: float, right: float, height: float, one: float, other: float
) -> None:
    piece = piece_of(scoop(complex(left, height), complex(right, height)))
    neck = edge_from(piece, complex(right, height))
    before, after = piece.neighbours(neck.number)
    allowances = {before.number: one, after.number: other}
    bands = [band(before, one, 40.0), band(after, other, 40.0)]

    finished = finish(piece, neck.number, allowances)

    line = shapely.LineString(xy(flatten(neck.path.path, 1e-6)))
    wanted = line.difference(shapely.union_all(bands))
    assume(wanted.geom_type == "LineString")  # a band that cuts off a middle as well
    assert finished.length == pytest.approx(wanted.length, abs=1e-3)
    assert finished.profile.winding < 0


def test_a_curved_seam_is_set_in_along_its_curve() -> None:
    # A foot along y = 0 and above it a circle of 150 mm about (0, -60): its set-in
    # line is the circle of 140 mm about the same centre.
    r, b, h = 150.0, 10.0, -60.0
    reach = math.sqrt(r * r - h * h)
    low = math.atan2(-h, reach)
    dome = Path(
        concatenate(
            [
                line_segments(-reach, reach),
                arc_segments([h * 1j], r, r * 1j, low, math.pi - low),
            ]
        ),
        closed=True,
    )
    piece = piece_of(dome)
    foot = edge_from(piece, -reach)

    finished = finish(piece, foot.number, {3 - foot.number: b})

    assert finished.length == pytest.approx(2 * math.sqrt((r - b) ** 2 - h * h))


def test_a_curved_seam_goes_on_straight_past_an_outside_corner() -> None:
    # The seam begins 45 degrees off the way on of the side and bulges out; its band
    # is carried on along its tangent, and there the side meets it.
    start = 200 + 200j + 200 * np.exp(-0.75j * np.pi)
    end, top = 400 + 200j, start + 150j
    seam = arc_segments([200 + 200j], 200, 200j, -0.75 * np.pi, 0.0)
    rest = line_segments([end, end + 200j, top], [end + 200j, top, start])
    piece = piece_of(Path(concatenate([seam, rest]), closed=True))
    side = edge_from(piece, top)

    finished = finish(piece, side.number, {edge_from(piece, start).number: 10.0})

    assert side.corner_after == pytest.approx(math.pi / 4)
    assert finished.length == pytest.approx(150 - 10 / math.sin(math.pi / 4))


def test_nothing_is_taken_off_without_allowances() -> None:
    piece = piece_of(scoop(90 + 220j, 210 + 220j))

    for edge in piece.edges:
        finished = finish(piece, edge.number, {})
        assert finished.length == pytest.approx(edge.length, rel=1e-12)
        assert finished.profile.winding == pytest.approx(edge.turning, abs=1e-9)


@given(st.floats(0, 30), st.floats(0.3, 2.5))
def test_an_allowance_on_an_outside_arc_takes_a_times_its_turning(
    allowance: float, turning: float
) -> None:
    # A fan: the arc between two radii, which stand square to it.
    r = 120.0
    fan = Path(
        concatenate(
            [
                line_segments(0, r),
                arc_segments([0], r, r * 1j, 0.0, turning),
                line_segments(r * np.exp(1j * turning), 0),
            ]
        ),
        closed=True,
    )
    piece = piece_of(fan)
    arc = edge_from(piece, r)

    finished = finish(piece, arc.number, {arc.number: allowance})

    assert finished.length == pytest.approx(turning * (r - allowance))
    assert finished.profile.winding == pytest.approx(turning)


def test_an_allowance_on_an_inside_arc_makes_it_longer() -> None:
    r, a = 60.0, 10.0
    neck = arc_segments([150 + 200j], r, r * 1j, 0.0, -math.pi)
    rest = line_segments(
        [90 + 200j, 200j, 0, 300, 300 + 200j],
        [200j, 0, 300, 300 + 200j, 210 + 200j],
    )
    piece = piece_of(Path(concatenate([neck, rest]), closed=True))
    edge = edge_from(piece, 210 + 200j)

    finished = finish(piece, edge.number, {edge.number: a})

    assert finished.length == pytest.approx(math.pi * (r + a))


@pytest.mark.parametrize("allowance", [0.0, 5.0, 30.0, 49.0])
def test_an_allowance_on_a_circle_makes_a_smaller_circle(allowance: float) -> None:
    piece = piece_of(circle_outline(50))

    finished = finish(piece, 1, {1: allowance})

    assert finished.length == pytest.approx(2 * math.pi * (50 - allowance))
    assert finished.profile.closed
    assert finished.drawn_at(finished.length / 2) == pytest.approx(50 * math.pi)


def test_an_allowance_on_a_cut_out_makes_a_larger_hole() -> None:
    (piece,) = pieces_of(
        *compound(rounded_rectangle(300, 300, 40), circle_outline(30, 150 + 150j))
    )

    finished = finish(piece, 2, {2: 10.0})

    assert finished.length == pytest.approx(2 * math.pi * 40)


@pytest.mark.parametrize("depth", [4.0, 10.0, 17.0, 25.0])
@pytest.mark.parametrize("radius", [6.0, 10.0, 20.0])
def test_a_rounded_corner_tighter_than_the_allowance_becomes_a_corner(
    depth: float, radius: float
) -> None:
    piece = piece_of(rounded_rectangle(200, 120, radius))

    finished = finish(piece, 1, {1: depth})

    inset = shapely.box(0, 0, 200, 120).buffer(-depth, join_style="mitre")
    left = max(radius - depth, 0)
    assert finished.length == pytest.approx(
        inset.length - (8 - 2 * math.pi) * left, abs=1e-6
    )
    _, turns = kinks(finished.profile, 0.01)
    assert turns == pytest.approx([math.pi / 2] * (4 if depth >= radius else 0))
    assert finished.profile.winding == pytest.approx(2 * math.pi)


def test_an_ellipse_set_in_agrees_with_the_buffer_of_shapely() -> None:
    ellipse = ellipse_outline(120, 80, 0.4)
    piece = piece_of(ellipse)

    finished = finish(piece, 1, {1: 12.0})

    inset = polygon_of(piece).buffer(-12.0, quad_segs=64)
    assert finished.length == pytest.approx(inset.length, abs=0.01)


@st.composite
def star_polygons(draw: st.DrawFn) -> Path:
    """Simple polygons with inside corners, each vertex further round than the last."""
    count = draw(st.integers(4, 8))
    steps = np.array([draw(st.floats(1, 1.5)) for _ in range(count)])
    sizes = [draw(st.floats(100, 300)) for _ in range(count)]
    return polygon(
        *(np.array(sizes) * np.exp(2j * np.pi * np.cumsum(steps) / sum(steps)))
    )


@settings(max_examples=60)
@given(star_polygons(), st.sampled_from([1.0, 4.0, 8.0]))
def test_one_allowance_all_round_agrees_with_the_buffer_of_shapely(
    outline: Path, allowance: float
) -> None:
    piece = piece_of(outline)
    inset = polygon_of(piece).buffer(-allowance, join_style="mitre", mitre_limit=50)
    assume(inset.geom_type == "Polygon")
    assume(len(inset.exterior.coords) == len(outline.segments) + 1)
    every = {edge.number: allowance for edge in piece.edges}

    total = sum(finish(piece, edge.number, every).length for edge in piece.edges)

    assert total == pytest.approx(inset.length, abs=1e-6)


def corner_inside() -> Piece:
    """An L: its inside corner lies at (100, 60), between two edges of 100 and 90."""
    return piece_of(polygon(0, 200, 200 + 60j, 100 + 60j, 100 + 150j, 150j), "L")


def test_an_edge_without_allowance_is_whole_at_an_inside_corner() -> None:
    piece = corner_inside()
    before, after = edge_from(piece, 200 + 60j), edge_from(piece, 100 + 60j)

    one = finish(piece, before.number, {after.number: 10.0})
    other = finish(piece, after.number, {before.number: 10.0})

    assert one.length == pytest.approx(100)
    assert other.length == pytest.approx(90)


def test_two_trimmed_edges_are_carried_on_at_an_inside_corner() -> None:
    piece = corner_inside()
    before, after = edge_from(piece, 200 + 60j), edge_from(piece, 100 + 60j)
    trimmed = {before.number: 10.0, after.number: 7.0}

    assert finish(piece, before.number, trimmed).length == pytest.approx(107)
    assert finish(piece, after.number, trimmed).length == pytest.approx(100)


def test_two_curves_are_carried_on_straight_at_an_inside_corner() -> None:
    # Two outside arcs of 60 mm about (40, 0) and (-40, 0) meet in a notch at the top.
    r, c, a, b = 60.0, 40.0, 8.0, 5.0
    top = math.acos(c / r)
    lobes = Path(
        concatenate(
            [
                line_segments(-150j, c + r),
                arc_segments([c, -c], r, r * 1j, [0.0, top], [np.pi - top, np.pi]),
                line_segments(-c - r, -150j),
            ]
        ),
        closed=True,
    )
    piece = piece_of(lobes)
    right = edge_from(piece, c + r)
    left = piece.neighbours(right.number)[1]

    finished = finish(piece, right.number, {right.number: a, left.number: b})

    notch, foot = right.corner_after, right.corner_before
    assert notch == pytest.approx(2 * top - np.pi)
    on_past_notch = (a * math.cos(notch) - b) / math.sin(notch)
    back_to_foot = a / math.tan(foot)
    assert finished.length == pytest.approx(
        (r - a) * (np.pi - top) + on_past_notch + back_to_foot
    )


def half_bodice(shoulder: complex, low: float, handle: complex) -> Path:
    """Half a bodice on the fold x = 0: its neck runs from the shoulder to the fold."""
    return Path(
        concatenate(
            [
                line_segments(
                    [0, 150, 160 + 200j],
                    [150, 160 + 200j, shoulder],
                ),
                cubic_segments(
                    [[shoulder, shoulder - 40j, low * 1j + handle, low * 1j]]
                ),
                line_segments(low * 1j, 0),
            ]
        ),
        closed=True,
    )


def unfolded(half: Path) -> Path:
    """Draw both halves: the outline without its fold edge, and its mirror image."""
    mirrored = transform(half.segments, Affine(-1, 0, 0, 1, 0, 0))
    fold = len(half.segments) - 1
    drawn_half = half.segments.take(slice(0, fold))
    other = reverse_path(Path(mirrored.take(slice(0, fold)), closed=False))
    return Path(concatenate([drawn_half, other.segments]), closed=True)


def at_neck(piece: Piece, shoulder: complex) -> Edge:
    return edge_from(piece, shoulder)


@given(st.floats(40, 90), st.floats(100, 180), st.floats(10, 60))
def test_a_half_on_the_fold_gives_the_whole_neck(
    width: float, low: float, handle: float
) -> None:
    shoulder = complex(width, 230)
    half = half_bodice(shoulder, low, handle)  # square to the fold
    piece, whole = piece_of(half), piece_of(unfolded(half))
    neck, full = at_neck(piece, shoulder), at_neck(whole, shoulder)
    fold = edge_from(piece, low * 1j, 0)
    seams = {piece.neighbours(neck.number)[0].number: 10.0}
    both = {n.number: 10.0 for n in whole.neighbours(full.number)}

    finished = finish(piece, neck.number, seams, fold.number)

    wanted = finish(whole, full.number, both)
    assert finished.is_unfolded
    assert not finished.is_mirror_first
    assert finished.cut_length == pytest.approx(full.length)
    assert finished.length == pytest.approx(wanted.length)
    assert finished.profile.winding == pytest.approx(wanted.profile.winding)
    assert len(kinks(finished.profile, 1e-6)[0]) == 0


@given(st.floats(40, 90), st.floats(100, 180), st.floats(10, 60), st.floats(-0.6, 0.6))
def test_a_neck_not_square_to_the_fold_has_a_corner_there(
    width: float, low: float, handle: float, slope: float
) -> None:
    assume(abs(slope) > 0.01)
    shoulder = complex(width, 230)
    half = half_bodice(
        shoulder, low, handle * complex(math.cos(slope), math.sin(slope))
    )
    piece = piece_of(half)
    neck = at_neck(piece, shoulder)
    fold = edge_from(piece, low * 1j, 0)

    finished = finish(piece, neck.number, {}, fold.number)

    at, turns = kinks(finished.profile, 0.01)
    assert at == pytest.approx([neck.length])
    # The neck comes in falling by the slope and leaves rising by it: an inside corner.
    assert turns == pytest.approx([-2 * slope])


def test_an_edge_that_starts_at_the_fold_has_its_mirrored_half_first() -> None:
    half = half_bodice(70 + 230j, 140, 30)
    piece = piece_of(half)
    hem = edge_from(piece, 0, 150)
    fold = edge_from(piece, 140j, 0)
    side = edge_from(piece, 150)

    finished = finish(piece, hem.number, {side.number: 10.0}, fold.number)

    taken = 10 / math.sin(side.corner_before)
    assert finished.is_mirror_first
    assert finished.length == pytest.approx(2 * (150 - taken))
    assert finished.is_mirrored_at(10.0)
    assert not finished.is_mirrored_at(finished.length - 10.0)
    assert finished.drawn_at(finished.length / 2) == pytest.approx(0, abs=1e-9)
    assert finished.drawn_at(0) == pytest.approx(150 - taken)


def test_an_edge_between_two_ends_of_the_fold_becomes_a_loop() -> None:
    half_disc = Path(
        concatenate(
            [
                arc_segments([0], 80, 80j, -np.pi / 2, np.pi / 2),
                line_segments(80j, -80j),
            ]
        ),
        closed=True,
    )
    piece = piece_of(half_disc)
    arc, fold = edge_from(piece, -80j), edge_from(piece, 80j)

    finished = finish(piece, arc.number, {}, fold.number)

    assert finished.profile.closed
    assert finished.length == pytest.approx(2 * math.pi * 80)
    assert finished.profile.winding == pytest.approx(2 * math.pi)


def test_a_trimmed_half_neck_is_the_trimmed_whole_neck() -> None:
    half = half_bodice(70 + 230j, 140, 30)
    piece, whole = piece_of(half), piece_of(unfolded(half))
    neck, full = at_neck(piece, 70 + 230j), at_neck(whole, 70 + 230j)
    fold = edge_from(piece, 140j, 0)

    finished = finish(piece, neck.number, {neck.number: 6.0}, fold.number)

    wanted = finish(whole, full.number, {full.number: 6.0})
    assert finished.length == pytest.approx(wanted.length)


@pytest.mark.parametrize("allowance", [50.0, 60.0, 1e4])
def test_an_allowance_larger_than_the_piece_leaves_nothing(allowance: float) -> None:
    disc = piece_of(circle_outline(50), "disc")

    with pytest.raises(TagError, match=r"leave nothing of edge 1 of \"disc\""):
        finish(disc, 1, {1: allowance})


def test_seams_that_use_up_an_edge_are_an_error_with_its_length() -> None:
    square = piece_of(polygon(0, 100, 100 + 100j, 100j), "square")

    with pytest.raises(TagError) as caught:
        finish(square, 1, {2: 50.0, 4: 50.0})

    (message,) = caught.value.messages
    assert message.startswith("test.svg: line 1: ")
    assert 'edge 1 of "square" (100.0 mm long)' in message
    assert "give smaller allowances" in message


def test_a_piece_with_a_single_corner_loses_nothing_to_itself() -> None:
    drop = piece_of(Path(cubic_segments([[0, 90 - 90j, 90 + 90j, 0]]), closed=True))
    (edge,) = drop.edges

    assert finish(drop, 1, {}).length == pytest.approx(edge.length)

    trimmed = finish(drop, 1, {1: 4.0})

    inset = polygon_of(drop).buffer(-4.0, quad_segs=64, join_style="mitre")
    assert trimmed.length == pytest.approx(inset.length, abs=0.01)


def test_lines_that_meet_nearly_straight_take_nothing_from_each_other() -> None:
    # A corner angle of 0.5 degrees makes an edge end in a line that goes straight on.
    path = polygon(0, 100 - 0.6j, 200, 200 + 100j, 100j)
    (piece,) = pieces_of(
        drawn(path), settings=FindingSettings(corner_angle=math.radians(0.5))
    )
    edge = edge_from(piece, 0)

    finished = finish(piece, edge.number, {edge.number + 1: 10.0})

    assert finished.length == pytest.approx(edge.length)
