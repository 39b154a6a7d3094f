"""Give to each piece the sewing lines drawn inside it, and take its allowances."""

from collections.abc import Sequence
from dataclasses import replace

from edgefinder.findings import Finding, warning
from edgefinder.geometry.path import Path
from edgefinder.importers.drawing import Drawing
from edgefinder.pattern.line_owners import LineOwners
from edgefinder.pattern.measured_allowances import (
    allowances_of,
    gap_findings,
    measure_gaps,
)
from edgefinder.pattern.open_sewing_lines import open_sewing_lines
from edgefinder.pattern.outlines import PieceOutline
from edgefinder.pattern.pieces import DrawnMarks, Piece
from edgefinder.pattern.selectors import matches_any
from edgefinder.pattern.settings import FindingSettings


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
        With ``sewing_lines`` these lines are measured and no others; with ``cut_lines``
        alone none is.

    Returns
    -------
    tuple of Piece
        With ``marks.allowances`` where a sewing line is drawn.
    tuple of Finding
        Lines that lie in no piece, edges along which the gap is uneven, and what open
        lines were taken for.
    """
    lines = [list(outline.sewing) for outline in outlines]
    findings: list[Finding] = []
    if settings.sewing_lines:
        lines, findings = _chosen_lines(pieces, outlines, drawing, settings)
    elif not settings.cut_lines:
        found, said = open_sewing_lines(pieces, outlines, drawing, settings)
        lines = [[*one, *more] for one, more in zip(lines, found, strict=True)]
        findings += said
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
    owners = LineOwners(pieces, outlines, drawing, settings)
    findings = []
    for line in chosen:
        around = owners.of([line])
        if around:
            lines[around[0].index].append(line.path)
            continue
        message = (
            "is chosen by sewing_lines of the job file, but lies in no piece, or far "
            "from its edges"
        )
        findings.append(warning("lonely-sewing-line", line.where, message))
    return lines, findings
