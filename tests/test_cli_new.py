"""``edgefinder new`` as it is typed, and the job file that it writes."""

import tomllib
from pathlib import Path
from typing import Any

import pytest
from command_line import (
    DEMO,
    DXF_FIXTURES,
    SVG_FIXTURES,
    Said,
    assert_printable,
    contents,
    dxf,
    polyline,
    rectangle,
    refused,
    run,
    sheet,
    usage_error,
)
from interchange_files import bib, file_of


def read(path: Path) -> dict[str, Any]:
    """Read a job file with the TOML reader of the standard library."""
    return tomllib.loads(path.read_text(encoding="utf-8"))


def with_the_example_run(path: Path, edge: str | None = None) -> None:
    """Take the signs off the example run, as the file says, and name an edge."""
    before, example = path.read_text(encoding="utf-8").split("# [[runs]]\n")
    lines = [line.removeprefix("# ") for line in example.splitlines()]
    if edge is not None:
        lines = [
            f"edges = [{edge}]" if line.startswith("edges = ") else line
            for line in lines
        ]
    text = "\n".join([f"{before}[[runs]]", *lines, ""])
    path.write_text(text, encoding="utf-8")


def new(drawing: Path, *flags: str | Path) -> Said:
    """Write a job file for a drawing, which must succeed."""
    said = run("new", drawing, *flags)
    assert (said.exit_code, said.out) == (0, ""), said
    return said


def test_the_job_file_lies_beside_the_drawing_under_its_name(tmp_path: Path) -> None:
    drawing = sheet(tmp_path, rectangle())

    said = new(drawing)

    path = tmp_path / "apron.toml"
    assert said.err.splitlines() == [
        f"wrote {path}; name the edges that are bound in it, then run",
        f"  edgefinder schedule {path}",
    ]
    assert sorted(contents(tmp_path)) == ["apron.svg", "apron.toml"]
    assert read(path)["drawings"] == ["apron.svg"]


def test_output_names_the_job_file_and_the_drawing_is_found_from_there(
    tmp_path: Path,
) -> None:
    (tmp_path / "jobs").mkdir()
    drawing = sheet(tmp_path, rectangle())
    path = tmp_path / "jobs" / "summer.toml"

    new(drawing, "-o", path)

    assert read(path)["drawings"] == ["../apron.svg"]
    assert run("edges", path).exit_code == 0


@pytest.mark.parametrize(
    "path",
    [
        *sorted(DEMO.glob("*.[sd][vx][gf]")),
        SVG_FIXTURES / "true-size.svg",
        DXF_FIXTURES / "mirrored-insert.dxf",
        DXF_FIXTURES / "periodic-spline.dxf",
    ],
    ids=lambda path: str(path.name),
)
def test_what_new_writes_is_read_by_edges_and_binds_nothing(
    tmp_path: Path, path: Path
) -> None:
    drawing = tmp_path / path.name
    drawing.write_bytes(path.read_bytes())
    job = drawing.with_suffix(".toml")

    new(drawing)

    of_job, of_drawing = run("edges", job, "--json"), run("edges", drawing, "--json")
    assert of_job == of_drawing
    assert of_job.exit_code == 0
    (error,) = refused("schedule", job)
    assert error.startswith(f"{job}: no edge is bound: ")


def test_new_with_a_run_from_the_example_makes_a_schedule(tmp_path: Path) -> None:
    drawing = sheet(tmp_path, rectangle("pocket"))
    new(drawing)
    path = tmp_path / "apron.toml"

    with_the_example_run(path)

    said = run("schedule", path, "--json")
    assert said.exit_code == 0, said
    (size,) = said.json["sizes"]
    (neck,) = size["runs"]
    # The bound edge of 200 mm loses the seam allowance of 10 mm at both ends, and
    # both ends are turned under by 10 mm.
    assert neck["edges"][0]["piece"] == "pocket"
    assert neck["length_mm"] == pytest.approx(180, rel=1e-12)
    assert neck["tape_mm"] == pytest.approx(200, rel=1e-12)


@pytest.mark.parametrize("name", ["orchard-apron.svg", "puddle-smock.dxf"])
def test_new_on_the_demo_makes_a_schedule_of_every_size(
    tmp_path: Path, name: str
) -> None:
    drawing = tmp_path / name
    drawing.write_bytes((DEMO / name).read_bytes())
    new(drawing)
    path = drawing.with_suffix(".toml")

    with_the_example_run(path)

    said = run("schedule", path, "--json")
    assert said.exit_code == 0, said
    assert len(said.json["sizes"]) == 4
    assert all(len(size["runs"]) == 1 for size in said.json["sizes"])


def test_every_piece_stands_once_with_its_edges_described(tmp_path: Path) -> None:
    drawing = tmp_path / "orchard-apron.svg"
    drawing.write_bytes((DEMO / drawing.name).read_bytes())

    new(drawing)

    path = drawing.with_suffix(".toml")
    assert [piece["name"] for piece in read(path)["pieces"]] == [
        "front",
        "back",
        "pocket",
        "strap",
    ]
    text = path.read_text(encoding="utf-8")
    assert text.count("#   7: ") == 2  # front and back have seven edges by drafting
    assert text.count("inside curve, radius") >= 4


@pytest.mark.parametrize(
    ("unit", "edge"),
    [("in", "7 7/8 in"), ("mm", "200 mm"), ("cm", "20.0 cm")],
)
def test_unit_is_that_of_the_reports_and_of_the_comments(
    tmp_path: Path, unit: str, edge: str
) -> None:
    new(sheet(tmp_path, rectangle()), "--unit", unit)

    path = tmp_path / "apron.toml"
    assert read(path)["unit"] == unit
    assert f"#   1: {edge}, straight, runs to the right" in path.read_text("utf-8")


@pytest.mark.parametrize("unit_mm", ["0.3527777777777778", "1e-5", "2000000", "25.4"])
def test_a_unit_given_by_hand_is_kept_in_the_job_file(
    tmp_path: Path, unit_mm: str
) -> None:
    side = 500 / float(unit_mm)
    outline = f'<rect width="{side!r}" height="{side!r}"/>'
    drawing = sheet(tmp_path, outline)

    new(drawing, "--unit-mm", unit_mm)

    (piece,) = run("edges", tmp_path / "apron.toml", "--json").json["pieces"]
    assert piece["perimeter_mm"] == pytest.approx(2000, rel=1e-12)


@pytest.mark.parametrize("content", [b"", b"# mine\n", None])
def test_new_never_writes_over_what_is_there(
    tmp_path: Path, content: bytes | None
) -> None:
    drawing = sheet(tmp_path, rectangle())
    taken = tmp_path / "apron.toml"
    if content is None:
        taken.mkdir()
    else:
        taken.write_bytes(content)
    before = contents(tmp_path)

    errors = refused("new", drawing)

    assert errors == [
        f"{taken}: is there already and is not written over; name another file"
    ]
    assert contents(tmp_path) == before


def test_new_never_writes_over_the_drawing(tmp_path: Path) -> None:
    drawing = sheet(tmp_path, rectangle())
    before = contents(tmp_path)

    errors = refused("new", drawing, "-o", drawing)

    assert len(errors) == 1
    assert contents(tmp_path) == before


@pytest.mark.parametrize("where", ["missing/a.toml", "apron.svg/a.toml", "x" * 300])
def test_a_place_that_cannot_be_written_is_one_line(tmp_path: Path, where: str) -> None:
    drawing = sheet(tmp_path, rectangle())
    before = contents(tmp_path)

    errors = refused("new", drawing, "-o", tmp_path / where)

    assert len(errors) == 1
    assert errors[0].startswith(f"{tmp_path / where}: cannot be written: ")
    assert contents(tmp_path) == before


def test_the_longest_name_that_a_folder_takes_can_be_written(tmp_path: Path) -> None:
    path = tmp_path / f"{'x' * 250}.toml"

    new(sheet(tmp_path, rectangle()), "-o", path)

    assert path.is_file()


@pytest.mark.parametrize("name", [".", "/", ""])
def test_a_folder_is_no_drawing(name: str) -> None:
    (error,) = refused("new", name)

    assert "is a folder" in error


def test_a_drawing_that_cannot_be_read_leaves_no_job_file(tmp_path: Path) -> None:
    drawing = sheet(tmp_path, '<path id="front" d="M 0 0 H 90 V 50"/>')
    before = contents(tmp_path)

    (error,) = refused("new", drawing)

    assert "is open" in error
    assert contents(tmp_path) == before


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("the &quot;good&quot; front", 'the "good" front'),
        ("grand-mère's pocket", "grand-mère's pocket"),
        ("縫い代 前", "縫い代 前"),
        ("back\\slash # no comment", "back\\slash # no comment"),
        ("two&#10;lines", "two lines"),
        ("[[runs]]", "[[runs]]"),
        ("&quot;&quot;&quot;", '"""'),
        ("&#39;&#39;&#39;", "'''"),
        ("a&#9;tab", "a tab"),
        ("no&#xa0;break", "no break"),
        ("soft&#xad;hyphen", "soft hyphen"),
        ("fr&#x9b;31mont&#x202e;x", "fr 31mont x"),
        ("left 2", "left 2"),
        ("all", "all"),
    ],
)
def test_names_of_pieces_survive_into_the_schedule(
    tmp_path: Path, written: str, name: str
) -> None:
    drawing = sheet(tmp_path, rectangle(written))
    new(drawing)
    path = tmp_path / "apron.toml"

    with_the_example_run(path)

    assert [piece["name"] for piece in read(path)["pieces"]] == [name]
    said = run("schedule", path, "--json")
    assert said.exit_code == 0, said
    assert [piece["name"] for piece in said.json["sizes"][0]["pieces"]] == [name]


@pytest.mark.parametrize(
    "name",
    [
        'the "good" one.svg',
        "schürze 縫.svg",
        "two\nlines.svg",
        "a'b\\c#d.svg",
        "x.y.svg",
    ],
)
def test_names_of_files_survive_into_the_job_file(tmp_path: Path, name: str) -> None:
    drawing = sheet(tmp_path, rectangle(), name=name)

    said = new(drawing)

    assert_printable(said.err)
    path = drawing.with_suffix(".toml")
    assert read(path)["drawings"] == [name]
    assert run("edges", path).exit_code == 0


def test_names_of_a_dxf_are_printable_in_the_job_file(tmp_path: Path) -> None:
    drawing = dxf(tmp_path, polyline("cut\x1b[31mline\x07"))

    said = new(drawing)

    assert_printable(said.err)
    path = tmp_path / "apron.toml"
    assert_printable(path.read_text(encoding="utf-8"))
    with_the_example_run(path)
    assert run("schedule", path).exit_code == 0


def test_findings_are_said_after_the_file_was_written(tmp_path: Path) -> None:
    marks = rectangle() + '<circle cx="100" cy="50" r="2"/>'

    said = new(sheet(tmp_path, marks))

    *_, last = said.err.splitlines()
    assert last.startswith("note: ")


def test_sizes_share_one_entry_for_each_piece(tmp_path: Path) -> None:
    sizes = "".join(
        f'<g id="Size {size}">{rectangle("front", (10, y))}</g>'
        for size, y in (("S", 10), ("M", 300))
    )

    new(sheet(tmp_path, sizes))

    path = tmp_path / "apron.toml"
    assert [piece["name"] for piece in read(path)["pieces"]] == ["front"]
    assert "# edges in size S, anticlockwise:" in path.read_text(encoding="utf-8")


def test_an_edge_that_is_not_there_is_one_line_after_editing(tmp_path: Path) -> None:
    new(sheet(tmp_path, rectangle("pocket")))
    path = tmp_path / "apron.toml"

    with_the_example_run(path, '"pocket 5"')

    (error,) = refused("schedule", path)
    assert error.startswith(f'{path}: runs "neck": edges: "pocket 5": ')
    assert error.endswith("it has edges 1 to 4")


def test_the_test_square_is_kept_in_the_job_file_as_it_was_typed(
    tmp_path: Path,
) -> None:
    square = '<rect id="test-square" x="400" y="400" width="38.1" height="38.1"/>'

    new(sheet(tmp_path, rectangle() + square), "--test-square", "2  in")

    assert read(tmp_path / "apron.toml")["test_square"] == "2 in"
    (piece,) = run("edges", tmp_path / "apron.toml", "--json").json["pieces"]
    assert piece["perimeter_mm"] == pytest.approx(800, rel=1e-12)


def test_how_a_dxf_is_meant_is_kept_in_the_job_file(tmp_path: Path) -> None:
    drawing = tmp_path / "bib.dxf"
    drawing.write_bytes(file_of([bib()]))

    new(drawing, "--dialect", "plain")

    assert read(tmp_path / "bib.toml")["dialect"] == "plain"
    plain, interchange = (
        run("edges", file, "--json").json["pieces"][0]["size"]
        for file in (tmp_path / "bib.toml", drawing)
    )
    assert (plain, interchange) == (None, "M")
    again = run("edges", tmp_path / "bib.toml", "--dialect", "auto", "--json")
    assert again.json["pieces"][0]["size"] == "M"


@pytest.mark.parametrize("command", ["new", "edges"])
def test_a_dialect_that_there_is_not_is_refused_with_the_choices(
    tmp_path: Path, command: str
) -> None:
    error = usage_error(command, sheet(tmp_path, rectangle()), "--dialect", "astm")

    assert "'auto', 'plain', 'interchange'" in error


def test_what_a_text_says_of_the_quantity_is_a_note(tmp_path: Path) -> None:
    text = '<text x="50" y="50">Cut 1 pair</text>'

    new(sheet(tmp_path, rectangle("bib") + text))

    written = (tmp_path / "apron.toml").read_text("utf-8")
    assert '# the drawing says: "Cut 1 pair"' in written
    assert read(tmp_path / "apron.toml")["pieces"][0]["cut"] == 1
