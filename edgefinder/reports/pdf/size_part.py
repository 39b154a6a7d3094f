"""One size of the sheet: runs, pieces, places to watch, tapes."""

from collections.abc import Callable, Sequence
from typing import Final

from reportlab.platypus import Flowable, PageBreak
from reportlab.platypus import Table as SetTable

from edgefinder.reports.pdf.fitted import LEAST_SHARE, Fitted, drawn, share
from edgefinder.reports.pdf.links import Links
from edgefinder.reports.pdf.page import (
    LONG,
    Page,
    height,
    kept,
    set_passage,
    tables,
    whole,
)
from edgefinder.reports.pdf.picture import Picture
from edgefinder.reports.pdf.set_text import BODY, HEAD, Heading, Writing
from edgefinder.reports.pdf.tables import (
    CELL_LINES,
    Command,
    font_of_all,
    set_places,
    set_table,
)
from edgefinder.reports.sheet.content import (
    PieceSection,
    RunKey,
    SizeSection,
    TapeSection,
)

# As in the page of HTML; a test holds both to the same words.
PICTURE_WORDS: Final = (
    "A heavy line is bound; its pattern, its colour and the letter beside it tell "
    "the run. A number in a frame is a place to watch: a circle takes ease and steam, "
    "a black one is too tight, a square is a mitre. A broken circle has the radius of "
    "the tightest place of a run."
)
CHART_WORDS: Final = "Cutting chart of the way that takes least fabric."
NO_PLACE: Final = "No place to watch."
NO_PLACES: Final = "None: the tape lies flat everywhere."

MOST_LINKS: Final = 200
"""Below a picture: they take a quarter of the page at most, the picture the rest."""
SAMPLE_WIDTH: Final = 42.0
LETTER_WIDTH: Final = 18.0
"""Points for the sample of a run's line and its letter in the key."""
INSIDE: Final = 2
"""How deep the bookmarks of what is in a size lie."""


def size_part(
    size: SizeSection, head: Sequence[str], page: Page, begun: Callable[[], None]
) -> list[Flowable]:
    """Set a size, on a new page.

    Parameters
    ----------
    size : SizeSection
    head : sequence of str
        Of the places to watch.
    page : Page
    begun : callable
        Called when the size is written.

    Returns
    -------
    list of Flowable
    """
    key, letters = size.key, page.letters
    runs = set_table(size.runs, page.wide, letters)
    return [
        PageBreak(),
        Heading(size.title, 1, letters, key, (size.title, INSIDE - 1), begun),
        *kept(
            [_heading(f"Runs, {size.words}", f"{key}-runs", "Runs", page), runs], page
        ),
        *_run_keys(size.run_keys, page),
        *_pieces(size, page),
        *_places(size, head, page),
        *(
            part
            for number, passage in enumerate(size.one_cut, start=1)
            for part in set_passage(passage, f"{key}-one-cut-{number}", 2, page)
        ),
        *(
            part
            for number, tape in enumerate(size.tapes, start=1)
            for part in _tape(tape, size, f"{key}-tape-{number}", page)
        ),
    ]


def _heading(text: str, key: str, bookmark: str, page: Page, depth: int = 2) -> Heading:
    return Heading(text, depth, page.letters, key, (bookmark, INSIDE))


def _run_keys(runs: Sequence[RunKey], page: Page) -> list[Flowable]:
    if not runs:
        return []
    widths = SAMPLE_WIDTH, LETTER_WIDTH
    room = (SAMPLE_WIDTH, page.high)
    rows = [
        [
            Picture(run.sample, room, page.letters),
            page.words(run.letter, HEAD),
            Writing(run.order, BODY, page.letters, most=CELL_LINES),
        ]
        for run in runs
    ]
    style: list[Command] = [
        font_of_all(page.letters),
        ("VALIGN", (0, 0), (-1, -1), "MIDDLE"),
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), 0),
        ("TOPPADDING", (0, 0), (-1, -1), 1),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 1),
    ]
    columns = [*widths, page.wide - sum(widths)]
    return [SetTable(rows, colWidths=columns, style=style, hAlign="LEFT")]


def _pieces(size: SizeSection, page: Page) -> list[Flowable]:
    heading = Heading(f"Pieces, {size.words}", 2, page.letters, f"{size.key}-pieces")
    before: list[Flowable] = [heading, page.words(PICTURE_WORDS)]
    if not size.pieces:
        return kept(before, page)
    parts: list[Flowable] = []
    for number, piece in enumerate(size.pieces, start=1):
        parts += _piece(piece, size, number, page, before)
        before = []
    return parts


def _piece(
    piece: PieceSection,
    size: SizeSection,
    number: int,
    page: Page,
    before: Sequence[Flowable],
) -> list[Flowable]:
    """Set the name of a piece, its picture, the numbers of its places, its edges.

    A picture is made a little smaller so that a short table does not stand alone on
    the next page.
    """
    title = f"{piece.name}, {size.words}"
    key = f"{size.key}-piece-{number}"
    heading = _heading(title, key, f"Piece {piece.name}", page, depth=3)
    shown, others = piece.places[:MOST_LINKS], len(piece.places[MOST_LINKS:])
    links = [(str(place), f"{size.key}-place-{place}") for place in shown]
    if others:
        links.append((f"and {others} more", ""))
    words = "Places to watch:" if links else NO_PLACE
    caption = Links(words, links, BODY, page.letters)
    around: list[Flowable] = [*before, heading, caption]
    edges = [] if piece.edges is None else tables([piece.edges], page)
    if piece.edges is not None:
        table = set_table(piece.edges, page.wide, page.letters)
        if height(table, page) <= LONG * page.high:
            parts = drawn(piece.picture, [*around, table], page, page.high)
            if share(parts) >= LEAST_SHARE:
                return kept([*before, heading, *parts, caption, table], page)
    parts = drawn(piece.picture, around, page, page.high)
    return [*kept([*before, heading, *parts, caption], page), *edges]


def _places(size: SizeSection, head: Sequence[str], page: Page) -> list[Flowable]:
    title = f"Places to watch, {size.words}"
    heading = _heading(title, f"{size.key}-places", "Places to watch", page)
    if not size.places:
        return kept([heading, page.words(NO_PLACES)], page)
    caption = f"Places to watch in {size.words}"
    key = f"{size.key}-place-"
    table = set_places(caption, head, size.places, key, page.wide, page.letters)
    return kept([heading, table], page)


def _tape(tape: TapeSection, size: SizeSection, key: str, page: Page) -> list[Flowable]:
    heading = _heading(
        f"Tape {tape.name}, {size.words}", key, f"Tape {tape.name}", page
    )
    first, *words = [page.words(text) for text in tape.words]
    parts = [*kept([heading, first], page), *words]
    parts += tables([tape.methods], page)
    parts += [page.words(text) for text in tape.not_possible]
    parts += tables([tape.widths], page)
    if tape.steps is not None:
        title = f"{tape.steps.title}, {size.words}"
        steps = [
            page.words(f"{number}. {step.text}")
            for number, step in enumerate(tape.steps.steps, start=1)
        ]
        named = Heading(title, 3, page.letters, f"{key}-steps")
        parts += [*kept([named, *steps[:1]], page), *whole(steps[1:], page)]
    if tape.chart is not None:  # it takes a page: the steps fill up the one before
        parts.append(Fitted(tape.chart, [page.words(CHART_WORDS)], page))
    for number, passage in enumerate(tape.there, start=1):
        parts += set_passage(passage, f"{key}-there-{number}", 3, page)
    return parts
