"""Numbers and commands of many d attributes at once, by masks over their bytes.

The digits part a text as spaces part a sentence: the signs between them (*entries*
here: spaces, commas, points, letters) say what each run of digits is. A number is its
digits as one whole number and how many of them stand behind the point, so that it comes
out as exactly as `float` reads it, and sums of it can be exact. What is not plainly
right is not judged here: its path is marked, for `path_data` to read or to refuse.
"""

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

import numpy as np
from numpy.typing import NDArray

from edgefinder.geometry.segments import Floats, Indices
from edgefinder.importers.svg.units import MAX_NUMBER, NUMBER_PATTERN

Bytes = NDArray[np.uint8]
Mask = NDArray[np.bool_]
Integers = NDArray[np.int64]

ARITY: Final = MappingProxyType(
    {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7, "Z": 0}
)
"""Numbers for each repetition of a command: SVG 2, section 9.3."""
_FLAGS: Final = (3, 4)
"""Places of the two flags among the seven numbers of an arc."""

MAX_ENTRIES: Final = 2**23
"""Signs that are no digits, in all texts read at once: each takes about 100 bytes
while they are told apart."""

_SPACE, _COMMA, _SIGN, _POINT, _EXPONENT, _LETTER, _WRONG, _JOINT = range(8)
_JOINT_BYTE: Final = b"\0"
_WINDOW: Final = 8
"""Bytes looked at together; as many stand before the first text."""
_DIGITS_IN_RUN: Final = 2 * _WINDOW
_DIGITS_IN_NUMBER: Final = 18
"""Below the 63 bits of a whole number."""
_DIGITS_IN_FLOAT: Final = 15
"""Decimal digits that every float keeps."""
_MOST_PLACES: Final = 22
"""The largest power of ten that is a float exactly."""

_POWERS: Final = 10 ** np.arange(_DIGITS_IN_NUMBER + 1, dtype=np.int64)
_FLOAT_POWERS: Final = np.array([float(10**n) for n in range(_MOST_PLACES + 1)])
# The digit values in the last n of some bytes, of which the first is the lowest.
_LAST_OF_4: Final = np.array(
    [0x0F0F0F0F >> 8 * (4 - n) << 8 * (4 - n) for n in range(5)], dtype=np.uint32
)
_LAST_OF_8: Final = np.array(
    [0x0F0F0F0F0F0F0F0F >> 8 * (8 - n) << 8 * (8 - n) for n in range(9)],
    dtype=np.uint64,
)
_NUMBER: Final = re.compile(NUMBER_PATTERN.encode())


def _kinds_by_byte() -> bytes:
    kinds = bytearray([_WRONG]) * 256
    letters = "".join(ARITY)
    for signs, kind in (
        (" \t\r\n\f", _SPACE),
        (",", _COMMA),
        ("+-", _SIGN),
        (".", _POINT),
        ("eE", _EXPONENT),
        (letters + letters.lower(), _LETTER),
    ):
        for sign in signs.encode():
            kinds[sign] = kind
    return bytes(kinds)


_KINDS: Final = _kinds_by_byte()
_ARITIES: Final = np.zeros(256, dtype=np.int64)
for _name, _arity in ARITY.items():
    _ARITIES[ord(_name)] = _ARITIES[ord(_name.lower())] = _arity


@dataclass(frozen=True, slots=True, eq=False)
class Tokens:
    """The numbers and commands of some paths, one path after the other.

    Parameters
    ----------
    value : ndarray, shape (k,)
        All numbers.
    digits : ndarray of int64, shape (k,)
        All digits of each as one number with its sign.
    places : ndarray of int64, shape (k,)
        How many digits stand behind the point: ``value = digits/10**places``.
    letter : ndarray of uint8, shape (c,)
        The commands of the plain paths.
    first, count : ndarray of intp, shape (c,)
        The numbers that follow each command.
    path : ndarray of intp, shape (c,)
        The path of each command.
    is_plain : ndarray of bool, shape (n,)
        Whether a path was read; the others need another reader.
    """

    value: Floats
    digits: Integers
    places: Integers
    letter: Bytes
    first: Indices
    count: Indices
    path: Indices
    is_plain: Mask

    @property
    def arity(self) -> Integers:
        """Numbers for each repetition of each command."""
        return _ARITIES.take(self.letter)


def read_tokens(texts: Sequence[bytes]) -> Tokens:
    """Tell the numbers and commands of path data apart.

    Parameters
    ----------
    texts : sequence of bytes
        The d attributes, in ASCII.

    Returns
    -------
    Tokens

    Raises
    ------
    ValueError
        If they are too much to be read at once (`MAX_ENTRIES`).

    Notes
    -----
    A number of up to 15 digits, and of up to 22 behind the point, is the float nearest
    to what is written; a longer one may differ from that in its last bit.

    References
    ----------
    SVG 2, section 9.3.9, "The grammar for path data".
    """
    joined = b"".join(
        (b" " * (_WINDOW - 1), _JOINT_BYTE, _JOINT_BYTE.join(texts), _JOINT_BYTE)
    )
    joints = np.cumsum([_WINDOW - 1, *(len(text) + 1 for text in texts)])
    entries = _Entries(joined, joints)
    return _commands(entries, _numbers(entries))


class _Entries:
    """Whatever is no digit: where it stands, what it is, how many digits follow it."""

    def __init__(self, text: bytes, joints: Integers) -> None:
        codes = np.frombuffer(text, dtype=np.uint8)
        is_entry = (codes - np.uint8(ord("0"))) > 9
        if np.count_nonzero(is_entry) > MAX_ENTRIES:
            raise ValueError(f"more than {MAX_ENTRIES} signs in path data")
        self.text = text
        self.at = np.flatnonzero(is_entry)
        self.sign = codes.take(self.at)
        kind = bytearray(self.sign.tobytes().translate(_KINDS))
        self.kind = np.frombuffer(kind, dtype=np.uint8)
        self.joint = np.searchsorted(self.at, joints)
        self.kind[self.joint] = _JOINT
        self.run = np.zeros(len(self.at), dtype=np.int64)
        np.subtract(self.at[1:], self.at[:-1], out=self.run[:-1])
        self.run[:-1] -= 1
        # What is wrong, by entry: all of it is gathered before anything is drawn.
        self.wrong = [np.flatnonzero(self.kind == _WRONG)]


@dataclass(frozen=True, slots=True, eq=False)
class _Numbers:
    """The numbers, each by the entry that stands before it (its *head*)."""

    head: Indices
    value: Floats
    digits: Integers
    places: Integers
    is_digit: Mask
    """Whether it is a single digit."""


def _numbers(entries: _Entries) -> _Numbers:
    kind, run = entries.kind, entries.run
    is_point = kind == _POINT
    is_tail, exponent = _tails(entries, is_point)
    has_digits = run > 0
    is_head = ~is_tail
    is_head[:-1] &= has_digits[:-1] | is_point[1:]
    is_head[-1] = False
    # A point in a number that has one already, or an exponent, begins the next number.
    run_together = is_point[1:] & is_tail[:-1]
    is_head[1:] |= run_together
    is_sign = kind == _SIGN
    entries.wrong.append(np.flatnonzero(is_sign & ~is_head & ~is_tail))
    entries.wrong.append(_stray_commas(entries, is_head, is_point | has_digits))

    head = np.flatnonzero(is_head)
    runs = _values_of_runs(entries)
    digits, length = runs.take(head), run.take(head)
    places = np.zeros_like(length)
    if is_point.any():
        fraction = head + is_point.take(head + 1)
        if run_together.any():
            fraction = np.where(is_point.take(head), head, fraction)
        is_whole = fraction == head
        if run_together.any():
            is_whole &= ~is_point.take(head)
            is_bare = is_point.take(head)
            digits[is_bare] = length[is_bare] = 0
        places = run.take(fraction)
        places[is_whole] = 0
        behind = runs.take(fraction)
        behind[is_whole] = 0
        digits *= _POWERS.take(places, mode="clip")
        digits += behind
        length += places
    entries.wrong.append(head[length == 0])
    np.negative(digits, out=digits, where=entries.sign.take(head) == ord("-"))
    value = digits / _FLOAT_POWERS.take(places, mode="clip")
    is_digit = (length == 1) & (places == 0) & ~is_sign.take(head)
    numbers = _Numbers(head, value, digits, places, is_digit)
    is_odd = (length > _DIGITS_IN_NUMBER) | (run.take(head) > _DIGITS_IN_RUN)
    is_odd |= places > _DIGITS_IN_RUN
    odd = np.flatnonzero(is_odd)
    if exponent.size:
        odd = np.union1d(odd, np.searchsorted(head, exponent) - 1)
    if odd.size:
        _read_one_by_one(entries, numbers, odd)
    entries.wrong.append(head[np.abs(value) > MAX_NUMBER])
    return numbers


def _tails(entries: _Entries, is_point: Mask) -> tuple[Mask, Indices]:
    """Return which entries stand inside a number, and the exponents among them."""
    kind, run = entries.kind, entries.run
    exponent = np.flatnonzero(kind == _EXPONENT)
    if not exponent.size:
        return is_point, exponent
    is_tail = is_point.copy()
    is_tail[exponent] = True
    signed = exponent[(run[exponent] == 0) & (kind[exponent + 1] == _SIGN)]
    is_tail[signed + 1] = True
    last = exponent.copy()
    last[np.isin(exponent, signed)] += 1
    before = exponent - 1
    follows_number = is_point[before] | ((run[before] > 0) & ~is_tail[before])
    is_right = follows_number & (run[last] > 0)
    entries.wrong.append(exponent[~is_right])
    return is_tail, exponent[is_right]


def _stray_commas(entries: _Entries, is_head: Mask, ends_number: Mask) -> Indices:
    """Return the commas that do not stand between two numbers."""
    kind = entries.kind
    comma = np.flatnonzero(kind == _COMMA)
    between = is_head[comma] | (kind[comma + 1] == _SIGN)
    odd = comma[~(between & ends_number[comma - 1])]
    if not odd.size:
        return odd
    # With the spaces that lead nowhere left out, its neighbours are next to it.
    kept = np.flatnonzero((kind != _SPACE) | is_head | ends_number)
    place = np.searchsorted(kept, odd)
    before, after = kept[place - 1], kept[place + 1]
    leads = is_head[odd] | (is_head[after] & np.isin(kind[after], (_SPACE, _SIGN)))
    return odd[~(leads & ends_number[before])]


def _values_of_runs(entries: _Entries) -> Integers:
    """Return the digits after every entry as whole numbers, zero where there are none.

    Notes
    -----
    Digits are put together in pairs, then fours, then eights, all numbers at once
    (Lemire, "Quickly parsing eight digits", 2018).
    """
    run, text = entries.run, entries.text
    end = entries.at + 1 + run
    longest = int(run.max())
    if longest <= 4:
        windows = np.ndarray(
            (len(text) - 3,), dtype="<u4", buffer=text, strides=(1,)
        )
        few = windows.take(end - 4) & _LAST_OF_4.take(run)
        few = (few * np.uint32(10) + (few >> np.uint32(8))) & np.uint32(0x00FF00FF)
        few = (few * np.uint32(100) + (few >> np.uint32(16))) & np.uint32(0xFFFF)
        return few.astype(np.int64)
    value = _last_eight(text, end, run)
    if longest > _WINDOW:
        more = np.flatnonzero(run > _WINDOW)
        high = _last_eight(text, end[more] - _WINDOW, run[more] - _WINDOW)
        value[more] += high * _POWERS[_WINDOW]
    return value


def _last_eight(text: bytes, end: Indices, count: Integers) -> Integers:
    windows = np.ndarray((len(text) - 7,), dtype="<u8", buffer=text, strides=(1,))
    part = windows.take(end - _WINDOW) & _LAST_OF_8.take(count, mode="clip")
    for digits, mask in (
        (1, 0x00FF00FF00FF00FF),
        (2, 0x0000FFFF0000FFFF),
        (4, 0x00000000FFFFFFFF),
    ):
        shifted = part >> np.uint64(8 * digits)
        part = (part * np.uint64(10**digits) + shifted) & np.uint64(mask)
    return part.view(np.int64)


def _read_one_by_one(entries: _Entries, numbers: _Numbers, odd: Indices) -> None:
    """Read the numbers that are too long, or have an exponent."""
    for i in odd.tolist():
        entry = numbers.head[i]
        begins = entry + (entries.kind[entry] not in {_SIGN, _POINT})
        at = int(entries.at[entry]) + int(begins - entry)
        match = _NUMBER.match(entries.text, at)
        value = float(match[0]) if match else math.inf
        numbers.value[i] = value
        numbers.is_digit[i] = False
        if abs(value) <= MAX_NUMBER:
            size = math.floor(math.log10(abs(value))) if value else 0
            places = min(max(_DIGITS_IN_FLOAT - size, 0), _MOST_PLACES)
            numbers.places[i] = places
            numbers.digits[i] = round(value * 10**places)


def _commands(entries: _Entries, numbers: _Numbers) -> Tokens:
    at = np.flatnonzero(entries.kind == _LETTER)
    letter = entries.sign.take(at)
    first = np.searchsorted(numbers.head, at)
    count = np.diff(first, append=len(numbers.head))
    path = np.searchsorted(entries.joint, at) - 1
    arity = _ARITIES.take(letter)
    is_right = np.where(
        arity == 0, count == 0, (count > 0) & (count % np.maximum(arity, 1) == 0)
    )
    is_right[_first_wrong_flag(letter, first, count, numbers)] = False
    is_plain = _begin_with_a_move(entries, numbers, at, letter)
    is_plain[path[~is_right]] = False
    for wrong in entries.wrong:
        is_plain[np.searchsorted(entries.joint, wrong, side="right") - 1] = False
    kept = is_plain[path]
    return Tokens(
        numbers.value,
        numbers.digits,
        numbers.places,
        letter[kept],
        first[kept],
        count[kept],
        path[kept],
        is_plain,
    )


def _first_wrong_flag(
    letter: Bytes, first: Indices, count: Indices, numbers: _Numbers
) -> Indices:
    """Return the arc commands with a flag that is not plainly 0 or 1."""
    arcs = np.flatnonzero((letter | 0x20) == ord("a"))
    repeats = count[arcs] // ARITY["A"]
    arc = np.repeat(arcs, repeats)
    turn = np.arange(len(arc)) - np.repeat(np.cumsum(repeats) - repeats, repeats)
    is_wrong = np.zeros(len(arc), dtype=bool)
    for place in _FLAGS:
        flag = first[arc] + ARITY["A"] * turn + place
        is_wrong |= ~numbers.is_digit[flag] | (numbers.digits[flag] > 1)
    return arc[is_wrong]


def _begin_with_a_move(
    entries: _Entries, numbers: _Numbers, at: Indices, letter: Bytes
) -> Mask:
    """Return which paths begin with a move, or are empty."""
    joint = entries.joint
    begins, ends = (np.searchsorted(at, some) for some in (joint[:-1], joint[1:]))
    is_right = begins < ends
    opener = begins[is_right]
    numbers_before = np.searchsorted(numbers.head, at[opener]) - np.searchsorted(
        numbers.head, joint[:-1][is_right]
    )
    is_move = (letter[opener] | 0x20) == ord("m")
    is_right[is_right] = is_move & (numbers_before == 0)
    # What has no command at all is right if it is nothing but spaces.
    for path in np.flatnonzero(begins == ends).tolist():
        start, stop = entries.at[joint[path : path + 2]].tolist()
        is_right[path] = not entries.text[start + 1 : stop].strip()
    return is_right
