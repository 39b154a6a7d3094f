"""The pieces of a pattern interchange file, made to every size by its grade rules."""

from pathlib import Path

from edgefinder.importers.drawing import Reading
from edgefinder.importers.interchange.grade_rules import (
    find_grade_rules,
    read_grade_rules,
)
from edgefinder.importers.interchange.reading import read_interchange
from edgefinder.pattern.finding import PiecesFound
from edgefinder.pattern.interchange_pieces import interchange_pieces
from edgefinder.pattern.scale import scale_by_square
from edgefinder.pattern.settings import FindingSettings


def interchange_found(
    path: Path, reading: Reading, unit_mm: float | None, settings: FindingSettings
) -> PiecesFound:
    """Find the pieces of a pattern interchange file.

    Parameters
    ----------
    path : Path
        Grade rules are looked for beside it.
    reading : Reading
        Of the file.
    unit_mm : float or None
        Millimetres per drawing unit, where a person said so.
    settings : FindingSettings

    Returns
    -------
    PiecesFound

    Raises
    ------
    DrawingError
        As `edgefinder.importers.interchange.reading.read_interchange`.
    """
    if settings.test_square is not None:
        reading = scale_by_square(reading, settings.test_square).reading
        unit_mm = reading.drawing.unit_mm  # whatever its keys say
    rules = find_grade_rules(path)
    found = read_interchange(
        reading,
        unit_mm=unit_mm,
        grade_rules=None if rules is None else read_grade_rules(rules),
        join_tolerance=settings.join_tolerance,
        corner_angle=settings.corner_angle,
    )
    answered = {"unit-assumed", "no-outline"}  # by the interchange reader
    kept = [f for f in reading.findings if f.code not in answered]
    return PiecesFound(
        interchange_pieces(found.pieces, settings), (*kept, *found.findings)
    )
