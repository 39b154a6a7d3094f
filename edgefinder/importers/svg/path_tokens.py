"""Numbers and commands of many d attributes at once.

What is not plainly right is not judged here: its path is marked, for `path_data` to
read or to refuse.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from edgefinder.geometry.segments import Floats, Indices
from edgefinder.importers.svg.path_entries import (
    ARITY,
    EXPONENT,
    LETTER,
    POINT,
    SIGN,
    Bytes,
    Entries,
    Integers,
    Mask,
)
from edgefinder.importers.svg.path_numbers import Numbers, read_numbers

_FLAGS: Final = (3, 4)
"""Places of the two flags among the seven numbers of an arc."""
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
        All digits of each as one whole number, without its sign.
    places : ndarray of uint8, shape (k,)
        How many digits stand behind the point: ``abs(value) = digits/10**places``.
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
    places: Bytes
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
        If they are too much to be read at once (`path_entries.MAX_ENTRIES`).

    References
    ----------
    SVG 2, section 9.3.9, "The grammar for path data".
    """
    entries = Entries(texts)
    return _commands(entries, read_numbers(entries))


def _commands(entries: Entries, numbers: Numbers) -> Tokens:
    at = np.flatnonzero(entries.kind == LETTER)
    letter = entries.sign.take(at)
    arity = _ARITIES.take(letter)
    first = _first_numbers(numbers.head, at, arity)
    in_path = np.diff(np.searchsorted(at, entries.joint))
    path = np.repeat(np.arange(len(in_path)), in_path)
    # A command ends where the next one begins, or with its path.
    stop = np.searchsorted(numbers.head, entries.joint)[path + 1]
    stop[:-1] = np.minimum(stop[:-1], first[1:])
    count = stop - first
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
    tokens = Tokens(
        numbers.value,
        numbers.digits,
        numbers.places,
        letter,
        first,
        repeats,
        path,
        is_plain,
    )
    return tokens if is_plain.all() else tokens.taken(is_plain[path])


def _first_numbers(head: Indices, at: Indices, arity: Integers) -> Indices:
    """Return which number is the first after each command."""
    # Where each command is drawn once, as most programs write relative ones, counting
    # is enough, and is checked in less time than all places are searched for.
    counted = np.cumsum(arity) - arity
    if arity.sum() == len(head):
        some = np.flatnonzero(arity)
        last = counted[some] + arity[some] - 1
        stop = np.append(at[1:], head[-1:] + 1)[some]
        if (head[counted[some]] >= at[some]).all() and (head[last] < stop).all():
            return counted
    return np.searchsorted(head, at)


def _wrong_flags(
    entries: Entries,
    numbers: Numbers,
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


def _is_flag(entries: Entries, numbers: Numbers, number: Indices) -> Mask:
    """Whether numbers are a single digit, 0 or 1, and nothing else."""
    head = numbers.head[number]
    before, after = entries.kind[head], entries.kind[head + 1]
    is_alone = (entries.run[head] == 1) & (before != SIGN) & (before != POINT)
    is_alone &= (after != POINT) & (after != EXPONENT)
    is_flag: Mask = is_alone & (numbers.digits[number] <= 1)
    return is_flag


def _begin_with_a_move(
    entries: Entries, numbers: Numbers, at: Indices, letter: Bytes
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
