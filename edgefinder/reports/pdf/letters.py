"""Which font has the letters of a text, and how wide they come out.

Every font is embedded, reduced to the letters that are used. The font of all that it
has the letters for comes with the library that writes the PDF: Latin letters of western
Europe. For other texts a font of the person's computer is taken that has them all. A
letter that none has is written as its number in Unicode: ``[U+5E03]``.
"""

import unicodedata
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Final

import reportlab
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from edgefinder.errors import one_line
from edgefinder.reports.layout import WORDS
from edgefinder.reports.pdf.own_fonts import FOLDERS, own_fonts

_FONTS: Final = Path(reportlab.__file__).parent / "fonts"
_REGULAR: Final = "Vera.ttf"
_BOLD: Final = "VeraBd.ttf"


@dataclass(frozen=True, slots=True)
class Span:
    """A text that one font has all letters of.

    Parameters
    ----------
    font : str
        As it is registered.
    text : str
    """

    font: str
    text: str


class Letters:
    """The fonts of one document.

    Parameters
    ----------
    folders : iterable of Path
        Where fonts are looked for if the own one lacks a letter.
    """

    def __init__(self, folders: Iterable[Path] = FOLDERS) -> None:
        self._folders = tuple(folders)
        self._regular, self._bold = _own(_REGULAR), _own(_BOLD)
        self._widths: dict[tuple[str, bool], float] = {}

    @property
    def regular(self) -> str:
        """Name of the font that most is written in."""
        return str(self._regular.fontName)

    def spans(self, text: str, *, bold: bool = False) -> tuple[Span, ...]:
        """Divide a text by fonts.

        Parameters
        ----------
        text : str
            In one line; nothing in it is markup.
        bold : bool

        Returns
        -------
        tuple of Span
            Together the text, where letters that no font has are replaced by their
            numbers.
        """
        text = unicodedata.normalize("NFC", one_line(text))
        own = self._bold if bold else self._regular
        if text.isascii() or _has(own, text):
            return (Span(own.fontName, text),)
        found = [pair[1] if bold else pair[0] for pair in own_fonts(self._folders)]
        for font in found:
            if _has(font, text):
                return (Span(font.fontName, text),)
        return _joined([_spelled(letter, (own, *found)) for letter in text])

    def width(self, text: str, size: float, *, bold: bool = False) -> float:
        """Return the width of a text in the unit of its size."""
        if (text, bold) not in self._widths:  # the same cells come in every size
            self._widths[text, bold] = float(
                sum(
                    pdfmetrics.stringWidth(span.text, span.font, 1.0)
                    for span in self.spans(text, bold=bold)
                )
            )
        return self._widths[text, bold] * size

    def wrapped(
        self, text: str, wide: float, size: float, *, bold: bool = False
    ) -> tuple[str, ...]:
        """Wrap a text.

        A figure stays with its unit. A word that is wider than the line goes on in the
        next one.
        """

        def width(part: str) -> float:
            return self.width(part, size, bold=bold)

        text = " ".join(one_line(text).split())
        if width(text) <= wide:
            return (text,)
        lines = [""]
        for word in WORDS.findall(text):
            longer = f"{lines[-1]} {word}" if lines[-1] else word
            if width(longer) <= wide:
                lines[-1] = longer
                continue
            parts = (word,) if width(word) <= wide else _divided(word, wide, width)
            lines += parts
        return tuple(line for line in lines if line)

    def shortened(self, text: str, wide: float, size: float) -> str:
        """Cut a text short at its end, if it is wider than there is room."""
        lines = self.wrapped(text, wide, size)
        if len(lines) <= 1:
            return "".join(lines)
        first = lines[0]
        while first and self.width(f"{first}..", size) > wide:
            first = first[:-1]
        return f"{first}.."


def _divided(word: str, wide: float, width: Callable[[str], float]) -> list[str]:
    """Divide a word into parts that fit; one letter fits always."""
    parts = [""]
    for letter in word:
        if parts[-1] and width(parts[-1] + letter) > wide:
            parts.append("")
        parts[-1] += letter
    return parts


@cache
def _own(file: str) -> TTFont:
    font = TTFont(f"edgefinder-{file}", str(_FONTS / file))
    pdfmetrics.registerFont(font)
    return font


def _has(font: TTFont, text: str) -> bool:
    return all(ord(letter) in font.face.charToGlyph for letter in text)


def _spelled(letter: str, fonts: Sequence[TTFont]) -> Span:
    for font in fonts:
        if _has(font, letter):
            return Span(font.fontName, letter)
    return Span(fonts[0].fontName, f"[U+{ord(letter):04X}]")


def _joined(spans: Sequence[Span]) -> tuple[Span, ...]:
    joined = [spans[0]]
    for span in spans[1:]:
        last = joined[-1]
        if last.font == span.font:
            joined[-1] = Span(last.font, last.text + span.text)
        else:
            joined.append(span)
    return tuple(joined)
