"""The tool that folds a strip, and the width of the binding that comes of it.

A tool presses both edges of a strip to its middle; its size is the width of the
single-folded tape that comes out. Folded once more that makes a double fold of half
the width, so that an 18 mm tool gives about 3/8 in finished (common practice).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from edgefinder.classifier.job import FoldTool, TapeFold

SIZE_PER_FINISHED: Final = MappingProxyType({TapeFold.SINGLE: 1, TapeFold.DOUBLE: 2})
"""Size of the tool over finished width (common practice). Other strips are folded by
hand: a double layer along its middle, a facing at its own allowance."""

SAME_TOOL_SHARE: Final = 0.07
"""Sizes that differ by no more are one tool: 18 mm is sold for 3/4 in, 6 mm for 1/4 in
(5.5 % off; common practice). Larger: 9 and 10 mm become one. Smaller: the metric tools
go with no width in inches."""


@dataclass(frozen=True, slots=True)
class ToolNeeded:
    """The tool that goes with a finished width.

    Parameters
    ----------
    size : float
        Width of the single-folded tape in millimetres.
    own : FoldTool or None
        The one of the person's tools that makes it.
    """

    size: float
    own: FoldTool | None


def tool_needed(
    finished_width: float, fold: TapeFold, tools: Sequence[FoldTool]
) -> ToolNeeded | None:
    """Return the tool for a finished width; None where no tool makes the fold.

    Parameters
    ----------
    finished_width : float
        Millimetres.
    fold : TapeFold
    tools : sequence of FoldTool
        That the person has; of those near enough the nearest is taken.
    """
    if fold not in SIZE_PER_FINISHED:
        return None
    size = SIZE_PER_FINISHED[fold] * finished_width
    near = [tool for tool in tools if abs(tool.size - size) <= SAME_TOOL_SHARE * size]
    return ToolNeeded(size, min(near, key=lambda t: abs(t.size - size), default=None))


def widths_of_tools(fold: TapeFold, tools: Sequence[FoldTool]) -> list[float]:
    """Return the finished widths that tools make, rising; none if no tool does."""
    if fold not in SIZE_PER_FINISHED:
        return []
    return sorted({tool.size / SIZE_PER_FINISHED[fold] for tool in tools})
