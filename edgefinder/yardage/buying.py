"""What a shop sells: cloth by the step off a bolt of some width."""

import math
from dataclasses import dataclass
from typing import Final

from edgefinder.constants import MM_PER_INCH
from edgefinder.errors import SettingsError
from edgefinder.units import Unit, format_length

SELVAGE_MM: Final = 25.4
"""Width lost to each selvage, 1 in: what the published usable width of 42 in leaves
of 44 in cloth (derived)."""
RULER_STEP_INCH_MM: Final = MM_PER_INCH / 8
"""1/8 in, the finest mark that is easily read on a cutting ruler (common practice)."""
RULER_STEP_METRIC_MM: Final = 5.0
"""5 mm, the same on a metric one (common practice)."""
LEAST_STEP_MM: Final = 1.0
"""Nobody cuts cloth finer than this; a smaller step is a slip of the unit."""

STEP_SLACK: Final = 1e-9
"""A length this share of a step above a step counts as on it.

Larger: cloth comes out short. Smaller: the rounding error of a sum buys a step.
"""


@dataclass(frozen=True, slots=True)
class FabricWidth:
    """A width in which cloth is sold.

    Parameters
    ----------
    label : str
        As shops write it.
    narrowest, widest : float
        Millimetres; equal where one width is meant.
    usable : float or None
        Millimetres without the selvages, where somebody has published it.
    source : str
        Where the figures come from.
    """

    label: str
    narrowest: float
    widest: float
    usable: float | None
    source: str


def _inches(narrowest: int, widest: int, usable: int | None = None) -> FabricWidth:
    one = narrowest == widest
    return FabricWidth(
        label=f"{narrowest} in" if one else f"{narrowest}-{widest} in",
        narrowest=narrowest * MM_PER_INCH,
        widest=widest * MM_PER_INCH,
        usable=None if usable is None else usable * MM_PER_INCH,
        source="published: yardage conversion charts",
    )


def _centimetres(narrowest: int, widest: int) -> FabricWidth:
    one = narrowest == widest
    return FabricWidth(
        label=f"{narrowest} cm" if one else f"{narrowest}-{widest} cm",
        narrowest=narrowest * 10.0,
        widest=widest * 10.0,
        usable=None,
        source="from memory, not verified",
    )


FABRIC_WIDTHS: Final = (
    _inches(35, 36),
    _inches(39, 39),
    _inches(41, 41),
    _inches(44, 45, usable=42),
    _inches(50, 50),
    _inches(52, 54),
    _inches(58, 60),
    _inches(66, 66),
    _centimetres(90, 90),
    _centimetres(110, 115),
    _centimetres(140, 140),
    _centimetres(150, 150),
)
"""Widths sold, inches first, each from narrow to wide."""


def usable_width(cloth_width: float, selvage: float = SELVAGE_MM) -> float:
    """Take both selvages off the width of a cloth.

    Parameters
    ----------
    cloth_width : float
        Millimetres, from edge to edge.
    selvage : float
        Millimetres lost on each side.

    Returns
    -------
    float
        Millimetres.

    Raises
    ------
    SettingsError
        If nothing is left.

    Examples
    --------
    >>> round(usable_width(44 * 25.4) / 25.4, 6)
    42.0
    """
    usable = cloth_width - 2.0 * selvage
    if not (selvage >= 0.0 and usable > 0.0):
        raise SettingsError(
            f"a cloth {in_both_units(cloth_width)} wide less two selvages of "
            f"{in_both_units(selvage)} leaves nothing; give a wider cloth"
        )
    return usable


def round_up_to_step(length: float, step: float) -> float:
    """Round a length of cloth up to what can be bought.

    Parameters
    ----------
    length : float
        Millimetres off the bolt, zero or more.
    step : float
        Millimetres: 1/8 yd, 10 cm or any other.

    Returns
    -------
    float
        The least whole number of steps that holds the length, in millimetres.

    Raises
    ------
    SettingsError
        If the step is below 1 mm.

    Examples
    --------
    >>> round_up_to_step(130.0, 100.0)
    200.0
    """
    if not LEAST_STEP_MM <= step < math.inf:
        raise SettingsError(
            f"cloth cannot be bought in steps of {step:g} mm; "
            f"give a step of at least {LEAST_STEP_MM:g} mm"
        )
    steps = length / step
    return math.ceil(steps - STEP_SLACK * max(1.0, steps)) * step


def ruler_size(length: float, unit: Unit, most: float = math.inf) -> float:
    """Round a size to be cut up to the next mark of a ruler.

    Parameters
    ----------
    length : float
        Millimetres, zero or more.
    unit : Unit
        Inches are rounded to 1/8 in, metric to 5 mm.
    most : float
        Millimetres where the cloth ends: nothing is rounded up beyond it.

    Returns
    -------
    float
        Millimetres. A tube or a piece of cloth whose two sides are both rounded so
        yields no less than before.

    Examples
    --------
    >>> ruler_size(443.7, Unit.MILLIMETRE)
    445.0
    """
    step = RULER_STEP_METRIC_MM if unit.is_metric else RULER_STEP_INCH_MM
    return max(length, min(round_up_to_step(length, step), most))


def in_both_units(length: float) -> str:
    """Write a length for a sentence that is read by metric and inch people alike.

    Examples
    --------
    >>> in_both_units(1066.8)
    '1067 mm (42 in)'
    """
    if not math.isfinite(length):
        return f"{length:g} mm"
    metric = format_length(length, Unit.MILLIMETRE)
    return f"{metric} ({format_length(length, Unit.INCH)})"
