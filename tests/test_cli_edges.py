"""``edgefinder edges`` as it is typed."""

import math
from pathlib import Path

import pytest
from command_line import (
    APRON,
    DEMO,
    SMOCK,
    TOP_KEYS,
    assert_fits,
    assert_printable,
    dxf,
    job,
    polyline,
    rectangle,
    refused,
    run,
    sheet,
    usage_error,
)

PIECE_KEYS = ("name", "size", "layer", "perimeter_mm", "area_mm2", "edges", "where")
EDGE_KEYS = (
    "number",
    "edge",
    "ring",
    "length_mm",
    "drawn_length_mm",
    "turning_deg",
    "tightest_inside_mm",
    "tightest_inside_at_mm",
    "tightest_outside_mm",
    "tightest_outside_at_mm",
    "start_mm",
    "end_mm",
    "corner_before_deg",
    "corner_after_deg",
)
# A quarter of a circle of radius 50 mm cut out of the upper right corner.
NOTCHED = '<path id="bib" d="M 10 10 H 160 A 50 50 0 0 0 210 60 V 160 H 10 Z"/>'


def test_edges_of_a_drawing_are_numbered_from_the_lower_left(tmp_path: Path) -> None:
    said = run("edges", sheet(tmp_path, rectangle("pocket")))

    assert (said.exit_code, said.err) == (0, "")
    head, underline, about, *_ = said.out.splitlines()
    assert (head, underline) == ("pocket", "------")
    assert about.startswith("once round 600 mm")
    table = said.out.split("\n\n")[1].splitlines()[1:]
    assert [row.split()[:2] for row in table] == [
        ["1", "200"],
        ["2", "100"],
        ["3", "200"],
        ["4", "100"],
    ]


def test_json_has_full_precision_and_the_agreed_keys(tmp_path: Path) -> None:
    said = run("edges", sheet(tmp_path, NOTCHED), "--json")

    assert (said.exit_code, said.err) == (0, "")
    result = said.json
    assert tuple(result) == (*TOP_KEYS, "pieces")
    assert result["schema"] == {"name": "edgefinder.edges", "version": 1}
    (piece,) = result["pieces"]
    assert tuple(piece) == PIECE_KEYS
    assert piece["area_mm2"] == pytest.approx(200 * 150 - math.pi * 50**2 / 4)
    assert all(tuple(edge) == EDGE_KEYS for edge in piece["edges"])
    (curve,) = [e for e in piece["edges"] if e["tightest_inside_mm"] is not None]
    assert curve["tightest_inside_mm"] == pytest.approx(50, rel=1e-9)
    assert curve["length_mm"] == pytest.approx(25 * math.pi, rel=1e-12)
    assert curve["turning_deg"] == pytest.approx(-90, rel=1e-12)
    assert curve["tightest_outside_mm"] is None


@pytest.mark.parametrize(
    ("unit", "once_round"),
    [("in", "23 5/8 in"), ("mm", "600 mm"), ("cm", "60.0 cm")],
)
def test_unit_chooses_what_figures_are_printed_in(
    tmp_path: Path, unit: str, once_round: str
) -> None:
    said = run("edges", sheet(tmp_path, rectangle()), "--unit", unit)

    # 600 / 25.4 = 23.622, nearest eighth 23 5/8
    assert f"once round {once_round}" in said.out


def test_a_job_file_prints_in_its_own_unit_unless_told_otherwise(
    tmp_path: Path,
) -> None:
    sheet(tmp_path, rectangle())
    path = job(tmp_path, 'unit = "cm"')

    assert "once round 60.0 cm" in run("edges", path).out
    assert "once round 600 mm" in run("edges", path, "--unit", "mm").out


def test_unit_mm_takes_the_place_of_drawing_and_job_file(tmp_path: Path) -> None:
    drawing = sheet(tmp_path, rectangle())
    path = job(tmp_path, 'drawing_unit = "3 mm"')

    lengths = [
        run("edges", file, *flags, "--json").json["pieces"][0]["perimeter_mm"]
        for file, flags in (
            (drawing, ()),
            (drawing, ("--unit-mm", "2")),
            (path, ()),
            (path, ("--unit-mm", "2")),
        )
    ]

    assert lengths == pytest.approx([600, 1200, 1800, 1200], rel=1e-12)


@pytest.mark.parametrize("value", ["0", "nan", "inf", "one"])
def test_a_unit_that_is_no_positive_number_is_refused(
    tmp_path: Path, value: str
) -> None:
    assert "--unit-mm" in usage_error(
        "edges", sheet(tmp_path, rectangle()), "--unit-mm", value
    )


def test_a_job_file_chooses_the_lines_that_are_pieces(tmp_path: Path) -> None:
    sheet(tmp_path, f'{rectangle("front")}<g class="cut">{rectangle("back")}</g>')
    path = job(tmp_path, 'cut_lines = ["class:cut"]')

    result = run("edges", path, "--json").json

    assert [piece["name"] for piece in result["pieces"]] == ["back"]


def test_a_job_file_that_binds_nothing_yet_is_enough(tmp_path: Path) -> None:
    sheet(tmp_path, rectangle())

    assert run("edges", job(tmp_path, "")).exit_code == 0


@pytest.mark.parametrize("path", [APRON, SMOCK], ids=lambda path: str(path.stem))
def test_the_demo_fits_the_page(path: Path) -> None:
    said = run("edges", path)

    assert said.exit_code == 0
    assert_fits(said.out)


def test_svg_and_dxf_of_the_demo_have_the_same_edges(tmp_path: Path) -> None:
    found = []
    for kind, cut_lines in (("svg", "class:cut"), ("dxf", "layer:Size [0-9]")):
        drawing = DEMO / f"puddle-smock.{kind}"
        path = tmp_path / f"{kind}.toml"
        text = f'drawings = ["{drawing}"]\ncut_lines = ["{cut_lines}"]\n'
        path.write_text(text, encoding="utf-8")
        pieces = run("edges", path, "--json").json["pieces"]
        found.append(
            {
                (piece["name"], piece["size"], edge["number"]): edge["length_mm"]
                for piece in pieces
                for edge in piece["edges"]
            }
        )

    svg, dxf_edges = found
    assert svg.keys() == dxf_edges.keys()
    assert len(svg) == 4 * (6 + 5)  # four sizes, corners as drafted
    assert list(svg.values()) == pytest.approx(
        [dxf_edges[key] for key in svg], abs=2e-5
    )


def test_findings_stand_on_standard_error_of_the_text(tmp_path: Path) -> None:
    marks = rectangle() + '<circle cx="100" cy="50" r="2"/>'
    drawing = sheet(tmp_path, marks)

    text, result = run("edges", drawing), run("edges", drawing, "--json")

    assert result.err == ""
    (finding,) = result.json["findings"]
    assert finding["code"] == "small-line"
    assert text.err == (
        f"{finding['severity']}: {finding['where']}: {finding['message']}\n"
    )


def test_an_open_outline_is_an_error_with_its_gap_and_place(tmp_path: Path) -> None:
    outline = '<path id="front" d="M 10 10 H 110 V 60 H 10 V 13.2"/>'

    (error,) = refused("edges", sheet(tmp_path, outline))

    # y points up inside; what is told is what the drawing says.
    assert 'apron.svg: line 1: outline "front" is open: 3.20 mm' in error
    assert "its end at (10.0, 13.2) mm and its start at (10.0, 10.0) mm" in error
    assert error.endswith("; join the ends")


def test_every_open_outline_is_said(tmp_path: Path) -> None:
    one = '<path id="a" d="M 10 10 H 110 V 60 H 10 V 13"/>'
    two = '<path id="b" d="M 10 110 H 110 V 160 H 10 V 114"/>'

    errors = refused("edges", sheet(tmp_path, one + two))

    assert ["3.00 mm" in errors[0], "4.00 mm" in errors[1]] == [True, True]


@pytest.mark.parametrize(
    ("unit_mm", "words"), [("0.09", "under 2 cm"), ("15.1", "over 3 m")]
)
def test_an_impossible_scale_is_an_error_that_names_the_option(
    tmp_path: Path, unit_mm: str, words: str
) -> None:
    drawing = sheet(tmp_path, rectangle())  # 200 units across: 18 mm, 3020 mm

    (error,) = refused("edges", drawing, "--unit-mm", unit_mm)

    assert words in error
    assert f"({unit_mm} mm per drawing unit)" in error
    assert "--unit-mm" in error


@pytest.mark.parametrize("unit_mm", ["0.1", "15"])
def test_the_smallest_and_the_largest_piece_are_read(
    tmp_path: Path, unit_mm: str
) -> None:
    drawing = sheet(tmp_path, rectangle())  # 20 mm and 3000 mm across

    assert run("edges", drawing, "--unit-mm", unit_mm).exit_code == 0


def test_names_never_reach_the_terminal_raw(tmp_path: Path) -> None:
    # XML allows C1 controls: U+009B begins an escape sequence by itself.
    title = "fr&#x9b;31mont&#x202e;neck&#xa;error: forged"
    drawing = sheet(tmp_path, rectangle(title))

    said = run("edges", drawing)

    assert said.exit_code == 0
    assert said.out.startswith("fr 31mont neck error: forged\n")
    assert_printable(said.out)


def test_names_in_errors_never_reach_the_terminal_raw(tmp_path: Path) -> None:
    groups = polyline("cut\x1b[31m", ((0, 0), ("nan", 5), (5, 5)))
    svg = sheet(tmp_path, '<path id="a&#x9b;2Jb&#xa;error: c" d="M 0 0 H 90 V 50"/>')

    errors = refused("edges", dxf(tmp_path, groups)) + refused("edges", svg)

    assert len(errors) == 2
    assert_printable("\n".join(errors))


def test_long_and_wide_names_stay_on_the_page(tmp_path: Path) -> None:
    drawing = sheet(tmp_path, rectangle("yoke " * 40) + rectangle("縫" * 70, (10, 300)))

    said = run("edges", drawing)

    assert said.exit_code == 0
    assert_fits(said.out)


# The test square

SQUARE_2_IN_AT_72 = '<rect id="rect9" x="400" y="400" width="38.1" height="38.1"/>'


def test_the_test_square_mends_the_scale_and_is_no_piece(tmp_path: Path) -> None:
    drawing = sheet(tmp_path, NOTCHED + SQUARE_2_IN_AT_72)

    said = run("edges", drawing, "--test-square", "2 in", "--json")

    (piece,) = said.json["pieces"]
    assert piece["area_mm2"] == pytest.approx(
        (200 * 150 - math.pi * 50**2 / 4) * 16 / 9, rel=1e-12
    )
    (curve,) = [e for e in piece["edges"] if e["tightest_inside_mm"] is not None]
    assert curve["tightest_inside_mm"] == pytest.approx(200 / 3, rel=1e-12)
    (finding,) = said.json["findings"]
    assert finding["code"] == "test-square"
    assert "scaled by 1.33333" in finding["message"]


def test_the_test_square_of_a_job_file_may_be_overruled(tmp_path: Path) -> None:
    sheet(tmp_path, rectangle() + SQUARE_2_IN_AT_72)
    path = job(tmp_path, 'test_square = "2 in"')

    perimeters = [
        run("edges", path, *flags, "--json").json["pieces"][0]["perimeter_mm"]
        for flags in ((), ("--test-square", "1 1/2 in"))
    ]

    assert perimeters == pytest.approx([800, 600])


def test_a_stretched_test_square_stops_in_one_line(tmp_path: Path) -> None:
    square = '<rect id="test-square" x="400" y="400" width="50.8" height="52"/>'

    (error,) = refused(
        "edges", sheet(tmp_path, rectangle() + square), "--test-square", "2 in"
    )

    assert error == (
        'apron.svg: line 1: "test-square": the test square is 52.00 by 50.80 mm: the '
        "drawing has been stretched by 2.4 % up and down; export it again with one "
        "scale for both directions"
    )


def test_a_drawing_without_a_test_square_stops_in_one_line(tmp_path: Path) -> None:
    (error,) = refused("edges", sheet(tmp_path, rectangle()), "--test-square", "2 in")

    assert error.startswith("apron.svg: there is no square of 50.8 mm")


@pytest.mark.parametrize("side", ["2", "0 in", "two inches", "-2 in"])
def test_a_test_square_without_a_side_is_refused(tmp_path: Path, side: str) -> None:
    error = usage_error("edges", sheet(tmp_path, rectangle()), "--test-square", side)

    assert "--test-square" in error


def test_a_drawing_in_inches_without_a_unit_is_told_so(tmp_path: Path) -> None:
    drawing = tmp_path / "apron.svg"
    drawing.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg"><path d="M0,0 h12 v20 h-12 z"/></svg>',
        encoding="utf-8",
    )

    (error,) = refused("edges", drawing)

    # 20 units of 1/96 in are 5.3 mm; 20 in are 508 mm.
    assert "the largest outline is 5.3 mm across, under 2 cm" in error
    assert "likely is --unit-mm 25.4 (inches: 508 mm across)" in error
    assert 'drawing_unit = "1 in"' in error


# Sizes and cut-outs by the job file


def test_the_job_file_tells_colours_from_sizes_and_names_them(tmp_path: Path) -> None:
    colours = ("red", "#0072b2", "green")
    sheet(
        tmp_path,
        "".join(
            f'<rect x="{10 * n}" y="{10 * n}" width="{200 - 20 * n}" height='
            f'"{200 - 20 * n}" fill="none" stroke="{colour}"><title>bib</title></rect>'
            for n, colour in enumerate(colours, start=1)
        ),
    )
    path = job(
        tmp_path, 'sizes = "colour"\n[size_names]\n"#f00" = "L"\n"#0072B2" = "M"\n'
    )

    said = run("edges", path, "--json")

    assert [(p["name"], p["size"]) for p in said.json["pieces"]] == [
        ("bib", "L"),
        ("bib", "M"),
        ("bib", "green"),
    ]
    assert said.json["findings"] == []


def test_the_job_file_makes_a_cut_out_of_a_mark(tmp_path: Path) -> None:
    window = '<circle id="window" cx="110" cy="60" r="20" />'
    drawing = sheet(tmp_path, rectangle() + window)

    marked = run("edges", drawing, "--json").json
    cut = run("edges", job(tmp_path, 'cutouts = ["id:window"]'), "--json").json

    assert [len(piece["edges"]) for piece in marked["pieces"]] == [4]
    (finding,) = marked["findings"]
    assert 'cutouts = ["id:window"]' in finding["message"]
    assert [edge["ring"] for edge in cut["pieces"][0]["edges"]] == [0, 0, 0, 0, 1]
    assert cut["findings"] == []
