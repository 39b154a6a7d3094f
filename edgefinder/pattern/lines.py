"""Every drawn line with its length."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from edgefinder.findings import Finding, warning
from edgefinder.geometry.measured import measure_all
from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import Floats, concatenate, points_at
from edgefinder.importers.drawing import Drawing, DrawnLine
from edgefinder.pattern.likely_units import is_likely, say_units


@dataclass(frozen=True, slots=True, eq=False)
class MeasuredLine:
    """A drawn line and its length in millimetres."""

    line: DrawnLine
    length: float


def measure_lines(drawing: Drawing) -> tuple[MeasuredLine, ...]:
    """Measure all lines of a drawing in one pass."""
    measured = measure_all([line.path for line in drawing.lines])
    return tuple(
        MeasuredLine(line, one.length)
        for line, one in zip(drawing.lines, measured, strict=True)
    )


def scale_findings(drawing: Drawing) -> tuple[Finding, ...]:
    """Warn of a scale that cannot be right for a pattern.

    Judged by the largest closed line, or by the largest line where none is closed.
    """
    closed = [line.path for line in drawing.lines if line.path.closed]
    paths = closed or [line.path for line in drawing.lines]
    if not paths:
        return ()
    largest = float(extents(paths).max())
    if is_likely(largest):
        return ()
    message = (
        f"the largest line is {largest:.1f} mm across: the scale cannot be right for a "
        f"pattern ({drawing.unit_mm:g} mm per drawing unit); "
        f"{say_units(largest, drawing.unit_mm)}"
    )
    return (warning("unlikely-scale", drawing.name, message),)


def extents(paths: Sequence[Path]) -> Floats:
    """Return the longer side of every path's bounding box, nearly enough.

    Parameters
    ----------
    paths : sequence of Path
        At least one.
    """
    segments = concatenate([path.segments for path in paths])
    first = np.cumsum([0, *(len(path.segments) for path in paths[:-1])])
    shares = (0.0, 0.25, 0.5, 0.75, 1.0)
    points = [points_at(segments, np.full(len(segments), t)) for t in shares]
    sides = []
    for part in (np.real(points), np.imag(points)):  # (5, n) each
        high = np.maximum.reduceat(part.max(axis=0), first)
        low = np.minimum.reduceat(part.min(axis=0), first)
        sides.append(high - low)
    longer: Floats = np.maximum(*sides)
    return longer
