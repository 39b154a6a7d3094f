"""A PDF that Chromium printed, taken apart: its tables, and the pages they are on.

Chromium writes tagged PDF (ISO 32000-1, 14.7 and 14.8): a tree of structure elements
that says of every table row which marked content belongs to it, and on which page.
"""

import io
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any
from unicodedata import normalize

from pypdf import PdfReader
from pypdf.generic import DictionaryObject, IndirectObject


@dataclass(frozen=True, slots=True)
class PrintedRow:
    """A row of a table: the pages, from 0, that anything in it is on."""

    pages: frozenset[int]


@dataclass(frozen=True, slots=True)
class Printed:
    """A printed document.

    Parameters
    ----------
    texts : tuple of str
        Of every page, without any blanks.
    tables : tuple of tuple of PrintedRow
        Every table with its rows, in reading order.
    size : tuple of float
        Width and height of a page in points.
    """

    texts: tuple[str, ...]
    tables: tuple[tuple[PrintedRow, ...], ...]
    size: tuple[float, float]


def without_blanks(text: str) -> str:
    """Leave out what a reader of PDF can only guess: blanks, ends of lines, ligatures.

    Letters that a font joins (fi, fl, ff) come apart by Unicode's own decomposition
    (Unicode Standard Annex 15, form NFKC).
    """
    return "".join(normalize("NFKC", text).split())


def taken_apart(pdf: bytes) -> Printed:
    """Read the pages and the tables of a tagged PDF."""
    reader = PdfReader(io.BytesIO(pdf))
    numbers = {
        page.indirect_reference.idnum: number
        for number, page in enumerate(reader.pages)
        if page.indirect_reference is not None
    }
    root: Any = reader.trailer["/Root"]
    box = reader.pages[0].mediabox
    return Printed(
        texts=tuple(without_blanks(page.extract_text()) for page in reader.pages),
        tables=tuple(
            tuple(
                PrintedRow(frozenset(_pages(row, None, numbers)))
                for row in _elements(table, "/TR")
            )
            for table in _elements(root["/StructTreeRoot"], "/Table")
        ),
        size=(float(box.width), float(box.height)),
    )


def _children(element: DictionaryObject) -> list[Any]:
    inside: Any = element.get("/K", [])
    inside = inside.get_object() if isinstance(inside, IndirectObject) else inside
    listed = inside if isinstance(inside, list) else [inside]
    return [one.get_object() for one in listed]


def _elements(element: DictionaryObject, kind: str) -> Iterator[DictionaryObject]:
    """Go through the structure elements of a kind, in reading order."""
    for child in _children(element):
        if not isinstance(child, DictionaryObject):
            continue
        if child.get("/S") == kind:
            yield child
        else:
            yield from _elements(child, kind)


def _pages(
    element: DictionaryObject, page: int | None, numbers: dict[int, int]
) -> Iterator[int]:
    """Go through the pages that the marked content of an element is on."""
    if "/Pg" in element:
        page = numbers[element.raw_get("/Pg").idnum]
    for child in _children(element):
        if isinstance(child, DictionaryObject):
            yield from _pages(child, page, numbers)
        elif page is not None:  # the number of a marked content
            yield page
