"""Separate bias strips, side by side at 45 degrees, found by exact search.

The cloth is the rectangle 0 <= x <= F across, 0 <= y <= H along the bolt. A strip of
width c runs in the direction (1, 1); its place is t = x - y on its midline, from -H
(one corner) to F (the opposite one); strips side by side are c sqrt 2 apart in t.

Ends are cut on the straight grain, one cut for the whole width. The midline is
the chord of the rectangle unless a corner of the cloth, (0, 0) or (F, H), lies inside
the strip: there the end is a right-angled point, and a straight cut through its
lower shoulder takes c - sqrt 2 |t - t_corner| off the chord::

    length(t) = (F + H - |t| - |t - (F - H)|)/sqrt 2
                - max(0, c - sqrt 2 |t|) - max(0, c - sqrt 2 |t - (F - H)|)

Strips with both ends on the same grain are parallelograms, strips in the two corners
left over are trapezoids; two trapezoids are joined to each other, one turned round,
so every join is on the grain and takes 2 s sqrt 2 off the sum.
"""

import math
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from edgefinder.yardage.cutting import (
    COUNT_SLACK,
    MOST_STRIPS,
    Cutting,
    Method,
    Need,
    NotPossible,
    too_many_strips,
    too_narrow,
    without_rounding,
)

Floats = NDArray[np.float64]
Point = tuple[float, float]

SEARCH_STEP_MM: Final = 0.01
"""The least length of cloth is found to this: below what scissors can do.

Smaller costs one more halving per factor of two; larger wastes cloth.
"""
YIELD_STEP_MM: Final = 1e-6
"""Layouts whose yields differ by less count as equal, and the one with fewer strips is
taken: otherwise rounding errors would choose."""


@dataclass(frozen=True, slots=True)
class BiasLayout:
    """Strips laid out in a piece of cloth for the greatest yield.

    Parameters
    ----------
    width, length : float
        Millimetres of cloth across and along the bolt.
    cut_width : float
        Millimetres.
    places : tuple of float
        t = x - y of every midline, in millimetres, from the corner (0, H) on.
    strip_lengths : tuple of float
        Millimetres of every midline between its ends.
    yield_length : float
        Millimetres of tape after all joins.
    """

    width: float
    length: float
    cut_width: float
    places: tuple[float, ...]
    strip_lengths: tuple[float, ...]
    yield_length: float

    @property
    def first_line(self) -> float | None:
        """Where the first line is ruled; None without strips.

        It cuts this many millimetres off both edges at the corner (0, H).
        """
        if not self.places:
            return None
        return self.places[0] - self.cut_width / math.sqrt(2.0) + self.length


def usable_lengths(
    places: Floats, width: float, length: float, cut_width: float
) -> Floats:
    """Measure strips between straight cuts on the grain.

    Parameters
    ----------
    places : ndarray, any shape
        t = x - y of the midlines, in millimetres.
    width, length, cut_width : float
        Millimetres.

    Returns
    -------
    ndarray, same shape
        Millimetres of midline; a value below the cut width means that the strip does
        not lie in the cloth with its whole width.
    """
    root = math.sqrt(2.0)
    from_near = np.abs(places)
    from_far = np.abs(places - (width - length))
    chord = (width + length - from_near - from_far) / root
    lost_near = np.maximum(0.0, cut_width - root * from_near)
    lost_far = np.maximum(0.0, cut_width - root * from_far)
    return np.asarray(chord - lost_near - lost_far, dtype=np.float64)


def lay_strips(
    width: float, length: float, cut_width: float, seam: float, minimum: float
) -> BiasLayout:
    """Lay strips into a piece of cloth from the best starting line.

    Parameters
    ----------
    width, length : float
        Millimetres of cloth across and along the bolt.
    cut_width, seam : float
        Millimetres.
    minimum : float
        Millimetres; shorter strips are dropped. Strips too short for their own
        slanting ends are dropped in any case.

    Returns
    -------
    BiasLayout
        With no strips if none fits.

    Notes
    -----
    The yield is piecewise linear in the starting line. It bends where a strip's
    midline or border passes a corner and jumps where a strip reaches the minimum, so
    its greatest value stands at one of these few places, all of which are tried.
    """
    shortest = _shortest(cut_width, seam, minimum)
    starts = _starting_lines(width, length, cut_width, shortest)
    spacing = cut_width * math.sqrt(2.0)
    count = math.ceil((width + length) / spacing) + 1
    places = starts[:, None] - length + spacing * np.arange(count)  # (starts, count)
    lengths = usable_lengths(places, width, length, cut_width)
    kept = lengths >= shortest * (1.0 - COUNT_SLACK)
    lost = _join_loss(seam)
    yields = np.where(kept, lengths - lost, 0.0).sum(axis=1) + lost * kept.any(axis=1)
    strips = kept.sum(axis=1)
    best = int(np.lexsort((starts, strips, -np.round(yields / YIELD_STEP_MM)))[0])
    return BiasLayout(
        width=width,
        length=length,
        cut_width=cut_width,
        places=tuple(places[best][kept[best]].tolist()),
        strip_lengths=tuple(lengths[best][kept[best]].tolist()),
        yield_length=float(yields[best]),
    )


def lay_out_need(need: Need) -> BiasLayout | NotPossible:
    """Lay out the tape in the least length of cloth that gives it.

    Returns
    -------
    BiasLayout or NotPossible
        The cloth is cut over its whole usable width. Strips that are not needed
        are left out, the shortest first.

    Notes
    -----
    A longer cloth never yields less: it holds the layout of the shorter one, and what
    it adds is longer strips, or further ones that are longer than their join. So
    the least length is found by halving, to `SEARCH_STEP_MM`.
    """
    method = Method.BIAS_STRIPS
    longest = math.sqrt(2.0) * need.usable_width
    shortest = _shortest(need.cut_width, need.seam, need.shortest_strip)
    if longest < shortest:
        return too_narrow(method, need, longest, shortest)
    if need.length > MOST_STRIPS * (longest - _join_loss(need.seam)):
        return too_many_strips(method)
    return needed_strips(_least_cloth(need), need)


def cut_bias_strips(need: Need) -> Cutting | NotPossible:
    """Cut the tape as separate bias strips, laid out by `lay_out_need`.

    Returns
    -------
    Cutting or NotPossible
    """
    layout = lay_out_need(need)
    if isinstance(layout, NotPossible):
        return layout
    return cutting_of_layout(layout, need)


def cutting_of_layout(layout: BiasLayout, need: Need) -> Cutting:
    """Say what a layout comes to as a way of cutting the tape that is needed."""
    strips = len(layout.places)
    return Cutting(
        need=need,
        method=Method.BIAS_STRIPS,
        cut_size=(layout.width, layout.length),
        strip_lengths=layout.strip_lengths,
        yield_length=layout.yield_length,
        joins=strips - 1,
        seams_in_tape=strips - 1,
        line_spacing=need.cut_width,
        lines=_borders(layout),
        first_line=layout.first_line,
    )


def with_length(layout: BiasLayout, length: float) -> BiasLayout:
    """Lay the same strips into a longer piece of cloth.

    Parameters
    ----------
    layout : BiasLayout
    length : float
        Millimetres along the bolt, no less than the layout's.

    Returns
    -------
    BiasLayout
        Lines are ruled from the corner (0, H), which moves up; no strip is shorter.
    """
    places = np.array(layout.places, dtype=np.float64) - (length - layout.length)
    lengths = usable_lengths(places, layout.width, length, layout.cut_width)
    return replace(
        layout,
        length=length,
        places=tuple(places.tolist()),
        strip_lengths=tuple(lengths.tolist()),
        yield_length=layout.yield_length
        + float(lengths.sum())
        - math.fsum(layout.strip_lengths),
    )


def strip_outlines(layout: BiasLayout) -> tuple[tuple[Point, ...], ...]:
    """Draw every strip as it lies in the cloth.

    Returns
    -------
    tuple
        Four corners (x across, y along, millimetres) for each strip: anticlockwise,
        from its border nearer to the corner (F, 0), at the near end.
    """
    half = layout.cut_width / math.sqrt(2.0)
    turned = layout.width - layout.length
    outlines = []
    for place in layout.places:
        near_left, near_right = _end(place, half)
        # The far corner is the near corner of the cloth turned by half a turn.
        far_right, far_left = (
            (layout.width - x, layout.length - y) for x, y in _end(turned - place, half)
        )
        outlines.append((near_right, far_right, far_left, near_left))
    return tuple(outlines)


def _end(place: float, half: float) -> tuple[Point, Point]:
    """Cut the end near (0, 0): its two corners, at t - half and at t + half."""
    left, right = place - half, place + half
    if place >= 0.0:
        level = max(0.0, -left)
        return (left + level, level), (right + level, level)
    level = max(0.0, right)
    return (level, level - left), (level, level - right)


def _least_cloth(need: Need) -> BiasLayout:
    def layout(length: float) -> BiasLayout:
        return lay_strips(
            need.usable_width, length, need.cut_width, need.seam, need.shortest_strip
        )

    low, high = 0.0, need.length * need.cut_width / need.usable_width
    found = layout(high)
    while found.yield_length < need.length:
        low, high = high, 2.0 * high
        found = layout(high)
    while high - low > SEARCH_STEP_MM:
        middle = 0.5 * (low + high)
        tried = layout(middle)
        if tried.yield_length >= need.length:
            high, found = middle, tried
        else:
            low = middle
    return found


def needed_strips(layout: BiasLayout, need: Need) -> BiasLayout:
    """Leave out the shortest strips as long as the rest is enough.

    Parameters
    ----------
    layout : BiasLayout
        With at least one strip, and enough tape.
    need : Need

    Returns
    -------
    BiasLayout
    """
    longest_first = sorted(
        range(len(layout.places)),
        key=lambda j: (-round(layout.strip_lengths[j] / YIELD_STEP_MM), j),
    )
    lost = _join_loss(need.seam)
    kept, yielded = longest_first[:1], layout.strip_lengths[longest_first[0]]
    for j in longest_first[1:]:
        if yielded >= need.length:
            break
        kept.append(j)
        yielded += layout.strip_lengths[j] - lost
    kept.sort()
    return replace(
        layout,
        places=tuple(layout.places[j] for j in kept),
        strip_lengths=tuple(layout.strip_lengths[j] for j in kept),
        yield_length=without_rounding(yielded, need),
    )


def _borders(layout: BiasLayout) -> int:
    """Count the lines: two for each strip, less those that neighbours share."""
    neighbours = 1.5 * layout.cut_width * math.sqrt(2.0)
    shared = sum(b - a < neighbours for a, b in pairwise(layout.places))
    return 2 * len(layout.places) - shared


def _shortest(cut_width: float, seam: float, minimum: float) -> float:
    """Say how long a strip has to be.

    Below the cut width the shorter side of a trapezoid would be negative, and
    the seams at its two ends would cross.
    """
    return max(minimum, cut_width + _join_loss(seam))


def _join_loss(seam: float) -> float:
    return 2.0 * math.sqrt(2.0) * seam


def _starting_lines(
    width: float, length: float, cut_width: float, shortest: float
) -> Floats:
    """Collect the places, less one corner's and modulo the spacing, to be tried."""
    half = cut_width / math.sqrt(2.0)
    corners = (0.0, width - length)
    bends = [-length, width]
    bends += [corner + shift for corner in corners for shift in (-half, 0.0, half)]
    places = np.sort(np.clip(bends, -length, width))
    lengths = usable_lengths(places, width, length, cut_width)
    before, after = lengths[:-1], lengths[1:]
    crosses = (before < shortest) != (after < shortest)
    share = (shortest - before[crosses]) / (after - before)[crosses]
    reached = places[:-1][crosses] + share * np.diff(places)[crosses]
    every = np.concatenate((places, reached)) + length
    return np.asarray(np.mod(every, 2.0 * half))
