"""What the bands of other edges leave of an edge.

Where the set-in line of an edge leaves the cloth nothing is left either. Polygons say
only near which places that happens; the places themselves are found by narrowing them
down with distances to the exact edges.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from edgefinder.errors import TagError
from edgefinder.geometry.headings import absolute_turnings, joint_turnings
from edgefinder.geometry.profile import HeadingProfile
from edgefinder.geometry.profile_edits import inset_stations, stretch
from edgefinder.geometry.segments import Floats, Kind
from edgefinder.pattern.bands import Band, bands_near
from edgefinder.pattern.boxes import box_of
from edgefinder.pattern.crossings import Flags, Span, exact_spans, spans_near
from edgefinder.pattern.outside import CHORD_MM, NEAR_MM, Outside, cloth_of
from edgefinder.pattern.pieces import Edge, Piece
from edgefinder.pattern.set_in import Meeting, is_straight_joint, set_in_points

AWAY_MM: Final = 4 * NEAR_MM
"""Measured square to a band: further off the line is out of its widened polygon, also
where it curves a little."""

NOTHING_MM: Final = 1e-6
"""A shorter stretch is rounding: two borders that touch."""

SLACK_MM: Final = 0.5
"""Where an edge runs along the border of a band no more than this inside it, as the
edge of a vent does along the stitching above it, nothing is lost: no drawing and no
seam is truer (our own choice). Larger: narrow straps pass."""

SHORTEST_PART_MM: Final = 1.0
"""A shorter part that bands leave of an edge is nothing to bind (our own choice)."""


@dataclass(frozen=True, slots=True)
class _SetIn:
    """The set-in line of an edge between its neighbours.

    Parameters
    ----------
    edge : Edge
    depth : float
        Millimetres.
    s : ndarray, shape (m,)
        Millimetres along the edge, rising.
    stations : ndarray, shape (m,)
        The same places along the set-in line.
    """

    edge: Edge
    depth: float
    s: Floats
    stations: Floats

    @property
    def ends(self) -> Span:
        """From where to where it runs, along the edge."""
        return float(self.s[0]), float(self.s[-1])

    def between(self, span: Span) -> float:
        """Return its length between two places of the edge."""
        a, b = np.interp(span, self.s, self.stations).tolist()
        return float(b - a)


@dataclass(frozen=True, slots=True)
class _Lost:
    """A stretch of an edge that lies under a band, or outside the cloth."""

    span: Span
    by: Band | Outside


def cut_by_bands(
    piece: Piece,
    edge: Edge,
    profile: HeadingProfile,
    allowances: Mapping[int, float],
    meetings: tuple[Meeting, Meeting] | None,
) -> Span:
    """Take off an edge what lies under the bands of the other edges of its piece.

    Parameters
    ----------
    piece : Piece
    edge : Edge
    profile : HeadingProfile
        Of the edge.
    allowances : mapping of int to float
        Millimetres by edge number.
    meetings : (Meeting, Meeting) or None
        Where its neighbours leave it; None for a closed edge.

    Returns
    -------
    (float, float)
        From where to where it is left, in millimetres along the edge.

    Raises
    ------
    TagError
        If nothing is left of it, if it falls into parts, or if a closed edge is not
        left whole.
    """
    kept = (0.0, edge.length)
    if meetings is not None:
        kept = meetings[0].second, meetings[1].first
    if all(width <= NOTHING_MM for width in allowances.values()):
        return kept
    turned = float(np.abs(np.diff(profile.heading)).sum())
    bands: list[Band | Outside] = [*_bands(piece, edge, turned, allowances, meetings)]
    depth = allowances[edge.number]
    if depth > NOTHING_MM:
        touched = _touched(piece, edge, allowances, meetings)
        bands.append(Outside(edge, depth, piece.edges, cloth_of(piece), touched))
    if not bands or kept[1] - kept[0] <= NOTHING_MM:
        return kept
    line = _set_in(edge, profile, depth, kept)
    lost = [
        _Lost(span, band)
        for band in bands
        for span in _covered(line, band, _margins(piece, line.edge, band, meetings))
        if line.between(span) > NOTHING_MM
    ]
    if not lost:
        return kept
    parts = _what_is_left(line, lost)
    if not parts:
        raise TagError(_nothing_left(piece, edge, lost))
    if len(parts) > 1 or meetings is None:
        raise TagError(_in_parts(piece, edge, lost, parts))
    return parts[0]


def _bands(
    piece: Piece,
    edge: Edge,
    turned: float,
    allowances: Mapping[int, float],
    meetings: tuple[Meeting, Meeting] | None,
) -> list[Band]:
    done = {edge.number}
    overhang = 0.0
    if meetings is not None:
        first, last = meetings
        before, after = piece.neighbours(edge.number)
        overhang = max(-first.second, last.first - edge.length, 0.0)
        if before.number != after.number:
            pairs = (before, first.turn), (after, last.turn)
            done |= {
                one.number
                for one, turn in pairs
                if allowances[one.number] > 0 and not _comes_back(turned, one, turn)
            }
    others = [
        other
        for other in piece.edges
        if allowances[other.number] > NOTHING_MM and other.number not in done
    ]
    if not others:
        return []
    reach = 2 * allowances[edge.number] + overhang
    box = box_of(edge.path.path).widened(reach)
    return bands_near(piece, others, allowances, box, edge)


def _touched(
    piece: Piece,
    edge: Edge,
    allowances: Mapping[int, float],
    meetings: tuple[Meeting, Meeting] | None,
) -> frozenset[int]:
    """Return the numbers of the neighbours on which the set-in line begins and ends."""
    if meetings is None:
        return frozenset()
    before, after = piece.neighbours(edge.number)
    on_edge = (
        (before, meetings[0].first >= 0),
        (after, meetings[1].second <= after.length),
    )
    return frozenset(
        one.number for one, is_on in on_edge if is_on and allowances[one.number] == 0
    )


def _comes_back(turned: float, neighbour: Edge, turn: float) -> bool:
    """Whether a line can come back to the band of its neighbour once it has left it.

    To cross again the two have to turn by more, together, than the angle between them;
    past an inside corner or a straight joint by more than a right angle.
    """
    path = neighbour.path.path
    if len(path.segments) > 1 or path.segments.kind[0] != Kind.LINE:
        turned += float(absolute_turnings(path.segments).sum())
        turned += float(np.abs(joint_turnings(path)).sum())
    is_outside = turn > 0 and not is_straight_joint(turn)
    return turned > (math.pi - turn if is_outside else math.pi / 2)


def _set_in(edge: Edge, profile: HeadingProfile, depth: float, kept: Span) -> _SetIn:
    if not profile.closed:
        profile = stretch(profile, *kept)
    return _SetIn(edge, depth, profile.s + kept[0], inset_stations(profile, depth))


def _margins(
    piece: Piece,
    edge: Edge,
    band: Band | Outside,
    meetings: tuple[Meeting, Meeting] | None,
) -> Span:
    """Return how far from its ends a line is near a band that it shares corners with.

    0 at an end that is not shared. There the line has just left the band, and nothing
    more is lost while it moves away from it.
    """
    if meetings is None:
        return 0.0, 0.0
    margins = []
    neighbours = piece.neighbours(edge.number)
    for neighbour, one in zip(neighbours, meetings, strict=True):
        across = abs(math.sin(one.turn))
        if one.turn <= 0 or is_straight_joint(one.turn):  # it leaves by the square end
            across = max(across, abs(math.cos(one.turn)))
        if isinstance(band, Outside):
            away, shared = 2 * CHORD_MM, neighbour.number in band.touched
        else:
            away, shared = AWAY_MM, neighbour.number == band.edge.number
        margins.append(away / across if shared else 0.0)
    return margins[0], margins[1]


def _covered(line: _SetIn, band: Band | Outside, margins: Span) -> Iterator[Span]:
    """Find the stretches of a set-in line that lie in a band."""
    path, depth = line.edge.path, line.depth

    def is_lost(s: Floats) -> Flags:
        return band.holds(set_in_points(path, s, depth)[0])

    # Nothing is lost where the line, further inside by the slack, is in no band.
    points, _ = set_in_points(path, line.s, depth + SLACK_MM)
    if not spans_near(points, line.s, band.near):
        return
    points, _ = set_in_points(path, line.s, depth)
    for start, end in spans_near(points, line.s, band.near):
        low, high = line.ends
        if end < low + margins[0] or start > high - margins[1]:
            continue
        for span in exact_spans(is_lost, (start, end), line.ends):
            middle = np.array([(span[0] + span[1]) / 2])
            if band.holds(set_in_points(path, middle, depth + SLACK_MM)[0])[0]:
                yield span


def _what_is_left(line: _SetIn, lost: Sequence[_Lost]) -> list[Span]:
    parts, (at, end) = [], line.ends
    for start, stop in (*sorted(one.span for one in lost), (end, end)):
        if start > at and line.between((at, start)) >= SHORTEST_PART_MM:
            parts.append((at, start))
        at = max(at, stop)
    return parts


def _nothing_left(piece: Piece, edge: Edge, lost: Sequence[_Lost]) -> str:
    bands = {one.by.edge.number: one.by for one in lost}
    taken = " and ".join(
        f"of edge {band.edge.label} ({band.width:.1f} mm)" for band in bands.values()
    )
    allowances = "allowances" if len(bands) > 1 else "allowance"
    verb = "leave" if len(bands) > 1 else "leaves"
    return (
        f"{piece.where}: the {allowances} {taken} {verb} nothing of edge {edge.label} "
        f'of "{piece.name}" ({edge.length:.1f} mm long): the piece is too narrow '
        "there; give smaller allowances"
    )


def _in_parts(
    piece: Piece, edge: Edge, lost: Sequence[_Lost], parts: Sequence[Span]
) -> str:
    """Say which band takes a part out of the middle."""
    low, high = parts[0][1], parts[-1][0]
    middle = [one for one in lost if one.span[0] >= low and one.span[1] <= high]
    band = (middle or list(lost))[0].by
    does, ending = "cuts", " in two"
    if edge.path.path.closed:
        does, ending = "takes a part out of", ""
    return (
        f"{piece.where}: the allowance of edge {band.edge.label} ({band.width:.1f} mm) "
        f'{does} edge {edge.label} of "{piece.name}"{ending}: the piece is too narrow '
        "there; give a smaller allowance"
    )
