"""What stands between the digits of path data, for many d attributes at once.

The digits part a text as spaces part a sentence: the signs between them (*entries*
here: spaces, commas, points, letters) say what each run of digits is. Everything is
found by masks over the bytes of all texts together.
"""

from collections.abc import Sequence
from types import MappingProxyType
from typing import Final

import numpy as np
from numpy.typing import NDArray

from edgefinder.errors import DrawingError
from edgefinder.geometry.segments import Indices

Bytes = NDArray[np.uint8]
Mask = NDArray[np.bool_]
Integers = NDArray[np.int64]

ARITY: Final = MappingProxyType(
    {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7, "Z": 0}
)
"""Numbers for each repetition of a command: SVG 2, section 9.3."""

MAX_ENTRIES: Final = 2**23
"""Signs that are no digits, in all texts read at once: each takes about 100 bytes
while they are told apart."""
DIGITS_IN_RUN: Final = 16
"""More would not fit into 64 bits; as many bytes stand before the first text."""
LONG_RUN: Final = DIGITS_IN_RUN + 1
"""Stands for any number of digits that is too large."""

SPACE, COMMA, SIGN, POINT, EXPONENT, LETTER, WRONG, JOINT = range(8)
"""Kinds of entries; a joint stands before and after every text."""
_JOINT_BYTE: Final = b"\0"


def _kinds_by_byte() -> bytes:
    kinds = bytearray([WRONG]) * 256
    letters = "".join(ARITY)
    for signs, kind in (
        (" \t\r\n\f", SPACE),
        (",", COMMA),
        ("+-", SIGN),
        (".", POINT),
        ("eE", EXPONENT),
        (letters + letters.lower(), LETTER),
    ):
        for sign in signs.encode():
            kinds[sign] = kind
    return bytes(kinds)


_KINDS: Final = _kinds_by_byte()


class Entries:
    """Whatever is no digit, in some texts one after the other.

    Parameters
    ----------
    texts : sequence of bytes
        In ASCII.

    Attributes
    ----------
    text : bytes
        All texts, each between two joints.
    digit : ndarray of uint8
        The digit that each byte of it is, zero for what is none.
    is_digit : ndarray of uint8
        One for each byte that is a digit, and zero for what is none.
    at : ndarray of intp, shape (k,)
        Where each entry stands in it.
    sign, kind : ndarray of uint8, shape (k,)
        The byte there, and what kind of entry it is.
    run : ndarray of uint8, shape (k,)
        How many digits follow each, up to `LONG_RUN`.
    longest : int
        The most digits that follow one.
    joint : ndarray of intp, shape (n + 1,)
        The entries that are joints.
    wrong : list of ndarray of intp
        Entries that cannot be right; who finds one adds to it.

    Raises
    ------
    DrawingError
        If there are more than `MAX_ENTRIES`.
    """

    def __init__(self, texts: Sequence[bytes]) -> None:
        before = b" " * (DIGITS_IN_RUN - 1)
        self.text = _JOINT_BYTE.join((before, *texts, b""))
        codes = np.frombuffer(self.text, dtype=np.uint8)
        self.digit: Bytes = codes - np.uint8(ord("0"))
        is_digit = self.digit <= 9
        # Masks of single bytes are multiplied with: no other way is as fast.
        self.is_digit: Bytes = is_digit.view(np.uint8)
        self.digit *= self.is_digit
        self.at = np.flatnonzero(~is_digit)
        if len(self.at) > MAX_ENTRIES:
            raise DrawingError(
                f"has path data with more than {MAX_ENTRIES} signs that are no digits"
            )
        self.sign = codes.take(self.at)
        kind = bytearray(self.sign.tobytes().translate(_KINDS))
        self.kind: Bytes = np.frombuffer(kind, dtype=np.uint8)
        joints = np.cumsum([len(before), *(len(text) + 1 for text in texts)])
        self.joint: Indices = np.searchsorted(self.at, joints)
        self.kind[self.joint] = JOINT
        step = self.at[1:] - self.at[:-1]
        self.longest = int(step.max()) - 1
        if self.longest > DIGITS_IN_RUN:
            step = np.minimum(step, LONG_RUN + 1)
        # Nothing follows the last one.
        self.run: Bytes = np.zeros(len(self.at), dtype=np.uint8)
        self.run[:-1] = step
        self.run[:-1] -= 1
        is_wrong = self.kind == WRONG
        self.wrong: list[Indices] = [np.flatnonzero(is_wrong)] if is_wrong.any() else []
