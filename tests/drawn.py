"""Drawings, pieces and job files made in memory for the tests of the rooms between."""

from collections.abc import Sequence
from pathlib import Path as FilePath

from edgefinder.classifier.job import Job
from edgefinder.classifier.job_file import read_job
from edgefinder.errors import EdgefinderError
from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import concatenate, cubic_segments, line_segments
from edgefinder.importers.drawing import Drawing, DrawnLine, DrawnText, Reading
from edgefinder.pattern.finding import find_pieces
from edgefinder.pattern.pieces import Edge, Piece
from edgefinder.pattern.settings import FindingSettings

LARGE_SHEET = 'width="600mm" height="600mm" viewBox="0 0 600 600"'
"""A sheet for whole pieces whose user unit is one millimetre."""

HEAD = 'drawings = ["a.svg"]\n'
"""The least that a job file holds."""


def drawn(
    path: Path,
    *,
    id: str | None = None,  # noqa: A002 - it is called so in drawings
    kind: str = "path",
    layer: str | None = None,
    groups: tuple[str, ...] = (),
    classes: tuple[str, ...] = (),
    colour: str | None = None,
    label: str | None = None,
    where: str = "test.svg: line 1",
    names: tuple[str, ...] = (),
    element: int | None = None,
) -> DrawnLine:
    return DrawnLine(
        path,
        id,
        kind,
        layer,
        groups,
        classes,
        colour,
        label,
        where,
        names,
        element,
    )


def compound(*paths: Path, label: str | None = None) -> tuple[DrawnLine, ...]:
    """The subpaths of one element."""
    return tuple(drawn(path, label=label, element=7) for path in paths)


def text(
    text: str,
    at: complex,
    *,
    layer: str | None = None,
    groups: tuple[str, ...] = (),
) -> DrawnText:
    return DrawnText(text, at, layer, groups)


def drawing(
    *lines: DrawnLine, name: str = "test.svg", texts: Sequence[DrawnText] = ()
) -> Drawing:
    return Drawing(name, lines, tuple(texts), 1.0)


def reading(*lines: DrawnLine, name: str = "test.svg") -> Reading:
    return Reading(drawing(*lines, name=name), ())


def pieces_of(
    *lines: DrawnLine, settings: FindingSettings | None = None
) -> tuple[Piece, ...]:
    return find_pieces(reading(*lines), settings or FindingSettings()).pieces


def piece_of(path: Path, name: str = "front", size: str | None = None) -> Piece:
    layer = None if size is None else f"Size {size}"
    (piece,) = pieces_of(drawn(path, label=name, layer=layer))
    return piece


def bodice() -> Path:
    """Half a bodice on the fold x = 0, anticlockwise from the foot of the fold.

    Edges: 1 hem, 2 side, 3 armhole (an inside curve), 4 shoulder, 5 neck (an inside
    curve, square to the fold), 6 fold.
    """
    return Path(
        concatenate(
            [
                line_segments([0, 150], [150, 160 + 180j]),
                cubic_segments([[160 + 180j, 120 + 190j, 110 + 230j, 120 + 300j]]),
                line_segments(120 + 300j, 60 + 320j),
                cubic_segments([[60 + 320j, 55 + 280j, 30 + 260j, 260j]]),
                line_segments(260j, 0),
            ]
        ),
        closed=True,
    )


def edge_from(piece: Piece, start: complex, end: complex | None = None) -> Edge:
    """Return the edge of a piece that begins (and ends) at a place."""
    (edge,) = [
        e
        for e in piece.edges
        if abs(e.start - start) < 1e-6 and (end is None or abs(e.end - end) < 1e-6)
    ]
    return edge


def job_of(folder: FilePath, text: str) -> Job:
    path = folder / "job.toml"
    path.write_text(text, encoding="utf-8")
    return read_job(path)


def mistakes_of(folder: FilePath, text: str) -> Sequence[str]:
    """Return what is wrong with a job file, without the path before it."""
    front = f"{folder / 'job.toml'}: "
    try:
        job_of(folder, text)
    except EdgefinderError as error:
        return [message.removeprefix(front) for message in error.messages]
    return []
