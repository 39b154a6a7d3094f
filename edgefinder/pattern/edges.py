"""Corners, edges and their numbers.

A corner is a jump of the tangent of 30 degrees or more (settable). Edges are
numbered along the outline with the fabric on the left, from the corner nearest to
the lower left corner of the outline's bounding box. Neither depends on where the
drawing program began the path or which way it ran, so that the same shape gets the
same numbers after a re-export. An outline without a corner is one edge, which
begins at its furthest point to the lower left.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import islice

import numpy as np
from numpy.typing import NDArray

from edgefinder.geometry.bends import Bends, sharpest_bends
from edgefinder.geometry.digitised_bends import smoothed_bends
from edgefinder.geometry.headings import turnings
from edgefinder.geometry.measured import MeasuredPath, measure_all
from edgefinder.geometry.path import Path
from edgefinder.geometry.profile import heading_profiles
from edgefinder.geometry.segments import Floats, Indices, Segments
from edgefinder.geometry.several import Several, joint_turnings_of_all, put_together
from edgefinder.importers.drawing import DrawnLine
from edgefinder.pattern.pieces import Digitised, Edge

FLAT_TOLERANCE_MM = 0.05
"""Chord error of the polylines used for sizes and nesting, never for a length: far
below what decides either."""

Flags = NDArray[np.bool_]

DIGITISED_CORNER_SHARE = 2 / 3
"""On a digitised outline a corner is read from noisy points, and the curves between are
smooth: two thirds of the angle (20 degrees for 30) tell them apart, so that no drafted
corner is missed. Larger: noise hides corners."""


@dataclass(frozen=True, slots=True, eq=False)
class Ring:
    """A closed outline and the drawn lines that its segments came from.

    Parameters
    ----------
    path : Path
        Closed, the fabric on its left.
    sources : tuple of DrawnLine
    source_of_segment : ndarray of int, shape (n,)
        Index into ``sources`` for every segment.
    smoothing : Smoothing or None
        None unless the path is the smoothed line of a digitised one.
    marked : ndarray of bool, shape (n,), or None
        Whether a segment begins at a corner, where the drawing itself says so; its
        marks win over the angle. None: corners are found by angle.
    """

    path: Path
    sources: tuple[DrawnLine, ...]
    source_of_segment: Indices
    smoothing: "Smoothing | None" = None
    marked: Flags | None = None

    @property
    def headed(self) -> Path:
        """The path whose tangents are the headings of this one."""
        if self.smoothing is None:
            return self.path
        return Path(self.smoothing.tangents, closed=True)


@dataclass(frozen=True, slots=True, eq=False)
class Smoothing:
    """What goes with the segments of a smoothed outline, row by row.

    Parameters
    ----------
    tangents : Segments, n rows
        The headings of each segment are those of its row, at the same parameter.
    drawn : ndarray, shape (n,)
        Length of the drawn line that each stands for, in millimetres.
    """

    tangents: Segments
    drawn: Floats

    def take(self, rows: Indices | slice) -> "Smoothing":
        """Return the rows named."""
        return Smoothing(self.tangents.take(rows), self.drawn[rows])


def cut_into_edges(
    pieces: Sequence[Sequence[Ring]], corner_angle: float
) -> tuple[tuple[Edge, ...], ...]:
    """Cut the outlines of pieces at their corners.

    Parameters
    ----------
    pieces : sequence of sequence of Ring
        For each piece its outer outline and its cut-outs, each begun at its first
        corner. Those of all pieces are measured together.
    corner_angle : float
        Radians.

    Returns
    -------
    tuple of tuple of Edge
        The edges of each piece, numbered from 1, cut-outs after the outer outline.
    """
    counts = [len(rings) for rings in pieces]
    each = iter(
        _stretches(
            [ring for rings in pieces for ring in rings],
            [index for count in counts for index in range(count)],
            corner_angle,
        )
    )
    stretches = [
        [stretch for own in islice(each, count) for stretch in own] for count in counts
    ]
    flat = [one for several in stretches for one in several]
    measured = measure_all([one.path for one in flat])
    digitised = _digitised(flat, measured)
    exact = iter(
        sharpest_bends([path for i, path in enumerate(measured) if i not in digitised])
    )
    bends = [
        smoothed_bends(digitised[i].profile) if i in digitised else next(exact)
        for i in range(len(flat))
    ]
    every = iter(enumerate(zip(flat, measured, bends, strict=True)))
    return tuple(
        tuple(
            _edge(stretch, number, path, bend, digitised.get(i))
            for number, (i, (stretch, path, bend)) in enumerate(
                islice(every, len(several)), start=1
            )
        )
        for several in stretches
    )


def _digitised(
    stretches: Sequence["_Stretch"], measured: Sequence[MeasuredPath]
) -> dict[int, Digitised]:
    """Return what the smoothed ones were, by index."""
    rows = [
        (i, stretch.smoothing)
        for i, stretch in enumerate(stretches)
        if stretch.smoothing is not None
    ]
    profiles = heading_profiles(
        [measured[i] for i, _ in rows], [one.tangents for _, one in rows]
    )
    return {
        i: Digitised(profile, float(one.drawn.sum()))
        for (i, one), profile in zip(rows, profiles, strict=True)
    }


@dataclass(frozen=True, slots=True, eq=False)
class _Stretch:
    """An edge before it is measured and numbered."""

    ring: int
    path: Path
    turning: float
    corner_before: float
    corner_after: float
    sources: tuple[DrawnLine, ...]
    smoothing: Smoothing | None


def _stretches(
    rings: Sequence[Ring], indices: Sequence[int], corner_angle: float
) -> list[list[_Stretch]]:
    """Cut every ring at its corners; its index is that on its own piece."""
    headed = put_together([ring.headed for ring in rings])
    joints = joint_turnings_of_all(headed)  # joint i lies after segment i
    turned = turnings(headed.segments)
    begins = corners_of_all(rings, headed, joints, corner_angle)
    bounds = headed.bounds.tolist()
    cut = np.searchsorted(begins, bounds).tolist()
    stretches = []
    for ring, index, first, stop, low, high in zip(
        rings, indices, bounds[:-1], bounds[1:], cut[:-1], cut[1:], strict=True
    ):
        own = slice(first, stop)
        corners = (begins[low:high] - first).tolist()
        stretches.append(_cut_ring(ring, index, corners, turned[own], joints[own]))
    return stretches


def _cut_ring(
    ring: Ring, index: int, corners: list[int], turned: Floats, joints: Floats
) -> list[_Stretch]:
    if not corners:
        total = float(turned.sum() + joints.sum())
        whole = ring.sources, ring.smoothing
        return [_Stretch(index, ring.path, total, 0.0, 0.0, *whole)]
    ends = [*corners[1:], len(ring.path.segments)]
    return [
        _Stretch(
            ring=index,
            path=Path(ring.path.segments.take(slice(a, b)), closed=False),
            turning=_turning(turned, joints, a, b),
            corner_before=float(joints[a - 1]),
            corner_after=float(joints[b - 1]),
            sources=_sources(ring, a, b),
            smoothing=ring.smoothing and ring.smoothing.take(slice(a, b)),
        )
        for a, b in zip(corners, ends, strict=True)
    ]


def _turning(turned: Floats, joints: Floats, first: int, stop: int) -> float:
    """Add up what some segments turn, and the joints between them."""
    if stop - first == 1:  # as most edges are
        return float(turned[first])
    return float(turned[first:stop].sum() + joints[first : stop - 1].sum())


def _edge(
    stretch: _Stretch,
    number: int,
    path: MeasuredPath,
    bends: Bends,
    digitised: Digitised | None,
) -> Edge:
    return Edge(
        number=number,
        ring=stretch.ring,
        path=path,
        turning=stretch.turning,
        corner_before=stretch.corner_before,
        corner_after=stretch.corner_after,
        bends=bends,
        sources=stretch.sources,
        digitised=digitised,
    )


def corners_of_all(
    rings: Sequence[Ring], headed: Several, joints: Floats, corner_angle: float
) -> Indices:
    """Find the segments that begin at a corner.

    Parameters
    ----------
    rings : sequence of Ring
    headed : Several
        Their headed paths.
    joints : ndarray, shape (n,)
        The turn after every segment, radians.
    corner_angle : float
        Radians.

    Returns
    -------
    ndarray of intp
        Rows of ``headed``, in rising order.
    """
    least = [
        corner_angle * (1.0 if ring.smoothing is None else DIGITISED_CORNER_SHARE)
        for ring in rings
    ]
    before = np.roll(joints, 1)  # the joint before each segment
    before[headed.firsts] = joints[headed.bounds[1:] - 1]
    is_corner = np.abs(before) >= np.repeat(least, headed.counts)
    for i, ring in enumerate(rings):
        if ring.marked is not None:
            is_corner[headed.bounds[i] : headed.bounds[i + 1]] = ring.marked
    return np.flatnonzero(is_corner)


def _sources(ring: Ring, first: int, last: int) -> tuple[DrawnLine, ...]:
    if len(ring.sources) == 1:
        return ring.sources
    named = dict.fromkeys(ring.source_of_segment[first:last].tolist())
    return tuple(ring.sources[i] for i in named)
