"""A copy of one drawing of a job with the layer of marks."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np

from edgefinder.classifier.job import Job
from edgefinder.errors import DrawingError, SettingsError, did_you_mean
from edgefinder.files import read_bytes
from edgefinder.geometry.measured import measure, points_at_lengths
from edgefinder.geometry.path import Path as DrawnPath
from edgefinder.importers.drawing import DrawnLine
from edgefinder.importers.formats import is_svg
from edgefinder.pattern.scale import scale_by_square
from edgefinder.reports.mark.shapes import SeenPiece, piece_marks, seen_pieces
from edgefinder.schedule.release import Release
from edgefinder.schedule.telling import Tell, silent

SAME_PLACE: Final = 1e-6
"""Share of its size by which a line may be off and still be the same: above the
rounding of two readings, far below what a grade rule moves."""
SAMPLES: Final = 17
"""Points along a line by which it is known again."""


def marked_copy(
    release: Release, output: Path, drawing: str | None, tell: Tell = silent
) -> bytes:
    """Return a drawing of a job with its edge numbers, runs and places to watch.

    Parameters
    ----------
    release : Release
    output : Path
        Only its ending is looked at.
    drawing : str or None
        File name of one of the job's drawings; None if it has only one.
    tell : Tell
        Told of every size.

    Returns
    -------
    bytes

    Raises
    ------
    SettingsError
        If it is not clear which drawing is meant, or the ending is of another format.
    DrawingError
        If nothing can be added to the drawing.
    """
    path = _chosen(release, drawing)
    data = read_bytes(path)
    ending = ".svg" if is_svg(data) else ".dxf"
    if output.suffix.lower() != ending:
        raise SettingsError(
            f'{output}: a copy of {path.name} is not written as "{output.suffix}"; '
            f'name a file that ends in "{ending}"'
        )
    seen = [one for one in seen_pieces(release, tell) if _stands_in(one, path)]
    job = release.job
    if ending == ".svg":
        from edgefinder.reports.mark.svg_marks import marked_svg  # noqa: PLC0415

        return marked_svg(
            data,
            path.name,
            piece_marks(seen),
            unit_mm=job.unit_mm,
            test_square=job.finding.test_square,
        )
    from edgefinder.reports.mark.dxf_marks import marked_dxf  # noqa: PLC0415

    found = _in_drawing(path, release.job, seen)
    if not found.pieces:
        raise DrawingError(
            f"{path}: none of its pieces stands there as it is drawn, so that there is "
            "nothing to mark"
        )
    return marked_dxf(path, data, piece_marks(found.pieces), found.unit_mm)


def _chosen(release: Release, name: str | None) -> Path:
    drawings = release.job.drawings
    names = [path.name for path in drawings]
    if name is None:
        if len(drawings) == 1:
            return drawings[0]
        raise SettingsError(
            f"{release.job.path}: has {len(drawings)} drawings; say which one with "
            f"--drawing: {', '.join(names)}"
        )
    if name not in names:
        raise SettingsError(
            f'--drawing: there is no drawing "{name}"{did_you_mean(name, names)}'
        )
    return drawings[names.index(name)]


def _stands_in(seen: SeenPiece, path: Path) -> bool:
    """Whether the outline of a piece was read from a file."""
    where = seen.source.where
    return where.startswith((f"{path.name}:", f"{path.name},"))


@dataclass(frozen=True, slots=True, eq=False)
class _Found:
    """The pieces that a file draws, and its millimetres per unit."""

    pieces: tuple[SeenPiece, ...]
    unit_mm: float


def _in_drawing(path: Path, job: Job, seen: Sequence[SeenPiece]) -> _Found:
    """Find the pieces that stand in a DXF as they are drawn.

    What a grade rule has made stands nowhere in it, and is left out.
    """
    from edgefinder.importers.dxf.reading import read_dxf  # noqa: PLC0415

    reading = read_dxf(path, unit_mm=job.unit_mm)
    if job.finding.test_square is not None:
        reading = scale_by_square(reading, job.finding.test_square).reading
    lines = reading.drawing.lines
    unit_mm = reading.drawing.unit_mm
    found = _Found(_drawn(seen, lines, 1.0), unit_mm)
    if found.pieces:
        return found
    # A pattern interchange file may say its unit in a text, and not in its header.
    from edgefinder.importers.interchange.reading import (  # noqa: PLC0415
        read_interchange,
    )

    known_mm = unit_mm if job.finding.test_square is not None else job.unit_mm
    said_mm = read_interchange(reading, unit_mm=known_mm).unit_mm
    return _Found(_drawn(seen, lines, said_mm / unit_mm), said_mm)


def _drawn(
    seen: Sequence[SeenPiece], lines: Sequence[DrawnLine], scale: float
) -> tuple[SeenPiece, ...]:
    by_place: dict[str, list[DrawnPath]] = {}
    for line in lines:
        by_place.setdefault(line.where, []).append(line.path)
    return tuple(
        one
        for one in seen
        if any(
            _is_same(one.source.path, path, scale)
            for path in by_place.get(one.source.where, ())
        )
    )


def _is_same(own: DrawnPath, drawn: DrawnPath, scale: float) -> bool:
    """Whether a path is another one, scaled from the origin."""
    first, second = measure(own), measure(drawn)
    places = np.linspace(0.0, 1.0, SAMPLES)
    points = points_at_lengths(first, places * first.length)
    others = scale * points_at_lengths(second, places * second.length)
    near = SAME_PLACE * (first.length + float(np.abs(points).max()))
    return bool(np.abs(points - others).max() <= near)
