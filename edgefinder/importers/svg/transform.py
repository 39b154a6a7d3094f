"""Transform lists of attributes and style properties.

Written here because the list reader of svgpathtools takes double commas and refuses
``translate(10-5)``, which drawing programs write to save a byte.
"""

import math
import re
from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Final

from edgefinder.errors import DrawingError
from edgefinder.geometry.affine import Affine
from edgefinder.importers.svg.units import (
    FONT_UNITS,
    MAX_NUMBER,
    NUMBER_PATTERN,
    SEPARATOR_PATTERN,
    SPACE_PATTERN,
    Viewport,
    position,
    read_length,
    read_number,
)

_FUNCTION: Final = re.compile(
    rf"{SPACE_PATTERN}([a-zA-Z]++){SPACE_PATTERN}\({SPACE_PATTERN}"
    rf"({NUMBER_PATTERN}[a-z]*+(?:{SEPARATOR_PATTERN}{NUMBER_PATTERN}[a-z]*+)*+)"
    rf"{SPACE_PATTERN}\){SEPARATOR_PATTERN}"
)
_ARGUMENT: Final = re.compile(rf"({NUMBER_PATTERN})([a-z]*+)")

MAX_CHARACTERS: Final = 2**16
"""Thousands of transforms one after the other; drawing programs write one."""

_ANGLES: Final = MappingProxyType(
    {
        "": math.pi / 180,
        "deg": math.pi / 180,
        "rad": 1.0,
        "grad": math.pi / 200,
        "turn": 2 * math.pi,
    }
)
"""Radians per unit: CSS Values and Units 3, section 7.1; without a unit degrees."""


def read_transform(text: str, viewport: Viewport) -> Affine:
    """Read a list of transforms; the last one applies first.

    Parameters
    ----------
    text : str
        ``translate(10 20) rotate(30)`` and so on; ``none`` or nothing at all is the
        map that changes nothing.
    viewport : Viewport
        Gives lengths in em.

    Returns
    -------
    Affine

    Raises
    ------
    DrawingError
        With the place of the mistake.

    References
    ----------
    CSS Transforms 1, sections 8 and 9 (syntax of the SVG transform attribute).
    """
    total = Affine()
    if text.strip() in {"", "none"}:
        return total
    if len(text) > MAX_CHARACTERS:
        raise DrawingError(
            f"transform of {len(text)} characters is longer than {MAX_CHARACTERS}"
        )
    at = 0
    while at < len(text):
        match = _FUNCTION.match(text, at)
        if match is None:
            raise DrawingError(f"{position(text, at)} is not a transform")
        total = total @ _function(match[1], match[2], viewport)
        at = match.end()
    if text.rstrip().endswith(","):
        raise DrawingError(f"{position(text, len(text) - 1)} is not a transform")
    return total


def read_origin(text: str, viewport: Viewport) -> complex:
    """Read a transform-origin: the point about which the transforms act.

    Keywords and percentages are of the viewport, which is what SVG elements use
    unless ``transform-box`` says otherwise (CSS Transforms 1, section 7).
    """
    words = text.split()
    if len(words) not in {1, 2, 3}:
        raise DrawingError(f'transform-origin "{text}" is not understood')
    across, down = (*words, "center")[:2] if len(words) == 1 else words[:2]
    if across in {"top", "bottom"} or down in {"left", "right"}:
        across, down = down, across
    named = {"left": "0%", "top": "0%", "center": "50%"}
    named |= {"right": "100%", "bottom": "100%"}
    return complex(
        viewport.across(named.get(across, across)),
        viewport.down(named.get(down, down)),
    )


def about(origin: complex, affine: Affine) -> Affine:
    """Let a map act about another point than the origin."""
    x, y = origin.real, origin.imag
    return Affine(e=x, f=y) @ affine @ Affine(e=-x, f=-y)


def is_usable(affine: Affine) -> bool:
    """Whether the numbers of a map are finite and not beyond any drawing."""
    entries = (affine.a, affine.b, affine.c, affine.d, affine.e, affine.f)
    return all(abs(entry) <= MAX_NUMBER for entry in entries)


def _function(name: str, arguments: str, viewport: Viewport) -> Affine:
    make = _MAKERS.get(name)
    if make is None:
        raise DrawingError(f'"{name}" is not a transform')
    values = [
        (repr(viewport.across(m[0])), "px") if m[2] in FONT_UNITS else (m[1], m[2])
        for m in _ARGUMENT.finditer(arguments)
    ]
    affine = make(values)
    if affine is None:
        raise DrawingError(f'"{name}" cannot have {len(values)} numbers')
    return affine


_Arguments = list[tuple[str, str]]


def _matrix(values: _Arguments) -> Affine | None:
    if len(values) != 6:
        return None
    return Affine(*(_plain(value) for value in values))


def _translate(values: _Arguments) -> Affine | None:
    if len(values) not in {1, 2}:
        return None
    x, y = (*values, ("0", ""))[:2]
    return Affine(e=_length(x), f=_length(y))


def _translate_x(values: _Arguments) -> Affine | None:
    return Affine(e=_length(values[0])) if len(values) == 1 else None


def _translate_y(values: _Arguments) -> Affine | None:
    return Affine(f=_length(values[0])) if len(values) == 1 else None


def _scale(values: _Arguments) -> Affine | None:
    if len(values) not in {1, 2}:
        return None
    return Affine(a=_plain(values[0]), d=_plain(values[-1]))


def _scale_x(values: _Arguments) -> Affine | None:
    return Affine(a=_plain(values[0])) if len(values) == 1 else None


def _scale_y(values: _Arguments) -> Affine | None:
    return Affine(d=_plain(values[0])) if len(values) == 1 else None


def _rotate(values: _Arguments) -> Affine | None:
    if len(values) not in {1, 3}:
        return None
    cos, sin = _direction(values[0])
    turn = Affine(cos, sin, -sin, cos)
    if len(values) == 1:
        return turn
    return about(complex(_length(values[1]), _length(values[2])), turn)


def _skew_x(values: _Arguments) -> Affine | None:
    return Affine(c=_slope(values[0])) if len(values) == 1 else None


def _skew_y(values: _Arguments) -> Affine | None:
    return Affine(b=_slope(values[0])) if len(values) == 1 else None


def _skew(values: _Arguments) -> Affine | None:
    if len(values) not in {1, 2}:
        return None
    x, y = (*values, ("0", ""))[:2]
    return Affine(b=_slope(y), c=_slope(x))


_MAKERS: Final[Mapping[str, Callable[[_Arguments], Affine | None]]] = MappingProxyType(
    {
        "matrix": _matrix,
        "translate": _translate,
        "translateX": _translate_x,
        "translateY": _translate_y,
        "scale": _scale,
        "scaleX": _scale_x,
        "scaleY": _scale_y,
        "rotate": _rotate,
        "skew": _skew,
        "skewX": _skew_x,
        "skewY": _skew_y,
    }
)


def _plain(value: tuple[str, str]) -> float:
    number, unit = value
    if unit:
        raise DrawingError(f'"{number}{unit}" must not have a unit')
    return read_number(number)


def _length(value: tuple[str, str]) -> float:
    return read_length("".join(value)).px


def _angle(value: tuple[str, str]) -> float:
    number, unit = value
    if unit not in _ANGLES:
        raise DrawingError(f'"{number}{unit}" is not an angle')
    return read_number(number) * _ANGLES[unit]


def _direction(value: tuple[str, str]) -> tuple[float, float]:
    angle = _angle(value)
    if value[1] in {"", "deg"}:
        quarters = read_number(value[0]) / 90
        if quarters.is_integer():
            # Quarter turns are exact, so that upright lines stay upright.
            return ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[int(quarters) % 4]
    return math.cos(angle), math.sin(angle)


def _slope(value: tuple[str, str]) -> float:
    slope = math.tan(_angle(value))
    if not abs(slope) <= MAX_NUMBER:
        raise DrawingError(f'"{"".join(value)}" skews to infinity')
    return slope
