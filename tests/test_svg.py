import math
import subprocess
import sys
import warnings
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import ellipe
from svg_texts import (
    FIXTURES,
    ONE_MM,
    codes,
    kinds,
    length_of,
    read_body,
    read_line,
    svg_text,
    vertices,
)

from edgefinder.errors import DrawingError
from edgefinder.findings import Severity
from edgefinder.geometry.segments import Kind
from edgefinder.importers.svg.reading import read_svg, read_svg_text

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from svgpathtools import Arc
    from svgpathtools import parse_path as parse_path_again

IN_MM = 25.4 / 96


def ellipse_length(a: float, b: float) -> float:
    """4 a E(e^2): Abramowitz and Stegun, Handbook of Mathematical Functions, 17."""
    long, short = max(a, b), min(a, b)
    return float(4 * long * ellipe(1 - (short / long) ** 2))


def test_a_drawing_in_millimetres_comes_out_at_true_size() -> None:
    reading = read_svg(FIXTURES / "true-size.svg")

    (square,) = reading.drawing.lines
    assert reading.drawing.name == "true-size.svg"
    assert reading.drawing.unit_mm == 0.1
    assert reading.findings == ()
    np.testing.assert_allclose(
        vertices(square), [10 - 5j, 40 - 5j, 40 - 35j, 10 - 35j, 10 - 5j], atol=1e-12
    )
    assert square.where == "true-size.svg: line 2"
    assert (square.id, square.kind, square.colour) == ("square", "rect", "#000000")


def test_y_points_up_so_that_what_is_drawn_clockwise_runs_clockwise() -> None:
    line = read_line('<polygon points="0,0 10,0 10,10"/>')

    np.testing.assert_allclose(vertices(line), [0, 10, 10 - 10j, 0], atol=1e-12)


def test_without_a_size_a_unit_is_a_px_and_a_warning_says_so() -> None:
    reading = read_svg(FIXTURES / "no-size.svg")

    assert length_of(reading.drawing.lines[0]) == pytest.approx(6 * 25.4)
    assert reading.drawing.unit_mm == pytest.approx(IN_MM)
    (finding,) = reading.findings
    assert finding.code == "no-size"
    assert finding.severity is Severity.WARNING
    assert finding.where == "no-size.svg: line 1"
    assert "--unit-mm" in finding.message


@pytest.mark.parametrize("width", ["", 'width="100%"', 'width="auto"'])
def test_a_width_that_depends_on_the_window_is_no_size(width: str) -> None:
    reading = read_body('<path d="M0 0H96"/>', f'{width} height="100%"')

    assert length_of(reading.drawing.lines[0]) == pytest.approx(25.4)
    assert "no-size" in codes(reading)


@pytest.mark.parametrize(
    "style", ["width:100%;height:auto", "width:100%", "height:50%"]
)
def test_a_style_that_fits_a_drawing_to_a_window_leaves_its_size_on_paper(
    style: str,
) -> None:
    reading = read_body('<path d="M0 0H50"/>', f'{ONE_MM} style="{style}"')

    assert length_of(reading.drawing.lines[0]) == pytest.approx(50)
    assert codes(reading) == {}


def test_a_size_in_a_style_wins_over_that_of_the_attributes() -> None:
    style = "width:20cm;height:20cm"

    line = read_line('<path d="M0 0H50"/>', f'{ONE_MM} style="{style}"')

    assert length_of(line) == pytest.approx(100)


def test_a_size_in_px_is_noted_because_some_programs_write_72_to_the_inch() -> None:
    as_it_says = read_svg(FIXTURES / "size-in-px.svg")
    as_told = read_svg(FIXTURES / "size-in-px.svg", unit_mm=25.4 / 72)

    assert codes(as_it_says).keys() == {"px-size"}
    assert length_of(as_it_says.drawing.lines[0]) == pytest.approx(4 * 72 * IN_MM)
    assert length_of(as_told.drawing.lines[0]) == pytest.approx(4 * 25.4)
    assert as_told.findings == ()


@pytest.mark.parametrize("size", [ONE_MM, "", 'viewBox="0 0 10 20" width="50%"'])
def test_a_unit_that_is_told_overrides_every_size(size: str) -> None:
    reading = read_body('<path d="M0 0H7"/>', size, unit_mm=2.5)

    assert length_of(reading.drawing.lines[0]) == pytest.approx(17.5)
    assert reading.drawing.unit_mm == 2.5
    assert "no-size" not in codes(reading)


@pytest.mark.parametrize("unit", [0.0, -1.0, math.inf, math.nan])
def test_a_unit_without_size_is_a_mistake_of_the_caller(unit: float) -> None:
    with pytest.raises(ValueError, match="unit"):
        read_body("", unit_mm=unit)


def test_a_stretched_drawing_is_read_stretched_with_a_warning() -> None:
    reading = read_svg(FIXTURES / "stretched.svg")

    (line,) = reading.drawing.lines
    assert length_of(line) == pytest.approx(ellipse_length(20, 10), rel=1e-12)
    assert codes(reading).keys() == {"uneven-scale"}
    assert reading.drawing.unit_mm == pytest.approx(math.sqrt(50))


def test_the_transform_of_the_root_acts_outside_its_view_box_in_px() -> None:
    line = read_line(
        '<path d="M0 0H10"/>', f'{ONE_MM} transform="translate(96) scale(2)"'
    )

    np.testing.assert_allclose(vertices(line), [25.4, 45.4], atol=1e-12)


@given(
    angle=st.floats(-360, 360),
    x=st.floats(-100, 100),
    y=st.floats(-100, 100),
)
def test_turning_and_moving_changes_no_length(angle: float, x: float, y: float) -> None:
    shape = "M0 0C10 20 30 -5 40 8Q50 20 60 0A20 10 30 0 1 80 10L90 3"
    still = read_line(f'<path d="{shape}"/>')

    moved = read_line(
        f'<path transform="translate({x:f},{y:f}) rotate({angle:f})" d="{shape}"/>'
    )

    assert length_of(moved) == pytest.approx(length_of(still), rel=1e-11)


@given(scale=st.floats(0.01, 100), mirror=st.sampled_from([1, -1]))
def test_lengths_grow_with_the_scale(scale: float, mirror: int) -> None:
    shape = "M0 0C10 20 30 -5 40 8Q50 20 60 0A20 10 30 0 1 80 10L90 3"
    still = read_line(f'<path d="{shape}"/>')

    scaled = read_line(
        f'<path transform="scale({scale:.9f} {mirror * scale:.9f})" d="{shape}"/>'
    )

    factor = float(f"{scale:.9f}")
    assert length_of(scaled) == pytest.approx(factor * length_of(still), rel=1e-10)


@pytest.mark.parametrize(
    ("transform", "matrix"),
    [
        ("skewX(30)", [[1, math.tan(math.pi / 6)], [0, 1]]),
        ("skewY(-50)", [[1, 0], [math.tan(-50 * math.pi / 180), 1]]),
        ("scale(3,0.5)", [[3, 0], [0, 0.5]]),
        ("matrix(1 2 -3 0.5 7 8)", [[1, -3], [2, 0.5]]),
    ],
)
def test_a_circle_under_any_transform_is_the_ellipse_of_its_principal_axes(
    transform: str, matrix: list[list[float]]
) -> None:
    line = read_line(f'<circle r="10" cx="4" cy="5" transform="{transform}"/>')

    a, b = 10 * np.linalg.svd(np.array(matrix), compute_uv=False)
    assert kinds(line) == [Kind.ARC]
    assert line.path.closed
    assert length_of(line) == pytest.approx(ellipse_length(a, b), rel=1e-11)


def test_a_turned_arc_under_an_uneven_scale_is_right() -> None:
    line = read_line('<path transform="scale(2,1)" d="M0 0A40 10 30 0 1 50 20"/>')

    arc = Arc(0j, 40 + 10j, 30, False, True, 50 + 20j)
    points = np.array([arc.point(t) for t in np.linspace(0, 1, 20001)])
    stretched = 2 * points.real + 1j * points.imag
    assert length_of(line) == pytest.approx(np.abs(np.diff(stretched)).sum(), rel=1e-8)


def test_ordinary_path_data_has_the_length_that_svgpathtools_measures() -> None:
    reading = read_svg(FIXTURES / "every-path-command.svg")

    text = (FIXTURES / "every-path-command.svg").read_text().split(' d="')[1]
    subpaths = parse_path_again(text.split('"')[0]).continuous_subpaths()
    assert len(reading.drawing.lines) == len(subpaths) == 2
    for line, subpath in zip(reading.drawing.lines, subpaths, strict=True):
        assert line.path.closed
        assert length_of(line) == pytest.approx(subpath.length(error=1e-10), rel=1e-7)


def test_layers_groups_classes_labels_and_colours_come_along() -> None:
    reading = read_svg(FIXTURES / "groups-and-labels.svg")

    neck, hem, loose = reading.drawing.lines
    assert (neck.layer, neck.groups) == ("Size M", ("Size M", "front"))
    assert neck.classes == ("size", "piece", "cut", "main")
    assert (neck.id, neck.label, neck.colour) == ("p1", "neckline", "#cc0000")
    assert (hem.id, hem.label, hem.colour) == ("p2", "hem line", "#008000")
    assert (loose.layer, loose.groups, loose.label) == (None, (), None)
    assert loose.colour is None


def test_lines_of_text_stand_where_they_are_written() -> None:
    reading = read_svg(FIXTURES / "groups-and-labels.svg")

    first, second = reading.drawing.texts
    assert (first.text, first.layer, first.groups) == ("Front", "Size M", ("Size M",))
    assert second.text == "cut 1 on fold"
    assert first.at == pytest.approx(5 - 20j)
    assert second.at == pytest.approx(5 - 30j)


def test_a_name_kept_in_a_data_attribute_counts_as_label() -> None:
    line = read_line('<g id="a_1" data-name="Side back"><path d="M0 0H1"/></g>')

    assert line.layer == "Side back"


def test_copies_are_drawn_where_use_elements_put_them() -> None:
    reading = read_svg(FIXTURES / "copies.svg")

    left, right, pouch = reading.drawing.lines
    np.testing.assert_allclose(vertices(left), [10 - 20j, 14 - 30j, 18 - 20j])
    np.testing.assert_allclose(vertices(right), [50 - 20j, 58 - 40j, 66 - 20j])
    assert vertices(pouch)[2] == pytest.approx(80 - 80j)
    assert [one.colour for one in (left, right, pouch)] == ["#ff0000"] * 3
    assert left.groups == ("piece", "left")
    assert pouch.groups == ("piece", "pouch", "pocket")
    assert left.layer == "piece"
    assert codes(reading) == {
        "not-drawn": "1 outline in defs skipped: never drawn where it stands"
    }


def test_what_is_not_drawn_is_not_measured_and_said() -> None:
    reading = read_svg(FIXTURES / "hidden.svg")

    ids = [line.id for line in reading.drawing.lines]
    assert ids == ["seen", "shown-again", "clipped", "unpainted"]
    told = [(one.code, one.message) for one in reading.findings]
    skipped = "skipped: never drawn where it stands"
    assert told == [
        ("hidden", "4 outlines hidden (display or visibility) and skipped"),
        ("not-drawn", f"1 outline in clipPath {skipped}"),
        ("not-drawn", f"1 outline in mask {skipped}"),
        ("not-drawn", f"1 outline in marker {skipped}"),
        ("not-drawn", f"1 outline in pattern {skipped}"),
        ("not-drawn", f"1 outline in symbol {skipped}"),
        (
            "skipped-element",
            "2 image elements skipped; only outlines and text are read",
        ),
        (
            "skipped-element",
            "1 foreignObject element skipped; only outlines and text are read",
        ),
        (
            "clipped",
            (
                "1 path element clipped or masked; the whole outline is measured, not "
                "what is left"
            ),
        ),
        (
            "no-paint",
            "1 outline without stroke or fill, or fully transparent; read all the same",
        ),
    ]


def test_a_switch_draws_the_first_child_that_applies() -> None:
    line = read_line(
        "<switch><title>both</title>"
        '<path systemLanguage="fr" d="M0 0H1"/>'
        '<path systemLanguage="de, en-GB" d="M0 0H2"/>'
        '<path d="M0 0H3"/></switch>'
    )

    assert length_of(line) == pytest.approx(2)


def test_an_element_for_another_program_is_skipped_and_said() -> None:
    reading = read_body(
        '<path requiredExtensions="urn:x" d="M0 0H1"/><path d="M0 0H1"/>'
    )

    assert len(reading.drawing.lines) == 1
    assert codes(reading)["conditional"].startswith("1 path element")


def test_namespace_entities_and_private_elements_are_no_hindrance() -> None:
    reading = read_svg(FIXTURES / "entity-namespaces.svg")

    (line,) = reading.drawing.lines
    assert line.layer == "Layer_1"
    assert length_of(line) == pytest.approx(10)


def test_a_nested_svg_maps_its_view_box_and_resolves_percentages() -> None:
    line = read_line(
        '<svg x="10" y="20" width="50%" height="25" viewBox="0 0 100 50">'
        '<line x2="50%" y2="100%" stroke="red"/></svg>'
    )

    np.testing.assert_allclose(vertices(line), [10 - 20j, 35 - 45j], atol=1e-12)


def test_a_nested_svg_without_width_draws_nothing_and_is_said() -> None:
    reading = read_body('<svg width="0"><path d="M0 0H1"/></svg><path d="M0 0H1"/>')

    assert len(reading.drawing.lines) == 1
    assert "flattened" in codes(reading)


def test_a_symbol_without_a_size_of_its_own_in_a_drawing_without_size_is_placed() -> (
    None
):
    line = read_line(
        '<symbol id="s"><path d="M0 0H96"/></symbol><use href="#s" x="96"/>', ""
    )

    np.testing.assert_allclose(vertices(line), [25.4, 50.8], atol=1e-12)


def test_percentages_in_a_drawing_without_size_are_refused() -> None:
    with pytest.raises(DrawingError, match='"50%" is a share of the drawing'):
        read_body('<line x2="50%"/>', "")


def test_a_flat_transform_draws_nothing_and_is_said() -> None:
    reading = read_body('<g transform="scale(1,0)"><path d="M0 0H1"/></g>')

    assert reading.drawing.lines == ()
    assert codes(reading).keys() == {"flattened", "no-outlines"}


def test_a_drawing_without_outlines_is_read_with_a_warning() -> None:
    reading = read_body("<text>front</text>")

    assert codes(reading).keys() == {"no-outlines"}
    assert reading.findings[0].severity is Severity.WARNING


def test_every_mistake_in_an_outline_is_told_with_its_place() -> None:
    with pytest.raises(DrawingError) as caught:
        read_svg(FIXTURES / "bad-path-data.svg")

    first, second = caught.value.messages
    assert first.startswith(
        'bad-path-data.svg: line 2: path "front": in its path data character 10, '
        '"x 20", is not a command or a number; mend it'
    )
    assert second.startswith("bad-path-data.svg: line 4: path: in its path data")


def test_many_mistakes_are_told_up_to_a_number() -> None:
    with pytest.raises(DrawingError) as caught:
        read_body('<path d="L0 0"/>\n' * 25)

    assert len(caught.value.messages) == 11
    assert caught.value.messages[-1] == "test.svg: 15 more mistakes like these"


@pytest.mark.parametrize(
    "body",
    [
        '<path d="M0 0L1e400 0"/>',
        '<path d="M0 0LNaN 0"/>',
        '<path d="M0 0Linf 0"/>',
        '<path d="M0 0L9999999999999 0"/>',
        '<circle r="1e13"/>',
        '<path d="M0 0L1e10 0"/>',
        '<g transform="scale(1e11)"><path transform="scale(1e11)" d="M0 0H1"/></g>',
        '<circle r="-1"/>',
        '<rect width="-1" height="1"/>',
        '<rect width="1 mm" height="1"/>',
        '<rect width="1furlong" height="1"/>',
        '<polygon points="0 0 1"/>',
        '<polygon points="0 0 1 x"/>',
        '<path transform="turn(3)" d="M0 0H1"/>',
        '<path transform="rotate(3" d="M0 0H1"/>',
        '<svg viewBox="0 0 0 10"><path d="M0 0H1"/></svg>',
        '<svg viewBox="0 0 10"><path d="M0 0H1"/></svg>',
        '<svg width="-5"><path d="M0 0H1"/></svg>',
        '<svg viewBox="0 0 1 1" preserveAspectRatio="xMidYMed"/>',
        (
            '<path transform="scale(2)" transform-origin="1 1" '
            'transform-box="fill-box" d="M0 0H1"/>'
        ),
    ],
)
def test_what_cannot_be_measured_rightly_is_refused_with_its_line(body: str) -> None:
    with pytest.raises(DrawingError) as caught:
        read_body(body)

    (message,) = caught.value.messages
    assert message.startswith("test.svg: line 2: ")
    assert "mend" in message


@pytest.mark.parametrize(
    "size",
    [
        'width="0" height="10mm"',
        'width="-3in"',
        'width="ten"',
        'viewBox="0 0 -1 5"',
        'viewBox="a b c d"',
        'viewBox="0 0 1 1" preserveAspectRatio="middle"',
        'transform="upside down"',
        'width="1e-200mm" viewBox="0 0 1 1" transform="scale(1e300)"',
        'width="1e9mm" viewBox="0 0 1e-9 1e-9"',
    ],
)
def test_a_root_whose_size_cannot_be_right_is_refused(size: str) -> None:
    with pytest.raises(DrawingError, match=r"test\.svg: line 1: "):
        read_body('<path d="M0 0H1"/>', size)


def test_a_transform_origin_is_honoured() -> None:
    line = read_line(
        '<path transform="rotate(90)" style="transform-origin: 10px 10px" '
        'd="M10 10H20"/>'
    )

    np.testing.assert_allclose(vertices(line), [10 - 10j, 10 - 20j], atol=1e-12)


@pytest.mark.parametrize("box", ["fill-box", "stroke-box", "content-box"])
@pytest.mark.parametrize("origin", ["", 'transform-origin="0 0"'])
def test_a_turn_about_a_point_of_the_shape_s_own_box_is_refused(
    box: str, origin: str
) -> None:
    turned = f'<path transform="rotate(9)" {origin} transform-box="{box}" d="M0 0H1"/>'

    with pytest.raises(DrawingError, match="a point of its own box"):
        read_line(turned)


def test_a_shift_is_the_same_about_every_point() -> None:
    line = read_line(
        '<path transform="translate(5)" style="transform-box:fill-box" d="M0 0H1"/>'
    )

    assert line.path.start == 5


@pytest.mark.parametrize(
    "paint",
    [
        'fill="none"',
        'opacity="0"',
        'fill-opacity="0"',
        'fill="transparent"',
        'stroke="red" stroke-width="0" fill="none"',
    ],
)
def test_what_is_not_painted_is_read_and_said(paint: str) -> None:
    reading = read_body(f'<path {paint} d="M0 0H1V1z"/>')

    assert len(reading.drawing.lines) == 1
    told = "1 outline without stroke or fill, or fully transparent; read all the same"
    assert codes(reading) == {"no-paint": told}


def test_lengths_in_em_are_those_of_the_font_around() -> None:
    reading = read_body('<g font-size="20"><line x2="2em"/></g><line x2="2em"/>')

    assert [length_of(line) for line in reading.drawing.lines] == [40, 32]
    assert not reading.findings or codes(reading).keys() == {"no-paint"}


def test_lengths_in_ex_are_read_with_a_warning() -> None:
    reading = read_body('<line font-size="20" x2="2ex"/>')

    assert length_of(reading.drawing.lines[0]) == pytest.approx(20)
    assert codes(reading)["font-length"] == (
        "1 length in ex read as half an em each: how high an x is depends on the font"
    )


def test_lengths_in_a_font_of_unknown_size_are_read_with_a_warning() -> None:
    body = '<g style="font-size: min(9px, 2vw)"><line x2="2em"/><line x2="1em"/></g>'

    reading = read_body(body)

    assert [length_of(line) for line in reading.drawing.lines] == [32, 16]
    assert codes(reading)["font-size"].startswith(
        "2 lengths in em read as if the font were 16 px"
    )


def test_links_that_lead_nowhere_are_told() -> None:
    reading = read_body(
        '<use href="#gone"/><use href="other.svg#a"/><path d="M0 0H1"/>'
    )

    assert len(reading.drawing.lines) == 1
    told = codes(reading)
    assert told["missing-reference"].startswith(
        '1 link to what is not in the file (the first is "#gone")'
    )
    assert told["outside-reference"].startswith("1 link to another file")


def test_a_gradient_stroke_is_a_stroke_without_colour() -> None:
    reading = read_body('<path stroke="url(#g)" d="M0 0H1"/>')

    assert reading.drawing.lines[0].colour is None
    assert codes(reading).keys() == {"unknown-paint"}


def test_a_drawing_without_the_svg_namespace_is_read_and_noted() -> None:
    reading = read_svg_text(b'<svg width="96"><path d="M0 0H96"/></svg>', "a.svg")

    assert length_of(reading.drawing.lines[0]) == pytest.approx(25.4)
    assert codes(reading).keys() == {"no-namespace", "px-size"}


def test_a_style_sheet_outside_the_file_is_told() -> None:
    data = b'<?xml-stylesheet href="a.css"?>' + svg_text('<path d="M0 0H1"/>')

    reading = read_svg_text(data, "a.svg")

    assert codes(reading)["outside-sheet"].startswith("1 style sheet from outside")


def test_a_hidden_root_draws_nothing() -> None:
    reading = read_body('<path d="M0 0H1"/>', f'{ONE_MM} display="none"')

    assert reading.drawing.lines == ()
    assert codes(reading).keys() == {"hidden", "no-outlines"}


@pytest.mark.parametrize(
    ("size", "mm"),
    [
        ('width="6em"', 2.54),
        ('width="6em" font-size="32"', 5.08),
        ('width="3rem" font-size="2rem"', 2.54),
        ('width="calc(1in + 2.54cm)"', 5.08),
    ],
)
def test_a_root_may_be_sized_by_its_font_or_a_sum(size: str, mm: float) -> None:
    reading = read_body('<path d="M0 0H1"/>', f'{size} viewBox="0 0 10 10"')

    assert length_of(reading.drawing.lines[0]) == pytest.approx(mm)
    assert codes(reading).keys() <= {"px-size", "no-paint"}
    assert ("px-size" in codes(reading)) is ("calc" not in size)


@pytest.mark.parametrize("how", ['display="none"', 'systemLanguage="fr"'])
def test_a_symbol_that_is_hidden_or_for_others_is_not_copied(how: str) -> None:
    reading = read_body(
        f'<symbol id="s" {how}><path d="M0 0H1"/></symbol><use href="#s"/>'
    )

    assert reading.drawing.lines == ()


def test_a_copy_of_a_flattened_symbol_draws_nothing() -> None:
    reading = read_body(
        '<symbol id="s" transform="scale(0)"><path d="M0 0H1"/></symbol>'
        '<use href="#s"/>'
    )

    assert codes(reading).keys() == {"flattened", "no-outlines"}


def test_a_copy_may_size_a_nested_drawing() -> None:
    reading = read_body(
        '<svg id="s" width="10" height="10" viewBox="0 0 5 5"><path d="M0 0H5"/></svg>'
        '<use href="#s" width="20" height="20" x="50"/>'
    )

    there, copy = reading.drawing.lines
    np.testing.assert_allclose(vertices(there), [0, 10], atol=1e-12)
    np.testing.assert_allclose(vertices(copy), [50, 70], atol=1e-12)


def test_a_nested_drawing_without_view_box_is_moved_and_gives_percentages() -> None:
    line = read_line(
        '<svg x="10" y="20" width="40" height="30"><line x2="50%" y2="50%"/></svg>'
    )

    np.testing.assert_allclose(vertices(line), [10 - 20j, 30 - 35j], atol=1e-12)


def test_a_file_that_is_not_there_is_an_error_with_its_path(tmp_path: Path) -> None:
    with pytest.raises(DrawingError, match="there is no such file"):
        read_svg(tmp_path / "gone.svg")


def test_drawings_nested_as_deep_as_allowed_are_read() -> None:
    depth = 198
    body = "<g>" * depth + '<path d="M0 0H1"/>' + "</g>" * depth

    assert length_of(read_line(body)) == pytest.approx(1)


def test_control_characters_in_names_cannot_break_a_message() -> None:
    with pytest.raises(DrawingError) as caught:
        read_body('<path id="a&#10;b" d="x"/>')

    assert "\n" not in caught.value.messages[0]


def test_reading_loads_neither_scipy_nor_the_dxf_library() -> None:
    text = svg_text('<path d="M0 0C1 2 3 4 5 6"/>')
    program = (
        "import sys\n"
        "from edgefinder.importers.svg.reading import read_svg_text\n"
        f"reading = read_svg_text({text!r}, 'a.svg')\n"
        "assert len(reading.drawing.lines) == 1\n"
        "heavy = [m for m in sys.modules if m.split('.')[0] in ('scipy', 'ezdxf')]\n"
        "assert not heavy, heavy\n"
        "from scipy.integrate import quad\n"
        "assert abs(quad(lambda x: x, 0, 1)[0] - 0.5) < 1e-12\n"
    )

    done = subprocess.run(  # noqa: S603 - our own interpreter and text
        [sys.executable, "-c", program],
        capture_output=True,
        text=True,
        check=False,
        cwd=Path(__file__).parents[1],
    )

    assert done.stderr == ""
    assert done.returncode == 0


def test_where_scipy_is_loaded_already_it_stays() -> None:
    program = (
        "import sys, scipy.integrate\n"
        "before = sys.modules['scipy']\n"
        "import edgefinder.importers.svg.path_data\n"
        "assert sys.modules['scipy'] is before\n"
    )

    done = subprocess.run(  # noqa: S603 - our own interpreter and text
        [sys.executable, "-c", program],
        capture_output=True,
        text=True,
        check=False,
        cwd=Path(__file__).parents[1],
    )

    assert done.stderr == ""
    assert done.returncode == 0


def test_reading_twice_gives_the_same() -> None:
    data = (FIXTURES / "every-path-command.svg").read_bytes()

    first, second = (read_svg_text(data, "a.svg") for _ in range(2))

    for one, other in zip(first.drawing.lines, second.drawing.lines, strict=True):
        np.testing.assert_array_equal(
            one.path.segments.control, other.path.segments.control
        )


def test_a_style_attribute_without_end_is_refused_with_its_line() -> None:
    with pytest.raises(DrawingError) as caught:
        read_body(f'\n<path style="{"a:b;" * 70_000}" d="M0 0H1"/>')

    (message,) = caught.value.messages
    assert message.startswith("test.svg: line 3: has a style of 280000 characters")
