"""Subpaths in user units, and their way to paths in millimetres.

Shapes are rows of plain numbers, path data is a table from the start; a whole stretch
of a drawing is mapped, checked and closed in a few numpy calls.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from edgefinder.constants import JOIN_TOLERANCE_MM
from edgefinder.geometry.affine import Affine
from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import (
    CONTROLS,
    Complexes,
    Floats,
    Indices,
    Kind,
    Segments,
    end_points,
    line_segments,
    points_at,
    quadratic_segments,
    start_points,
)

Row = tuple[int, complex, complex, complex, complex]
"""A kind and its four control values, as `geometry.segments` has them."""

_QUADRATIC: Final = 3
"""Stands for three control points until the whole table is raised to cubics."""
_POINTS: Final = {Kind.LINE: 2, Kind.CUBIC: 4, _QUADRATIC: 3}

MAX_COORDINATE_MM: Final = 1e9
"""1,000 km: past it the coordinates themselves are coarser than a thread."""

SNAP_SHARE: Final = 0.25
"""A closing gap up to this share of the last segment is taken up by that segment;
a larger one would bend it out of shape and gets a line of its own."""

ROUNDING: Final = 1e-14
"""A closing gap below this share of the coordinates comes from the arithmetic."""


@dataclass(frozen=True, slots=True)
class Subpath:
    """One connected line in user units.

    Parameters
    ----------
    rows : tuple of Row
        At least one; none of no extent.
    closed : bool
        Whether the drawing says that it closes.
    """

    rows: tuple[Row, ...]
    closed: bool


@dataclass(frozen=True, slots=True, eq=False)
class Strokes:
    """Many subpaths in user units, as one table.

    Parameters
    ----------
    kind : ndarray of uint8, shape (n,)
    control : ndarray of complex128, shape (n, 4)
        Rows as `geometry.segments` has them, none of no extent.
    stops : ndarray of intp, shape (m,)
        The row after the last of each subpath.
    is_closed : ndarray of bool, shape (m,)
        Whether the drawing says that it closes.
    owner : ndarray of intp, shape (m,)
        The element to which each subpath belongs, by its place in some list.
    """

    kind: NDArray[np.uint8]
    control: Complexes
    stops: Indices
    is_closed: NDArray[np.bool_]
    owner: Indices

    @property
    def counts(self) -> Indices:
        """The number of rows of each subpath."""
        return np.diff(self.stops, prepend=0)


def line(start: complex, end: complex) -> Row:
    """Make the row of a straight segment."""
    return (Kind.LINE, start, end, 0j, 0j)


def quadratic(p0: complex, p1: complex, p2: complex) -> Row:
    """Make the row of a quadratic."""
    return (_QUADRATIC, p0, p1, p2, 0j)


def cubic(p0: complex, p1: complex, p2: complex, p3: complex) -> Row:
    """Make the row of a cubic."""
    return (Kind.CUBIC, p0, p1, p2, p3)


def conic(centre: complex, u: complex, v: complex, span: tuple[float, float]) -> Row:
    """Make the row of a conic arc c + u cos t + v sin t over a span of t."""
    return (Kind.ARC, centre, u, v, complex(*span))


def has_extent(row: Row) -> bool:
    """Whether a row of control points is more than one point."""
    return any(point != row[1] for point in row[2 : _POINTS[row[0]] + 1])


def strokes_of(subpaths: Iterable[tuple[int, Subpath]]) -> Strokes:
    """Put subpaths, each with its owner, into one table."""
    owned = tuple(subpaths)
    rows = np.array(
        [row for _, subpath in owned for row in subpath.rows], dtype=np.complex128
    ).reshape(-1, CONTROLS + 1)
    kind, control = rows[:, 0].real.astype(np.uint8), rows[:, 1:]
    raised = kind == _QUADRATIC
    control[raised] = quadratic_segments(control[raised, :3]).control
    kind[raised] = Kind.CUBIC
    return Strokes(
        kind,
        control,
        np.cumsum([len(subpath.rows) for _, subpath in owned], dtype=np.intp),
        np.array([subpath.closed for _, subpath in owned], dtype=np.bool_),
        np.array([owner for owner, _ in owned], dtype=np.intp),
    )


def to_paths(strokes: Strokes, affines: Sequence[Affine]) -> Iterator[Path | None]:
    """Map subpaths to millimetres and close what closes.

    Parameters
    ----------
    strokes : Strokes, m subpaths
    affines : sequence of Affine
        From the user units of each subpath to millimetres; m of them.

    Yields
    ------
    Path or None
        In the order given; None where a coordinate is beyond `MAX_COORDINATE_MM`.

    Notes
    -----
    An end within the join tolerance of the start is one point with it: the last
    segment is turned and scaled about its own start until it meets (it stays a line,
    cubic or arc). A larger gap is closed by a line if the drawing says so.
    """
    if not len(strokes.stops):
        return
    strokes = replace(strokes, control=_mapped(strokes, affines))
    is_within = _is_within(strokes).tolist()
    strokes = _closed_up(strokes)
    # Locked, the table is shared by all paths instead of copied.
    strokes.kind.flags.writeable = strokes.control.flags.writeable = False
    start = 0
    for stop, is_closed, is_usable in zip(
        strokes.stops.tolist(), strokes.is_closed.tolist(), is_within, strict=True
    ):
        rows = slice(start, stop)
        segments = Segments(strokes.kind[rows], strokes.control[rows])
        yield Path(segments, is_closed) if is_usable else None
        start = stop


def _mapped(strokes: Strokes, affines: Sequence[Affine]) -> Complexes:
    entries = np.array([(m.a, m.b, m.c, m.d, m.e, m.f) for m in affines])
    if (entries == entries[0]).all():
        entries = entries[:1]
    else:
        entries = np.repeat(entries, strokes.counts, axis=0)
    a, b, c, d, e, f = entries.T[:, :, np.newaxis]
    # Written out by x and y: twice as fast as with whole complex numbers.
    control = strokes.control.copy()
    x, y = control.real, control.imag
    x *= a
    y *= d
    if b.any() or c.any():
        x += c * strokes.control.imag
        y += b * strokes.control.real
    arc = np.flatnonzero(strokes.kind == Kind.ARC)
    half_diameters = control[arc, 1:3]
    x += e
    y += f
    # Half-diameters are not moved, and angles are no points.
    control[arc, 1:3] = half_diameters
    control[arc, 3] = strokes.control[arc, 3]
    control[np.flatnonzero(strokes.kind == Kind.LINE), 2:] = 0
    return control


def _is_within(strokes: Strokes) -> NDArray[np.bool_]:
    """Return which subpaths stay within the largest coordinate."""
    everything = strokes.control.view(np.float64)
    if max(everything.max(), -everything.min()) < MAX_COORDINATE_MM / 2:
        return np.ones(len(strokes.stops), dtype=np.bool_)
    reach = np.abs(strokes.control).max(axis=1)
    within: NDArray[np.bool_] = (
        np.maximum.reduceat(reach, strokes.stops - strokes.counts) <= MAX_COORDINATE_MM
    )
    return within


def _closed_up(strokes: Strokes) -> Strokes:
    """Close what closes: nothing to do, by its last segment, or by one more line."""
    last = strokes.stops - 1
    first = strokes.stops - strokes.counts
    final = Segments(strokes.kind[last], strokes.control[last])
    start = start_points(Segments(strokes.kind[first], strokes.control[first]))
    origin, end = start_points(final), end_points(final)
    gap, chord = start - end, end - origin
    is_joined = gap == 0
    is_near = ~is_joined & (np.abs(gap) <= JOIN_TOLERANCE_MM)
    near = np.flatnonzero(is_near)
    if near.size:
        rounded = near[np.abs(gap[near]) <= ROUNDING * MAX_COORDINATE_MM]
        if rounded.size:
            sizes = _sizes(strokes, rounded)
            rounded = rounded[np.abs(gap[rounded]) <= ROUNDING * sizes]
        is_joined[rounded] = True
        # A stroke shorter than the tolerance begins and ends at one point, yet is open.
        ticks = near[~strokes.is_closed[near]]
        if ticks.size:
            extents = _extents(strokes, start, ticks)
            ticks = ticks[extents <= JOIN_TOLERANCE_MM]
        is_near[rounded] = is_near[ticks] = False
    is_snapped = is_near & (np.abs(gap) <= SNAP_SHARE * np.abs(chord))
    is_apart = strokes.is_closed & ~is_joined & ~is_snapped
    gets_line = np.flatnonzero(is_apart | (is_near & ~is_snapped))
    snapped = np.flatnonzero(is_snapped)
    if snapped.size:
        factor = 1 + gap[snapped] / chord[snapped]
        strokes.control[last[snapped]] = _turned(
            final.take(snapped), origin[snapped], factor
        )
    closed = replace(strokes, is_closed=strokes.is_closed | is_joined | is_near)
    if not gets_line.size:
        return closed
    return _with_lines(closed, gets_line, line_segments(end, start).take(gets_line))


def _sizes(strokes: Strokes, some: Indices) -> Floats:
    """Return the largest coordinate of some subpaths, at least one."""
    rows, offsets = _rows_of(strokes, some)
    # The last value of an arc is a pair of angles, which is always small.
    reach = np.abs(strokes.control[rows]).max(axis=1)
    return np.maximum.reduceat(reach, offsets)


def _extents(strokes: Strokes, start: Complexes, some: Indices) -> Floats:
    """Return how far some subpaths, at least one, go away from their start."""
    rows, offsets = _rows_of(strokes, some)
    segments = Segments(strokes.kind[rows], strokes.control[rows])
    middles = points_at(segments, np.full(len(rows), 0.5))
    away = np.abs(middles - np.repeat(start[some], strokes.counts[some]))
    return np.maximum.reduceat(away, offsets)


def _rows_of(strokes: Strokes, some: Indices) -> tuple[Indices, Indices]:
    """Return the rows of some subpaths, and where each begins among them."""
    is_chosen = np.zeros(len(strokes.stops), dtype=np.bool_)
    is_chosen[some] = True
    counts = strokes.counts
    rows = np.flatnonzero(np.repeat(is_chosen, counts))
    return rows, np.cumsum(counts[some]) - counts[some]


def _turned(segments: Segments, about: Complexes, factor: Complexes) -> Complexes:
    """Turn and scale segments, each about a point."""
    shift = (about * (1 - factor))[:, np.newaxis]
    control = segments.control * factor[:, np.newaxis]
    arc = segments.kind == Kind.ARC
    control[~arc] += shift[~arc]
    control[arc, 0] += shift[arc, 0]
    control[arc, 3] = segments.control[arc, 3]
    control[segments.kind == Kind.LINE, 2:] = 0
    return control


def _with_lines(strokes: Strokes, subpaths: Indices, lines: Segments) -> Strokes:
    """Add one line to the end of some subpaths."""
    added = np.zeros(len(strokes.stops), dtype=np.intp)
    added[subpaths] = 1
    stops = strokes.stops + np.cumsum(added)
    # Rows are fetched with a copy of the last one of each such subpath, which the line
    # then takes the place of: half the time of inserting.
    times = np.ones(len(strokes.kind), dtype=np.intp)
    times[strokes.stops[subpaths] - 1] = 2
    rows = np.repeat(np.arange(len(times)), times)
    kind, control = strokes.kind.take(rows), strokes.control.take(rows, axis=0)
    at = stops[subpaths] - 1
    kind[at], control[at] = lines.kind, lines.control
    return replace(strokes, kind=kind, control=control, stops=stops)
