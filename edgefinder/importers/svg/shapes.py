"""The basic shapes, each as exact segments from the point where SVG begins it."""

import itertools
import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from edgefinder.errors import DrawingError
from edgefinder.importers.svg.path_data import read_path_data
from edgefinder.importers.svg.subpath import ROUNDING, Row, Subpath, conic, line
from edgefinder.importers.svg.units import Viewport, read_numbers, shortened

Attribute = Callable[[str], str | None]
"""The attribute or style property of an element by its name."""

_QUARTER: Final = math.pi / 2
_COMMAND: Final = re.compile(r"[a-df-zA-DF-Z]")
"""A letter that may stand in path data, but not in a list of points."""
_NO_PATH_DATA: Final = "?"
_CSS_PATH: Final = re.compile(
    r"path\(\s*(?:nonzero\s*,|evenodd\s*,)?\s*([\"'])(.*?)\1\s*\)", re.DOTALL
)
"""SVG 2, section 9.3.1: the d property as a style sheet writes it."""


@dataclass(frozen=True, slots=True)
class PathText:
    """An outline that is all path data, to be read with many others at once.

    Parameters
    ----------
    data : str
    points : str or None
        The list of points that it stands for.
    is_closed : bool
        Whether the last of them is joined to the first.
    """

    data: str
    points: str | None = None
    is_closed: bool = False

    def read(self) -> tuple[Subpath, ...]:
        """Read it step by step.

        This is for what is written in a way that `path_table` does not read.

        Raises
        ------
        DrawingError
            With what is wrong, and where.
        """
        if self.points is not None:
            rows = _legs(self.points)
            return (Subpath(tuple(rows), self.is_closed),) if rows else ()
        try:
            return read_path_data(self.data)
        except DrawingError as error:
            raise DrawingError(f"in its path data {error}") from error


def read_shape(
    tag: str, attribute: Attribute, viewport: Viewport
) -> tuple[Subpath, ...] | PathText:
    """Read one path or basic shape.

    Parameters
    ----------
    tag : str
        One of `SHAPES`.
    attribute : callable
    viewport : Viewport
        What percentages are of.

    Returns
    -------
    tuple of Subpath or PathText
        In user units; empty for a shape without extent, which is not drawn. What may
        be long is given as path data, still to be read.

    Raises
    ------
    DrawingError
        With the reason, if an attribute cannot be read.

    References
    ----------
    SVG 2, chapter 10, "Basic Shapes".
    """
    return SHAPES[tag](attribute, viewport)


def _path(attribute: Attribute, _viewport: Viewport) -> PathText:
    text = attribute("d") or ""
    written = _CSS_PATH.fullmatch(text.strip()) if "(" in text else None
    return PathText(written[2] if written else text)


def _rect(attribute: Attribute, viewport: Viewport) -> tuple[Subpath, ...]:
    x = viewport.across(attribute("x") or "0")
    y = viewport.down(attribute("y") or "0")
    width = _size(attribute, "width", viewport.across) or 0.0
    height = _size(attribute, "height", viewport.down) or 0.0
    if width == 0 or height == 0:
        return ()
    rx = _size(attribute, "rx", viewport.across)
    ry = _size(attribute, "ry", viewport.down)
    # An auto radius is the other one; both are held to half of the side.
    rx, ry = (ry if rx is None else rx) or 0.0, (rx if ry is None else ry) or 0.0
    if rx == 0 or ry == 0:
        rx = ry = 0.0
    corner = complex(_held(rx, width), _held(ry, height))
    return _closed(_rounded(complex(x, y), complex(width, height), corner))


def _held(radius: float, side: float) -> float:
    # A radius that leaves no more of the side than rounding takes all of it.
    return side / 2 if radius >= side / 2 * (1 - ROUNDING) else radius


def _rounded(at: complex, size: complex, radius: complex) -> list[Row]:
    """Go round as section 10.2 does: along the top first, then clockwise as drawn."""
    x, y, rx, ry = at.real, at.imag, radius.real, radius.imag
    right, bottom = x + size.real, y + size.imag
    is_wide, is_tall = size.real > 2 * rx, size.imag > 2 * ry
    sides = (
        (is_wide, complex(x + rx, y), complex(right - rx, y)),
        (is_tall, complex(right, y + ry), complex(right, bottom - ry)),
        (is_wide, complex(right - rx, bottom), complex(x + rx, bottom)),
        (is_tall, complex(x, bottom - ry), complex(x, y + ry)),
    )
    centres = (
        complex(right - rx, y + ry),
        complex(right - rx, bottom - ry),
        complex(x + rx, bottom - ry),
        complex(x + rx, y + ry),
    )
    rows = []
    for quarter, (side, centre) in enumerate(zip(sides, centres, strict=True)):
        is_there, start, end = side
        if is_there:
            rows.append(line(start, end))
        if rx > 0:
            span = ((quarter - 1) * _QUARTER, quarter * _QUARTER)
            rows.append(conic(centre, complex(rx), complex(0, ry), span))
    return rows


def _circle(attribute: Attribute, viewport: Viewport) -> tuple[Subpath, ...]:
    radius = _size(attribute, "r", viewport.along) or 0.0
    return _full_turn(attribute, viewport, radius, radius)


def _ellipse(attribute: Attribute, viewport: Viewport) -> tuple[Subpath, ...]:
    rx = _size(attribute, "rx", viewport.across)
    ry = _size(attribute, "ry", viewport.down)
    return _full_turn(
        attribute,
        viewport,
        (ry if rx is None else rx) or 0.0,
        (rx if ry is None else ry) or 0.0,
    )


def _full_turn(
    attribute: Attribute, viewport: Viewport, rx: float, ry: float
) -> tuple[Subpath, ...]:
    if rx == 0 or ry == 0:
        return ()
    centre = complex(
        viewport.across(attribute("cx") or "0"), viewport.down(attribute("cy") or "0")
    )
    return _closed([conic(centre, complex(rx), complex(0, ry), (0.0, math.tau))])


def _line(attribute: Attribute, viewport: Viewport) -> tuple[Subpath, ...]:
    start, end = (
        complex(
            viewport.across(attribute(f"x{which}") or "0"),
            viewport.down(attribute(f"y{which}") or "0"),
        )
        for which in "12"
    )
    return (Subpath((line(start, end),), closed=False),) if start != end else ()


def _polyline(attribute: Attribute, _viewport: Viewport) -> PathText:
    return _through_points(attribute("points") or "", is_closed=False)


def _polygon(attribute: Attribute, _viewport: Viewport) -> PathText:
    return _through_points(attribute("points") or "", is_closed=True)


def _through_points(text: str, *, is_closed: bool) -> PathText:
    if _COMMAND.search(text):
        return PathText(_NO_PATH_DATA, text, is_closed)
    # Points are what follows a move: the further ones are lines.
    return PathText(f"M{text}{'Z' if is_closed else ''}", text, is_closed)


def _legs(text: str) -> list[Row]:
    try:
        numbers = read_numbers(text)
    except DrawingError as error:
        raise DrawingError(f"in its points {error}") from error
    if len(numbers) % 2:
        raise DrawingError(
            f'in its points "{shortened(text)}" is an odd number of them'
        )
    points = [complex(*pair) for pair in zip(numbers[::2], numbers[1::2], strict=True)]
    legs = itertools.pairwise(points)
    return [line(start, end) for start, end in legs if start != end]


def _closed(rows: list[Row]) -> tuple[Subpath, ...]:
    return (Subpath(tuple(rows), closed=True),) if rows else ()


def _size(
    attribute: Attribute, name: str, resolve: Callable[[str], float]
) -> float | None:
    text = attribute(name)
    if text is None or text.strip() in {"", "auto"}:
        return None
    size = resolve(text)
    if size < 0:
        raise DrawingError(f'{name} "{shortened(text)}" is below zero')
    return size


Reader = Callable[[Attribute, Viewport], tuple[Subpath, ...] | PathText]

SHAPES: Final[Mapping[str, Reader]] = MappingProxyType(
    {
        "path": _path,
        "rect": _rect,
        "circle": _circle,
        "ellipse": _ellipse,
        "line": _line,
        "polyline": _polyline,
        "polygon": _polygon,
    }
)
"""How each is read, by its tag."""
