"""Where pieces lie beside one another on the page, so that none covers another."""

import math
from collections.abc import Sequence
from typing import Final

GAP: Final = 0.2
"""Of the mean side of a piece, left between two: labels stand there."""
LEAST_GAP_MM: Final = 30.0
PAGE_SHAPE: Final = 1.5
"""Width of the whole to its height, as most windows have it."""


def pack(boxes: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Lay boxes in rows, in their order.

    Parameters
    ----------
    boxes : sequence of (float, float)
        Width and height in millimetres.

    Returns
    -------
    list of (float, float)
        The upper left corner of each, y down; no two boxes come nearer than a gap.
    """
    if not boxes:
        return []
    mean = math.fsum(wide + high for wide, high in boxes) / (2 * len(boxes))
    gap = max(GAP * mean, LEAST_GAP_MM)
    area = math.fsum((wide + gap) * (high + gap) for wide, high in boxes)
    row_width = max(math.sqrt(area * PAGE_SHAPE), max(wide for wide, _ in boxes) + gap)
    places = []
    x = y = tallest = 0.0
    for wide, high in boxes:
        if x > 0 and x + wide > row_width:
            x, y, tallest = 0.0, y + tallest + gap, 0.0
        places.append((x, y))
        x, tallest = x + wide + gap, max(tallest, high)
    return places
