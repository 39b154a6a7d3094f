import csv
import io
from dataclasses import replace
from pathlib import Path as FilePath

import numpy as np
import pytest
from tape_cases import DEMO_NAMES, demo_job, release_of

from edgefinder.classifier.price_words import parse_price
from edgefinder.classifier.width_words import parse_cloth_width
from edgefinder.curvature.verdict import Verdict
from edgefinder.geometry.measured import points_at_lengths
from edgefinder.reports.csv_tables import FORMULA_STARTS, csv_files
from edgefinder.schedule.release import Release, make_release
from edgefinder.yardage.as_cut import as_cut_plan

TABLES = [
    "edges.csv",
    "runs.csv",
    "tapes.csv",
    "fabric.csv",
    "widths.csv",
    "one_cuts.csv",
    "places.csv",
]
SQUARE = '<path id="patch" d="M 100 100 h 200 v 200 h -200 z"/>'


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline="")))


def named(folder: FilePath, name: str) -> dict[str, str]:
    """The tables of a job whose piece, tape and run bear one name."""
    toml = name.replace('"', '\\"')
    settings = f"""
    [[pieces]]
    name = "{toml}"
    match = ["id:patch"]
    [[tapes]]
    name = "{toml}"
    finished_width = "9 mm"
    [[runs]]
    name = "{toml}"
    tape = "{toml}"
    edges = ["{toml} 1"]
    """
    return csv_files(release_of(folder, SQUARE, settings))


@pytest.fixture(scope="module", params=DEMO_NAMES)
def release(request: pytest.FixtureRequest) -> Release:
    return make_release(demo_job(request.param))


def test_there_is_one_file_for_every_table(release: Release) -> None:
    assert list(csv_files(release)) == TABLES


def test_rows_end_in_carriage_return_and_line_feed(release: Release) -> None:
    for text in csv_files(release).values():  # RFC 4180, section 2
        assert text.endswith("\r\n")
        assert text.count("\n") == text.count("\r\n")


@pytest.fixture(scope="module")
def asked() -> Release:
    """The smock, with a price and other widths of cloth asked for."""
    job = demo_job("puddle-smock")
    price = parse_price("9.90 EUR per m")
    widths = (parse_cloth_width("44-45 in"), parse_cloth_width("2 cm"))
    fabric = replace(job.fabric, price=price, widths=widths)
    return make_release(replace(job, fabric=fabric))


def test_every_column_is_filled_somewhere(asked: Release) -> None:
    """A key that no record has would stay empty for good."""
    for name, text in csv_files(asked).items():
        for column in rows(text)[0]:
            is_filled = any(row[column] for row in rows(text))
            assert is_filled or column == "not_possible", (name, column)


def test_other_widths_and_one_cut_have_their_tables(asked: Release) -> None:
    tables = {name: rows(text) for name, text in csv_files(asked).items()}

    # Nothing can be cut from cloth 2 cm wide.
    assert {row["cloth"] for row in tables["widths.csv"]} == {"44-45 in"}
    assert len(tables["widths.csv"]) == 4 * 2 * 3  # sizes, tapes, ways on the bias
    for size, row in zip(asked.sizes, tables["one_cuts.csv"], strict=True):
        assert (row["size"], row["tapes"]) == (size.size, "narrow; wide")
        assert float(row["buy_mm"]) <= float(row["buy_alone_mm"])
        assert float(row["lower_bound_mm"]) <= float(row["along_mm"])
    for row in tables["fabric.csv"]:
        tenths = float(row["buy_mm"]) / 100
        assert int(row["cost_coins"]) == round(99 * tenths)
        assert float(row["ruler_along_mm"]) % 5 == pytest.approx(0, abs=1e-9)


def test_numbers_stay_numbers_and_lengths_are_in_millimetres(release: Release) -> None:
    for text in csv_files(release).values():
        for row in rows(text):
            for column, cell in row.items():
                if column.endswith(("_mm", "_deg", "_percent")) and cell:
                    float(cell)


def test_a_negative_number_is_no_formula(release: Release) -> None:
    turnings = [row["turning_deg"] for row in rows(csv_files(release)["edges.csv"])]

    assert any(turning.startswith("-") for turning in turnings)


def test_the_tables_hold_what_the_schedule_holds(release: Release) -> None:
    tables = {name: rows(text) for name, text in csv_files(release).items()}

    runs = [(size.size, row) for size in release.sizes for row in size.runs]
    for (size, row), cells in zip(runs, tables["runs.csv"], strict=True):
        assert (cells["size"], cells["name"]) == (size, row.run.name)
        assert float(cells["tape_mm"]) == row.tape_length.total
        parts = ("length", "feed", "mitres", "join", "tails", "ends", "ties")
        whole = sum(float(cells[f"{part}_mm"]) for part in parts)
        assert whole == pytest.approx(row.tape_length.total)
    tapes = [(size.size, tape) for size in release.sizes for tape in size.tapes]
    for (size, tape), cells in zip(tapes, tables["tapes.csv"], strict=True):
        assert (cells["size"], cells["name"]) == (size, tape.tape.name)
        assert float(cells["total_mm"]) == tape.total
        assert cells["cloth"] == tape.tape.cloth.name
        assert cells["cloth_from"] == str(tape.tape.cloth.origin)
    unit = release.job.unit
    cuttings = [
        (cut, next(c for c in tape.plan.cuttings if c.method is cut.method))
        for _, tape in tapes
        for cut in as_cut_plan(tape.plan, unit).cuttings
    ]
    for (cut, least), cells in zip(cuttings, tables["fabric.csv"], strict=True):
        assert cells["method"] == str(cut.method)
        sides = float(cells["across_mm"]), float(cells["along_mm"])
        assert sides == least.cut_size
        ruler = float(cells["ruler_across_mm"]), float(cells["ruler_along_mm"])
        assert ruler == cut.cut_size
        assert float(cells["spare_mm"]) == cut.spare
    places = [report.place for _, row in runs for report in row.judged.places]
    for place, cells in zip(places, tables["places.csv"], strict=True):
        assert cells["verdict"] == str(place.verdict)
        assert cells["mirrored"] == ("yes" if place.mirrored else "no")
        assert float(cells["radius_mm"]) == place.radius
        assert float(cells["from_mm"]) == place.begins.at
        assert float(cells["to_mm"]) == place.finishes.at
        assert cells["from_edge"].endswith(" mirrored") == place.begins.mirrored
        if cells["feed_least"]:  # some feed lies within the limits
            assert float(cells["feed_least"]) <= float(cells["feed_most"])
        else:
            assert place.verdict in {Verdict.TOO_TIGHT, Verdict.MITRE}
        x, y = float(cells["x_mm"]), float(cells["y_mm"])
        path = place.edge.finished.edge.path
        assert points_at_lengths(path, np.array([place.at]))[0] == x + 1j * y
    edges = [t.piece.edges for size in release.sizes for t in size.tagged.pieces]
    assert len(tables["edges.csv"]) == sum(map(len, edges))


def test_lists_are_parted_by_semicolons() -> None:
    tables = csv_files(make_release(demo_job("puddle-smock")))

    neck, *_ = rows(tables["runs.csv"])
    place, *_ = rows(tables["places.csv"])

    assert neck["edges"] == "back 4; front 5; back 4 mirrored"
    assert place["advice"] == (
        "stretch and shape the tape with steam first; narrower tape; another cloth"
    )


def test_a_radius_that_is_not_there_is_an_empty_cell() -> None:
    edges = rows(csv_files(make_release(demo_job("puddle-smock")))["edges.csv"])

    side_seam = next(row for row in edges if row["finish"] == "seam")

    assert side_seam["tightest_inside_mm"] == ""
    assert side_seam["bound_length_mm"] == ""
    assert side_seam["across_fold"] == "no"


@pytest.mark.parametrize("start", ["=", "+", "-", "@"])
def test_a_text_that_a_spreadsheet_would_run_gets_an_apostrophe(
    tmp_path: FilePath, start: str
) -> None:
    name = f"{start}cmd"

    tables = named(tmp_path, name)

    expected = f"'{name}"
    assert rows(tables["runs.csv"])[0]["name"] == expected
    assert rows(tables["runs.csv"])[0]["tape"] == expected
    assert rows(tables["runs.csv"])[0]["edges"] == f"{expected} 1"
    assert rows(tables["tapes.csv"])[0]["name"] == expected
    assert rows(tables["edges.csv"])[0]["piece"] == expected
    assert rows(tables["edges.csv"])[0]["runs"] == expected
    for text in tables.values():
        for row in rows(text):
            for cell in row.values():
                is_number = cell.lstrip("-").replace(".", "", 1)[:1].isdigit()
                assert is_number or not cell.startswith(FORMULA_STARTS)


@pytest.mark.parametrize("start", FORMULA_STARTS)
def test_a_size_that_begins_like_a_formula_gets_an_apostrophe_in_every_table(
    start: str, asked: Release
) -> None:
    only = replace(asked.sizes[0], size=f"{start}1")

    tables = csv_files(replace(asked, sizes=(only,)))

    assert len(FORMULA_STARTS) == 6
    for text in tables.values():
        assert {row["size"] for row in rows(text)} == {f"'{start}1"}


@pytest.mark.parametrize("name", ["hem, front", 'the "good" side', "neck; back"])
def test_a_name_with_commas_and_quotes_stays_one_cell(
    tmp_path: FilePath, name: str
) -> None:
    assert rows(named(tmp_path, name)["tapes.csv"])[0]["name"] == name


def test_the_same_input_gives_the_same_bytes(release: Release) -> None:
    again = make_release(release.job)

    assert csv_files(release) == csv_files(again)
