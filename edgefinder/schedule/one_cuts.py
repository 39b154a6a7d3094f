"""All tapes of a size out of one cloth in one cut, and the size that takes most."""

from collections.abc import Sequence
from dataclasses import dataclass

from edgefinder.classifier.job import Grain
from edgefinder.yardage.cutting import Cutting, NotPossible
from edgefinder.yardage.one_cut import WantedTape, one_cut
from edgefinder.yardage.preparation import ClothToBuy
from edgefinder.yardage.strip_rows import OneCut


@dataclass(frozen=True, slots=True)
class TapeToCut:
    """A tape with its cloth, and the way of cutting it alone that buys least."""

    tape: WantedTape
    cloth: str
    grain: Grain
    alone: Cutting | None


@dataclass(frozen=True, slots=True)
class GrainCut:
    """Tapes of one cloth and one grain.

    Parameters
    ----------
    cloth : str
    grain : Grain
    tapes : tuple of WantedTape
    together : OneCut or NotPossible or None
        All of them in one cut; None for a single tape, and where the order of strips
        matters: that is found for each tape alone.
    bought : ClothToBuy or None
        For all in one cut; None where that is not possible.
    alone : float or None
        Millimetres of cloth to buy for each by itself, added up; None where one of them
        cannot be cut.
    """

    cloth: str
    grain: Grain
    tapes: tuple[WantedTape, ...]
    together: OneCut | NotPossible | None
    bought: ClothToBuy | None
    alone: float | None

    @property
    def area(self) -> float:
        """Square millimetres of tape."""
        return sum(tape.need.length * tape.need.cut_width for tape in self.tapes)

    @property
    def buy(self) -> float | None:
        """The lesser of the two."""
        both = [self.alone, self.bought.buy if self.bought else None]
        return min((length for length in both if length is not None), default=None)


@dataclass(frozen=True, slots=True)
class LargestSize:
    """The size that buys most of one cloth, cut on one grain."""

    cloth: str
    grain: Grain
    size: str
    buy: float


def grain_cuts(tapes: Sequence[TapeToCut]) -> tuple[GrainCut, ...]:
    """Cut the tapes of a size, those of one cloth and grain together.

    Parameters
    ----------
    tapes : sequence of TapeToCut

    Returns
    -------
    tuple of GrainCut
        In the order in which cloth and grain first come.
    """
    groups: dict[tuple[str, Grain], list[TapeToCut]] = {}
    for tape in tapes:
        groups.setdefault((tape.cloth, tape.grain), []).append(tape)
    return tuple(_grain_cut(*key, group) for key, group in groups.items())


def _grain_cut(cloth: str, grain: Grain, group: Sequence[TapeToCut]) -> GrainCut:
    wanted = tuple(one.tape for one in group)
    has_order = any(tape.need.has_order for tape in wanted)
    together = one_cut(wanted, grain) if len(group) > 1 and not has_order else None
    bought = None
    if isinstance(together, OneCut):
        bought = wanted[0].need.to_buy(together.length)
    own = [one.alone.buy for one in group if one.alone is not None]
    alone = sum(own) if len(own) == len(group) else None
    return GrainCut(cloth, grain, wanted, together, bought, alone)


def largest_sizes(
    sizes: Sequence[tuple[str, Sequence[GrainCut]]],
) -> tuple[LargestSize, ...]:
    """Name the size that buys most, for the back cover.

    Parameters
    ----------
    sizes : sequence of (str, sequence of GrainCut)

    Returns
    -------
    tuple of LargestSize
        One for each cloth and grain; of sizes that buy the same, that with the
        most tape. A cloth of which some size cannot be cut has none.
    """
    found: dict[tuple[str, Grain], list[tuple[GrainCut, str]]] = {}
    for size, cuts in sizes:
        for cut in cuts:
            found.setdefault((cut.cloth, cut.grain), []).append((cut, size))
    largest = []
    for (cloth, grain), bought in found.items():
        known = [
            (cut.buy, cut.area, size) for cut, size in bought if cut.buy is not None
        ]
        if len(known) == len(bought):
            buy, _, size = max(known, key=lambda one: one[:2])
            largest.append(LargestSize(cloth, grain, size, buy))
    return tuple(largest)
