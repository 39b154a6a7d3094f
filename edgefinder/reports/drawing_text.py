"""Drawn lines, and pieces with their edges, as text."""

import math
from collections.abc import Sequence

from edgefinder.pattern.lines import MeasuredLine
from edgefinder.pattern.pieces import Edge, Piece
from edgefinder.reports.amounts import area, length
from edgefinder.reports.layout import columns, heading, paragraph
from edgefinder.units import Unit


def lines_text(name: str, lines: Sequence[MeasuredLine], unit: Unit) -> str:
    """Write every drawn line of a file, one to a row."""
    rows = [_line(measured, unit) for measured in lines]
    count = len(rows)
    return "\n".join(
        [
            *columns(
                ("line", "kind", "layer", "colour", "label", "length", ""),
                rows,
                left=5,
            ),
            "",
            *paragraph(f"{count} line{'' if count == 1 else 's'} in {name}"),
            "",
        ]
    )


def _line(measured: MeasuredLine, unit: Unit) -> Sequence[str]:
    line = measured.line
    state = "closed" if line.path.closed else f"open, gap {length(line.path.gap, unit)}"
    return (
        line.id or (f".{line.classes[0]}" if line.classes else "-"),
        line.kind,
        line.layer or "-",
        line.colour or "-",
        line.label or "-",
        length(measured.length, unit),
        state,
    )


def pieces_text(pieces: Sequence[Piece], unit: Unit) -> str:
    """Write pieces with their numbered edges."""
    lines: list[str] = []
    for piece in pieces:
        size = "" if piece.size is None else f", size {piece.size}"
        lines += heading(f"{piece.name}{size}")
        round_it, cloth = length(piece.perimeter, unit), area(piece.area, unit)
        lines += [
            f"once round {round_it}, area {cloth}",
            "",
            *columns(
                ("edge", "length", "turns", "inside R", "outside R", "corner after"),
                [_edge(edge, unit) for edge in piece.edges],
            ),
            "",
        ]
    lines += [
        "Edges run anticlockwise, fabric on the left. inside R, outside R: tightest",
        "inside (concave) and outside (convex) radius. Angles in degrees.",
        "",
    ]
    return "\n".join(lines)


def _edge(edge: Edge, unit: Unit) -> Sequence[str]:
    inside, outside = (
        None if bend is None else bend.radius
        for bend in (edge.tightest_inside, edge.tightest_outside)
    )
    corner = math.degrees(edge.corner_after)
    side = "outside" if corner > 0 else "inside"
    return (
        edge.label,
        length(edge.length, unit),
        f"{math.degrees(edge.turning):.0f}",
        length(inside, unit),
        length(outside, unit),
        "-" if corner == 0 else f"{abs(corner):.0f} {side}",
    )
