"""From the cut line to the edge as it is bound.

Every edge has its own allowance. The finished outline is the piece less, inside each
edge, a band as wide as that edge's allowance; the band of an edge goes on along its
tangent past an outside corner, as the stitching of a seam goes on to the edge of the
cloth. What is left of an edge is the part between the points where its own line, set
in by its allowance, meets those of its neighbours. At an inside corner two set-in
lines are carried on until they meet; beside an edge without allowance nothing is
taken off. The bands of edges further off are taken off as well, where they reach
(`edgefinder.pattern.lost`).
"""

import cmath
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np

from edgefinder.errors import TagError
from edgefinder.geometry.profile import HeadingProfile
from edgefinder.geometry.profile_edits import (
    at_stations,
    inset_stations,
    join,
    reflect,
    stretch,
)
from edgefinder.geometry.segments import Floats
from edgefinder.pattern.lost import cut_by_bands
from edgefinder.pattern.pieces import Edge, Piece
from edgefinder.pattern.set_in import MEETING_TOLERANCE_MM, meeting

ON_THE_FOLD_MM: Final = 1e-6
"""A place this near to the fold is on it, and drawn."""


@dataclass(frozen=True, slots=True, eq=False)
class FinishedEdge:
    """An edge as it is bound: allowances taken off, unfolded at the fold.

    Parameters
    ----------
    piece : Piece
    number : int
    profile : HeadingProfile
        Of the finished edge, fabric on the left, in radians and millimetres.
    stations, drawn : ndarray, shape (m,)
        Distance along the finished edge against distance along the drawn one,
        both rising pieces of straight lines in between (on an unfolded edge the
        drawn distance comes back on the mirrored half).
    is_unfolded : bool
        Whether it is one with its mirror image.
    is_mirror_first : bool
        Whether the mirrored half comes first.
    """

    piece: Piece
    number: int
    profile: HeadingProfile
    stations: Floats
    drawn: Floats
    is_unfolded: bool
    is_mirror_first: bool = False

    @property
    def edge(self) -> Edge:
        """The edge as drawn."""
        return self.piece.edges[self.number - 1]

    @property
    def length(self) -> float:
        """Bound length in millimetres."""
        return self.profile.length

    @property
    def cut_length(self) -> float:
        """Length of the drawn edge in millimetres, both halves if it is unfolded."""
        return self.edge.length * (2 if self.is_unfolded else 1)

    def is_mirrored_at(self, s: float) -> bool:
        """Whether a distance along the finished edge lies on the mirrored half."""
        if not self.is_unfolded:
            return False
        from_fold = s - self.length / 2
        if abs(from_fold) < ON_THE_FOLD_MM:
            return False
        return (from_fold < 0) == self.is_mirror_first

    def drawn_at(self, s: float) -> float:
        """Return the distance along the drawn edge for one along the finished edge."""
        after = int(self.stations.searchsorted(s, "right"))
        after = min(max(after, 1), len(self.stations) - 1)
        s0, s1 = self.stations[after - 1 : after + 1].tolist()
        drawn0, drawn1 = self.drawn[after - 1 : after + 1].tolist()
        share = min(max((s - s0) / (s1 - s0), 0.0), 1.0) if s1 > s0 else 1.0
        return float(drawn0 + (drawn1 - drawn0) * share)


def finish_edge(
    piece: Piece,
    number: int,
    allowances: Mapping[int, float],
    fold: int | None,
    profile: HeadingProfile | None = None,
) -> FinishedEdge:
    """Take the allowances off an edge and unfold it.

    Parameters
    ----------
    piece : Piece
    number : int
        Of the edge.
    allowances : mapping of int to float
        Millimetres by edge number.
    fold : int or None
        Number of the fold edge.
    profile : HeadingProfile or None
        Of the edge, where it is known already.

    Returns
    -------
    FinishedEdge

    Raises
    ------
    TagError
        If the allowances leave nothing of the edge, or cut it in two.
    """
    edge = piece.edges[number - 1]
    depth = allowances[number]
    profile = edge.profile if profile is None else profile
    if edge.path.path.closed:
        cut_by_bands(piece, edge, profile, allowances, None)
        s, inset = _set_in(piece, edge, profile, depth)
        return FinishedEdge(piece, number, inset, s, profile.s, is_unfolded=False)
    before, after = piece.neighbours(number)
    meetings = meeting(before, edge, allowances), meeting(edge, after, allowances)
    _refuse_nothing(piece, edge, meetings[1].first - meetings[0].second)
    s0, s1 = cut_by_bands(piece, edge, profile, allowances, meetings)
    kept = stretch(profile, s0, s1)
    stations, inset = _set_in(piece, edge, kept, depth)
    finished = FinishedEdge(
        piece, number, inset, stations, kept.s + s0, is_unfolded=False
    )
    if fold is None:
        return finished
    line = piece.edges[fold - 1]
    starts, ends = before.number == fold, after.number == fold
    return _unfold(finished, profile.heading, line, starts=starts, ends=ends)


def _set_in(
    piece: Piece, edge: Edge, kept: HeadingProfile, depth: float
) -> tuple[Floats, HeadingProfile]:
    """Return where the nodes of what is kept come on the set-in line, and that line."""
    if depth == 0:
        _refuse_nothing(piece, edge, kept.length)
        return kept.s, kept
    stations = inset_stations(kept, depth)
    _refuse_nothing(piece, edge, float(stations[-1]))
    return stations, at_stations(kept, stations)


def _refuse_nothing(piece: Piece, edge: Edge, length: float) -> None:
    if length <= MEETING_TOLERANCE_MM:
        raise TagError(
            f'{piece.where}: the allowances leave nothing of edge {edge.label} of "'
            f'{piece.name}" ({edge.length:.1f} mm long); give smaller allowances'
        )


def _unfold(
    half: FinishedEdge, headings: Floats, fold: Edge, *, starts: bool, ends: bool
) -> FinishedEdge:
    """Join an edge that meets the fold with its mirror image."""
    if not (starts or ends):
        return half
    along = fold.end - fold.start
    mirror = (along / abs(along)) ** 2  # z -> mirror conj(z) reflects directions
    into, out = cmath.rect(1.0, headings[0]), cmath.rect(1.0, headings[-1])
    at_start = float(np.angle(into / (-mirror * into.conjugate())))
    at_end = float(np.angle(-mirror * out.conjugate() / out))
    there, back = half.profile, reflect(half.profile)
    length = half.length
    mirrored = (length - half.stations)[::-1], half.drawn[::-1]
    if ends:
        profile = join(
            [there, back], [at_end, at_start] if starts else [at_end], closed=starts
        )
        stations = np.concatenate([half.stations, mirrored[0] + length])
        drawn = np.concatenate([half.drawn, mirrored[1]])
    else:
        profile = join([back, there], [at_start])
        stations = np.concatenate([mirrored[0], half.stations + length])
        drawn = np.concatenate([mirrored[1], half.drawn])
    return FinishedEdge(
        half.piece,
        half.number,
        profile,
        stations,
        drawn,
        is_unfolded=True,
        is_mirror_first=not ends,
    )
