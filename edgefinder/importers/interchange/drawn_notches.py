"""Notches that are drawn into an outline: taken out, so that they add no length."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from edgefinder.geometry.segments import Complexes, Floats, Indices, Kind
from edgefinder.importers.interchange.drawn_piece import Notch
from edgefinder.importers.interchange.layers import NotchKind
from edgefinder.importers.interchange.marked_line import MarkedLine, without_vertices

DEEPEST_MM: Final = 15.0
SHALLOWEST_MM: Final = 1.5
"""Notches are 3 to 12 mm deep (common practice). Deeper ones are darts or slashes and
belong to the shape; shallower ones are corners of a coarse line."""

WIDEST_MM: Final = 12.0
WIDEST_TO_DEPTH: Final = 2.0
"""A V twice as wide as deep turns by 45 degrees at its mouth; flatter is shape."""

SLIT_MM: Final = 0.3
"""A mouth narrower than this is that of a slit."""

MOUTH_TURN: Final = np.radians(35.0)
"""The outline goes on behind a notch as it came, within this."""

SHARPEST_KEPT: Final = np.radians(40.0)
"""A line that turns less into its mouth draws no notch."""

MOST_INNER: Final = 6
"""Vertices between the two sides of a mouth: one for a V, two for a castle, more for a
round one."""


@dataclass(frozen=True, slots=True)
class _Cut:
    """A notch that begins at one vertex and ends at another, going round."""

    first: int
    last: int
    notch: Notch


def take_out_notches(line: MarkedLine) -> tuple[MarkedLine, tuple[Notch, ...]]:
    """Take drawn notches out of a closed outline.

    Parameters
    ----------
    line : MarkedLine
        Closed, before its corners are marked.

    Returns
    -------
    MarkedLine
        Straight across every mouth, whose sides are curve points of it; the mouth of
        a slit is one vertex.
    tuple of Notch
    """
    count = len(line.points)
    found: list[_Cut] = []
    taken = np.zeros(count, dtype=np.bool_)
    turns = _turns(line.points)
    sharp = np.flatnonzero(np.abs(turns) >= SHARPEST_KEPT)
    for first in sharp.tolist():
        for inner in range(1, MOST_INNER + 1):
            window = (first + np.arange(inner + 2)) % count
            if inner + 4 > count or taken[window[:-1]].any():
                break
            cut = _cut(line, window)
            if cut is not None:
                found.append(cut)
                taken[window[:-1]] = True
                break
    if not found:
        return line, ()
    gone = np.zeros(count, dtype=np.bool_)
    smooth = line.smooth.copy()
    for cut in found:
        inside = (cut.last - cut.first) % count
        gone[(cut.first + np.arange(1, inside)) % count] = True
        gone[cut.last] |= cut.notch.kind is NotchKind.SLIT
        smooth[[cut.first, cut.last]] = True
    line = replace(line, smooth=smooth)
    return without_vertices(line, gone), tuple(cut.notch for cut in found)


def _turns(points: Complexes) -> Floats:
    chords = np.diff(points, append=points[:1])
    turns: Floats = np.angle(chords * np.conj(np.roll(chords, 1)))
    return turns


def _cut(line: MarkedLine, window: Indices) -> _Cut | None:
    count = len(line.points)
    if (line.rows.kind[window[:-1]] != Kind.LINE).any():
        return None
    before, after = (window[0] - 1) % count, (window[-1] + 1) % count
    points = line.points[window]
    start, end = points[0], points[-1]
    came, went = start - line.points[before], line.points[after] - end
    mouth = end - start
    width = float(abs(mouth))
    along = mouth if width > SLIT_MM else came
    if not (
        _same_way(came, went) and _same_way(came, along) and _same_way(along, went)
    ):
        return None
    middle = (start + end) / 2
    offsets = ((points[1:-1] - middle) * np.conj(along)).imag / abs(along)
    depth = float(np.abs(offsets).max())
    one_side = bool((np.sign(offsets) == np.sign(offsets[0])).all())
    if not (SHALLOWEST_MM <= depth <= DEEPEST_MM and one_side):
        return None
    if width > min(WIDEST_MM, WIDEST_TO_DEPTH * depth):
        return None
    if not _is_steep(came, points):
        return None
    tip = points[1:-1][np.abs(offsets) >= depth * 0.95].mean()
    notch = Notch(
        at=complex(middle),
        depth=depth,
        width=width if width > SLIT_MM else None,
        angle=float(np.angle(tip - middle)),
        kind=_kind(points, width),
    )
    return _Cut(int(window[0]), int(window[-1]), notch)


def _same_way(one: complex, other: complex) -> bool:
    return bool(abs(np.angle(one * np.conj(other))) <= MOUTH_TURN)


def _is_steep(came: complex, points: Complexes) -> bool:
    """Whether a line turns sharply into a mouth, and back out of it."""
    inward, outward = points[1] - points[0], points[-1] - points[-2]
    sides = [np.angle(inward * np.conj(came)), np.angle(outward * np.conj(came))]
    return bool(min(abs(side) for side in sides) >= SHARPEST_KEPT)


def _kind(points: Complexes, width: float) -> NotchKind:
    if width <= SLIT_MM:
        return NotchKind.SLIT
    inner = len(points) - 2
    if inner == 1:
        return NotchKind.V
    return NotchKind.CASTLE if inner == 2 else NotchKind.U
