"""The tables of a schedule as one XLSX workbook, lengths in millimetres."""

import io
import math
import zipfile
from collections.abc import Sequence
from datetime import datetime
from textwrap import wrap
from types import MappingProxyType
from typing import Final
from unicodedata import east_asian_width

from xlsxwriter import Workbook
from xlsxwriter.worksheet import Worksheet

from edgefinder.reports.csv_tables import Cell, release_tables
from edgefinder.schedule.release import Release
from edgefinder.units import Unit

MAKER: Final = "edgefinder schedule"
"""Written into the properties of the workbook, by which it is known again."""
_PROPERTIES: Final = "docProps/core.xml"
_CREATED: Final = datetime(2000, 1, 1)  # noqa: DTZ001 - a workbook knows no time zone
"""The same date in every workbook: the same release gives the same bytes."""
_SHOWN: Final = MappingProxyType({"_mm": "0.00", "_deg": "0.0", "_percent": "0.0"})
"""Places of the figures that a cell shows, by the end of its head: what a ruler, a
protractor and a cloth can tell apart. The cell holds all of the figure."""
_FEED: Final = "0.000"
_COUNT: Final = "0"
_WIDEST: Final = 60
"""Digits that a column is wide at most; longer texts go on below."""
_AROUND: Final = 2
"""Digits left free in a column."""
_LINE: Final = 15.0
"""Points that a line of a cell is high: what spreadsheets give a row."""
_PAGE: Final = 180
"""Digits side by side on one page: printed smaller they are hard to read."""
_A4: Final = 9
_LETTER: Final = 1
"""Papers as ISO/IEC 29500-1, 18.3.1.63, counts them."""
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
        text, so that nothing in it is a formula or a link. Cells hold figures in full
        and show them to a few places. The head of a table says units, stays in sight,
        and is printed on every page.
    """
    stream = io.BytesIO()
    book = Workbook(stream, {"in_memory": True})
    book.set_properties(
        {"title": release.job.name, "comments": MAKER, "created": _CREATED}
    )
    paper = _LETTER if release.job.unit is Unit.INCH else _A4
    for name, rows in release_tables(release).items():
        sheet = book.add_worksheet(name.removesuffix(".csv"))
        width = sum(
            _write_column(book, sheet, number, str(head), cells)
            for number, (head, *cells) in enumerate(zip(*rows, strict=True))
        )
        _set_heights(sheet, rows)
        sheet.freeze_panes(1, _NAMES_WIDTH)
        sheet.set_landscape()
        sheet.set_paper(paper)
        sheet.fit_to_pages(math.ceil(width / _PAGE), 0)
        sheet.repeat_rows(0)
        sheet.repeat_columns(0, _NAMES_WIDTH - 1)
        sheet.set_footer("&L&A&RPage &P of &N")
    book.close()
    return stream.getvalue()


def _write_column(
    book: Workbook, sheet: Worksheet, column: int, head: str, cells: Sequence[Cell]
) -> int:
    """Write a column, its figures shown to a few places, and return its width."""
    has_figures = any(not isinstance(cell, str) for cell in cells)
    to_left = {"align": "left", "indent": 1}
    side = {"align": "right"} if has_figures else to_left
    shown = _shown(head)
    format_of_head = book.add_format({"bold": True, "bottom": 1, **side})
    figures = book.add_format({"num_format": shown, "valign": "top"})
    texts = book.add_format({"text_wrap": True, "valign": "top", **to_left})
    sheet.write_string(0, column, head, format_of_head)
    widths = [_width(head)]
    for row, cell in enumerate(cells, start=1):
        if cell == "":  # nothing, not an empty text
            continue
        if isinstance(cell, str):
            sheet.write_string(row, column, cell, texts)
            widths.append(_width(cell))
        else:
            sheet.write_number(row, column, cell, figures)
            places = len(shown.partition(".")[2])
            widths.append(len(f"{cell:.{places}f}"))
    width = min(max(widths), _WIDEST) + _AROUND
    sheet.set_column(column, column, width)
    return width


def _set_heights(sheet: Worksheet, rows: Sequence[Sequence[Cell]]) -> None:
    """Make rows as high as their longest text: not every program does so by itself."""
    for number, row in enumerate(rows):
        texts = [cell for cell in row if isinstance(cell, str)]
        lines = max((len(wrap(text, _WIDEST - _AROUND)) for text in texts), default=1)
        if lines > 1:
            sheet.set_row(number, lines * _LINE)


def _shown(head: str) -> str:
    """Return how the figures of a column are shown, by the unit in its head."""
    ends = (shown for end, shown in _SHOWN.items() if head.endswith(end))
    return next(ends, _FEED if head.startswith("feed") else _COUNT)


def _width(text: str) -> int:
    """Return the width of a text in digits; letters of East Asia take two."""
    return sum(2 if east_asian_width(letter) in "WF" else 1 for letter in text)


def is_own_workbook(data: bytes) -> bool:
    """Whether a file is a workbook that this module wrote."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            return MAKER.encode("ascii") in archive.read(_PROPERTIES)
    except (zipfile.BadZipFile, KeyError):
        return False
