"""The workbook opened in LibreOffice: the same cells, and nothing in them that runs."""

import csv
import io
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from command_line import APRON, SMOCK
from sheet_cases import HOSTILE, hostile_release

from edgefinder.reports.csv_tables import csv_files
from edgefinder.reports.tables.workbook import workbook
from edgefinder.schedule.release import Release, release_from_file

if TYPE_CHECKING:
    from conformance.office import Cell, Office

SHOWN = {"_mm": 2, "_deg": 1, "_percent": 1}
"""Places behind the point, by the end of the head of a column."""


def opened(
    office: "Office", folder: Path, release: Release
) -> dict[str, list[list["Cell"]]]:
    path = folder / "tables.xlsx"
    path.write_bytes(workbook(release))
    return office.opened(path)


def written(release: Release) -> dict[str, list[list[str]]]:
    """The cells of the CSV files, row by row, without empty ones at the end."""
    tables = {}
    for name, text in csv_files(release).items():
        rows = [list(row) for row in csv.reader(io.StringIO(text))]
        for row in rows:
            while row and not row[-1]:
                row.pop()
        tables[name.removesuffix(".csv")] = rows
    return tables


@pytest.mark.parametrize("job", [APRON, SMOCK], ids=lambda path: path.stem)
def test_every_cell_holds_what_the_csv_table_says(
    office: "Office", tmp_path: Path, job: Path
) -> None:
    release = release_from_file(job)

    found = opened(office, tmp_path, release)

    wanted = written(release)
    assert list(found) == list(wanted)
    figures = 0
    for name, rows in wanted.items():
        assert [len(row) for row in found[name]] == [len(row) for row in rows]
        for cells, said in zip(found[name], rows, strict=True):
            for cell, text in zip(cells, said, strict=True):
                assert not cell.is_live
                if cell.kind == "float":
                    # It writes 15 figures, as many as a double always keeps.
                    assert float(cell.value) == pytest.approx(float(text), rel=1e-14)
                    figures += 1
                else:
                    assert cell.value == text.removeprefix("'")
    assert figures > 300


def test_figures_are_shown_to_a_few_places(office: "Office", tmp_path: Path) -> None:
    found = opened(office, tmp_path, release_from_file(APRON))

    seen = set()
    for head, *rows in found.values():
        for column, cell in enumerate(head):
            ends = [end for end in SHOWN if cell.value.endswith(end)]
            for row in rows:
                if not ends or column >= len(row) or not row[column].kind:
                    continue
                assert row[column].kind == "float"
                value, shown = float(row[column].value), row[column].shown
                assert len(shown.partition(".")[2]) == SHOWN[ends[0]]
                assert float(shown) == pytest.approx(
                    value, abs=0.5000001 * 10.0 ** -SHOWN[ends[0]]
                )
                seen.add(ends[0])
    assert seen == set(SHOWN)


def test_hostile_names_are_texts_that_neither_run_nor_lead_anywhere(
    office: "Office", tmp_path: Path
) -> None:
    found = opened(office, tmp_path, hostile_release(tmp_path))

    cells = [
        cell for sheet in found.values() for row in sheet for cell in row if cell.kind
    ]
    assert {cell.kind for cell in cells} == {"float", "string"}
    assert not any(cell.is_live for cell in cells)
    texts = {cell.value for cell in cells if cell.kind == "string"}
    assert {" ".join(name.split()) for name in HOSTILE} <= texts
