"""Find the pieces of a drawing and number their edges."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from edgefinder.findings import Finding
from edgefinder.geometry.measured import MeasuredPath, measure_all
from edgefinder.importers.drawing import Drawing, Reading
from edgefinder.pattern.edges import begin_at_first_corner, cut_into_edges
from edgefinder.pattern.naming import Title, title_of
from edgefinder.pattern.outlines import PieceOutline, find_outlines
from edgefinder.pattern.pieces import Edge, Piece
from edgefinder.pattern.settings import FindingSettings


@dataclass(frozen=True, slots=True, eq=False)
class PiecesFound:
    """The pieces of one drawing and what was unusual about it."""

    pieces: tuple[Piece, ...]
    findings: tuple[Finding, ...]


def find_pieces(reading: Reading, settings: FindingSettings) -> PiecesFound:
    """Find pieces, name them and number their edges.

    Parameters
    ----------
    reading : Reading
        Of one file.
    settings : FindingSettings

    Returns
    -------
    PiecesFound
        Pieces in drawing order. Two of one name in one size are told apart by a
        number.

    Raises
    ------
    BrokenOutline, DrawingError
        As `edgefinder.pattern.outlines.find_outlines`.
    """
    outlines, findings = find_outlines(reading.drawing, settings)
    titles = _titles(outlines, reading.drawing, settings)
    rings = [
        [
            begin_at_first_corner(ring, settings.corner_angle)
            for ring in (outline.outer, *outline.cutouts)
        ]
        for outline in outlines
    ]
    edges = cut_into_edges(rings, settings.corner_angle)
    measured = iter(measure_all([ring.path for several in rings for ring in several]))
    pieces = tuple(
        _piece(outline, title, [next(measured) for _ in several], own)
        for outline, title, several, own in zip(
            outlines, titles, rings, edges, strict=True
        )
    )
    return PiecesFound(pieces, (*reading.findings, *findings))


def _titles(
    outlines: tuple[PieceOutline, ...], drawing: Drawing, settings: FindingSettings
) -> list[Title]:
    titles: list[Title] = []
    found = [
        title_of(outline.outer.sources, drawing, settings, fallback=f"piece {n}")
        for n, outline in enumerate(outlines, start=1)
    ]
    drawn = {_key(title) for title in found}
    taken: set[Title] = set()
    numbers: Counter[Title] = Counter()
    for title in found:
        free = title
        while _key(free) in taken or (free != title and _key(free) in drawn):
            numbers[_key(title)] += 1
            free = Title(f"{title.name} {numbers[_key(title)] + 1}", title.size)
        titles.append(free)
        taken.add(_key(free))
    return titles


def _key(title: Title) -> Title:
    """Return a title in which case and spacing do not count, as in a job file."""
    return Title(" ".join(title.name.casefold().split()), title.size)


def _piece(
    outline: PieceOutline,
    title: Title,
    rings: Sequence[MeasuredPath],
    edges: tuple[Edge, ...],
) -> Piece:
    line = outline.line
    return Piece(
        name=title.name,
        size=title.size,
        layer=line.layer,
        outline=rings[0],
        cutouts=tuple(rings[1:]),
        edges=edges,
        where=line.where,
    )
