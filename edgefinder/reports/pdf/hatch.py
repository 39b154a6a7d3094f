"""The hatch of a cutting chart: parallel lines, as many as a shape takes."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final
from xml.etree.ElementTree import Element

Line = tuple[float, float, float, float]

TOUCHING: Final = 1e-9
"""Share of a line by which rounding may part it from a corner that it goes through."""


@dataclass(frozen=True, slots=True)
class Hatch:
    """Parallel lines.

    Parameters
    ----------
    apart : float
        Between two lines, in the unit of the drawing, as all lengths here.
    first : float
        Of the first line from the origin, square to it.
    angle : float
        Of the lines, in radians, as SVG turns them.
    width : float
    colour : str
    """

    apart: float
    first: float
    angle: float
    width: float
    colour: str


def read_hatch(pattern: Element) -> Hatch:
    """Read an SVG pattern that is one line across a square, turned.

    Raises
    ------
    ValueError
        If it is anything else.
    """
    (line,) = pattern
    at = line.attrib
    turned = pattern.attrib["patternTransform"]
    inside = turned.removeprefix("rotate(").removesuffix(")")
    if at["y1"] != at["y2"] or pattern.attrib["width"] != pattern.attrib["height"]:
        raise ValueError(f"a hatch is drawn with {at}")
    return Hatch(
        apart=float(pattern.attrib["height"]),
        first=float(at["y1"]),
        angle=math.radians(float(inside)),
        width=float(at["stroke-width"]),
        colour=at["stroke"],
    )


def hatch_lines(hatch: Hatch, points: Sequence[tuple[float, float]]) -> list[Line]:
    """Return the lines that cover some points, each from x, y to x, y.

    They go on to the ends of the box around the points; what is outside the shape is
    clipped where it is drawn.
    """
    box = (
        *(min(values) for values in zip(*points, strict=True)),
        *(max(values) for values in zip(*points, strict=True)),
    )
    cos, sin = math.cos(hatch.angle), math.sin(hatch.angle)
    along = [x * cos + y * sin for x, y in points]
    across = [y * cos - x * sin for x, y in points]
    left, right = min(along), max(along)
    lowest = math.ceil((min(across) - hatch.first) / hatch.apart)
    highest = math.floor((max(across) - hatch.first) / hatch.apart)
    lines = []
    for number in range(lowest, highest + 1):
        depth = hatch.first + number * hatch.apart
        start = left * cos - depth * sin, left * sin + depth * cos
        end = right * cos - depth * sin, right * sin + depth * cos
        within = _within(start, end, box)
        if within is not None:
            lines.append(within)
    return lines


def _within(
    start: tuple[float, float], end: tuple[float, float], box: tuple[float, ...]
) -> Line | None:
    """Return what of a line is in a box (Liang and Barsky 1984); None if nothing is."""
    first, last = 0.0, 1.0
    for axis in (0, 1):
        step = end[axis] - start[axis]
        low, high = box[axis] - start[axis], box[axis + 2] - start[axis]
        if step == 0.0:
            if low > 0.0 or high < 0.0:
                return None
            continue
        near, far = sorted((low / step, high / step))
        first, last = max(first, near), min(last, far)
    if first > last + TOUCHING:  # a line through a corner touches the shape there
        return None
    (x, y), (u, v) = start, end
    return (
        x + first * (u - x),
        y + first * (v - y),
        x + last * (u - x),
        y + last * (v - y),
    )
