"""Other sizes of a piece, made from its sample by grade rules."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from edgefinder.errors import DrawingError
from edgefinder.findings import Finding, note, warning
from edgefinder.geometry.measured import MeasuredPath, measure
from edgefinder.geometry.nearest import nearest_stations
from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import Complexes, Floats, Indices, Kind, line_segments
from edgefinder.importers.interchange.draft import Draft
from edgefinder.importers.interchange.grade_rules import GradeRules
from edgefinder.importers.interchange.marked_line import (
    MarkedLine,
    moved,
    with_vertices,
    without_doubled,
)
from edgefinder.importers.interchange.marks import between_vertices

POINT_MM: Final = 1.0
"""A grade point this near to a line belongs to it; its text stands at the point, in
fewer digits."""


@dataclass(frozen=True, slots=True, eq=False)
class _Anchors:
    """Grade points of one line.

    Parameters
    ----------
    vertices : ndarray of intp, shape (k,)
        Rising.
    rules : tuple of str
        One for each.
    """

    vertices: Indices
    rules: tuple[str, ...]


def graded_sizes(
    sample: Draft, rules: GradeRules, scale: float
) -> tuple[tuple[Draft, ...], tuple[Finding, ...]]:
    """Make all sizes but the sample.

    Parameters
    ----------
    sample : Draft
    rules : GradeRules
    scale : float
        Millimetres per unit of the rules.

    Returns
    -------
    tuple of Draft
        In the order of the size list.
    tuple of Finding

    Notes
    -----
    Between two neighbouring grade points of a line the moves in x and in y are blended
    in proportion to the arc length. A sewing line, notches and the mirror line go with
    the nearest points of the boundary; lines inside that have grade points of their own
    go with these, others and drill holes are carried, as they are, with the boundary
    nearest to their middle, and so is the grain line. Where no grade point stands on
    the boundary but some on the sewing line, the boundary goes with that.

    The moves of the rules are along the axes of the block; they are turned, mirrored
    and stretched as its insert does with the piece.
    """
    used = [rule for rule, _ in sample.grade_points]
    missing = tuple(dict.fromkeys(rule for rule in used if rule not in rules.moves))
    findings: list[Finding] = []
    if missing:
        message = f"{rules.name} has no rule {', '.join(missing)}; these points blend"
        findings.append(warning("missing-rule", sample.where, message))
    points = tuple(p for p in sample.grade_points if p[0] in rules.moves)
    sample = replace(sample, grade_points=points)
    boundary, anchors = _anchored(sample.boundary, sample)
    on_sewing_line = False
    if not anchors.rules and sample.sewing_line is not None:
        sewing, own = _anchored(sample.sewing_line, sample)
        if own.rules:
            on_sewing_line, anchors = True, own
            sample = replace(sample, sewing_line=sewing)
    if not anchors.rules:
        message = "no grade point stands on its boundary; it is the same in every size"
        findings.append(note("not-graded", sample.where, message))
    sample = replace(sample, boundary=boundary)
    sizes = tuple(
        _graded(sample, anchors, rules, i, scale, on_sewing_line=on_sewing_line)
        for i, size in enumerate(rules.sizes)
        if size != rules.sample_size
    )
    return sizes, tuple(findings)


def _anchored(line: MarkedLine, sample: Draft) -> tuple[MarkedLine, _Anchors]:
    """Find the grade points of a line, with a vertex for each."""
    places = np.array([at for _, at in sample.grade_points], dtype=np.complex128)
    after, at = between_vertices(line, places, POINT_MM)
    if len(after):
        line = with_vertices(line, after, at, smooth=True)
    found: dict[int, str] = {}
    for rule, place in sample.grade_points:
        apart = np.abs(line.points - place)
        nearest = int(np.argmin(apart))
        if apart[nearest] <= POINT_MM:
            found.setdefault(nearest, rule)
    vertices = sorted(found)
    rules = tuple(found[vertex] for vertex in vertices)
    return line, _Anchors(np.array(vertices, dtype=np.intp), rules)


@dataclass(frozen=True, slots=True, eq=False)
class _Moves:
    """How far each point of a line moves in one size."""

    measured: MeasuredPath
    stations: Floats
    moves: Complexes

    def along(self, stations: Floats) -> Complexes:
        """Return the moves at arc lengths along the line."""
        return _blended(self.stations, self.moves, stations, self.measured.length)

    def near(self, points: Complexes) -> Complexes:
        """Return the moves of the places of the line nearest to points."""
        return self.along(nearest_stations(self.measured, points)[0])


def _settled(line: MarkedLine, sample: Draft) -> MarkedLine:
    """Tidy a moved line; vertices may have come together."""
    line = without_doubled(line)
    straight = line.rows.kind == Kind.LINE
    if not line.chords[straight].all():
        raise DrawingError(
            f"{sample.where}: the grade rules bring all points of a line together; "
            "check them"
        )
    return line


def _graded(
    sample: Draft,
    anchors: _Anchors,
    rules: GradeRules,
    size: int,
    scale: float,
    *,
    on_sewing_line: bool,
) -> Draft:
    boundary, sewing = sample.boundary, sample.sewing_line
    base = sewing if on_sewing_line and sewing is not None else boundary
    measured = measure(_polygon(base))

    def moves_of(points: _Anchors) -> Complexes:
        own = [rules.moves[rule][size] * scale for rule in points.rules]
        return sample.turn.vectors(np.array(own, dtype=np.complex128))

    moves = _Moves(measured, measured.stations[anchors.vertices], moves_of(anchors))

    def with_base(line: MarkedLine) -> MarkedLine:
        if line is base:
            along = moves.along(measured.stations[: len(base.points)])
            return _settled(moved(base, base.points + along), sample)
        return _settled(moved(line, line.points + moves.near(line.points)), sample)

    def carried(line: MarkedLine) -> MarkedLine:
        inner, points = _anchored(line, sample)
        if not points.rules:
            middle = complex(line.points.mean())
            return moved(line, line.points + moves.near(np.array([middle])))
        polygon = measure(_polygon(inner))
        blend = _blended(
            polygon.stations[points.vertices],
            moves_of(points),
            polygon.stations[: len(inner.points)],
            polygon.length if inner.closed else None,
        )
        return _settled(moved(inner, inner.points + blend), sample)

    return replace(
        sample,
        size=rules.sizes[size],
        boundary=with_base(boundary),
        cutouts=tuple(map(carried, sample.cutouts)),
        sewing_line=None if sewing is None else with_base(sewing),
        internal=tuple(map(carried, sample.internal)),
        fold_line=_ends(sample.fold_line, moves, together=False),
        grain_line=_ends(sample.grain_line, moves, together=True),
        loose=tuple(
            replace(one, points=one.points + moves.near(_middle(one.points)))
            for one in sample.loose
        ),
        drawn=tuple(
            replace(notch, at=notch.at + complex(moves.near(np.array([notch.at]))[0]))
            for notch in sample.drawn
        ),
        drill_holes=sample.drill_holes + moves.near(sample.drill_holes),
    )


def _polygon(line: MarkedLine) -> Path:
    chords = line.chords
    starts = line.points[: len(chords)]
    return Path(line_segments(starts, starts + chords), line.closed)


def _blended(
    at: Floats, moves: Complexes, stations: Floats, length: float | None
) -> Complexes:
    """Blend moves given at some stations; round the line if it has a length."""
    if not len(at):
        return np.zeros(len(stations), dtype=np.complex128)
    if length is not None:
        at = np.concatenate([at[-1:] - length, at, at[:1] + length])
        moves = np.concatenate([moves[-1:], moves, moves[:1]])
    x, y = (np.interp(stations, at, part) for part in (moves.real, moves.imag))
    blend: Complexes = x + 1j * y
    return blend


def _middle(points: Complexes) -> Complexes:
    return np.array([points.mean()])


def _ends(
    line: tuple[complex, complex] | None, moves: _Moves, *, together: bool
) -> tuple[complex, complex] | None:
    if line is None:
        return None
    ends = np.array(line)
    places = _middle(ends) if together else ends
    start, end = (ends + moves.near(places)).tolist()
    return start, end
