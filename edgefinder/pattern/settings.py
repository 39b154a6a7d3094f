"""What a person may say about how pieces are found in a drawing."""

import math
from dataclasses import dataclass, field
from enum import StrEnum

from edgefinder.constants import CORNER_ANGLE_DEG, JOIN_TOLERANCE_MM
from edgefinder.pattern.name_pattern import NamePattern
from edgefinder.pattern.selectors import Selector


class SizeSource(StrEnum):
    """Where a piece's size is read."""

    AUTO = "auto"
    """A layer or group called ``size ...``; else the drawing has one size."""
    LAYER = "layer"
    """The layer is the size."""
    COLOUR = "colour"
    """The colour of the line is the size."""
    FILE = "file"
    """Every file is one size and its name is the size."""


class Dialect(StrEnum):
    """What the layers and blocks of a DXF mean."""

    AUTO = "auto"
    """Pattern interchange where the file shows its marks; else as drawn."""
    PLAIN = "plain"
    """As drawn: layers have no meaning of their own."""
    INTERCHANGE = "interchange"
    """Pattern interchange, ASTM D6673: a block is a piece, layers are numbers."""


@dataclass(frozen=True, slots=True)
class FindingSettings:
    """How pieces are found.

    Parameters
    ----------
    cut_lines : tuple of Selector
        Lines that are outlines of pieces; empty: every closed line.
    ignore : tuple of Selector
        Lines that are not, whatever else chooses them.
    cutouts : tuple of Selector
        Closed lines that are cut out of the piece around them.
    sizes : SizeSource
    size_names : tuple of (str, str)
        What a size is called in the drawing (a layer, a colour, a file), and its name.
    names_like : NamePattern or None
        A pattern in which names hold the piece and its size.
    names : tuple of (str, Selector)
        A name for the pieces whose outline a selector chooses.
    corner_angle : float
        Radians.
    join_tolerance : float
        Loose ends nearer than this are one point, in millimetres.
    test_square : float or None
        True side of the test square in millimetres; the drawing is scaled by it.
    marker_lines : tuple of Selector
        Lines drawn along outlines to mark stretches of them.
    notches : tuple of Selector
        Small lines that are notches; empty: those that the drawing calls so.
    sewing_lines : tuple of Selector
        Lines that are sewing lines of the pieces around them; empty: without
        ``cut_lines``, closed lines close inside an outline.
    dialect : Dialect
    """

    cut_lines: tuple[Selector, ...] = ()
    ignore: tuple[Selector, ...] = ()
    cutouts: tuple[Selector, ...] = ()
    sizes: SizeSource = SizeSource.AUTO
    size_names: tuple[tuple[str, str], ...] = ()
    names_like: NamePattern | None = None
    names: tuple[tuple[str, Selector], ...] = field(default=())
    corner_angle: float = math.radians(CORNER_ANGLE_DEG)
    join_tolerance: float = JOIN_TOLERANCE_MM
    test_square: float | None = None
    marker_lines: tuple[Selector, ...] = ()
    notches: tuple[Selector, ...] = ()
    sewing_lines: tuple[Selector, ...] = ()
    dialect: Dialect = Dialect.AUTO
