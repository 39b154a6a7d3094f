"""The strips of a cutting, one by one, as they lie in the cloth."""

import math
from typing import Final

import numpy as np

from edgefinder.yardage.bias_strips import BiasLayout, strip_outlines, usable_lengths
from edgefinder.yardage.cutting import Cutting, Method
from edgefinder.yardage.strip_ends import End, Strip

Point = tuple[float, float]

LENGTH_SLACK_MM: Final = 1e-6
"""Strips are told apart by their lengths; larger would confuse neighbours, smaller
would miss one by a rounding error."""


def cut_strips(cutting: Cutting) -> tuple[Strip, ...]:
    """Take the separate strips out of a cutting.

    Raises
    ------
    ValueError
        If it is a tube: its strips are one spiral.
    """
    if cutting.method is Method.BIAS_STRIPS:
        return bias_strips(bias_layout(cutting))
    return straight_strips(cutting)


def bias_layout(cutting: Cutting) -> BiasLayout:
    """Find again where the strips of a cutting lie.

    Parameters
    ----------
    cutting : Cutting
        By `Method.BIAS_STRIPS`.

    Returns
    -------
    BiasLayout

    Raises
    ------
    ValueError
        If its lengths are not those of strips side by side from its first line.

    Notes
    -----
    Strips lie on a grid that the first line begins; one that was left out, at an end
    or between two others, is known by its length, which is not in the list.
    """
    if cutting.first_line is None:
        raise ValueError("a cutting without a first line has no bias strips")
    width, length = cutting.cut_size
    step = cutting.line_spacing * math.sqrt(2.0)
    first = cutting.first_line - length + step / 2.0
    count = math.ceil((width + length) / step) + 1
    places = first + step * np.arange(count, dtype=np.float64)
    lengths = usable_lengths(places, width, length, cutting.line_spacing)
    kept: list[float] = []
    for place, strip in zip(places.tolist(), lengths.tolist(), strict=True):
        wanted = cutting.strip_lengths[len(kept) : len(kept) + 1]
        if wanted and abs(strip - wanted[0]) <= LENGTH_SLACK_MM:
            kept.append(place)
    if len(kept) != cutting.strips:
        raise ValueError("these strips do not lie side by side")
    return BiasLayout(
        width=width,
        length=length,
        cut_width=cutting.line_spacing,
        places=tuple(kept),
        strip_lengths=cutting.strip_lengths,
        yield_length=cutting.yield_length,
    )


def bias_strips(layout: BiasLayout) -> tuple[Strip, ...]:
    """Take the strips out of a layout."""
    strips = []
    laid = zip(strip_outlines(layout), layout.strip_lengths, strict=True)
    for number, (corners, length) in enumerate(laid, start=1):
        lower_near, lower_far, upper_far, upper_near = corners
        strips.append(
            Strip(
                number=number,
                length=length,
                cut_width=layout.cut_width,
                near=_lean(lower_near, upper_near),
                far=_lean(lower_far, upper_far),
                corners=(lower_near, lower_far, upper_far, upper_near),
            )
        )
    return tuple(strips)


def straight_strips(cutting: Cutting) -> tuple[Strip, ...]:
    """Take the strips out of a crosswise or lengthwise cutting.

    Raises
    ------
    ValueError
        If the cutting is one of bias tape.
    """
    across = cutting.method is Method.CROSSWISE_STRIPS
    if not across and cutting.method is not Method.LENGTHWISE_STRIPS:
        raise ValueError(f"no straight strips: {cutting.method}")
    width = cutting.need.cut_width
    strips = []
    for i, length in enumerate(cutting.strip_lengths):
        low, high = i * width, (i + 1) * width
        corners = (
            ((0.0, low), (length, low), (length, high), (0.0, high))
            if across
            else ((high, 0.0), (high, length), (low, length), (low, 0.0))
        )
        strips.append(Strip(i + 1, length, width, End.SQUARE, End.SQUARE, corners))
    return tuple(strips)


def _lean(lower: Point, upper: Point) -> End:
    """Judge an end of a strip that runs in the direction (1, 1)."""
    along = (upper[0] - lower[0]) + (upper[1] - lower[1])
    return End.FORWARD if along > 0.0 else End.BACK
