"""Strips in a piece of cloth of any shape.

The piece is turned so that strips run along x. Strips lie side by side in bands of one
cut width. A strip fills its band from border to border, so whatever part of the
outline reaches into the band lies wholly before or wholly behind it: between two
such parts stands a strip wherever a line across the band is free. Its ends touch
the nearest corners of the parts, leaning as gives the longer midline.
"""

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Counts = NDArray[np.intp]

EVEN_STARTS: Final = 20
"""Starting lines that are tried at even distances, beside those at corners; fewer miss
the best one by more, and then by REFINEMENTS narrower looks around the best."""
MOST_STARTS: Final = 96
"""Starting lines tried at first; an outline of many corners has no use for more."""
REFINEMENTS: Final = 3
"""Each look is ten times as close as the one before."""
MOST_CELLS: Final = 400_000
"""Starting lines times bands times edges of the outline that are looked at together;
more only costs time and memory."""
TOUCH_MM: Final = 1e-7
"""What reaches into a band by less only touches it (rounding error of turning)."""
YIELD_STEP_MM: Final = 1e-6
"""Yields that differ by less count as equal: otherwise rounding errors would choose."""


@dataclass(frozen=True, slots=True, eq=False)
class Bands:
    """Strips of one starting line.

    Parameters
    ----------
    low : ndarray, shape (n,)
        Lower border of each strip, in millimetres.
    starts, ends : ndarray, shape (n,)
        Ends of each midline, in millimetres.
    first, second : ndarray of int, shape (n,)
        How its ends lean: 1 forward, -1 back, 0 square.
    yield_length : float
        Millimetres of tape after all joins.
    """

    low: Floats
    starts: Floats
    ends: Floats
    first: Counts
    second: Counts
    yield_length: float


@dataclass(frozen=True, slots=True, eq=False)
class _Laid:
    """Strips by the number of their band; arrays of shape (n,)."""

    band: Counts
    starts: Floats
    ends: Floats
    first: Counts
    second: Counts


def best_bands(
    edges: Floats, cut_width: float, loss: float, shortest: float, *, is_square: bool
) -> Bands:
    """Lay strips along x from the best of many starting lines.

    Parameters
    ----------
    edges : ndarray, shape (n, 2, 2)
        Edges of the outline and of its holes, in millimetres.
    cut_width, loss, shortest : float
        Millimetres: of strips, taken by a join, and the least midline.
    is_square : bool
        Whether ends are cut square or on the slant.

    Returns
    -------
    Bands
        With no strips if none fits.
    """
    y = edges[:, :, 1]
    low, high = float(y.min()), float(y.max())
    bands = math.floor((high - low) / cut_width + TOUCH_MM)
    nothing, none = np.empty(0), np.empty(0, dtype=np.intp)
    best = Bands(nothing, nothing, nothing, none, none, 0.0)
    if bands < 1:
        return best
    most = max(1, min(MOST_STARTS, MOST_CELLS // ((bands + 1) * len(edges))))
    corners = np.unique(np.round((y.ravel() - low) % cut_width, 9))
    even = np.arange(EVEN_STARTS) * (cut_width / EVEN_STARTS)
    starts = np.concatenate((corners, (corners + 0.5 * cut_width) % cut_width, even))
    starts = starts[:: max(1, math.ceil(len(starts) / most))]
    looks = np.linspace(-1.0, 1.0, min(21, most))
    step = cut_width / EVEN_STARTS
    best_start = 0.0
    for _ in range(REFINEMENTS + 1):
        floors = low + starts[:, None] + cut_width * np.arange(-1, bands)
        gaps = _lay(edges, floors.ravel(), cut_width)
        strips = _kept(gaps, shortest, is_square=is_square)
        found, chosen = _best_start(strips, floors, loss)
        if found.yield_length > best.yield_length + YIELD_STEP_MM:
            best, best_start = found, float(starts[chosen])
        starts = (best_start + step * looks) % cut_width
        step /= 10.0
    return best


def _best_start(strips: _Laid, floors: Floats, loss: float) -> tuple[Bands, int]:
    """Of strips from many starting lines keep those from the best one.

    `floors` are the lower borders of all bands, shape (lines, bands).
    """
    line = strips.band // floors.shape[1]
    lengths = strips.ends - strips.starts
    count = np.bincount(line, minlength=len(floors))
    total = np.bincount(line, weights=lengths, minlength=len(floors))
    yields = total - loss * np.maximum(0, count - 1)
    best = int(np.lexsort((count, -np.round(yields / YIELD_STEP_MM)))[0])
    kept = line == best
    return (
        Bands(
            floors.ravel()[strips.band[kept]],
            strips.starts[kept],
            strips.ends[kept],
            strips.first[kept],
            strips.second[kept],
            float(yields[best]),
        ),
        best,
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Gaps:
    """Free places in every band; arrays of shape (bands, edges - 1)."""

    is_free: Bools
    left: dict[int, Floats]
    right: dict[int, Floats]


def _lay(edges: Floats, low: Floats, cut_width: float) -> _Gaps:
    """Find the free places between the parts of the outline in each band."""
    upward = edges[:, 0, 1] <= edges[:, 1, 1]
    below = np.where(upward[:, None], edges[:, 0], edges[:, 1])  # (edges, 2)
    above = np.where(upward[:, None], edges[:, 1], edges[:, 0])
    rise = above[:, 1] - below[:, 1]
    floor, top = low[:, None], low[:, None] + cut_width  # (bands, 1)
    middle = floor + 0.5 * cut_width
    reaches_in = (above[:, 1] > floor + TOUCH_MM) & (below[:, 1] < top - TOUCH_MM)
    flat = rise == 0.0
    slope = np.where(flat, 0.0, (above - below)[:, 0] / np.where(flat, 1.0, rise))
    y0 = np.maximum(below[:, 1], floor)
    y1 = np.minimum(above[:, 1], top)
    x0 = below[:, 0] + slope * (y0 - below[:, 1])
    x1 = np.where(flat, above[:, 0], below[:, 0] + slope * (y1 - below[:, 1]))
    first = np.where(reaches_in, np.minimum(x0, x1), np.inf)
    last = np.where(reaches_in, np.maximum(x0, x1), -np.inf)
    crosses = reaches_in & (below[:, 1] <= middle) & (above[:, 1] > middle)

    order = np.argsort(first, axis=1, kind="stable")

    def sort(values: Floats) -> Floats:
        return np.take_along_axis(values, order, axis=1)

    inside = np.cumsum(np.take_along_axis(crosses, order, axis=1), axis=1) % 2 == 1
    so_far = np.maximum.accumulate(sort(last), axis=1)
    is_free = inside[:, :-1] & (sort(first)[:, 1:] > so_far[:, :-1] + TOUCH_MM)
    left, right = {}, {}
    for lean in (-1, 0, 1):
        ends = np.stack((x0 - lean * (y0 - middle), x1 - lean * (y1 - middle)))
        most = sort(np.where(reaches_in, ends.max(axis=0), -np.inf))
        least = sort(np.where(reaches_in, ends.min(axis=0), np.inf))
        left[lean] = np.maximum.accumulate(most, axis=1)[:, :-1]
        right[lean] = np.minimum.accumulate(least[:, ::-1], axis=1)[:, ::-1][:, 1:]
    return _Gaps(is_free, left, right)


def _kept(gaps: _Gaps, shortest: float, *, is_square: bool) -> _Laid:
    """Choose how the ends lean, and keep the strips that are long enough.

    Two strips in one band have all their ends lean alike: otherwise the ends that face
    each other might cross behind a notch.
    """
    leans = (0,) if is_square else (-1, 1)
    pairs = [(a, b) for a in leans for b in leans]
    lengths = np.stack([gaps.right[b] - gaps.left[a] for a, b in pairs])
    usable = gaps.is_free & (lengths >= shortest)
    several = usable.any(axis=0).sum(axis=1, keepdims=True) > 1
    alike = np.array([a == b for a, b in pairs])
    sums = np.where(usable & alike[:, None, None], lengths, 0.0).sum(axis=2)
    for_all = sums.argmax(axis=0)[:, None]  # (bands, 1)
    for_one = np.where(usable, lengths, -np.inf).argmax(axis=0)
    chosen = np.where(several, for_all, for_one)
    picked = np.take_along_axis(usable, chosen[None], axis=0)[0]
    band, gap = np.nonzero(picked)
    pair = chosen[band, gap]
    first = np.array([a for a, _ in pairs])[pair]
    second = np.array([b for _, b in pairs])[pair]
    left = np.stack([gaps.left[a] for a in leans])
    right = np.stack([gaps.right[b] for b in leans])
    starts = left[np.searchsorted(leans, first), band, gap]
    ends = right[np.searchsorted(leans, second), band, gap]
    return _Laid(band, starts, ends, first, second)
