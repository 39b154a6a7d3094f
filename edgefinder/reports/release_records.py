"""The schedule of a release as plain records."""

import math
from collections.abc import Mapping, Sequence

import numpy as np

from edgefinder.binding.runs import BoundEdge, RunCorner
from edgefinder.binding.tape import Tape
from edgefinder.classifier.tags import TaggedPiece
from edgefinder.curvature.advice import Advice, PlaceReport
from edgefinder.curvature.places import Spot
from edgefinder.curvature.widths import WidthCount
from edgefinder.geometry.measured import points_at_lengths
from edgefinder.pattern.finished import FinishedEdge
from edgefinder.pattern.pieces import Edge
from edgefinder.reports.fabric_records import (
    one_cut_record,
    plan_record,
    rectangle_record,
    scraps_record,
    widths_records,
)
from edgefinder.reports.records import Record, edge_record
from edgefinder.schedule.one_cuts import GrainCut
from edgefinder.schedule.release import Release
from edgefinder.schedule.size_rows import RunRow, SizeSchedule, TapeRow
from edgefinder.schedule.uses import EdgeUse, edge_uses
from edgefinder.units import Unit


def release_record(release: Release) -> Record:
    """Return a whole schedule as a record."""
    return {
        "pattern": release.job.name,
        "sizes": sizes_records(release),
        "cautions": list(release.cautions),
        "largest": [
            {
                "cloth": one.cloth,
                "grain": str(one.grain),
                "size": one.size,
                "buy_mm": one.buy,
            }
            for one in release.largest
        ],
    }


def curves_records(release: Release) -> list[Record]:
    """Return the places of every size, and the widths that would lie flat."""
    return [
        {
            "size": size.size,
            "runs": [_run_curves(row) for row in size.runs],
            "tapes": [_tape(row) for row in size.tapes],
        }
        for size in release.sizes
    ]


def sizes_records(release: Release) -> list[Record]:
    """Return every size with its pieces, runs, tapes, fabric and places."""
    return [size_record(size, release.job.unit) for size in release.sizes]


def size_record(size: SizeSchedule, unit: Unit) -> Record:
    """Return one size as a record; every total carries what went into it."""
    uses = edge_uses(size.runs)
    return {
        "size": size.size,
        "pieces": [_piece(tagged, uses) for tagged in size.tagged.pieces],
        "runs": [_run(row) for row in size.runs],
        "tapes": [_tape(row) for row in size.tapes],
        "fabric": [
            {
                "tape": row.tape.name,
                **plan_record(row.plan, unit),
                "packets": _packets(row),
                "widths": widths_records(row.cloths, unit),
                "from_rectangle": None
                if row.rectangle is None
                else rectangle_record(row.rectangle, unit),
                "scraps": None if row.scraps is None else scraps_record(row.scraps),
                "begin_runs": [{"run": one.run, "at_mm": one.at} for one in row.begins],
                "cut_runs": [{"run": one.run, "at_mm": one.at} for one in row.passes],
            }
            for row in size.tapes
        ],
        "one_cuts": [_together(cut) for cut in size.cuts if cut.together is not None],
        "places": [
            place_record(report, row.run.name)
            for row in size.runs
            for report in row.judged.places
        ],
    }


def _together(cut: GrainCut) -> Record:
    return {
        "cloth": cut.cloth,
        "tapes": [tape.name for tape in cut.tapes],
        "cut": None if cut.together is None else one_cut_record(cut.together),
        "buy_mm": None if cut.bought is None else cut.bought.buy,
        "buy_alone_mm": cut.alone,
    }


def place_record(report: PlaceReport, run: str) -> Record:
    """Return a place that does not lie flat as a record."""
    place = report.place
    edge = place.edge.finished
    return {
        "run": run,
        "piece": edge.piece.name,
        "edge": edge.edge.label,
        "mirrored": place.mirrored,
        "verdict": str(place.verdict),
        "side": "inside" if place.inside else "outside",
        "at_mm": place.at,
        "point_mm": _point(edge, place.at),
        "from": _spot(place.begins),
        "to": _spot(place.finishes),
        "over_mm": place.length,
        "turn_deg": math.degrees(place.turn),
        "radius_mm": place.radius,
        "point_radius_mm": report.point_radius,
        "feed": report.feed,
        "feed_range": None if report.feeds is None else list(report.feeds),
        "stretch_needed_percent": _percent(report.stretch_needed),
        "stretch_limit_percent": _percent(report.limits.stretch),
        "ease_limit_percent": _percent(report.limits.ease),
        "widest_flat_mm": report.widest_flat,
        "laid_width_mm": report.laid_width,
        "restoring_cut_width_mm": report.restoring_cut_width,
        "advice": [_advice(advice) for advice in report.advice],
    }


def _spot(spot: Spot) -> Record:
    edge = spot.edge.finished
    return {
        "piece": edge.piece.name,
        "edge": edge.edge.label,
        "mirrored": spot.mirrored,
        "at_mm": spot.at,
        "point_mm": _point(edge, spot.at),
    }


def _point(edge: FinishedEdge, at: float) -> list[float]:
    """Return a place along a drawn edge as coordinates of the drawing."""
    point = points_at_lengths(edge.edge.path, np.array([at]))[0]
    return [float(point.real), float(point.imag)]


def width_records(counts: Sequence[WidthCount]) -> list[Record]:
    """Return finished widths with the number of their places."""
    return [
        {
            "width_mm": c.width,
            "own_fold_tool": None if c.tool is None else c.tool.name,
            "steam": c.steam,
            "too_tight": c.too_tight,
        }
        for c in counts
    ]


def _piece(tagged: TaggedPiece, uses: Mapping[Edge, EdgeUse]) -> Record:
    piece = tagged.piece
    edges: list[Record] = []
    for edge in piece.edges:
        use = uses.get(edge)
        record = edge_record(edge)
        record |= {
            "finish": str(tagged.finishes[edge.number - 1]),
            "allowance_mm": tagged.allowances[edge.number - 1],
            "bound_length_mm": None if use is None else use.finished.length,
            "across_fold": use is not None and use.finished.is_unfolded,
            "bound_times": 0 if use is None else use.times,
            "runs": [] if use is None else list(use.runs),
            "verdict": None if use is None else str(use.verdict),
        }
        edges.append(record)
    return {
        "name": piece.name,
        "cut": tagged.cut,
        "fold_edge": tagged.fold,
        "perimeter_mm": piece.perimeter,
        "area_mm2": piece.area,
        "edges": edges,
    }


def _run(row: RunRow) -> Record:
    run, parts = row.run, row.tape_length
    return {
        "name": run.name,
        "tape": run.tape.name,
        "closed": run.settings.is_closed,
        "times": run.settings.times,
        "edges": [_bound_edge(edge) for edge in run.edges],
        "length_mm": run.length,
        "tape_parts_mm": {
            "edge": parts.edge,
            "feed": parts.feed,
            "mitres": parts.mitres,
            "join": parts.join,
            "tails": parts.tails,
            "ends": parts.ends,
            "ties": parts.ties,
        },
        "tape_mm": parts.total,
        "tape_to_cut_mm": row.tape_to_cut,
        "corners": [_corner(corner, extra) for corner, extra in row.judged.mitres],
        "widest_flat_mm": row.widest,
    }


def _run_curves(row: RunRow) -> Record:
    name = row.run.name
    return {
        "name": name,
        "tape": row.run.tape.name,
        "edges": [_bound_edge(edge) for edge in row.run.edges],
        "places": [place_record(report, name) for report in row.judged.places],
        "corners": [_corner(corner, extra) for corner, extra in row.judged.mitres],
        "widest_flat_mm": row.widest,
    }


def _bound_edge(bound: BoundEdge) -> Record:
    return {
        "piece": bound.finished.piece.name,
        "edge": bound.finished.edge.label,
        "mirrored": bound.mirrored,
        "across_fold": bound.finished.is_unfolded,
        "cut_line_mm": bound.finished.cut_length,
        "bound_mm": bound.finished.length,
    }


def _corner(corner: RunCorner, extra: float) -> Record:
    return {
        "piece": corner.edge.finished.piece.name,
        "edge": corner.edge.finished.edge.label,
        "turn_deg": math.degrees(corner.turn),
        "side": "outside" if corner.turn > 0 else "inside",
        "at_seam": corner.is_at_seam,
        "extra_mm": extra,
    }


def _tape(row: TapeRow) -> Record:
    return {
        **tape_record(row.tape),
        "total_mm": row.total,
        "widest_flat_mm": row.widest,
        "widths": width_records(row.widths),
    }


def tape_record(tape: Tape) -> Record:
    """Return a tape as a record."""
    limits = tape.cloth.along(tape.grain)
    return {
        "name": tape.name,
        "finished_width_mm": tape.finished_width,
        "cut_width_mm": tape.cut_width,
        "fold": str(tape.fold),
        "grain": str(tape.grain),
        "cloth": tape.cloth.name,
        "cloth_from": str(tape.cloth.origin),
        "limits_are_working_defaults": tape.cloth.is_default,
        "stretch_ok_percent": _percent(limits.ok.stretch),
        "stretch_limit_percent": _percent(limits.limit.stretch),
        "ease_ok_percent": _percent(limits.ok.ease),
        "ease_limit_percent": _percent(limits.limit.ease),
    }


def _packets(row: TapeRow) -> Record | None:
    if row.packets is None:
        return None
    return {
        "count": row.packets.count,
        "packet_mm": row.tape.packet_length,
        "yield_mm": row.packets.yield_length,
        "spare_mm": row.packets.spare,
        "joins": row.packets.joins,
    }


def _advice(advice: Advice) -> Record:
    return {
        "remedy": str(advice.remedy),
        "length_mm": advice.length,
        "stretch_percent": _percent(advice.stretch),
        "angle_deg": None if advice.angle is None else math.degrees(advice.angle),
        "verdict": None if advice.verdict is None else str(advice.verdict),
        "cloths": list(advice.cloths),
        "feed_range": None if advice.feeds is None else list(advice.feeds),
    }


def _percent(fraction: float | None) -> float | None:
    return None if fraction is None else 100 * fraction
