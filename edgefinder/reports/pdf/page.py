"""What fits on a page, and what is kept together there."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from reportlab.platypus import CondPageBreak, Flowable

from edgefinder.reports.pdf.letters import Letters
from edgefinder.reports.pdf.set_text import BODY, Heading, Style, Writing
from edgefinder.reports.pdf.tables import set_table
from edgefinder.reports.sheet.tables import Passage, Table

LONG: Final = 0.5
"""A table that takes a larger share of a page may go on to the next one."""
BEGUN: Final = 90.0
"""Points of a long table that stand where it begins: its head and a few rows."""


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

    A table at their end that is long need only begin.
    """
    heights = [height(one, page) for one in flowables]
    if heights[-1] > LONG * page.high:
        heights[-1] = BEGUN
    while sum(heights) > page.high:  # what comes first stays behind
        del heights[0]
    before = len(flowables) - len(heights)
    together = CondPageBreak(sum(heights))
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
