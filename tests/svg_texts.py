"""Short SVG texts for the tests of the SVG reader."""

from pathlib import Path
from typing import Final

import numpy as np

from edgefinder.geometry.arclength import lengths
from edgefinder.geometry.segments import Complexes, Kind, end_points, start_points
from edgefinder.importers.drawing import DrawnLine, Reading
from edgefinder.importers.svg.reading import read_svg_text

FIXTURES: Final = Path(__file__).parents[1] / "fixtures" / "svg"

ONE_MM: Final = 'width="100mm" height="100mm" viewBox="0 0 100 100"'
"""The size of a drawing whose user unit is one millimetre."""


def svg_text(body: str, size: str = ONE_MM) -> bytes:
    """Wrap elements in an svg element."""
    head = 'xmlns="http://www.w3.org/2000/svg"'
    link = 'xmlns:xlink="http://www.w3.org/1999/xlink"'
    return f"<svg {head} {link} {size}>\n{body}\n</svg>\n".encode()


def read_body(
    body: str, size: str = ONE_MM, *, unit_mm: float | None = None
) -> Reading:
    """Read elements in a drawing of a size."""
    return read_svg_text(svg_text(body, size), "test.svg", unit_mm=unit_mm)


def read_line(body: str, size: str = ONE_MM) -> DrawnLine:
    """Read elements that draw one line."""
    (line,) = read_body(body, size).drawing.lines
    return line


def length_of(line: DrawnLine) -> float:
    """Add up the arc lengths of a line, millimetres."""
    return float(lengths(line.path.segments).sum())


def vertices(line: DrawnLine) -> Complexes:
    """Return the start of every segment and the end of the last."""
    segments = line.path.segments
    return np.append(start_points(segments), end_points(segments)[-1])


def kinds(line: DrawnLine) -> list[Kind]:
    """Return the kinds of the segments in order."""
    return [Kind(kind) for kind in line.path.segments.kind]


def codes(reading: Reading) -> dict[str, str]:
    """Return the messages of the findings by their code."""
    return {finding.code: finding.message for finding in reading.findings}
