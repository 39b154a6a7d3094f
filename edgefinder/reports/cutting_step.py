"""One step of a cutting, and those that all ways of cutting have in common."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from edgefinder.reports.amounts import width
from edgefinder.reports.cutting_words import is_whole, side_words
from edgefinder.units import Unit
from edgefinder.yardage.as_cut import rounded_rest
from edgefinder.yardage.cutting import Cutting, Method

LEAST_REST_MM: Final = 1.0
"""A rest narrower than this is what rounding up to a mark of the ruler leaves."""


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do.

    Parameters
    ----------
    text : str
        In the unit of the person, rounded to what a ruler shows.
    figures : mapping of str to float
        The same figures at full precision; lengths in millimetres end in ``_mm``.
    """

    text: str
    figures: Mapping[str, float]


def make_step(text: str, **figures: float) -> Step:
    """Return a step with its figures by name."""
    return Step(text, MappingProxyType(figures))


def cut_piece(cutting: Cutting, unit: Unit) -> Step:
    """Say how the piece is cut off the cloth."""
    across, along = cutting.cut_size
    first, second = side_words(cutting, unit)
    if is_whole(cutting):
        text = (
            "Press the piece and straighten its edges on a thread, as little as it "
            f"takes; {first} across and {second} along is counted."
        )
    else:
        piece = f"a piece {first} across the cloth and {second} along the selvage"
        selvages = " and trim off the selvages"
        if cutting.method is Method.TUBE_FROM_SQUARE:
            piece = f"a square with sides of {first}"
        if cutting.need.in_hand is not None:
            piece = f"a piece {first} across and {second} along the lengthwise grain"
            selvages = ""
        text = (
            f"Press the cloth, straighten its end on a thread{selvages}. "
            f"Then cut {piece}."
        )
    return make_step(
        f"{_wash(cutting)}{text} All its edges lie on the grain.",
        across_mm=across,
        along_mm=along,
    )


def _wash(cutting: Cutting) -> str:
    preparation = cutting.need.preparation
    if not preparation.shrinkage_along and not preparation.shrinkage_across:
        return ""
    return "Wash and dry the cloth, so that it shrinks now and not later. "


def trim_words(cutting: Cutting, unit: Unit) -> str:
    """Say what rounding the piece up to a mark of the ruler leaves on a strip."""
    rest = rounded_rest(cutting)
    if rest < LEAST_REST_MM:
        return ""
    return (
        f"Strip {cutting.strips} comes out {width(rest, unit)} wider than the others, "
        "for the mark of the ruler: trim that off. "
    )
