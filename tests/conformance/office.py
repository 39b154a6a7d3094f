"""LibreOffice Calc without a window: a workbook opened by it, and what its cells hold.

It is asked to save the workbook as flat OpenDocument (ISO/IEC 26300-1:2015), which
says of every cell whether it is a figure, a text or a formula, and how it is shown.
"""

import subprocess
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

SECONDS: Final = 240
"""The first start makes a profile, which takes a while on a busy machine."""
_NAMES: Final = {
    "office": "urn:oasis:names:tc:opendocument:xmlns:office:1.0",
    "table": "urn:oasis:names:tc:opendocument:xmlns:table:1.0",
    "text": "urn:oasis:names:tc:opendocument:xmlns:text:1.0",
}


@dataclass(frozen=True, slots=True)
class Cell:
    """A cell.

    Parameters
    ----------
    kind : str
        ``float``, ``string`` or what else the program takes it for; empty: nothing.
    value : str
        A figure in full, or the text.
    shown : str
    is_live : bool
        Whether it is a formula or has a link in it.
    """

    kind: str
    value: str
    shown: str
    is_live: bool


class Office:
    """One LibreOffice for all workbooks, with a profile of its own."""

    def __init__(self, program: str, folder: Path) -> None:
        self._program = program
        self._folder = folder

    def opened(self, workbook: Path) -> dict[str, list[list[Cell]]]:
        """Open a workbook and return the cells of its sheets, row by row."""
        subprocess.run(  # noqa: S603 - no shell, and names of this suite only
            [
                self._program,
                f"-env:UserInstallation={(self._folder / 'profile').as_uri()}",
                "--headless",
                "--convert-to",
                "fods",
                "--outdir",
                str(self._folder),
                str(workbook),
            ],
            check=True,
            capture_output=True,
            timeout=SECONDS,
        )
        written = self._folder / f"{workbook.stem}.fods"
        root = ET.fromstring(written.read_text("utf-8"))  # noqa: S314 - its own file
        return {
            str(sheet.get(_name("table", "name"))): _rows(sheet)
            for sheet in root.iterfind(".//table:table", _NAMES)
        }


def _rows(sheet: ET.Element) -> list[list[Cell]]:
    """The cells of a sheet without the empty ones around them."""
    rows = [
        list(_cells(row))
        for row in sheet.iterfind(".//table:table-row", _NAMES)
        for _ in range(min(_times(row, "rows"), 2))  # many: the empty end of the sheet
    ]
    while rows and not rows[-1]:
        rows.pop()
    return rows


def _cells(row: ET.Element) -> Iterator[Cell]:
    waiting: list[Cell] = []
    for one in row.iterfind("table:table-cell", _NAMES):
        cell = _cell(one)
        times = _times(one, "columns")
        if not cell.kind:  # empty: only if something follows
            waiting += [cell] * min(times, 1000)
            continue
        yield from waiting
        waiting.clear()
        for _ in range(times):
            yield cell


def _cell(one: ET.Element) -> Cell:
    shown = "\n".join(_text(line) for line in one.iterfind("text:p", _NAMES))
    kind = one.get(_name("office", "value-type"), "")
    link = one.find(".//text:a", _NAMES)
    return Cell(
        kind,
        one.get(_name("office", "value"), shown),
        shown,
        is_live=one.get(_name("table", "formula")) is not None or link is not None,
    )


def _text(line: ET.Element) -> str:
    """The text of a line, with the blanks that are written as elements."""
    text = line.text or ""
    for inside in line:
        if inside.tag == _name("text", "s"):
            text += " " * int(inside.get(_name("text", "c"), "1"))
        else:
            text += _text(inside)
        text += inside.tail or ""
    return text


def _times(one: ET.Element, what: str) -> int:
    return int(one.get(_name("table", f"number-{what}-repeated"), "1"))


def _name(space: str, name: str) -> str:
    return f"{{{_NAMES[space]}}}{name}"
