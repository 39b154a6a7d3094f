"""From the cut line to the edge as it is bound.

Every edge has its own allowance. The finished outline is the piece less, inside each
edge, a band as wide as that edge's allowance; the band of an edge goes on along its
tangent past an outside corner, as the stitching of a seam goes on to the edge of the
cloth. What is left of an edge is the part between the points where its own line, set
in by its allowance, meets those of its neighbours. At an inside corner two set-in
lines are carried on until they meet; beside an edge without allowance nothing is
taken off.
"""

import cmath
import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from edgefinder.errors import TagError
from edgefinder.geometry.headings import headings_at
from edgefinder.geometry.measured import MeasuredPath, locate
from edgefinder.geometry.profile import HeadingProfile
from edgefinder.geometry.profile_edits import (
    at_stations,
    inset_stations,
    join,
    reflect,
    stretch,
)
from edgefinder.geometry.segments import Floats, points_at
from edgefinder.pattern.pieces import Edge, Piece

MEETING_STEPS = 30
MEETING_TOLERANCE_MM = 1e-9
"""Where two set-in lines meet is found by Newton's method to this distance, far below
what anybody cuts; more than 30 steps mean that they do not meet."""

STRAIGHT_JOINT = math.radians(1.0)
"""Two lines that meet at less than this go on as one: they take nothing from each
other, and where they would cross is not defined."""


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
        return (s < self.length / 2) == self.is_mirror_first

    def drawn_at(self, s: float) -> float:
        """Return the distance along the drawn edge for one along the finished edge."""
        return float(np.interp(s, self.stations, self.drawn))


def finish_edge(
    piece: Piece, number: int, allowances: Mapping[int, float], fold: int | None
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

    Returns
    -------
    FinishedEdge

    Raises
    ------
    TagError
        If the allowances leave nothing of the edge.
    """
    edge = piece.edges[number - 1]
    depth = allowances[number]
    profile = edge.profile
    if edge.path.path.closed:
        s = inset_stations(profile, depth)
        _refuse_nothing(piece, edge, float(s[-1]))
        inset = at_stations(profile, s)
        return FinishedEdge(piece, number, inset, s, profile.s, is_unfolded=False)
    before, after = piece.neighbours(number)
    s0 = _meeting(before, edge, allowances)[1]
    s1 = _meeting(edge, after, allowances)[0]
    _refuse_nothing(piece, edge, s1 - s0)
    kept = stretch(profile, s0, s1)
    stations = inset_stations(kept, depth)
    _refuse_nothing(piece, edge, float(stations[-1]))
    finished = FinishedEdge(
        piece,
        number,
        at_stations(kept, stations),
        stations,
        kept.s + s0,
        is_unfolded=False,
    )
    if fold is None:
        return finished
    line = piece.edges[fold - 1]
    starts, ends = before.number == fold, after.number == fold
    return _unfold(finished, line, starts=starts, ends=ends)


def _refuse_nothing(piece: Piece, edge: Edge, length: float) -> None:
    if length <= MEETING_TOLERANCE_MM:
        raise TagError(
            f'{piece.where}: the allowances leave nothing of edge {edge.number} of "'
            f'{piece.name}" ({edge.length:.1f} mm long); give smaller allowances'
        )


def _meeting(
    first: Edge, second: Edge, allowances: Mapping[int, float]
) -> tuple[float, float]:
    """Find where the set-in lines of two edges meet that share a corner.

    Returns
    -------
    tuple of float
        Distance along the first and along the second; outside their ends where the
        lines have to be carried on.
    """
    a, b = allowances[first.number], allowances[second.number]
    turn = first.corner_after
    corner = (first.length, 0.0)
    has_inside_cap = turn < 0 and (a == 0 or b == 0)
    if a == b == 0 or abs(math.sin(turn)) < STRAIGHT_JOINT or has_inside_cap:
        return corner
    # The two lines that touch the edges at the corner, set in, meet here.
    x = first.length + (a * math.cos(turn) - b) / math.sin(turn)
    y = (a - b * math.cos(turn)) / math.sin(turn)
    for _ in range(MEETING_STEPS):
        p, t = _inset_point(first.path, x, a)
        q, u = _inset_point(second.path, y, b)
        apart = p - q
        if abs(apart) < MEETING_TOLERANCE_MM:
            return x, y
        across = _cross(t, u)
        if abs(across) < math.sin(STRAIGHT_JOINT):
            break
        x -= _cross(apart, u) / across
        y -= _cross(apart, t) / across
    raise TagError(
        f"{first.sources[0].where}: the allowances of edges {first.number} and "
        f"{second.number} ({a:.1f} and {b:.1f} mm) do not meet; give smaller ones"
    )


def _inset_point(path: MeasuredPath, s: float, depth: float) -> tuple[complex, complex]:
    """Return a point of the set-in line and its derivative by s."""
    inside = np.array([min(max(s, 0.0), path.length)])
    row, t = locate(path, inside)
    segment = path.path.segments.take(row)
    tangent = complex(headings_at(segment, t)[0])
    point = complex(points_at(segment, t)[0])
    return point + (s - inside[0]) * tangent + 1j * depth * tangent, tangent


def _cross(a: complex, b: complex) -> float:
    return (a.conjugate() * b).imag


def _unfold(
    half: FinishedEdge, fold: Edge, *, starts: bool, ends: bool
) -> FinishedEdge:
    """Join an edge that meets the fold with its mirror image."""
    if not (starts or ends):
        return half
    along = fold.end - fold.start
    mirror = (along / abs(along)) ** 2  # z -> mirror conj(z) reflects directions
    headings = half.edge.profile.heading
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
