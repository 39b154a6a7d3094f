"""How wide a strip is cut for binding of one layer, of two, or laid on flat.

The familiar 4x and 6x rules are the case where the strip's own seam allowance is as
wide as the binding. With another allowance::

    cut = k w + 2 s + turn of cloth

k = 1 flat: the strip covers w of one side only, both its edges turned under by s (or
left as cut, s = 0). k = 2 single layer: round the edge once. k = 4 double layer: the
strip is folded in half first.
"""

import math
from enum import StrEnum
from types import MappingProxyType
from typing import Final

from edgefinder.errors import SettingsError
from edgefinder.units import MAX_LENGTH_MM
from edgefinder.yardage.buying import in_both_units
from edgefinder.yardage.cutting import NARROWEST_CUT_MM


class Layers(StrEnum):
    """How many thicknesses of the strip lie over the edge."""

    FLAT = "flat"
    SINGLE = "single layer"
    DOUBLE = "double layer"


WIDTHS_COVERED: Final = MappingProxyType(
    {Layers.FLAT: 1, Layers.SINGLE: 2, Layers.DOUBLE: 4}
)
"""k, finished widths of strip that show or lie under one another (derived)."""


def strip_width(
    finished_width: float,
    layers: Layers,
    seam: float,
    turn_of_cloth: float = 0.0,
) -> float:
    """Return the cut width for a seam allowance of the strip's own.

    Parameters
    ----------
    finished_width : float
        Millimetres that show on one side.
    layers : Layers
    seam : float
        Millimetres turned under or sewn in, at each of the strip's two edges.
    turn_of_cloth : float
        Millimetres used up by going round the layers.

    Returns
    -------
    float
        Millimetres.

    Raises
    ------
    SettingsError
        If a figure is below 0, or the strip is too narrow to be cut.

    Notes
    -----
    Single layer with 3/8 in gives 2 w + 3/4 in, as *The New Dressmaker* (1921, p. 131)
    has it.

    Examples
    --------
    >>> strip_width(10.0, Layers.DOUBLE, 10.0)
    60.0
    """
    figures = (
        ("finished width", finished_width),
        ("seam allowance of the strip", seam),
        ("turn of cloth", turn_of_cloth),
    )
    mistakes = [
        f"the {name} is {value:g} mm; give one from 0 mm to {MAX_LENGTH_MM:g} mm"
        for name, value in figures
        if not 0.0 <= value <= MAX_LENGTH_MM
    ]
    if mistakes:
        raise SettingsError(*mistakes)
    covered = WIDTHS_COVERED[layers] * finished_width
    width = math.fsum((covered, 2.0 * seam, turn_of_cloth))
    if width < NARROWEST_CUT_MM:
        raise SettingsError(
            f"the strip comes out {in_both_units(width)} wide; give the finished width "
            "with its unit"
        )
    return width
