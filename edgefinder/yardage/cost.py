"""What a length of cloth costs, exact to the smallest coin."""

import math
from fractions import Fraction
from types import MappingProxyType
from typing import Final

from edgefinder.classifier.price_words import Price, PriceUnit

_MM_PER_UNIT: Final = MappingProxyType(
    {PriceUnit.YARD: Fraction("914.4"), PriceUnit.METRE: Fraction(1000)}
)
"""Exact, so that money is never a binary fraction (see `constants.MM_PER_YARD`)."""


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
