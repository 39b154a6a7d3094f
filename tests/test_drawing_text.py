from pathlib import Path as FilePath

import pytest
from shapes import circle_outline, polygon, polyline, rounded_rectangle
from tape_cases import DEMO, DEMO_NAMES, drawn, piece_of

from edgefinder.geometry.measured import measure
from edgefinder.geometry.path import Path
from edgefinder.importers.drawing import DrawnLine
from edgefinder.importers.formats import read_drawing
from edgefinder.pattern.lines import MeasuredLine, measure_lines
from edgefinder.reports.drawing_text import lines_text, pieces_text
from edgefinder.units import Unit


def measured(line: DrawnLine) -> MeasuredLine:
    return MeasuredLine(line, measure(line.path).length)


def test_every_drawn_line_has_a_row_with_its_length_and_gap() -> None:
    lines = [
        measured(drawn(polyline(0, 100, 100 + 50j), label="hem", layer="Size M")),
        measured(drawn(polygon(0, 200, 200 + 100j, 100j))),
    ]

    head, hem, patch, empty, count = lines_text(
        "front.svg", lines, Unit.MILLIMETRE
    ).splitlines()

    assert head.split()[-2:] == ["label", "length"]
    assert " ".join(hem.split()) == "- path Size M - hem 150 mm open, gap 112 mm"
    assert patch.split() == ["-", "path", "-", "-", "-", "600", "mm", "closed"]
    assert (empty, count) == ("", "2 lines in front.svg")


def test_one_line_is_counted_in_the_singular() -> None:
    text = lines_text("a.svg", [measured(drawn(circle_outline(10)))], Unit.INCH)

    assert text.endswith("\n1 line in a.svg\n")


def test_a_drawing_without_lines_says_so() -> None:
    assert lines_text("a.svg", [], Unit.INCH).endswith("\n0 lines in a.svg\n")


@pytest.mark.parametrize("unit", Unit)
def test_long_names_never_push_a_row_beyond_80_columns(unit: Unit) -> None:
    path = polyline(0, 2999, 2999 + 0.3j)
    line = DrawnLine(
        path,
        "identifier-" * 9,
        "LWPOLYLINE",
        "a layer name " * 9,
        (),
        (),
        "#123456",
        "a label " * 20,
        "drawing, line 1",
    )

    text = lines_text("name-of-a-drawing-" * 9 + ".svg", [measured(line)] * 3, unit)

    assert all(len(row) <= 80 for row in text.splitlines())


def test_a_piece_is_told_edge_by_edge() -> None:
    piece = piece_of(polygon(0, 200, 200 + 100j, 100 + 40j, 100j))

    text = pieces_text([piece], Unit.MILLIMETRE)

    lines = text.splitlines()
    assert lines[:3] == ["piece", "-----", "once round 633 mm, area 140 cm2"]
    assert lines[4].split("  ")[0] == "edge"
    assert lines[5].split() == ["1", "200", "mm", "0", "-", "-", "90", "outside"]
    assert lines[7].split()[-2:] == ["62", "inside"]  # 2 atan(60/100)
    assert "fabric on the left" in text


def test_a_rounded_piece_tells_its_tightest_outside_radius_and_no_corner() -> None:
    text = pieces_text([piece_of(rounded_rectangle(254, 127, 25.4))], Unit.INCH)

    (row,) = (line for line in text.splitlines() if line.startswith("1 "))
    assert row.split() == ["1", "28", "1/4", "in", "360", "-", "1", "in", "-"]


def test_a_piece_with_a_long_name_keeps_its_heading_within_the_page() -> None:
    path: Path = polygon(0, 200, 200 + 100j)
    piece = piece_of(path)
    object.__setattr__(piece, "name", "a name without end " * 10)

    text = pieces_text([piece], Unit.INCH)

    assert all(len(line) <= 80 for line in text.splitlines())


@pytest.mark.parametrize("name", DEMO_NAMES)
@pytest.mark.parametrize("kind", ["svg", "dxf"])
@pytest.mark.parametrize("unit", Unit)
def test_the_lines_of_the_demo_stay_within_the_page(
    name: str, kind: str, unit: Unit
) -> None:
    path: FilePath = DEMO / f"{name}.{kind}"
    drawing = read_drawing(path).drawing

    text = lines_text(path.name, measure_lines(drawing), unit)

    assert all(len(line) <= 80 for line in text.splitlines())
    assert text.splitlines()[-1] == f"{len(drawing.lines)} lines in {path.name}"
