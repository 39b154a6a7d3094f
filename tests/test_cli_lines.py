"""``edgefinder lines`` as it is typed."""

import math
from pathlib import Path

import pytest
from command_line import (
    DEMO,
    DXF_FIXTURES,
    SVG_FIXTURES,
    TOP_KEYS,
    assert_fits,
    assert_printable,
    dxf,
    polyline,
    rectangle,
    run,
    sheet,
    usage_error,
)

CIRCLE = '<circle id="bib" cx="100" cy="100" r="50" stroke="#d55e00"/>'
SLIT = '<path id="slit" d="M 300 10 H 427"/>'
LINE_KEYS = (
    "id",
    "kind",
    "layer",
    "groups",
    "classes",
    "colour",
    "label",
    "closed",
    "length_mm",
    "gap_mm",
    "where",
)


def cells(out: str) -> list[list[str]]:
    """Split the table of a text into its cells, heading left out."""
    table = out.split("\n\n", maxsplit=1)[0].splitlines()[1:]
    return [[cell.strip() for cell in row.split("  ") if cell] for row in table]


def test_every_line_is_listed_with_its_length(tmp_path: Path) -> None:
    said = run("lines", sheet(tmp_path, CIRCLE + SLIT))

    assert (said.exit_code, said.err) == (0, "")
    # 2 pi 50 = 314.16; 427 - 300 = 127
    assert cells(said.out) == [
        ["bib", "circle", "-", "#d55e00", "-", "314 mm", "closed"],
        ["slit", "path", "-", "-", "-", "127 mm", "open, gap 127 mm"],
    ]
    assert said.out.endswith("\n\n2 lines in apron.svg\n")


def test_one_line_is_counted_as_one(tmp_path: Path) -> None:
    said = run("lines", sheet(tmp_path, CIRCLE))

    assert said.out.endswith("\n\n1 line in apron.svg\n")


@pytest.mark.parametrize(
    ("unit", "printed"),
    [
        # 50 pi mm x 2 = 314.159 mm = 12.368 in, nearest eighth 12 3/8
        ("in", ["12 3/8 in", "5 in"]),
        ("mm", ["314 mm", "127 mm"]),
        ("cm", ["31.4 cm", "12.7 cm"]),
    ],
)
def test_unit_chooses_what_lengths_are_printed_in(
    tmp_path: Path, unit: str, printed: list[str]
) -> None:
    said = run("lines", sheet(tmp_path, CIRCLE + SLIT), "--unit", unit)

    assert [row[5] for row in cells(said.out)] == printed


def test_unit_does_not_change_the_json(tmp_path: Path) -> None:
    drawing = sheet(tmp_path, CIRCLE)

    assert run("lines", drawing, "--json", "--unit", "in") == run(
        "lines", drawing, "--json"
    )


def test_json_has_full_precision_and_the_agreed_keys(tmp_path: Path) -> None:
    said = run("lines", sheet(tmp_path, CIRCLE + SLIT), "--json")

    assert (said.exit_code, said.err) == (0, "")
    result = said.json
    assert tuple(result) == (*TOP_KEYS, "lines")
    assert result["schema"] == {"name": "edgefinder.lines", "version": 1}
    assert result["units"]["length"] == "mm"
    assert result["findings"] == []
    bib, slit = result["lines"]
    assert tuple(bib) == LINE_KEYS
    assert bib["length_mm"] == pytest.approx(100 * math.pi, rel=1e-12)
    assert (bib["closed"], bib["gap_mm"], bib["colour"]) == (True, 0.0, "#d55e00")
    assert (slit["closed"], slit["gap_mm"]) == (False, 127.0)


def test_unit_mm_takes_the_place_of_what_the_file_says() -> None:
    drawing = SVG_FIXTURES / "true-size.svg"  # a square of 300 user units

    said = run("lines", drawing, "--unit-mm", "2", "--json")

    assert said.exit_code == 0
    (square,) = said.json["lines"]
    assert square["length_mm"] == pytest.approx(4 * 300 * 2, rel=1e-12)


def test_unit_mm_answers_the_warning_of_a_drawing_without_size() -> None:
    drawing = SVG_FIXTURES / "no-size.svg"

    before = run("lines", drawing, "--json").json["findings"]
    after = run("lines", drawing, "--json", "--unit-mm", "0.5").json["findings"]

    assert [finding["code"] for finding in before] == ["no-size"]
    assert after == []


@pytest.mark.parametrize("value", ["0", "-1", "nan", "inf", "-inf", "3 mm", ""])
def test_a_unit_that_is_no_positive_number_is_refused(
    tmp_path: Path, value: str
) -> None:
    error = usage_error("lines", sheet(tmp_path, CIRCLE), "--unit-mm", value)

    assert "--unit-mm" in error


def test_an_unknown_unit_is_answered_with_the_known_ones(tmp_path: Path) -> None:
    error = usage_error("lines", sheet(tmp_path, CIRCLE), "--unit", "furlong")

    assert all(unit in error for unit in ("'in'", "'mm'", "'cm'"))


@pytest.mark.parametrize(
    ("side", "code"), [(19, "unlikely-scale"), (20, None), (3001, "unlikely-scale")]
)
def test_an_impossible_scale_is_only_a_warning_here(
    tmp_path: Path, side: int, code: str | None
) -> None:
    drawing = sheet(tmp_path, f'<rect width="{side}" height="{side}"/>')

    said = run("lines", drawing, "--json")

    assert said.exit_code == 0
    codes = [finding["code"] for finding in said.json["findings"]]
    assert codes == ([] if code is None else [code])
    assert len(said.json["lines"]) == 1


def test_findings_stand_on_standard_error_of_the_text() -> None:
    drawing = SVG_FIXTURES / "hidden.svg"

    text, result = run("lines", drawing), run("lines", drawing, "--json")

    assert result.err == ""
    assert text.err.splitlines() == [
        f"{f['severity']}: {f['where']}: {f['message']}"
        for f in result.json["findings"]
    ]
    assert "warning: " not in text.out


def test_an_open_outline_is_listed_with_its_gap(tmp_path: Path) -> None:
    outline = '<path id="front" d="M 10 10 H 110 V 60 H 10 V 12"/>'

    said = run("lines", sheet(tmp_path, outline))

    assert said.exit_code == 0
    assert cells(said.out)[0][-1] == "open, gap 2 mm"


def test_a_drawing_without_lines_is_an_empty_list_with_a_warning(
    tmp_path: Path,
) -> None:
    said = run("lines", sheet(tmp_path, "<text>front</text>"))

    assert said.exit_code == 0
    assert said.out.endswith("\n0 lines in apron.svg\n")
    assert said.err.startswith("warning: apron.svg: line 1: ")


@pytest.mark.parametrize(
    "path", sorted(DEMO.glob("*.[sd][vx][gf]")), ids=lambda path: str(path.name)
)
def test_the_demo_drawings_fit_the_page(path: Path) -> None:
    said = run("lines", path)

    assert said.exit_code == 0
    assert said.out.count("\n") > 20
    assert_fits(said.out)


@pytest.mark.parametrize(
    "path", sorted(DXF_FIXTURES.glob("*.dxf")), ids=lambda path: str(path.name)
)
def test_a_dxf_is_listed_like_an_svg(path: Path) -> None:
    said = run("lines", path, "--json")

    assert (said.exit_code, said.err) == (0, "")
    assert all(line["length_mm"] > 0 for line in said.json["lines"])


def test_long_and_wide_names_do_not_push_lengths_off_the_page(tmp_path: Path) -> None:
    long = "the upper left part of the front yoke for the lined version " * 2
    drawing = sheet(
        tmp_path,
        f'<g id="{"layer" * 20}">{rectangle(long)}{rectangle("縫" * 60)}</g>',
        name=f"{'apron' * 30}.svg",
    )

    said = run("lines", drawing)

    assert said.exit_code == 0
    assert said.out.count("600 mm") == 2
    assert_fits(said.out)


def test_names_of_an_svg_never_reach_the_terminal_raw(tmp_path: Path) -> None:
    # XML allows C1 controls: U+009B begins an escape sequence by itself.
    title = "fr&#x9b;31mont&#x202e;neck&#xa;error: forged"
    drawing = sheet(
        tmp_path,
        f'<g id="a&#x9b;2J"><rect id="b&#x85;" width="9" height="9">'
        f"<title>{title}</title></rect></g>",
    )

    said = run("lines", drawing)

    assert said.exit_code == 0
    assert_printable(said.out)
    assert_printable(said.err)
    assert said.out.count("\n") == 4


def test_names_of_a_dxf_never_reach_the_terminal_raw(tmp_path: Path) -> None:
    drawing = dxf(tmp_path, polyline("cut\x1b[31m\x07line\x1b]0;title\x07"))

    said = run("lines", drawing)

    assert said.exit_code == 0
    assert "cut" in said.out
    assert_printable(said.out)
    assert_printable(said.err)


def test_control_characters_in_json_are_escaped(tmp_path: Path) -> None:
    drawing = dxf(tmp_path, polyline("cut\x1b[31m縫"))

    said = run("lines", drawing, "--json")

    assert said.out.isascii()
    assert_printable(said.out)
    assert said.json["lines"][0]["layer"] == "cut\x1b[31m縫"


def test_the_test_square_scales_every_line(tmp_path: Path) -> None:
    square = '<rect id="test-square" x="200" y="10" width="38.1" height="38.1"/>'

    said = run(
        "lines", sheet(tmp_path, CIRCLE + square), "--test-square", "2in", "--json"
    )

    lengths = {line["id"]: line["length_mm"] for line in said.json["lines"]}
    assert lengths["test-square"] == pytest.approx(4 * 50.8, rel=1e-12)
    assert [finding["code"] for finding in said.json["findings"]] == ["test-square"]


def test_a_test_square_that_disagrees_with_its_label_is_a_warning(
    tmp_path: Path,
) -> None:
    square = (
        '<rect x="200" y="10" width="37.5" height="37.5"><title>test square 50 mm'
        "</title></rect>"
    )

    said = run("lines", sheet(tmp_path, CIRCLE + square))

    assert said.exit_code == 0
    assert "warning: " in said.err
    assert '--test-square "50 mm"' in said.err
