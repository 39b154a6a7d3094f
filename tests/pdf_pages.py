"""A PDF taken apart by pypdf, for tests."""

import io
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final

from pypdf import PageObject, PdfReader
from pypdf.generic import ArrayObject, ContentStream, DictionaryObject, IndirectObject

from edgefinder.reports.sheet.content import SheetContent
from edgefinder.reports.sheet.tables import Passage, Table

Tree = list[tuple[str, "Tree"]]
"""Bookmarks, each with those below it."""
Matrix = tuple[float, float, float, float, float, float]
FOOT: Final = 50.0
"""Points from the lower end of a page; below is its number."""
UNTURNED: Final[Matrix] = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)


def read(data: bytes) -> PdfReader:
    """Read a PDF; what is not as the standard has it is an error."""
    return PdfReader(io.BytesIO(data), strict=True)


def squeezed(text: str) -> str:
    """Return a text without blanks: lines are broken anywhere."""
    return "".join(unicodedata.normalize("NFC", text).split())


def page_texts(data: bytes) -> list[str]:
    """Return the text of every page without blanks."""
    return [squeezed(page.extract_text()) for page in read(data).pages]


def lines_below(page: PageObject, height: float) -> list[str]:
    """Return what is written below a height and above the foot of a page."""
    found = []

    def seen(text: str, matrix: Any, line: Any, *_: Any) -> None:
        a, b, c, d, e, f = matrix
        if text.strip() and FOOT < _times(line, (a, b, c, d, e, f))[5] < height:
            found.append(text)

    page.extract_text(visitor_text=seen)
    return found


def bookmarks(data: bytes) -> Tree:
    """Return the bookmarks as they are nested."""

    def nested(found: Sequence[Any]) -> Tree:
        tree: Tree = []
        for one in found:
            if isinstance(one, list):
                tree[-1] = (tree[-1][0], nested(one))
            else:
                tree.append((str(one.title), []))
        return tree

    return nested(read(data).outline)


def all_tables(content: SheetContent) -> Iterator[Table]:
    """Return every table of a sheet but those of places."""

    def told(passages: Sequence[Passage]) -> Iterator[Table]:
        for passage in passages:
            yield from passage.tables

    yield content.cover
    yield from told([content.cloth])
    for size in content.sizes:
        yield size.runs
        yield from (piece.edges for piece in size.pieces if piece.edges is not None)
        yield from told(size.one_cut)
        for tape in size.tapes:
            yield from (tape.methods, tape.widths)
            yield from told(tape.there)
    yield from content.settings


def objects(data: bytes) -> Iterator[DictionaryObject]:
    """Return every dictionary of a file, however deep."""
    reader = read(data)
    stack: list[Any] = [reader.trailer]
    seen: set[int] = set()
    while stack:
        one = stack.pop()
        if isinstance(one, IndirectObject):
            if one.idnum in seen:
                continue
            seen.add(one.idnum)
            one = one.get_object()
        if isinstance(one, DictionaryObject):
            yield one
            stack += [one.raw_get(key) for key in one]
        elif isinstance(one, ArrayObject):
            stack += list(one)


@dataclass(frozen=True, slots=True)
class Painted:
    """A path as it is painted on a page.

    Parameters
    ----------
    points : tuple of (float, float)
        In points from the lower left corner.
    how : str
        The operator that paints it, ``S`` for a stroke.
    width : float
        Of the line.
    dashes : tuple of float
    """

    points: tuple[tuple[float, float], ...]
    how: str
    width: float
    dashes: tuple[float, ...]


def painted(data: bytes, page: int = 0) -> list[Painted]:
    """Return the paths of a page, with what every transform before them did."""
    reader = read(data)
    stream = ContentStream(reader.pages[page].get_contents(), reader)
    matrix, width = UNTURNED, 1.0
    dashes: tuple[float, ...] = ()
    kept: list[tuple[Matrix, float, tuple[float, ...]]] = []
    points: list[tuple[float, float]] = []
    found = []
    for operands, operator in stream.operations:
        name, values = operator.decode(), operands
        if name == "q":
            kept.append((matrix, width, dashes))
        elif name == "Q":
            matrix, width, dashes = kept.pop()
        elif name == "cm":
            matrix = _times([float(v) for v in values], matrix)
        elif name == "w":
            width = float(values[0])
        elif name == "d":
            dashes = tuple(float(v) for v in values[0])
        elif name in {"m", "l", "c"}:
            points.append(_moved([float(v) for v in values[-2:]], matrix))
        elif name == "re":
            x, y, wide, high = (float(v) for v in values)
            corners = [(x, y), (x + wide, y), (x + wide, y + high), (x, y + high)]
            points += [_moved(corner, matrix) for corner in corners]
        elif name in {"S", "s", "f", "f*", "B", "B*", "b", "n"} and points:
            scale = abs(matrix[0] * matrix[3] - matrix[1] * matrix[2]) ** 0.5
            scaled = tuple(dash * scale for dash in dashes)
            found.append(Painted(tuple(points), name, width * scale, scaled))
            points = []
    return found


def _times(new: Sequence[float], old: Matrix) -> Matrix:
    a, b, c, d, e, f = new
    g, h, i, j, k, m = old
    return (
        a * g + b * i,
        a * h + b * j,
        c * g + d * i,
        c * h + d * j,
        e * g + f * i + k,
        e * h + f * j + m,
    )


def _moved(point: Sequence[float], by: Matrix) -> tuple[float, float]:
    x, y = point
    return (x * by[0] + y * by[2] + by[4], x * by[1] + y * by[3] + by[5])
