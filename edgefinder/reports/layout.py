"""Laying out plain text at 80 columns."""

import re
import unicodedata
from collections.abc import Iterator, Sequence
from typing import Final

from edgefinder.errors import one_line
from edgefinder.findings import Finding, grouped

WIDTH: Final = 80
"""Columns of text: what a terminal shows unless somebody widens it."""

GAP: Final = 2
"""Blanks between two columns of a table."""

NARROWEST: Final = 8
"""Columns that a name keeps when it is cut short; less, and names look alike."""

CUT: Final = ".."
"""Stands for what is left out of a name."""

WORDS: Final = re.compile(
    r"(?<!\S)(?:\d+ )?\d[\d./]* (?:in|mm|cm|yd|%)(?!\w)\S*|\S+", re.ASCII
)
"""A figure stays on one line with its fraction and its unit: ``2 3/8 in``."""


def heading(text: str, underline: str = "-") -> list[str]:
    """Return a heading with a line under it."""
    lines = paragraph(text)
    return [*lines, underline * max(map(_width, lines), default=0)]


def paragraph(text: str, indent: str = "", hanging: str | None = None) -> list[str]:
    """Wrap a text; following lines hang by ``hanging`` (default: ``indent``)."""
    after = indent if hanging is None else hanging
    lines: list[str] = []
    line, begun = indent, False
    for word in WORDS.findall(one_line(text)):
        for part in _parts(word, WIDTH - max(_width(indent), _width(after))):
            blank = " " if begun else ""
            if begun and _width(line + blank + part) > WIDTH:
                lines.append(line)
                line, blank = after, ""
            line, begun = line + blank + part, True
    return [*lines, line] if begun else []


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
        How many columns are names, aligned to the left; the others are figures,
        aligned to the right.

    Returns
    -------
    list of str
        Lines without trailing blanks. Names that would make lines longer than 80
        columns are cut short in the middle, the widest first. Figures are never cut:
        where they alone take more, every row becomes a paragraph.
    """
    table = [[one_line(cell) for cell in row] for row in (head, *rows)]
    widths = [max(_width(row[i]) for row in table) for i in range(len(head))]
    most = WIDTH - GAP * (len(head) - 1)
    while sum(widths) > most:
        widest = max(range(left), key=lambda i: widths[i])
        if widths[widest] <= NARROWEST:
            return _paragraphs(table)
        widths[widest] -= 1
    lines = []
    for row in table:
        cells = [
            _fit(cell, width, to_left=i < left)
            for i, (cell, width) in enumerate(zip(row, widths, strict=True))
        ]
        lines.append((" " * GAP).join(cells).rstrip())
    return lines


def findings_lines(findings: Sequence[Finding]) -> list[str]:
    """Return findings for standard error; those that say the same are put together."""
    return [
        one_line(f"{finding.severity}: {finding.where}: {finding.message}")
        for finding in grouped(findings)
    ]


def _paragraphs(table: Sequence[Sequence[str]]) -> list[str]:
    head, *rows = table
    lines: list[str] = []
    for row in rows:
        cells = [f"{h} {c}".strip() for h, c in zip(head, row, strict=True)]
        lines += paragraph("; ".join(cells), hanging="  ")
    return lines


def _width(text: str) -> int:
    if text.isascii():
        return len(text)
    return sum(
        0
        if unicodedata.combining(c)
        else 2
        if unicodedata.east_asian_width(c) in "WF"
        else 1
        for c in text
    )


def _parts(word: str, room: int) -> Iterator[str]:
    """Break a word that is longer than a line."""
    while _width(word) > room:
        part = _start(word, room)
        yield part
        word = word[len(part) :]
    if word:
        yield word


def _start(text: str, room: int) -> str:
    """Return as much of the start of a text as there is room for."""
    while _width(text) > room:
        text = text[:-1]
    return text


def _end(text: str, room: int) -> str:
    while _width(text) > room:
        text = text[1:]
    return text


def _fit(text: str, width: int, *, to_left: bool) -> str:
    if _width(text) > width:  # the end of a name tells like ones apart: "front 4"
        end = _end(text, width // 2)
        text = _start(text, width - len(CUT) - _width(end)) + CUT + end
    blanks = " " * (width - _width(text))
    return text + blanks if to_left else blanks + text
