"""Which widths lie flat along a run."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import islice
from typing import Final

from edgefinder.binding.cloth import GrainLimits
from edgefinder.binding.runs import Leg
from edgefinder.classifier.job import FoldTool
from edgefinder.curvature.band import widest_flat
from edgefinder.curvature.scanning import scan
from edgefinder.curvature.trouble import verdicts
from edgefinder.curvature.verdict import Verdict
from edgefinder.geometry.windowed import curvature_range

NARROWEST_MM: Final = 1.0
WIDEST_MM: Final = 100.0
"""Between which the widest tape is looked for: nobody folds narrower or wider."""
WIDTH_TOLERANCE_MM: Final = 1e-4
"""To which it is found: far below what a fold tool can hold."""
MOST_STEPS: Final = 60
"""Each step comes nearer by a share; drawn curves take three to ten. Larger: small
kinks take longer before they are found by halving."""


@dataclass(frozen=True, slots=True)
class WidthCount:
    """How many places a finished width has that do not lie flat.

    Parameters
    ----------
    width : float
        Millimetres.
    steam, too_tight : int
        Mitres are counted as too tight.
    tool : FoldTool or None
        The one of the person's fold tools that makes the width.
    """

    width: float
    steam: int
    too_tight: int
    tool: FoldTool | None = None


def count_places(
    runs: Sequence[Sequence[Leg]], width: float, limits: GrainLimits
) -> list[WidthCount]:
    """Count the places of some runs at another width.

    Parameters
    ----------
    runs : sequence of sequence of Leg
        The legs of each run.
    width : float
        Millimetres.
    limits : GrainLimits

    Returns
    -------
    list of WidthCount
        One for each run.
    """
    found = iter(verdicts(scan([leg for legs in runs for leg in legs], width, limits)))
    counts = []
    for legs in runs:
        said = [one for leg in islice(found, len(legs)) for one in leg]
        steam = said.count(Verdict.STEAM)
        counts.append(WidthCount(width, steam, len(said) - steam))
    return counts


def widest_everywhere(legs: Sequence[Leg], limits: GrainLimits) -> float | None:
    """Return the widest tape that lies flat along all of some legs.

    Returns
    -------
    float or None
        Millimetres; None where no curve limits the width (even `WIDEST_MM` lies
        flat), 0 where not even `NARROWEST_MM` does.
    """
    ranges = [partial(curvature_range, leg.profile) for leg in legs]

    def allowed(width: float) -> float:
        return min(_allowed(*range_at(width), limits) for range_at in ranges)

    widest = widest_below(WIDEST_MM, allowed, NARROWEST_MM)
    return widest if widest < WIDEST_MM else None


def widest_below(
    width: float, allowed: Callable[[float], float], narrowest: float
) -> float:
    """Return the widest tape that lies flat, up to a width.

    A wider window blunts a curve, so that the width that the sharpest place allows
    rises with the width that it is looked at with. Going down from the widest tape,
    each time to what the sharpest place allows, ends at the widest that lies flat.

    Parameters
    ----------
    width : float
        Millimetres, from which to go down.
    allowed : callable
        The width that the sharpest place allows, seen with another width.
    narrowest : float
        Millimetres, to which to go down.

    Returns
    -------
    float
        Millimetres; 0 where not even the narrowest lies flat.
    """
    for _ in range(MOST_STEPS):
        most = allowed(width)
        if most >= width:
            return width
        if most < narrowest:
            return 0.0
        if width - most < WIDTH_TOLERANCE_MM:
            return most
        width = most
    return _by_halving(width, allowed, narrowest)


def _by_halving(
    width: float, allowed: Callable[[float], float], narrowest: float
) -> float:
    """Find a width that lies flat below one that does not; 0 if there is none.

    A kink turns by the same at every width: where that is just too much, each step
    down is a small one.
    """
    low, high = narrowest, width
    if allowed(low) < low:
        return 0.0
    while high - low > WIDTH_TOLERANCE_MM:
        middle = (low + high) / 2
        if allowed(middle) >= middle:
            low = middle
        else:
            high = middle
    return low


def _allowed(inside: float, outside: float, limits: GrainLimits) -> float:
    """Return the width that the sharpest curvatures allow, 1/mm."""
    return min(
        widest_flat(min(inside, 0.0), limits.ok),
        widest_flat(max(outside, 0.0), limits.ok),
    )
