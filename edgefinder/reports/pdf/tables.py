"""Tables of the sheet, set so that their heads repeat and no row is cut."""

from collections.abc import Sequence
from typing import Any, Final

from reportlab.platypus import Flowable
from reportlab.platypus import Table as SetTable

from edgefinder.reports.pdf.letters import Letters
from edgefinder.reports.pdf.set_text import (
    CAPTION,
    CELL,
    FIGURE,
    FIGURE_HEAD,
    HEAD,
    Style,
    Writing,
)
from edgefinder.reports.sheet.tables import PlaceRow, Table

GAP: Final = 7.0
"""Points between two columns."""
AFTER: Final = 6.0
"""Points left free below a table."""
CELL_LINES: Final = 40
HEAD_LINES: Final = 6
PLACE_LINES: Final = 16
"""At most; of a cell, of a caption or a head, of each part of a place. A row with what
stands above it must fit on a page of either paper: a longer name is cut short."""
NARROWEST: Final = 30.0
"""Points that a column keeps: five letters."""
PLACE_FIGURES: Final = 3
"""Columns of a place, from the right, that are figures."""

Command = tuple[str, tuple[int, int], tuple[int, int], *tuple[Any, ...]]
"""How the library is told of lines and room: what, first cell, last cell, values."""
Row = Sequence[Flowable | Sequence[Flowable]]

_STYLE: Final[tuple[Command, ...]] = (
    ("SPAN", (0, 0), (-1, 0)),
    ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ("VALIGN", (0, 1), (-1, 1), "BOTTOM"),
    ("LEFTPADDING", (0, 0), (-1, -1), 0),
    ("RIGHTPADDING", (0, 0), (-1, -1), GAP),
    ("TOPPADDING", (0, 0), (-1, -1), 1.5),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
)
_HEADS: Final = HEAD, FIGURE_HEAD, HEAD_LINES
_CELLS: Final = CELL, FIGURE, CELL_LINES
_PLACES: Final = CELL, FIGURE, PLACE_LINES
"""Of words, of figures, and how many lines."""
_UNDER_HEAD: Final = 0.75, (0.0, 0.0, 0.0)
_UNDER_ROW: Final = 0.25, (0.35, 0.35, 0.35)
"""Points and colour of lines."""


def set_table(table: Table, wide: float, letters: Letters) -> Flowable:
    """Set a table.

    Parameters
    ----------
    table : Table
    wide : float
        Of the page, in points.
    letters : Letters

    Returns
    -------
    Flowable
        Its caption and head are repeated on every page that it goes on to.
    """
    are_words = [i < table.names for i in range(len(table.head))]
    widths = column_widths(table.head, table.rows, are_words, wide, letters)
    rows: list[Row] = [[Writing(table.caption, CAPTION, letters, most=HEAD_LINES)]]
    rows.append(_cells(table.head, are_words, _HEADS, letters))
    rows += [_cells(row, are_words, _CELLS, letters) for row in table.rows]
    last = len(widths) - 1
    under = ("LINEBELOW", (0, 2), (last, -1), *_UNDER_ROW)
    return _table(rows, widths, wide, [under, font_of_all(letters)], last)


def set_places(
    caption: str,
    head: Sequence[str],
    places: Sequence[PlaceRow],
    key: str,
    wide: float,
    letters: Letters,
) -> Flowable:
    """Set the places to watch; what to do stands below the figures of each.

    Parameters
    ----------
    caption : str
    head : sequence of str
        Without the number.
    places : sequence of PlaceRow
    key : str
        Begins the keys of the places; their numbers follow.
    wide : float
        Of the page, in points.
    letters : Letters

    Returns
    -------
    Flowable
        As of `set_table`; a place and its words are never on two pages.
    """
    head = ("no.", *head)
    are_words = [i < len(head) - PLACE_FIGURES for i in range(len(head))]
    cells = [(str(place.number), *place.cells) for place in places]
    widths = column_widths(head, cells, are_words, wide, letters)
    rows: list[Row] = [[Writing(caption, CAPTION, letters, most=HEAD_LINES)]]
    rows.append(_cells(head, are_words, _HEADS, letters))
    commands: list[Command] = [font_of_all(letters)]
    for place, row in zip(places, cells, strict=True):
        at = len(rows)
        figures = _cells(row, are_words, _PLACES, letters)
        figures[0] = Writing(row[0], CELL, letters, key=f"{key}{place.number}")
        needs = [f"{place.needs}."] if place.needs else []
        words = [*needs, f"Do: {'; or '.join(place.advice)}."]
        told: list[Flowable] = [
            Writing(text, CELL, letters, most=PLACE_LINES) for text in words
        ]
        rows += [figures, [Writing("", CELL, letters), told]]
        commands += [
            ("SPAN", (1, at + 1), (-1, at + 1)),
            ("NOSPLIT", (0, at), (-1, at + 1)),
            ("LINEBELOW", (0, at + 1), (-1, at + 1), *_UNDER_ROW),
        ]
    return _table(rows, widths, wide, commands, -1)


def font_of_all(letters: Letters) -> Command:
    """Name a font for what holds no text, or another one counts among those used."""
    return ("FONTNAME", (0, 0), (-1, -1), letters.regular)


def column_widths(
    head: Sequence[str],
    rows: Sequence[Sequence[str]],
    are_words: Sequence[bool],
    wide: float,
    letters: Letters,
) -> list[float]:
    """Divide the width of the page between columns.

    Parameters
    ----------
    head : sequence of str
    rows : sequence of sequence of str
    are_words : sequence of bool
        Of every column; the others are figures.
    wide : float
        In points, as the widths are.
    letters : Letters

    Returns
    -------
    list of float
        As wide as it takes if there is room. Otherwise columns of words are made
        narrower, the widest first, and columns of figures only if that is not enough.
    """
    cells = [
        max((letters.width(row[column], CELL.size) for row in rows), default=0.0)
        for column in range(len(head))
    ]
    # A head stands in one line if there is room, else it breaks between words.
    widths = _with_heads(cells, [[name] for name in head], letters)
    if sum(widths) <= wide:
        return widths
    widths = _with_heads(cells, [name.split() for name in head], letters)
    words = [i for i, is_word in enumerate(are_words) if is_word]
    for chosen in (words, range(len(widths))):
        room = wide - sum(w for i, w in enumerate(widths) if i not in chosen)
        level = _levelled([widths[i] for i in chosen], room)
        for i, width in zip(chosen, level, strict=True):
            widths[i] = width
        if sum(widths) <= wide + 1e-6:
            break
    return widths


def _with_heads(
    cells: Sequence[float], heads: Sequence[Sequence[str]], letters: Letters
) -> list[float]:
    """Return the widths of columns with their cells and the parts of their heads."""
    return [
        GAP + max([cell, *(letters.width(one, HEAD.size, bold=True) for one in parts)])
        for cell, parts in zip(cells, heads, strict=True)
    ]


def _levelled(widths: Sequence[float], room: float) -> list[float]:
    """Cut the widest columns down to one level, so that all together fit."""
    left = room
    for i, width in enumerate(sorted(widths)):
        level = left / (len(widths) - i)
        if width > level:
            return [min(w, max(level, NARROWEST)) for w in widths]
        left -= width
    return list(widths)


def _cells(
    row: Sequence[str],
    are_words: Sequence[bool],
    styles: tuple[Style, Style, int],
    letters: Letters,
) -> list[Flowable]:
    left, right, most = styles
    return [
        Writing(text, left if is_word else right, letters, most=most)
        for text, is_word in zip(row, are_words, strict=True)
    ]


def _table(
    rows: Sequence[Row],
    widths: Sequence[float],
    wide: float,
    commands: Sequence[Command],
    last: int,
) -> Flowable:
    """Set rows whose first two are caption and head, ruled to their last column."""
    # An empty column gives captions and words the rest of the page's width.
    columns = [*widths, max(0.0, wide - sum(widths))]
    under_head = ("LINEBELOW", (0, 1), (last, 1), *_UNDER_HEAD)
    return SetTable(
        [[*row, *([""] * (len(columns) - len(row)))] for row in rows],
        colWidths=columns,
        style=[*_STYLE, under_head, *commands],
        repeatRows=2,
        hAlign="LEFT",
        spaceAfter=AFTER,
    )
