"""From the commands of many paths to every single step of the pen, with its place.

A path written with relative commands is a long sum. It is taken in whole numbers of
the smallest decimal that the path has, which is exact: a piece that comes back to its
start on paper comes back to it here, however many steps it took.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from edgefinder.geometry.segments import Complexes, Floats, Indices
from edgefinder.importers.svg.path_entries import Bytes, Integers, Mask
from edgefinder.importers.svg.path_tokens import Tokens

_SMALL: Final = np.uint8(0x20)
"""The bit by which small letters differ from capitals."""
_DIGITS_OF_SUM: Final = 18.5
"""Decimal digits that a sum may have; 2**63 has 18.96."""
_MOST_PLACES: Final = 18
_SURE: Final = 1e15
"""Below it a number times a power of ten is less than half off the whole number that it
should be: both are right to half of their last bit, 2**-53 of them."""
_FAR: Final = 1e300
"""Further than any number that is read; those that are not may be endless."""
_POWERS: Final = 10 ** np.arange(_MOST_PLACES + 1, dtype=np.int64)
_FLOAT_POWERS: Final = _POWERS.astype(np.float64)
_LETTERS: Final = "MZLHVCSQTA"
MOVE, CLOSE, LINE, ACROSS, DOWN, CUBIC, SMOOTH, QUADRATIC, SMOOTH_QUADRATIC, ARC = (
    ord(letter) for letter in _LETTERS
)


@dataclass(frozen=True, slots=True, eq=False)
class Steps:
    """Every repetition of every command, in order.

    Parameters
    ----------
    command : ndarray of uint8, shape (n,)
        Capital letters; a further pair after a move is a line.
    is_relative : ndarray of bool, shape (n,)
    number : ndarray of intp, shape (n,)
        The first of its numbers.
    path : ndarray of intp, shape (n,)
    start, end : ndarray of complex128, shape (n,)
        Where the pen stands before and after it, in user units.
    """

    command: Bytes
    is_relative: Mask
    number: Indices
    path: Indices
    start: Complexes
    end: Complexes


def take_steps(tokens: Tokens) -> Steps:
    """Follow the pen through all paths.

    Parameters
    ----------
    tokens : Tokens

    Returns
    -------
    Steps

    References
    ----------
    SVG 2, section 9.3, "Path data".
    """
    repeats, arity, number = tokens.repeats, tokens.arity, tokens.first
    path, letter = tokens.path, tokens.letter
    command = letter & ~_SMALL
    if (repeats != 1).any():
        done = np.cumsum(repeats) - repeats
        number = np.repeat(number - done * arity, repeats)
        arity, path, letter, command = (
            np.repeat(one, repeats) for one in (arity, path, letter, command)
        )
        number += arity * np.arange(len(number))
        is_further = np.ones(len(command), dtype=np.bool_)
        is_further[done] = False
        command[is_further & (command == MOVE)] = LINE
    # The first move of a path starts from nowhere, and a closing has no numbers.
    is_relative = (letter & _SMALL) > 0
    is_relative &= command != CLOSE
    is_relative[0] = False
    is_relative[1:] &= path[1:] == path[:-1]
    end = _ends(tokens, command, is_relative, number + arity - 1, path)
    start = np.zeros_like(end)
    start[1:] = end[:-1]
    return Steps(command, is_relative, number, path, start, end)


def _ends(
    tokens: Tokens, command: Bytes, is_relative: Mask, last: Indices, path: Indices
) -> Complexes:
    """Return where each step ends, from the place of its last number."""
    pen = _Pen(command, is_relative)
    is_across, is_down = command == ACROSS, command == DOWN
    if is_relative.any() or is_across.any() or is_down.any():
        scale = _scales(tokens)[path]
        if (scale == scale[0]).all():  # as nearly always
            scale = scale[:1]
        across = _scaled(tokens, np.maximum(last - ~is_across, 0), scale)
        down = _scaled(tokens, last, scale)
        unit = _FLOAT_POWERS[scale]
        x = pen.ends(across, is_down) / unit
        y = pen.ends(down, is_across) / unit
    else:
        x, y = tokens.value[np.maximum(last - 1, 0)], tokens.value[last]
        for axis in (x, y):
            axis[pen.closing] = axis[pen.back(pen.closing)]
    ends = np.empty(len(last), dtype=np.complex128)
    ends.real, ends.imag = x, y
    return ends


def _scales(tokens: Tokens) -> Indices:
    """Return how many decimal places each path is summed with."""
    closer = np.flatnonzero(tokens.path[1:] != tokens.path[:-1])
    opener, closer = np.append(0, closer + 1), np.append(closer, len(tokens.path) - 1)
    first = tokens.first[opener]
    stop = tokens.first[closer] + (tokens.repeats * tokens.arity)[closer]
    # No path goes further than by the largest number at every step.
    places = tokens.places.max()
    largest = min(max(tokens.value.max(), -tokens.value.min()), _FAR)
    most = _most_places(largest * (stop - first))
    if (most < places).any():
        bounds = np.stack([first, stop], axis=1).ravel()
        bounds = bounds[: -1 if bounds[-1] == len(tokens.value) else None]
        places = np.maximum.reduceat(tokens.places, bounds)[::2]
        size = np.minimum(np.abs(tokens.value), _FAR)
        most = _most_places(np.add.reduceat(size, bounds)[::2])
    scales = np.zeros(len(tokens.is_plain), dtype=np.intp)
    scales[tokens.path[opener]] = np.minimum(most, places)
    return scales


def _most_places(travel: Floats) -> Indices:
    """Return how many decimal places a whole number of 63 bits has room for."""
    most = np.floor(_DIGITS_OF_SUM - np.log10(np.clip(travel, 1.0, _FAR)))
    return np.clip(most, 0, _MOST_PLACES).astype(np.intp)


def _scaled(tokens: Tokens, number: Indices, scale: Indices) -> Integers:
    """Return some numbers as whole numbers of 10**-scale."""
    nearest = np.rint(tokens.value[number] * _FLOAT_POWERS[scale])
    if max(nearest.max(), -nearest.min()) < _SURE:
        return nearest.astype(np.int64)
    signed = np.copysign(tokens.digits[number], tokens.value[number])
    scaled = signed.astype(np.int64)
    spare = scale - tokens.places[number]
    if spare.any():
        scaled *= _POWERS.take(spare, mode="clip")
        long = np.flatnonzero(spare < 0)
        scale = np.broadcast_to(scale, spare.shape)
        exact = tokens.value[number[long]] * _POWERS[scale[long]]
        scaled[long] = np.rint(exact).astype(np.int64)
    return scaled


class _Pen:
    """Where the pen goes along one axis, in whole numbers."""

    def __init__(self, command: Bytes, is_relative: Mask) -> None:
        self.is_relative = is_relative
        self.is_closing = command == CLOSE
        self.closing = np.flatnonzero(self.is_closing)
        self.moves = np.flatnonzero(command == MOVE)
        self.relative_moves = self.moves[is_relative[self.moves]]

    def back(self, steps: Indices) -> Indices:
        """Return the last move before some closings, to which they go back."""
        return self.moves[np.searchsorted(self.moves, steps) - 1]

    def ends(self, steps: Integers, is_still: Mask) -> Integers:
        """Return the places after all steps.

        Parameters
        ----------
        steps : ndarray of int64, shape (n,)
            Places to go to, or how far to go where that is relative.
        is_still : ndarray of bool, shape (n,)
            Which steps leave the pen where it is along this axis.
        """
        base = np.where(is_still, 0, steps)
        is_known = ~(self.is_relative | is_still)
        is_known[self.relative_moves] = True
        is_known[self.closing] = True
        # The sum may run over 63 bits; differences of it are right all the same.
        total = np.cumsum(np.where(is_known, 0, base))
        known = np.flatnonzero(is_known)
        if self.relative_moves.size:
            self._place_relative_moves(base, known, total)
        base[self.closing] = base[self.back(self.closing)]
        # The first step is a move to a known place.
        shift = base[known] - total[known]
        total += np.repeat(shift, np.diff(known, append=len(base)))
        return total

    def _place_relative_moves(
        self, base: Integers, known: Indices, total: Integers
    ) -> None:
        """Place the moves that start from where the pen is, one after the other."""
        before = self.relative_moves - 1
        origin = known[np.searchsorted(known, before, side="right") - 1]
        gone = total[before] - total[origin]
        is_closing = self.is_closing[origin]
        origin[is_closing] = self.back(origin[is_closing])
        for move, start, further in zip(
            self.relative_moves.tolist(), origin.tolist(), gone.tolist(), strict=True
        ):
            base[move] += base[start] + further
