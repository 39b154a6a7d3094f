"""What a job file calls a place on an outline: ``notch 2``, ``3 at 40 %``."""

import re
from collections.abc import Callable, Collection
from dataclasses import dataclass
from typing import Final

from edgefinder.errors import SettingsError
from edgefinder.units import parse_length

EXAMPLES: Final = (
    '"notch 2", "corner 3", "3 at 40 %", "3 at 25 mm", "120 mm, 340 mm" or one of your '
    "own marks"
)

_NUMBER: Final = re.compile(r"[1-9][0-9]{0,5}")
_NOTCH: Final = re.compile(r"notch\s+(?P<name>.+)", re.IGNORECASE)
_CORNER: Final = re.compile(r"corner\s+(?P<number>[1-9][0-9]{0,5})", re.IGNORECASE)
_SHARE: Final = re.compile(
    r"(?P<edge>.+?)\s+at\s+(?P<share>[0-9]{1,3}(\.[0-9]{1,6})?)\s*%", re.IGNORECASE
)
_DISTANCE: Final = re.compile(r"(?P<edge>.+?)\s+at\s+(?P<length>[^%]+)", re.IGNORECASE)
_POINT: Final = re.compile(r"(?P<right>[^,]+),(?P<up>[^,]+)")
_RESERVED: Final = re.compile(
    r"|(notch|corner|to|at)(\s.*)?|.*\s(mirrored|to|at)(\s.*)?|.*,.*", re.IGNORECASE
)
"""What already means something and cannot be a person's own name for a mark."""


@dataclass(frozen=True, slots=True)
class OwnMark:
    """A mark to which a person gave a name, as it was given."""

    name: str


@dataclass(frozen=True, slots=True)
class AtNotch:
    """A notch: its number along the outline, or what the drawing calls it."""

    name: str


@dataclass(frozen=True, slots=True)
class AtCorner:
    """The start of an edge."""

    number: int


@dataclass(frozen=True, slots=True)
class AlongEdge:
    """A place along an edge, named by number or by a person's own name.

    Parameters
    ----------
    edge : str
    share : float or None
        Part of its length; None where a distance is given.
    distance : float
        Millimetres from its start.
    """

    edge: str
    share: float | None
    distance: float = 0.0


@dataclass(frozen=True, slots=True)
class AtPoint:
    """The place of the outline nearest to a point.

    Parameters
    ----------
    at : complex
        Millimetres to the right of and above the lower left corner of the box around
        the piece.
    """

    at: complex


MarkWord = OwnMark | AtNotch | AtCorner | AlongEdge | AtPoint


def parse_mark_word(text: str, marks: Collection[str] = ()) -> MarkWord:
    """Read where on an outline a place is.

    Parameters
    ----------
    text : str
    marks : collection of str
        A person's own names for marks on the piece.

    Raises
    ------
    SettingsError
        If it means no place, with examples of what does.
    """
    plain = " ".join(text.split())
    for name in marks:
        if name.casefold().split() == plain.casefold().split():
            return OwnMark(name)
    for form, make in _FORMS:
        said = form.fullmatch(plain)
        if said is not None:
            return make(said)
    known = f"; own marks: {', '.join(marks)}" if marks else ""
    raise SettingsError(f'"{text}" names no mark; write {EXAMPLES}{known}')


def mark_text(mark: MarkWord) -> str:
    """Return a text that `parse_mark_word` reads as this mark."""
    match mark:
        case OwnMark(name):
            return name
        case AtNotch(name):
            return f"notch {name}"
        case AtCorner(number):
            return f"corner {number}"
        case AlongEdge(edge, share, distance):
            if share is None:
                return f"{edge} at {_decimal(distance)} mm"
            return f"{edge} at {_decimal(100 * share)} %"
        case AtPoint(at):
            return f"{_decimal(at.real)} mm, {_decimal(at.imag)} mm"


def _decimal(number: float) -> str:
    """Write a number without an exponent, to a millionth."""
    return f"{number:.6f}".rstrip("0").rstrip(".")


def number_in(text: str) -> int | None:
    """Return the number that a text is, from 1; None if it is none."""
    return int(text) if _NUMBER.fullmatch(text) else None


def is_free_mark_name(name: str) -> bool:
    """Whether a person may give this name to a mark: it means nothing else."""
    return _RESERVED.fullmatch(" ".join(name.split())) is None


def _at_share(said: re.Match[str]) -> MarkWord:
    share = float(said["share"]) / 100
    if share > 1:
        raise SettingsError(f'"{said[0]}": an edge has no place beyond 100 %')
    return AlongEdge(said["edge"], share)


def _at_point(said: re.Match[str]) -> MarkWord:
    right, up = (parse_length(said[way].strip()) for way in ("right", "up"))
    return AtPoint(complex(right, up))


_Make = Callable[[re.Match[str]], MarkWord]

_FORMS: Final[tuple[tuple[re.Pattern[str], _Make], ...]] = (
    (_NOTCH, lambda said: AtNotch(said["name"])),
    (_CORNER, lambda said: AtCorner(int(said["number"]))),
    (_SHARE, _at_share),
    (
        _DISTANCE,
        lambda said: AlongEdge(said["edge"], None, parse_length(said["length"])),
    ),
    (_POINT, _at_point),
)
"""The first form that fits a text says how it is read."""
