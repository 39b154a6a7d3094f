"""All ways of cutting one tape, side by side."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from edgefinder.classifier.job import Grain
from edgefinder.yardage.bias_strips import cut_bias_strips
from edgefinder.yardage.cutting import Cutting, Need, NotPossible
from edgefinder.yardage.ordered import cut_in_order, cut_tube_in_order
from edgefinder.yardage.straight_strips import cut_crosswise, cut_lengthwise
from edgefinder.yardage.tube import (
    SquareRootRule,
    cut_rectangle,
    cut_square,
    square_root_rule,
)

WASTE_STEP: Final = 1e-9
"""Wastes that differ by less count as equal: otherwise rounding errors would rank."""

METHODS: Final = MappingProxyType[
    Grain, tuple[Callable[[Need], Cutting | NotPossible], ...]
](
    {
        Grain.BIAS: (
            cut_tube_in_order(cut_square),
            cut_tube_in_order(cut_rectangle),
            cut_in_order(cut_bias_strips),
        ),
        Grain.CROSSWISE: (cut_in_order(cut_crosswise),),
        Grain.LENGTHWISE: (cut_in_order(cut_lengthwise),),
    }
)
"""The ways to cut each grain."""


@dataclass(frozen=True, slots=True)
class CuttingPlan:
    """Every way to cut one tape.

    Parameters
    ----------
    need : Need
    cuttings : tuple of Cutting
        What is possible, least waste first; equal waste: fewer joins, less cloth.
    not_possible : tuple of NotPossible
        The other methods, each with its reason.
    rule : SquareRootRule
        What the familiar rule comes to, for comparison.
    """

    need: Need
    cuttings: tuple[Cutting, ...]
    not_possible: tuple[NotPossible, ...]
    rule: SquareRootRule

    @property
    def least_waste(self) -> Cutting | None:
        """The cutting that wastes the smallest share of the cloth cut off."""
        return self.cuttings[0] if self.cuttings else None

    @property
    def least_cloth(self) -> Cutting | None:
        """The cutting that buys least off the bolt; of equals, the least waste."""
        return min(self.cuttings, key=lambda cutting: cutting.buy, default=None)


def cut_everything(need: Need) -> CuttingPlan:
    """Try every method that gives the grain asked for.

    Parameters
    ----------
    need : Need
        With `grain` None, all methods are compared.

    Returns
    -------
    CuttingPlan
    """
    grains = tuple(Grain) if need.grain is None else (need.grain,)
    results = [method(need) for grain in grains for method in METHODS[grain]]
    cuttings = [result for result in results if isinstance(result, Cutting)]
    return CuttingPlan(
        need=need,
        cuttings=ranked(cuttings),
        not_possible=tuple(r for r in results if isinstance(r, NotPossible)),
        rule=square_root_rule(need),
    )


def ranked(cuttings: Iterable[Cutting]) -> tuple[Cutting, ...]:
    """Sort ways of cutting: least waste, then fewest joins, then least cloth."""
    return tuple(sorted(cuttings, key=_rank))


def _rank(cutting: Cutting) -> tuple[int, int, float]:
    return round(cutting.waste / WASTE_STEP), cutting.joins, cutting.buy
