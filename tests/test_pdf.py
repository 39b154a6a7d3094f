"""The sheet as PDF: all of it is there, whole, and nothing but text and lines."""

import json
import os
import subprocess
import sys
from dataclasses import replace
from html import escape
from pathlib import Path
from typing import Any

import pytest
from command_line import APRON, SMOCK
from html_page import parsed
from pdf_pages import (
    Tree,
    all_tables,
    bookmarks,
    lines_below,
    objects,
    page_texts,
    painted,
    read,
    squeezed,
)
from sheet_cases import HOSTILE, hostile_release, large_job, made, outline, run_of

from edgefinder.reports.pdf.document import (
    SETTINGS_WORDS,
    content_pdf,
    is_own_pdf,
    sheet_pdf,
)
from edgefinder.reports.pdf.paper import Paper, usual_paper
from edgefinder.reports.pdf.size_part import (
    CHART_WORDS,
    NO_PLACE,
    NO_PLACES,
    PICTURE_WORDS,
)
from edgefinder.reports.sheet.content import SheetContent, sheet_content
from edgefinder.reports.sheet.page import content_html
from edgefinder.schedule.release import release_from_file
from edgefinder.units import Unit

RECTANGLE = outline("M 100 400 L 400 400 L 400 200 L 100 200 Z", "bib")
SHEETS = [(name, paper) for name in ("apron", "smock", "random") for paper in Paper]
MARKUP = ("<b>", "&amp;", "<font color='red'>", '<a href="http://a.example">x</a>')


@pytest.fixture(scope="module", params=SHEETS, ids=lambda p: f"{p[0]}-{p[1]}")
def sheet(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> tuple[SheetContent, bytes, Paper]:
    name, paper = request.param
    jobs = {"apron": APRON, "smock": SMOCK}
    job = jobs.get(name) or large_job(tmp_path_factory.mktemp("random"), 12, 3)
    content = sheet_content(release_from_file(job))
    return content, content_pdf(content, paper), paper


@pytest.fixture(scope="module")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> SheetContent:
    return sheet_content(hostile_release(tmp_path_factory.mktemp("hostile")))


def test_every_row_of_every_table_stands_whole_on_one_page(
    sheet: tuple[SheetContent, bytes, Paper],
) -> None:
    content, data, _ = sheet
    pages = page_texts(data)

    for table in all_tables(content):
        for row in (table.head, *table.rows):
            wanted = squeezed("".join(row))
            assert any(wanted in page for page in pages), (table.caption, row)
    for size in content.sizes:
        for place in size.places:
            words = f"{place.needs}.Do: {'; or '.join(place.advice)}."
            wanted = squeezed(f"{place.number}{''.join(place.cells)}{words}")
            assert any(wanted in page for page in pages), place


def test_the_head_of_a_table_stands_on_every_page_that_has_rows_of_it(
    sheet: tuple[SheetContent, bytes, Paper],
) -> None:
    content, data, _ = sheet
    pages = page_texts(data)

    for size in content.sizes:
        head = squeezed("".join(("no.", *content.place_head)))
        caption = squeezed(f"Places to watch in {size.words}")
        for place in size.places:
            # The place may look the same in several sizes: its page has one caption.
            row = squeezed(f"{place.number}{''.join(place.cells)}{place.needs}.")
            on = [page for page in pages if row in page and caption in page]
            assert on, place
            assert all(caption + head in page for page in on)


def test_all_words_of_the_sheet_are_there(
    sheet: tuple[SheetContent, bytes, Paper],
) -> None:
    content, data, _ = sheet
    text = "".join(page_texts(data))
    for number in range(1, len(read(data).pages) + 1):
        text = text.replace(squeezed(f"{content.name} page {number}"), "", 1)

    said = [content.name, *content.about, content.cover_words, *content.cloth.words]
    said += [content.cloth.title, *content.cautions, *content.drawings]
    said += [finding.message for finding in content.findings]
    for size in content.sizes:
        said += [size.title, *(key.order for key in size.run_keys)]
        for passage in size.one_cut:
            said += [passage.title, *passage.words]
        for tape in size.tapes:
            said += [*tape.words, *tape.not_possible]
            said += [step.text for step in tape.steps.steps] if tape.steps else []
    for words in said:
        assert squeezed(words) in text, words


def test_bookmarks_lead_to_every_size_and_its_pieces_places_and_tapes(
    sheet: tuple[SheetContent, bytes, Paper],
) -> None:
    content, data, _ = sheet

    def below(names: list[str]) -> Tree:
        return [(name, []) for name in names]

    sizes = [
        (
            size.title,
            below(
                [
                    "Runs",
                    *(f"Piece {piece.name}" for piece in size.pieces),
                    "Places to watch",
                    *(f"Tape {tape.name}" for tape in size.tapes),
                ]
            ),
        )
        for size in content.sizes
    ]
    parts = [*below(["All sizes"]), *sizes, *below(["Cautions", "Settings"])]
    assert bookmarks(data) == [(f"{content.name}: binding schedule", parts)]

    reader = read(data)
    flat = [one for one in _flat(reader.outline) if one.title.startswith("Piece ")]
    titles = [
        f"{piece.name}, {size.words}" for size in content.sizes for piece in size.pieces
    ]
    for one, title in zip(flat, titles, strict=True):
        number = reader.get_destination_page_number(one)
        assert number is not None
        page = reader.pages[number]
        assert squeezed(title) in squeezed(page.extract_text())


def _flat(found: list[Any]) -> list[Any]:
    return [
        one
        for part in found
        for one in (_flat(part) if isinstance(part, list) else [part])
    ]


def test_every_number_below_a_picture_leads_to_the_row_of_the_place(
    sheet: tuple[SheetContent, bytes, Paper],
) -> None:
    content, data, _ = sheet
    reader = read(data)
    wanted = [
        next(place for place in size.places if place.number == number)
        for size in content.sizes
        for piece in size.pieces
        for number in piece.places
    ]

    links = [
        one.get_object() for page in reader.pages for one in page.get("/Annots", [])
    ]

    assert len(links) == len(wanted) > 10
    for link, place in zip(links, wanted, strict=True):
        page, kind, _, y, _ = link["/Dest"]
        assert kind == "/XYZ"
        shown = next(one for one in reader.pages if one.indirect_reference == page)
        lines = lines_below(shown, float(y))
        row = squeezed(f"{place.number}{''.join(place.cells)}")
        assert squeezed("".join(lines)).startswith(row)


def test_pages_have_the_size_of_the_paper_and_their_number_at_the_foot(
    sheet: tuple[SheetContent, bytes, Paper],
) -> None:
    content, data, paper = sheet
    # ISO 216 in millimetres; 8.5 x 11 in.
    sides = {Paper.A4: (210 / 25.4, 297 / 25.4), Paper.LETTER: (8.5, 11)}[paper]

    for number, page in enumerate(read(data).pages, start=1):
        box = page.mediabox
        assert (float(box.width), float(box.height)) == pytest.approx(
            [72 * side for side in sides], abs=0.01
        )
        foot = f"{content.name} page {number}"
        assert squeezed(page.extract_text()).startswith(squeezed(foot))


def test_nothing_is_drawn_outside_the_margins(
    sheet: tuple[SheetContent, bytes, Paper],
) -> None:
    _, data, _ = sheet
    margin = 15 * 72 / 25.4

    for number, page in enumerate(read(data).pages):
        wide, high = float(page.mediabox.width), float(page.mediabox.height)
        for path in painted(data, number):
            for x, y in path.points:
                assert margin - 1 <= x <= wide - margin + 1
                assert margin - 1 <= y <= high - margin + 1


def test_it_is_known_again_and_says_title_and_language_but_no_author(
    sheet: tuple[SheetContent, bytes, Paper],
) -> None:
    content, data, _ = sheet
    reader = read(data)

    assert reader.metadata is not None
    assert reader.metadata.title == f"{content.name}: binding schedule"
    assert reader.metadata.creator == "edgefinder schedule"
    assert not reader.metadata.author
    assert str(reader.root_object["/Lang"]) == "en"
    assert is_own_pdf(data)
    assert not is_own_pdf(b"%PDF-1.4 a letter")
    assert not is_own_pdf(b"not a PDF: /Creator (edgefinder schedule)")


def test_pictures_are_lines_and_every_font_is_in_the_file(
    sheet: tuple[SheetContent, bytes, Paper],
) -> None:
    content, data, _ = sheet
    found = list(objects(data))

    assert not [one for one in found if one.get("/Subtype") == "/Image"]
    fonts = [one for one in found if one.get("/Type") == "/Font"]
    assert fonts
    for font in fonts:
        assert "/FontFile2" in str(font["/FontDescriptor"].get_object())
    paths = sum(len(painted(data, n)) for n in range(len(read(data).pages)))
    drawn = sum(
        picture.count(f"<{shape} ")
        for size in content.sizes
        for picture in (
            *(piece.picture for piece in size.pieces),
            *(tape.chart or "" for tape in size.tapes),
        )
        for shape in ("polyline", "polygon", "line", "rect")
    )
    assert paths >= drawn > 100


def test_hostile_names_come_out_as_text(hostile: SheetContent) -> None:
    data = content_pdf(hostile, Paper.A4, folders=())
    text = "".join(page_texts(data))

    for name in HOSTILE[:6]:
        assert squeezed(name) in text
    script = HOSTILE[0]
    titles = [title for title, _ in dict(bookmarks(data)[0][1])["One size"]]
    assert f"Piece {script}" in titles


def test_no_name_starts_anything(hostile: SheetContent) -> None:
    data = content_pdf(hostile, Paper.A4)

    for one in objects(data):
        keys = {"/JS", "/JavaScript", "/URI", "/Launch", "/OpenAction", "/AA", "/A"}
        assert not keys & set(one)
        assert one.get("/S") not in {"/JavaScript", "/URI", "/Launch", "/GoToR"}
        assert "/EmbeddedFiles" not in one


@pytest.mark.parametrize("name", MARKUP)
def test_a_name_that_looks_like_markup_is_text(tmp_path: Path, name: str) -> None:
    body = RECTANGLE.replace("bib", escape(name))
    edge = json.dumps(f"{name} 1")
    runs = f'[[runs]]\nname = "r"\ntape = "main"\nedges = [{edge}]\n'

    data = sheet_pdf(made(tmp_path, body, runs), Paper.A4)

    assert squeezed(f"{name} 1") in "".join(page_texts(data))


def test_the_same_release_gives_the_same_bytes() -> None:
    first = sheet_pdf(release_from_file(APRON), Paper.LETTER)
    sheet_pdf(release_from_file(SMOCK), Paper.A4)  # leaves nothing behind

    assert sheet_pdf(release_from_file(APRON), Paper.LETTER) == first


def test_another_run_of_the_program_gives_the_same_bytes(tmp_path: Path) -> None:
    for seed in ("1", "2"):
        code = "from edgefinder.cli.main import main; main()"
        words = ["schedule", str(APRON), "--pdf", str(tmp_path / f"{seed}.pdf")]
        subprocess.run(  # noqa: S603 - this interpreter, our own code
            [sys.executable, "-c", code, *words],
            env={**os.environ, "PYTHONHASHSEED": seed},
            check=True,
            capture_output=True,
            timeout=120,
        )

    assert (tmp_path / "1.pdf").read_bytes() == (tmp_path / "2.pdf").read_bytes()


def test_it_tells_of_every_size_that_it_writes() -> None:
    said: list[tuple[str, int, int]] = []

    content = sheet_content(release_from_file(APRON))
    content_pdf(content, Paper.A4, lambda *what: said.append(what))

    total = len(content.sizes)
    assert said == [("writing size", i, total) for i in range(1, total + 1)]


def test_a_pattern_without_places_says_so(tmp_path: Path) -> None:
    release = made(tmp_path, RECTANGLE, run_of("top", "bib 1"))

    text = "".join(page_texts(sheet_pdf(release, Paper.A4)))

    assert squeezed(NO_PLACE) in text
    assert squeezed(NO_PLACES) in text


def test_a_piece_with_hundreds_of_places_and_a_run_of_many_edges_still_fits() -> None:
    content = sheet_content(release_from_file(APRON))
    size = content.sizes[0]
    first = size.places[0]
    many = tuple(replace(first, number=n) for n in range(1, 251))
    piece = replace(size.pieces[0], places=tuple(range(1, 251)))
    key = replace(size.run_keys[0], order=", ".join(["front 6 mirrored"] * 2000))
    crowded = replace(size, pieces=(piece,), places=many, run_keys=(key,))

    text = "".join(
        page_texts(content_pdf(replace(content, sizes=(crowded,)), Paper.A4))
    )

    assert "199,200,and50more." in text
    assert squeezed(f"250{''.join(first.cells)}") in text
    assert squeezed("front 6 mirrored, " * 100) in text


def test_its_own_words_are_those_of_the_page_of_html(tmp_path: Path) -> None:
    apron = parsed(content_html(sheet_content(release_from_file(APRON)))).text
    release = made(tmp_path, RECTANGLE, run_of("top", "bib 1"))
    plain = parsed(content_html(sheet_content(release))).text

    for words in (PICTURE_WORDS, CHART_WORDS, SETTINGS_WORDS):
        assert words in apron
    for words in (NO_PLACE, NO_PLACES):
        assert words in plain


def test_the_usual_paper_is_letter_for_inches_only() -> None:
    assert usual_paper(Unit.INCH) is Paper.LETTER
    assert usual_paper(Unit.MILLIMETRE) is usual_paper(Unit.CENTIMETRE) is Paper.A4
