"""What is drawn on a piece or beside it that says something of its edges."""

from dataclasses import dataclass
from typing import Final

from edgefinder.importers.drawing import DrawnLine, DrawnText


@dataclass(frozen=True, slots=True)
class NotchMark:
    """A notch of a piece.

    Parameters
    ----------
    at : complex
        Point of the outline, in millimetres.
    names : tuple of str
        What the drawing calls it; empty where it does not.
    """

    at: complex
    names: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Surroundings:
    """Marks of one piece in one size.

    Parameters
    ----------
    notches : tuple of NotchMark
        In the order of the outline from the start of its first edge.
    markers : tuple of DrawnLine
        Marker lines that run along its outline.
    texts : tuple of DrawnText
        Texts nearer to its outline than a hand's breadth, inside and outside.
    grain_line : (complex, complex) or None
        Ends of the line along which the lengthwise threads of the cloth run, in
        millimetres; None where none is drawn.
    """

    notches: tuple[NotchMark, ...] = ()
    markers: tuple[DrawnLine, ...] = ()
    texts: tuple[DrawnText, ...] = ()
    grain_line: tuple[complex, complex] | None = None


NOTHING_AROUND: Final = Surroundings()
