"""Corners that the tape turns.

At an outside corner the folded tape lies along the edge and the pleat of the mitre,
2 w tan(t/2), is what the shorter stitching line releases: no extra tape. At an inside
corner the stitching line is longer by 2 w tan(t/2), unless the corner is clipped and
pulled straight.
"""

import math
from typing import Final

from edgefinder.binding.runs import RunCorner
from edgefinder.classifier.job import InsideCorner

SHARP_CORNER: Final = math.radians(120.0)
"""At a sharper outside corner the folded layers stack up (working default)."""


def mitre_length(corner: RunCorner, width: float, way: InsideCorner) -> float:
    """Return the extra tape that a corner takes.

    Parameters
    ----------
    corner : RunCorner
    width : float
        Finished width in millimetres.
    way : InsideCorner

    Returns
    -------
    float
        Millimetres.
    """
    if corner.turn > 0 or way is InsideCorner.CLIP:
        return 0.0
    return 2 * width * math.tan(-corner.turn / 2)


def is_sharp(corner: RunCorner) -> bool:
    """Whether the folded layers of a corner stack up."""
    return corner.turn > SHARP_CORNER
