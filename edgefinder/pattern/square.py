"""Squares that are drawn, and which of them is the test square."""

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

import numpy as np

from edgefinder.constants import JOIN_TOLERANCE_MM
from edgefinder.errors import SettingsError, one_line
from edgefinder.geometry.arclength import lengths
from edgefinder.geometry.flatten import flatten
from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import Complexes
from edgefinder.importers.drawing import Drawing, DrawnLine
from edgefinder.pattern.edges import FLAT_TOLERANCE_MM
from edgefinder.units import parse_length

TEST_SQUARE_MM: Final = (25.4, 50.0, 50.8, 100.0, 101.6)
"""Printed patterns carry a test square of 1 in, 5 cm, 2 in, 10 cm or 4 in (common
practice)."""
USUAL_SIDE: Final = 0.05
"""A square that has *test* in its name is no piece if its sides are this near to a
usual one."""

NEARLY_SQUARE: Final = 0.25
"""Something that is called a test square and is longer one way by more is a frame."""
STRAIGHT: Final = math.radians(1.0)
SAME_PLACE: Final = 1e-3
"""Share of the perimeter; and sides that turn by less than STRAIGHT go on as one: what
drawing programs add to four corners."""

_MOST_ROWS: Final = 8
"""Segments of a square: four, and some that a drawing program has cut in two."""

_CALLED: Final = re.compile(
    r"(?:test|scale|scaling|check|calibration|control)[\W_]*(?:square|box)"
    r"|(?:square|box)[\W_]*(?:test|scale|check)",
    re.IGNORECASE,
)
_NUMBER: Final = r"(?:\d+[ -]+\d+/\d+|\d+/\d+|\d*[.,]\d+|\d+)"
_UNIT: Final = (
    r"(?:mm|cm|millimet(?:re|er)s?|centimet(?:re|er)s?|inch(?:es)?|in(?![a-z])|[\"″”])"
)
_SIDE: Final = re.compile(rf"{_NUMBER}[ -]*{_UNIT}", re.IGNORECASE)
_ONLY_SIDE: Final = re.compile(
    rf"\W*(?:{_NUMBER}[ -]*{_UNIT}?\s*(?:x|\u00d7|by)\s*)?{_NUMBER}[ -]*{_UNIT}"
    r"(?P<square>[\W_]*square)?\W*",
    re.IGNORECASE,
)
"""A text that is the side of a square and nothing else."""


@dataclass(frozen=True, slots=True, eq=False)
class Square:
    """A drawn parallelogram: a square, or one that was stretched.

    Parameters
    ----------
    lines : tuple of DrawnLine
        One, or those that it was joined from.
    corners : ndarray of complex128, shape (4,)
        Millimetres, in order.
    """

    lines: tuple[DrawnLine, ...]
    corners: Complexes

    @property
    def sides(self) -> tuple[float, float]:
        """The longer and the shorter side in millimetres."""
        first, second = np.abs(np.diff(self.corners[:3])).tolist()
        return max(first, second), min(first, second)

    @property
    def side(self) -> float:
        """The side of the square that has the same area."""
        long, short, _ = self.stretches
        return math.sqrt(long * short)

    @property
    def stretched(self) -> float:
        """By what share it is longer one way than across it."""
        long, short, _ = self.stretches
        return long / short - 1

    @property
    def stretches(self) -> tuple[float, float, float]:
        """Side of the square along the way in which it is longest, across, that way.

        Millimetres, and degrees from 0 to 180. What was a square, turned and then
        stretched, has these singular values, whether it stands on a side or on a
        corner.
        """
        first, second = np.diff(self.corners[:3])
        sides = [[first.real, second.real], [first.imag, second.imag]]
        ways, (long, short), _ = np.linalg.svd(sides)
        angle = math.degrees(math.atan2(ways[1, 0], ways[0, 0])) % 180
        return float(long), float(short), angle

    @property
    def where(self) -> str:
        """File and place in it, with the name of the square."""
        line = self.lines[0]
        name = line.label or line.id
        return f'{line.where}: "{one_line(name)}"' if name else line.where


@dataclass(frozen=True, slots=True, eq=False)
class NamedSquare:
    """A square that is called a test square.

    Parameters
    ----------
    square : Square
    stated : tuple of float
        What its names and the texts at it say of its side, in millimetres.
    """

    square: Square
    stated: tuple[float, ...]


def is_test_square(line: DrawnLine) -> bool:
    """Whether a line is a square that is called a test square: no piece."""
    names = " ".join(_names(line))
    if not line.path.closed or "test" not in names.casefold():
        return False
    square = as_square((line,), line.path)
    if square is None or square.stretched > NEARLY_SQUARE:
        return False
    return _CALLED.search(names) is not None or any(
        all(math.isclose(side, usual, rel_tol=USUAL_SIDE) for side in square.sides)
        for usual in TEST_SQUARE_MM
    )


def named_squares(drawing: Drawing) -> list[NamedSquare]:
    """Find the closed squares that are called test squares.

    By the id, a class, the layer, a group or the label; or by a text, which means the
    smallest square that it stands in or beside.

    Returns
    -------
    list of NamedSquare
        Those that are nearly square; if none is, those that were badly stretched.
    """
    texts = [
        text
        for text in drawing.texts
        if _calls(text.text) or _ONLY_SIDE.fullmatch(text.text)
    ]
    is_called_by_text = any(_calls(text.text) for text in texts)
    squares: list[Square] = []
    names: list[list[str]] = []
    for line in drawing.lines:
        if not line.path.closed or len(line.path.segments) > _MOST_ROWS:
            continue
        own = list(_names(line))
        if is_called_by_text or any(map(_calls, own)):
            square = as_square((line,), line.path)
            if square is not None:
                squares.append(square)
                names.append(own)
    for text in texts:
        at = [i for i, square in enumerate(squares) if _is_at(text.at, square)]
        if at:
            names[min(at, key=lambda i: squares[i].side)].append(text.text)
    found = [
        NamedSquare(square, tuple(_stated(own)))
        for square, own in zip(squares, names, strict=True)
        if any(map(_calls, own))
    ]
    return [one for one in found if one.square.stretched <= NEARLY_SQUARE] or found


def drawn_squares(drawing: Drawing) -> list[Square]:
    """Find all parallelograms, whatever they are called; those of loose lines last."""
    found = [
        as_square((line,), line.path)
        for line in drawing.lines
        if line.path.closed and len(line.path.segments) <= _MOST_ROWS
    ]
    return [square for square in found if square] + _loose_squares(drawing)


def as_square(lines: tuple[DrawnLine, ...], path: Path) -> Square | None:
    """Return the parallelogram that a closed path is; None if it is none."""
    if len(path.segments) > _MOST_ROWS:
        return None
    perimeter = float(lengths(path.segments).sum())
    corners = _corners(flatten(path, FLAT_TOLERANCE_MM), perimeter)
    if len(corners) != 4:
        return None
    around = float(np.abs(np.diff(corners, append=corners[:1])).sum())
    is_even = abs(corners[0] - corners[1] + corners[2] - corners[3]) < (
        SAME_PLACE * perimeter
    )
    # A small circle is flattened to four corners as well, but it is longer round.
    if not is_even or abs(around - perimeter) > SAME_PLACE * perimeter:
        return None
    first, second = np.diff(corners[:3])
    if abs((first.conjugate() * second).imag) < SAME_PLACE * perimeter**2:
        return None
    return Square(lines, corners)


def _corners(vertices: Complexes, perimeter: float) -> Complexes:
    """Leave out vertices that are doubled, or lie on a straight side."""
    step = np.abs(vertices - np.roll(vertices, 1))
    vertices = vertices[step > SAME_PLACE * perimeter]
    if len(vertices) < 4:
        return vertices
    before = vertices - np.roll(vertices, 1)
    after = np.roll(before, -1)
    corners: Complexes = vertices[np.abs(np.angle(after / before)) > STRAIGHT]
    return corners


def _loose_squares(drawing: Drawing) -> list[Square]:
    loose = [
        line
        for line in drawing.lines
        if not line.path.closed and len(line.path.segments) < _MOST_ROWS
    ]
    if not loose:
        return []
    # Listing lines must not wait for the libraries of spatial indexes.
    from edgefinder.importers.chaining import chain_lines  # noqa: PLC0415

    chained = chain_lines(loose, tolerance=JOIN_TOLERANCE_MM)
    found = [as_square(outline.sources, outline.path) for outline in chained.outlines]
    return [square for square in found if square is not None]


def _is_at(place: complex, square: Square) -> bool:
    """Whether a place is in a square, or beside it by no more than half a side."""
    first, second = np.diff(square.corners[:3])
    offset = place - complex(square.corners[0])
    turn = (first.conjugate() * second).imag
    along = (offset.conjugate() * second).imag / turn
    across = (first.conjugate() * offset).imag / turn
    return bool(-0.5 <= along <= 1.5 and -0.5 <= across <= 1.5)


def _names(line: DrawnLine) -> tuple[str, ...]:
    own = (line.label, line.id, line.layer, *line.groups, *line.classes, *line.names)
    return tuple(dict.fromkeys(name for name in own if name))


def _calls(name: str) -> bool:
    only = _ONLY_SIDE.fullmatch(name)
    return _CALLED.search(name) is not None or bool(only and only["square"])


def _stated(names: Iterable[str]) -> Iterable[float]:
    """Read the side that names state: ``test square 50 mm``, ``2 in x 2 in``."""
    for name in names:
        if not _CALLED.search(name) and not _ONLY_SIDE.fullmatch(name):
            continue
        for written in _SIDE.findall(name):
            try:
                side = parse_length(written.replace("-", " "))
            except SettingsError:
                continue
            if side > 0:
                yield side
