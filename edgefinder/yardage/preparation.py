"""What cloth loses before the first strip is cut, and what is bought to be safe.

All allowances are off unless asked for; the usual figure stands beside each. The cloth
shrinks first, then the selvages come off and the ends are squared up::

    usable width = bought width (1 - crosswise shrinkage) - 2 selvages
    to buy       = (length to cut (1 + contingency) + squaring up)
                   / (1 - lengthwise shrinkage), rounded up to the step
"""

import math
from dataclasses import dataclass, fields
from enum import StrEnum
from typing import Final

from edgefinder.classifier.fabric_settings import (
    MOST_CONTINGENCY_PERCENT,
    MOST_SHRINKAGE_PERCENT,
)
from edgefinder.constants import MM_PER_INCH
from edgefinder.errors import SettingsError
from edgefinder.yardage.buying import SELVAGE_MM, in_both_units, round_up_to_step

MOST_LOST_MM: Final = 1000.0
"""A selvage or a crooked end of more than 1 m is a slip of the unit."""


class Mark(StrEnum):
    """Where a usual figure comes from."""

    PUBLISHED = "published"
    COMMON = "common practice"
    MEMORY = "from memory, not verified"
    DERIVED = "derived"


@dataclass(frozen=True, slots=True)
class Usual:
    """What people usually allow.

    Parameters
    ----------
    name : str
        As reports print it.
    least, most : float
        Fractions where `is_share`, else millimetres; equal where one figure is meant.
    is_share : bool
    mark : Mark
    about : str
        Where the figure comes from, in a few words.
    """

    name: str
    least: float
    most: float
    is_share: bool
    mark: Mark
    about: str


@dataclass(frozen=True, slots=True)
class Preparation:
    """Allowances made before cutting; all off by default.

    Parameters
    ----------
    shrinkage_along, shrinkage_across : float
        Fractions of the length and of the width that washing takes.
    squaring : float
        Millimetres of length lost by cutting the ends square to the selvage.
    selvage : float
        Millimetres of width lost on each side.
    contingency : float
        Fraction of the length to cut, bought in addition.

    Raises
    ------
    SettingsError
        With one line for each figure that cannot be right.
    """

    shrinkage_along: float = 0.0
    shrinkage_across: float = 0.0
    squaring: float = 0.0
    selvage: float = 0.0
    contingency: float = 0.0

    def __post_init__(self) -> None:
        most = {
            "shrinkage_along": MOST_SHRINKAGE_PERCENT / 100,
            "shrinkage_across": MOST_SHRINKAGE_PERCENT / 100,
            "squaring": MOST_LOST_MM,
            "selvage": MOST_LOST_MM,
            "contingency": MOST_CONTINGENCY_PERCENT / 100,
        }
        mistakes = []
        for field, usual in zip(fields(self), USUAL, strict=True):
            value, limit = getattr(self, field.name), most[field.name]
            if not 0.0 <= value <= limit:
                mistakes.append(_mistake(usual, value, limit))
        if mistakes:
            raise SettingsError(*mistakes)


@dataclass(frozen=True, slots=True)
class Allowance:
    """One allowance as it is set, with the usual figure beside it."""

    value: float
    usual: Usual

    @property
    def is_on(self) -> bool:
        """Whether it changes anything."""
        return self.value > 0.0


@dataclass(frozen=True, slots=True)
class ClothToBuy:
    """How a length of cloth to cut becomes a length to buy, all in millimetres.

    Parameters
    ----------
    cut : float
        Off the bolt for the strips.
    contingency, squaring, shrinkage : float
        Added for each.
    rounding : float
        Added up to the next step.
    buy : float
        The sum.
    """

    cut: float
    contingency: float
    squaring: float
    shrinkage: float
    rounding: float
    buy: float


USUAL: Final = (
    Usual(
        "shrinkage lengthwise",
        0.03,
        0.05,
        is_share=True,
        mark=Mark.MEMORY,
        about="cotton, washed before cutting",
    ),
    Usual(
        "shrinkage crosswise",
        0.03,
        0.05,
        is_share=True,
        mark=Mark.MEMORY,
        about="cotton, washed before cutting",
    ),
    Usual(
        "squaring up",
        MM_PER_INCH,
        2.0 * MM_PER_INCH,
        is_share=False,
        mark=Mark.MEMORY,
        about="both ends cut on a thread, 1 to 2 in together",
    ),
    Usual(
        "selvage, each side",
        SELVAGE_MM,
        SELVAGE_MM,
        is_share=False,
        mark=Mark.DERIVED,
        about="44 in cloth with a published usable width of 42 in",
    ),
    Usual(
        "contingency",
        0.1,
        0.1,
        is_share=True,
        mark=Mark.MEMORY,
        about="a spoilt strip or two",
    ),
)
"""Usual allowances, in the order of the fields of `Preparation`."""


UNPREPARED: Final = Preparation()
"""Cloth that is cut as it is bought."""


def allowances(preparation: Preparation) -> tuple[Allowance, ...]:
    """List every allowance, whether on or off, with the usual figure beside it."""
    return tuple(
        Allowance(getattr(preparation, field.name), usual)
        for field, usual in zip(fields(preparation), USUAL, strict=True)
    )


def prepared_width(bought_width: float, preparation: Preparation) -> float:
    """Say what is usable of the width of a cloth once it is prepared.

    Parameters
    ----------
    bought_width : float
        Millimetres from edge to edge.
    preparation : Preparation

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
    >>> round(prepared_width(1400.0, Preparation(shrinkage_across=0.05)))
    1330
    """
    shrunk = bought_width * (1.0 - preparation.shrinkage_across)
    usable = shrunk - 2.0 * preparation.selvage
    if not 0.0 < usable < math.inf:
        raise SettingsError(
            f"a cloth {in_both_units(bought_width)} wide leaves nothing after "
            f"shrinkage and two selvages of {in_both_units(preparation.selvage)}; "
            "give a wider cloth"
        )
    return usable


def cloth_to_buy(cut: float, preparation: Preparation, step: float) -> ClothToBuy:
    """Add what preparation takes to a length of cloth.

    Parameters
    ----------
    cut : float
        Millimetres along the bolt that are cut into strips.
    preparation : Preparation
    step : float
        Millimetres; cloth is bought in multiples of it.

    Returns
    -------
    ClothToBuy
        With every part of the sum.

    Examples
    --------
    >>> cloth_to_buy(950.0, Preparation(shrinkage_along=0.05), 100.0).buy
    1000.0
    """
    contingency = cut * preparation.contingency
    washed = cut + contingency + preparation.squaring
    unwashed = washed / (1.0 - preparation.shrinkage_along)
    buy = round_up_to_step(unwashed, step)
    return ClothToBuy(
        cut=cut,
        contingency=contingency,
        squaring=preparation.squaring,
        shrinkage=unwashed - washed,
        rounding=buy - unwashed,
        buy=buy,
    )


def _mistake(usual: Usual, value: float, most: float) -> str:
    if usual.is_share:
        return (
            f"the {usual.name} is {100.0 * value:g} per cent; "
            f"give one from 0 to {100.0 * most:g} per cent"
        )
    return (
        f"the allowance for {usual.name} is {value:g} mm; "
        f"give one from 0 mm to {most:g} mm"
    )
