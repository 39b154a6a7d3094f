"""The tables of a schedule as one XLSX workbook, lengths in millimetres."""

import io
import zipfile
from collections.abc import Sequence
from datetime import datetime
from typing import Final

from xlsxwriter import Workbook
from xlsxwriter.worksheet import Worksheet

from edgefinder.reports.csv_tables import Cell, release_tables
from edgefinder.schedule.release import Release

MAKER: Final = "edgefinder schedule"
"""Written into the properties of the workbook, by which it is known again."""
_PROPERTIES: Final = "docProps/core.xml"
_CREATED: Final = datetime(2000, 1, 1)  # noqa: DTZ001 - a workbook knows no time zone
"""The same date in every workbook: the same release gives the same bytes."""
_NAMES_WIDTH: Final = 2
"""Columns that stay in sight when a table is scrolled sideways: size, and a name."""


def workbook(release: Release) -> bytes:
    """Return the tables of a release as a workbook, a sheet for each.

    Parameters
    ----------
    release : Release

    Returns
    -------
    bytes
        An XLSX file (ISO/IEC 29500). Numbers are numbers; every text is written as a
        text, so that nothing in it is a formula or a link. The head of a table says
        units, and stays in sight.
    """
    stream = io.BytesIO()
    book = Workbook(stream, {"in_memory": True})
    book.set_properties(
        {"title": release.job.name, "comments": MAKER, "created": _CREATED}
    )
    head = book.add_format({"bold": True, "bottom": 1})
    for name, rows in release_tables(release).items():
        sheet = book.add_worksheet(name.removesuffix(".csv"))
        for column, cell in enumerate(rows[0]):
            sheet.write_string(0, column, str(cell), head)
        _write(sheet, rows[1:])
        sheet.freeze_panes(1, _NAMES_WIDTH)
        sheet.autofit()
    book.close()
    return stream.getvalue()


def _write(sheet: Worksheet, rows: Sequence[Sequence[Cell]]) -> None:
    for number, row in enumerate(rows, start=1):
        for column, cell in enumerate(row):
            if cell == "":  # nothing, not an empty text
                continue
            if isinstance(cell, str):
                sheet.write_string(number, column, cell)
            else:
                sheet.write_number(number, column, cell)


def is_own_workbook(data: bytes) -> bool:
    """Whether a file is a workbook that this module wrote."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            return MAKER.encode("ascii") in archive.read(_PROPERTIES)
    except (zipfile.BadZipFile, KeyError):
        return False
