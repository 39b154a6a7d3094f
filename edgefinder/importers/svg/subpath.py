"""Subpaths in user units, and their way to paths in millimetres.

Rows are plain tuples until the whole drawing is known; then each stretch under one
transform becomes one table of segments, mapped and checked in a few numpy calls.
"""

import itertools
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from edgefinder.constants import JOIN_TOLERANCE_MM
from edgefinder.geometry.affine import Affine, transform
from edgefinder.geometry.path import Path, close_path
from edgefinder.geometry.segments import (
    Kind,
    Segments,
    end_points,
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


@dataclass(frozen=True, slots=True)
class Placed:
    """A subpath and the map from its user units to millimetres."""

    subpath: Subpath
    affine: Affine


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


def to_paths(placed: Iterable[Placed]) -> Iterator[Path | None]:
    """Map subpaths to millimetres and close what closes.

    Parameters
    ----------
    placed : iterable of Placed

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
    for affine, stretch in itertools.groupby(placed, key=lambda one: one.affine):
        subpaths = [one.subpath for one in stretch]
        table = transform(_table(subpaths), affine)
        # The last value of an arc is a pair of angles, which is always small.
        reach = np.abs(table.control).max(axis=1)
        starts, ends = start_points(table), end_points(table)
        stops = itertools.accumulate(len(subpath.rows) for subpath in subpaths)
        for subpath, stop in zip(subpaths, stops, strict=True):
            first, last = stop - len(subpath.rows), stop - 1
            size = float(reach[first:stop].max())
            if not size <= MAX_COORDINATE_MM:
                yield None
                continue
            path = Path(table.take(slice(first, stop)), subpath.closed)
            gap = complex(starts[first] - ends[last])
            chord = complex(ends[last] - starts[last])
            if abs(gap) <= ROUNDING * size:
                yield Path(path.segments, closed=True)
            elif abs(gap) > JOIN_TOLERANCE_MM:
                yield close_path(path) if path.closed else path
            else:
                yield _snapped(path, gap, chord)


def _table(subpaths: Sequence[Subpath]) -> Segments:
    rows = np.array(
        [row for subpath in subpaths for row in subpath.rows], dtype=np.complex128
    )
    kind, control = rows[:, 0].real.astype(np.uint8), rows[:, 1:]
    raised = kind == _QUADRATIC
    control[raised] = quadratic_segments(control[raised, :3]).control
    kind[raised] = Kind.CUBIC
    return Segments(kind, control)


def _snapped(path: Path, gap: complex, chord: complex) -> Path:
    if not path.closed and not _leaves_its_start(path):
        return path
    if abs(gap) > SNAP_SHARE * abs(chord):
        return close_path(path)
    control = path.segments.control.copy()
    last = path.segments.take(slice(-1, None))
    start = complex(start_points(last)[0])
    factor = (chord + gap) / chord
    about_origin = Affine(factor.real, factor.imag, -factor.imag, factor.real)
    there = Affine(e=start.real, f=start.imag)
    back = Affine(e=-start.real, f=-start.imag)
    control[-1] = transform(last, there @ about_origin @ back).control[0]
    return Path(Segments(path.segments.kind, control), closed=True)


def _leaves_its_start(path: Path) -> bool:
    # A stroke shorter than the tolerance begins and ends at one point, yet is open.
    middles = points_at(path.segments, np.full(len(path.segments), 0.5))
    return bool(np.abs(middles - path.start).max() > JOIN_TOLERANCE_MM)
