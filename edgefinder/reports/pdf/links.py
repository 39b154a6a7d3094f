"""A line of numbers that lead to other places of the document."""

from collections.abc import Sequence

from reportlab.platypus import Flowable

from edgefinder.reports.pdf.letters import Letters
from edgefinder.reports.pdf.set_text import DESCENT, LEADING, Style, draw_line


class Links(Flowable):
    """Words, then numbers that lead to places of the document.

    Parameters
    ----------
    words : str
    numbers : sequence of (str, str)
        Each with the key of what it leads to; an empty key leads nowhere.
    style : Style
    letters : Letters
    """

    def __init__(
        self,
        words: str,
        numbers: Sequence[tuple[str, str]],
        style: Style,
        letters: Letters,
    ) -> None:
        super().__init__()
        self._words = words
        self._numbers = tuple(numbers)
        self._style = style
        self._letters = letters
        self._placed: list[tuple[str, str, float, int]] = []
        """Text, key, left end, line."""

    def wrap(self, available: float, _high: float) -> tuple[float, float]:
        """Place the words and numbers; return what they take, in points."""
        size = self._style.size
        blank = self._letters.width(" ", size)
        last = len(self._numbers) - 1
        texts = [(word, "") for word in self._words.split()]
        texts += [
            (f"{number}{'.' if i == last else ','}", key)
            for i, (number, key) in enumerate(self._numbers)
        ]
        self._placed, left, line = [], 0.0, 0
        for text, key in texts:
            wide = self._letters.width(text, size)
            if left and left + wide > available:
                left, line = 0.0, line + 1
            self._placed.append((text, key, left, line))
            left += wide + blank
        self.width, self.height = available, (line + 1) * size * LEADING
        return self.width, self.height

    def draw(self) -> None:
        """Write them; a number can be clicked on."""
        size = self._style.size
        step = size * LEADING
        for text, key, left, line in self._placed:
            low = self.height - (line + 1) * step
            at = left, low + DESCENT * size
            draw_line(self.canv, text, at, self._style, self._letters)
            if key:
                wide = self._letters.width(text[:-1], size)
                box = left, low, left + wide, low + step
                self.canv.linkRect("", key, box, relative=1, thickness=0)

    def getSpaceAfter(self) -> float:  # noqa: N802 - as the library calls it
        """Return what is left free below, in points."""
        return self._style.after
