"""The sheet printed by Chromium to PDF, and the PDF taken apart.

How many pages there are depends on the fonts of the machine (the apron on letter takes
more in a wider font), so no number of pages is stored: it is the same in two prints.
"""

from pathlib import Path
from typing import TYPE_CHECKING, Final

import pytest
from command_line import APRON, SMOCK
from conformance.printed import Printed, PrintedRow, taken_apart, without_blanks
from html_page import Node, cells, parsed
from sheet_cases import hostile_release, large_job

from edgefinder.reports.sheet.page import sheet_html
from edgefinder.schedule.release import release_from_file

if TYPE_CHECKING:
    from conformance.page_browser import PageBrowser

PAPERS: Final = {"A4": (8.27, 11.69), "letter": (8.5, 11.0)}
"""Inches: ISO 216, and ANSI/ASME Y14.1."""
CASES: Final = ("apron", "smock", "large")
RUNS: Final = 70
"""Of the large pattern: more than a page has rows."""


@pytest.fixture(scope="module")
def sheets(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """The page of every job of the demo, and of a large pattern."""
    folder = tmp_path_factory.mktemp("printed")
    jobs = {"apron": APRON, "smock": SMOCK, "large": large_job(folder, RUNS, 2)}
    found = {}
    for name, job in jobs.items():
        found[name] = folder / f"{name}.html"
        found[name].write_text(sheet_html(release_from_file(job)), "utf-8")
    return found


@pytest.fixture(scope="module")
def prints(
    pages: "PageBrowser", sheets: dict[str, Path]
) -> dict[tuple[str, str], Printed]:
    """Every sheet on every paper."""
    found = {}
    for name, path in sheets.items():
        pages.open(path)
        for paper, size in PAPERS.items():
            found[name, paper] = taken_apart(pages.printed(*size))
    return found


@pytest.fixture(params=CASES)
def name(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture(params=PAPERS)
def paper(request: pytest.FixtureRequest) -> str:
    return str(request.param)


def tables(sheet: Path) -> list[Node]:
    return parsed(sheet.read_text("utf-8")).all("table")


def rows_of(
    sheet: Path, printed: Printed
) -> list[tuple[list[list[str]], tuple[PrintedRow, ...]]]:
    """The cells of every table as the page has them, beside its printed rows."""
    return list(zip(map(cells, tables(sheet)), printed.tables, strict=True))


def test_every_table_is_printed_with_all_of_its_rows(
    sheets: dict[str, Path],
    prints: dict[tuple[str, str], Printed],
    name: str,
    paper: str,
) -> None:
    printed = prints[name, paper]

    assert printed.size == pytest.approx([72 * side for side in PAPERS[paper]], abs=1)
    found = rows_of(sheets[name], printed)
    assert len(found) > 20
    for written, on_paper in found:
        assert len(on_paper) == len(written)


def test_no_row_of_a_table_is_cut_by_the_end_of_a_page(
    sheets: dict[str, Path],
    prints: dict[tuple[str, str], Printed],
    name: str,
    paper: str,
) -> None:
    printed = prints[name, paper]

    for written, on_paper in rows_of(sheets[name], printed):
        for row, where in zip(written, on_paper, strict=True):
            (page,) = where.pages
            for word in " ".join(row).split():
                assert without_blanks(word) in printed.texts[page], row


def test_the_row_of_a_place_and_what_is_said_of_it_stay_together(
    sheets: dict[str, Path],
    prints: dict[tuple[str, str], Printed],
    name: str,
    paper: str,
) -> None:
    found = 0
    for table, printed in zip(
        tables(sheets[name]), prints[name, paper].tables, strict=True
    ):
        if table.attributes.get("class") != "places":
            continue
        _, *rows = printed
        for figures, words in zip(rows[::2], rows[1::2], strict=True):
            assert figures.pages == words.pages
            found += 1

    assert found > 5


def test_the_head_of_a_table_is_printed_again_on_every_page_that_it_goes_on_to(
    sheets: dict[str, Path],
    prints: dict[tuple[str, str], Printed],
    name: str,
    paper: str,
) -> None:
    printed = prints[name, paper]

    for written, on_paper in rows_of(sheets[name], printed):
        on_pages = sorted(set().union(*(row.pages for row in on_paper)))
        head = without_blanks("".join(written[0]))
        for page in on_pages:
            assert head in printed.texts[page]


def test_the_table_of_many_runs_does_go_over_a_page(
    sheets: dict[str, Path], prints: dict[tuple[str, str], Printed], paper: str
) -> None:
    """Else the tests above would have seen no common table that is cut in two."""
    found = rows_of(sheets["large"], prints["large", paper])
    written, on_paper = next(one for one in found if one[0][0][0] == "run")

    assert len(written) == RUNS + 1
    assert len(set().union(*(row.pages for row in on_paper))) == 2


OFF_PAPER: Final = """
return [...document.querySelectorAll("body *")]
  .filter(one => !one.closest(".skip, nav, svg svg, svg > *"))
  .filter(one => one.getBoundingClientRect().right > innerWidth + 0.5)
  .map(one => one.outerHTML.slice(0, 100));
"""


@pytest.mark.parametrize("wide", [180.0, 215.9 - 30.0], ids=PAPERS)
def test_nothing_reaches_over_the_side_of_the_paper(
    pages: "PageBrowser", sheets: dict[str, Path], tmp_path: Path, wide: float
) -> None:
    hostile = tmp_path / "hostile.html"
    hostile.write_text(sheet_html(hostile_release(tmp_path)), "utf-8")

    for path in (*sheets.values(), hostile):
        pages.open(path, round(wide * 96 / 25.4), media="print")

        assert pages.run(OFF_PAPER) == []


def test_a_sheet_has_as_many_pages_every_time_it_is_printed(
    pages: "PageBrowser",
    sheets: dict[str, Path],
    prints: dict[tuple[str, str], Printed],
    name: str,
    paper: str,
) -> None:
    pages.open(sheets[name], 800, dark=True)
    again = taken_apart(pages.printed(*PAPERS[paper]))

    assert again.texts == prints[name, paper].texts
    assert again.tables == prints[name, paper].tables
