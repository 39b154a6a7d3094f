"""The path data of a d attribute, step by step.

This is for what `path_table` leaves over: arc flags that are run together, and what is
wrong, which is told with its place. The segments are read by svgpathtools, behind a
grammar check of our own: its reader skips what it does not understand (``10 x 20``,
double commas, flags other than 0 and 1), and a wrong length is worse than none. Moves,
closings and elliptical arcs are taken here: a zero-length arc would stop the library's
reader, and its arcs are wrong under most transforms.
"""

import functools
import math
import re
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from types import MappingProxyType, ModuleType
from typing import Any, Final

from edgefinder.errors import DrawingError
from edgefinder.importers.svg.arc import ArcShape, elliptical_arc
from edgefinder.importers.svg.path_entries import ARITY
from edgefinder.importers.svg.subpath import (
    Row,
    Subpath,
    cubic,
    has_extent,
    line,
    quadratic,
)
from edgefinder.importers.svg.units import (
    NUMBER_PATTERN,
    SEPARATOR_PATTERN,
    SPACE_PATTERN,
    position,
    read_number,
)


@contextmanager
def scipy_hidden() -> Iterator[None]:
    """Keep scipy from loading for the length of one import.

    svgpathtools takes scipy.integrate for its own lengths, which are not used here,
    and does without where there is none; loading it would take longer than reading
    a pattern. Where scipy is loaded already, nothing is hidden.
    """
    names = ("scipy", "scipy.integrate")
    if "scipy" in sys.modules:
        yield
        return
    for name in names:
        # An entry of None makes the import fail (documented in importlib).
        sys.modules[name] = None  # type: ignore[assignment]
    try:
        yield
    finally:
        for name in names:
            sys.modules.pop(name, None)


MAX_CHARACTERS: Final = 2**20
"""Path data that is read step by step, at some 10 us each: some seconds."""
MAX_CHECKED: Final = 2**22
"""Path data in which a mistake is looked for: some seconds as well."""

_NUMBER: Final = re.compile(NUMBER_PATTERN)
_NUMBERS: Final = re.compile(
    rf"{SPACE_PATTERN}({NUMBER_PATTERN}(?:{SEPARATOR_PATTERN}{NUMBER_PATTERN})*+)?+"
    rf"{SPACE_PATTERN}"
)
_FIELD: Final = rf"({NUMBER_PATTERN}){SEPARATOR_PATTERN}"
_FLAG: Final = rf"([01]){SEPARATOR_PATTERN}"
_ARC: Final = re.compile(rf"{_FIELD * 3}{_FLAG * 2}{_FIELD}({NUMBER_PATTERN})")
_ARC_GAP: Final = re.compile(SEPARATOR_PATTERN)
_SPACE: Final = re.compile(SPACE_PATTERN)

_LETTERS: Final = frozenset("".join(ARITY) + "".join(ARITY).lower())


def read_path_data(text: str) -> tuple[Subpath, ...]:
    """Read a d attribute.

    Parameters
    ----------
    text : str

    Returns
    -------
    tuple of Subpath
        In user units, every subpath by itself; empty for no data, or for moves only.

    Raises
    ------
    DrawingError
        With the place of the mistake and what is wrong there.

    References
    ----------
    SVG 2, section 9.3.9, "The grammar for path data".
    """
    if text.strip() in {"", "none"}:
        return ()
    if len(text) > MAX_CHARACTERS:
        if len(text) <= MAX_CHECKED:
            for _ in _commands(text):  # what is wrong with it is said first
                pass
        raise DrawingError(
            f"of {len(text)} characters has a mistake, or arc flags that are run "
            "together in too long a path"
        )
    pen = _Pen()
    for command in _commands(text):
        take = _TAKERS.get(command.letter.upper())
        if take is None:
            pen.pending.append(command)
        else:
            pen.draw_pending()
            take(pen, command)
    pen.lift(closed=False)
    return tuple(pen.subpaths)


@dataclass(frozen=True, slots=True)
class _Command:
    """A letter with all numbers up to the next letter, as written."""

    letter: str
    numbers: tuple[str, ...]

    @property
    def is_relative(self) -> bool:
        return self.letter.islower()


def _commands(text: str) -> Iterator[_Command]:
    at = _skipped(text, 0)
    if text[at] not in "Mm":
        raise DrawingError(f"{position(text, at)} is not a move (M), which comes first")
    while at < len(text):
        letter = text[at]
        count = ARITY[letter.upper()]
        if letter in "Aa":
            numbers, end = _arc_numbers(text, at + 1)
        else:
            numbers, end = _numbers(text, at + 1)
        if end < len(text) and text[end] not in _LETTERS:
            raise DrawingError(f"{position(text, end)} is not a command or a number")
        if (count == 0) != (not numbers) or (count and len(numbers) % count):
            takes = f"{count} numbers at a time" if count else "no numbers"
            raise DrawingError(
                f"{position(text, at)} has {len(numbers)} after {letter}, which takes "
                f"{takes}"
            )
        yield _Command(letter, numbers)
        at = end


def _numbers(text: str, at: int) -> tuple[tuple[str, ...], int]:
    match = _NUMBERS.match(text, at)
    if match is None or match[1] is None:
        return (), _skipped(text, at)
    numbers = tuple(_NUMBER.findall(text, *match.span(1)))
    for number in numbers:
        _checked(number)
    return numbers, match.end()


def _arc_numbers(text: str, at: int) -> tuple[tuple[str, ...], int]:
    numbers: list[str] = []
    at = _skipped(text, at)
    while match := _ARC.match(text, at):
        numbers.extend(match.groups())
        at = match.end()
        gap = _ARC_GAP.match(text, at)
        if gap and _ARC.match(text, gap.end()):
            at = gap.end()
    if not numbers:
        raise DrawingError(
            f"{position(text, at)} is not an arc: two radii, an angle, two flags that "
            "are 0 or 1, and a point"
        )
    for number in numbers:
        _checked(number)
    return tuple(numbers), _skipped(text, at)


def _checked(number: str) -> None:
    if len(number) > _LONG_NUMBER or "e" in number or "E" in number:
        read_number(number)


_LONG_NUMBER: Final = 12
"""A number of at most so many characters without an exponent is below the limit."""


def _skipped(text: str, at: int) -> int:
    match = _SPACE.match(text, at)
    return match.end() if match else at


@dataclass(slots=True)
class _Pen:
    """Where the drawing of one d attribute stands."""

    at: complex = 0j
    start: complex = 0j
    pending: list[_Command] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)
    subpaths: list[Subpath] = field(default_factory=list)

    def draw_pending(self) -> None:
        """Draw lines and curves, all that follow one another at once.

        How a smooth curve begins depends on the command before it.
        """
        if not self.pending:
            return
        text = " ".join(
            " ".join((command.letter, *command.numbers)) for command in self.pending
        )
        self.pending = []
        # The library reads the SVG 1.1 number "1.e3" as two numbers.
        text = text.replace(".e", "e").replace(".E", "E")
        for segment in _svgpathtools().parse_path(text, current_pos=self.at):
            row = _row(segment)
            if has_extent(row):
                self.rows.append(row)
            self.at = segment.end

    def lift(self, *, closed: bool) -> None:
        """End the subpath."""
        self.draw_pending()
        rows, self.rows = self.rows, []
        if rows:
            self.subpaths.append(Subpath(tuple(rows), closed))


@functools.cache
def _svgpathtools() -> ModuleType:
    """Load the library when it is needed, which is seldom."""
    with scipy_hidden():
        import svgpathtools  # noqa: PLC0415 - few files need it, and it is slow to load
    library: ModuleType = svgpathtools
    return library


def _row(segment: Any) -> Row:
    points = segment.bpoints()
    if len(points) == 2:
        return line(*points)
    return quadratic(*points) if len(points) == 3 else cubic(*points)


def _move(pen: _Pen, command: _Command) -> None:
    pen.lift(closed=False)
    x, y, *others = command.numbers
    to = complex(float(x), float(y))
    pen.at = pen.start = pen.at + to if command.is_relative else to
    if others:
        # Further pairs are lines: SVG 2, section 9.3.3.
        letter = "l" if command.is_relative else "L"
        pen.pending.append(_Command(letter, tuple(others)))


def _close(pen: _Pen, _command: _Command) -> None:
    pen.lift(closed=True)
    pen.at = pen.start


def _arcs(pen: _Pen, command: _Command) -> None:
    values = [float(number) for number in command.numbers]
    for first in range(0, len(values), ARITY["A"]):
        rx, ry, degrees, is_large, sweeps, x, y = values[first : first + ARITY["A"]]
        shape = ArcShape(
            rx, ry, math.radians(math.fmod(degrees, 360)), is_large != 0, sweeps != 0
        )
        end = complex(x, y) + (pen.at if command.is_relative else 0)
        arc = elliptical_arc(pen.at, shape, end)
        if arc is not None:
            pen.rows.append(arc)
        pen.at = end


_TAKERS: Final = MappingProxyType({"M": _move, "Z": _close, "A": _arcs})
