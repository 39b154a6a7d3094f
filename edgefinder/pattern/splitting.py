"""Cutting the edges of a piece at places that a person has marked.

A part of an edge keeps the number of the edge and gets a letter: edge 3, cut once, is
3a and 3b. So a mark that is added does not change the number of any other edge.
"""

import string
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby, pairwise
from typing import Final

import numpy as np

from edgefinder.geometry.bends import sharpest_bends
from edgefinder.geometry.digitised_bends import smoothed_bends
from edgefinder.geometry.headings import (
    end_headings,
    joint_turnings,
    jumps,
    start_headings,
    turnings,
)
from edgefinder.geometry.measured import measure_all, subpath
from edgefinder.geometry.path import Path
from edgefinder.geometry.profile import HeadingProfile
from edgefinder.geometry.profile_edits import stretch
from edgefinder.pattern.on_outline import EdgePlace, along_ring, ring_length
from edgefinder.pattern.pieces import Digitised, DrawnMarks, Edge, Piece

SNAP_MM: Final = 0.5
"""A mark this near to a corner, or to another mark, is that one: nearer than anybody
draws two marks. Larger: marks that a person tells apart fall together; smaller: slivers
of edges where a mark was meant to lie on a corner."""

_CUT: Final = "|"
"""Stands for the letter of a part that begins at a mark, until letters are given."""


@dataclass(frozen=True, slots=True, eq=False)
class Split:
    """A piece cut at marks.

    Parameters
    ----------
    piece : Piece
        Its edges numbered anew, labelled as parts of the old ones.
    whole : Piece
        As it was.
    begins : tuple of EdgePlace
        Where edge n of the new piece begins on the old one, at n - 1.
    """

    piece: Piece
    whole: Piece
    begins: tuple[EdgePlace, ...]

    def edges_between(self, first: EdgePlace, last: EdgePlace) -> tuple[int, ...]:
        """Return the edges from one place of the old piece to another.

        Along the outline, the fabric on the left, in that order; once round if the
        two places are one. Only edges of the outline of the first place.
        """
        ring = self.whole.edges[first.number - 1].ring
        own = [edge for edge in self.piece.edges if edge.ring == ring]
        length = ring_length(own)
        begin = along_ring(self.whole, first)
        reach = (along_ring(self.whole, last) - begin) % length or length
        found = []
        for edge in own:
            middle = along_ring(self.whole, self.begins[edge.number - 1])
            ahead = (middle + edge.length / 2 - begin) % length
            if ahead < reach:
                found.append((ahead, edge.number))
        return tuple(number for _, number in sorted(found))


def split_at(piece: Piece, places: Sequence[EdgePlace]) -> Split:
    """Cut edges at places along them.

    Parameters
    ----------
    piece : Piece
    places : sequence of EdgePlace
        In any order. Those within `SNAP_MM` of an end of an edge that has one, or of
        the place before, cut nothing.

    Returns
    -------
    Split
    """
    cuts = _cuts(piece, places)
    parts: list[Edge] = []
    begins: list[EdgePlace] = []
    for edge in piece.edges:
        own = cuts.get(edge.number, [])
        parts += _parts(edge, own) if own else [edge]
        first = [] if edge.path.path.closed and own else [0.0]
        begins += [EdgePlace(edge.number, s) for s in (*first, *own)]
    if not cuts:
        return Split(piece, piece, tuple(begins))
    numbered = [
        replace(edge, number=n, numbers=edge.known_as)
        for n, edge in enumerate(parts, start=1)
    ]
    cut = replace(piece, edges=_lettered(numbered), marks=_marks_of(piece, parts))
    return Split(cut, piece, tuple(begins))


def _cuts(piece: Piece, places: Sequence[EdgePlace]) -> Mapping[int, list[float]]:
    by_edge: defaultdict[int, list[float]] = defaultdict(list)
    for place in sorted(places):
        edge = piece.edges[place.number - 1]
        own = by_edge[place.number]
        if own and place.s - own[-1] <= SNAP_MM:
            continue
        is_loop = edge.path.path.closed
        if is_loop and own and own[0] + edge.length - place.s <= SNAP_MM:
            continue
        if is_loop or SNAP_MM < place.s < edge.length - SNAP_MM:
            own.append(place.s)
    return {number: own for number, own in by_edge.items() if own}


@dataclass(frozen=True, slots=True, eq=False)
class _Cut:
    """One part of an edge, before it is measured."""

    path: Path
    begin: float
    end: float


def _parts(edge: Edge, cuts: Sequence[float]) -> list[Edge]:
    is_loop = edge.path.path.closed
    ends = [*cuts, cuts[0] + edge.length] if is_loop else [0.0, *cuts, edge.length]
    pieces = [_Cut(subpath(edge.path, a, b), a, b) for a, b in pairwise(ends)]
    if is_loop and len(pieces) == 1:  # still a loop, begun elsewhere
        pieces = [replace(pieces[0], path=replace(pieces[0].path, closed=True))]
    measured = measure_all([one.path for one in pieces])
    digitised = [_digitised(edge, one) for one in pieces]
    if edge.digitised is None:
        bends = sharpest_bends(measured)
    else:
        bends = tuple(smoothed_bends(d.profile) for d in digitised if d is not None)
    joints = [_joint(a.path, b.path) for a, b in pairwise(pieces)]
    around = _joint(pieces[-1].path, pieces[0].path) if is_loop else 0.0
    before = [around if is_loop else edge.corner_before, *joints]
    after = [*joints, around if is_loop else edge.corner_after]
    return [
        replace(
            edge,
            path=path,
            turning=_turning(path.path),
            corner_before=before[i],
            corner_after=after[i],
            bends=bends[i],
            digitised=digitised[i],
            part=_CUT if i else edge.part,
        )
        for i, path in enumerate(measured)
    ]


def _joint(before: Path, after: Path) -> float:
    """Return the turn where two parts meet: a mark may lie on a small kink."""
    end = end_headings(before.segments.take([-1]))
    start = start_headings(after.segments.take([0]))
    return float(jumps(end, start)[0])


def _turning(path: Path) -> float:
    return float(turnings(path.segments).sum() + joint_turnings(path).sum())


def _digitised(edge: Edge, cut: _Cut) -> Digitised | None:
    if edge.digitised is None:
        return None
    whole = edge.digitised
    share = (cut.end - cut.begin) / edge.length
    profile = _twice_round(whole.profile) if whole.profile.closed else whole.profile
    profile = stretch(profile, cut.begin, cut.end)
    if cut.path.closed:
        profile = replace(profile, closed=True)
    return Digitised(profile, whole.drawn_length * share)


def _twice_round(profile: HeadingProfile) -> HeadingProfile:
    """Lay a loop out twice, so that a stretch of it may run over its start."""
    return HeadingProfile(
        np.concatenate([profile.s, profile.s + profile.length]),
        np.concatenate([profile.heading, profile.heading + profile.winding]),
        closed=False,
        length=2 * profile.length,
    )


def _lettered(edges: Sequence[Edge]) -> tuple[Edge, ...]:
    """Give letters to the parts of edges of one label, one more at every mark.

    A corner that only this size has is no mark: the edges on both sides of it share
    a letter, as they do a number.
    """
    found: list[Edge] = []
    for _, group in groupby(edges, key=lambda edge: (edge.ring, edge.known_as)):
        same = list(group)
        at, letters, before = 0, [], same[0].part
        for edge in same:
            if edge.part == _CUT:
                at += 1
            elif edge.part != before:  # cut there when it was cut before
                at, before = at + 1, edge.part
            letters.append(at)
        found += [
            replace(edge, part=_letters(letter) if at else "")
            for edge, letter in zip(same, letters, strict=True)
        ]
    return tuple(found)


def _letters(at: int) -> str:
    """Return a, b, ..., z, ba, bb, ... for 0, 1, ..., 25, 26, 27, ..."""
    more, last = divmod(at, len(string.ascii_lowercase))
    return (_letters(more) if more else "") + string.ascii_lowercase[last]


def _marks_of(piece: Piece, parts: Sequence[Edge]) -> DrawnMarks | None:
    """Let what the drawing says of edges hold for their parts."""
    marks = piece.marks
    if marks is None:
        return None
    from_edges = [edge.number for edge in parts]
    allowances = marks.allowances
    return replace(
        marks,
        fold_edge=None
        if marks.fold_edge is None
        else from_edges.index(marks.fold_edge) + 1,
        allowances=allowances and tuple(allowances[n - 1] for n in from_edges),
    )
