"""Figures as the person reads them: rounding and units, nothing else."""

import math

from edgefinder.constants import MM_PER_INCH
from edgefinder.units import (
    ROUNDING_SLACK,
    Rounding,
    Unit,
    format_length,
    format_yardage,
    rounded,
)
from edgefinder.yardage.buying import ruler_size


def length(value: float | None, unit: Unit) -> str:
    """Write a measured length to 1/8 in or 1 mm; a dash where there is none."""
    return "-" if value is None else format_length(value, unit)


def to_cut(value: float, unit: Unit) -> str:
    """Write a length to cut, rounded up."""
    return format_length(value, unit, rounding=Rounding.UP)


def spare(yielded: float, needed: float, unit: Unit) -> float:
    """Return what is left over between two lengths as they are written.

    Parameters
    ----------
    yielded : float
        Millimetres; written by `length`.
    needed : float
        Millimetres; written by `to_cut`.
    unit : Unit

    Returns
    -------
    float
        Millimetres: the difference of the two figures, so that they add up; 0 where
        the one is no more than the other.
    """
    mark = MM_PER_INCH / 8 if unit is Unit.INCH else 1.0
    left = rounded(yielded / mark, Rounding.NEAREST)
    left -= rounded(needed / mark, Rounding.UP)
    return max(0.0, mark * left)


def on_ruler(value: float, unit: Unit, most: float = math.inf) -> str:
    """Write a size of cloth rounded up to what a ruler shows: 1/8 in or 5 mm.

    Where the cloth ends, at ``most``, nothing is rounded up beyond it.
    """
    return to_cut(ruler_size(value, unit, most), unit)


def size_words(size: tuple[float, float], usable: float, unit: Unit) -> str:
    """Write a size to cut, across x along, as a ruler shows it."""
    across, along = size
    first = on_ruler(across, unit, usable).removesuffix(str(unit))
    return f"{first}x {on_ruler(along, unit)}"


def width(value: float, unit: Unit) -> str:
    """Write the width of a tape or strip to 1/16 in or 0.1 mm."""
    return format_length(value, unit, denominator=16, parts=10)


def width_at_most(value: float | None, unit: Unit) -> str:
    """Write a greatest width, rounded down to 1/16 in or 0.5 mm.

    ``any`` where nothing limits it, ``none`` where no tape is so narrow.
    """
    if value is None or math.isinf(value):
        return "any"
    if value < (MM_PER_INCH / 16 if unit is Unit.INCH else 1.0) - ROUNDING_SLACK:
        return "none"
    return format_length(value, unit, denominator=16, parts=2, rounding=Rounding.DOWN)


def radius_at_least(value: float, unit: Unit) -> str:
    """Write a least radius, rounded up."""
    return format_length(value, unit, rounding=Rounding.UP)


def cloth(value: float, unit: Unit) -> str:
    """Write a length of cloth to buy in eighths of a yard or centimetres."""
    return format_yardage(value, unit)


def area(value: float, unit: Unit) -> str:
    """Write an area to a whole square inch or square centimetre."""
    if unit is Unit.INCH:
        return f"{value / MM_PER_INCH**2:.0f} sq in"
    return f"{value / 100:.0f} cm2"


def percent(fraction: float | None) -> str:
    """Write a fraction as per cent; a dash where there is none."""
    if fraction is None:
        return "-"
    figure = 100 * fraction
    return f"{figure:.1f} %" if figure < 10 else f"{figure:.0f} %"


def degrees(angle: float) -> str:
    """Write an angle in radians as whole degrees."""
    return f"{math.degrees(angle):.0f}"
