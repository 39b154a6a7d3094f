"""A drawing that takes the room that is there, rather than a page of its own."""

from collections.abc import Sequence
from typing import Final

from reportlab.platypus import Flowable

from edgefinder.reports.pdf.page import Page, height
from edgefinder.reports.pdf.picture import Picture

LEAST_SHARE: Final = 0.8
"""Of its size, to which a drawing is made smaller so that it needs no other page.

Smaller: the drawing shows less. Larger: more pages hold almost nothing.
"""


class Fitted(Flowable):
    """A drawing with what stands below it, a little smaller where that saves a page.

    Parameters
    ----------
    svg : str
        Made by this program.
    below : sequence of Flowable
    page : Page
    """

    def __init__(self, svg: str, below: Sequence[Flowable], page: Page) -> None:
        super().__init__()
        self._svg, self._below, self._page = svg, tuple(below), page
        self._parts: list[tuple[Flowable, float]] = []

    def wrap(self, available: float, high: float) -> tuple[float, float]:
        """Fit it into a height; return what it takes, in points."""
        page = self._page
        on_a_page = drawn(self._svg, self._below, page, page.high)
        here = drawn(self._svg, self._below, page, min(high, page.high))
        least = LEAST_SHARE * share(on_a_page)
        chosen = here if share(here) >= least else on_a_page
        parts = [*chosen, *self._below]
        self._parts = [(one, height(one, page)) for one in parts]
        self.width, self.height = available, sum(taken for _, taken in self._parts)
        return self.width, self.height

    def draw(self) -> None:
        """Draw the parts from top to bottom."""
        at = self.height
        for part, taken in self._parts:
            at -= taken
            part.drawOn(self.canv, 0, at + part.getSpaceAfter())


def drawn(
    svg: str, around: Sequence[Flowable], page: Page, high: float
) -> list[Flowable]:
    """Draw a picture so that it fits into a height with what is around it.

    If it is made smaller for that, the scale that it states is put right.
    """
    taken = sum(height(one, page) for one in (*around, page.words("-")))
    picture = Picture(svg, (page.wide, max(1.0, high - taken - 1.0)), page.letters)
    if picture.share == 1.0:
        return [picture]
    part = f"{100 * picture.share:.0f} %"
    return [picture, page.words(f"Drawn at {part} of the scale that it states.")]


def share(parts: Sequence[Flowable]) -> float:
    """Return the share of its size that the picture among some parts is drawn at."""
    return next(one.share for one in parts if isinstance(one, Picture))
