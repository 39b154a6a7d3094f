"""Drawings of separate strips, on the bias or on the straight grain."""

from dataclasses import replace
from typing import Final

from edgefinder.reports.amounts import length, width
from edgefinder.reports.chart_cloth import (
    SIZE_MM,
    Cloth,
    cloth_of,
    dot,
    every,
    grain_arrow,
    letter,
    numbered,
    size_above,
    size_below,
    size_beside,
    sized,
    strip_number,
)
from edgefinder.reports.chart_joins import join_panel
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
from edgefinder.reports.cutting_shapes import kept_shapes, ruled_lines
from edgefinder.reports.cutting_words import (
    is_whole,
    ruled_words,
    side_words,
    usable_words,
)
from edgefinder.units import Unit
from edgefinder.yardage.cutting import Cutting, Method

ALONG_STRIP: Final = (0.42, 0.58, 0.34, 0.66, 0.26, 0.74, 0.18, 0.82)
"""Shares of a strip at which its number may stand if its middle is taken."""


def strip_panels(cutting: Cutting, unit: Unit, scale: float) -> tuple[Panel, ...]:
    """Draw strips as they lie in the cloth, and how two are joined."""
    drawings = [_strips(cutting, unit, scale)]
    if cutting.joins:
        drawings.append(join_panel(cutting, unit, scale))
    return tuple(drawings)


def _strips(cutting: Cutting, unit: Unit, scale: float) -> Panel:
    cloth = cloth_of(cutting, scale)
    room = cutting.line_spacing / scale
    shown = every(room)
    outlines = kept_shapes(cutting)
    marks = [Mark(cloth.corners, None, Fill.DROPPED, closed=True, key="cloth")]
    marks += [
        Mark(outline, None, Fill.CLOTH, closed=True, key=f"strip-{i}")
        for i, outline in outlines.items()
    ]
    if cutting.method is Method.BIAS_STRIPS and shown == 1:
        marks += [
            Mark((outline[a], outline[b]), Line.THIN)
            for outline in outlines.values()
            for a, b in ((3, 0), (1, 2))  # the ends, across the strip
        ]
    marks += cloth.marks()
    lines = ruled_lines(cutting)
    marks += [
        Mark(ends, Line.RULE, key=f"line-{i}")
        for i, ends in enumerate(lines, 1)
        if i % shown == 0 or i in {1, len(lines)}
    ]
    marks += cloth.piece()
    more, labels = _sizes(cutting, cloth, unit)
    marks += more
    if cutting.method is Method.BIAS_STRIPS:
        marks += [dot(place, scale) for place in lines[0]]
    # Those that are placed first stand in the middle, and the others beside them.
    first = numbered(cutting.strips, room)
    labels += [
        strip_number(i, _middle(outlines[i]), room, _along(outlines[i]))
        for i in dict.fromkeys((*first, *outlines))
        if i in outlines
    ]
    return make_panel(_caption(cutting, unit, shown), marks, labels, scale)


def _middle(outline: tuple[Point, ...]) -> Point:
    count = len(outline)
    return sum(x for x, _ in outline) / count, sum(y for _, y in outline) / count


def _along(outline: tuple[Point, ...]) -> list[Point]:
    """Return places along a strip, from its middle towards both of its ends."""
    (ax, ay), (bx, by) = (
        _middle((outline[i], outline[j])) for i, j in ((3, 0), (1, 2))
    )
    return [(ax + f * (bx - ax), ay + f * (by - ay)) for f in ALONG_STRIP]


def _caption(cutting: Cutting, unit: Unit, shown: int) -> str:
    lines = ruled_words(cutting, unit)
    begin = "Wrong" if is_whole(cutting) else "Cut the piece off; wrong"
    if cutting.method is Method.BIAS_STRIPS:
        text = (
            f"{begin} side up, rule the first line from mark to mark, and on from it: "
            f"{lines} in all. Cut along them."
        )
    elif cutting.lines:
        text = f"{begin} side up, rule {lines}. Cut along them."
    else:
        text = "Cut this strip off the cloth."
    return text if shown == 1 else f"{text} (One line in {shown} is drawn.)"


def _sizes(
    cutting: Cutting, cloth: Cloth, unit: Unit
) -> tuple[list[Mark], list[Label]]:
    """Measure the piece, the first line and the space between lines."""
    scale, right = cloth.scale, cloth.box[2]
    across, along = side_words(cutting, unit)
    apart = right + (SIZE_MM + 3.0) * scale
    below, first = size_below(
        0.0,
        cloth.across,
        -(SIZE_MM + 4.0) * scale,
        across,
        scale,
    )
    beside, second = size_beside(0.0, cloth.along, apart, along, scale)
    arrow, grain = grain_arrow((apart + 10.0 * scale, cloth.along / 2), scale)
    marks = [*below, *beside, *arrow]
    labels = [*cloth.labels(), first, second, grain]
    if cloth.right > cloth.across:
        more, third = size_below(
            0.0,
            cloth.right,
            -(SIZE_MM + 11.0) * scale,
            usable_words(cutting, unit),
            scale,
        )
        marks += more
        labels.append(third)
    if cutting.method is Method.BIAS_STRIPS:
        extra, more_labels = _first_line(cutting, cloth, unit)
        more_labels += _letters(cloth)
    else:
        extra, more_labels = _spacing(cutting, cloth, unit)
    return [*marks, *extra], [*labels, *more_labels]


def _letters(cloth: Cloth) -> list[Label]:
    scale, (left, _, right, _) = cloth.scale, cloth.box
    side = 3.5 * scale
    return [
        letter("A", (left - side, cloth.along / 3), (0.0, -1.0)),
        letter("A", (right + side, cloth.along / 3), (0.0, -1.0)),
        letter("B", (0.6 * cloth.across, cloth.along + side), (1.0, 0.0)),
        letter("B", (0.6 * cloth.across, -side), (1.0, 0.0)),
    ]


def _first_line(
    cutting: Cutting, cloth: Cloth, unit: Unit
) -> tuple[list[Mark], list[Label]]:
    """Measure from the corners to the two marks of the first line."""
    scale, left = cloth.scale, cloth.box[0]
    first, along, across = cutting.first_line or 0.0, cloth.along, cloth.across
    begin = max(0.0, first - along)
    if begin > 0.0:
        start, one = size_below(0.0, begin, -3.0 * scale, length(begin, unit), scale)
    else:
        x = left - 8.0 * scale
        start = sized((x, along), (x, along - first), 2.0 * scale)
        one = Label(
            length(first, unit),
            (x - 1.5 * scale, along - first / 2),
            Anchor.END,
            outwards=(-1.0, 0.0),
        )
    y = along + 2.5 * scale
    end, two = size_above(0.0, min(first, across), y, length(first, unit), scale)
    return [*start, *end], [one, replace(two, frame=Frame.CLEARED)]


def _spacing(
    cutting: Cutting, cloth: Cloth, unit: Unit
) -> tuple[list[Mark], list[Label]]:
    """Measure the first strip."""
    scale, left = cloth.scale, cloth.box[0]
    step = cutting.line_spacing
    text = width(step, unit)
    if cutting.method is Method.CROSSWISE_STRIPS:
        x = left - 3.0 * scale
        marks = sized((x, 0.0), (x, step), 2.0 * scale)
        at = (x - 2.0 * scale, step / 2)
    else:
        y = -3.0 * scale
        marks = sized((0.0, y), (step, y), 2.0 * scale)
        at = (left - 2.0 * scale, y)
    return list(marks), [Label(text, at, Anchor.END, outwards=(-1.0, 0.0))]
