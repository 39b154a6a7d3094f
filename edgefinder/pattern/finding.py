"""Find the pieces of a drawing and number their edges."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from edgefinder.findings import Finding
from edgefinder.geometry.measured import MeasuredPath, measure_all
from edgefinder.importers.drawing import Drawing, DrawnLine, Reading
from edgefinder.pattern.beside_outlines import with_surroundings
from edgefinder.pattern.digitised_outlines import smooth_rings
from edgefinder.pattern.edges import cut_into_edges
from edgefinder.pattern.first_corners import begin_at_first_corners
from edgefinder.pattern.grain_lines import with_grain_lines
from edgefinder.pattern.naming import Title, pattern_findings, title_of
from edgefinder.pattern.outlines import PieceOutline, find_outlines
from edgefinder.pattern.pieces import Edge, Piece
from edgefinder.pattern.scale import scale_by_square, square_findings
from edgefinder.pattern.settings import FindingSettings
from edgefinder.pattern.sewing_lines import with_sewing_lines
from edgefinder.pattern.text_hints import read_hints


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
        As `edgefinder.pattern.outlines.find_outlines` and
        `edgefinder.pattern.scale.scale_by_square`.
    """
    square: tuple[DrawnLine, ...] = ()
    if settings.test_square is None:
        doubts = square_findings(reading.drawing)
    else:
        at_scale = scale_by_square(reading, settings.test_square)
        reading, square, doubts = at_scale.reading, at_scale.square, ()
    outlines, findings = find_outlines(reading.drawing, settings, apart=square)
    titles = _titles(outlines, reading.drawing, settings)
    smooth, traced = smooth_rings(
        [ring for outline in outlines for ring in (outline.outer, *outline.cutouts)]
    )
    each = iter(begin_at_first_corners(smooth, settings.corner_angle))
    rings = [
        [next(each) for _ in (outline.outer, *outline.cutouts)] for outline in outlines
    ]
    edges = cut_into_edges(rings, settings.corner_angle)
    measured = iter(measure_all([ring.path for several in rings for ring in several]))
    pieces = tuple(
        _piece(outline, title, [next(measured) for _ in several], own)
        for outline, title, several, own in zip(
            outlines, titles, rings, edges, strict=True
        )
    )
    unlike = pattern_findings(
        [(outline.outer.sources, outline.texts) for outline in outlines],
        reading.drawing,
        settings,
    )
    pieces, uneven = with_sewing_lines(pieces, outlines, reading.drawing, settings)
    pieces, astray = with_surroundings(pieces, reading.drawing, settings)
    pieces = with_grain_lines(pieces, reading.drawing, settings)
    said = (*reading.findings, *doubts, *findings, *traced, *unlike, *uneven, *astray)
    return PiecesFound(pieces, said)


def _titles(
    outlines: tuple[PieceOutline, ...], drawing: Drawing, settings: FindingSettings
) -> list[Title]:
    titles: list[Title] = []
    on_layer = Counter(outline.line.layer for outline in outlines)
    found = [
        title_of(
            outline.outer.sources,
            drawing,
            settings,
            texts=outline.texts,
            has_own_layer=on_layer[outline.line.layer] == 1,
        )
        for outline in outlines
    ]
    # The same in every size, so that the sizes of a piece without a name go together.
    counted: Counter[str | None] = Counter()
    for at, title in enumerate(found):
        counted[title.size] += 1
        if not title.name:
            found[at] = Title(f"piece {counted[title.size]}", title.size)
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
        quantity=read_hints(outline.texts).quantity,
    )
