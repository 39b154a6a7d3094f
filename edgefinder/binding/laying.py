"""Laying a run of tape along finished edges, from piece to piece.

At a seam the pieces lie edge to edge, so that a run is one line all along: what it
turns there counts like any other turn.
"""

from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Final

from edgefinder.binding.finishing import finished_edges
from edgefinder.binding.junctions import Joined, join_groups
from edgefinder.binding.runs import BoundEdge, Leg, Run, RunCorner, Span
from edgefinder.binding.tape import Tape, tape_named
from edgefinder.classifier.run_order import Group
from edgefinder.classifier.tags import TaggedRun, TaggedSize
from edgefinder.geometry.profile_edits import cut_open, join, kinks, reflect, stretch
from edgefinder.memory import Memory
from edgefinder.pattern.finished import FinishedEdge

WHOLE_TOLERANCE_MM: Final = 1e-9
"""Two stations nearer than this are one."""

Finished = Mapping[tuple[str, int], FinishedEdge]
"""Finished edges by piece and number."""


def lay_runs(
    size: TaggedSize,
    tapes: Sequence[Tape],
    corner_angle: float,
    runs: Sequence[TaggedRun] | None = None,
    memory: Memory | None = None,
) -> tuple[Run, ...]:
    """Lay runs of one size along the finished edges.

    Parameters
    ----------
    size : TaggedSize
    tapes : sequence of Tape
    corner_angle : float
        Radians.
    runs : sequence of TaggedRun or None
        Some of the size; None for all.
    memory : Memory or None
        Edges that were finished before need not be finished again.

    Returns
    -------
    tuple of Run

    Raises
    ------
    TagError
        If allowances leave nothing of an edge, or a run goes round its pieces in
        opposite ways.
    """
    memory = Memory() if memory is None else memory
    runs = size.runs if runs is None else runs
    finished = _finish(size, runs, memory)
    return tuple(_lay(size, run, tapes, finished, corner_angle, memory) for run in runs)


def _finish(
    size: TaggedSize, runs: Sequence[TaggedRun], memory: Memory
) -> dict[tuple[str, int], FinishedEdge]:
    """Finish every edge that a run is laid along."""
    by_name = {tagged.piece.name: tagged for tagged in size.pieces}
    places = list(
        dict.fromkeys(
            (group.piece.name, copy.number)
            for run in runs
            for group in run.groups
            for copy in group.copies
        )
    )
    edges = finished_edges([(by_name[name], n) for name, n in places], memory)
    return dict(zip(places, edges, strict=True))


def _lay(
    size: TaggedSize,
    run: TaggedRun,
    tapes: Sequence[Tape],
    finished: Finished,
    corner_angle: float,
    memory: Memory,
) -> Run:
    joined = join_groups(size, run, memory)
    lines = [
        _group_line(
            _bound(group, finished, turned_over=way is not joined.ways[0]),
            closed=run.settings.is_closed and group.is_whole and len(run.groups) == 1,
        )
        for group, way in zip(run.groups, joined.ways, strict=True)
    ]
    legs: list[Leg] = []
    corners: list[RunCorner] = []
    for line, seams in _across_seams(lines, joined, closed=run.settings.is_closed):
        found_legs, found_corners = _cut_at_corners(line, corner_angle, seams)
        legs += found_legs
        corners += found_corners
    edges = [
        edge
        for group in run.groups
        for edge in _in_sewing_order(group, _bound(group, finished))
    ]
    tape = tape_named(run.settings.tape, tapes)
    return Run(
        run.settings,
        tape,
        tuple(edges),
        tuple(legs),
        tuple(corners),
        is_against=joined.ways[0],
    )


def _bound(
    group: Group, finished: Finished, *, turned_over: bool = False
) -> list[BoundEdge]:
    """Return the edges of a group in the order of the outline or its mirror image."""
    bound = [
        BoundEdge(finished[group.piece.name, copy.number], copy.mirrored, turned_over)
        for copy in group.copies
    ]
    return bound[::-1] if turned_over else bound


def _in_sewing_order(group: Group, bound: list[BoundEdge]) -> list[BoundEdge]:
    return bound[::-1] if group.is_against else bound


def _across_seams(
    lines: Sequence[Leg], joined: Joined, *, closed: bool
) -> list[tuple[Leg, list[float]]]:
    """Put lines together where they meet at a seam.

    Returns
    -------
    list of (Leg, list of float)
        Each with the stations of the seams that it crosses; the fabric on the left.
    """
    if not joined.junctions:
        return [(line, []) for line in lines]
    # Against the outlines the fabric lies on the right: read it from the other end.
    order = list(range(len(lines)))
    turns = [one.turn if one.is_seam else None for one in joined.junctions]
    if joined.ways[0]:
        order.reverse()
        inner = turns[: len(lines) - 1]
        turns = [*inner[::-1], *turns[len(lines) - 1 :]]
    if closed and all(turn is not None for turn in turns):
        known = [turn for turn in turns if turn is not None]
        return [_joined([lines[i] for i in order], known, closed=True)]
    chains: list[tuple[list[Leg], list[float]]] = [([lines[order[0]]], [])]
    for i, turn in zip(order[1:], turns, strict=False):
        if turn is None:
            chains.append(([lines[i]], []))
        else:
            chains[-1][0].append(lines[i])
            chains[-1][1].append(turn)
    return [_joined(chain, known, closed=False) for chain, known in chains]


def _joined(
    lines: Sequence[Leg], turns: Sequence[float], *, closed: bool
) -> tuple[Leg, list[float]]:
    profile = join([line.profile for line in lines], list(turns), closed=closed)
    spans: list[Span] = []
    seams: list[float] = []
    at = 0.0
    for line in lines:
        spans += [Span(s.edge, s.start + at, s.end + at, s.offset) for s in line.spans]
        at += line.length
        seams.append(at)
    return Leg(profile, tuple(spans)), seams if closed else seams[:-1]


def _group_line(bound: Sequence[BoundEdge], *, closed: bool) -> Leg:
    """Join edges that follow each other to one line, corners and all."""
    profiles = [
        reflect(edge.finished.profile) if edge.runs_back else edge.finished.profile
        for edge in bound
    ]
    turns = [_corner_after(edge) for edge in bound]
    spans = []
    at = 0.0
    for edge in bound:
        spans.append(Span(edge, at, at + edge.finished.length, 0.0))
        at += edge.finished.length
    if closed and profiles[0].closed:
        return Leg(profiles[0], tuple(spans))
    return Leg(
        join(profiles, turns if closed else turns[:-1], closed=closed), tuple(spans)
    )


def _corner_after(bound: BoundEdge) -> float:
    """Return the jump of the tangent from an edge to the next on its outline."""
    finished = bound.finished
    ends_on_mirror = finished.is_unfolded and not finished.is_mirror_first
    if bound.runs_back or ends_on_mirror:
        return finished.edge.corner_before
    return finished.edge.corner_after


def _cut_at_corners(
    line: Leg, corner_angle: float, seams: Sequence[float]
) -> tuple[list[Leg], list[RunCorner]]:
    at, turns = kinks(line.profile, corner_angle)
    corners = [
        RunCorner(
            float(turn),
            *line.locate(float(s)),
            is_at_seam=any(abs(s - seam) < WHOLE_TOLERANCE_MM for seam in seams),
        )
        for s, turn in zip(at, turns, strict=True)
    ]
    if not corners:
        return [line], corners
    cuts = [float(s) for s in at]
    if line.profile.closed:
        line = _begin_at(line, cuts[0])
        cuts = [s - cuts[0] for s in cuts[1:]]
    bounds = [0.0, *cuts, line.length]
    legs = [
        Leg(stretch(line.profile, a, b), _spans_within(line, a, b))
        for a, b in pairwise(bounds)
        if b - a > WHOLE_TOLERANCE_MM
    ]
    return legs, corners


def _begin_at(line: Leg, s: float) -> Leg:
    """Cut a closed line open at a station."""
    if s >= line.length - WHOLE_TOLERANCE_MM:
        s = 0.0
    first, second = _spans_within(line, s, line.length), _spans_within(line, 0.0, s)
    moved = tuple(
        Span(p.edge, p.start + line.length - s, p.end + line.length - s, p.offset)
        for p in second
    )
    return Leg(cut_open(line.profile, s), (*first, *moved))


def _spans_within(line: Leg, a: float, b: float) -> tuple[Span, ...]:
    found = []
    for span in line.spans:
        start, end = max(span.start, a), min(span.end, b)
        if end - start > WHOLE_TOLERANCE_MM:
            offset = span.offset + start - span.start
            found.append(Span(span.edge, start - a, end - a, offset))
    return tuple(found)
