"""The seams at both ends of a group of bound edges, and how long they are sewn."""

import math
from dataclasses import dataclass
from typing import Final

from edgefinder.binding.finishing import finished_edges
from edgefinder.classifier.job import Finish
from edgefinder.classifier.rings import Copy, edge_rings
from edgefinder.classifier.run_order import Group
from edgefinder.classifier.tags import TaggedPiece, TaggedSize
from edgefinder.errors import TagError
from edgefinder.memory import Memory
from edgefinder.pattern.finished import FinishedEdge
from edgefinder.pattern.pieces import Piece
from edgefinder.pattern.set_in import is_straight_joint, meeting

SAME_SEAM_MM: Final = 1.0
"""Seams that differ by more are not sewn edge to edge without easing (our own choice:
what cutting and stitching make of equal ones)."""


@dataclass(frozen=True, slots=True, eq=False)
class SeamEnd:
    """Where a bound edge ends at a seam.

    Parameters
    ----------
    piece : Piece
    bound, seam : Copy
        On the cut piece. Of a seam that is cut at marks the part that begins here.
    bound_at_end, seam_at_end : bool
        Whether they meet at the end of the edge as it is drawn, else at its start.
    finish : Finish
        Of the seam: not ``seam`` where nothing is sewn there.
    angle : float
        Between the two finished lines inside the piece, radians. Where pieces lie edge
        to edge the tape turns by pi less the angles of both.
    lengths : tuple of float
        Of the sewing line of one cut piece in millimetres, both halves of an edge that
        meets the fold; then as it may be sewn as well: one half, or the two of a pair.
        Empty if allowances leave nothing of it.
    """

    piece: Piece
    bound: Copy
    seam: Copy
    bound_at_end: bool
    seam_at_end: bool
    finish: Finish
    angle: float
    lengths: tuple[float, ...]

    @property
    def bound_name(self) -> str:
        """The bound edge as messages name it."""
        return _name(self.piece, self.bound)

    @property
    def seam_name(self) -> str:
        """The seam as messages name it."""
        return _name(self.piece, self.seam)


class SeamEnds:
    """Finds the seams at the ends of groups in one size, and measures each once."""

    def __init__(self, size: TaggedSize, memory: Memory) -> None:
        self._memory = memory
        self._tagged = {one.piece.name: one for one in size.pieces}
        self._finished: dict[tuple[str, int], FinishedEdge | None] = {}
        self._turns: dict[tuple[str, int, bool], float] = {}

    def ring(self, group: Group) -> tuple[Copy, ...]:
        """Return the outline that a group lies on, unfolded."""
        rings = edge_rings(group.piece, self._tagged[group.piece.name].fold)
        return next(ring for ring in rings if group.copies[0] in ring)

    def at(self, group: Group, *, at_end: bool, mirrored: bool) -> SeamEnd:
        """Find the seam at one end of a group.

        Parameters
        ----------
        group : Group
        at_end : bool
            At its end in the order of the outline, fabric on the left; else at its
            start.
        mirrored : bool
            Whether the group is taken on its mirror image.
        """
        tagged = self._tagged[group.piece.name]
        bound = group.copies[-1 if at_end else 0]
        onwards = _from(self.ring(group), bound, at_end=at_end)
        parts = onwards[:1]
        for copy in onwards[1:]:
            if not _goes_on(tagged, parts[-1], copy, at_end=at_end):
                break
            parts.append(copy)
        bound_at_end = _is_drawn_end(tagged, bound, at_end=at_end)
        return SeamEnd(
            piece=group.piece,
            bound=_turned(bound, mirrored=mirrored),
            seam=_turned(parts[0], mirrored=mirrored),
            bound_at_end=bound_at_end,
            seam_at_end=_is_drawn_end(tagged, parts[0], at_end=not at_end),
            finish=tagged.finishes[parts[0].number - 1],
            angle=math.pi - self._turn(tagged, bound.number, at_end=bound_at_end),
            lengths=self._lengths(tagged, parts),
        )

    def _lengths(self, tagged: TaggedPiece, parts: list[Copy]) -> tuple[float, ...]:
        every = [self._finish(tagged, part.number) for part in parts]
        finished = [one for one in every if one is not None]
        if len(finished) < len(every):
            return ()
        whole = math.fsum(one.length for one in finished)
        if any(one.is_unfolded for one in finished):
            halves = (one.length / (1 + one.is_unfolded) for one in finished)
            return whole, math.fsum(halves)
        return (whole, 2 * whole) if tagged.cut > 1 else (whole,)

    def _turn(self, tagged: TaggedPiece, number: int, *, at_end: bool) -> float:
        key = tagged.piece.name, number, at_end
        if key not in self._turns:
            self._turns[key] = _turn(tagged, number, at_end=at_end)
        return self._turns[key]

    def _finish(self, tagged: TaggedPiece, number: int) -> FinishedEdge | None:
        key = tagged.piece.name, number
        if key not in self._finished:
            try:
                (self._finished[key],) = finished_edges(
                    [(tagged, number)], self._memory
                )
            except TagError:  # it is told by what is bound, or as a junction
                self._finished[key] = None
        return self._finished[key]


def _from(ring: tuple[Copy, ...], copy: Copy, *, at_end: bool) -> list[Copy]:
    """List the other edges of an outline, going on from one end of an edge."""
    at = ring.index(copy)
    after = [*ring[at + 1 :], *ring[:at]]
    return after if at_end else after[::-1]


def _goes_on(tagged: TaggedPiece, part: Copy, copy: Copy, *, at_end: bool) -> bool:
    """Whether a seam was cut only at a mark before the next edge."""
    edges = tagged.piece.edges
    one, other = edges[part.number - 1], edges[copy.number - 1]
    if one.known_as != other.known_as or one.number == other.number:
        return False
    is_end = _is_drawn_end(tagged, part, at_end=at_end)
    turn = one.corner_after if is_end else one.corner_before
    same = tagged.finishes[part.number - 1] is tagged.finishes[copy.number - 1]
    return same and abs(turn) < math.pi / 2 and is_straight_joint(turn)


def _is_drawn_end(tagged: TaggedPiece, copy: Copy, *, at_end: bool) -> bool:
    """Whether an end of an edge on the cut piece is the end of the edge as drawn."""
    before, after = tagged.piece.neighbours(copy.number)
    if tagged.fold is not None and after.number == tagged.fold:
        return False  # both of its ends are its start, once drawn and once mirrored
    if tagged.fold is not None and before.number == tagged.fold:
        return True
    return at_end is not copy.mirrored


def _turn(tagged: TaggedPiece, number: int, *, at_end: bool) -> float:
    """Return the turn between the finished lines at an end of an edge."""
    edge = tagged.piece.edges[number - 1]
    before, after = tagged.piece.neighbours(number)
    allowances = dict(enumerate(tagged.allowances, start=1))
    pair = (edge, after) if at_end else (before, edge)
    return meeting(*pair, allowances).turn


def _turned(copy: Copy, *, mirrored: bool) -> Copy:
    return Copy(copy.number, copy.mirrored is not mirrored)


def _name(piece: Piece, copy: Copy) -> str:
    label = piece.edges[copy.number - 1].label
    return f'"{piece.name} {label}{" mirrored" if copy.mirrored else ""}"'
