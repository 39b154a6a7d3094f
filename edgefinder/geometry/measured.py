"""Paths with their arc length: places along a line, stretches of it, its area."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from edgefinder.geometry.arclength import lengths, parameters_at
from edgefinder.geometry.headings import headings_at
from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import (
    Complexes,
    Floats,
    Indices,
    Kind,
    Segments,
    concatenate,
    end_points,
    points_at,
    split,
    start_points,
)

STATION_SNAP_MM: Final = 1e-9
"""A place this near to the start of a segment is that start.

Above the rounding of lengths up to a kilometre; below anything that can be drawn.
Smaller: cutting a path leaves slivers whose direction is rounding noise.
"""


@dataclass(frozen=True, slots=True, eq=False)
class MeasuredPath:
    """A path and the arc length at which each of its segments begins.

    Parameters
    ----------
    path : Path
        n segments.
    stations : ndarray, shape (n + 1,)
        Arc length in millimetres from the start of the path to the start of each
        segment, and the whole length last.
    """

    path: Path
    stations: Floats

    def __post_init__(self) -> None:
        stations = np.asarray(self.stations, dtype=np.float64)
        if stations.flags.writeable:
            stations = stations.copy()
        if stations.shape != (len(self.path.segments) + 1,):
            raise ValueError("one station per segment and one for the end are needed")
        stations.flags.writeable = False
        object.__setattr__(self, "stations", stations)

    @property
    def length(self) -> float:
        """The whole length in millimetres."""
        return float(self.stations[-1])


def measure(path: Path) -> MeasuredPath:
    """Measure one path."""
    return measure_all([path])[0]


def measure_all(paths: Sequence[Path]) -> tuple[MeasuredPath, ...]:
    """Measure paths, all their segments in one call."""
    if not paths:
        return ()
    every = lengths(concatenate([path.segments for path in paths]))
    measured, start = [], 0
    for path in paths:
        stop = start + len(path.segments)
        stations = np.zeros(stop - start + 1)
        every[start:stop].cumsum(out=stations[1:])
        stations.flags.writeable = False  # so that it is not copied
        measured.append(MeasuredPath(path, stations))
        start = stop
    return tuple(measured)


def locate(measured: MeasuredPath, s: Floats) -> tuple[Indices, Floats]:
    """Find the segment and the parameter at arc lengths along a path.

    Parameters
    ----------
    measured : MeasuredPath
    s : ndarray, shape (m,)
        Millimetres from the start; wraps round on a closed path and is clamped on an
        open one.

    Returns
    -------
    row : ndarray of intp, shape (m,)
        Where two segments meet, the one that begins there.
    t : ndarray, shape (m,)
        Fraction of the parameter.
    """
    station = _within(measured, np.asarray(s, dtype=np.float64))
    row = np.searchsorted(measured.stations, station, side="right") - 1
    row = np.minimum(row, _last_row(measured))
    t = parameters_at(
        measured.path.segments.take(row), station - measured.stations[row]
    )
    return row, t


def locate_all(
    paths: Sequence[MeasuredPath], s: Sequence[Floats]
) -> tuple[Segments, Floats]:
    """Find places on each of several paths, as `locate` does, in one pass.

    Parameters
    ----------
    paths : sequence of MeasuredPath
    s : sequence of ndarray, shape (m_i,)
        Of each path, millimetres from its start.

    Returns
    -------
    segments : Segments
        The segment that each place is on, one row for each place, path by path.
    t : ndarray, shape (sum of m_i,)
        Fraction of its parameter.
    """
    if not paths:
        return concatenate([]), np.empty(0)
    stations = [_within(path, at) for path, at in zip(paths, s, strict=True)]
    rows = [
        np.minimum(path.stations.searchsorted(at, "right") - 1, _last_row(path))
        for path, at in zip(paths, stations, strict=True)
    ]
    pairs = list(zip(paths, rows, strict=True))
    segments = concatenate([path.path.segments.take(row) for path, row in pairs])
    firsts = np.concatenate([path.stations[row] for path, row in pairs])
    return segments, parameters_at(segments, np.concatenate(stations) - firsts)


def points_at_lengths(measured: MeasuredPath, s: Floats) -> Complexes:
    """Return the points at arc lengths along a path, as `locate` reads them."""
    row, t = locate(measured, s)
    return points_at(measured.path.segments.take(row), t)


def headings_at_lengths(measured: MeasuredPath, s: Floats) -> Complexes:
    """Return the unit tangents at arc lengths along a path, complex, shape (m,).

    At a kink that of the segment that begins there.
    """
    row, t = locate(measured, s)
    return headings_at(measured.path.segments.take(row), t)


def subpath(measured: MeasuredPath, s0: float, s1: float) -> Path:
    """Cut out a stretch, exactly.

    Parameters
    ----------
    measured : MeasuredPath
    s0, s1 : float
        Where it begins and ends, millimetres from the start, s0 < s1. An open path is
        cut where both lie on it; on a closed path the stretch may run over the start,
        and is at most once round.

    Returns
    -------
    Path
        Open.

    Raises
    ------
    ValueError
        If the stretch is empty, or longer than a closed path.
    """
    begin, end = _stretch(measured, s0, s1)
    segments, stations = measured.path.segments, measured.stations
    if end > measured.length:  # over the start: a second round behind the first
        segments = concatenate([segments, segments])
        stations = np.concatenate([stations[:-1], stations + measured.length])
    first = int(np.searchsorted(stations, begin, side="right")) - 1
    last = int(np.searchsorted(stations, end, side="left")) - 1
    taken = segments.take(slice(first, last + 1))
    t0, t1 = np.zeros(len(taken)), np.ones(len(taken))
    if begin > stations[first]:
        t0[:1] = parameters_at(taken.take([0]), begin - stations[first : first + 1])
    if end < stations[last + 1]:
        t1[-1:] = parameters_at(taken.take([-1]), end - stations[last : last + 1])
    return Path(_cut(taken, t0, t1), closed=False)


def signed_area(path: Path) -> float:
    """Return the area that a path encloses, exactly, in square millimetres.

    Positive where the path runs anticlockwise; an open path is closed by its chord.

    Notes
    -----
    Green's theorem, half the integral of the cross product of point and derivative,
    integrated in closed form for each kind of segment. Points are taken from the
    start of the path, so that its place in the plane costs no digits.
    """
    return float(signed_areas([path])[0])


def signed_areas(paths: Sequence[Path]) -> Floats:
    """Return the areas that paths enclose, as `signed_area` does, in one pass."""
    if not paths:
        return np.empty(0)
    segments = concatenate([path.segments for path in paths])
    counts = np.array([len(path.segments) for path in paths])
    first = np.cumsum(counts) - counts
    origins = np.repeat(start_points(segments.take(first)), counts)
    owners = np.repeat(np.arange(len(paths)), counts)
    twice = np.zeros(len(paths))
    for kind, terms_of, divisor in (
        (Kind.LINE, _line_terms, 1),
        (Kind.CUBIC, _cubic_terms, 10),
        (Kind.ARC, _arc_terms, 1),
    ):
        rows = np.flatnonzero(segments.kind == kind)
        if len(rows):
            own = terms_of(segments.take(rows), origins[rows])
            bounds = np.searchsorted(owners[rows], np.arange(len(paths) + 1))
            sums = [own[a:b].sum() for a, b in pairwise(bounds.tolist())]
            twice += np.array(sums) / divisor
    return twice / 2


def _line_terms(lines: Segments, origins: Complexes) -> Floats:
    p = lines.control - origins[:, np.newaxis]
    return _cross(p[:, 0], p[:, 1])


def _cubic_terms(cubics: Segments, origins: Complexes) -> Floats:
    """Return ten times what each cubic adds."""
    p = cubics.control - origins[:, np.newaxis]
    tenfold: Floats = (
        6 * _cross(p[:, 0], p[:, 1])
        + 3 * _cross(p[:, 0], p[:, 2])
        + _cross(p[:, 0], p[:, 3])
        + 3 * _cross(p[:, 1], p[:, 2])
        + 3 * _cross(p[:, 1], p[:, 3])
        + 6 * _cross(p[:, 2], p[:, 3])
    )
    return tenfold


def _arc_terms(arcs: Segments, origins: Complexes) -> Floats:
    centre, u, v, span = arcs.control.T
    chord = end_points(arcs) - start_points(arcs)
    terms: Floats = _cross(centre - origins, chord)
    terms += _cross(u, v) * (span.imag - span.real)
    return terms


def _cross(a: Complexes, b: Complexes) -> Floats:
    product: Floats = (np.conj(a) * b).imag
    return product


def _within(measured: MeasuredPath, s: Floats) -> Floats:
    """Bring arc lengths into 0 to the length of the path."""
    length = measured.length
    if not measured.path.closed or length == 0:
        return np.clip(s, 0.0, length)
    wrapped = np.mod(s, length)
    return np.where(wrapped < length, wrapped, 0.0)


def _last_row(measured: MeasuredPath) -> int:
    """Return the last segment that has a length, or the first if none has."""
    before_end = np.searchsorted(measured.stations, measured.length, side="left") - 1
    return max(int(before_end), 0)


def _stretch(measured: MeasuredPath, s0: float, s1: float) -> tuple[float, float]:
    """Return where a stretch begins on the first round, and where it ends after."""
    length = measured.length
    if not measured.path.closed:
        begin, end = (float(s) for s in np.clip([s0, s1], 0.0, length))
        begin, end = _snap(measured, begin), _snap(measured, end)
    else:
        if s1 - s0 > length + STATION_SNAP_MM:
            raise ValueError(f"{s1 - s0} mm is longer than once round, {length} mm")
        begin = _snap(measured, float(_within(measured, np.array(s0))))
        begin = 0.0 if begin == length else begin
        end = begin + min(s1 - s0, length)
        over = end > length + STATION_SNAP_MM
        end = length + _snap(measured, end - length) if over else _snap(measured, end)
    if not end > begin:
        raise ValueError(f"the stretch from {s0} to {s1} mm is empty")
    return begin, end


def _snap(measured: MeasuredPath, s: float) -> float:
    nearest = measured.stations[np.argmin(np.abs(measured.stations - s))]
    return float(nearest) if abs(nearest - s) <= STATION_SNAP_MM else s


def _cut(segments: Segments, t0: Floats, t1: Floats) -> Segments:
    """Split the segments that are not whole; the others keep their exact points."""
    partial = (t0 > 0) | (t1 < 1)
    control = segments.control.copy()
    control[partial] = split(segments.take(partial), t0[partial], t1[partial]).control
    return Segments(segments.kind, control)
