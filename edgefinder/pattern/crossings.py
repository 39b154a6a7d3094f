"""Where along a line something begins and ends, to the rounding of its places."""

import math
from collections.abc import Callable, Iterator, Sequence
from typing import Any, Final

import numpy as np
import shapely
from numpy.typing import NDArray

from edgefinder.geometry.segments import Complexes, Floats

Flags = NDArray[np.bool_]
Span = tuple[float, float]
"""From where to where, in millimetres along a line."""

STEP_MM: Final = 0.25
"""Between two places that are looked at. What is shorter than this, and found by no
polygon either, may be missed."""

FEWEST_STEPS: Final = 32
MOST_STEPS: Final = 512
"""For one stretch of a line that polygons have found."""

PARTS: Final = 256
"""Into which an interval is cut at each step of the search for a border: the distance
to a curve costs the same for one place as for hundreds."""

FOUND_MM: Final = 1e-10
"""An interval this short is a place."""


def spans_near(points: Complexes, s: Floats, near: Callable[[Any], Any]) -> list[Span]:
    """Find the stretches of a polyline that a shapely operation leaves of it.

    Parameters
    ----------
    points : ndarray of complex128, shape (m,)
    s : ndarray, shape (m,)
        Where along the line that it stands for the points lie, rising.
    near : callable
        From a shapely line to the parts of it that are wanted, nearly enough.

    Returns
    -------
    list of (float, float)
        In order; those that nearly touch are one.
    """
    line = shapely.linestrings(points.real, points.imag)
    parts = shapely.get_parts(near(line))
    parts = parts[~shapely.is_empty(parts)]
    if not len(parts):
        return []
    along = np.concatenate([[0.0], np.cumsum(np.abs(np.diff(points)))])
    spans = []
    for part in parts:
        places = shapely.points(shapely.get_coordinates(part))
        reached = shapely.line_locate_point(line, places)
        ends = np.interp([reached.min(), reached.max()], along, s)
        spans.append((float(ends[0]), float(ends[1])))
    return _merged(spans)


def _merged(spans: Sequence[Span]) -> list[Span]:
    """Put stretches together that overlap or nearly touch."""
    found: list[Span] = []
    for start, end in sorted(spans):
        if found and start <= found[-1][1] + 2 * STEP_MM:
            found[-1] = found[-1][0], max(found[-1][1], end)
        else:
            found.append((start, end))
    return found


def exact_spans(
    holds: Callable[[Floats], Flags], near: Span, ends: Span
) -> Iterator[Span]:
    """Find the stretches that hold, near one that was found roughly.

    Parameters
    ----------
    holds : callable
        Says for places along the line whether they belong to a stretch.
    near : (float, float)
        The rough one; looked at is a little more, and as far as it goes on.
    ends : (float, float)
        Of the line.
    """
    by = STEP_MM
    while True:
        span = max(near[0] - by, ends[0]), min(near[1] + by, ends[1])
        steps = math.ceil((span[1] - span[0]) / STEP_MM)
        s = np.linspace(*span, min(max(steps, FEWEST_STEPS), MOST_STEPS) + 1)
        flags = holds(s)
        if not ((flags[0] and span[0] > ends[0]) or (flags[-1] and span[1] < ends[1])):
            break
        by *= 4  # it goes on before or after: look further
    change = np.flatnonzero(flags[1:] != flags[:-1])
    borders = [_border(holds, float(s[i]), float(s[i + 1])) for i in change]
    if flags[0]:
        borders.insert(0, span[0])
    if flags[-1]:
        borders.append(span[1])
    yield from zip(borders[::2], borders[1::2], strict=True)


def _border(holds: Callable[[Floats], Flags], a: float, b: float) -> float:
    """Narrow down the place between two at which a stretch begins or ends."""
    while b - a > FOUND_MM:
        s = np.linspace(a, b, PARTS + 1)
        flags = holds(s)
        i = int(np.argmax(flags != flags[0])) or PARTS
        if s[i] - s[i - 1] >= b - a:
            break
        a, b = float(s[i - 1]), float(s[i])
    return (a + b) / 2
