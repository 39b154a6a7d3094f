import math

import pytest
from drawn import drawing, drawn, text
from hypothesis import given
from hypothesis import strategies as st
from shapes import circle_outline, polygon, polyline, rectangle

from edgefinder.errors import DrawingError
from edgefinder.findings import Finding, Severity
from edgefinder.geometry.affine import Affine, transform
from edgefinder.geometry.measured import measure
from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import Kind
from edgefinder.importers.drawing import Drawing, DrawnLine, DrawnPoint, Reading
from edgefinder.pattern.finding import find_pieces
from edgefinder.pattern.scale import (
    USUAL_SCALES,
    Scaled,
    scale_by_square,
    square_findings,
)
from edgefinder.pattern.settings import FindingSettings

TWO_INCHES = 50.8


def mapped(path: Path, affine: Affine) -> Path:
    return Path(transform(path.segments, affine), path.closed)


def square(side: float, at: complex = 1000, **marks: str) -> DrawnLine:
    path = mapped(rectangle(side, side), Affine(1, 0, 0, 1, at.real, at.imag))
    return drawn(path, id=marks.get("id"), label=marks.get("label"))


def by_square(*lines: DrawnLine, side: float = TWO_INCHES) -> Scaled:
    return scale_by_square(Reading(drawing(*lines), ()), side)


def refused(*lines: DrawnLine, side: float = TWO_INCHES) -> str:
    with pytest.raises(DrawingError) as caught:
        by_square(*lines, side=side)
    (message,) = caught.value.messages
    return message


def said(scaled: Scaled) -> Finding:
    (finding,) = scaled.reading.findings
    return finding


@pytest.mark.parametrize("scale", [scale for scale, _ in USUAL_SCALES])
@pytest.mark.parametrize("name", [None, "test-square"])
def test_a_drawing_at_a_usual_wrong_scale_is_mended(
    scale: float, name: str | None
) -> None:
    piece = drawn(rectangle(300 / scale, 200 / scale))
    test = square(TWO_INCHES / scale, 1000 / scale, id=name or "rect7")

    scaled = by_square(piece, test)

    lengths = [measure(line.path).length for line in scaled.reading.drawing.lines]
    assert lengths == pytest.approx([1000, 4 * TWO_INCHES], rel=1e-12)
    assert scaled.reading.drawing.unit_mm == pytest.approx(scale)
    assert [line.id for line in scaled.square] == [name or "rect7"]
    assert said(scaled).severity is Severity.NOTE


def test_what_was_applied_is_said() -> None:
    wrong = by_square(drawn(rectangle(300, 200)), square(38.1, id="test-square"))
    right = by_square(drawn(rectangle(300, 200)), square(50.8, id="test-square"))

    assert said(wrong).message == (
        "scaled by 1.33333: the test square is 38.1 mm and should be 50.8 mm "
        "(72 units to the inch, taken for 96)"
    )
    assert said(wrong).where == 'test.svg: line 1: "test-square"'
    assert said(right).message == (
        "the test square is 50.8 mm as it should be: not scaled"
    )


def test_lines_texts_and_points_are_scaled_and_arcs_stay_arcs() -> None:
    point = DrawnPoint(3 + 4j, "4", (), 6.0, None, 0.5, "a.dxf, 1F")
    before = Drawing(
        "a.dxf",
        (drawn(circle_outline(60, 10 + 5j)), square(5.08, 200)),
        (text("front", 7 + 1j),),
        1.0,
        points=(point,),
    )

    made = scale_by_square(Reading(before, ()), TWO_INCHES).reading.drawing

    circle = made.lines[0].path
    assert [Kind(kind) for kind in circle.segments.kind] == [Kind.ARC]
    assert measure(circle).length == pytest.approx(2 * math.pi * 600, rel=1e-14)
    assert made.texts[0].at == 70 + 10j
    moved = made.points[0]
    assert (moved.at, moved.depth, moved.width) == (30 + 40j, 60.0, None)
    assert (moved.angle, made.unit_mm) == (0.5, 10.0)


def test_rounded_coordinates_do_not_spoil_the_scale() -> None:
    rounded = square(round(50 / (4 / 3), 1), id="test-square")  # 37.5 of 37.5
    coarse = square(37.52, id="test-square")

    exact = by_square(rounded, side=50).reading.drawing.unit_mm

    assert exact == pytest.approx(4 / 3, rel=1e-15)
    assert by_square(coarse, side=50).reading.drawing.unit_mm == exact


def test_a_scale_that_is_no_usual_mistake_is_applied_with_a_warning() -> None:
    scaled = by_square(
        drawn(rectangle(300, 200)), square(40, label="test square"), side=50
    )

    assert scaled.reading.drawing.unit_mm == pytest.approx(1.25)
    assert said(scaled).severity is Severity.WARNING
    assert "no usual mistake of units" in said(scaled).message


def test_an_unnamed_square_far_from_any_usual_scale_is_no_test_square() -> None:
    message = refused(drawn(rectangle(300, 200)), square(40), side=50)

    assert message == (
        "test.svg: there is no square of 50 mm, nor one at a usual wrong scale; give "
        'the right one, and only that, the id or the label "test square"'
    )


@given(turn=st.floats(0, math.pi))
def test_the_square_may_stand_at_any_angle(turn: float) -> None:
    c, s = math.cos(turn), math.sin(turn)
    turned = drawn(mapped(rectangle(38.1, 38.1), Affine(c, s, -s, c, 900, 0)))

    scaled = by_square(drawn(rectangle(300, 200)), turned)

    assert scaled.reading.drawing.unit_mm == pytest.approx(4 / 3, rel=1e-12)


def test_loose_lines_may_make_the_square() -> None:
    sides = [(500, 550.8), (550.8 + 50.8j, 550.8), (550.8 + 50.8j, 500 + 50.8j)]
    lines = [drawn(polyline(*ends)) for ends in [*sides, (500, 500 + 50.8j)]]

    scaled = by_square(drawn(rectangle(300, 200)), *lines)

    assert len(scaled.square) == 4
    assert scaled.reading.drawing.unit_mm == 1


@pytest.mark.parametrize(
    ("width", "height", "words"),
    [
        (51.3, 50.8, "by 1.0 % from side to side"),
        (50.8, 53.34, "by 5.0 % up and down"),
        (38.1, 50.8, "by 33.3 % up and down"),
    ],
)
def test_a_stretched_drawing_is_refused_with_how_much_and_which_way(
    width: float, height: float, words: str
) -> None:
    long, short = max(width, height), min(width, height)
    named = drawn(rectangle(width, height), id="test-square")

    assert refused(named) == (
        f'test.svg: line 1: "test-square": the test square is {long:.2f} by '
        f"{short:.2f} mm: the drawing has been stretched {words}; export it again with "
        "one scale for both directions"
    )


def test_a_square_that_stands_on_a_corner_shows_the_stretch_too() -> None:
    # Turned by 45 degrees and stretched, it has four equal sides.
    corner = TWO_INCHES / math.sqrt(2)
    path = polygon(0, corner * (1.02 - 1j), corner * 2.04, corner * (1.02 + 1j))

    assert "stretched by 2.0 % from side to side" in refused(
        drawn(path, label="test square")
    )


def test_an_unnamed_square_that_was_stretched_is_refused_with_a_way_out() -> None:
    message = refused(drawn(rectangle(300, 200)), drawn(rectangle(50.8, 53)))

    assert "stretched by 4.3 % up and down" in message
    assert "if this is not the test square, give the right one" in message


@pytest.mark.parametrize("other", [50.9, 50.6])
def test_sides_that_differ_by_less_than_half_a_per_cent_pass(other: float) -> None:
    scaled = by_square(drawn(rectangle(50.8, other), id="test-square"))

    assert scaled.reading.drawing.unit_mm == pytest.approx(1, rel=3e-3)


def test_an_unnamed_square_of_the_right_side_comes_before_others() -> None:
    scaled = by_square(
        square(508, 0, label="panel"), square(50.8, id="rect1"), side=TWO_INCHES
    )

    assert [line.id for line in scaled.square] == ["rect1"]
    assert scaled.reading.drawing.unit_mm == 1


def test_a_scale_that_makes_pieces_of_a_likely_size_comes_before_others() -> None:
    # 5 cm in all: at ten times the size it is a pattern, at a tenth it is not.
    scaled = by_square(square(5, 0), square(500 / 10, 60), side=50)
    assert scaled.reading.drawing.unit_mm == 1

    tiny = by_square(square(5, 0), drawn(rectangle(30, 20)), side=50)
    assert tiny.reading.drawing.unit_mm == 10


def test_squares_that_say_different_scales_are_refused() -> None:
    both = refused(
        drawn(rectangle(300, 200)), square(37.5, 400), square(66.67, 500), side=50.0
    )
    assert "several squares may be the test square: 37.5 mm (test.svg: line 1)" in both


def test_of_an_inch_and_a_centimetre_square_the_one_meant_counts() -> None:
    inches, metric = (
        square(50.8 * 0.75, 0, label="test square 2 in"),
        square(50 * 0.75, 100, label="test square 5 cm"),
    )

    for side, one in ((50.8, inches), (50.0, metric)):
        scaled = by_square(inches, metric, side=side)

        assert [line.label for line in scaled.square] == [one.label]
        assert scaled.reading.drawing.unit_mm == pytest.approx(4 / 3, rel=1e-12)


def test_without_labels_the_square_at_a_usual_scale_counts() -> None:
    two = square(50.8, 0, id="test-square-1"), square(50, 100, id="test-square-2")

    assert by_square(*two, side=50).reading.drawing.unit_mm == 1
    assert by_square(*two, side=50.8).reading.drawing.unit_mm == 1


# Found without being asked for


def doubts(*lines: DrawnLine, texts: tuple[str, ...] = ()) -> list[str]:
    words = [text(one, 1010 + 10j) for one in texts]
    findings = square_findings(drawing(*lines, texts=words))
    assert all(finding.severity is Severity.WARNING for finding in findings)
    return [finding.message for finding in findings]


@pytest.mark.parametrize("side", [50.0, 49.8, 50.2])
def test_a_square_that_is_as_its_label_says_raises_no_doubt(side: float) -> None:
    assert doubts(square(side, label="test square 50 mm")) == []
    assert doubts(square(side), texts=("Test square 5 cm",)) == []
    assert doubts(square(side, label="test square")) == []


def test_a_square_that_disagrees_with_its_label_is_a_warning_with_the_remedy() -> None:
    (message,) = doubts(square(37.5, label="test square 50 mm"))

    assert message == (
        "the test square says 50 mm and is 37.50 mm (the drawing may have 72 units to "
        'the inch, taken for 96); --test-square "50 mm" or test_square in the job file '
        "scales the drawing by it"
    )


def test_a_text_in_the_square_may_say_what_it_should_be() -> None:
    (message,) = doubts(square(20), texts=("1 inch square",))
    assert message.startswith("the test square says 25.4 mm and is 20.00 mm; ")


def test_a_stretched_square_is_a_warning_where_nobody_asked() -> None:
    path = mapped(rectangle(50, 52), Affine(1, 0, 0, 1, 1000, 0))

    (message,) = doubts(drawn(path, label="test square 50 mm"))

    assert message == (
        "the test square says 50 mm and is 52.00 by 50.00 mm: the drawing has been "
        "stretched by 4.0 % up and down"
    )


def test_pieces_are_found_at_the_scale_of_the_square_and_it_is_none() -> None:
    piece, test = drawn(rectangle(300, 200)), square(38.1)
    reading = Reading(drawing(piece, test), ())

    plain = find_pieces(reading, FindingSettings())
    scaled = find_pieces(reading, FindingSettings(test_square=TWO_INCHES))

    assert len(plain.pieces) == 2
    (only,) = scaled.pieces
    assert only.perimeter == pytest.approx(4000 / 3)
    assert [finding.code for finding in scaled.findings] == ["test-square"]
