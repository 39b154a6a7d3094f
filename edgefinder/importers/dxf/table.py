"""A text DXF as a table of group codes: two lines a row, found by numpy at once."""

import warnings
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from edgefinder.geometry.segments import Floats, Indices

CHUNK_BYTES: Final = 2**20
"""Text looked at in one go: its lines and masks stay in the cache. Larger: more memory.
Smaller: more Python."""

WIDEST_CODE: Final = 4
"""Characters of a group code: three, right-aligned, and four since codes reach 1071."""

_LF, _CR, _SPACE, _ZERO, _COMMA = b"\n\r 0,"

_NUMBER_BYTES: Final = np.zeros(256, dtype=np.bool_)
_NUMBER_BYTES[np.frombuffer(b"0123456789+-.eE \t\r\n", dtype=np.uint8)] = True
"""No more than numbers are written with: words such as nan, and the underscores that
Python takes in a number, are left to the library."""


@dataclass(frozen=True, slots=True, eq=False)
class Tags:
    """Every tag of a text DXF: its group code, and where it stands.

    Parameters
    ----------
    codes : ndarray of int16, shape (n,)
    starts : ndarray of uint32, shape (n + 1,)
        First byte of the line of the code; the last one is where the table ends.
    values : ndarray of uint32, shape (n,)
        First byte of the line of the value, which ends where the next tag starts.
    """

    codes: NDArray[np.int16]
    starts: NDArray[np.uint32]
    values: NDArray[np.uint32]

    def __len__(self) -> int:
        return len(self.codes)


def tags_of(data: bytes) -> Tags | None:
    """Find all tags of a text DXF.

    Parameters
    ----------
    data : bytes
        Begins with a group code; at most 4 GB. Half a tag at the end is left out.

    Returns
    -------
    Tags or None
        None if there are none, a group code is not written as drawing programs write
        them, or a line ends with CR alone.
    """
    if b"\r" in data and data.count(b"\r") != data.count(b"\r\n"):
        return None
    codes, starts, values = [], [], []
    begin = 0
    while begin < len(data):
        stop = min(begin + CHUNK_BYTES, len(data))
        text = np.frombuffer(data, np.uint8, stop - begin, begin)
        ends = np.flatnonzero(text == _LF)
        ends = ends[: len(ends) // 2 * 2]
        if not len(ends) and stop == len(data):
            break
        if not len(ends):
            return None  # a line beyond all measure
        start = np.append(0, ends[1:-1:2] + 1)
        code = _codes(text, start, ends[0::2])
        if code is None:
            return None
        codes.append(code)
        starts.append((start + begin).astype(np.uint32))
        values.append((ends[0::2] + (begin + 1)).astype(np.uint32))
        begin += int(ends[-1]) + 1
    if not codes:
        return None
    starts.append(np.array([begin], dtype=np.uint32))
    return Tags(np.concatenate(codes), np.concatenate(starts), np.concatenate(values))


def _codes(
    text: NDArray[np.uint8], start: Indices, end: Indices
) -> NDArray[np.int16] | None:
    """Read the numbers of lines: digits, with blanks before them."""
    last = end - 1
    last -= text[last] == _CR  # an empty line leads to the one before; seen below
    width = last - start + 1
    if width.min() < 1 or width.max() > WIDEST_CODE:
        return None
    total = np.zeros(len(start), dtype=np.int16)
    digits_go_on = np.ones(len(start), dtype=np.bool_)
    for place in range(WIDEST_CODE):
        inside = width > place
        byte = np.where(inside, text[np.maximum(last - place, 0)], _SPACE)
        digit = byte - np.uint8(_ZERO)  # wraps round below "0"
        is_digit = digit <= 9
        if not (is_digit & digits_go_on | (byte == _SPACE)).all():
            return None
        total += np.where(is_digit, digit, 0).astype(np.int16) * np.int16(10**place)
        digits_go_on = is_digit
        if place == 0 and not is_digit.all():
            return None
    return total


def rows_saying(data: bytes, tags: Tags, rows: Indices, word: bytes) -> Indices:
    """Return those of some rows whose value is a word, without blanks around it."""
    text = np.frombuffer(data, dtype=np.uint8)
    first = tags.values[rows].astype(np.intp)
    size = tags.starts[rows + 1] - first - 1
    size -= text[first + size - 1] == _CR
    right_size = size == len(word)
    rows, first = rows[right_size], first[right_size]
    said = text[first[:, np.newaxis] + np.arange(len(word))]
    chosen: Indices = rows[(said == np.frombuffer(word, np.uint8)).all(axis=1)]
    return chosen


def numbers_at(data: bytes, tags: Tags, rows: Indices) -> Floats | None:
    """Read the values of rows as numbers, rounded as Python rounds them.

    Parameters
    ----------
    data : bytes
    tags : Tags
    rows : ndarray of intp, shape (n,)
        Ascending.

    Returns
    -------
    ndarray, shape (n,), or None
        None if one is not a plain number.
    """
    numbers = np.empty(len(rows))
    first, stop = tags.values[rows].astype(np.intp), tags.starts[rows + 1]
    done = 0
    while done < len(rows):
        begin = int(first[done])
        more = int(np.searchsorted(stop, begin + CHUNK_BYTES, side="right"))
        more = max(more, done + 1)
        length = int(stop[more - 1]) - begin
        text = np.frombuffer(data, np.uint8, length, begin)
        # Ones within the lines that are wanted, line ends included.
        steps = np.zeros(length + 1, dtype=np.int8)
        steps[first[done:more] - begin] += 1
        steps[stop[done:more] - begin] -= 1
        wanted = text[np.cumsum(steps[:-1], dtype=np.int8).view(np.bool_)]
        if not _NUMBER_BYTES[wanted].all():
            return None
        wanted[wanted == _LF] = _COMMA
        read = _numbers(wanted.tobytes())
        if read is None or len(read) != more - done:
            return None
        numbers[done:more] = read
        done = more
    return numbers


def _numbers(text: bytes) -> Floats | None:
    """Read numbers with a comma after each."""
    with warnings.catch_warnings():
        # Older releases of numpy warn, newer ones raise, where no number can be read.
        warnings.simplefilter("error")
        try:
            return np.fromstring(text, dtype=np.float64, sep=",")
        except (ValueError, DeprecationWarning):
            return None
