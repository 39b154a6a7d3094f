"""Many d attributes at once, to one table of segments.

This is the way of nearly all path data. What it cannot read, right or wrong, is left to
`path_data`, which says what is wrong with it.
"""

import math
from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view

from edgefinder.errors import DrawingError
from edgefinder.geometry.segments import (
    CONTROLS,
    Complexes,
    Floats,
    Indices,
    Kind,
    quadratic_segments,
)
from edgefinder.importers.svg.arc import ArcShapes, elliptical_arcs
from edgefinder.importers.svg.path_entries import Bytes, Mask
from edgefinder.importers.svg.path_steps import (
    ARC,
    CLOSE,
    CUBIC,
    LINE,
    MOVE,
    QUADRATIC,
    SMOOTH,
    SMOOTH_QUADRATIC,
    Steps,
    take_steps,
)
from edgefinder.importers.svg.path_tokens import Tokens, read_tokens
from edgefinder.importers.svg.subpath import Strokes

MAX_STEPS: Final = 2**21
"""Twice the vertices of the longest digitised outline; each takes some 300 bytes on the
way."""


def read_plain_paths(texts: Sequence[bytes]) -> tuple[list[Strokes], Mask]:
    """Read path data that is written plainly.

    Parameters
    ----------
    texts : sequence of bytes
        The d attributes, in ASCII.

    Returns
    -------
    tables : list of Strokes
        All subpaths in user units; ``owner`` is the text. Those of one text are in
        one table, in order.
    is_plain : ndarray of bool
        Whether each text was read.

    Raises
    ------
    DrawingError
        If they are too much to be read at once: more than `MAX_STEPS`, or than
        `path_entries.MAX_ENTRIES`.
    """
    if not texts:
        return [], np.zeros(0, dtype=np.bool_)
    tokens = read_tokens(texts)
    if tokens.repeats.sum() > MAX_STEPS:
        raise DrawingError(f"draws more than {MAX_STEPS} segments")
    is_simple = _are_simple(tokens)
    tables = []
    if is_simple.any():
        simple = tokens if is_simple.all() else tokens.taken(is_simple)
        tables.append(_strokes_as_written(simple))
    if not is_simple.all():
        others = tokens.taken(~is_simple)
        tables.append(_strokes(_Drawn(others, take_steps(others))))
    return tables, tokens.is_plain


def _are_simple(tokens: Tokens) -> Mask:
    """Return which commands belong to paths of absolute lines and cubics only."""
    if not len(tokens.letter):
        return np.zeros(0, dtype=np.bool_)
    letter, is_closing = tokens.letter, tokens.arity == 0
    is_move = letter == MOVE
    is_simple = is_move | (letter == LINE) | (letter == CUBIC) | is_closing
    # What is drawn after a closing, without a move, does not start where it ended.
    is_simple[1:] &= is_move[1:] | ~is_closing[:-1]
    are_simple = np.ones(len(tokens.is_plain), dtype=np.bool_)
    are_simple[tokens.path[~is_simple]] = False
    return are_simple[tokens.path]


def _strokes_as_written(tokens: Tokens) -> Strokes:
    """Read absolute lines and cubics, as most outlines are.

    The numbers of each, and the two before them, are its row of the table already.
    """
    is_move, is_cubic = tokens.letter == MOVE, tokens.letter == CUBIC
    is_closing = tokens.arity == 0
    arity = tokens.arity
    # Further pairs after a move are lines: SVG 2, section 9.3.3.
    repeats = tokens.repeats - is_move
    repeats[is_closing] = 0
    begin = tokens.first - 2 * ~is_move
    done = np.cumsum(repeats) - repeats
    begin = np.repeat(begin - arity * done, repeats)
    begin += np.repeat(arity, repeats) * np.arange(len(begin))
    kind = np.where(is_cubic, Kind.CUBIC, Kind.LINE).astype(np.uint8)
    kind = np.repeat(kind, repeats)
    return _assembled(
        kind,
        _windows(tokens.value, begin, kind == Kind.CUBIC),
        np.repeat(np.cumsum(is_move) - 1, repeats),
        _are_closed(is_move, is_closing),
        tokens.path[is_move],
    )


def _windows(value: Floats, begin: Indices, is_cubic: Mask) -> Complexes:
    """Return the points that some numbers are: four for a cubic, two for a line."""
    if len(begin) and is_cubic.all():
        return sliding_window_view(value, 2 * CONTROLS)[begin].view(np.complex128)
    control = np.zeros((len(begin), CONTROLS), dtype=np.complex128)
    for which, points in ((is_cubic, CONTROLS), (~is_cubic, 2)):
        rows = np.flatnonzero(which)
        if rows.size:
            windows = sliding_window_view(value, 2 * points)[begin[rows]]
            control[rows, :points] = windows.view(np.complex128)
    return control


def _are_closed(begins: Mask, is_closing: Mask) -> Mask:
    """Return which subpaths end with a closing, from what begins and what closes."""
    opener = np.flatnonzero(begins)
    last = np.append(opener[1:], len(begins)) - 1
    are_closed: Mask = is_closing[last]
    return are_closed


def _assembled(
    kind: Bytes, control: Complexes, subpath: Indices, is_closed: Mask, owner: Indices
) -> Strokes:
    """Put rows together, without those of no extent and subpaths of no rows."""
    still = _without_extent(kind, control)
    if still.size:
        kind, subpath = np.delete(kind, still), np.delete(subpath, still)
        control = np.delete(control, still, axis=0)
    count = np.bincount(subpath, minlength=len(owner))
    is_there = count > 0
    stops = np.cumsum(count[is_there])
    return Strokes(kind, control, stops, is_closed[is_there], owner[is_there])


def _without_extent(kind: Bytes, control: Complexes) -> Indices:
    """Return the rows that are one point."""
    still = np.flatnonzero(control[:, 0] == control[:, 1])
    kind, points = kind[still], control[still]
    is_point = (kind == Kind.CUBIC) & (points == points[:, :1]).all(axis=1)
    without: Indices = still[is_point | (kind == Kind.LINE)]
    return without


class _Drawn:
    """The steps that draw something, as rows of a table that is being filled in."""

    def __init__(self, tokens: Tokens, steps: Steps) -> None:
        self.tokens = tokens
        self.pairs = _pairs(tokens.value)
        self.begins = (steps.command == MOVE) | (steps.command == CLOSE)
        self.is_closing = steps.command == CLOSE
        self.path = steps.path
        self.step = np.flatnonzero(~self.begins)
        self.command = steps.command[self.step]
        self.number = steps.number[self.step]
        self.start, self.end = steps.start[self.step], steps.end[self.step]
        self.origin = np.where(steps.is_relative[self.step], self.start, 0)
        # Lines, as long as nothing else is said.
        self.kind = np.full(len(self.step), Kind.LINE, dtype=np.uint8)
        self.control = np.zeros((len(self.step), CONTROLS), dtype=np.complex128)
        self.control[:, 0] = self.start
        self.control[:, 1] = self.end

    def rows(self, command: int) -> Indices:
        """Return the rows of one command."""
        return np.flatnonzero(self.command == command)

    def numbers(self, rows: Indices, place: int) -> Indices:
        """Return where one of the numbers of some rows is."""
        return self.number[rows] + place

    def points(self, rows: Indices, place: int) -> Complexes:
        """Return one of the points that some rows name, counted from 0."""
        points = self.pairs[self.numbers(rows, 2 * place)]
        points += self.origin[rows]
        return points


def _pairs(value: Floats) -> Complexes:
    """Return each number and the one after it as a point, without a copy."""
    count = max(len(value) - 1, 0)
    return np.ndarray(count, np.complex128, value, strides=value.strides)


def _strokes(drawn: _Drawn) -> Strokes:
    _fill_cubics(drawn)
    _fill_quadratics(drawn)
    _fill_arcs(drawn)
    begins, is_closing = drawn.begins, drawn.is_closing
    # A closing begins a subpath too: what is drawn after it without a move.
    closes_next = np.append(is_closing[1:], False)
    return _assembled(
        drawn.kind,
        drawn.control,
        (np.cumsum(begins) - 1)[drawn.step],
        _are_closed(begins, closes_next),
        drawn.path[begins],
    )


def _fill_cubics(drawn: _Drawn) -> None:
    cubic, smooth = drawn.rows(CUBIC), drawn.rows(SMOOTH)
    curves = np.concatenate([cubic, smooth])
    drawn.kind[curves] = Kind.CUBIC
    control = drawn.control
    control[curves, 3] = drawn.end[curves]
    control[cubic, 1] = drawn.points(cubic, 0)
    control[cubic, 2] = drawn.points(cubic, 1)
    if not smooth.size:
        return
    control[smooth, 2] = drawn.points(smooth, 0)
    # The handle of the curve before, turned round: SVG 2, section 9.3.6.
    control[smooth, 1] = drawn.start[smooth]
    mirrored = smooth[_follows(drawn, smooth, CUBIC, SMOOTH)]
    control[mirrored, 1] = 2 * drawn.start[mirrored] - control[mirrored - 1, 2]


def _fill_quadratics(drawn: _Drawn) -> None:
    plain, smooth = drawn.rows(QUADRATIC), drawn.rows(SMOOTH_QUADRATIC)
    if not plain.size + smooth.size:
        return
    handle = drawn.start.copy()
    handle[plain] = drawn.points(plain, 0)
    # Each turns round the handle of the one before, which may have done the same.
    mirrored = smooth[_follows(drawn, smooth, QUADRATIC, SMOOTH_QUADRATIC)]
    twice = 2 * drawn.start[mirrored]
    for row, sum_of_both in zip(mirrored.tolist(), twice.tolist(), strict=True):
        handle[row] = sum_of_both - handle[row - 1]
    curves = np.concatenate([plain, smooth])
    points = np.stack([drawn.start[curves], handle[curves], drawn.end[curves]], axis=1)
    drawn.kind[curves] = Kind.CUBIC
    drawn.control[curves] = quadratic_segments(points).control


def _fill_arcs(drawn: _Drawn) -> None:
    arcs = drawn.rows(ARC)
    arcs = arcs[drawn.start[arcs] != drawn.end[arcs]]
    if not arcs.size:
        return
    rx, ry, degrees, is_large, sweeps = (
        drawn.tokens.value[drawn.numbers(arcs, place)] for place in range(5)
    )
    tilt = np.fmod(degrees, 360) * (math.pi / 180)
    shapes = ArcShapes(rx, ry, tilt, is_large != 0, sweeps != 0)
    drawn.kind[arcs], drawn.control[arcs] = elliptical_arcs(
        drawn.start[arcs], shapes, drawn.end[arcs]
    )


def _follows(drawn: _Drawn, rows: Indices, plain: int, smooth: int) -> Mask:
    """Return which rows come right after a row of one of two commands."""
    before = np.maximum(rows - 1, 0)
    command = drawn.command[before]
    is_next = drawn.step[rows] == drawn.step[before] + 1
    follows: Mask = is_next & ((command == plain) | (command == smooth))
    return follows
