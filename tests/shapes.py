"""Shapes that the tests share: exact ones with known answers, and awkward ones.

`ZOO` holds what drawings really contain and nobody expects. Every function of the
kernel has to get through it without warnings and without NaN.
"""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

import numpy as np

from edgefinder.geometry.path import Path, reverse_path
from edgefinder.geometry.segments import (
    Segments,
    arc_segments,
    circle,
    concatenate,
    cubic_segments,
    line_segments,
    quadratic_segments,
)


def polygon(*corners: complex) -> Path:
    """A closed outline of straight edges."""
    return Path(line_segments(corners, np.roll(corners, -1)), closed=True)


def polyline(*vertices: complex) -> Path:
    """An open line of straight edges."""
    return Path(line_segments(vertices[:-1], vertices[1:]), closed=False)


def rectangle(width: float, height: float) -> Path:
    """Anticlockwise from the lower left corner, which is at 0."""
    return polygon(0, width, width + 1j * height, 1j * height)


def circle_outline(radius: float, centre: complex = 0) -> Path:
    """Anticlockwise from the rightmost point: one conic arc."""
    return Path(circle(centre, radius), closed=True)


def ellipse_outline(a: float, b: float, tilt: float = 0.0, centre: complex = 0) -> Path:
    """Anticlockwise from an end of the axis a, which is tilted by radians."""
    turn = np.exp(1j * tilt)
    return Path(
        arc_segments([centre], a * turn, 1j * b * turn, 0.0, 2 * np.pi), closed=True
    )


def parabola(focus: float, x0: float, x1: float) -> Path:
    """The arc of y = x^2 / (4 focus) from x0 to x1, as one exact cubic."""
    middle = complex((x0 + x1) / 2, x0 * x1 / (4 * focus))
    start, end = (complex(x, x * x / (4 * focus)) for x in (x0, x1))
    return Path(quadratic_segments([[start, middle, end]]), closed=False)


def stadium(straight: float, radius: float) -> Path:
    """Two straight sides joined by half circles, anticlockwise from the lower left.

    Length 2 straight + 2 pi radius, area 2 radius straight + pi radius^2.
    """
    r, quarter = radius, np.pi / 2
    lower, right, upper, left = (
        line_segments(-1j * r, straight - 1j * r),
        arc_segments([straight], r, 1j * r, -quarter, quarter),
        line_segments(straight + 1j * r, 1j * r),
        arc_segments([0], r, 1j * r, quarter, 3 * quarter),
    )
    return Path(concatenate([lower, right, upper, left]), closed=True)


def rounded_rectangle(width: float, height: float, radius: float) -> Path:
    """A rectangle with its lower left at 0 and quarter circles at its corners.

    Length 2 (width + height) - (8 - 2 pi) radius,
    area width height - (4 - pi) radius^2.
    """
    w, h, r = width, height, radius
    tables: list[Segments] = []
    for corner, centre, out in (
        (r, w - r, complex(w - r, r)),
        (complex(w, r), complex(w, h - r), complex(w - r, h - r)),
        (complex(w - r, h), complex(r, h), complex(r, h - r)),
        (complex(0, h - r), complex(0, r), complex(r, r)),
    ):
        start = -np.pi / 2 + len(tables) / 2 * np.pi / 2
        tables.append(line_segments(corner, centre))
        tables.append(arc_segments([out], r, 1j * r, start, start + np.pi / 2))
    return Path(concatenate(tables), closed=True)


def leaf() -> Path:
    """A simple outline with a cusp inside one cubic: a spike that points upwards.

    Anticlockwise from 0 straight to 1 and back over the spike at 0.5 + 0.75j; area
    0.3, the integral of 3 t (1-t) d(t^3 + 3 t (1-t)^2).
    """
    return reverse_path(
        Path(
            concatenate(
                [cubic_segments([[0, 1 + 1j, 1j, 1]]), line_segments(1, 0)],
            ),
            closed=True,
        )
    )


def ring() -> tuple[Path, Path]:
    """An outer contour anticlockwise and a hole in it clockwise; area 75 pi."""
    return circle_outline(10), reverse_path(circle_outline(5))


def not_a_number() -> Path:
    """What a broken file holds; readers have to refuse it before the kernel."""
    return polygon(0, complex(np.nan, 1), 1 + 1j)


def _one_cubic(*control: complex) -> Path:
    return Path(cubic_segments([control]), closed=False)


ZOO: Final[Mapping[str, Path]] = MappingProxyType(
    {
        "point": polyline(3 + 4j, 3 + 4j),
        "point, closed": polygon(3 + 4j),
        "point as a cubic": _one_cubic(1, 1, 1, 1),
        "point as an arc": Path(arc_segments([1], 0, 0, 0.0, 1.0), closed=False),
        "arc of no span": Path(arc_segments([1], 2, 2j, 1.0, 1.0), closed=False),
        "one line": polyline(0, 5 + 5j),
        "there and back": polygon(0, 10),
        "zero-length edge": polygon(0, 10, 10, 10 + 10j, 10j),
        "zero-length edge at the start": polygon(0, 0, 10, 10 + 10j, 10j),
        "zero-length edge at the end": polyline(0, 10, 10 + 10j, 10 + 10j),
        "zero-length cubic in a line": Path(
            concatenate(
                [
                    line_segments(0, 10),
                    cubic_segments([[10, 10, 10, 10]]),
                    line_segments(10, 10 + 10j),
                ]
            ),
            closed=False,
        ),
        "collinear": polygon(0, 5, 10, 3),
        "straight cubic": _one_cubic(0, 1 + 1j, 2 + 2j, 3 + 3j),
        "straight cubic doubling back": _one_cubic(0, 3 + 3j, -2 - 2j, 1 + 1j),
        "straight cubic that stops": _one_cubic(0, 1, 0, 1),
        "first handle of no length": _one_cubic(0, 0, 10, 10 + 10j),
        "last handle of no length": _one_cubic(0, 10, 10 + 10j, 10 + 10j),
        "no handles": _one_cubic(0, 0, 10 + 5j, 10 + 5j),
        "handle of 1e-12": _one_cubic(0, 1e-12j, 10, 10 + 10j),
        "cusp": _one_cubic(0, 10 + 10j, 10j, 10),
        "loop": _one_cubic(0, 12 + 10j, -2 + 10j, 10),
        "almost a cusp": _one_cubic(0, 10 + 10j, 1e-7 + 10j, 10),
        "flat ellipse": ellipse_outline(10, 0),
        "flat arc off its tips": Path(
            arc_segments([0], 1 + 1j, 1 + 1j, 0.0, 4.0), closed=False
        ),
        "thin ellipse": ellipse_outline(100, 1e-5, tilt=0.7),
        "three times round": Path(
            arc_segments([0], 5, 3j, 1.0, 1.0 + 6 * np.pi), closed=True
        ),
        "self-crossing": polygon(0, 10 + 10j, 10, 10j),
        "clockwise": reverse_path(rounded_rectangle(40, 30, 5)),
        "1e-6 mm": rounded_rectangle(4e-6, 3e-6, 5e-7),
        "1e6 mm": rounded_rectangle(4e6, 3e6, 5e5),
        "far from the origin": Path(circle(1e6 + 1e6j, 5), closed=True),
        "leaf": leaf(),
    }
)
"""Awkward shapes by name."""
