"""From the commands of many paths to every single step of the pen, with its place.

A path written with relative commands is a long sum. It is taken in whole numbers of
the smallest decimal that the path has, which is exact: a piece that comes back to its
start on paper comes back to it here, however many steps it took.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from edgefinder.geometry.segments import Complexes, Floats, Indices
from edgefinder.importers.svg.path_tokens import Bytes, Integers, Mask, Tokens

_SMALL: Final = np.uint8(0x20)
"""The bit by which small letters differ from capitals."""
_DIGITS_OF_SUM: Final = 18.5
"""Decimal digits that a sum may have; 2**63 has 18.96."""
_MOST_PLACES: Final = 18
_POWERS: Final = 10 ** np.arange(_MOST_PLACES + 1, dtype=np.int64)
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


def step_count(tokens: Tokens) -> int:
    """Return how many steps the commands have."""
    return int(_repeats(tokens).sum())


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
    repeats = _repeats(tokens)
    of = np.repeat(np.arange(len(repeats)), repeats)
    turn = np.arange(len(of)) - np.repeat(np.cumsum(repeats) - repeats, repeats)
    arity = tokens.arity[of]
    number = tokens.first[of] + turn * arity
    path = tokens.path[of]
    letter = tokens.letter[of]
    command = letter & ~_SMALL
    command[(command == MOVE) & (turn > 0)] = LINE
    # The first move of a path starts from nowhere, and a closing has no numbers.
    is_relative = (letter & _SMALL) > 0
    is_relative &= command != CLOSE
    is_relative &= np.diff(path, prepend=-1) == 0
    end = _ends(tokens, command, is_relative, number + arity - 1, path)
    start = np.zeros_like(end)
    start[1:] = end[:-1]
    return Steps(command, is_relative, number, path, start, end)


def _repeats(tokens: Tokens) -> Indices:
    arity = tokens.arity
    return np.where(arity == 0, 1, tokens.count // np.maximum(arity, 1))


def _ends(
    tokens: Tokens, command: Bytes, is_relative: Mask, last: Indices, path: Indices
) -> Complexes:
    """Return where each step ends, from the place of its last number."""
    # A closing goes back to the move before it.
    move = np.maximum.accumulate(
        np.where(command == MOVE, np.arange(len(command)), 0)
    )
    closing = np.flatnonzero(command == CLOSE)
    is_across, is_down = command == ACROSS, command == DOWN
    if is_relative.any() or is_across.any() or is_down.any():
        scale = _scales(tokens)[path]
        unit = _POWERS[scale].astype(np.float64)
        axes = []
        for number, is_still in ((last - ~is_across, is_down), (last, is_across)):
            is_still[closing] = True
            steps = _scaled(tokens, np.maximum(number, 0), scale)
            steps[is_still] = 0
            axes.append(_Axis(steps, is_relative | is_still, move, closing).ends() / unit)
        x, y = axes
    else:
        x, y = tokens.value[np.maximum(last - 1, 0)], tokens.value[last]
        for axis in (x, y):
            axis[closing] = axis[move[closing]]
    ends: Complexes = x + 1j * y
    return ends
