"""Loose lines whose ends meet, joined into closed outlines.

Ends nearer than `SAME_POINT_MM` are one point already. Ends within the tolerance are
brought together: the end of the longer of the two segments is moved onto the other,
which turns it least; a cubic moves its handle with its end, an arc is turned and scaled
about its other end and stays a conic. Where both segments are short against the gap
(an arc that is nearly a full circle has a short chord too), a straight segment bridges
the gap instead.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely

from edgefinder.findings import Finding, counted, note, warning
from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import (
    Complexes,
    Floats,
    Indices,
    Kind,
    Segments,
    concatenate,
    end_points,
    line_segments,
    points_at,
    reverse,
    start_points,
)
from edgefinder.importers.connected import connected, grouped_by
from edgefinder.importers.drawing import DrawnLine

SAME_POINT_MM: Final = 1e-6
"""Ends nearer than this differ by rounding only: six decimals of a millimetre are more
than drawing programs write. Larger: small steps melt. Smaller: arcs whose ends were
computed from angles fall apart."""

LEAST_RATIO: Final = 10.0
"""A segment at least this many times longer than the gap is moved: its direction
changes by less than 6 degrees, far below a corner. Smaller: false corners."""

GAP_TOLD_MM: Final = 0.02
"""Gaps that are no wider are closed without a word: two ends that a drawing program
rounds to a hundredth of a millimetre are up to 0.014 mm apart."""

MOST_PLACES: Final = 10
"""Branches named one by one; doubled outlines have one at every corner."""

NO_PARTNER: Final = -1


@dataclass(frozen=True, slots=True, eq=False)
class Outline:
    """A closed outline and the drawn lines that it was joined from.

    Parameters
    ----------
    path : Path
        Closed; runs as its first source was drawn.
    sources : tuple of DrawnLine
        In the order of the walk, from the one that was drawn first.
    source_of_segment : ndarray of intp, shape (n,)
        For every segment of the path its place in ``sources``; a bridge belongs to
        the line before it.
    """

    path: Path
    sources: tuple[DrawnLine, ...]
    source_of_segment: Indices


@dataclass(frozen=True, slots=True, eq=False)
class Branch:
    """A place where more than two line ends come together.

    Parameters
    ----------
    place : complex
        Middle of the ends, in millimetres.
    lines : tuple of DrawnLine
        One for each end, in drawing order.
    """

    place: complex
    lines: tuple[DrawnLine, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Chained:
    """What became of loose lines.

    Parameters
    ----------
    outlines : tuple of Outline
        In the drawing order of their first sources.
    leftover : tuple of DrawnLine
        Lines that close nothing, as they were drawn.
    findings : tuple of Finding
    branches : tuple of Branch
        All of them; the findings tell the first few. Where an outline is needed, a
        branch among its lines is an error, and `say_branch` words it.
    """

    outlines: tuple[Outline, ...]
    leftover: tuple[DrawnLine, ...]
    findings: tuple[Finding, ...]
    branches: tuple[Branch, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class _Ends:
    """The two ends of every line, end 2 i the start and 2 i + 1 the end of line i."""

    points: Complexes
    partner: Indices
    branches: tuple[Indices, ...]


def chain_lines(lines: Sequence[DrawnLine], *, tolerance: float) -> Chained:
    """Join open lines of the same layer whose ends meet into closed outlines.

    Parameters
    ----------
    lines : sequence of DrawnLine
        Closed ones become outlines of their own, unchanged.
    tolerance : float
        Largest gap between two ends that are joined, in millimetres.

    Returns
    -------
    Chained

    Notes
    -----
    An end is joined to the end nearest to it. Where three or more ends come together
    the way on is a guess, so those lines are left as they are, with a finding.
    """
    by_layer: defaultdict[str | None, list[int]] = defaultdict(list)
    for i, line in enumerate(lines):
        if not line.path.closed:
            by_layer[line.layer].append(i)
    found = [
        (i, Outline(line.path, (line,), np.zeros(len(line.path.segments), np.intp)))
        for i, line in enumerate(lines)
        if line.path.closed
    ]
    findings: list[Finding] = []
    branches: list[Branch] = []
    for chosen in by_layer.values():
        loose = [lines[i] for i in chosen]
        outlines, forks, remarks = _chain_layer(loose, tolerance)
        found += [(chosen[first], outline) for first, outline in outlines]
        branches += forks
        findings += [*_branch_findings(forks), *remarks]
    found.sort(key=lambda pair: pair[0])
    used = {id(source) for _, outline in found for source in outline.sources}
    return Chained(
        tuple(outline for _, outline in found),
        tuple(line for line in lines if id(line) not in used),
        tuple(findings),
        tuple(branches),
    )


def say_branch(branch: Branch) -> str:
    """Word a branch for people: how many ends, where, what to do."""
    return (
        f"{len(branch.lines)} line ends meet at "
        f"{branch.lines[0].say_place(branch.place)}; these lines are not joined there: "
        "delete the doubled or extra line, or move it to another layer"
    )


def _chain_layer(
    lines: list[DrawnLine], tolerance: float
) -> tuple[list[tuple[int, Outline]], list[Branch], list[Finding]]:
    counts = np.array([len(line.path.segments) for line in lines])
    stops = np.cumsum(counts)
    table = concatenate([line.path.segments for line in lines])
    points = np.empty(2 * len(lines), dtype=np.complex128)
    points[0::2] = start_points(table.take(stops - counts))
    points[1::2] = end_points(table.take(stops - 1))
    ends = _meet(points, tolerance)
    branches = [
        Branch(complex(ends.points[group].mean()), tuple(lines[i // 2] for i in group))
        for group in ends.branches
    ]
    outlines, findings = [], []
    for walk in _closed_walks(ends.partner):
        members = [end // 2 for end in walk]
        rows = [np.arange(stops[i] - counts[i], stops[i]) for i in members]
        turned = [end % 2 == 1 for end in walk]
        path, owners, gaps = _join(table, rows, turned)
        if _extent(path.segments) <= tolerance:
            continue
        sources = tuple(lines[i] for i in members)
        outlines.append((members[0], Outline(path, sources, owners)))
        if max(gaps, default=0.0) > GAP_TOLD_MM:
            findings.append(
                note(
                    "gap-closed",
                    sources[0].where,
                    f"{counted(len(gaps), 'gap')} between line ends of its outline "
                    f"{'was' if len(gaps) == 1 else 'were'} closed"
                    f"{', the widest' if len(gaps) > 1 else ':'} {max(gaps):.3g} mm",
                )
            )
    return outlines, branches, findings


def _meet(points: Complexes, tolerance: float) -> _Ends:
    """Find for every end the one that it is joined to, and where several meet."""
    partner = np.full(len(points), NO_PARTNER, dtype=np.intp)
    branches: list[Indices] = []
    free: list[int] = []
    for group in _same_points(points):
        if len(group) == 1:
            free.append(group[0])
        else:
            _pair(group, partner, branches)
    for group in _near_points(points, free, tolerance):
        if len(group) > 1:
            _pair(group, partner, branches)
    return _Ends(points, partner, tuple(branches))


def _pair(group: list[int], partner: Indices, branches: list[Indices]) -> None:
    if len(group) == 2:
        one, other = group
        partner[one], partner[other] = other, one
    else:
        branches.append(np.array(group))


def _same_points(points: Complexes) -> list[list[int]]:
    """Group the ends that are one point up to rounding."""
    # Many ends on one spot would give a square of pairs: merge them on a fine grid
    # first, and let the tree see each grid point once.
    grid = SAME_POINT_MM / 10
    spots, spot_of = np.unique(np.round(points / grid), return_inverse=True)
    geometries = shapely.points(spots.real * grid, spots.imag * grid)
    one, other = shapely.STRtree(geometries).query(
        geometries, predicate="dwithin", distance=SAME_POINT_MM
    )
    spot_group = connected(len(spots), one, other)
    return grouped_by(np.arange(len(points)), spot_group[spot_of])


def _near_points(
    points: Complexes, free: list[int], tolerance: float
) -> list[list[int]]:
    """Group the free ends with the free end nearest to each, within the tolerance."""
    if not free:
        return []
    ends = np.array(free)
    geometries = shapely.points(points[ends].real, points[ends].imag)
    one, other = shapely.STRtree(geometries).query_nearest(
        geometries, max_distance=tolerance, exclusive=True
    )
    return grouped_by(ends, connected(len(ends), one, other))


def _branch_findings(branches: list[Branch]) -> Iterator[Finding]:
    for branch in branches[:MOST_PLACES]:
        yield warning("branching-lines", branch.lines[0].where, say_branch(branch))
    more = len(branches) - MOST_PLACES
    if more > 0:
        yield warning(
            "branching-lines",
            branches[MOST_PLACES].lines[0].where,
            f"{counted(more, 'more place')} where three or more line ends meet; lines "
            "drawn twice look like this",
        )


def _closed_walks(partner: Indices) -> Iterator[list[int]]:
    """Walk from line to line; yield the ends by which each closed walk enters."""
    follow = partner.tolist()
    seen = [False] * (len(follow) // 2)
    for first in range(len(seen)):
        walk: list[int] = []
        enter = 2 * first
        while enter != NO_PARTNER and not seen[enter // 2]:
            seen[enter // 2] = True
            walk.append(enter)
            enter = follow[enter ^ 1]
        if walk and enter == 2 * first:
            yield walk


def _join(
    table: Segments, rows: list[Indices], turned: list[bool]
) -> tuple[Path, Indices, list[float]]:
    """Put lines head to tail and close the gaps between them.

    Returns
    -------
    Path, owner of every segment, widths of the gaps that were closed
    """
    order = np.concatenate(
        [r[::-1] if back else r for r, back in zip(rows, turned, strict=True)]
    )
    counts = [len(r) for r in rows]
    owners = np.repeat(np.arange(len(rows)), counts)
    joined = table.take(order)
    control = joined.control.copy()
    back = np.flatnonzero(np.repeat(turned, counts))
    # `reverse` also reverses the order of rows, which stands already.
    control[back] = reverse(joined.take(back[::-1])).control
    joined = Segments(joined.kind, control)
    before = np.cumsum(counts) - 1
    after = (before + 1) % len(joined)
    gap = abs(end_points(joined.take(before)) - start_points(joined.take(after)))
    wide = gap > SAME_POINT_MM
    if wide.any():
        joined, bridges = _close_gaps(joined, before[wide], after[wide])
        owners = np.insert(owners, bridges + 1, owners[bridges])
    return Path(joined, closed=True), owners, gap[wide].tolist()


def _close_gaps(
    segments: Segments, before: Indices, after: Indices
) -> tuple[Segments, Indices]:
    """Move one end at each gap, or bridge it; return the rows that got a bridge."""
    heads = end_points(segments.take(before))
    tails = start_points(segments.take(after))
    size = _sizes(segments)
    longest = np.maximum(size[before], size[after])
    bridged = (before == after) | (longest < LEAST_RATIO * abs(heads - tails))
    ends = ~bridged & (size[before] > size[after])
    starts = ~bridged & ~ends
    moved = _move(segments, before[ends], tails[ends], at_end=True)
    moved = _move(moved, after[starts], heads[starts], at_end=False)
    rows = before[bridged]
    straight = line_segments(
        end_points(moved.take(rows)), start_points(moved.take(after[bridged]))
    )
    return (
        Segments(
            np.insert(moved.kind, rows + 1, straight.kind),
            np.insert(moved.control, rows + 1, straight.control, axis=0),
        ),
        rows,
    )


def _sizes(segments: Segments) -> Floats:
    """Chords, or for cubics the length of the control polygon."""
    size = np.abs(end_points(segments) - start_points(segments))
    cubic = segments.kind == Kind.CUBIC
    size[cubic] = np.abs(np.diff(segments.control[cubic], axis=1)).sum(axis=1)
    return size


def _move(
    segments: Segments, rows: Indices, to: Complexes, *, at_end: bool
) -> Segments:
    """Move one end of some rows to new points."""
    control = segments.control.copy()
    chosen = segments.take(rows)
    start, end = start_points(chosen), end_points(chosen)
    loose, fixed = (end, start) if at_end else (start, end)
    line, cubic, arc = (chosen.kind == kind for kind in Kind)
    control[rows[line], int(at_end)] = to[line]
    handle = 2 if at_end else 0
    step = (to - loose)[cubic, np.newaxis]
    control[rows[cubic], handle : handle + 2] += step
    # The similarity about the fixed end that takes the loose end to its place.
    factor = (to[arc] - fixed[arc]) / (loose[arc] - fixed[arc])
    control[rows[arc], 0] = fixed[arc] + (control[rows[arc], 0] - fixed[arc]) * factor
    control[rows[arc], 1:3] *= factor[:, np.newaxis]
    return Segments(segments.kind, control)


def _extent(segments: Segments) -> float:
    """Return the largest distance from the first point of a path, roughly."""
    middle = points_at(segments, np.full(len(segments), 0.5))
    points = np.concatenate([start_points(segments), middle])
    return float(abs(points - points[0]).max())
