"""The geometry of one shape in its own user units, by another reader than ours.

Path data goes through fontTools' parser; arcs and basic shapes are written here from
the formulas of the standard.
"""

import cmath
import itertools
import math
import re
from typing import Final

from conformance.curves import Bezier, Conic, Curve, Subpath
from conformance.page import Shape
from fontTools.svgLib.path.parser import parse_path

_UNITS: Final = {
    "": 1.0,
    "px": 1.0,
    "in": 96.0,
    "cm": 96 / 2.54,
    "mm": 96 / 25.4,
    "Q": 96 / 101.6,
    "pt": 96 / 72,
    "pc": 96 / 6,
    "em": 16.0,
}
"""Px to the unit: CSS Values and Units 3, section 6.2; CSS Fonts 4, section 2.5."""
_LENGTH: Final = re.compile(r"\s*([-+.\deE]+?)\s*(px|in|cm|mm|Q|pt|pc|em|%|)\s*")
_NUMBER: Final = re.compile(r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?")
_QUARTER: Final = math.pi / 2
RESOLVED: Final = 1e-5
"""Relative: what is left between a number and what the browser says of it in single
precision and six digits."""

ROUNDING: Final = 2.0**-50
"""Share of the coordinates: a chord this near to a diameter was written as one. Half
turns are ill-conditioned, so that the last bit would move them by 1e-8."""


def subpaths(shape: Shape) -> list[Subpath]:
    """Read a shape into curves; what has no extent is left out."""
    found = _READERS[shape.tag](shape)
    extended = (tuple(one for one in path if one.has_extent) for path in found)
    return [path for path in extended if path]


class _Pen:
    """Takes the calls of fontTools' parser."""

    def __init__(self) -> None:
        self.subpaths: list[list[Curve]] = []
        self._at = 0j

    def moveTo(self, point: tuple[float, float]) -> None:  # noqa: N802 (its name)
        self._at = complex(*point)
        self.subpaths.append([])

    def lineTo(self, *points: tuple[float, float]) -> None:  # noqa: N802 (its name)
        control = (self._at, *(complex(*point) for point in points))
        self._at = control[-1]
        self.subpaths[-1].append(Bezier(control))

    qCurveTo = curveTo = lineTo  # noqa: N815 (their names)

    def arcTo(  # noqa: N802 (its name)
        self,
        rx: float,
        ry: float,
        rotation: float,
        is_large: bool,
        is_swept: bool,
        end: tuple[float, float],
    ) -> None:
        start, self._at = self._at, complex(*end)
        if start != self._at:
            curve = _arc(start, (rx, ry, rotation), (is_large, is_swept), self._at)
            self.subpaths[-1].append(curve)

    def closePath(self) -> None:  # noqa: N802 (its name)
        """The parser has drawn the closing line."""

    def endPath(self) -> None:  # noqa: N802 (its name)
        """An open subpath needs nothing more."""


def _arc(
    start: complex,
    radii: tuple[float, float, float],
    flags: tuple[bool, bool],
    end: complex,
) -> Curve:
    """Find the centre: SVG 2, appendix B.2.4 and B.2.5.

    In the frame where the ellipse is the unit circle, the centre lies on the
    perpendicular bisector of the chord.
    """
    rx, ry, rotation = radii
    if rx == 0 or ry == 0:
        return Bezier((start, end))
    axis = cmath.exp(1j * math.radians(rotation))

    chord = (end - start) / axis
    half = complex(chord.real / rx, chord.imag / ry) / 2
    radius = max(1.0, abs(half))
    spare = radius - abs(half)
    if spare <= ROUNDING * (1 + (abs(start) + abs(end)) / abs(end - start)):
        spare = 0.0
    height = math.sqrt(spare * (radius + abs(half)))
    is_large, is_swept = flags
    side = 1 if is_large != is_swept else -1
    to_centre = half + side * 1j * half / abs(half) * height
    first = cmath.phase(-to_centre)
    last = cmath.phase(2 * half - to_centre)
    if is_swept and last < first:
        last += math.tau
    if not is_swept and last > first:
        last -= math.tau
    centre = start + axis * complex(to_centre.real * rx, to_centre.imag * ry)
    return Conic(centre, axis * rx * radius, axis * 1j * ry * radius, (first, last))


def _path(shape: Shape) -> list[list[Curve]]:
    pen = _Pen()
    data = " ".join(shape.attributes.get("d", "").split())
    parse_path(data, pen)
    return pen.subpaths


def _points(shape: Shape) -> list[complex]:
    numbers = [float(one) for one in _NUMBER.findall(shape.attributes["points"])]
    pairs = zip(numbers[::2], numbers[1::2], strict=True)
    return [complex(*pair) for pair in pairs]


def _polyline(shape: Shape) -> list[list[Curve]]:
    if "points" not in shape.attributes:
        return []
    points = _points(shape)
    return [[Bezier(pair) for pair in itertools.pairwise(points)]]


def _polygon(shape: Shape) -> list[list[Curve]]:
    if "points" not in shape.attributes:
        return []
    points = _points(shape)
    return [[Bezier(pair) for pair in itertools.pairwise([*points, *points[:1]])]]


def _line(shape: Shape) -> list[list[Curve]]:
    x1, y1, x2, y2 = (size(shape, name) for name in ("x1", "y1", "x2", "y2"))
    return [[Bezier((complex(x1, y1), complex(x2, y2)))]]


def _circle(shape: Shape) -> list[list[Curve]]:
    r = size(shape, "r")
    return _ellipse_of(shape, r, r)


def _ellipse(shape: Shape) -> list[list[Curve]]:
    rx, ry = _radii(shape)
    return _ellipse_of(shape, rx, ry)


def _ellipse_of(shape: Shape, rx: float, ry: float) -> list[list[Curve]]:
    if not (rx and ry):
        return []
    centre = complex(size(shape, "cx"), size(shape, "cy"))
    return [[Conic(centre, complex(rx), 1j * ry, (0.0, math.tau))]]


def _rect(shape: Shape) -> list[list[Curve]]:
    x, y = size(shape, "x"), size(shape, "y")
    width, height = size(shape, "width"), size(shape, "height")
    if not (width and height):
        return []
    rx, ry = _radii(shape)
    rx, ry = min(rx, width / 2), min(ry, height / 2)
    if not (rx and ry):
        rx = ry = 0.0
    outer = complex(x, y), complex(x + width, y + height)
    # Each corner: its turning point, and the quarter that begins there.
    corners = (
        (complex(outer[1].real - rx, outer[0].imag + ry), -_QUARTER),
        (complex(outer[1].real - rx, outer[1].imag - ry), 0.0),
        (complex(outer[0].real + rx, outer[1].imag - ry), _QUARTER),
        (complex(outer[0].real + rx, outer[0].imag + ry), 2 * _QUARTER),
    )

    def at(centre: complex, angle: float) -> complex:
        return centre + complex(rx * math.cos(angle), ry * math.sin(angle))

    curves: list[Curve] = []
    for (centre, angle), (before, _) in zip(
        corners, (corners[-1], *corners[:-1]), strict=True
    ):
        curves.append(Bezier((at(before, angle), at(centre, angle))))
        if rx:
            span = (angle, angle + _QUARTER)
            curves.append(Conic(centre, complex(rx), 1j * ry, span))
    return [curves]


def _radii(shape: Shape) -> tuple[float, float]:
    names = [name for name in ("rx", "ry") if is_said(shape, name)]
    if not names:
        return 0.0, 0.0
    first, last = size(shape, names[0]), size(shape, names[-1])
    return first, last


def is_said(shape: Shape, name: str) -> bool:
    """Whether a size is said of a shape, and not "auto"."""
    return name in shape.sizes


def size(shape: Shape, name: str) -> float:
    """Return a size as it is written, if that is what the browser resolved it to.

    Where the two differ, the style sheet has another one than the attribute; then
    the browser's is all there is.
    """
    resolved = shape.sizes[name]
    match = _LENGTH.fullmatch(shape.attributes.get(name, "0"))
    if match is None:
        return resolved
    number, unit = float(match[1]), match[2]
    written = number * (_whole(shape, name) / 100 if unit == "%" else _UNITS[unit])
    is_same = math.isclose(written, resolved, rel_tol=RESOLVED, abs_tol=RESOLVED)
    return written if is_same else resolved


def _whole(shape: Shape, name: str) -> float:
    """Return what a percentage is of: SVG 2, section 8.9, "Units"."""
    width, height = shape.view_box
    if name == "r":
        return math.hypot(width, height) / math.sqrt(2)
    return height if "y" in name or name == "height" else width


_READERS: Final = {
    "path": _path,
    "rect": _rect,
    "circle": _circle,
    "ellipse": _ellipse,
    "line": _line,
    "polyline": _polyline,
    "polygon": _polygon,
}
