"""What to buy of cloth of every usual width, and what it costs."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction
from types import MappingProxyType
from typing import Final

from edgefinder.constants import MM_PER_INCH
from edgefinder.errors import SettingsError
from edgefinder.yardage.buying import FABRIC_WIDTHS, FabricWidth
from edgefinder.yardage.cutting import Cutting, Need, NotPossible
from edgefinder.yardage.methods import cut_everything
from edgefinder.yardage.preparation import (
    ClothToBuy,
    Preparation,
    cloth_to_buy,
    prepared_width,
)

MOST_COINS: Final = 10**12
"""Dearer cloth is a slip of the figure."""


class PriceUnit(StrEnum):
    """The length that a price is for."""

    YARD = "yd"
    METRE = "m"


_MM_PER_UNIT: Final = MappingProxyType(
    {PriceUnit.YARD: Fraction("914.4"), PriceUnit.METRE: Fraction(1000)}
)
"""Exact, so that money is never a binary fraction (see `constants.MM_PER_YARD`)."""


@dataclass(frozen=True, slots=True)
class Price:
    """What cloth costs.

    Parameters
    ----------
    coins : int
        Price of one unit of length, in the smallest coin: 1250 for 12.50.
    per : PriceUnit

    Raises
    ------
    SettingsError
        If it is below 0, or absurdly high.
    """

    coins: int
    per: PriceUnit

    def __post_init__(self) -> None:
        if not 0 <= self.coins <= MOST_COINS:
            raise SettingsError(
                f"a price of {self.coins} of the smallest coin per {self.per}; "
                "give 0 or more"
            )


@dataclass(frozen=True, slots=True)
class BuyingRow:
    """One way to cut the tape from cloth of one width.

    Parameters
    ----------
    cloth : FabricWidth
    usable_width : float
        Millimetres.
    cutting : Cutting
    amount : ClothToBuy
    cost : int or None
        In the smallest coin; None without a price.
    """

    cloth: FabricWidth
    usable_width: float
    cutting: Cutting
    amount: ClothToBuy
    cost: int | None


@dataclass(frozen=True, slots=True)
class WidthRows:
    """All ways to cut the tape from cloth of one width.

    Parameters
    ----------
    cloth : FabricWidth
    usable_width : float
        Millimetres.
    rows : tuple of BuyingRow
        The least cloth to buy first; of equals, the least waste.
    not_possible : tuple of NotPossible
    """

    cloth: FabricWidth
    usable_width: float
    rows: tuple[BuyingRow, ...]
    not_possible: tuple[NotPossible, ...]


def _labelled(label: str) -> FabricWidth:
    return next(width for width in FABRIC_WIDTHS if width.label == label)


def _within(label: str, of: str, width: float) -> FabricWidth:
    """Name one width out of a range that is sold."""
    return replace(_labelled(of), label=label, narrowest=width, widest=width)


TABLE_WIDTHS: Final = (
    _labelled("35-36 in"),
    _labelled("44-45 in"),
    _within("54 in", "52-54 in", 54 * MM_PER_INCH),
    _labelled("58-60 in"),
    _labelled("90 cm"),
    _within("112 cm", "110-115 cm", 1120.0),
    _labelled("140 cm"),
    _labelled("150 cm"),
)
"""Widths that a buying table compares: the commonest of those sold."""


def table_width(cloth: FabricWidth, preparation: Preparation) -> float:
    """Say what is usable of cloth sold as some width.

    Parameters
    ----------
    cloth : FabricWidth
    preparation : Preparation

    Returns
    -------
    float
        Millimetres: the narrowest width sold under the label, prepared. Where a usable
        width is published and no selvage is set, the published one shrinks instead.
    """
    if cloth.usable is not None and not preparation.selvage:
        return prepared_width(cloth.usable, preparation)
    return prepared_width(cloth.narrowest, preparation)


def buying_table(
    need: Need,
    preparation: Preparation,
    price: Price | None = None,
    widths: Sequence[FabricWidth] = TABLE_WIDTHS,
) -> tuple[WidthRows, ...]:
    """Cut one tape from cloth of every width.

    Parameters
    ----------
    need : Need
        Its usable width is replaced by that of each cloth.
    preparation : Preparation
    price : Price or None
        Of any of the cloths.
    widths : sequence of FabricWidth

    Returns
    -------
    tuple of WidthRows
        One for each width, in their order.
    """
    return tuple(_width_rows(need, cloth, preparation, price) for cloth in widths)


def cost_of(length: float, step: float, price: Price) -> int:
    """Price a whole number of steps of cloth, exactly.

    Parameters
    ----------
    length : float
        Millimetres that are bought.
    step : float
        Millimetres; the length is a multiple of it.
    price : Price

    Returns
    -------
    int
        In the smallest coin; half a coin is rounded up.

    Raises
    ------
    ValueError
        If the length is not a whole number of steps.

    Examples
    --------
    >>> cost_of(1028.7, 114.3, Price(1250, PriceUnit.YARD))  # 1 1/8 yd at 12.50
    1406
    """
    steps = round(length / step)
    if not math.isclose(steps * step, length, rel_tol=1e-9, abs_tol=1e-9):
        raise ValueError(f"{length} is no whole number of steps of {step}")
    # The decimal that a step is written as, 114.3, not its binary neighbour.
    units = steps * Fraction(repr(float(step))) / _MM_PER_UNIT[price.per]
    return math.floor(units * price.coins + Fraction(1, 2))


def _width_rows(
    need: Need, cloth: FabricWidth, preparation: Preparation, price: Price | None
) -> WidthRows:
    usable = table_width(cloth, preparation)
    plan = cut_everything(replace(need, usable_width=usable))
    rows = []
    for cutting in plan.cuttings:
        amount = cloth_to_buy(cutting.cut_size[1], preparation, need.buy_step)
        cost = None if price is None else cost_of(amount.buy, need.buy_step, price)
        rows.append(BuyingRow(cloth, usable, cutting, amount, cost))
    rows.sort(key=lambda row: row.amount.buy)  # stable: the least waste stays first
    return WidthRows(cloth, usable, tuple(rows), plan.not_possible)
