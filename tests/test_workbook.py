"""The workbook, read again by another library: openpyxl."""

import csv
import io
from pathlib import Path

import pytest
from command_line import APRON, SMOCK, refused, run, usage_error
from openpyxl import load_workbook
from sheet_cases import HOSTILE, hostile_release

from edgefinder.reports.csv_tables import csv_files
from edgefinder.reports.tables.workbook import is_own_workbook, workbook
from edgefinder.schedule.release import release_from_file


@pytest.mark.parametrize("job", [APRON, SMOCK], ids=lambda path: path.stem)
def test_every_sheet_holds_what_the_csv_file_of_its_name_holds(job: Path) -> None:
    release = release_from_file(job)
    tables = csv_files(release)

    book = load_workbook(io.BytesIO(workbook(release)))

    assert book.sheetnames == [name.removesuffix(".csv") for name in tables]
    for name, text in tables.items():
        rows = list(csv.reader(io.StringIO(text)))
        cells = list(book[name.removesuffix(".csv")].iter_rows(values_only=True))
        assert list(cells[0]) == rows[0]
        assert len(cells) == len(rows)
        for row, written in zip(cells[1:], rows[1:], strict=True):
            for cell, said in zip(row, written, strict=True):
                if isinstance(cell, int | float):
                    assert cell == pytest.approx(float(said), rel=1e-12)
                else:
                    assert (cell or "") == said.removeprefix("'")


def test_figures_are_numbers_and_the_head_stays_in_sight() -> None:
    book = load_workbook(io.BytesIO(workbook(release_from_file(APRON))))

    for sheet in book:
        assert sheet.freeze_panes == "C2"
        assert all(cell.font.bold for cell in sheet[1])
        for column in sheet.iter_cols(min_row=1):
            head = str(column[0].value)
            if head.endswith("_mm"):
                kinds = {
                    cell.data_type for cell in column[1:] if cell.value is not None
                }
                assert kinds <= {"n"}, head


def test_figures_are_kept_in_full_and_shown_to_a_few_places() -> None:
    release = release_from_file(APRON)

    sheet = load_workbook(io.BytesIO(workbook(release)))["edges"]

    column = next(c for c in sheet.iter_cols() if c[0].value == "length_mm")
    lengths = [
        edge.length
        for size in release.sizes
        for tagged in size.tagged.pieces
        for edge in tagged.piece.edges
    ]
    assert [cell.value for cell in column[1:]] == pytest.approx(lengths, rel=1e-12)
    assert {cell.number_format for cell in column[1:]} == {"0.00"}


def test_columns_are_wide_enough_and_rows_high_enough_for_their_texts() -> None:
    book = load_workbook(io.BytesIO(workbook(release_from_file(SMOCK))))

    longest = 0
    for sheet in book:
        widths = {
            number: group.width
            for group in sheet.column_dimensions.values()
            for number in range(group.min, group.max + 1)
        }
        for row in sheet.iter_rows():
            for cell in row:
                if not isinstance(cell.value, str):
                    continue
                width = widths[cell.column]
                longest = max(longest, len(cell.value))
                lines = (sheet.row_dimensions[cell.row].height or 15.0) / 15.0
                assert len(cell.value) <= lines * width
    assert longest > 62  # some text does go on below


def test_a_table_is_printed_with_its_head_on_every_page() -> None:
    for job, paper in ((APRON, "1"), (SMOCK, "9")):  # letter, A4
        for sheet in load_workbook(io.BytesIO(workbook(release_from_file(job)))):
            assert sheet.print_title_rows == "$1:$1"
            assert sheet.print_title_cols == "$A:$B"
            assert str(sheet.page_setup.paperSize) == paper
            assert sheet.page_setup.fitToHeight == 0


def test_no_name_is_a_formula_or_a_link(tmp_path: Path) -> None:
    release = hostile_release(tmp_path)

    book = load_workbook(io.BytesIO(workbook(release)))

    found = set()
    for sheet in book:
        for row in sheet.iter_rows():
            for cell in row:
                assert cell.data_type in {"s", "n"}
                assert cell.hyperlink is None
                found.add(cell.value)
    assert HOSTILE[0] in found
    assert HOSTILE[2] in found


def test_a_text_that_begins_like_a_formula_stays_a_text(tmp_path: Path) -> None:
    release = hostile_release(tmp_path)

    book = load_workbook(io.BytesIO(workbook(release)))

    cells = [c for sheet in book for row in sheet.iter_rows() for c in row]
    named = [c for c in cells if str(c.value).startswith(("=", "+", "@"))]
    assert HOSTILE[3] in {c.value for c in named}
    assert {c.data_type for c in named} == {"s"}


def test_the_same_release_gives_the_same_bytes_and_is_known_again() -> None:
    first = workbook(release_from_file(APRON))

    assert first == workbook(release_from_file(APRON))
    assert is_own_workbook(first)
    for other in (b"", b"PK", b"size,piece\r\n"):
        assert not is_own_workbook(other)


def test_it_is_written_as_typed_and_over_nothing_else(tmp_path: Path) -> None:
    out = tmp_path / "apron.xlsx"

    said = run("schedule", APRON, "--xlsx", out)

    assert (said.exit_code, said.out, said.err) == (0, "", f"wrote {out}\n")
    assert run("schedule", APRON, "--size", "S", "--xlsx", out).exit_code == 0
    out.write_bytes(b"PK other")
    assert "pass --force" in refused("schedule", APRON, "--xlsx", out)[0]
    assert "--xlsx" in usage_error("schedule", APRON, "--xlsx", out, "--json")
