"""Physical factors and the defaults that every room shares.

Tables of one trade subject stand in the room of that subject: cloth classes in
``binding``, fabric widths in ``yardage``.
"""

from typing import Final

MM_PER_INCH: Final = 25.4
"""Exact: international yard and pound agreement, 1 July 1959."""
MM_PER_FOOT: Final = 304.8
"""Exact, as above; ``12 * 25.4`` differs in the last bit."""
MM_PER_YARD: Final = 914.4
"""Exact, as above."""

KG_PER_POUND: Final = 0.45359237
"""Exact: international yard and pound agreement, 1 July 1959."""
KG_PER_OUNCE: Final = 0.028349523125
"""Exact: a sixteenth of a pound."""
STANDARD_GRAVITY: Final = 9.80665
"""m/s^2, by definition (3rd General Conference on Weights and Measures, 1901)."""

PX_PER_INCH: Final = 96
"""CSS Values and Units 3, section 6.2, "absolute lengths": 1in = 96px."""
PT_PER_INCH: Final = 72
"""CSS Values and Units 3, section 6.2: 1pt = 1/72 of 1in."""
PC_PER_INCH: Final = 6
"""CSS Values and Units 3, section 6.2: 1pc = 1/6 of 1in."""
Q_PER_MM: Final = 4
"""CSS Values and Units 3, section 6.2: 1Q = 1/40 of 1cm."""

CORNER_ANGLE_DEG: Final = 30.0
"""A jump of the tangent of this much or more is a corner (common practice here:
digitised curves stay below it, drafted corners lie above it).

Larger: blunt corners are taken for curves. Smaller: coarse polylines fall apart.
"""

JOIN_TOLERANCE_MM: Final = 0.05
"""Ends of drawn lines nearer than this are one point.

Below what a plotter or scissors resolve; above what drawing programs lose when
they round to two decimals of a millimetre.
"""

LAST_COLOUR: Final = 255
"""Colour numbers 1 to 255 are colours (DXF reference, group 62)."""

SMALLEST_PIECE_MM: Final = 20.0
"""A drawing whose largest piece is smaller than this has a wrong scale: pieces are
about 2 to 250 cm (common practice)."""
LARGEST_PIECE_MM: Final = 3000.0
"""A piece larger than this has a wrong scale (3 m: longer than any table)."""

USABLE_WIDTH_MM: Final = 1066.8
"""42 in, usable width of 44/45 in quilting cotton (conversion charts)."""
STRIP_SEAM_MM: Final = 6.35
"""1/4 in, trimmed to 1/8 in after sewing (common practice)."""
SHORTEST_STRIP_MM: Final = 150.0
"""Shorter strips are more joins than tape (working default)."""
BUY_STEP_INCH_MM: Final = 114.3
"""1/8 yd, the step that cloth is sold in by the yard (conversion charts)."""
BUY_STEP_METRIC_MM: Final = 100.0
"""10 cm, the metric step (from memory)."""
