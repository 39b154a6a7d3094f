"""From drawn lines to closed outlines: what is closed, and what can be chained."""

from collections import defaultdict
from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from edgefinder.findings import Finding, counted, note, warning
from edgefinder.geometry.arclength import lengths
from edgefinder.geometry.flatten import flatten
from edgefinder.geometry.measured import signed_areas
from edgefinder.geometry.path import Path, reverse_path
from edgefinder.geometry.segments import (
    Complexes,
    concatenate,
    end_points,
    points_at,
    start_points,
)
from edgefinder.importers.chaining import Branch, Chained, chain_lines
from edgefinder.importers.drawing import DrawnLine
from edgefinder.pattern.edges import FLAT_TOLERANCE_MM, Ring

SizeOf = Callable[[DrawnLine], str | None]
"""Tells the size that a line belongs to; None where nothing says it."""

DOUBLED_MM: Final = 0.01
"""Open lines of one layer whose ends, middle and length are the same when rounded to
this are one line, drawn twice. Larger: fine detail goes. Smaller: copies that were
rounded to two decimals stay."""


@dataclass(frozen=True, slots=True, eq=False)
class Closed:
    """What became of drawn lines.

    Parameters
    ----------
    rings : tuple of Ring
        Anticlockwise.
    leftover : tuple of DrawnLine
        Open lines that close nothing.
    branches : tuple of Branch
        Places at which more than two of the leftover lines meet.
    findings : tuple of Finding
    """

    rings: tuple[Ring, ...]
    leftover: tuple[DrawnLine, ...]
    branches: tuple[Branch, ...]
    findings: tuple[Finding, ...]


def close_lines(
    lines: Sequence[DrawnLine],
    size_of: SizeOf,
    *,
    tolerance: float,
    across_layers: bool,
) -> Closed:
    """Close what is closed, chain what is loose, and orient it anticlockwise.

    Loose lines of one layer, group and size are chained first; then what is left of
    one size, across layers: bound edges may lie on a layer of their own.

    Parameters
    ----------
    lines : sequence of DrawnLine
    size_of : callable
        Lines of two sizes are never chained.
    tolerance : float
        Ends nearer than this are one point, in millimetres.
    across_layers : bool
        Whether lines of several layers may make one outline.

    Returns
    -------
    Closed
    """
    whole = [
        Ring(line.path, (line,), np.zeros(len(line.path.segments), dtype=np.intp))
        for line in lines
        if line.path.closed
    ]

    def together(line: DrawnLine) -> Hashable:
        return line.layer, line.groups, size_of(line)

    loose = [line for line in lines if not line.path.closed]
    loose, doubled = _without_doubled(loose, together)
    chained = _chain(_sorted(loose, together), tolerance)
    if across_layers:
        chained = _also_across_layers(chained, size_of, tolerance)
    rings: list[Ring] = []
    findings = [*doubled, *chained.findings]
    every = (*whole, *chained.rings)
    areas = signed_areas([ring.path for ring in every]).tolist()
    for ring, area in zip(every, areas, strict=True):
        if abs(area) > FLAT_TOLERANCE_MM or not _is_flat(ring.path):
            rings.append(reverse_ring(ring) if area < 0 else ring)
        else:
            message = "encloses no area; not a piece"
            findings.append(note("flat-line", ring.sources[0].where, message))
    return replace(chained, rings=tuple(rings), findings=tuple(findings))


def reverse_ring(ring: Ring) -> Ring:
    """Run the same outline the other way."""
    return Ring(reverse_path(ring.path), ring.sources, ring.source_of_segment[::-1])


def ends_of(lines: Sequence[DrawnLine]) -> Complexes:
    """Return the first and the last point of each line, shape (n, 2)."""
    if not lines:
        return np.zeros((0, 2), dtype=np.complex128)
    table = concatenate([line.path.segments for line in lines])
    stop = np.cumsum([len(line.path.segments) for line in lines])
    first = np.append(0, stop[:-1])
    ends = (start_points(table.take(first)), end_points(table.take(stop - 1)))
    return np.stack(ends, axis=1)


def _is_flat(path: Path) -> bool:
    """Whether all of a path lies on a straight line; a figure eight has no area too."""
    vertices = flatten(path, FLAT_TOLERANCE_MM)
    offsets = vertices - vertices.mean()
    across = np.linalg.svd([offsets.real, offsets.imag], compute_uv=False)[1:]
    return bool(np.all(across <= FLAT_TOLERANCE_MM * np.sqrt(len(vertices))))


def _sorted(
    lines: Sequence[DrawnLine], key: Callable[[DrawnLine], Hashable]
) -> list[list[DrawnLine]]:
    groups: defaultdict[Hashable, list[DrawnLine]] = defaultdict(list)
    for line in lines:
        groups[key(line)].append(line)
    return list(groups.values())


def _chain(groups: Sequence[Sequence[DrawnLine]], tolerance: float) -> Closed:
    every = [chain_lines(lines, tolerance=tolerance) for lines in groups]
    return Closed(
        tuple(ring for chained in every for ring in _rings(chained)),
        tuple(line for chained in every for line in chained.leftover),
        tuple(branch for chained in every for branch in chained.branches),
        tuple(finding for chained in every for finding in chained.findings),
    )


def _rings(chained: Chained) -> list[Ring]:
    return [
        Ring(one.path, one.sources, one.source_of_segment) for one in chained.outlines
    ]


def _also_across_layers(closed: Closed, size_of: SizeOf, tolerance: float) -> Closed:
    """Chain what closes nothing in its own layer."""
    sizes = {size_of(line) for line in closed.leftover}
    # One line of each size may end at a point that all sizes share: keep them apart.
    several = len(sizes - {None}) > 1
    # A line without its layer may be joined to any other.
    own = {id(bare): (bare, one) for one in closed.leftover for bare in [_bare(one)]}
    across = _chain(
        _sorted(
            [bare for bare, _ in own.values()],
            lambda bare: size_of(own[id(bare)][1]) if several else None,
        ),
        tolerance,
    )

    def drawn(lines: Sequence[DrawnLine]) -> tuple[DrawnLine, ...]:
        return tuple(own[id(line)][1] for line in lines)

    # What branched in a layer branches across layers too, and is said once.
    before = [f for f in closed.findings if f.code != "branching-lines"]
    return Closed(
        (*closed.rings, *(replace(r, sources=drawn(r.sources)) for r in across.rings)),
        drawn(across.leftover),
        tuple(replace(b, lines=drawn(b.lines)) for b in across.branches),
        (*before, *across.findings),
    )


def _bare(line: DrawnLine) -> DrawnLine:
    return replace(line, layer=None)


def _without_doubled(
    lines: Sequence[DrawnLine], together: Callable[[DrawnLine], Hashable]
) -> tuple[list[DrawnLine], list[Finding]]:
    """Leave out open lines that repeat another one with which they belong together."""
    if len(lines) < 2:
        return list(lines), []
    table = concatenate([line.path.segments for line in lines])
    counts = np.array([len(line.path.segments) for line in lines])
    first = np.cumsum(counts) - counts
    middles = points_at(table, np.full(len(table), 0.5))
    middle = np.add.reduceat(middles, first) / counts
    long = np.add.reduceat(lengths(table), first)
    ends = np.sort(ends_of(lines), axis=1)
    points = (ends[:, 0], ends[:, 1], middle)
    marks = np.stack([*np.real(points), *np.imag(points), long], axis=1)
    cells = np.round(marks / DOUBLED_MM).astype(np.int64)
    seen: set[Hashable] = set()
    kept: list[DrawnLine] = []
    again: list[DrawnLine] = []
    for line, cell in zip(lines, map(tuple, cells.tolist()), strict=True):
        key = (together(line), cell)
        (again if key in seen else kept).append(line)
        seen.add(key)
    if not again:
        return kept, []
    are = "is drawn twice; it" if len(again) == 1 else "are drawn twice; each"
    message = f"{counted(len(again), 'open line')} {are} was taken once"
    return kept, [warning("drawn-twice", again[0].where, message)]
