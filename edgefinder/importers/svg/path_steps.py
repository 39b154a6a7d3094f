"""From the commands of many paths to every single step of the pen, with its place.

A path written with relative commands is a long sum. It is taken in whole numbers of
the smallest decimal that the path has, which is exact: a piece that comes back to its
start on paper comes back to it here, and a stop in the sum does not depend on how far
away the first one was.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from edgefinder.geometry.segments import Complexes, Floats, Indices
from edgefinder.importers.svg.path_tokens import Bytes, Integers, Mask, Tokens

_LOWER: Final = 0x20
"""The bit by which small letters differ from capitals."""
_MOST_DIGITS: Final = 18.5
"""Decimal digits of a sum; 2**63 has 18.96."""
_MOST_PLACES: Final = 18
_POWERS: Final = 10 ** np.arange(_MOST_PLACES + 1, dtype=np.int64)
MOVE, CLOSE, LINE, ACROSS, DOWN = (ord(letter) for letter in "MZLHV")


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
        Where the pen stands before and after it, in user units. After a closing it
        is known only if something follows that needs it.
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
    command = (tokens.letter & ~np.uint8(_LOWER))[of]
    command[(command == MOVE) & (turn > 0)] = LINE
    number = tokens.first[of] + turn * tokens.arity[of]
    path = tokens.path[of]
    is_relative = ((tokens.letter & _LOWER) > 0)[of]
    # The first move of a path starts from nowhere: SVG 2, section 9.3.3.
    is_first = np.diff(path, prepend=-1) > 0
    is_relative[is_first] = False
    is_relative[command == CLOSE] = False

    last = number + tokens.arity[of] - 1
    is_across, is_down = command == ACROSS, command == DOWN
    is_closing = command == CLOSE
    if is_relative.any() or is_across.any() or is_down.any():
        sums = _Sums(tokens, path)
        x = sums.ends(last - ~is_across, is_relative, is_down, is_closing)
        y = sums.ends(last, is_relative, is_across, is_closing)
    else:
        x, y = tokens.value[last - 1], tokens.value[last]
        again = _needed(is_closing, is_relative, command, path)
        for axis in (x, y):
            axis[again] = axis[_openers(command)[again - 1]]
    end = x + 1j * y
    start = np.empty_like(end)
    start[1:] = end[:-1]
    start[:1] = 0
    return Steps(command, is_relative, number, path, start, end)
