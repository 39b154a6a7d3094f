"""Results as plain records for programs: full precision, units in every name."""

import math
from collections.abc import Sequence

from edgefinder.findings import Finding
from edgefinder.geometry.bends import Bend
from edgefinder.pattern.lines import MeasuredLine
from edgefinder.pattern.pieces import Edge, Piece
from edgefinder.yardage.cutting import Cutting
from edgefinder.yardage.methods import CuttingPlan

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


def plan_record(plan: CuttingPlan) -> Record:
    """Return every way of cutting a tape as a record."""
    return {
        "length_mm": plan.need.length,
        "cut_width_mm": plan.need.cut_width,
        "strip_seam_mm": plan.need.seam,
        "usable_width_mm": plan.need.usable_width,
        "methods": [_cutting(cutting) for cutting in plan.cuttings],
        "not_possible": [
            {"method": str(other.method), "reason": other.reason}
            for other in plan.not_possible
        ],
        "least_waste": str(plan.least_waste.method) if plan.least_waste else None,
        "square_root_rule": {
            "side_mm": plan.rule.side,
            "yield_mm": plan.rule.yield_length,
            "short_mm": plan.rule.short,
        },
    }


def _cutting(cutting: Cutting) -> Record:
    return {
        "method": str(cutting.method),
        "yield_mm": cutting.yield_length,
        "cut_mm": list(cutting.cut_size),
        "strips": cutting.strips,
        "strip_lengths_mm": list(cutting.strip_lengths),
        "joins": cutting.joins,
        "spare_mm": cutting.spare,
        "waste_percent": 100 * cutting.waste,
        "buy_mm": cutting.buy,
        "lines": cutting.lines,
        "line_spacing_mm": cutting.line_spacing,
        "first_line_mm": cutting.first_line,
    }


def _radius(bend: Bend | None) -> float | None:
    return None if bend is None else bend.radius


def _at(bend: Bend | None) -> float | None:
    return None if bend is None else bend.at


def _point(z: complex) -> list[float]:
    return [z.real, z.imag]
