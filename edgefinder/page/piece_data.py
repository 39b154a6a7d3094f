"""The pieces of one size as a page draws them: points and words, no markup."""

from collections.abc import Hashable, Sequence
from typing import Any, Final

import numpy as np

from edgefinder.classifier.tags import TaggedPiece
from edgefinder.geometry.segments import Complexes
from edgefinder.memory import Memory
from edgefinder.page.packing import pack
from edgefinder.pattern.on_outline import EdgePlace, nearest_places
from edgefinder.pattern.pieces import Edge, Piece
from edgefinder.pattern.splitting import SNAP_MM
from edgefinder.reports.amounts import length
from edgefinder.reports.picture.pens import run_letter
from edgefinder.reports.picture.piece_view import EdgeView, PieceView, view_pieces
from edgefinder.reports.picture.size_index import SizeIndex, index_size
from edgefinder.schedule.size_rows import SizeSchedule
from edgefinder.units import Unit

Data = dict[str, Any]

SCALE: Final = 2.0
"""Millimetres of cloth to one of paper that curves are drawn fine enough for: twice
nearer than a whole garment is ever looked at on a screen."""
WHOLE_OR_FIRST: Final = ("", "a")
"""The part of an edge that begins where the edge begins."""
DECIMALS: Final = 2
"""Of a millimetre: finer than a line on a screen."""


def piece_data(
    size: SizeSchedule, runs: Sequence[str], unit: Unit, memory: Memory
) -> list[Data]:
    """Return every piece of a size, laid out beside the others.

    Parameters
    ----------
    size : SizeSchedule
        Without runs and tapes while there is no schedule.
    runs : sequence of str
        Names of all runs of the release.
    unit : Unit
    memory : Memory
        Of the same job file before: only pieces that changed are drawn again.

    Returns
    -------
    list of dict
        Coordinates are millimetres from the upper left corner of the piece's box, y
        down; ``x`` and ``y`` are where that corner lies.
    """
    index = index_size(size, runs)
    pieces = size.tagged.pieces

    def make(missing: list[int]) -> list[Data]:
        some = [pieces[i] for i in missing]
        views = view_pieces(some, index, SCALE)
        return [
            _piece(tagged, view, index, unit, memory)
            for tagged, view in zip(some, views, strict=True)
        ]

    drawn = memory.recall_all([_depends(one, index, unit) for one in pieces], make)
    places = pack([(one["width"], one["height"]) for one in drawn])
    return [
        one
        | {
            "x": round(x, DECIMALS),
            "y": round(y, DECIMALS),
            "edges": [
                edge | {"why": [reason.text for reason in reasons]}
                for edge, reasons in zip(one["edges"], tagged.reasons, strict=True)
            ],
        }
        for tagged, one, (x, y) in zip(pieces, drawn, places, strict=True)
    ]


def _depends(tagged: TaggedPiece, index: SizeIndex, unit: Unit) -> Hashable:
    """Return all that is drawn of a piece, but for where it lies and why."""
    edges = tagged.piece.edges
    runs = tuple(tuple(index.runs.get(id(edge), {}).items()) for edge in edges)
    marks = [one.numbered for one in index.stretches.get(tagged.piece.name, ())]
    watched = tuple((one.number, one.row, one.report) for one in marks)
    said = (tagged.cut, tagged.fold, tagged.finishes, tagged.allowances)
    return ("drawn", tagged.piece, said, runs, watched, unit)


def _box(view: PieceView) -> tuple[float, float, float, float]:
    points = np.concatenate([edge.points for edge in view.edges])
    return (
        float(points.real.min()),
        float(points.imag.min()),
        float(points.real.max()),
        float(points.imag.max()),
    )


def _piece(
    tagged: TaggedPiece,
    view: PieceView,
    index: SizeIndex,
    unit: Unit,
    memory: Memory,
) -> Data:
    left, low, right, top = box = _box(view)
    corner = complex(left, top)
    pairs = list(zip(tagged.piece.edges, view.edges, strict=True))
    return {
        "name": tagged.piece.name,
        "width": round(right - left, DECIMALS),
        "height": round(top - low, DECIMALS),
        "widthText": length(right - left, unit),
        "heightText": length(top - low, unit),
        "cut": tagged.cut,
        "outlines": [
            _line(
                np.concatenate([view.points for edge, view in pairs if edge.ring == r]),
                corner,
            )
            for r in sorted({edge.ring for edge, _ in pairs})
        ],
        "edges": [
            _edge(tagged, edge, seen, corner, index, unit) for edge, seen in pairs
        ],
        "bound": [
            {"run": line.run, "line": _line(line.points, corner)} for line in view.bound
        ],
        "bands": [
            {"verdict": str(band.verdict), "line": _line(band.border, corner)}
            for band in view.bands
        ],
        "places": [
            {
                "numbers": list(one.numbers),
                "verdict": str(one.verdict),
                "at": _point(one.at, corner),
                "out": _direction(one.outwards),
            }
            for one in view.places
        ],
        "circles": [
            {"at": _point(one.centre, corner), "radius": round(one.radius, DECIMALS)}
            for one in view.circles
        ],
        "notches": _notches(tagged.piece, view, box, memory),
        "grain": None if view.grain is None else _line(np.array(view.grain), corner),
    }


def _edge(
    tagged: TaggedPiece,
    edge: Edge,
    view: EdgeView,
    corner: complex,
    index: SizeIndex,
    unit: Unit,
) -> Data:
    finish = tagged.finishes[edge.number - 1]
    runs = list(index.runs.get(id(edge), ()))
    return {
        "number": edge.number,
        "drawn": _drawn_number(tagged, edge),
        "label": edge.label,
        "name": edge.name,
        "isPart": bool(edge.part),
        "isCutout": edge.ring > 0,
        "finish": str(finish),
        "isFold": view.is_fold,
        "runs": runs,
        "letters": " ".join(run_letter(run) for run in runs),
        "length": length(edge.length, unit),
        "allowance": length(tagged.allowances[edge.number - 1], unit),
        "line": _line(view.points, corner),
        "at": _point(view.middle, corner),
        "out": _direction(view.outwards),
    }


def _drawn_number(tagged: TaggedPiece, edge: Edge) -> int | None:
    """Return the number of an edge before marks cut it; None for a further part."""
    if edge.part not in WHOLE_OR_FIRST:
        return None
    before = tagged.piece.edges[: edge.number - 1]
    return 1 + sum(one.part in WHOLE_OR_FIRST for one in before)


def _notches(
    piece: Piece,
    view: PieceView,
    box: tuple[float, float, float, float],
    memory: Memory,
) -> list[Data]:
    """Return notches with the mark words that mean them and the edges they lie on."""
    marks = piece.around.notches
    if not marks:
        return []
    corner = complex(box[0], box[3])
    points = np.array([mark.at for mark in marks])
    on = memory.recall(("notches", piece), lambda: nearest_places(piece, points))
    return [
        {
            "place": f"notch {number}",
            "edge": where.number,
            "splits": _splits(piece.edges[where.number - 1], where),
            "at": _point(at, corner),
            "in": _direction(inwards),
        }
        for number, ((at, inwards), (where, _)) in enumerate(
            zip(view.notches, on, strict=True), start=1
        )
    ]


def _splits(edge: Edge, place: EdgePlace) -> bool:
    """Whether an edge can be split at a place: it does not end there already."""
    is_within = SNAP_MM < place.s < edge.length - SNAP_MM
    return edge.path.path.closed or is_within


def _line(points: Complexes, corner: complex) -> list[float]:
    """Return x and y by turns, y down."""
    moved = np.column_stack([points.real - corner.real, corner.imag - points.imag])
    flat: list[float] = np.round(moved, DECIMALS).ravel().tolist()
    return flat


def _point(at: complex, corner: complex) -> list[float]:
    return [
        round(at.real - corner.real, DECIMALS),
        round(corner.imag - at.imag, DECIMALS),
    ]


def _direction(way: complex) -> list[float]:
    return [round(way.real, 4), round(-way.imag, 4)]
