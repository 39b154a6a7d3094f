"""The schedule of a release as a PDF: the same sheet as that of HTML."""

import io
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from typing import Final

from reportlab import rl_config
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Flowable, Frame, PageTemplate

from edgefinder.reports.pdf.letters import Letters
from edgefinder.reports.pdf.own_fonts import FOLDERS
from edgefinder.reports.pdf.page import Page, kept, set_passage, tables
from edgefinder.reports.pdf.paper import (
    FOOT_MM,
    MARGIN_MM,
    POINTS_PER_MM,
    SIZES_MM,
    Paper,
)
from edgefinder.reports.pdf.set_text import CELL, Heading, draw_line
from edgefinder.reports.pdf.size_part import size_part
from edgefinder.reports.pdf.tables import set_table
from edgefinder.reports.sheet.content import SheetContent, sheet_content
from edgefinder.schedule.release import Release
from edgefinder.schedule.telling import Tell, silent

MAKER: Final = "edgefinder schedule"
"""Written as the creator of a PDF, by which it is known again."""
SETTINGS_WORDS: Final = (
    "What this sheet was made with; what the job file does not say has the default "
    "shown."
)


def sheet_pdf(release: Release, paper: Paper, tell: Tell = silent) -> bytes:
    """Write the schedule of a release as a PDF.

    Parameters
    ----------
    release : Release
    paper : Paper
    tell : Tell
        Told of every size, when it is drawn and when it is written.

    Returns
    -------
    bytes
        A PDF (ISO 32000) of text and lines, without pictures in pixels, script or
        links to elsewhere; the same bytes for the same release, unless a text has
        letters that are looked for in the fonts of the computer: see `letters`.
    """
    return content_pdf(sheet_content(release, tell), paper, tell)


def content_pdf(
    content: SheetContent,
    paper: Paper,
    tell: Tell = silent,
    folders: Iterable[Path] = FOLDERS,
) -> bytes:
    """Write what stands on the sheet as a PDF; see `sheet_pdf`.

    ``folders`` are those in which fonts are looked for.
    """
    letters = Letters(folders)
    across, along = (side * POINTS_PER_MM for side in SIZES_MM[paper])
    margin, foot = MARGIN_MM * POINTS_PER_MM, FOOT_MM * POINTS_PER_MM
    page = Page(across - 2 * margin, along - 2 * margin - foot, letters)
    title = f"{content.name}: binding schedule"
    stream = io.BytesIO()
    frame = Frame(
        margin,
        margin + foot,
        page.wide,
        page.high,
        leftPadding=0,
        rightPadding=0,
        topPadding=0,
        bottomPadding=0,
    )

    def write_foot(canvas: Canvas, document: BaseDocTemplate) -> None:
        canvas.showOutline()  # the bookmarks are in sight when it is opened
        number = f"page {document.page}"
        right = letters.width(number, CELL.size)
        name = letters.shortened(content.name, page.wide - 2 * right, CELL.size)
        draw_line(canvas, name, (margin, margin), CELL, letters)
        end = margin + page.wide - right
        draw_line(canvas, number, (end, margin), CELL, letters)

    document = BaseDocTemplate(
        stream,
        pagesize=(across, along),
        pageTemplates=[PageTemplate("sheet", [frame], onPage=write_foot)],
        title=title,
        author="",
        subject="",
        creator=MAKER,
        lang="en",
        displayDocTitle=True,
        initialFontName=letters.regular,
        pageCompression=1,
        # No date and no random number.
        invariant=1,
    )
    with _plain_streams():
        document.build(_story(content, title, page, tell))
    return stream.getvalue()


@contextmanager
def _plain_streams() -> Iterator[None]:
    """Write what is compressed as it is: in letters it takes a quarter more."""
    before = rl_config.useA85
    rl_config.useA85 = 0
    try:
        yield
    finally:
        rl_config.useA85 = before


def _story(content: SheetContent, title: str, page: Page, tell: Tell) -> list[Flowable]:
    letters = page.letters
    drawings = ", ".join(content.drawings)
    cover = set_table(content.cover, page.wide, letters)
    parts: list[Flowable] = [
        Heading(title, 0, letters, "sheet", (title, 0)),
        page.words(f"Drawn in {drawings}. Made with edgefinder {content.version}."),
        *kept([_part("All sizes", "all-sizes", page), cover], page),
        page.words(content.cover_words),
        *page.items(content.about),
        *set_passage(content.cloth, "cloth", 2, page),
    ]
    if content.findings:
        seen = "Seen in the drawing and the job file"
        parts.append(Heading(seen, 2, letters, "findings"))
        parts += page.items(
            [f"{one.severity}: {one.where}: {one.message}" for one in content.findings]
        )
    for number, size in enumerate(content.sizes, start=1):
        begun = partial(tell, "writing size", number, len(content.sizes))
        parts += size_part(size, content.place_head, page, begun)
    cautions = page.items(content.cautions)
    parts += kept([_part("Cautions", "cautions", page), *cautions], page)
    settings = [_part("Settings", "settings", page), page.words(SETTINGS_WORDS)]
    return [*parts, *kept(settings, page), *tables(content.settings, page)]


def _part(title: str, key: str, page: Page) -> Heading:
    return Heading(title, 1, page.letters, key, (title, 1))


def is_own_pdf(data: bytes) -> bool:
    """Whether a file is a PDF that this module wrote."""
    return data.startswith(b"%PDF-") and f"/Creator ({MAKER})".encode() in data
