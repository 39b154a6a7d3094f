"""How wide a strip is cut for each way of folding it.

::

    cut = k w + 2 s + turn of cloth

k counts the finished widths of cloth that lie over or under one another, s is what is
turned under or sewn in at each edge of the strip. With s as wide as the binding this is
the 4x rule (double fold) and the 6x rule (double layer).
"""

import math
from types import MappingProxyType
from typing import Final, NamedTuple

from edgefinder.classifier.job import TapeFold


class _Rule(NamedTuple):
    """Widths that are covered, and the strip's own seams over the finished width."""

    covered: int
    seams: int
    usual_seam: float


_RULES: Final = MappingProxyType(
    {
        TapeFold.SINGLE: _Rule(2, 0, 0.0),
        TapeFold.DOUBLE: _Rule(2, 2, 1.0),
        TapeFold.DOUBLE_LAYER: _Rule(4, 2, 1.0),
        TapeFold.FLAT: _Rule(1, 2, 0.0),
        TapeFold.FACING: _Rule(1, 2, 1.0),
    }
)
"""The 2x, 4x and 6x rules (common practice; 6x plus 1/4 in for the double layer:
sewing manual). A flat strip covers one side with its edges as cut unless a seam is
given, a bias facing one side with both edges turned in (derived)."""


def cut_width(
    finished_width: float,
    fold: TapeFold,
    turn_of_cloth: float = 0.0,
    seam: float | None = None,
) -> float:
    """Return the width of the flat strip.

    Parameters
    ----------
    finished_width : float
        Millimetres that show on one side.
    fold : TapeFold
    turn_of_cloth : float
        Millimetres.
    seam : float or None
        The strip's own seam allowance in millimetres; None for the usual one of this
        fold.

    Returns
    -------
    float
        Millimetres.

    Examples
    --------
    >>> cut_width(10.0, TapeFold.DOUBLE_LAYER)
    60.0
    """
    rule = _RULES[fold]
    own = rule.usual_seam * finished_width if seam is None else seam
    return math.fsum((rule.covered * finished_width, rule.seams * own, turn_of_cloth))
