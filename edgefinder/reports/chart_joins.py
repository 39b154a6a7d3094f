"""How two strips are laid on each other and sewn, larger than life.

The joined tape lies between y = 0 and y = c with its seam on the line y = x. Folded
back along it, the right-hand strip is its mirror image and runs upwards; so the two
lie before they are sewn. Ends on the grain are parallel to the seam, s beside it;
square ends lie on the sides of the square c x c.
"""

import math
from dataclasses import dataclass
from typing import Final

from edgefinder.reports.amounts import width
from edgefinder.reports.chart_cloth import break_line, dot, sized
from edgefinder.reports.chart_marks import (
    Anchor,
    Fill,
    Frame,
    Label,
    Line,
    Mark,
    Panel,
    Point,
    make_panel,
)
from edgefinder.reports.cutting_shapes import TubeShapes
from edgefinder.reports.cutting_words import corner_words, from_edge, turn_words
from edgefinder.units import Unit
from edgefinder.yardage.cutting import Cutting, Method

WIDTH_MM: Final = 17.0
"""Paper for the width of a strip."""
ARM_MM: Final = 26.0
"""Paper for the length of strip that is shown."""
LEAST_SEAM_MM: Final = 1.8
"""A narrower seam allowance is drawn this wide, so that it is seen."""


@dataclass(frozen=True, slots=True)
class JoinShapes:
    """Two strips right sides together, ready to be sewn.

    Parameters
    ----------
    width : float
        Of the strips, in any unit.
    over : float
        How far the ends reach beyond the seam, along the strip: s sqrt 2; None
        for square ends.
    arm : float
        Length of strip that is shown.
    """

    width: float
    over: float | None
    arm: float

    def lower(self) -> tuple[Point, ...]:
        """Return the strip that runs to the left, below the other one."""
        c = self.width
        if self.over is None:
            return (-self.arm, 0.0), (c, 0.0), (c, c), (-self.arm, c)
        return (
            (-self.arm, 0.0),
            (self.over, 0.0),
            (c + self.over, c),
            (-self.arm, c),
        )

    def upper(self) -> tuple[Point, ...]:
        """Return the strip that runs upwards, on top of the other one."""
        c = self.width
        high = c + self.arm
        if self.over is None:
            return (0.0, high), (0.0, 0.0), (c, 0.0), (c, high)
        return (0.0, high), (0.0, -self.over), (c, c - self.over), (c, high)

    def seam(self) -> tuple[Point, Point]:
        """Return the line to sew, from notch to notch."""
        return (0.0, 0.0), (self.width, self.width)

    def cut_off(self) -> tuple[Point, ...]:
        """Return the corner of square ends that is trimmed, up to the seam."""
        c = self.width
        return (0.0, 0.0), (c, 0.0), (c, c)


def join_panel(cutting: Cutting, unit: Unit, scale: float) -> Panel:
    """Draw one join between two strips."""
    c = WIDTH_MM * scale
    seam = cutting.need.seam
    on_grain = cutting.method is Method.BIAS_STRIPS
    drawn = min(c / 3.0, max(LEAST_SEAM_MM * scale, seam / cutting.line_spacing * c))
    over = drawn * math.sqrt(2.0) if on_grain else None
    shapes = JoinShapes(c, over, ARM_MM * scale)
    lower, upper = shapes.lower(), shapes.upper()
    arm, high = shapes.arm, c + shapes.arm
    marks = [
        Mark(lower, None, Fill.CLOTH, closed=True, key="join-lower"),
        Mark(lower, Line.EDGE),
        break_line((-arm, 0.0), (-arm, c), scale),
        Mark(upper, None, Fill.CLOTH, closed=True, key="join-upper"),
        Mark(upper, Line.EDGE),
        break_line((0.0, high), (c, high), scale),
        Mark(((0.0, c), (c, c)), Line.UNDER),
    ]
    if over is None:
        marks.append(Mark(shapes.cut_off(), None, Fill.DROPPED, closed=True))
    else:
        marks.append(Mark(((0.0, 0.0), (over, 0.0)), Line.UNDER))
    marks.append(Mark(shapes.seam(), Line.SEW, key="join-seam"))
    labels = [
        Label("right side up", (-shapes.arm + 2.5 * scale, c / 2), Anchor.START),
        Label(
            "wrong side up",
            (c / 2, c + shapes.arm - 2.5 * scale),
            Anchor.END,
            turned=True,
            outwards=(0.0, 1.0),
        ),
    ]
    if over is not None:
        labels += [
            Label("notch", (c + over + 2.0 * scale, c), Anchor.START),
            Label("notch", (-2.0 * scale, -3.0 * scale), Anchor.END),
        ]
        caption = (
            f"Join A to A, B to B ({turn_words(cutting)}): points stand out, sew from "
            f"notch to notch, {from_edge(seam, unit)}. Not to scale."
        )
    else:
        caption = (
            "Join: sew across the square, trim the outer corner (hatched) "
            f"{corner_words(seam, unit)}. Not to scale."
        )
    return make_panel(caption, marks, labels, scale)


def pin_panel(shapes: TubeShapes, unit: Unit, scale: float) -> Panel:
    """Draw where the lines of the two layers of a tube meet.

    Notes
    -----
    The raw edges lie at y = 0, the sewing line below. The layer on top shows its wrong
    side with its lines as they were ruled; those of the layer below are seen from
    behind, so they lean the other way. Not to scale.
    """
    down, apart, deep = 7.0 * scale, 15.0 * scale, 17.0 * scale
    right = min(3, shapes.strips) * apart + 6.0 * scale
    edges = ((0.0, 0.0), (right, 0.0), (right, -deep), (0.0, -deep))
    marks = [
        Mark(edges, None, Fill.CLOTH, closed=True),
        Mark(((0.0, 0.0), (right, 0.0)), Line.EDGE),
        Mark(((0.0, -down), (right, -down)), Line.SEW),
    ]
    crossings = [(i + 0.7) * apart for i in range(min(3, shapes.strips))]
    for x in crossings:
        low = deep - down
        marks += [
            Mark(((x - low, -deep), (x + down, 0.0)), Line.RULE),
            Mark(((x + low, -deep), (x - down, 0.0)), Line.UNDER),
            dot((x, -down), scale),
        ]
    size = 3.0 * scale
    x = right + size
    marks += sized((x, -down), (x, 0.0), 2.0 * scale)
    labels = [
        Label(width(shapes.seam, unit), (x + 1.5 * scale, -down / 2), Anchor.START),
        Label("raw edges, both layers", (0.0, 2.6 * scale), Anchor.START),
    ]
    for i, x in enumerate(crossings[:-1], 1):
        middle = x + apart / 2
        labels += [
            _named(f"{i}", (middle, -down - 3.2 * scale)),
            _named(f"({i + 1})", (middle, -down + 3.2 * scale)),
        ]
    caption = (
        "Right sides together: pin where the lines cross on the sewing line. In "
        "brackets: strips of the layer below. Not to scale."
    )
    return make_panel(caption, marks, labels, scale)


def _named(text: str, at: Point) -> Label:
    return Label(text, at, height=2.6, frame=Frame.CLEARED)
