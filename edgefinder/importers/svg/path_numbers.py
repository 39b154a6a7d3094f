"""The numbers of path data, for many d attributes at once.

A number is its digits as one whole number and how many of them stand behind the point,
so that it comes out as exactly as `float` reads it, and sums of it can be exact.
"""

import math
import re
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from edgefinder.geometry.segments import Floats, Indices
from edgefinder.importers.svg.path_entries import (
    COMMA,
    DIGITS_IN_RUN,
    EXPONENT,
    POINT,
    SIGN,
    SPACE,
    Bytes,
    Entries,
    Mask,
)
from edgefinder.importers.svg.units import MAX_NUMBER, NUMBER_PATTERN

Unsigned = NDArray[np.unsignedinteger[Any]]

_STEP: Final = 4
"""Digits that are taken together."""
_DIGITS_IN_MAX_NUMBER: Final = 12
"""With fewer, a number is below `MAX_NUMBER`."""
_DIGITS_IN_FLOAT: Final = 15
"""Decimal digits that every float keeps."""
_MOST_PLACES: Final = 22
"""The largest power of ten that is a float exactly."""
_FLOAT_POWERS: Final = np.array([float(10**n) for n in range(_MOST_PLACES + 1)])
_NUMBER: Final = re.compile(NUMBER_PATTERN.encode())


@dataclass(frozen=True, slots=True, eq=False)
class Numbers:
    """All numbers of some texts.

    Parameters
    ----------
    head : ndarray of intp, shape (k,)
        The entry that stands before each.
    value : ndarray, shape (k,)
    digits : ndarray, shape (k,)
        All digits of each as one whole number, without its sign.
    places : ndarray of uint8, shape (k,)
        How many digits stand behind the point: ``abs(value) = digits/10**places``.
    """

    head: Indices
    value: Floats
    digits: Floats
    places: Bytes


def read_numbers(entries: Entries) -> Numbers:
    """Read the numbers between entries, and note what is wrong among these.

    Parameters
    ----------
    entries : Entries

    Returns
    -------
    Numbers

    Notes
    -----
    A number of up to 15 digits, and of up to 22 behind the point, is the float nearest
    to what is written; a longer one may differ from that in its last bit.

    References
    ----------
    SVG 2, section 9.3.9, "The grammar for path data".
    """
    is_point = entries.kind == POINT
    is_tail, exponent = _tails(entries, is_point)
    has_digits = entries.run > 0
    # Inside a number nothing begins, but for a second point.
    begins_again = is_point[1:] & is_tail[:-1]
    is_head = has_digits.copy()
    is_head[:-1] |= is_point[1:]
    is_head &= ~is_tail
    is_empty = is_head & ~has_digits
    is_empty[:-1] &= ~(is_point[1:] & has_digits[1:])
    if begins_again.any():
        is_head[1:] |= begins_again
        is_empty[1:] |= begins_again & ~has_digits[1:]
    is_sign = entries.kind == SIGN
    is_empty |= is_sign & ~(is_head | is_tail)
    if is_empty.any():
        entries.wrong.append(np.flatnonzero(is_empty))
    _note_stray_commas(entries, is_head, is_sign, is_point | has_digits)

    head = np.flatnonzero(is_head)
    again = np.searchsorted(head, np.flatnonzero(begins_again) + 1)
    of_run = _values_of_runs(entries)
    numbers = _values(entries, head, again, of_run)
    odd = _move_points(entries, numbers, exponent, of_run)
    if entries.longest > DIGITS_IN_RUN:
        long = np.flatnonzero(entries.run > DIGITS_IN_RUN)
        odd = np.union1d(odd, np.searchsorted(head, long, side="right") - 1)
    _read_one_by_one(entries, numbers, odd)
    if exponent.size or entries.longest > _DIGITS_IN_MAX_NUMBER:
        entries.wrong.append(head[np.abs(numbers.value) > MAX_NUMBER])
    return numbers


def _values(
    entries: Entries, head: Indices, again: Indices, of_run: Unsigned
) -> Numbers:
    """Return the numbers from the digits before and behind their points."""
    is_point = entries.kind[1:] == POINT
    # Of the next entry, if it is a point, and nothing otherwise.
    places = (entries.run[1:] * is_point).take(head)
    fraction = (of_run[1:] * is_point).take(head)
    whole = of_run.take(head)
    if again.size:
        # These are headed by their own point, and nothing stands before it.
        fraction[again], places[again] = whole[again], entries.run[head[again]]
        whole[again] = 0
    unit = _FLOAT_POWERS.take(places)
    digits = whole.astype(np.float64)
    digits *= unit
    digits += fraction
    # The sign is made of single bytes, which takes less time than of floats.
    is_negative = entries.sign.take(head) == ord("-")
    unit *= np.int8(1) - np.int8(2) * is_negative.view(np.int8)
    return Numbers(head, digits / unit, digits, places)


def _move_points(
    entries: Entries, numbers: Numbers, exponent: Indices, of_run: Unsigned
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
    numbers.value[number] = np.copysign(
        numbers.digits[number] / _FLOAT_POWERS[np.maximum(places, 0)],
        numbers.value[number],
    )
    far: Indices = np.searchsorted(numbers.head, exponent[is_far]) - 1
    return far


def _tails(entries: Entries, is_point: Mask) -> tuple[Mask, Indices]:
    """Return which entries stand inside a number, and the exponents among them."""
    kind, run = entries.kind, entries.run
    exponent = np.flatnonzero(kind == EXPONENT)
    if not exponent.size:
        return is_point, exponent
    is_tail = is_point.copy()
    is_tail[exponent] = True
    is_signed = (run[exponent] == 0) & (kind[exponent + 1] == SIGN)
    last = exponent + is_signed
    is_tail[last] = True
    before = exponent - 1
    follows_number = is_point[before] | ((run[before] > 0) & ~is_tail[before])
    is_right = follows_number & (run[last] > 0)
    entries.wrong.append(exponent[~is_right])
    return is_tail, exponent[is_right]


def _note_stray_commas(
    entries: Entries, is_head: Mask, is_sign: Mask, ends_number: Mask
) -> None:
    """Note the commas that do not stand between two numbers."""
    kind = entries.kind
    is_odd = kind == COMMA
    is_right = is_head[1:-1] | is_sign[2:]
    is_right &= ends_number[:-2]
    is_odd[1:-1] &= ~is_right
    if not is_odd.any():
        return
    # With the spaces that lead nowhere left out, its neighbours are next to it.
    odd = np.flatnonzero(is_odd)
    kept = np.flatnonzero((kind != SPACE) | is_head | ends_number)
    place = np.searchsorted(kept, odd)
    before, after = kept[place - 1], kept[place + 1]
    leads = is_head[odd] | (is_head[after] & np.isin(kind[after], (SPACE, SIGN)))
    entries.wrong.append(odd[~(leads & ends_number[before])])


def _values_of_runs(entries: Entries) -> Unsigned:
    """Return the digits after every entry as whole numbers, zero where there are none.

    Notes
    -----
    The digits that end before each byte, up to four of them, are worked out first:
    cheap steps over neighbouring bytes. Then a single value is fetched for each entry.
    """
    digit, is_digit = entries.digit, entries.is_digit
    # Those that end with each byte: itself, and ten times the one before it if it is a
    # digit, zero otherwise.
    two = digit[:-1] * np.uint8(10)
    two *= is_digit[1:]
    two += digit[1:]
    both = is_digit[1:] & is_digit[:-1]
    upper = two[:-2] * both[2:]
    ending = np.empty(len(digit) + 1, dtype=np.uint16)
    ending[:_STEP] = 0
    four = ending[_STEP:]
    np.multiply(upper, np.uint16(100), out=four)
    four += two[2:]
    # What follows an entry ends where the next one stands; nothing follows the last.
    value: Unsigned = np.zeros(len(entries.at), dtype=np.uint16)
    value[:-1] = ending.take(entries.at[1:])
    if entries.longest <= _STEP:
        return value
    value = value.astype(np.uint64)
    for done in range(_STEP, min(entries.longest, DIGITS_IN_RUN), _STEP):
        rows = np.flatnonzero(entries.run > done)
        part = ending.take(entries.at[rows + 1] - done)
        value[rows] += part * np.uint64(10**done)
    return value


def _read_one_by_one(entries: Entries, numbers: Numbers, odd: Indices) -> None:
    """Read the numbers that are too long, or have an exponent."""
    for i in odd.tolist():
        entry = numbers.head[i]
        begins = entry + (entries.kind[entry] not in {SIGN, POINT})
        at = int(entries.at[entry]) + int(begins - entry)
        match = _NUMBER.match(entries.text, at)
        value = float(match[0]) if match else math.inf
        numbers.value[i] = value
        if abs(value) <= MAX_NUMBER:
            size = math.floor(math.log10(abs(value))) if value else 0
            places = min(max(_DIGITS_IN_FLOAT - size, 0), _MOST_PLACES)
            numbers.places[i] = places
            numbers.digits[i] = round(abs(value) * 10**places)
