"""The line that a run of tape follows: smooth legs between corners and seams."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from edgefinder.binding.tape import Tape, tape_named
from edgefinder.classifier.job import RunSettings
from edgefinder.classifier.tags import TaggedPiece, TaggedRun, TaggedSize
from edgefinder.geometry.profile import HeadingProfile
from edgefinder.geometry.profile_edits import cut_open, join, kinks, reflect, stretch
from edgefinder.pattern.finished import FinishedEdge, finish_edge

WHOLE_TOLERANCE_MM = 1e-9
"""Two stations nearer than this are one."""


@dataclass(frozen=True, slots=True, eq=False)
class BoundEdge:
    """An edge as part of a run.

    Parameters
    ----------
    finished : FinishedEdge
    mirrored : bool
        Whether it is taken on the mirrored half or on the mirrored one of a pair.
    """

    finished: FinishedEdge
    mirrored: bool

    def drawn_at(self, s: float) -> float:
        """Return the distance along the drawn edge for one along this edge."""
        return self.finished.drawn_at(self._along(s))

    def is_mirrored_at(self, s: float) -> bool:
        """Whether a distance along this edge is not on the half that is drawn."""
        return self.mirrored or self.finished.is_mirrored_at(s)

    def _along(self, s: float) -> float:
        return self.finished.length - s if self.mirrored else s


@dataclass(frozen=True, slots=True, eq=False)
class Span:
    """The part of a leg that lies on one edge, from ``start`` to ``end`` on the leg.

    ``offset`` is the distance along the edge where the part begins.
    """

    edge: BoundEdge
    start: float
    end: float
    offset: float


@dataclass(frozen=True, slots=True, eq=False)
class Leg:
    """A smooth part of a run.

    Parameters
    ----------
    profile : HeadingProfile
        Fabric on the left.
    spans : tuple of Span
        The edges that it lies on, in order.
    """

    profile: HeadingProfile
    spans: tuple[Span, ...]

    @property
    def length(self) -> float:
        """Millimetres."""
        return self.profile.length

    def locate(self, s: float) -> tuple[BoundEdge, float]:
        """Return the edge at a distance along the leg, and the distance along it."""
        span = next((span for span in self.spans if s <= span.end), self.spans[-1])
        return span.edge, s - span.start + span.offset


@dataclass(frozen=True, slots=True, eq=False)
class RunCorner:
    """A corner that the tape turns.

    Parameters
    ----------
    turn : float
        Radians; positive at an outside corner.
    edge : BoundEdge
        The edge that ends there.
    at : float
        Distance along that edge in millimetres.
    """

    turn: float
    edge: BoundEdge
    at: float


@dataclass(frozen=True, slots=True, eq=False)
class Run:
    """A run of tape in one size.

    Parameters
    ----------
    settings : RunSettings
    tape : Tape
    edges : tuple of BoundEdge
        In sewing order.
    legs : tuple of Leg
    corners : tuple of RunCorner
    """

    settings: RunSettings
    tape: Tape
    edges: tuple[BoundEdge, ...]
    legs: tuple[Leg, ...]
    corners: tuple[RunCorner, ...]

    @property
    def name(self) -> str:
        """The run's name."""
        return self.settings.name

    @property
    def length(self) -> float:
        """Joined length of the bound edges in millimetres."""
        return math.fsum(leg.length for leg in self.legs)


def lay_runs(
    size: TaggedSize, tapes: Sequence[Tape], corner_angle: float
) -> tuple[Run, ...]:
    """Lay the runs of one size along the finished edges.

    Parameters
    ----------
    size : TaggedSize
    tapes : sequence of Tape
    corner_angle : float
        Radians.

    Returns
    -------
    tuple of Run

    Raises
    ------
    TagError
        If allowances leave nothing of an edge.
    """
    by_name = {tagged.piece.name: tagged for tagged in size.pieces}
    finished: dict[tuple[str, int], FinishedEdge] = {}
    for run in size.runs:
        for group in run.groups:
            for copy in group.copies:
                key = group.piece.name, copy.number
                if key not in finished:
                    finished[key] = _finish(by_name[group.piece.name], copy.number)
    return tuple(_lay(run, tapes, finished, corner_angle) for run in size.runs)


def _finish(tagged: TaggedPiece, number: int) -> FinishedEdge:
    allowances = dict(enumerate(tagged.allowances, start=1))
    return finish_edge(tagged.piece, number, allowances, tagged.fold)


def _lay(
    run: TaggedRun,
    tapes: Sequence[Tape],
    finished: dict[tuple[str, int], FinishedEdge],
    corner_angle: float,
) -> Run:
    legs: list[Leg] = []
    corners: list[RunCorner] = []
    edges: list[BoundEdge] = []
    alone = len(run.groups) == 1
    for group in run.groups:
        bound = [
            BoundEdge(finished[group.piece.name, copy.number], copy.mirrored)
            for copy in group.copies
        ]
        closed = alone and run.settings.is_closed and group.is_whole
        line = _group_line(bound, closed=closed)
        found_legs, found_corners = _cut_at_corners(line, corner_angle)
        legs += found_legs
        corners += found_corners
        edges += reversed(bound) if group.is_against else bound
    tape = tape_named(run.settings.tape, tapes)
    return Run(run.settings, tape, tuple(edges), tuple(legs), tuple(corners))


def _group_line(bound: Sequence[BoundEdge], *, closed: bool) -> Leg:
    """Join edges that follow each other to one line, corners and all."""
    profiles = [
        reflect(edge.finished.profile) if edge.mirrored else edge.finished.profile
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
    if bound.mirrored or ends_on_mirror:
        return finished.edge.corner_before
    return finished.edge.corner_after


def _cut_at_corners(
    line: Leg, corner_angle: float
) -> tuple[list[Leg], list[RunCorner]]:
    at, turns = kinks(line.profile, corner_angle)
    corners = [
        RunCorner(float(turn), *line.locate(float(s)))
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
