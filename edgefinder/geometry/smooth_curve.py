"""A smooth curve through points: what a draughtsman draws through the marks.

The curve runs through every point, with one tangent there. Tangents and curvatures are
those of conics through five points (`edgefinder.geometry.conic_tangents`); between two
points it is a cubic with those tangents, whose handles are as long as those of the
conic arc with these tangents and curvatures. Straight stretches stay lines
(`edgefinder.geometry.straight_stretches`), and a curve that joins one does so along it.

Why this one: circles and ellipses come out as they are, so that a radius read from five
points on a quarter is right at the ends of the stretch too. Cubic splines with
continuous curvature and the usual end conditions miss the radius there by 8 % on the
circle and by 13 to 88 % on an ellipse of 2 to 1, because a cubic between points knows
nothing of how the bend goes on. Accuracy at five points a quarter (four chords), evenly
spaced in the angle or along the line, between corners:

=======================  ==============  ============
                         radius          length
=======================  ==============  ============
circle                   within 0.01 %   within 1e-7
ellipse 3 : 2 and 2 : 1  within 0.04 %   within 2e-7
ellipse 3 : 1            within 0.06 %   within 1e-6
=======================  ==============  ============

On a neckline drawn as one Bezier curve five points give the radius within 1 % and the
length within 1e-6; the error falls with the square of the spacing or faster.
Coordinates rounded to 0.01 mm change the radius by 1 to 3 % at 10 mm spacing. Closer
points carry more of the rounding in their pointwise radius; measure the bend over the
width of a tape there.
The curve bends only where the points bend, and to the same side. Three points that lie
on a line are a straight stretch, also where an S turns over.
"""

from itertools import pairwise
from typing import Final

import numpy as np

from edgefinder.geometry.conic_tangents import headings_and_curvatures
from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import (
    Complexes,
    Floats,
    Segments,
    concatenate,
    cubic_segments,
    line_segments,
)
from edgefinder.geometry.straight_stretches import Flags, straight_chords

SHORTEST_HANDLE: Final = 0.15
LONGEST_HANDLE: Final = 0.6
"""Handles as shares of the chord; one third on a flat arc, 0.37 on a third of a circle.
Shorter: needles of high curvature at points that are out of line. Longer: loops."""

LEAST_WEIGHT: Final = 0.2
MOST_WEIGHT: Final = 2.0
"""Weight of a conic arc: below 1 an ellipse (0.71 a quarter), 1 a parabola, above it a
hyperbola."""

WRAP: Final = 12
"""Points by which a closed line without a corner is continued over its start: three
windows of conics, so that nothing is seen of the seam."""


def smooth_curve(
    points: Complexes,
    *,
    closed: bool = False,
    start_heading: complex | None = None,
    end_heading: complex | None = None,
) -> Segments:
    """Put a smooth curve through points.

    Parameters
    ----------
    points : ndarray of complex128, shape (n,)
        In millimetres, n >= 2 (closed: n >= 3, the first one not repeated), neighbours
        distinct.
    closed : bool
        Whether the curve runs on from the last point to the first, smooth there too.
    start_heading, end_heading : complex or None
        Directions in which an open curve must leave and arrive; None leaves them to
        the points.

    Returns
    -------
    Segments
        One row for each chord, in order: a line on straight stretches, else a cubic.

    Raises
    ------
    ValueError
        If there are too few points, or two neighbours are equal.
    """
    chords = np.diff(points, append=points[:1]) if closed else np.diff(points)
    if len(points) < (3 if closed else 2) or not chords.all():
        raise ValueError("a smooth curve needs two or three distinct points or more")
    if not closed:
        return _open_curve(points, start_heading, end_heading)
    return _closed_curve(points, chords)


def smooth_path(points: Complexes, *, closed: bool = False) -> Path:
    """Return the smooth curve through points as a path; see `smooth_curve`."""
    return Path(smooth_curve(points, closed=closed), closed)


def _closed_curve(points: Complexes, chords: Complexes) -> Segments:
    count = len(points)
    turns = np.abs(np.angle(chords * np.conj(np.roll(chords, 1))))
    # Begun where it turns most, so that no straight stretch runs over the start.
    first = int(np.argmax(turns))
    order = (np.arange(-min(WRAP, count), count + min(WRAP, count) + 1) + first) % count
    table = _open_curve(points[order], None, None)
    own = np.arange(count) + min(WRAP, count)
    return table.take(np.roll(own, first))


def _open_curve(
    points: Complexes, start: complex | None, end: complex | None
) -> Segments:
    straight = straight_chords(points)
    if len(points) == 2 and (start is not None or end is not None):
        straight = np.zeros(1, dtype=np.bool_)
    tables = []
    for first, last in _stretches(straight):
        stretch = points[first : last + 1]
        if straight[first]:
            tables.append(line_segments(stretch[:-1], stretch[1:]))
            continue
        before = start if first == 0 else _heading(points, first - 1)
        after = end if last == len(points) - 1 else _heading(points, last)
        tables.append(_curved(stretch, before, after))
    return concatenate(tables)


def _stretches(straight: Flags) -> list[tuple[int, int]]:
    """Return first and last point of every run of chords of one sort."""
    cuts = np.flatnonzero(np.diff(straight)) + 1
    ends = [0, *cuts.tolist(), len(straight)]
    return list(pairwise(ends))


def _heading(points: Complexes, chord: int) -> complex:
    step = complex(points[chord + 1] - points[chord])
    return step / abs(step)


def _curved(points: Complexes, start: complex | None, end: complex | None) -> Segments:
    headings, curvatures = headings_and_curvatures(points, start, end)
    chords = np.diff(points)
    first, last = headings[:-1], headings[1:]
    leaving, arriving = _handles(chords, first, last, curvatures)
    return cubic_segments(
        np.stack(
            [
                points[:-1],
                points[:-1] + leaving * first,
                points[1:] - arriving * last,
                points[1:],
            ],
            axis=1,
        )
    )


def _handles(
    chords: Complexes, first: Complexes, last: Complexes, curvatures: Floats
) -> tuple[Floats, Floats]:
    """Return the lengths of both handles of each chord.

    Notes
    -----
    With T where the two tangents meet, at distances a and b from the ends and with the
    turn q between them, the conic arc of weight w bends at its ends by A/(w^2 a^3) and
    A/(w^2 b^3), A = a b sin(q)/2 being the triangle; so w^2 = sin(q) / (2 sqrt(k0 k1 a
    b)). The cubic that is nearest to it has handles (4/3) w/(1 + w) of a and b. For a
    circle this is the usual (4/3) tan(q/4) times the radius.

    References
    ----------
    G. Farin, Curves and Surfaces for CAGD, 5th ed. (2002), chapter 12, curvatures of
    conics; the factor is that of degree elevation of a quadratic (w = 1 gives 2/3).
    """
    size = np.abs(chords)
    out = np.angle(chords * np.conj(first))
    back = np.angle(last * np.conj(chords))
    turn = np.abs(out + back)
    # Tangents that meet before or behind the chord have no triangle with it.
    convex = (out * back > 0) & (turn < np.pi)
    sine = np.sin(np.where(convex, turn, np.pi / 2))
    a = np.where(convex, size * np.abs(np.sin(back)) / sine, size / 2)
    b = np.where(convex, size * np.abs(np.sin(out)) / sine, size / 2)
    bends = np.sqrt(np.abs(curvatures[:-1] * curvatures[1:]) * a * b)
    known = convex & (bends > 0)
    weight = np.where(known, sine / (2 * np.where(known, bends, 1.0)), 1.0)
    weight = np.where(known, np.sqrt(weight), np.cos(np.minimum(turn, np.pi) / 2))
    weight = np.clip(weight, LEAST_WEIGHT, MOST_WEIGHT)
    share = (4 / 3) * weight / (1 + weight)
    low, high = SHORTEST_HANDLE * size, LONGEST_HANDLE * size
    leaving = np.where(convex, share * a, size / 3)
    arriving = np.where(convex, share * b, size / 3)
    return np.clip(leaving, low, high), np.clip(arriving, low, high)
