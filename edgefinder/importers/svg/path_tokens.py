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
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from edgefinder.errors import DrawingError
from edgefinder.geometry.segments import Floats, Indices
from edgefinder.importers.svg.units import MAX_NUMBER, NUMBER_PATTERN

Bytes = NDArray[np.uint8]
Mask = NDArray[np.bool_]
Integers = NDArray[np.int64]
Unsigned = NDArray[np.unsignedinteger[Any]]

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
_STEP: Final = 4
"""Digits that are taken together."""
_DIGITS_IN_RUN: Final = 16
"""More would not fit into 64 bits; as many bytes stand before the first text."""
_DIGITS_IN_MAX_NUMBER: Final = 12
"""With fewer, a number is below `MAX_NUMBER`."""
_DIGITS_IN_FLOAT: Final = 15
"""Decimal digits that every float keeps."""
_MOST_PLACES: Final = 22
"""The largest power of ten that is a float exactly."""

_FLOAT_POWERS: Final = np.array([float(10**n) for n in range(_MOST_PLACES + 1)])
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
    digits : ndarray, shape (k,)
        All digits of each as one whole number with its sign.
    places : ndarray of intp, shape (k,)
        How many digits stand behind the point: ``value = digits/10**places``.
    letter : ndarray of uint8, shape (c,)
        The commands of the plain paths.
    first, repeats : ndarray of intp, shape (c,)
        The first number that follows each command, and how often it is to be drawn:
        once for each set of its numbers, and a closing once.
    path : ndarray of intp, shape (c,)
        The path of each command.
    is_plain : ndarray of bool, shape (n,)
        Whether a path was read; the others need another reader.
    """

    value: Floats
    digits: Floats
    places: Indices
    letter: Bytes
    first: Indices
    repeats: Indices
    path: Indices
    is_plain: Mask

    @property
    def arity(self) -> Integers:
        """Numbers for each repetition of each command."""
        return _ARITIES.take(self.letter)

    def taken(self, commands: Mask) -> "Tokens":
        """Return some of the commands, with all the numbers."""
        return replace(
            self,
            letter=self.letter[commands],
            first=self.first[commands],
            repeats=self.repeats[commands],
            path=self.path[commands],
        )


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
    DrawingError
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
        (b" " * (_DIGITS_IN_RUN - 1), _JOINT_BYTE, _JOINT_BYTE.join(texts), _JOINT_BYTE)
    )
    joints = np.cumsum([_DIGITS_IN_RUN - 1, *(len(text) + 1 for text in texts)])
    entries = _Entries(joined, joints)
    return _commands(entries, _numbers(entries))


class _Entries:
    """Whatever is no digit: where it stands, what it is, how many digits follow it."""

    def __init__(self, text: bytes, joints: Integers) -> None:
        codes = np.frombuffer(text, dtype=np.uint8)
        digit = codes - np.uint8(ord("0"))
        is_entry = digit > 9
        if np.count_nonzero(is_entry) > MAX_ENTRIES:
            raise DrawingError(
                f"has path data with more than {MAX_ENTRIES} signs that are no digits"
            )
        self.text = text
        self.digit = digit * ~is_entry
        self.at = np.flatnonzero(is_entry)
        self.sign = codes.take(self.at)
        kind = bytearray(self.sign.tobytes().translate(_KINDS))
        self.kind = np.frombuffer(kind, dtype=np.uint8)
        self.joint = np.searchsorted(self.at, joints)
        self.kind[self.joint] = _JOINT
        self.run = np.zeros(len(self.at), dtype=np.int64)
        np.subtract(self.at[1:], self.at[:-1], out=self.run[:-1])
        self.run[:-1] -= 1
        self.longest = int(self.run.max())
        # The same in fewer bytes, for masks.
        run = self.run
        if self.longest > _DIGITS_IN_RUN:
            run = np.minimum(run, _DIGITS_IN_RUN)
        self.short_run = run.astype(np.uint8)
        # What is wrong, by entry: all of it is gathered before anything is drawn.
        self.wrong = [np.flatnonzero(self.kind == _WRONG)]


@dataclass(frozen=True, slots=True, eq=False)
class _Numbers:
    """The numbers, each by the entry that stands before it (its *head*)."""

    head: Indices
    value: Floats
    digits: Floats
    places: Indices


def _numbers(entries: _Entries) -> _Numbers:
    is_point = entries.kind == _POINT
    is_tail, exponent = _tails(entries, is_point)
    has_digits = entries.short_run > 0
    # Inside a number nothing begins, but for a second point.
    begins_again = is_point[1:] & is_tail[:-1]
    is_head = has_digits.copy()
    is_head[:-1] |= is_point[1:]
    is_head &= ~is_tail
    is_head[1:] |= begins_again
    is_empty = is_head & ~has_digits
    is_empty[:-1] &= ~(is_point[1:] & has_digits[1:])
    is_empty[1:] |= begins_again & ~has_digits[1:]
    is_sign = entries.kind == _SIGN
    is_empty |= is_sign & ~(is_head | is_tail)
    if is_empty.any():
        entries.wrong.append(np.flatnonzero(is_empty))
    _note_stray_commas(entries, is_head, is_sign, is_point | has_digits)

    head = np.flatnonzero(is_head)
    again = np.searchsorted(head, np.flatnonzero(begins_again) + 1)
    of_run = _values_of_runs(entries)
    numbers = _values(entries, head, again, of_run)
    odd = _move_points(entries, numbers, exponent, of_run)
    if entries.longest > _DIGITS_IN_RUN:
        long = np.flatnonzero(entries.run > _DIGITS_IN_RUN)
        odd = np.union1d(odd, np.searchsorted(head, long, side="right") - 1)
    _read_one_by_one(entries, numbers, odd)
    if exponent.size or entries.longest > _DIGITS_IN_MAX_NUMBER:
        entries.wrong.append(head[np.abs(numbers.value) > MAX_NUMBER])
    return numbers


def _values(
    entries: _Entries, head: Indices, again: Indices, of_run: Unsigned
) -> _Numbers:
    """Return the numbers from the digits before and behind their points."""
    is_point = entries.kind == _POINT
    # Of the next entry, if it is a point, and nothing otherwise.
    behind = of_run[1:] * is_point[1:]
    length = entries.short_run
    places = (length[1:] * is_point[1:]).take(head).astype(np.intp)
    whole, fraction = of_run.take(head), behind.take(head)
    if again.size:
        # These are headed by their own point, and nothing stands before it.
        fraction[again], places[again] = whole[again], length[head[again]]
        whole[again] = 0
    unit = _FLOAT_POWERS.take(places)
    digits = whole.astype(np.float64)
    digits *= unit
    digits += fraction
    digits *= 1.0 - 2.0 * (entries.sign.take(head) == ord("-"))
    return _Numbers(head, digits / unit, digits, places)


def _move_points(
    entries: _Entries, numbers: _Numbers, exponent: Indices, of_run: Unsigned
) -> Indices:
    """Move the points of numbers with exponents; return those that go too far."""
    last = exponent + (entries.run[exponent] == 0)
    power = np.minimum(of_run[last], 2 * _MOST_PLACES).astype(np.intp)
    power *= 1 - 2 * (entries.sign[last] == ord("-"))
    number = np.searchsorted(numbers.head, exponent) - 1
    places = numbers.places[number] - power
    is_far = np.abs(places) > _MOST_PLACES
    number, places = number[~is_far], places[~is_far]
    numbers.digits[number] *= _FLOAT_POWERS[np.maximum(-places, 0)]
    numbers.places[number] = np.maximum(places, 0)
    numbers.value[number] = (
        numbers.digits[number] / _FLOAT_POWERS[np.maximum(places, 0)]
    )
    far: Indices = np.searchsorted(numbers.head, exponent[is_far]) - 1
    return far


def _tails(entries: _Entries, is_point: Mask) -> tuple[Mask, Indices]:
    """Return which entries stand inside a number, and the exponents among them."""
    kind, run = entries.kind, entries.run
    exponent = np.flatnonzero(kind == _EXPONENT)
    if not exponent.size:
        return is_point, exponent
    is_tail = is_point.copy()
    is_tail[exponent] = True
    is_signed = (run[exponent] == 0) & (kind[exponent + 1] == _SIGN)
    last = exponent + is_signed
    is_tail[last] = True
    before = exponent - 1
    follows_number = is_point[before] | ((run[before] > 0) & ~is_tail[before])
    is_right = follows_number & (run[last] > 0)
    entries.wrong.append(exponent[~is_right])
    return is_tail, exponent[is_right]


def _note_stray_commas(
    entries: _Entries, is_head: Mask, is_sign: Mask, ends_number: Mask
) -> None:
    """Note the commas that do not stand between two numbers."""
    kind = entries.kind
    is_odd = kind == _COMMA
    is_right = is_head[1:-1] | is_sign[2:]
    is_right &= ends_number[:-2]
    is_odd[1:-1] &= ~is_right
    if not is_odd.any():
        return
    # With the spaces that lead nowhere left out, its neighbours are next to it.
    odd = np.flatnonzero(is_odd)
    kept = np.flatnonzero((kind != _SPACE) | is_head | ends_number)
    place = np.searchsorted(kept, odd)
    before, after = kept[place - 1], kept[place + 1]
    leads = is_head[odd] | (is_head[after] & np.isin(kind[after], (_SPACE, _SIGN)))
    entries.wrong.append(odd[~(leads & ends_number[before])])


def _values_of_runs(entries: _Entries) -> Unsigned:
    """Return the digits after every entry as whole numbers, zero where there are none.

    Notes
    -----
    The two and the four digits that begin at each byte are worked out first. What is no
    digit counts as zero there, so that the four before the end of a run of three, and
    the two before the end of a run of one, are right as well.
    """
    two = entries.digit[:-1] * np.uint8(10)
    two += entries.digit[1:]
    four = two[:-2] * np.uint16(100)
    four += two[2:]
    # What follows an entry ends where the next one stands; nothing follows the last.
    end = np.append(entries.at[1:], entries.at[-1] + 1)
    run = entries.short_run
    end -= 2
    value: Unsigned = two.take(end).astype(np.uint16)
    end -= 2
    # Masks are multiplied with: a branch for each of them would be guessed wrongly.
    value += (four.take(end) - value) * (run > 2)
    value *= run > 0
    if entries.longest <= _STEP:
        return value
    value = value.astype(np.uint64)
    for done in range(_STEP, min(entries.longest, _DIGITS_IN_RUN), _STEP):
        rows = np.flatnonzero(run > done)
        part = np.where(
            run[rows] > done + 2,
            four.take(end[rows] - done),
            two.take(end[rows] + 2 - done),
        )
        value[rows] += part * np.uint64(10**done)
    return value


def _read_one_by_one(entries: _Entries, numbers: _Numbers, odd: Indices) -> None:
    """Read the numbers that are too long, or have an exponent."""
    for i in odd.tolist():
        entry = numbers.head[i]
        begins = entry + (entries.kind[entry] not in {_SIGN, _POINT})
        at = int(entries.at[entry]) + int(begins - entry)
        match = _NUMBER.match(entries.text, at)
        value = float(match[0]) if match else math.inf
        numbers.value[i] = value
        if abs(value) <= MAX_NUMBER:
            size = math.floor(math.log10(abs(value))) if value else 0
            places = min(max(_DIGITS_IN_FLOAT - size, 0), _MOST_PLACES)
            numbers.places[i] = places
            numbers.digits[i] = round(value * 10**places)


def _commands(entries: _Entries, numbers: _Numbers) -> Tokens:
    at = np.flatnonzero(entries.kind == _LETTER)
    letter = entries.sign.take(at)
    first = np.searchsorted(numbers.head, at)
    in_path = np.diff(np.searchsorted(at, entries.joint))
    path = np.repeat(np.arange(len(in_path)), in_path)
    # A command ends where the next one begins, or with its path.
    stop = np.searchsorted(numbers.head, entries.joint)[path + 1]
    stop[:-1] = np.minimum(stop[:-1], first[1:])
    count = stop - first
    arity = _ARITIES.take(letter)
    repeats = count // np.maximum(arity, 1)
    is_right = (repeats * arity == count) & ((count > 0) | (arity == 0))
    repeats[arity == 0] = 1
    arcs = np.flatnonzero(arity == ARITY["A"])
    if arcs.size:
        wrong = _wrong_flags(entries, numbers, arcs, first[arcs], repeats[arcs])
        is_right[wrong] = False
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
        repeats[kept],
        path[kept],
        is_plain,
    )


def _wrong_flags(
    entries: _Entries,
    numbers: _Numbers,
    arcs: Indices,
    first: Indices,
    repeats: Indices,
) -> Indices:
    """Return the arc commands with a flag that is not plainly 0 or 1."""
    of = np.repeat(np.arange(len(arcs)), repeats)
    turn = np.arange(len(of)) - np.repeat(np.cumsum(repeats) - repeats, repeats)
    number = first[of] + ARITY["A"] * turn
    is_right = np.ones(len(of), dtype=np.bool_)
    for place in _FLAGS:
        is_right &= _is_flag(entries, numbers, number + place)
    wrong: Indices = arcs[of[~is_right]]
    return wrong


def _is_flag(entries: _Entries, numbers: _Numbers, number: Indices) -> Mask:
    """Whether numbers are a single digit, 0 or 1, and nothing else."""
    head = numbers.head[number]
    before, after = entries.kind[head], entries.kind[head + 1]
    is_alone = (entries.run[head] == 1) & (before != _SIGN) & (before != _POINT)
    is_alone &= (after != _POINT) & (after != _EXPONENT)
    is_flag: Mask = is_alone & (numbers.digits[number] <= 1)
    return is_flag


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
