"""Every drawn line with its length."""

from dataclasses import dataclass

from edgefinder.constants import LARGEST_PIECE_MM, SMALLEST_PIECE_MM
from edgefinder.findings import Finding, warning
from edgefinder.geometry.measured import measure_all
from edgefinder.importers.drawing import Drawing, DrawnLine


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


def scale_findings(
    drawing: Drawing, lines: tuple[MeasuredLine, ...]
) -> tuple[Finding, ...]:
    """Warn of a scale that cannot be right for a pattern."""
    longest = max((line.length for line in lines), default=0.0)
    # A line round a piece is two to four times as long as the piece.
    if not lines or 2 * SMALLEST_PIECE_MM <= longest <= 4 * LARGEST_PIECE_MM:
        return ()
    message = (
        f"the longest line is {longest:.1f} mm: the scale cannot be right for a "
        f"pattern ({drawing.unit_mm:g} mm per drawing unit); give the true unit with "
        "--unit-mm"
    )
    return (warning("unlikely-scale", drawing.name, message),)
