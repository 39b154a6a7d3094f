"""Pieces of a pattern interchange file, with what is marked on them."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from edgefinder.geometry.measured import (
    MeasuredPath,
    measure,
    measure_all,
    points_at_lengths,
    signed_area,
)
from edgefinder.geometry.nearest import nearest_stations
from edgefinder.geometry.path import reverse_path
from edgefinder.geometry.segments import Complexes, start_points
from edgefinder.importers.drawing import DrawnLine
from edgefinder.importers.interchange.drawn_piece import DrawnPiece
from edgefinder.pattern.edges import Ring, cut_into_edges
from edgefinder.pattern.first_corners import begin_at_first_corners
from edgefinder.pattern.naming import renamed_size
from edgefinder.pattern.on_outline import in_outline_order
from edgefinder.pattern.pieces import DrawnMarks, Edge, Piece
from edgefinder.pattern.settings import FindingSettings
from edgefinder.pattern.surroundings import NotchMark, Surroundings

SAME_POINT_MM: Final = 1e-6
"""A corner is a vertex of the boundary, rounding apart."""

FOLD_TOLERANCE_MM: Final = 1.0
"""An edge lies on the mirror line if both its ends and its middle come this near:
mirror lines are drawn by hand over the edge."""

ALLOWANCE_SAMPLES: Final = 9
"""Places along the middle half of an edge at which the sewing line is measured: near
its ends the allowance of the next edge comes in."""


def interchange_pieces(
    drawn: Sequence[DrawnPiece], settings: FindingSettings
) -> tuple[Piece, ...]:
    """Make pieces of an interchange file, their edges numbered.

    Parameters
    ----------
    drawn : sequence of DrawnPiece
    settings : FindingSettings
        Names by selector, and the angle of a corner on cut-outs.

    Returns
    -------
    tuple of Piece
        Edges end at the turn points; where a piece has none, at corners by angle.
    """
    rings = [
        begin_at_first_corners(
            [_outer(one), *map(_cutout, one.cutouts)], settings.corner_angle
        )
        for one in drawn
    ]
    edges = cut_into_edges(rings, settings.corner_angle)
    measured = iter(measure_all([ring.path for several in rings for ring in several]))
    return tuple(
        _piece(one, [next(measured) for _ in several], own, settings)
        for one, several, own in zip(drawn, rings, edges, strict=True)
    )


def _outer(one: DrawnPiece) -> Ring:
    path = one.boundary.path
    if signed_area(path) < 0:
        path = reverse_path(path)
    starts = start_points(path.segments)
    owners = np.zeros(len(path.segments), dtype=np.intp)
    if not len(one.corners):
        return Ring(path, (one.boundary,), owners)
    apart = np.abs(starts[:, np.newaxis] - one.corners[np.newaxis, :])
    marked = apart.min(axis=1) < SAME_POINT_MM
    return Ring(path, (one.boundary,), owners, marked=marked)


def _cutout(line: DrawnLine) -> Ring:
    path = line.path if signed_area(line.path) < 0 else reverse_path(line.path)
    return Ring(path, (line,), np.zeros(len(path.segments), dtype=np.intp))


def _piece(
    one: DrawnPiece,
    rings: Sequence[MeasuredPath],
    edges: tuple[Edge, ...],
    settings: FindingSettings,
) -> Piece:
    named = [n for n, chosen in settings.names if chosen.matches(one.boundary)]
    fold = None if one.fold_line is None else _edge_along(one.fold_line, edges)
    piece = Piece(
        name=named[0] if named else one.name,
        size=None if one.size is None else renamed_size(one.size, settings),
        layer=one.boundary.layer,
        outline=rings[0],
        cutouts=tuple(rings[1:]),
        edges=edges,
        where=one.where,
        quantity=None,
        marks=DrawnMarks(
            cut=sum(one.quantity) or None if one.quantity is not None else None,
            fold_edge=fold,
            allowances=_allowances(one.sewing_line, edges),
        ),
    )
    notches = in_outline_order(piece, [NotchMark(notch.at) for notch in one.notches])
    around = Surroundings(notches=notches, grain_line=one.grain_line)
    return replace(piece, around=around)


def _edge_along(line: tuple[complex, complex], edges: Sequence[Edge]) -> int | None:
    """Return the number of the edge that lies on a straight line."""
    first, last = line
    along = (last - first) / abs(last - first)
    for edge in edges:
        places = np.array([0.0, edge.length / 2, edge.length])
        points = points_at_lengths(edge.path, places) - first
        across = np.abs((points * along.conjugate()).imag)
        reach = (points * along.conjugate()).real
        middle = reach[1]
        within = -FOLD_TOLERANCE_MM < middle < abs(last - first) + FOLD_TOLERANCE_MM
        if edge.ring == 0 and np.all(across < FOLD_TOLERANCE_MM) and within:
            return edge.number
    return None


def _allowances(
    sewing: DrawnLine | None, edges: Sequence[Edge]
) -> tuple[float, ...] | None:
    """Measure how far inside each edge the sewing line runs."""
    if sewing is None:
        return None
    line = measure(sewing.path)
    points: list[Complexes] = [
        points_at_lengths(
            edge.path, edge.length * np.linspace(0.25, 0.75, ALLOWANCE_SAMPLES)
        )
        for edge in edges
    ]
    _, apart = nearest_stations(line, np.concatenate(points))
    return tuple(
        float(np.median(own)) for own in apart.reshape(len(edges), ALLOWANCE_SAMPLES)
    )
