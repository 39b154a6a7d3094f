"""Tables in a PDF: long ones, wide ones, and names without end."""

import io
from collections.abc import Sequence
from typing import Final

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pdf_pages import page_texts, painted, squeezed
from reportlab.platypus import Flowable, SimpleDocTemplate, Spacer

from edgefinder.reports.pdf.fitted import Fitted
from edgefinder.reports.pdf.letters import Letters
from edgefinder.reports.pdf.page import Page, height, kept, tables
from edgefinder.reports.pdf.set_text import Heading
from edgefinder.reports.pdf.tables import (
    NARROWEST,
    column_widths,
    set_places,
    set_table,
)
from edgefinder.reports.sheet.tables import PlaceRow, Table

LETTERS: Final = Letters(())
PAGE: Final = Page(510.0, 690.0, LETTERS)
HEAD: Final = ("edge", "verdict", "cut line")


def written(*flowables: Flowable) -> list[str]:
    """Write flowables on pages of the size of `PAGE`; return the text of each."""
    return page_texts(built(*flowables))


def built(*flowables: Flowable) -> bytes:
    stream = io.BytesIO()
    margin = 20.0 - 6.0  # the library's frame has 6 points of its own
    document = SimpleDocTemplate(
        stream,
        pagesize=(PAGE.wide + 40.0, PAGE.high + 40.0),
        leftMargin=margin,
        rightMargin=margin,
        topMargin=margin,
        bottomMargin=margin,
        invariant=1,
    )
    document.build(list(flowables))
    return stream.getvalue()


def long_table(rows: int, name: str = "front") -> Table:
    cells = tuple(
        (f"{name} number{i}x", "ease and steam", f"{i} 3/8 in") for i in range(rows)
    )
    return Table("Bound edges", HEAD, cells, names=2)


def right_ends(*flowables: Flowable) -> set[int]:
    """Where the level lines of one page end at the right, in points."""
    found = set()
    for path in painted(built(*flowables), 0):
        (x, y), (u, v) = path.points[0], path.points[-1]
        if abs(y - v) < 0.01:
            found.add(round(max(x, u)))
    return found


def holding(pages: Sequence[str], words: Sequence[str]) -> list[int]:
    wanted = squeezed("".join(words))
    return [i for i, page in enumerate(pages) if wanted in page]


def test_a_table_of_200_rows_has_its_head_on_every_page_and_no_row_on_two() -> None:
    table = long_table(200)

    pages = written(set_table(table, PAGE.wide, LETTERS))

    assert len(pages) > 3
    for page in pages:
        assert page.startswith(squeezed(f"Bound edges{''.join(HEAD)}"))
    for row in table.rows:
        assert len(holding(pages, row)) == 1


def test_rows_of_several_lines_are_not_cut_either() -> None:
    table = long_table(60, "a name that is so long that it takes several lines " * 5)

    pages = written(set_table(table, PAGE.wide, LETTERS))

    assert len(pages) > 3
    for row in table.rows:
        assert len(holding(pages, row)) == 1


def test_a_name_without_end_is_cut_short_and_still_fits_on_a_page() -> None:
    for name in ("W" * 20_000, "name " * 5_000, "布" * 3_000):
        place = PlaceRow(
            1, (name, name, "lies", "inside", "1", "2", "3"), name, (name,), ""
        )
        head = ("edge", "run", "lies", "curve", "radius", "along", "over")
        places = set_places(name, head, [place, place], "p", PAGE.wide, LETTERS)
        table = Table(name, (name, "b"), ((name, name), ("x", "y")), names=1)

        pages = written(
            Heading(name, 3, LETTERS, "h", (name, 0)),
            set_table(table, PAGE.wide, LETTERS),
            places,
        )

        assert holding(pages, ["xy"])
        assert ".." in "".join(pages)


def test_a_place_and_its_words_are_on_one_page() -> None:
    head = ("edge", "run", "lies", "curve", "radius", "along", "over")
    places = [
        PlaceRow(
            i,
            (f"front {i}", "neck", "too tight", "inside", "2 in", "1 in", "3 in"),
            f"Takes {i} % stretch, " * (2 + 5 * (i % 7)),
            (f"narrower tape {i}", "another cloth"),
            "front",
        )
        for i in range(150)
    ]

    pages = written(set_places("Places", head, places, "p", PAGE.wide, LETTERS))

    assert len(pages) > 3
    for place in places:
        advice = f"Do: {'; or '.join(place.advice)}."
        row = [str(place.number), *place.cells, f"{place.needs}.", advice]
        assert len(holding(pages, row)) == 1


def test_a_short_table_goes_on_where_most_of_a_page_would_stay_empty() -> None:
    # Whole, the second table would leave 40 % of the first page empty.
    before = tables([long_table(15, "back")], PAGE)
    short = long_table(19, "hem")
    assert 0.4 < height(set_table(short, PAGE.wide, LETTERS), PAGE) / PAGE.high < 0.5
    room = PAGE.high - sum(height(one, PAGE) for one in before)
    fill = Spacer(1.0, room - 0.4 * PAGE.high)

    pages = written(*before, fill, *tables([short], PAGE))

    at = {page for row in short.rows for page in holding(pages, row)}
    assert at == {0, 1}


def test_the_rule_below_the_head_is_as_long_as_those_below_rows() -> None:
    head = ("edge", "run", "lies", "curve", "radius", "along", "over")
    place = PlaceRow(1, ("a", "b", "c", "d", "1", "2", "3"), "", ("none",), "front")
    places = set_places("Places", head, [place], "p", PAGE.wide, LETTERS)
    plain = set_table(long_table(2), PAGE.wide, LETTERS)

    for table in (places, plain):
        assert len(right_ends(table)) == 1


def test_a_drawing_is_made_a_little_smaller_to_save_a_page_and_no_more() -> None:
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="200mm" '
        'viewBox="0 0 100 200"><title>t</title></svg>'
    )
    whole = 200 * 72 / 25.4
    fitted = Fitted(svg, [PAGE.words("below")], PAGE)

    _, alone = fitted.wrap(PAGE.wide, PAGE.high)
    _, smaller = fitted.wrap(PAGE.wide, 0.9 * whole)
    _, too_small = fitted.wrap(PAGE.wide, 0.6 * whole)

    assert alone > whole
    assert 0.8 * whole < smaller <= 0.9 * whole
    assert too_small == alone
    pages = written(Spacer(1.0, PAGE.high - 0.9 * whole), fitted)
    assert len(pages) == 1
    assert "ofthescalethatitstates" in pages[0]


def test_a_short_table_is_not_divided_and_its_heading_stays_with_it() -> None:
    short = long_table(20)
    first = tables([long_table(40, "back")], PAGE)
    heading = Heading("Runs", 2, LETTERS, "runs")

    pages = written(
        *first, *kept([heading, set_table(short, PAGE.wide, LETTERS)], PAGE)
    )

    at = {page for row in short.rows for page in holding(pages, row)}
    assert at == {1}
    assert pages[1].startswith(squeezed(f"Runs{short.caption}"))


@pytest.mark.parametrize("cell", ["<b>x</b>", "&amp;", "</font>", "<i", "=cmd|' /C"])
def test_a_cell_is_never_read_as_markup(cell: str) -> None:
    table = Table(cell, (cell, "b"), ((cell, "y"),))

    pages = written(set_table(table, PAGE.wide, LETTERS))

    assert pages[0].count(squeezed(cell)) == 3


TEXTS = st.lists(st.text("abW 12/", max_size=60), min_size=3, max_size=3)


@given(st.lists(TEXTS, min_size=1, max_size=6), st.floats(100.0, 600.0))
def test_columns_fit_on_the_page(rows: list[list[str]], wide: float) -> None:
    widths = column_widths(HEAD, rows, [True, True, False], wide, LETTERS)

    assert sum(widths) <= max(wide, NARROWEST * len(HEAD)) + 1e-6
    assert all(width > 0 for width in widths)


def test_figures_keep_their_width_where_words_can_give() -> None:
    rows = [("a very long name indeed " * 4, "verdict", "35 3/8 in")]
    alone = column_widths(HEAD, rows, [True, True, False], 2000.0, LETTERS)

    narrow = column_widths(HEAD, rows, [True, True, False], 300.0, LETTERS)

    assert sum(narrow) == pytest.approx(300.0)
    # The head of the figures may break between its words, their cells may not.
    assert narrow[2] >= LETTERS.width("35 3/8 in", 8.0)
    assert narrow[1] <= alone[1]
    assert narrow[0] < alone[0]
