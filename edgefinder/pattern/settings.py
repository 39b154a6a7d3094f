"""What a person may say about how pieces are found in a drawing."""

import math
from dataclasses import dataclass, field
from enum import StrEnum

from edgefinder.constants import CORNER_ANGLE_DEG, JOIN_TOLERANCE_MM
from edgefinder.pattern.selectors import Selector


class SizeSource(StrEnum):
    """Where a piece's size is read."""

    AUTO = "auto"
    """A layer or group called ``size ...``; else the drawing has one size."""
    LAYER = "layer"
    """The layer is the size."""
    FILE = "file"
    """Every file is one size and its name is the size."""


@dataclass(frozen=True, slots=True)
class FindingSettings:
    """How pieces are found.

    Parameters
    ----------
    cut_lines : tuple of Selector
        Lines that are outlines of pieces; empty: every closed line.
    ignore : tuple of Selector
        Lines that are not, whatever else chooses them.
    sizes : SizeSource
    names : tuple of (str, Selector)
        A name for the pieces whose outline a selector chooses.
    corner_angle : float
        Radians.
    join_tolerance : float
        Loose ends nearer than this are one point, in millimetres.
    """

    cut_lines: tuple[Selector, ...] = ()
    ignore: tuple[Selector, ...] = ()
    sizes: SizeSource = SizeSource.AUTO
    names: tuple[tuple[str, Selector], ...] = field(default=())
    corner_angle: float = math.radians(CORNER_ANGLE_DEG)
    join_tolerance: float = JOIN_TOLERANCE_MM
