"""``edgefinder schedule`` as it is typed, and the tables that it writes."""

import csv
import io
import resource
import signal
from pathlib import Path
from typing import Any

import pytest
from command_line import (
    APRON,
    SMOCK,
    TAPE,
    TOP_KEYS,
    assert_fits,
    assert_printable,
    contents,
    dxf,
    job,
    polyline,
    rectangle,
    refused,
    run,
    sheet,
    usage_error,
)

TABLES = (
    "edges.csv",
    "fabric.csv",
    "one_cuts.csv",
    "places.csv",
    "runs.csv",
    "tapes.csv",
    "widths.csv",
)
SIZE_KEYS = ("size", "pieces", "runs", "tapes", "fabric", "one_cuts", "places")
RUN_KEYS = (
    "name",
    "tape",
    "closed",
    "times",
    "edges",
    "length_mm",
    "tape_parts_mm",
    "tape_mm",
    "tape_to_cut_mm",
    "corners",
    "widest_flat_mm",
)
BINDS_ONE = (
    TAPE
    + """
[[runs]]
name = "top"
tape = "main"
edges = ["pocket 1"]
"""
)


def pocket_job(folder: Path, text: str = BINDS_ONE) -> Path:
    """Write a pocket of 200 by 100 mm whose edge 1 is bound."""
    sheet(folder, rectangle("pocket"))
    return job(folder, text)


def table(path: Path) -> list[dict[str, str]]:
    """Read a table as a spreadsheet does."""
    with path.open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def test_the_text_begins_with_the_table_for_the_back_cover() -> None:
    said = run("schedule", APRON)

    assert (said.exit_code, said.err) == (0, "")
    assert said.out.startswith("Orchard apron\n=============\n")
    cover = said.out.split("\nAll sizes\n")[1].split("\n\n")[0].splitlines()
    assert [row.split()[0] for row in cover[2:6]] == ["S", "M", "L", "XL"]


@pytest.mark.parametrize("path", [APRON, SMOCK], ids=lambda path: str(path.stem))
def test_the_demo_fits_the_page(path: Path) -> None:
    said = run("schedule", path)

    assert said.exit_code == 0
    assert_fits(said.out)


def test_writing_twice_gives_equal_bytes() -> None:
    assert run("schedule", SMOCK, "--json") == run("schedule", SMOCK, "--json")
    assert run("schedule", SMOCK) == run("schedule", SMOCK)


def test_json_has_the_agreed_keys_and_a_straight_edge_in_closed_form(
    tmp_path: Path,
) -> None:
    said = run("schedule", pocket_job(tmp_path), "--json")

    assert tuple(said.json) == (
        *TOP_KEYS,
        "pattern",
        "sizes",
        "cautions",
        "largest",
    )
    assert said.json["schema"] == {"name": "edgefinder.schedule", "version": 1}
    (size,) = said.json["sizes"]
    assert tuple(size) == SIZE_KEYS
    (top,) = size["runs"]
    assert tuple(top) == RUN_KEYS
    # 200 mm of edge, both ends turned under by 10 mm
    assert top["length_mm"] == pytest.approx(200, rel=1e-12)
    assert top["tape_mm"] == pytest.approx(220, rel=1e-12)


def test_every_total_of_the_json_is_the_sum_of_its_parts() -> None:
    result = run("schedule", SMOCK, "--json").json

    for size in result["sizes"]:
        for one in size["runs"]:
            parts = sum(one["tape_parts_mm"].values())
            assert one["tape_mm"] == pytest.approx(parts, rel=1e-12)
            assert one["tape_to_cut_mm"] == pytest.approx(
                one["tape_mm"] * one["times"], rel=1e-12
            )
        for tape in size["tapes"]:
            runs = [r for r in size["runs"] if r["tape"] == tape["name"]]
            total = sum(one["tape_to_cut_mm"] for one in runs)
            assert tape["total_mm"] == pytest.approx(total, rel=1e-12)


def test_text_and_json_name_the_same_tape() -> None:
    text = run("schedule", APRON, "--size", "M").out
    result = run("schedule", APRON, "--size", "M", "--json").json

    (tape,) = result["sizes"][0]["tapes"]
    eighths = -(-tape["total_mm"] * 8 // 25.4)  # rounded up
    whole, rest = divmod(int(eighths), 8)
    printed = {0: "", 2: " 1/4", 4: " 1/2", 6: " 3/4"}.get(rest, f" {rest}/8")
    assert f"M     main   {whole}{printed} in" in text


def test_findings_stand_on_standard_error_of_the_text(tmp_path: Path) -> None:
    path = pocket_job(tmp_path, f'{BINDS_ONE}[[pieces]]\nname = "pocket"\ncut = 2\n')

    text, result = run("schedule", path), run("schedule", path, "--json")

    assert result.err == ""
    (finding,) = result.json["findings"]
    assert finding["code"] == "bound-count"
    assert text.err == (
        f"{finding['severity']}: {finding['where']}: {finding['message']}\n"
    )


def test_size_keeps_one_size() -> None:
    whole, one = run("schedule", APRON).out, run("schedule", APRON, "--size", "L").out

    assert [size for size in "SML" if f"\nSize {size}\n" in whole] == ["S", "M", "L"]
    assert [size for size in "SML" if f"\nSize {size}\n" in one] == ["L"]


def test_a_size_that_is_not_there_gets_a_suggestion(tmp_path: Path) -> None:
    before = contents(tmp_path)

    errors = refused("schedule", APRON, "--size", "XS", "--csv", tmp_path / "tables")

    assert errors == ['--size: there is no size "XS"; did you mean "S"?']
    assert contents(tmp_path) == before


def test_json_and_csv_exclude_each_other(tmp_path: Path) -> None:
    error = usage_error("schedule", APRON, "--json", "--csv", tmp_path / "tables")

    assert error == (
        "Error: choose one of --json, --csv, --html, --pdf, --xlsx and --markdown"
    )
    assert not (tmp_path / "tables").exists()


def test_csv_writes_every_table_and_says_so(tmp_path: Path) -> None:
    folder = tmp_path / "new" / "tables"

    said = run("schedule", APRON, "--csv", folder)

    assert (said.exit_code, said.out) == (0, "")
    assert sorted(said.err.splitlines()) == [f"wrote {folder / t}" for t in TABLES]
    assert tuple(contents(folder)) == TABLES


def test_csv_holds_the_figures_of_the_json(tmp_path: Path) -> None:
    result = run("schedule", SMOCK, "--json").json

    run("schedule", SMOCK, "--csv", tmp_path)

    wanted = [
        (size["size"], one["name"], one["tape_mm"], one["tape_parts_mm"]["ties"])
        for size in result["sizes"]
        for one in size["runs"]
    ]
    rows = table(tmp_path / "runs.csv")
    assert [
        (row["size"], row["name"], float(row["tape_mm"]), float(row["ties_mm"]))
        for row in rows
    ] == wanted
    edges = [e for s in result["sizes"] for p in s["pieces"] for e in p["edges"]]
    assert [row["number"] for row in table(tmp_path / "edges.csv")] == [
        str(edge["number"]) for edge in edges
    ]


def test_csv_keeps_findings_on_standard_error(tmp_path: Path) -> None:
    path = pocket_job(tmp_path, f'{BINDS_ONE}[[pieces]]\nname = "pocket"\ncut = 2\n')

    said = run("-q", "schedule", path, "--csv", tmp_path / "tables")

    (line,) = said.err.splitlines()
    assert line.startswith("warning: ")


def test_csv_of_one_size_has_only_that_size(tmp_path: Path) -> None:
    run("schedule", APRON, "--size", "M", "--csv", tmp_path)

    assert {row["size"] for row in table(tmp_path / "runs.csv")} == {"M"}


def test_tables_of_an_earlier_run_are_replaced(tmp_path: Path) -> None:
    run("schedule", APRON, "--csv", tmp_path)
    run("schedule", SMOCK, "--csv", tmp_path)

    assert {row["size"] for row in table(tmp_path / "runs.csv")} == set("2468")
    assert tuple(contents(tmp_path)) == TABLES


def test_a_file_of_another_make_is_kept_and_nothing_is_written(tmp_path: Path) -> None:
    (tmp_path / "runs.csv").write_text("day,distance\nMonday,5\n", encoding="utf-8")
    (tmp_path / "fabric.csv").write_bytes(b"")
    before = contents(tmp_path)

    errors = refused("schedule", APRON, "--csv", tmp_path)

    assert sorted(error.split(": ")[0] for error in errors) == [
        str(tmp_path / "fabric.csv"),
        str(tmp_path / "runs.csv"),
    ]
    assert all("--force" in error for error in errors)
    assert contents(tmp_path) == before


def test_force_writes_over_a_file_of_another_make(tmp_path: Path) -> None:
    (tmp_path / "runs.csv").write_text("day,distance\n", encoding="utf-8")

    said = run("schedule", APRON, "--csv", tmp_path, "--force")

    assert said.exit_code == 0
    assert table(tmp_path / "runs.csv")[0]["size"] == "S"


def test_a_folder_in_the_way_of_a_table_stops_all_of_them(tmp_path: Path) -> None:
    (tmp_path / "runs.csv").mkdir()
    before = contents(tmp_path)

    errors = refused("schedule", APRON, "--csv", tmp_path, "--force")

    taken = tmp_path / "runs.csv"
    assert errors == [f"{taken}: is there already and is not a file; move it"]
    assert contents(tmp_path) == before


@pytest.mark.parametrize("where", ["taken", "taken/tables", "x" * 300])
def test_a_folder_that_cannot_be_made_is_one_line(tmp_path: Path, where: str) -> None:
    (tmp_path / "taken").write_text("a file", encoding="utf-8")
    before = contents(tmp_path)

    errors = refused("schedule", APRON, "--csv", tmp_path / where)

    assert len(errors) == 1
    told = {"taken": "is a file; name a folder"}.get(where, "cannot be made: ")
    assert errors[0].startswith(f"{tmp_path / where}: {told}")
    assert contents(tmp_path) == before


def test_a_disk_without_room_leaves_the_old_tables(tmp_path: Path) -> None:
    run("schedule", SMOCK, "--csv", tmp_path)
    before = contents(tmp_path)
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    handler = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)

    # Small tables could be written; the largest one stops them all.
    resource.setrlimit(resource.RLIMIT_FSIZE, (4096, hard))
    try:
        errors = refused("schedule", APRON, "--csv", tmp_path)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
        signal.signal(signal.SIGXFSZ, handler)

    (error,) = errors
    assert "cannot be written: " in error
    assert contents(tmp_path) == before


def test_texts_that_a_spreadsheet_would_run_are_disarmed(tmp_path: Path) -> None:
    name = '=HYPERLINK("http://example.org")'
    sheet(tmp_path, rectangle(name))
    text = BINDS_ONE.replace("top", "@top").replace('"pocket 1"', f"'{name} 1'")

    said = run("schedule", job(tmp_path, text), "--csv", tmp_path / "tables")

    assert said.exit_code == 0, said
    edges = table(tmp_path / "tables/edges.csv")
    assert {row["piece"] for row in edges} == {f"'{name}"}
    (top,) = table(tmp_path / "tables/runs.csv")
    assert (top["name"], top["edges"]) == ("'@top", f"'{name} 1")


def test_names_with_commas_quotes_and_line_ends_stay_in_one_cell(
    tmp_path: Path,
) -> None:
    sheet(tmp_path, rectangle('top, "left"; 縫'))
    text = BINDS_ONE.replace('"pocket 1"', "'top, \"left\"; 縫 1'")

    said = run("schedule", job(tmp_path, text), "--csv", tmp_path / "tables")

    assert said.exit_code == 0, said
    rows = table(tmp_path / "tables/edges.csv")
    assert [row["piece"] for row in rows] == ['top, "left"; 縫'] * 4


def test_names_of_a_drawing_never_reach_the_terminal_raw(tmp_path: Path) -> None:
    drawing = dxf(tmp_path, polyline("cut\x1b[31m"))
    text = BINDS_ONE.replace("pocket 1", "cut [31m 1")
    path = job(tmp_path, text)
    path.write_text(
        path.read_text(encoding="utf-8").replace("apron.svg", drawing.name),
        encoding="utf-8",
    )

    said = run("schedule", path)

    assert said.exit_code == 0, said
    assert_printable(said.out)
    assert_printable(said.err)
    assert "cut [31m 1" in said.out


def test_names_of_a_job_file_never_reach_the_terminal_raw(tmp_path: Path) -> None:
    name = r'name = "top\u001b[31m\nerror: forged"'
    path = pocket_job(tmp_path, BINDS_ONE.replace('name = "top"', name))

    outs = [run(command, path) for command in ("schedule", "curves")]

    for said in outs:
        assert said.exit_code == 0
        assert_printable(said.out)
        assert not [s for s in said.out.splitlines() if s.startswith("error:")]


def test_tables_of_a_run_without_trouble_have_only_their_heading(
    tmp_path: Path,
) -> None:
    run("schedule", pocket_job(tmp_path), "--csv", tmp_path / "tables")

    text = (tmp_path / "tables" / "places.csv").read_bytes().decode("utf-8")
    rows: list[Any] = list(csv.reader(io.StringIO(text)))
    assert len(rows) == 1
    assert text.endswith("\r\n")
