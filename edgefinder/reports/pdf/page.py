"""What fits on a page, and what is kept together there."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from reportlab.platypus import CondPageBreak, Flowable
from reportlab.platypus import Table as SetTable

from edgefinder.reports.pdf.letters import Letters
from edgefinder.reports.pdf.set_text import BODY, Heading, Style, Writing
from edgefinder.reports.pdf.tables import set_table
from edgefinder.reports.sheet.tables import Passage, Table

LONG: Final = 0.5
"""A table that takes a larger share of a page may go on to the next one."""
BEGUN: Final = 90.0
"""Points of a long table that stand where it begins: its head and a few rows."""
EMPTY: Final = 0.25
"""Share of a page that a table which is kept whole may leave empty above it.

Larger: pages hold almost nothing. Smaller: tables are cut that could be read at once.
"""


class Together(CondPageBreak):
    """A new page where what follows does not fit on this one.

    Parameters
    ----------
    whole : float
        Points that it takes.
    begun : float
        Points with which it can begin, if it may go on to the next page.
    most_empty : float
        Points that may be left empty so that it is whole.
    """

    def __init__(self, whole: float, begun: float, most_empty: float) -> None:
        super().__init__(whole)
        self._begun = begun
        self._most_empty = most_empty

    def wrap(self, available: float, high: float) -> tuple[float, float]:
        """Begin a new page, or do nothing; see the library's own."""
        is_much = high > self._most_empty
        if is_much and high >= self._begun:
            return 0.0, 0.0
        across, along = super().wrap(available, high)
        return float(across), float(along)


@dataclass(frozen=True, slots=True)
class Page:
    """A page.

    Parameters
    ----------
    wide, high : float
        Of what is written on, in points.
    letters : Letters
    """

    wide: float
    high: float
    letters: Letters

    def words(self, text: str, style: Style = BODY) -> Flowable:
        """Set a paragraph."""
        return Writing(text, style, self.letters)

    def items(self, texts: Sequence[str]) -> list[Flowable]:
        """Set a list."""
        return [self.words(f"- {text}") for text in texts]


def kept(flowables: Sequence[Flowable], page: Page) -> list[Flowable]:
    """Begin a new page first if not all of these fit on what is left of this one.

    A table at their end need only begin if it is long, or if too much of this page
    would be left empty.
    """
    heights = [height(one, page) for one in flowables]
    if heights[-1] > LONG * page.high:
        heights[-1] = BEGUN
    while sum(heights) > page.high:  # what comes first stays behind
        del heights[0]
    before = len(flowables) - len(heights)
    needed = begun = sum(heights)
    if isinstance(flowables[-1], SetTable):
        begun -= max(0.0, heights[-1] - BEGUN)
    together = Together(needed, begun, EMPTY * page.high)
    return [*flowables[:before], together, *flowables[before:]]


def height(one: Flowable, page: Page) -> float:
    """Return what a flowable takes of a page, with what is left free around it."""
    _, high = one.wrap(page.wide, page.high)
    return float(high + one.getSpaceBefore() + one.getSpaceAfter())


def set_passage(passage: Passage, key: str, depth: int, page: Page) -> list[Flowable]:
    """Set a heading, its paragraphs and its tables."""
    heading = Heading(passage.title, depth, page.letters, key)
    words = [page.words(text) for text in passage.words]
    tables = [set_table(table, page.wide, page.letters) for table in passage.tables]
    first, *others = [*words, *tables] or [page.words("")]
    return [*kept([heading, first], page), *whole(others, page)]


def whole(flowables: Sequence[Flowable], page: Page) -> list[Flowable]:
    """Keep each for itself on one page if it is short."""
    return [part for one in flowables for part in kept([one], page)]


def tables(found: Sequence[Table], page: Page) -> list[Flowable]:
    """Set tables, each on one page if it is short."""
    return whole([set_table(one, page.wide, page.letters) for one in found], page)
