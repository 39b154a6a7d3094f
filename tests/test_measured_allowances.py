"""Allowances measured between a cut line and the sewing lines drawn inside it."""

import math

import pytest
from drawn import bodice, drawn, edge_from, piece_of, pieces_of, reading
from hypothesis import given, settings
from hypothesis import strategies as st
from shapes import circle_outline, polygon, polyline, rectangle

from edgefinder.findings import Severity
from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import arc_segments
from edgefinder.importers.drawing import DrawnLine
from edgefinder.pattern.finding import PiecesFound, find_pieces
from edgefinder.pattern.measured_allowances import (
    Gap,
    allowances_of,
    gap_findings,
    measure_gaps,
)
from edgefinder.pattern.selectors import parse_selector
from edgefinder.pattern.settings import FindingSettings


def allowances(path: Path, *sewing: Path) -> tuple[float | None, ...]:
    return allowances_of(measure_gaps(piece_of(path).edges, sewing))


def inner(
    width: float, height: float, foot: float, right: float, top: float, left: float
) -> Path:
    """A rectangle inside one from 0 to width and height."""
    low, high = complex(left, foot), complex(width - right, height - top)
    return polygon(
        low, complex(high.real, low.imag), high, complex(low.real, high.imag)
    )


@given(*[st.sampled_from([0.0, 6.0, 9.5, 15.0, 25.0, 40.0])] * 4)
def test_each_edge_of_a_rectangle_has_the_gap_that_was_drawn(
    foot: float, right: float, top: float, left: float
) -> None:
    measured = allowances(rectangle(300, 200), inner(300, 200, foot, right, top, left))

    assert measured == pytest.approx((foot, right, top, left), abs=1e-9)


@settings(deadline=None)
@given(st.floats(3, 20), st.floats(40, 200), st.booleans())
def test_round_edges_have_the_difference_of_the_radii(
    gap: float, radius: float, is_hole: bool
) -> None:
    if is_hole:
        (piece,) = pieces_of(
            *(
                drawn(path, element=7)
                for path in (rectangle(600, 600), circle_outline(radius, 300 + 300j))
            )
        )
        sewing = circle_outline(radius + gap, 300 + 300j)
        measured = measure_gaps(piece.edges, [sewing])
        assert [one is None for one in measured] == [True] * 4 + [False]
    else:
        piece = piece_of(circle_outline(radius))
        measured = measure_gaps(piece.edges, [circle_outline(radius - gap)])
    last = measured[-1]

    assert last is not None
    assert last.allowance == pytest.approx(gap, abs=2e-3)
    assert last.is_even


def test_open_sewing_lines_leave_edges_without_one_alone() -> None:
    # Seams at the sides only, drawn from end to end.
    sides = polyline(12 + 0j, 12 + 200j), polyline(290 + 0j, 290 + 200j)

    assert allowances(rectangle(300, 200), *sides) == pytest.approx(
        (None, 10.0, None, 12.0)
    )


def test_the_line_of_the_far_side_of_a_strap_is_not_its_own() -> None:
    # 20 mm from the near side, and along it: but 10 mm from the far one.
    assert allowances(rectangle(400, 30), polyline(20j, 400 + 20j)) == pytest.approx(
        (None, None, 10.0, None)
    )


def test_a_line_across_a_piece_or_outside_it_is_none() -> None:
    pocket = polyline(80 + 100j, 220 + 100j)
    outside = polyline(-10 + 0j, -10 + 200j)

    assert allowances(rectangle(300, 200), pocket, outside) == (None,) * 4


def test_a_curved_edge_and_its_neighbours_are_told_apart() -> None:
    # Half a bodice whose armhole and neck are bound at the drawn line: its sewing line
    # lies on them, and at 10 mm along side and shoulder.
    piece = piece_of(bodice())
    neck, armhole = edge_from(piece, 60 + 320j), edge_from(piece, 160 + 180j)
    side = edge_from(piece, 150)
    along = (side.end - side.start) / side.length
    seam = polyline(side.start + 10j * along, side.end + 10j * along)

    gaps = measure_gaps(piece.edges, [neck.path.path, armhole.path.path, seam])

    found = allowances_of(gaps)
    assert found == pytest.approx((None, 10.0, 0.0, None, 0.0, None), abs=1e-6)


def test_a_gap_that_widens_is_told_with_its_place() -> None:
    # From 10 mm at the left end of the foot to 16 mm at the right one: over the middle
    # half from 11.5 to 14.5 mm, measured square to the sewing line.
    slant = math.cos(math.atan(6 / 300))
    piece = piece_of(rectangle(300, 200), "front")
    line = polyline(10j, 300 + 16j)

    gaps = measure_gaps(piece.edges, [line])
    findings = gap_findings(piece, gaps)

    foot = gaps[0]
    assert foot is not None
    assert not foot.is_even
    assert foot.allowance == pytest.approx(13 * slant)
    assert (foot.least, foot.most) == pytest.approx((11.5 * slant, 14.5 * slant))
    assert min(abs(foot.at - 75), abs(foot.at - 225)) < 1e-9
    (finding,) = findings
    assert (finding.code, finding.severity) == ("uneven-allowance", Severity.WARNING)
    assert finding.where == "test.svg: line 1"
    assert finding.message.startswith(
        '"front" edge 1: its sewing line runs 11.5 to 14.5 mm inside it, most unevenly '
    )
    assert "13.0 mm is taken for its allowance" in finding.message


def test_a_gap_that_varies_by_less_than_a_millimetre_is_even() -> None:
    piece = piece_of(rectangle(300, 200))

    gaps = measure_gaps(piece.edges, [polyline(10j, 300 + 11.9j)])

    assert gaps[0] is not None
    assert gaps[0].is_even
    assert gap_findings(piece, gaps) == ()


def test_without_sewing_lines_nothing_is_measured() -> None:
    assert measure_gaps(piece_of(rectangle(300, 200)).edges, []) == (None,) * 4
    assert Gap(10, 9.5, 10.6, 3).is_even is False


# In a drawing


def found(*lines: DrawnLine, **settings: tuple[str, ...]) -> PiecesFound:
    selectors = {
        key: tuple(map(parse_selector, texts)) for key, texts in settings.items()
    }
    return find_pieces(reading(*lines), FindingSettings(**selectors))  # type: ignore[arg-type]


CUT = rectangle(300, 200)
SEWING = inner(300, 200, 20, 10, 0, 10)


def test_a_sewing_line_close_inside_gives_the_allowances() -> None:
    (piece,) = found(drawn(CUT, label="front"), drawn(SEWING)).pieces

    assert piece.marks is not None
    assert piece.marks.allowances == pytest.approx((20, 10, 0, 10))
    assert (piece.marks.cut, piece.marks.fold_edge) == (None, None)


def test_with_cut_lines_only_named_sewing_lines_are_measured() -> None:
    lines = drawn(CUT, layer="Cut"), drawn(SEWING, layer="Sew front")

    (unnamed,) = found(*lines, cut_lines=("layer:Cut",)).pieces
    (named,) = found(
        *lines, cut_lines=("layer:Cut",), sewing_lines=("layer:Sew*",)
    ).pieces

    assert unnamed.marks is None
    assert named.marks is not None
    assert named.marks.allowances == pytest.approx((20, 10, 0, 10))


def test_a_named_sewing_line_is_no_outline_even_if_cut_lines_choose_it() -> None:
    lines = drawn(CUT, layer="Size 4"), drawn(SEWING, layer="Size 4 sewing")

    done = found(*lines, cut_lines=("layer:Size *",), sewing_lines=("layer:*sewing",))

    (piece,) = done.pieces
    assert piece.size == "4"
    assert piece.marks is not None
    assert piece.marks.allowances == pytest.approx((20, 10, 0, 10))


def test_named_sewing_lines_win_over_one_that_lies_close_inside() -> None:
    # A row of topstitching is nearer than the sewing line, which is drawn in parts.
    topstitching = inner(300, 200, 4, 4, 4, 4)
    seams = (
        drawn(polyline(12 + 0j, 12 + 200j), layer="Sew"),
        drawn(polyline(288 + 0j, 288 + 200j), layer="Sew"),
    )

    (piece,) = found(
        drawn(CUT), drawn(topstitching), *seams, sewing_lines=("layer:Sew",)
    ).pieces

    assert piece.marks is not None
    assert piece.marks.allowances == pytest.approx((None, 12, None, 12))


def test_each_size_has_its_own_sewing_line() -> None:
    # The sewing line of size M lies nearer to the outline of size S than to its own.
    def square(side: float, layer: str) -> DrawnLine:
        half = side / 2
        path = polygon(
            -half - half * 1j, half - half * 1j, half + half * 1j, -half + half * 1j
        )
        return drawn(path, layer=layer, label="front")

    done = found(
        square(300, "Size S"),
        square(280, "Size S sewing"),
        square(310, "Size M"),
        square(286, "Size M sewing"),
        cut_lines=("layer:Size ?",),
        sewing_lines=("layer:*sewing",),
    )

    by_size = {piece.size: piece for piece in done.pieces}
    assert set(by_size) == {"S", "M"}
    for size, gap in (("S", 10), ("M", 12)):
        marks = by_size[size].marks
        assert marks is not None
        assert marks.allowances == pytest.approx((gap,) * 4)


def test_of_pieces_in_each_other_the_group_says_whose_line_it_is() -> None:
    outer = drawn(rectangle(300, 200), layer="Cut", groups=("Cut", "front"))
    facing = inner(300, 200, 0, 0, 120, 0)
    inside = drawn(facing, layer="Cut", groups=("Cut", "facing"))
    line = drawn(
        inner(300, 200, 8, 8, 128, 8), layer="Sewing", groups=("Sewing", "facing")
    )

    done = found(
        outer,
        inside,
        line,
        cut_lines=("layer:Cut",),
        sewing_lines=("layer:Sewing",),
        ignore=("layer:nothing",),
    )

    measured = [p.marks.allowances for p in done.pieces if p.marks is not None]
    assert measured == [pytest.approx((8,) * 4)]


@pytest.mark.parametrize(
    ("path", "layer", "code"),
    [
        (polyline(-100 + 0j, -100 + 90j), "Sew", "lonely-sewing-line"),
        (polyline(12 + 0j, 12 + 200j), "Marks", "no-sewing-line"),
    ],
)
def test_sewing_lines_that_cannot_be_used_are_told(
    path: Path, layer: str, code: str
) -> None:
    done = found(
        drawn(CUT),
        drawn(path, layer=layer, where="line 2"),
        sewing_lines=("layer:Sew",),
    )

    assert [f.code for f in done.findings if f.severity is Severity.WARNING] == [code]
    assert all(piece.marks is None for piece in done.pieces)


def test_an_uneven_gap_in_a_drawing_is_told() -> None:
    # A shallow arc over the foot: 14 mm above its middle, 8 mm at x = 20 and 280.
    r = (130**2 + 6**2) / (2 * 6)
    reach = math.asin(130 / r)
    centre = complex(150, 14 - r)
    arc = arc_segments([centre], r, r * 1j, math.pi / 2 + reach, math.pi / 2 - reach)

    done = found(
        drawn(CUT),
        drawn(Path(arc, closed=False), layer="Sew"),
        sewing_lines=("layer:Sew",),
    )

    (finding,) = [f for f in done.findings if f.code == "uneven-allowance"]
    # At x = 75, where the middle half begins, the arc lies lower by r (1 - cos).
    low = 14 - r + math.sqrt(r * r - 75**2)
    assert f"its sewing line runs {low:.1f} to 14.0 mm inside it" in finding.message
