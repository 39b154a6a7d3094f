"""Laying out plain text at 80 columns."""

import textwrap
import unicodedata
from collections.abc import Sequence
from typing import Final

from edgefinder.errors import one_line
from edgefinder.findings import Finding

WIDTH: Final = 80
"""Columns of text: what a terminal shows unless somebody widens it."""

GAP: Final = 2


def heading(text: str, underline: str = "-") -> list[str]:
    """Return a heading with a line under it."""
    return [text, underline * min(len(text), WIDTH)]


def paragraph(text: str, indent: str = "", hanging: str | None = None) -> list[str]:
    """Wrap a text; following lines hang by ``hanging`` (default: ``indent``)."""
    return textwrap.wrap(
        one_line(text),
        WIDTH,
        initial_indent=indent,
        subsequent_indent=indent if hanging is None else hanging,
        break_on_hyphens=False,
    )


def columns(
    head: Sequence[str], rows: Sequence[Sequence[str]], *, left: int = 1
) -> list[str]:
    """Align a table.

    Parameters
    ----------
    head : sequence of str
        One heading per column.
    rows : sequence of sequence of str
    left : int
        How many columns are aligned to the left; the others to the right.

    Returns
    -------
    list of str
        Lines without trailing blanks. A first column that would make lines longer
        than 80 columns is cut short with a dot.
    """
    table = [[one_line(cell) for cell in row] for row in (head, *rows)]
    widths = [max(_width(row[i]) for row in table) for i in range(len(head))]
    spare = WIDTH - sum(widths) - GAP * (len(head) - 1)
    widths[0] = max(8, widths[0] + min(0, spare))
    lines = []
    for row in table:
        cells = [
            _fit(cell, width, to_left=i < left)
            for i, (cell, width) in enumerate(zip(row, widths, strict=True))
        ]
        lines.append((" " * GAP).join(cells).rstrip())
    return lines


def findings_lines(findings: Sequence[Finding]) -> list[str]:
    """Return findings one by one, for standard error."""
    return [
        one_line(f"{finding.severity}: {finding.where}: {finding.message}")
        for finding in findings
    ]


def _width(text: str) -> int:
    return sum(
        0
        if unicodedata.combining(c)
        else 2
        if unicodedata.east_asian_width(c) in "WF"
        else 1
        for c in text
    )


def _fit(text: str, width: int, *, to_left: bool) -> str:
    while _width(text) > width:
        text = text[:-2] + "."
    blanks = " " * (width - _width(text))
    return text + blanks if to_left else blanks + text
