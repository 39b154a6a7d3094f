"""A draft to the piece that it stands for: smooth lines, notches on the boundary."""

from dataclasses import replace
from typing import Final

import numpy as np

from edgefinder.findings import Finding, note
from edgefinder.geometry.measured import MeasuredPath, measure
from edgefinder.geometry.nearest import nearest_stations
from edgefinder.importers.drawing import DrawnLine
from edgefinder.importers.interchange.draft import Draft, Line
from edgefinder.importers.interchange.drawn_piece import DrawnPiece
from edgefinder.importers.interchange.keys import read_quantity
from edgefinder.importers.interchange.marked_line import MarkedLine, smooth_line
from edgefinder.importers.interchange.notches import put_on_boundary

ON_FOLD_MM: Final = 1.0
"""A mirror line lies on the boundary if its ends and its middle are this near. Larger:
the middle line of a slim piece drawn whole is taken for its edge."""


def drawn_piece(draft: Draft) -> tuple[DrawnPiece, tuple[Finding, ...]]:
    """Draw the smooth lines of a piece and put notches and fold on its boundary."""
    boundary = _drawn(draft.boundary, draft)
    measured = measure(boundary.path)
    notches, findings = put_on_boundary(draft.loose, draft.drawn, measured, draft.where)
    fold = draft.fold_line
    if fold is not None and not _lies_on(fold, measured):
        message = "the mirror line is not on the boundary: the piece is drawn whole"
        findings = (*findings, note("fold-inside", draft.where, message))
        fold = None
    keys = draft.keys
    piece = DrawnPiece(
        name=draft.name,
        size=draft.size,
        quantity=read_quantity(keys.get("quantity")),
        material=keys.get("material", "fabric"),
        category=keys.get("category"),
        annotation=draft.annotation,
        keys=keys.pairs,
        boundary=boundary,
        corners=draft.boundary.points[draft.boundary.corner],
        cutouts=tuple(_drawn(line, draft) for line in draft.cutouts),
        sewing_line=(
            None if draft.sewing_line is None else _drawn(draft.sewing_line, draft)
        ),
        internal=tuple(_drawn(line, draft) for line in draft.internal),
        fold_line=fold,
        grain_line=draft.grain_line,
        notches=notches,
        drill_holes=draft.drill_holes,
        where=draft.where,
    )
    return piece, findings


def _drawn(line: MarkedLine, draft: Draft) -> DrawnLine:
    return replace(line.source, path=smooth_line(line), label=draft.name)


def _lies_on(line: Line, boundary: MeasuredPath) -> bool:
    points = np.array([line[0], (line[0] + line[1]) / 2, line[1]])
    _, apart = nearest_stations(boundary, points)
    return bool((apart <= ON_FOLD_MM).all())
