import numpy as np
import pytest
from drawn import compound, drawing, drawn
from hypothesis import given
from shapes import circle_outline, polygon, polyline, rectangle, rounded_rectangle
from strategies import closed_outlines

from edgefinder.errors import BrokenOutline, DrawingError
from edgefinder.findings import Severity
from edgefinder.geometry.affine import Affine, transform
from edgefinder.geometry.measured import signed_area
from edgefinder.geometry.path import Path, reverse_path
from edgefinder.importers.drawing import DrawnLine
from edgefinder.pattern.outlines import PieceOutline, find_outlines
from edgefinder.pattern.selectors import parse_selector
from edgefinder.pattern.settings import FindingSettings, SizeSource

CUT = FindingSettings(cut_lines=(parse_selector("class:cut"),))


def found(
    *lines: DrawnLine, settings: FindingSettings | None = None
) -> tuple[PieceOutline, ...]:
    return find_outlines(drawing(*lines), settings or FindingSettings())[0]


def said(*lines: DrawnLine, settings: FindingSettings | None = None) -> dict[str, str]:
    findings = find_outlines(drawing(*lines), settings or FindingSettings())[1]
    return {finding.code: finding.message for finding in findings}


def at(path: Path, by: complex) -> Path:
    shift = Affine(1, 0, 0, 1, by.real, by.imag)
    return Path(transform(path.segments, shift), path.closed)


@given(closed_outlines())
def test_outlines_run_anticlockwise_whichever_way_they_are_drawn(
    outline: Path,
) -> None:
    for path in (outline, reverse_path(outline)):
        (piece,) = found(drawn(path))

        assert signed_area(piece.outer.path) == pytest.approx(
            abs(signed_area(outline)), rel=1e-9
        )


def test_every_closed_line_side_by_side_is_a_piece_in_drawing_order() -> None:
    lines = [drawn(at(rectangle(80, 60), 100 * n), id=str(n)) for n in range(3)]

    assert [piece.line for piece in found(*lines)] == lines


def test_a_subpath_inside_another_of_its_path_is_a_cut_out_and_runs_clockwise() -> None:
    outer, hole = compound(rectangle(300, 300), circle_outline(40, 150 + 150j))

    (piece,) = found(hole, outer)

    assert piece.line is outer
    assert signed_area(piece.cutouts[0].path) == pytest.approx(-1600 * np.pi)


def test_a_piece_inside_a_cut_out_is_a_piece() -> None:
    outer, hole = compound(rectangle(400, 400), at(rectangle(200, 200), 100 + 100j))
    inner = drawn(at(rectangle(50, 50), 175 + 175j))

    pieces = found(outer, hole, inner)

    assert [piece.line for piece in pieces] == [outer, inner]
    assert [len(piece.cutouts) for piece in pieces] == [1, 0]


def test_sizes_drawn_one_inside_another_are_pieces() -> None:
    lines = [
        drawn(at(rectangle(s, s), (300 - s) * (0.5 + 0.5j)), layer=f"Size {s}")
        for s in (300, 200, 100)
    ]

    pieces = found(*lines)

    assert [piece.line for piece in pieces] == lines
    assert not any(piece.cutouts for piece in pieces)


def test_a_line_close_inside_another_is_its_sewing_line() -> None:
    cut = drawn(rounded_rectangle(300, 200, 30))
    sewing = drawn(at(rounded_rectangle(280, 180, 20), 10 + 10j))

    (piece,) = found(cut, sewing)

    assert piece.line is cut
    assert piece.cutouts == ()
    assert "sewing line" in said(cut, sewing)["sewing-line"]


def test_with_cut_lines_named_an_inner_line_is_said_to_be_no_cut_out() -> None:
    cut = drawn(rectangle(300, 200), classes=("cut",))
    inner = drawn(at(rectangle(280, 180), 10 + 10j), classes=("cut",), id="slit")
    other = drawn(at(rectangle(260, 160), 20 + 20j), classes=("seam",))

    (piece,), findings = find_outlines(drawing(cut, inner, other), CUT)

    assert piece.line is cut
    assert piece.cutouts == ()
    (finding,) = findings
    assert (finding.code, finding.severity) == ("inner-line", Severity.WARNING)
    assert 'cutouts = ["id:slit"]' in finding.message


def test_an_outline_drawn_twice_is_one_piece() -> None:
    twice = [drawn(circle_outline(100)), drawn(circle_outline(100))]

    assert len(found(*twice)) == 1
    assert "taken once" in said(*twice)["drawn-twice"]


def test_what_is_to_be_ignored_is_no_piece() -> None:
    frame = drawn(rectangle(1000, 1000), layer="Frame")
    settings = FindingSettings(ignore=(parse_selector("layer:frame"),))

    (piece,) = found(frame, drawn(at(rectangle(80, 60), 5 + 5j)), settings=settings)

    assert piece.line.layer is None


@pytest.mark.parametrize("side", [25.4, 50.0, 50.8, 100.0, 101.6])
def test_a_test_square_is_no_piece(side: float) -> None:
    square = drawn(at(rectangle(side, side), 500), label="Test square")
    piece = drawn(rectangle(300, 200))

    assert [one.line for one in found(square, piece)] == [piece]


@pytest.mark.parametrize(
    ("width", "height", "label"), [(100, 250, "latest front"), (100, 100, "pocket")]
)
def test_a_piece_is_not_taken_for_a_test_square(
    width: float, height: float, label: str
) -> None:
    piece = drawn(rectangle(width, height), label=label)

    assert len(found(piece)) == 1


def test_closed_marks_under_two_centimetres_are_counted_and_left_out() -> None:
    marks = [drawn(circle_outline(2, 50 + 50j * n)) for n in (1, 2)]
    piece = drawn(rectangle(300, 200))

    (only,) = found(piece, *marks)

    assert only.cutouts == ()
    assert said(piece, *marks)["small-line"].startswith("2 closed lines")


@pytest.mark.parametrize(
    ("across", "too"), [(3000.5, "over 3 m"), (19.5, "under 2 cm")]
)
def test_a_scale_that_cannot_be_right_is_an_error_that_says_how_to_mend_it(
    across: float, too: str
) -> None:
    with pytest.raises(DrawingError, match=too) as caught:
        found(drawn(rectangle(across, 15)))

    (message,) = caught.value.messages
    assert message.startswith("test.svg: line 1: ")
    assert "give the true unit with --unit-mm or in the job file" in message
    assert 'drawing_unit = "1 in"' in message


def test_an_outline_that_is_nearly_closed_is_an_error_with_gap_and_place() -> None:
    gap = drawn(polyline(0, 200, 200 + 100j, 100j, 3.2j), label="front")
    other = drawn(at(rectangle(80, 60), 400))

    with pytest.raises(BrokenOutline) as caught:
        found(gap, other)

    (message,) = caught.value.messages
    assert message == (
        'test.svg: line 1: outline "front" is open: 3.20 mm between its end at '
        "(0.0, 3.2) mm and its start at (0.0, 0.0) mm; join the ends"
    )


def test_every_open_outline_is_reported() -> None:
    lines = [
        drawn(at(polyline(0, 200, 200 + 100j, 100j, 3j), 300 * n)) for n in range(3)
    ]

    with pytest.raises(BrokenOutline) as caught:
        found(*lines)

    assert len(caught.value.messages) == 3


def test_grain_lines_and_notches_are_no_outlines() -> None:
    grain = drawn(polyline(50 + 20j, 50 + 80j))
    notch = drawn(polyline(100, 100 + 6j))

    (piece,) = found(drawn(rectangle(300, 200)), grain, notch)

    assert len(piece.outer.path.segments) == 4


def test_a_cut_line_that_is_open_is_an_error_however_open_it_is() -> None:
    neck = drawn(polyline(0, 100, 150 + 100j), classes=("cut",), id="neck")

    with pytest.raises(BrokenOutline, match='outline "neck" is open'):
        found(drawn(rectangle(300, 200), classes=("cut",)), neck, settings=CUT)


def test_a_drawing_without_a_closed_line_is_an_error() -> None:
    with pytest.raises(BrokenOutline, match=r"test\.svg: has no closed outline; draw"):
        found()


def test_cut_lines_that_choose_nothing_are_an_error_that_says_so() -> None:
    with pytest.raises(BrokenOutline, match="cut_lines of the job file choose none"):
        found(drawn(rectangle(300, 200)), settings=CUT)


def test_a_closed_line_that_encloses_nothing_is_no_piece() -> None:
    flat = drawn(polygon(0, 100))

    assert len(found(flat, drawn(rectangle(300, 200)))) == 1
    assert "no area" in said(flat, drawn(rectangle(300, 200)))["flat-line"]


def test_an_outline_that_crosses_itself_is_a_warning() -> None:
    bow = drawn(polygon(0, 200 + 100j, 200, 120j))

    # The sides meet where x = 2 y and y/120 = 1 - x/200: at (1200, 600)/11.
    assert "first at (109.1, 54.5) mm" in said(bow)["self-crossing"]


def sides(*marks: dict[str, str]) -> list[DrawnLine]:
    """The four sides of a rectangle as loose lines, out of order and direction."""
    ends = [(0, 200), (200 + 100j, 200), (100j, 0), (200 + 100j, 100j)]
    drawn_sides = []
    for (start, end), mark in zip(ends, marks, strict=True):
        groups = tuple(mark["groups"].split("/")) if "groups" in mark else ()
        drawn_sides.append(
            drawn(
                polyline(start, end),
                layer=mark.get("layer"),
                groups=groups,
                colour=mark.get("colour"),
                id=mark.get("id"),
            )
        )
    return drawn_sides


@pytest.mark.parametrize(
    "marks",
    [
        [{}, {}, {}, {}],
        [{"colour": "#ff0000"}, {}, {"colour": "#0000ff"}, {}],
        [{"layer": "Cut"}, {"layer": "Cut"}, {"layer": "Bound"}, {"layer": "Cut"}],
        [{"layer": "Cut"}, {"layer": "Bound"}, {"layer": "Cut"}, {"layer": "Bound"}],
        [{"groups": "a/b"}, {"groups": "a/c"}, {"groups": "a/b"}, {"groups": "a"}],
        [{"layer": "Size S"}, {"layer": "Size S"}, {"layer": "B"}, {"layer": "B"}],
    ],
)
def test_loose_lines_whose_ends_meet_are_one_outline(
    marks: list[dict[str, str]],
) -> None:
    lines = sides(*marks)

    (piece,) = found(*lines)

    assert signed_area(piece.outer.path) == pytest.approx(20000)
    assert sorted(map(id, piece.outer.sources)) == sorted(map(id, lines))
    owners = piece.outer.source_of_segment
    for row, owner in enumerate(owners):
        segment = piece.outer.path.segments.take([row])
        source = piece.outer.sources[owner].path
        assert {segment.control[0, 0], segment.control[0, 1]} == {
            source.start,
            source.end,
        }


def test_a_gap_between_layers_is_closed_within_the_tolerance_and_said() -> None:
    lines = [
        drawn(polyline(0.03, 200, 200 + 100j, 100j), layer="Cut"),
        drawn(polyline(0, 100j), layer="Bound"),
    ]

    assert len(found(*lines)) == 1
    assert "gap-closed" in said(*lines)


def test_lines_of_different_sizes_are_never_joined() -> None:
    # Two sizes that share both ends of a centre line, each without it.
    small = drawn(polyline(0, 80, 80 + 100j, 100j), layer="Size S")
    large = drawn(polyline(0, 90, 90 + 100j, 100j), layer="Size M")

    with pytest.raises(BrokenOutline, match="is open"):
        found(small, large)


def test_where_layers_are_sizes_no_line_is_joined_across_them() -> None:
    small = drawn(polyline(0, 80, 80 + 100j, 100j), layer="8")
    large = drawn(polyline(0, 90, 90 + 100j, 100j), layer="10")

    with pytest.raises(BrokenOutline, match="is open"):
        found(small, large, settings=FindingSettings(sizes=SizeSource.LAYER))


def test_three_ends_at_one_point_are_not_guessed_at() -> None:
    lines = [*sides({}, {}, {}, {}), drawn(polyline(200, 250 - 50j))]

    with pytest.raises(BrokenOutline) as caught:
        found(*lines)

    (message,) = caught.value.messages
    assert "can be made of these lines: 3 line ends meet at (200.0, 0.0) mm" in message
