"""What to buy of cloth of every usual width, and what it costs."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from edgefinder.constants import MM_PER_INCH
from edgefinder.yardage.buying import FABRIC_WIDTHS, FabricWidth
from edgefinder.yardage.cutting import Cutting, Need, NotPossible
from edgefinder.yardage.methods import cut_everything
from edgefinder.yardage.preparation import Preparation, prepared_width


@dataclass(frozen=True, slots=True)
class WidthRows:
    """All ways to cut the tape from cloth of one width.

    Parameters
    ----------
    cloth : FabricWidth
    usable_width : float
        Millimetres.
    cuttings : tuple of Cutting
        The least cloth to buy first; of equals, the least waste.
    not_possible : tuple of NotPossible
    """

    cloth: FabricWidth
    usable_width: float
    cuttings: tuple[Cutting, ...]
    not_possible: tuple[NotPossible, ...]

    @property
    def least(self) -> Cutting | None:
        """The cutting that buys least cloth; None where none is possible."""
        return self.cuttings[0] if self.cuttings else None


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
    need: Need, widths: Sequence[FabricWidth] = TABLE_WIDTHS
) -> tuple[WidthRows, ...]:
    """Cut one tape from cloth of every width.

    Parameters
    ----------
    need : Need
        Its usable width is replaced by that of each cloth, once that is prepared.
    widths : sequence of FabricWidth

    Returns
    -------
    tuple of WidthRows
        One for each width, in their order.
    """
    return tuple(_width_rows(need, cloth) for cloth in widths)


def _width_rows(need: Need, cloth: FabricWidth) -> WidthRows:
    usable = table_width(cloth, need.preparation)
    plan = cut_everything(replace(need, usable_width=usable))
    # Stable: of equals the least waste stays first.
    cuttings = sorted(plan.cuttings, key=lambda cutting: cutting.buy)
    return WidthRows(cloth, usable, tuple(cuttings), plan.not_possible)
