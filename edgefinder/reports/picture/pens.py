"""How lines of a picture are drawn, so that they are known without their colour too.

Sizes are millimetres of paper.
"""

from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from edgefinder.curvature.verdict import Verdict


@dataclass(frozen=True, slots=True)
class Pen:
    """A way to draw a line.

    Parameters
    ----------
    colour : str
    width : float
        Millimetres of paper.
    dashes : tuple of float
        Millimetres of paper drawn and left out by turns; empty for a whole line.
    """

    colour: str
    width: float
    dashes: tuple[float, ...] = ()


INK: Final = "#000000"
PAPER: Final = "#FFFFFF"

OUTLINE: Final = Pen(INK, 0.25)
LEADER: Final = Pen("#595959", 0.15)
"""Grey that keeps 7:1 on white (relative luminance, WCAG 2.2)."""
CIRCLE: Final = Pen("#595959", 0.2, (1.2, 0.9))
FOLD: Final = Pen(INK, 0.3, (5.0, 1.0, 1.0, 1.0))
GRAIN: Final = Pen(INK, 0.3)
BAND: Final = Pen(INK, 0.2)

RUN_COLOURS: Final = ("#0072B2", "#D55E00", "#009E73", "#CC79A7", "#000000")
"""Okabe and Ito, Color Universal Design, 2002: those of their colours that keep 3:1 on
white, as WCAG 2.2, 1.4.11 asks of lines."""

RUN_DASHES: Final = (
    (),
    (3.0, 1.0),
    (1.0, 0.8),
    (4.0, 0.8, 0.8, 0.8),
    (2.4, 0.7, 0.7, 0.7, 0.7, 0.7),
    (6.0, 1.6),
)
"""One more than there are colours, so that thirty runs differ in one of the two."""

RUN_WIDTH: Final = 1.0


def run_pen(index: int) -> Pen:
    """Return the pen of the run with an index, from 0."""
    colour = RUN_COLOURS[index % len(RUN_COLOURS)]
    return Pen(colour, RUN_WIDTH, RUN_DASHES[index % len(RUN_DASHES)])


def run_letter(index: int) -> str:
    """Return the letter of the run with an index: A to Z, then AA, AB and so on.

    Examples
    --------
    >>> run_letter(0), run_letter(25), run_letter(26)
    ('A', 'Z', 'AA')
    """
    letters = ""
    index += 1
    while index:
        index, last = divmod(index - 1, 26)
        letters = chr(ord("A") + last) + letters
    return letters


BAND_FILLS: Final = MappingProxyType(
    {
        Verdict.STEAM: PAPER,
        Verdict.TOO_TIGHT: INK,
        Verdict.MITRE: "#8C8C8C",
    }
)
"""Of the stretch of tape that does not lie flat: white, black and grey, which a printer
without colour tells apart; the frame of its number has another shape for each."""
