"""Long path data, taken out of a text before its XML is read, and put back after.

Most of a drawing is the numbers in its d attributes. Expat goes over each byte of them
four times, for the end of the tag, the end of the value, what is to be replaced in it
and the lines, and finds nothing. That there is nothing is found here for the whole text
at once, several times faster; expat reads a short mark for each value instead.

A value is taken out only where that changes nothing for the rest of the text: between
its quotes stands no sign that means anything to XML, so that it is a part of one value,
one comment or one text, whichever it is. (Two hyphens, which no comment may have, are
let pass in one that holds path data.)
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from edgefinder.geometry.segments import Indices

LEAST_BYTES: Final = 256
"""Shorter values are little work for expat."""
MOST_BYTES: Final = 2**24
"""Longer path data is not read, and is left for what says so."""
MOST_SIGNS: Final = 2**22
"""A text with more is left as it is: their places alone would take 32 megabytes."""

MARK: Final = "\x7f"
"""Stands before and after the number of a value: a sign that XML allows and no drawing
has (XML 1.0, section 2.2)."""
_MARKED: Final = re.compile(rf"{MARK}(\d+){MARK}\s*")
_MARK_BY_NUMBER: Final = re.compile(rb"&#(?:0*127|x0*7[fF]);")
_BEFORE: Final = frozenset(space + b"d=" for space in (b" ", b"\t", b"\n", b"\r"))
_MOVES: Final = (b"M", b"m")
_BREAKS: Final = tuple(b"\t\n\r")
_AS_SPACES: Final = bytes.maketrans(b"\t\n", b"  ")
"""XML 1.0, section 3.3.3, "Attribute-Value Normalization"."""
_QUOTE: Final = ord('"')
_PIECE: Final = 2**18
"""Bytes looked at together: as many as stay in the nearer memory of a processor."""


@dataclass(frozen=True, slots=True, eq=False)
class Lifted:
    """A text without its long path data.

    Parameters
    ----------
    text : bytes
        With a mark for each value, and with all of its lines.
    values : tuple of str
        As XML gives them: white space is spaces.
    """

    text: bytes
    values: tuple[str, ...]

    def restored(self, text: str) -> str:
        """Return an attribute or some text with what was taken out of it."""
        if MARK not in text or not self.values:
            return text
        return _MARKED.sub(lambda mark: self.values[int(mark[1])], text)


def lift(text: bytes) -> Lifted:
    """Take long path data out of a text.

    Parameters
    ----------
    text : bytes
        In an encoding that has ASCII in it.

    Returns
    -------
    Lifted
        The text as it is if it has a mark of its own, or declares what could be put
        into it more than once, or consists of signs.
    """
    parts: list[bytes] = []
    values: list[str] = []
    done = 0
    for start, stop, has_breaks in _long_values(text):
        parts += (text[done:start], f"{MARK}{len(values)}{MARK}".encode())
        value = text[start:stop]
        if has_breaks:
            value = value.replace(b"\r\n", b"\n").replace(b"\r", b"\n")
            # The lines of the text are still to be counted.
            parts.append(b"\n" * value.count(b"\n"))
            value = value.translate(_AS_SPACES)
        values.append(value.decode("ascii"))
        done = stop
    return Lifted(b"".join((*parts, text[done:])) if parts else text, tuple(values))


def _long_values(text: bytes) -> Iterator[tuple[int, int, bool]]:
    """Find where each begins and its closing quote stands, and if it has breaks."""
    signs, breaks = _signs(text)
    size = np.diff(signs) - 1
    long = np.flatnonzero((size >= LEAST_BYTES) & (size <= MOST_BYTES))
    if not long.size or _may_mislead(text, signs):
        return
    before, after = signs[long], signs[long + 1]
    has_breaks = np.searchsorted(breaks, before) < np.searchsorted(breaks, after)
    for quote, stop, is_broken in zip(
        before.tolist(), after.tolist(), has_breaks.tolist(), strict=True
    ):
        start = quote + 1
        if (
            text[quote] == text[stop] == _QUOTE
            and text[max(quote - 3, 0) : quote] in _BEFORE
            # A quote could also end here what another one began; then this is no move.
            and text[start : start + LEAST_BYTES].lstrip()[:1] in _MOVES
        ):
            yield start, stop, is_broken


def _signs(text: bytes) -> tuple[Indices, Indices]:
    """Return where signs stand that path data does not have, and tabs and line ends.

    All that means something to XML is among the signs, and all that must not be there.
    None are returned if they are too many.
    """
    codes = np.frombuffer(text, dtype=np.uint8)
    found = [np.empty(0, dtype=np.intp)]
    count = 0
    for start in range(0, len(codes), _PIECE):
        piece = codes[start : start + _PIECE]
        # Digits, letters, and + , - . stand between these two, and little else.
        is_sign = ~_are_within(piece, b"(~")
        is_sign &= piece != ord(" ")
        is_sign |= _are_within(piece, b"<>")  # and the = between them
        found.append(start + np.flatnonzero(is_sign))
        count += len(found[-1])
        if count > MOST_SIGNS:
            return found[0], found[0]
    at = np.concatenate(found)
    is_break = np.isin(codes[at], _BREAKS)
    return at[~is_break], at[is_break]


def _are_within(codes: NDArray[np.uint8], ends: bytes) -> NDArray[np.bool_]:
    # What is below the first wraps round to large numbers: one comparison does.
    first, last = ends
    within: NDArray[np.bool_] = codes - np.uint8(first) <= last - first
    return within


def _may_mislead(text: bytes, signs: Indices) -> bool:
    """Whether a text has marks, or declares values that could be taken up many times.

    Such a value, which a declaration of an entity or of attributes holds, must be seen
    in its true size.
    """
    codes = np.frombuffer(text, dtype=np.uint8)
    sign = codes[signs]
    after, second = (codes[np.minimum(signs + i, len(codes) - 1)] for i in (1, 2))
    declares = (sign == ord("<")) & (after == ord("!"))
    declares &= (second == ord("E")) | (second == ord("A"))
    refers = (sign == ord("&")) & (after == ord("#"))
    return bool(
        (sign == ord(MARK)).any()
        or declares.any()
        or (refers.any() and _MARK_BY_NUMBER.search(text))
    )
