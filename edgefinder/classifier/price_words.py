"""The price of cloth as people write it: ``12.50 EUR per m``, ``$9.99/yd``."""

import re
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from edgefinder.errors import SettingsError, one_line

MOST_COINS: Final = 10**12
"""Dearer cloth is a slip of the figure."""
COINS: Final = 100
"""Of the smallest coin in one of the currency; a currency without coins has none after
the point."""
LONGEST_CURRENCY: Final = 12
"""Letters of the word for a currency; more is no currency."""


class PriceUnit(StrEnum):
    """The length that a price is for."""

    YARD = "yd"
    METRE = "m"


@dataclass(frozen=True, slots=True)
class Price:
    """What cloth costs.

    Parameters
    ----------
    coins : int
        Price of one unit of length, in the smallest coin: 1250 for 12.50.
    per : PriceUnit
    before, after : str
        The word or sign for the currency as it was written, before or after the
        figure; both empty where none was.

    Raises
    ------
    SettingsError
        If it is below 0, or absurdly high.
    """

    coins: int
    per: PriceUnit
    before: str = ""
    after: str = ""

    def __post_init__(self) -> None:
        if not 0 <= self.coins <= MOST_COINS:
            raise SettingsError(
                f"a price of {self.coins} of the smallest coin per {self.per}; "
                "give 0 or more"
            )

    def write(self, coins: int) -> str:
        """Write an amount of money in the currency of the price.

        Examples
        --------
        >>> Price(1250, PriceUnit.METRE, after="EUR").write(1406)
        '14.06 EUR'
        """
        figure = f"{coins // COINS}.{coins % COINS:02d}"
        gap = " " if self.before[-1:].isalpha() else ""
        return f"{self.before}{gap}{figure} {self.after}".strip()


_UNITS: Final = {
    **dict.fromkeys(("yd", "yard", "yards"), PriceUnit.YARD),
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), PriceUnit.METRE),
}
_PRICE: Final = re.compile(
    r"(?P<before>[^\d.,+-]*)(?P<whole>\d{1,9})(?:[.,](?P<coins>\d+))?"
    r"(?P<after>[^\d]*?)(?:/|\bper\b|\ba\b)\s*(?P<per>[a-z]+)",
    re.ASCII | re.IGNORECASE,
)


def parse_price(text: str) -> Price:
    """Read a price for a yard or a metre.

    Parameters
    ----------
    text : str
        A figure with at most two decimals, any word or sign for the currency before
        or after it, and the unit: ``per m``, ``/yd``.

    Raises
    ------
    SettingsError
        If it is none.

    Examples
    --------
    >>> parse_price("12,50 kr per m").coins
    1250
    """
    said = _PRICE.fullmatch(" ".join(text.split()))
    per = _UNITS.get(said["per"].casefold()) if said else None
    if said is None or per is None:
        raise SettingsError(
            f'"{one_line(text)}" is no price; write it like "12.50 EUR per m" or '
            '"$9.99 per yd"'
        )
    decimals = said["coins"] or ""
    if len(decimals) > 2:
        raise SettingsError(
            f'"{one_line(text)}" has {len(decimals)} figures after the point; '
            "write at most two"
        )
    before, after = said["before"].strip(), said["after"].strip()
    if before and after:
        raise SettingsError(
            f'"{one_line(text)}" names a currency on both sides; write it once'
        )
    if len(before + after) > LONGEST_CURRENCY:
        raise SettingsError(
            f'"{one_line(text)}": the word for the currency is longer than '
            f"{LONGEST_CURRENCY} letters"
        )
    coins = int(said["whole"]) * COINS + int(decimals.ljust(2, "0"))
    return Price(coins, per, one_line(before), one_line(after))
