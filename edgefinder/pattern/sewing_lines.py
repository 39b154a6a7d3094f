"""Give to each piece the sewing lines drawn inside it, and take its allowances."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import shapely

from edgefinder.findings import Finding, warning
from edgefinder.geometry.flatten import flatten, flatten_all
from edgefinder.geometry.path import Path
from edgefinder.importers.drawing import Drawing, DrawnLine
from edgefinder.pattern.measured_allowances import (
    LARGEST_GAP_MM,
    allowances_of,
    gap_findings,
    measure_gaps,
)
from edgefinder.pattern.naming import size_of
from edgefinder.pattern.outlines import PieceOutline
from edgefinder.pattern.pieces import DrawnMarks, Piece
from edgefinder.pattern.selectors import matches_any
from edgefinder.pattern.settings import FindingSettings

FLAT_MM = 0.05
"""Chord error of the polygons that say in which piece a line lies, and how far a line
that lies on an outline may seem to be outside."""


FURTHEST_MM = 2 * LARGEST_GAP_MM
"""From the outline, at the corners of a sewing line between two wide allowances."""


def with_sewing_lines(
    pieces: Sequence[Piece],
    outlines: Sequence[PieceOutline],
    drawing: Drawing,
    settings: FindingSettings,
) -> tuple[tuple[Piece, ...], tuple[Finding, ...]]:
    """Measure the allowances of pieces whose sewing lines are drawn.

    Parameters
    ----------
    pieces : sequence of Piece
    outlines : sequence of PieceOutline
        Of the same pieces, with the closed lines that are their sewing lines by where
        they lie.
    drawing : Drawing
    settings : FindingSettings
        With ``sewing_lines`` these lines are measured and no others.

    Returns
    -------
    tuple of Piece
        With ``marks.allowances`` where a sewing line is drawn.
    tuple of Finding
        Lines that lie in no piece, and edges along which the gap is uneven.
    """
    lines = [list(outline.sewing) for outline in outlines]
    findings: list[Finding] = []
    if settings.sewing_lines:
        lines, findings = _chosen_lines(pieces, outlines, drawing, settings)
    marked = []
    for piece, own in zip(pieces, lines, strict=True):
        if not own:
            marked.append(piece)
            continue
        gaps = measure_gaps(piece.edges, own)
        findings += gap_findings(piece, gaps)
        marks = piece.marks or DrawnMarks(None, None, None)
        marks = replace(marks, allowances=allowances_of(gaps))
        marked.append(replace(piece, marks=marks))
    return tuple(marked), tuple(findings)


def _chosen_lines(
    pieces: Sequence[Piece],
    outlines: Sequence[PieceOutline],
    drawing: Drawing,
    settings: FindingSettings,
) -> tuple[list[list[Path]], list[Finding]]:
    """Sort the lines that the job file chooses to the pieces that they lie in."""
    lines: list[list[Path]] = [[] for _ in pieces]
    chosen = [
        line
        for line in drawing.lines
        if matches_any(line, settings.sewing_lines)
        and not matches_any(line, settings.ignore)
    ]
    if not chosen:
        message = "the sewing_lines of the job file choose none of its lines"
        return lines, [warning("no-sewing-line", drawing.name, message)]
    vertices = flatten_all([piece.outline.path for piece in pieces], FLAT_MM)
    areas = np.array(
        [
            shapely.make_valid(shapely.Polygon(np.stack([v.real, v.imag], axis=1)))
            for v in vertices
        ]
    )
    tree = shapely.STRtree(shapely.buffer(areas, FLAT_MM))
    findings = []
    for line in chosen:
        points = flatten(line.path, FLAT_MM)
        shape = shapely.linestrings(np.stack([points.real, points.imag], axis=1))
        inside = tree.query(shape, predicate="within").tolist()
        size = _size_of(line, pieces, drawing, settings)
        inside = [i for i in inside if size is None or pieces[i].size in {None, size}]
        places = shapely.points(points.real, points.imag)
        far = {
            i: float(shapely.distance(shapely.boundary(areas[i]), places).max())
            for i in inside
        }
        owner = min(
            (i for i in inside if far[i] <= FURTHEST_MM),
            key=lambda i: (not _is_together(line, outlines[i]), far[i]),
            default=None,
        )
        if owner is None:
            message = (
                "is chosen by sewing_lines of the job file, but lies in no piece, or "
                "far from its edges"
            )
            findings.append(warning("lonely-sewing-line", line.where, message))
        else:
            lines[owner].append(line.path)
    return lines, findings


def _is_together(line: DrawnLine, outline: PieceOutline) -> bool:
    """Whether a line stands in the group of an outline, below the layer."""
    own = [group for group in line.groups if group != line.layer]
    outer = outline.line
    return bool(own) and own == [g for g in outer.groups if g != outer.layer]


def _size_of(
    line: DrawnLine,
    pieces: Sequence[Piece],
    drawing: Drawing,
    settings: FindingSettings,
) -> str | None:
    """Return the size of a line as the pieces call it: ``4`` for ``4 sewing``."""
    said = size_of(line, drawing, settings)
    sizes = {piece.size for piece in pieces if piece.size is not None}
    if said is None or said in sizes:
        return said
    words = said.casefold().split()
    known = [s for s in sizes if words[: len(s.split())] == s.casefold().split()]
    return max(known, key=len, default=None)
