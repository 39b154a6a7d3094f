"""From the drawn lines of one file to the closed outlines of its pieces."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray

from edgefinder.constants import SMALLEST_PIECE_MM
from edgefinder.errors import BrokenOutline, DrawingError
from edgefinder.findings import Finding, counted, note
from edgefinder.geometry.arclength import lengths
from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import concatenate
from edgefinder.importers.chaining import Branch, say_branch
from edgefinder.importers.drawing import Drawing, DrawnLine
from edgefinder.pattern.beside_outlines import is_no_outline
from edgefinder.pattern.branches import needed_branches
from edgefinder.pattern.closing import Closed, close_lines, ends_of, reverse_ring
from edgefinder.pattern.doubles import crossing_findings, without_doubled
from edgefinder.pattern.edges import Ring
from edgefinder.pattern.flat_rings import FlatRings, flat_rings
from edgefinder.pattern.likely_units import is_likely, say_units
from edgefinder.pattern.naming import size_of
from edgefinder.pattern.nesting import Role, nest
from edgefinder.pattern.on_outline import ON_THE_OUTLINE_MM
from edgefinder.pattern.selectors import matches_any
from edgefinder.pattern.settings import FindingSettings, SizeSource
from edgefinder.pattern.sewing_names import CALLED_SEWING
from edgefinder.pattern.square import is_test_square
from edgefinder.pattern.texts import texts_within

NEARLY_CLOSED: Final = 0.1
"""An open line whose gap is a smaller part of its length was meant to be closed:
a straight mark has a gap as long as itself, a neckline alone more than half."""

MOST_BRANCHES: Final = 10
"""Places named one by one; doubled outlines have one at every corner."""


@dataclass(frozen=True, slots=True, eq=False)
class PieceOutline:
    """The outer outline of a piece, its cut-outs and the texts within.

    Parameters
    ----------
    outer : Ring
    cutouts : tuple of Ring
    texts : tuple of str
        In drawing order.
    sewing : tuple of Path
        Closed lines close inside the outer outline.
    """

    outer: Ring
    cutouts: tuple[Ring, ...]
    texts: tuple[str, ...] = ()
    sewing: tuple[Path, ...] = ()

    @property
    def line(self) -> DrawnLine:
        """The drawn line that names the piece."""
        return self.outer.sources[0]


def find_outlines(
    drawing: Drawing, settings: FindingSettings, *, apart: Sequence[DrawnLine] = ()
) -> tuple[tuple[PieceOutline, ...], tuple[Finding, ...]]:
    """Find the outlines of pieces among the drawn lines of a file.

    Parameters
    ----------
    drawing : Drawing
    settings : FindingSettings
        Without ``cut_lines`` every closed line is looked at; one that runs close
        inside another is taken for its sewing line.
    apart : sequence of DrawnLine
        Lines that are no outlines: the test square.

    Returns
    -------
    tuple of PieceOutline, tuple of Finding
        Outer outlines run anticlockwise, cut-outs clockwise.

    Raises
    ------
    BrokenOutline
        If an outline is open or branches, with the place; or if there is none.
    DrawingError
        If the scale cannot be right.
    """
    closed = close_lines(
        _chosen(drawing, settings, apart),
        lambda line: size_of(line, drawing, settings),
        tolerance=settings.join_tolerance,
        across_layers=settings.sizes is not SizeSource.LAYER,
    )
    flat = flat_rings(closed.rings)
    _refuse_open(drawing, closed, flat, settings)
    findings = [*closed.findings]
    is_large = _of_likely_size(drawing, flat)
    small = int((~is_large).sum())
    if small:
        are = "is taken for a mark" if small == 1 else "are taken for marks"
        message = f"{counted(small, 'closed line')} under 2 cm across {are}"
        findings.append(note("small-line", drawing.name, message))
    flat = flat.take(is_large)
    sizes = [_size(ring, drawing, settings) for ring in flat.rings]
    stays, doubled = without_doubled(flat, sizes, settings.join_tolerance)
    flat = flat.take(stays)
    sizes = [size for size, is_kept in zip(sizes, stays, strict=True) if is_kept]
    nested = nest(flat, sizes, settings)
    texts = texts_within(flat, nested, sizes, drawing, settings)
    sewing: defaultdict[int | None, list[Path]] = defaultdict(list)
    for ring, role, owner in zip(flat.rings, nested.roles, nested.owners, strict=True):
        if role is Role.SEWING:
            sewing[owner].append(ring.path)
    outlines = tuple(
        PieceOutline(
            flat.rings[i],
            tuple(reverse_ring(flat.rings[j]) for j in nested.cutouts[i]),
            texts[i],
            tuple(sewing[i]),
        )
        for i, role in enumerate(nested.roles)
        if role is Role.PIECE
    )
    if not outlines:
        message = "the cutouts of the job file choose every closed line"
        raise BrokenOutline(f"{drawing.name}: has no outline of a piece: {message}")
    return outlines, (
        *findings,
        *doubled,
        *crossing_findings(flat),
        *nested.findings,
    )


def _chosen(
    drawing: Drawing, settings: FindingSettings, apart: Sequence[DrawnLine]
) -> list[DrawnLine]:
    no_outline = set(map(id, apart))
    lines = [
        line
        for line in drawing.lines
        if id(line) not in no_outline
        and not matches_any(line, settings.ignore)
        and not is_test_square(line)
        and not is_no_outline(line, settings)
        and not matches_any(line, settings.sewing_lines)
    ]
    if not settings.cut_lines:
        return lines
    wanted = (*settings.cut_lines, *settings.cutouts)
    return [line for line in lines if matches_any(line, wanted)]


def _size(ring: Ring, drawing: Drawing, settings: FindingSettings) -> str | None:
    sizes = {size_of(line, drawing, settings) for line in ring.sources} - {None}
    return sizes.pop() if len(sizes) == 1 else None


def _refuse_open(
    drawing: Drawing, closed: Closed, flat: FlatRings, settings: FindingSettings
) -> None:
    branches = needed_branches(closed, flat.polygons, settings.join_tolerance)
    branching = {id(line) for branch in branches for line in branch.lines}
    openness = _openness(closed.leftover)
    meant = [
        line
        for line, gap in zip(closed.leftover, openness, strict=True)
        if id(line) not in branching and (settings.cut_lines or gap < NEARLY_CLOSED)
    ]
    if not closed.rings and not meant and not branches and openness:
        meant = [closed.leftover[int(np.argmin(openness))]]
    if not settings.cut_lines:
        meant = [x for x in meant if not _is_sewing_line(x, drawing, flat, settings)]
    if meant or branches:
        raise BrokenOutline(*_branch_messages(branches), *map(_open_message, meant))
    if not closed.rings:
        chosen = (
            "; the cut_lines of the job file choose none of its lines"
            if settings.cut_lines and drawing.lines
            else "; draw each piece as one closed line"
        )
        raise BrokenOutline(f"{drawing.name}: has no closed outline{chosen}")


def _is_sewing_line(
    line: DrawnLine, drawing: Drawing, flat: FlatRings, settings: FindingSettings
) -> bool:
    """Whether a line that is called so ends on an outline of its own size.

    That of a narrow half is nearly closed.
    """
    if not matches_any(line, CALLED_SEWING):
        return False
    said = size_of(line, drawing, settings) or ""
    ends = shapely.points([[p.real, p.imag] for p in (line.path.start, line.path.end)])
    apart = [shapely.distance(shapely.boundary(flat.polygons), end) for end in ends]
    on = np.flatnonzero(np.max(apart, axis=0) <= ON_THE_OUTLINE_MM)
    sizes = [_size(flat.rings[i], drawing, settings) for i in on.tolist()]
    return any(not said or f"{said} ".startswith(f"{size or ''} ") for size in sizes)


def _openness(lines: Sequence[DrawnLine]) -> list[float]:
    """Return the gaps of lines as shares of their lengths."""
    if not lines:
        return []
    ends = ends_of(lines)
    gaps = np.abs(ends[:, 1] - ends[:, 0])
    counts = np.array([len(line.path.segments) for line in lines])
    every = lengths(concatenate([line.path.segments for line in lines]))
    long = np.add.reduceat(every, np.cumsum(counts) - counts)
    share = np.where(long > 0, gaps / np.where(long > 0, long, 1.0), 1.0)
    openness: list[float] = share.tolist()
    return openness


def _open_message(line: DrawnLine) -> str:
    end, start = line.say_place(line.path.end), line.say_place(line.path.start)
    name = line.label or line.id or line.kind
    return (
        f'{line.where}: outline "{name}" is open: {line.path.gap:.2f} mm between its '
        f"end at {end} and its start at {start}; join the ends"
    )


def _branch_messages(branches: Sequence[Branch]) -> list[str]:
    messages = [
        f"{branch.lines[0].where}: no outline can be made of these lines: "
        f"{say_branch(branch)}"
        for branch in branches[:MOST_BRANCHES]
    ]
    more = len(branches) - MOST_BRANCHES
    if more > 0:
        where = branches[MOST_BRANCHES].lines[0].where
        messages.append(f"{where}: {counted(more, 'more place')} like this")
    return messages


def _of_likely_size(drawing: Drawing, flat: FlatRings) -> NDArray[np.bool_]:
    """Say which outlines are large enough for a piece."""
    extents = flat.extents
    first = int(np.argmax(extents))
    largest = float(extents[first])
    if not is_likely(largest):
        too = "under 2 cm" if largest < SMALLEST_PIECE_MM else "over 3 m"
        line = flat.rings[first].sources[0]
        raise DrawingError(
            f"{line.where}: the largest outline is {largest:.1f} mm across, {too}: the "
            f"scale cannot be right ({drawing.unit_mm:g} mm per drawing unit); "
            f"{say_units(largest, drawing.unit_mm)}"
        )
    is_large: NDArray[np.bool_] = extents >= SMALLEST_PIECE_MM
    return is_large
