"""Closed outlines from the lines of one layer, as exchanged files draw them.

Boundaries come closed, open with the first point repeated, open without it, split in
several lines, or drawn twice.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from edgefinder.errors import BrokenOutline
from edgefinder.findings import Finding, counted, note, warning
from edgefinder.geometry.measured import signed_area
from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import Complexes, line_segments, reverse
from edgefinder.importers.chaining import Chained, chain_lines
from edgefinder.importers.drawing import DrawnLine

WIDER_MM: Final = (1.0, 5.0)
"""Gaps that are closed, with a warning, where the lines of a boundary do not meet
within the usual tolerance. Wider: other lines are drawn in."""

SAME_MM: Final = 1e-3
"""Lines whose points agree to this are drawn twice."""

SMALLEST_AREA_MM2: Final = 1.0
"""What encloses less is no outline: a notch or a line drawn there and back."""


@dataclass(frozen=True, slots=True, eq=False)
class ClosedLine:
    """A closed path and the first of the lines that it was joined from."""

    path: Path
    source: DrawnLine


def closed_lines(
    lines: Sequence[DrawnLine], tolerance: float, where: str
) -> tuple[tuple[ClosedLine, ...], tuple[DrawnLine, ...], tuple[Finding, ...]]:
    """Join the lines of one layer of a piece into closed lines.

    Parameters
    ----------
    lines : sequence of DrawnLine
    tolerance : float
        Largest gap that is closed without a word, in millimetres.
    where : str
        File and block, for findings.

    Returns
    -------
    tuple of ClosedLine
        The largest first.
    tuple of DrawnLine
        Lines that close nothing.
    tuple of Finding
    """
    if not lines:
        return (), (), ()
    different = _without_copies(lines)
    findings: list[Finding] = []
    if len(different) < len(lines):
        count = len(lines) - len(different)
        are = "is" if count == 1 else "are"
        message = f"{counted(count, 'line')} {are} drawn twice"
        findings.append(note("doubled-line", where, message))
    chained = chain_lines(different, tolerance=tolerance)
    findings += [f for f in chained.findings if f.code == "gap-closed"]
    closed = _closed(chained)
    leftover = list(chained.leftover)
    if leftover:
        more, leftover, said = _close_more(leftover, tolerance, where)
        closed += more
        findings += said
    closed.sort(key=lambda line: -abs(signed_area(line.path)))
    return tuple(closed), tuple(leftover), tuple(findings)


def boundary_of(
    lines: Sequence[DrawnLine], tolerance: float, where: str
) -> tuple[ClosedLine, tuple[ClosedLine, ...], tuple[Finding, ...]]:
    """Find the boundary of a piece: the largest closed line of layer 1.

    Returns
    -------
    ClosedLine
    tuple of ClosedLine
        The others, which lie inside.
    tuple of Finding

    Raises
    ------
    BrokenOutline
        If the lines do not close.
    """
    closed, leftover, findings = closed_lines(lines, tolerance, where)
    if not closed:
        raise BrokenOutline(
            f"{where}: the boundary on layer 1 does not close; join its "
            f"{counted(len(leftover), 'line')} in the drawing"
        )
    if leftover:
        belong = "belongs" if len(leftover) == 1 else "belong"
        message = (
            f"{counted(len(leftover), 'line')} of layer 1 {belong} to no outline; left "
            "out"
        )
        findings = (*findings, warning("loose-boundary", where, message))
    return closed[0], closed[1:], findings


def _closed(chained: Chained) -> list[ClosedLine]:
    return [
        ClosedLine(outline.path, outline.sources[0])
        for outline in chained.outlines
        if abs(signed_area(outline.path)) > SMALLEST_AREA_MM2
    ]


def _close_more(
    lines: list[DrawnLine], tolerance: float, where: str
) -> tuple[list[ClosedLine], list[DrawnLine], list[Finding]]:
    """Close what is split with wide gaps, or left open between two ends."""
    wider = [gap for gap in WIDER_MM if gap > tolerance]
    for gap in wider:
        chained = chain_lines(lines, tolerance=gap)
        closed = _closed(chained)
        if closed:
            message = f"gaps of up to {gap:g} mm in its outline were closed"
            left = list(chained.leftover)
            return closed, left, [warning("gap-closed", where, message)]
    for gap in (tolerance, *wider):
        bridge = _bridge(lines, gap)
        if bridge is None:
            continue
        closed = _closed(chain_lines([*lines, bridge], tolerance=gap))
        if closed:
            width = abs(bridge.path.end - bridge.path.start)
            message = f"an outline is open by {width:.1f} mm; a straight line closes it"
            return closed, [], [note("open-outline", where, message)]
    return [], lines, []


def _bridge(lines: Sequence[DrawnLine], tolerance: float) -> DrawnLine | None:
    """Return the line between the only two free ends, None if there are others."""
    ends = np.array([p for line in lines for p in (line.path.start, line.path.end)])
    apart = np.abs(ends[:, np.newaxis] - ends)
    np.fill_diagonal(apart, np.inf)
    free = np.flatnonzero(apart.min(axis=1) > tolerance)
    if len(free) != 2:
        return None
    straight = line_segments(ends[free[0]], ends[free[1]])
    return replace(lines[0], path=Path(straight, closed=False))


def _without_copies(lines: Sequence[DrawnLine]) -> list[DrawnLine]:
    kept: dict[bytes, DrawnLine] = {}
    for line in lines:
        segments = line.path.segments
        forms = [_rounded(s.control) for s in (segments, reverse(segments))]
        kept.setdefault(min(forms), line)
    return list(kept.values())


def _rounded(control: Complexes) -> bytes:
    rounded = np.round(control / SAME_MM) + 0.0  # no negative zeros
    return rounded.tobytes()
