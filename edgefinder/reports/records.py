"""Results as plain records for programs: full precision, units in every name."""

import math
from collections.abc import Sequence

from edgefinder.findings import Finding
from edgefinder.geometry.bends import Bend
from edgefinder.pattern.lines import MeasuredLine
from edgefinder.pattern.pieces import Edge, Piece

Record = dict[str, object]


def findings_records(findings: Sequence[Finding]) -> list[Record]:
    """Return findings as records."""
    return [
        {
            "code": finding.code,
            "severity": str(finding.severity),
            "where": finding.where,
            "message": finding.message,
        }
        for finding in findings
    ]


def lines_records(lines: Sequence[MeasuredLine]) -> list[Record]:
    """Return every drawn line as a record."""
    return [_line(measured) for measured in lines]


def _line(measured: MeasuredLine) -> Record:
    line = measured.line
    return {
        "id": line.id,
        "kind": line.kind,
        "layer": line.layer,
        "groups": list(line.groups),
        "classes": list(line.classes),
        "colour": line.colour,
        "label": line.label,
        "closed": line.path.closed,
        "length_mm": measured.length,
        "gap_mm": 0.0 if line.path.closed else line.path.gap,
        "where": line.where,
    }


def pieces_records(pieces: Sequence[Piece]) -> list[Record]:
    """Return pieces with their edges as records."""
    return [
        {
            "name": piece.name,
            "size": piece.size,
            "layer": piece.layer,
            "perimeter_mm": piece.perimeter,
            "area_mm2": piece.area,
            "edges": [edge_record(edge) for edge in piece.edges],
            "where": piece.where,
        }
        for piece in pieces
    ]


def edge_record(edge: Edge) -> Record:
    """Return an edge as a record."""
    return {
        "number": edge.number,
        "edge": edge.label,
        "ring": edge.ring,
        "length_mm": edge.length,
        "drawn_length_mm": edge.drawn_length,
        "turning_deg": math.degrees(edge.turning),
        "tightest_inside_mm": _radius(edge.tightest_inside),
        "tightest_inside_at_mm": _at(edge.tightest_inside),
        "tightest_outside_mm": _radius(edge.tightest_outside),
        "tightest_outside_at_mm": _at(edge.tightest_outside),
        "start_mm": _point(edge.start),
        "end_mm": _point(edge.end),
        "corner_before_deg": math.degrees(edge.corner_before),
        "corner_after_deg": math.degrees(edge.corner_after),
    }


def _radius(bend: Bend | None) -> float | None:
    return None if bend is None else bend.radius


def _at(bend: Bend | None) -> float | None:
    return None if bend is None else bend.at


def _point(z: complex) -> list[float]:
    return [z.real, z.imag]
