"""Bound edges of pieces that can be worked out by hand, each with its closed form."""

import math
from collections.abc import Mapping
from typing import Any

import mpmath
import numpy as np
import pytest
import shapely
from drawn import compound, drawn, edge_from, piece_of, pieces_of
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from shapes import circle_outline, polygon, rectangle

from edgefinder.errors import TagError
from edgefinder.geometry.flatten import flatten
from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import (
    Floats,
    arc_segments,
    concatenate,
    cubic_segments,
    line_segments,
)
from edgefinder.pattern.finished import FinishedEdge, finish_edge
from edgefinder.pattern.lost import SHORTEST_PART_MM, SLACK_MM
from edgefinder.pattern.pieces import Edge, Piece
from edgefinder.pattern.settings import FindingSettings

FAR = 1000.0


def finish(
    piece: Piece, edge: Edge, allowances: Mapping[int, float], fold: Edge | None = None
) -> FinishedEdge:
    every = {one.number: 0.0 for one in piece.edges} | dict(allowances)
    return finish_edge(piece, edge.number, every, None if fold is None else fold.number)


def message_of(piece: Piece, edge: Edge, allowances: Mapping[int, float]) -> str:
    with pytest.raises(TagError) as caught:
        finish(piece, edge, allowances)
    (message,) = caught.value.messages
    return message


def xy(points: NDArray[np.complexfloating[Any, Any]]) -> Floats:
    return np.stack([points.real, points.imag], axis=1)


# A square neckline


def square_neck(width: float, depth: float) -> Piece:
    """A yoke of 400 x 300 with a square neckline in the middle of its top."""
    left, right = 200 - width / 2, 200 + width / 2
    top, low = 300j, (300 - depth) * 1j
    return piece_of(
        polygon(
            0, 400, 400 + top, right + top, right + low, left + low, left + top, top
        )
    )


@pytest.mark.parametrize("trimmed", [0.0, 4.0, 9.5])
def test_a_square_neckline_grows_at_its_inside_corners_and_ends_at_the_seams(
    trimmed: float,
) -> None:
    width, depth, seam = 140.0, 90.0, 12.0
    piece = square_neck(width, depth)
    right = edge_from(piece, 270 + 300j)
    low = edge_from(piece, 270 + 210j)
    left = edge_from(piece, 130 + 210j)
    shoulders = {right.number - 1: seam, left.number + 1: seam}
    neck = dict.fromkeys((right.number, low.number, left.number), trimmed)

    lengths = [finish(piece, e, shoulders | neck).length for e in (right, low, left)]

    # The sides run from the seams, 12 mm below the top, to the foot, which lies lower
    # by what is trimmed; the foot runs from one trimmed side to the other.
    assert lengths == pytest.approx(
        [depth - seam + trimmed, width + 2 * trimmed, depth - seam + trimmed], abs=1e-9
    )


# A slanted shoulder at a curved neck


def necked(radius: float, degrees: float, *, inside: bool) -> tuple[Piece, Edge]:
    """A piece whose neck, an arc of 60 degrees, ends at a shoulder at an inner angle.

    The neck begins at 0 and sets out along x, the cloth above it; the shoulder, 120 mm
    long, comes down to 0.
    """
    turn = math.radians(60)
    centre = (-radius if inside else radius) * 1j
    arc = arc_segments([centre], -centre, radius, 0.0, turn)
    end = centre - centre * math.cos(turn) + radius * math.sin(turn)
    shoulder = 120 * np.exp(1j * math.radians(degrees))
    round_ = [end, end + 150, 250 + 600j, -300 + 200j, shoulder]
    rest = line_segments(round_, [*round_[1:], 0])
    piece = piece_of(Path(concatenate([arc, rest]), closed=True))
    return piece, edge_from(piece, 0)


@pytest.mark.parametrize("degrees", [70.0, 110.0])
@pytest.mark.parametrize("inside", [True, False])
@pytest.mark.parametrize("seam", [6.0, 10.0, 15.0])
def test_a_slanted_shoulder_takes_the_arc_up_to_its_stitching(
    degrees: float, seam: float, inside: bool
) -> None:
    radius, angle = 90.0, math.radians(degrees)
    piece, neck = necked(radius, degrees, inside=inside)
    shoulder = piece.neighbours(neck.number)[0]

    finished = finish(piece, neck, {shoulder.number: seam})

    # At the angle p round the arc its distance from the shoulder's line is
    # r (cos(angle) - cos(angle + p)) on an inside curve, and
    # r (cos(angle - p) - cos(angle)) on an outside curve.
    if inside:
        p = math.acos(math.cos(angle) - seam / radius) - angle
    else:
        p = angle - math.acos(math.cos(angle) + seam / radius)
    assert finished.length == pytest.approx(neck.length - radius * p, abs=1e-9)
    # And shapely: the arc less a strip along the shoulder, carried on past the neck.
    along = (shoulder.end - shoulder.start) / abs(shoulder.end - shoulder.start)
    first, last = shoulder.start, shoulder.end + 100 * along
    strip = np.array([first, last, last + 1j * seam * along, first + 1j * seam * along])
    line = shapely.LineString(xy(flatten(neck.path.path, 1e-6)))
    wanted = line.difference(shapely.Polygon(xy(strip))).length
    assert finished.length == pytest.approx(wanted, abs=1e-4)


@pytest.mark.parametrize("degrees", [70.0, 110.0])
def test_on_a_neck_that_hardly_curves_it_is_the_allowance_over_the_sine(
    degrees: float,
) -> None:
    seam, radius = 10.0, 1e6
    piece, neck = straight_neck(degrees)
    shoulder = piece.neighbours(neck.number)[0]

    finished = finish(piece, neck, {shoulder.number: seam})

    taken = seam / math.sin(math.radians(degrees))
    assert finished.length == pytest.approx(neck.length - taken, abs=1e-9)
    # The formula of the arc above goes over into it as the radius grows.
    angle = math.radians(degrees)
    of_arc = radius * (math.acos(math.cos(angle) - seam / radius) - angle)
    assert of_arc == pytest.approx(taken, rel=1e-4)


def straight_neck(degrees: float) -> tuple[Piece, Edge]:
    shoulder = 120 * np.exp(1j * math.radians(degrees))
    piece = piece_of(polygon(0, 150, 150 + 300j, shoulder))
    return piece, edge_from(piece, 0)


# The fold


@pytest.mark.parametrize("seam", [0.0, 10.0])
def test_a_neck_across_the_fold_is_half_a_circle_less_its_seams(seam: float) -> None:
    # A quarter of a circle about the top of the fold; its shoulder lies along x.
    r = 80.0
    outline = Path(
        concatenate(
            [
                line_segments([-400j, 200 - 400j, 200], [200 - 400j, 200, r]),
                arc_segments([0], r, -r * 1j, 0.0, math.pi / 2),
                line_segments(-r * 1j, -400j),
            ]
        ),
        closed=True,
    )
    piece = piece_of(outline)
    neck, fold = edge_from(piece, r), edge_from(piece, -r * 1j)
    shoulder = piece.neighbours(neck.number)[0]

    finished = finish(piece, neck, {shoulder.number: seam}, fold)

    # The stitching lies seam below the shoulder: at asin(seam / r) round the arc.
    assert finished.length == pytest.approx(
        2 * r * (math.pi / 2 - math.asin(seam / r)), abs=1e-9
    )


# The hem


@pytest.mark.parametrize("degrees", [60.0, 90.0, 115.0])
def test_a_bound_side_that_meets_a_hem_loses_what_is_turned_up(degrees: float) -> None:
    hem, along = 40.0, np.exp(1j * math.radians(180 - degrees))
    piece = piece_of(polygon(0, 300, 300 + 200 * along, 220j))
    side, foot = edge_from(piece, 300), edge_from(piece, 0)

    finished = finish(piece, side, {foot.number: hem})

    taken = hem / math.sin(math.radians(degrees))
    assert finished.length == pytest.approx(200 - taken, abs=1e-9)
    assert finished.drawn_at(0.0) == pytest.approx(taken)


# Straps


@pytest.mark.parametrize("width", [12.0, 18.0, 20.0])
def test_a_strap_that_is_narrower_than_an_allowance_leaves_nothing(
    width: float,
) -> None:
    strap = piece_of(rectangle(300, width), "strap")
    near, far = edge_from(strap, 0), edge_from(strap, 300 + width * 1j)

    message = message_of(strap, near, {far.number: 20.0})

    assert message == (
        f"test.svg: line 1: the allowance of edge {far.number} (20.0 mm) leaves "
        f'nothing of edge {near.number} of "strap" (300.0 mm long): the piece is too '
        "narrow there; give smaller allowances"
    )


def test_a_strap_that_is_wider_than_the_allowance_loses_nothing() -> None:
    strap = piece_of(rectangle(300, 20.01), "strap")
    near, far = edge_from(strap, 0), edge_from(strap, 300 + 20.01j)

    assert finish(strap, near, {far.number: 20.0}).length == pytest.approx(300)


def test_two_allowances_that_leave_nothing_together_are_both_named() -> None:
    # A gusset: two short seams stand on the bound foot, the roof slopes to both sides.
    gusset = piece_of(polygon(0, 100, 100 + 14j, 50 + 60j, 14j), "gusset")
    foot = edge_from(gusset, 0)
    roof = edge_from(gusset, 100 + 14j), edge_from(gusset, 50 + 60j)
    width = 46.0

    message = message_of(gusset, foot, {edge.number: width for edge in roof})

    for edge in roof:
        assert f"edge {edge.number} (46.0 mm)" in message
    assert f'leave nothing of edge {foot.number} of "gusset"' in message


@pytest.mark.parametrize("trimmed", [0.0, 3.0])
def test_a_strap_that_tapers_is_bound_as_far_as_it_is_wide_enough(
    trimmed: float,
) -> None:
    # The far side lies at y = 10 + x / 5.
    strap = piece_of(polygon(0, 300, 300 + 70j, 10j))
    near, far = edge_from(strap, 0), edge_from(strap, 300 + 70j)
    seam = 25.0

    finished = finish(strap, near, {far.number: seam, near.number: trimmed})

    # Where (10 + x / 5 - trimmed) cos(slope) = seam the two stitching lines meet.
    slope = math.atan(1 / 5)
    start = 5 * (seam / math.cos(slope) - 10 + trimmed)
    assert finished.length == pytest.approx(300 - start, abs=1e-8)
    assert finished.drawn_at(0.0) == pytest.approx(start, abs=1e-8)


def test_a_curved_far_side_cuts_where_its_set_in_circle_crosses() -> None:
    # An outside arc of 200 mm, 50 mm high, over a foot between two short uprights.
    r, rise, seam = 200.0, 50.0, 40.0
    half = math.sqrt(r * r - (r - rise) ** 2)
    low = math.asin((r - rise) / r)
    centre = complex(half, 20 + rise - r)
    dome = arc_segments([centre], r, r * 1j, low, math.pi - low)
    outline = Path(
        concatenate(
            [
                line_segments([0, 2 * half], [2 * half, 2 * half + 20j]),
                dome,
                line_segments(20j, 0),
            ]
        ),
        closed=True,
    )
    piece = piece_of(outline)
    foot, arc = edge_from(piece, 0), edge_from(piece, 2 * half + 20j)

    finished = finish(piece, foot, {arc.number: seam})

    # y = 0 lies r - rise - 20 above the centre of the set-in circle.
    reach = math.sqrt((r - seam) ** 2 - (r - rise - 20) ** 2)
    assert finished.length == pytest.approx(2 * reach, abs=1e-8)


# A chamfer beside a wide allowance


@pytest.mark.parametrize("hem", [10.0, 20.0, 25.0, 60.0])
def test_a_hem_reaches_past_a_short_chamfer(hem: float) -> None:
    # The corner between the foot and the left side is cut off by 20 mm.
    piece = piece_of(polygon(20, 300, 300 + 250j, 250j, 20j))
    foot, side = edge_from(piece, 20), edge_from(piece, 250j)
    chamfer = edge_from(piece, 20j)

    of_side = finish(piece, side, {foot.number: hem})

    assert of_side.length == pytest.approx(230 - max(hem - 20, 0), abs=1e-8)
    if hem < 20:  # the stitching of the hem runs out through the chamfer
        of_chamfer = finish(piece, chamfer, {foot.number: hem})
        assert of_chamfer.length == pytest.approx((20 - hem) * math.sqrt(2))
    else:
        message = message_of(piece, chamfer, {foot.number: hem})
        assert f"leave nothing of edge {chamfer.number}" in message


# A vent


@pytest.mark.parametrize("off", [-0.3, 0.0, 1e-9, 0.01, 0.3])
def test_the_edge_of_a_vent_along_the_stitching_of_its_seam_is_whole(
    off: float,
) -> None:
    # The side seam of 10 mm ends at a step, as deep as its allowance but for a little;
    # below it the vent is bound, in line with the stitching.
    step = 10 + off
    piece = piece_of(
        polygon(0, 200 - step, 200 - step + 120j, 200 + 120j, 200 + 400j, 400j)
    )
    vent, seam = edge_from(piece, 200 - step), edge_from(piece, 200 + 120j)

    finished = finish(piece, vent, {seam.number: 10.0})

    assert finished.length == pytest.approx(120, abs=1e-9)


# Cut-outs


def with_hole(centre: complex, radius: float) -> tuple[Piece, Edge, Edge]:
    (piece,) = pieces_of(
        *compound(rectangle(200, 150), circle_outline(radius, centre), label="front")
    )
    (hole,) = (edge for edge in piece.edges if edge.ring == 1)
    return piece, edge_from(piece, 0), hole


def test_a_cut_out_whose_allowance_reaches_an_end_shortens_the_edge() -> None:
    piece, foot, hole = with_hole(14 + 24j, 12.0)

    finished = finish(piece, foot, {hole.number: 16.0})

    # Its set-in circle, of 28 mm, crosses the foot at 14 +- sqrt(28^2 - 24^2).
    assert finished.length == pytest.approx(
        200 - 14 - math.sqrt(28**2 - 24**2), abs=1e-8
    )


def test_a_cut_out_whose_allowance_cuts_an_edge_in_two_is_refused() -> None:
    piece, foot, hole = with_hole(100 + 24j, 12.0)

    assert finish(piece, foot, {hole.number: 11.99}).length == pytest.approx(200)
    assert message_of(piece, foot, {hole.number: 14.0}) == (
        f"test.svg: line 1: the allowance of edge {hole.number} (14.0 mm) cuts edge "
        f'{foot.number} of "front" in two: the piece is too narrow there; '
        "give a smaller allowance"
    )


def test_an_allowance_that_reaches_a_bound_hole_is_refused() -> None:
    piece, foot, hole = with_hole(100 + 24j, 12.0)

    assert finish(piece, hole, {foot.number: 11.99}).length == pytest.approx(
        24 * math.pi
    )
    message = message_of(piece, hole, {foot.number: 13.0})
    assert f"the allowance of edge {foot.number} (13.0 mm) takes a part out" in message


# Bands on the other side of a gap are none of a piece's


def test_an_allowance_does_not_reach_out_of_the_piece() -> None:
    # Two legs with a slit of 4 mm between them: the one side of the slit has a seam.
    piece = piece_of(
        polygon(0, 100, 100 + 200j, 104 + 200j, 104, 204, 204 + 300j, 300j)
    )
    seam, bound = edge_from(piece, 100), edge_from(piece, 104 + 200j)

    assert finish(piece, bound, {seam.number: 10.0}).length == pytest.approx(200)


def test_two_seams_at_an_inside_corner_reach_to_where_they_meet() -> None:
    # The inside corner (100, 100) lies 13 mm from the slanted bound edge: further than
    # the allowances of 10 mm, nearer than where their lines meet, sqrt(2) 10 mm.
    off = 13 * math.sqrt(2)
    piece = piece_of(
        polygon(
            complex(0, 200 - off),
            complex(200 - off, 0),
            260,
            260 + 100j,
            100 + 100j,
            100 + 260j,
            260j,
        )
    )
    bound = edge_from(piece, complex(0, 200 - off))
    into, out = edge_from(piece, 260 + 100j), edge_from(piece, 100 + 100j)

    both = message_of(piece, bound, {into.number: 10.0, out.number: 10.0})

    assert f"cuts edge {bound.number}" in both
    alone = finish(piece, bound, {into.number: 10.0})
    assert alone.length == pytest.approx(abs(1 - 1j) * (200 - off))


# No allowances at all


def test_a_drawing_of_sewing_lines_keeps_exact_lengths() -> None:
    # The armhole is a quarter of an ellipse, the neck a cubic.
    a, b = 70.0, 110.0
    armhole = arc_segments([300 + 400j], -b * 1j, -a, 0.0, math.pi / 2)
    control = [100 + 440j, 80 + 380j, 50 + 360j, 360j]
    outline = Path(
        concatenate(
            [
                line_segments([0, 300], [300, 300 + 290j]),
                armhole,
                line_segments(230 + 400j, 100 + 440j),
                cubic_segments([control]),
                line_segments(360j, 0),
            ]
        ),
        closed=True,
    )
    piece = piece_of(outline)

    of_armhole = finish(piece, edge_from(piece, 300 + 290j), {})
    of_neck = finish(piece, edge_from(piece, 100 + 440j), {})

    # The complete elliptic integral of the second kind, and the length of the cubic by
    # mpmath's quadrature.
    assert of_armhole.length == pytest.approx(
        float(b * mpmath.ellipe(1 - (a / b) ** 2)), rel=1e-9
    )
    steps = np.diff(control)

    def speed(t: mpmath.mpf) -> mpmath.mpf:
        r = 1 - t
        return abs(3 * (steps[0] * r * r + 2 * steps[1] * r * t + steps[2] * t * t))

    assert of_neck.length == pytest.approx(float(mpmath.quad(speed, [0, 1])), rel=1e-9)


# Any polygon, against shapely


@st.composite
def convex_outlines(draw: st.DrawFn) -> Path:
    """Polygons on a circle of 100 mm with short and long sides and blunt corners."""
    shares = np.array(
        [draw(st.floats(0.25, 2.0)) for _ in range(draw(st.integers(4, 8)))]
    )
    round_ = np.cumsum(shares) / shares.sum() * 2 * np.pi
    return polygon(*(100 * np.exp(1j * round_)))


def half_plane(edge: Edge, width: float) -> shapely.Polygon:
    """The strip along a straight edge, carried on far beyond both its ends."""
    along = (edge.end - edge.start) / abs(edge.end - edge.start)
    first, last = edge.start - FAR * along, edge.end + FAR * along
    outwards, inwards = -FAR * 1j * along, 1j * along * width
    corners = np.array(
        [first + outwards, last + outwards, last + inwards, first + inwards]
    )
    return shapely.Polygon(xy(corners))


@settings(max_examples=30, deadline=None)
@given(convex_outlines(), st.data())
def test_what_is_left_of_a_convex_piece_is_what_shapely_leaves(
    outline: Path, data: st.DataObject
) -> None:
    (piece,) = pieces_of(
        drawn(outline), settings=FindingSettings(corner_angle=math.radians(5))
    )
    assume(all(edge.corner_after > math.radians(5) for edge in piece.edges))
    allowances = {
        edge.number: data.draw(st.sampled_from([0.0, 5.0, 20.0, 55.0]))
        for edge in piece.edges
    }
    rest = shapely.Polygon(xy(flatten(piece.outline.path, 1.0))).difference(
        shapely.union_all(
            [half_plane(e, a) for e in piece.edges if (a := allowances[e.number])]
        )
    )
    corners = shapely.get_coordinates(rest) @ np.array([1, 1j])

    for edge in piece.edges:
        # Corners of what is left that lie on the line, set in; it is convex, so that
        # they are the ends of one stretch.
        along = (edge.end - edge.start) / edge.length
        at = (corners - edge.start) * along.conjugate()
        on_line = at.real[np.abs(at.imag - allowances[edge.number]) < 1e-6]
        wanted = float(np.ptp(on_line)) if len(on_line) else 0.0
        if _is_shallow(edge, piece, allowances):
            continue
        if wanted >= SHORTEST_PART_MM:
            assert finish(piece, edge, allowances).length == pytest.approx(
                wanted, abs=1e-6
            )
        elif wanted < 1e-6:  # what is shorter than an edge may be told or not
            assert "leave" in message_of(piece, edge, allowances)


def _is_deep(line: shapely.LineString, edge: Edge, band: shapely.Geometry) -> bool:
    """Whether every stretch of a line in a band is so further inside as well."""
    inwards = 1j * (edge.end - edge.start) / edge.length * SLACK_MM
    for part in shapely.get_parts(line.intersection(band)):
        if part.length < 1e-9:
            continue
        middle = part.interpolate(0.5, normalized=True)
        if not band.contains(
            shapely.Point(middle.x + inwards.real, middle.y + inwards.imag)
        ):
            return False
    return True


def _is_shallow(edge: Edge, piece: Piece, allowances: Mapping[int, float]) -> bool:
    """Whether a set-in line runs along the border of a band, hardly inside it."""
    along = (edge.end - edge.start) / edge.length
    ends = np.array([edge.start - FAR * along, edge.end + FAR * along])
    line = shapely.LineString(xy(ends + 1j * along * allowances[edge.number]))
    others = [other for other in piece.edges if other is not edge]
    return not all(
        _is_deep(line, edge, half_plane(one, allowances[one.number])) for one in others
    )


@st.composite
def star_outlines(draw: st.DrawFn) -> Path:
    """Simple polygons with inside corners, each vertex further round than the last."""
    count = draw(st.integers(5, 9))
    steps = np.array([draw(st.floats(1, 1.6)) for _ in range(count)])
    sizes = np.array([draw(st.floats(40, 160)) for _ in range(count)])
    return polygon(*(sizes * np.exp(2j * np.pi * np.cumsum(steps) / steps.sum())))


def flat_band(
    piece: Piece, edge: Edge, allowances: Mapping[int, float]
) -> shapely.Geometry:
    """The band of a straight edge, put together by shapely."""
    cloth = shapely.Polygon(xy(flatten(piece.outline.path, 1.0)))
    width = allowances[edge.number]
    along = (edge.end - edge.start) / edge.length
    inwards = 1j * along * width
    strip = np.array([edge.start, edge.end, edge.end + inwards, edge.start + inwards])
    parts: list[shapely.Geometry] = [shapely.Polygon(xy(strip))]
    before, after = piece.neighbours(edge.number)
    for at, out, turn, other in (
        (edge.start, -along, edge.corner_before, before),
        (edge.end, along, edge.corner_after, after),
    ):
        cap = shapely.LineString(xy(np.array([at, at + inwards])))
        if turn > 0:
            far = np.array([at, at + inwards, at + inwards + FAR * out, at + FAR * out])
            beside = shapely.Polygon(xy(far)).intersection(cloth)
            parts += [
                part for part in shapely.get_parts(beside) if part.distance(cap) < 1e-9
            ]
        elif allowances[other.number] > 0:
            # Between the square ends of the two, and no deeper than either.
            across = 1j * (other.end - other.start) / other.length
            wedge = at + FAR * np.array([0, 1j * along, 1j * along + across, across])
            parts.append(
                shapely.Polygon(xy(wedge))
                .intersection(half_plane(edge, width))
                .intersection(half_plane(other, allowances[other.number]))
            )
    return shapely.union_all(parts)


@settings(max_examples=40, deadline=None)
@given(star_outlines(), st.data())
def test_an_edge_without_allowance_keeps_what_lies_in_no_band(
    outline: Path, data: st.DataObject
) -> None:
    (piece,) = pieces_of(
        drawn(outline), settings=FindingSettings(corner_angle=math.radians(2))
    )
    assume(len(piece.edges) == len(outline.segments))
    bound = piece.edges[data.draw(st.integers(0, len(piece.edges) - 1))]
    allowances = {
        edge.number: 0.0
        if edge is bound
        else data.draw(st.sampled_from([0.0, 4.0, 12.0, 30.0]))
        for edge in piece.edges
    }
    bands = [
        flat_band(piece, edge, allowances)
        for edge in piece.edges
        if allowances[edge.number] > 0
    ]
    line = shapely.LineString(xy(np.array([bound.start, bound.end])))
    left = line.difference(shapely.buffer(shapely.union_all(bands), 1e-9))
    assume(all(_is_deep(line, bound, one) for one in bands))
    every = shapely.get_parts(left)
    parts = [part for part in every if part.length >= SHORTEST_PART_MM]

    if len(parts) == 1:
        finished = finish(piece, bound, allowances)
        assert finished.length == pytest.approx(parts[0].length, abs=1e-5)
    else:
        message = message_of(piece, bound, allowances)
        assert ("in two" if parts else "nothing") in message
