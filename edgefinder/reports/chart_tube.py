"""Drawings of a tube: the piece, the cut, the lines, the seam that is out of step."""

import math
from typing import Final

from edgefinder.reports.amounts import width
from edgefinder.reports.chart_cloth import (
    SIZE_MM,
    arrow,
    break_line,
    cloth_of,
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
from edgefinder.reports.chart_joins import pin_panel
from edgefinder.reports.chart_marks import (
    Anchor,
    Fill,
    Label,
    Line,
    Mark,
    Panel,
    make_panel,
)
from edgefinder.reports.cutting_shapes import TubeShapes, tube_shapes
from edgefinder.reports.cutting_words import (
    is_whole,
    ruled_words,
    shorter_side,
    shows,
    side_words,
    usable_words,
)
from edgefinder.units import Unit
from edgefinder.yardage.cutting import Cutting, Method

SEAM_DEPTH_MM: Final = 15.0
"""Paper for the cloth that is shown on either side of the tube's seam.

Larger: fewer tubes fit a page. Smaller: numbers and words have no room.
"""
APART_MM: Final = 9.0
"""Paper between the cloth and the place to which its triangle goes."""


def tube_panels(cutting: Cutting, unit: Unit, scale: float) -> tuple[Panel, ...]:
    """Draw a tube from the cloth to the spiral cut."""
    shapes = tube_shapes(cutting)
    drawings = [
        _cloth(cutting, unit, scale),
        _first_cut(cutting, shapes, unit, scale),
        _ruled(cutting, shapes, unit, scale),
    ]
    if shows(shapes.seam, unit):
        drawings.append(pin_panel(shapes, unit, scale))
    return (*drawings, _tube_seam(shapes, scale))


def _cloth(cutting: Cutting, unit: Unit, scale: float) -> Panel:
    across, along = cutting.cut_size
    cloth = cloth_of(cutting, scale)
    shape = "square" if cutting.method is Method.TUBE_FROM_SQUARE else "rectangle"
    left, _, right, _ = cloth.box
    first_side, second_side = side_words(cutting, unit)
    below, first = size_below(0.0, across, -SIZE_MM * scale, first_side, scale)
    beside, second = size_beside(0.0, along, right + 4.0 * scale, second_side, scale)
    grain, word = grain_arrow((left - 4.0 * scale, along / 2), scale)
    marks = (*cloth.marks(), *cloth.piece(), *below, *beside, *grain)
    labels = [*cloth.labels(), first, second, word]
    if cloth.right > across:
        more, third = size_below(
            0.0,
            cloth.right,
            -(SIZE_MM + 7.0) * scale,
            usable_words(cutting, unit),
            scale,
        )
        marks += more
        labels.append(third)
    caption = f"Cut this {shape} off the cloth."
    if is_whole(cutting):
        caption = "This is the piece."
    return make_panel(caption, marks, labels, scale)


def _first_cut(cutting: Cutting, shapes: TubeShapes, unit: Unit, scale: float) -> Panel:
    wide, high = shapes.width, shapes.height
    apart = wide + APART_MM * scale
    turned = cutting.cut_size[1] > cutting.cut_size[0]
    over = high + (10.0 if shapes.is_square else 15.0) * scale
    grain, word = grain_arrow((-16.0 * scale, high / 2), scale, across=turned)
    corners = ((0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high))
    marks = [
        Mark(shapes.body(), None, Fill.CLOTH, closed=True, key="body"),
        Mark(shapes.triangle(), None, Fill.CLOTH, closed=True, key="triangle"),
        Mark(corners, Line.EDGE, closed=True),
        Mark(shapes.line(0), Line.CUT, key="first-cut"),
        Mark(
            tuple((x + apart, y) for x, y in shapes.triangle()),
            Line.THIN,
            closed=True,
            key="triangle-moved",
        ),
        *arrow((high / 3, over), (apart + high / 3, over), scale, both=False),
        *grain,
    ]
    labels = [
        letter("A", (-4.0 * scale, high / 2), (-1.0, 0.0)),
        letter("A", (wide + APART_MM * scale / 2, high / 2), (0.0, -1.0)),
        letter("B", (0.6 * wide, high + 4.0 * scale), (1.0, 0.0)),
        letter("B", (0.6 * wide, -4.0 * scale), (1.0, 0.0)),
        Label(
            "move the triangle",
            ((apart + high) / 2, over + 2.6 * scale),
            outwards=(0.0, 1.0),
        ),
        word,
    ]
    how = "Cut it corner to corner."
    if not shapes.is_square:
        mark = shorter_side(cutting, unit)
        more, third = size_above(0.0, high, high + 8.0 * scale, mark, scale)
        marks += more
        labels.append(third)
        how = f"Cut it from the corner to a mark {mark} along the upper side."
    turn = "Turn the piece so that the grain lies across. " if turned else ""
    return make_panel(f"Wrong side up. {turn}{how}", marks, labels, scale)


def _ruled(cutting: Cutting, shapes: TubeShapes, unit: Unit, scale: float) -> Panel:
    high, step = shapes.height, shapes.spacing
    room = cutting.line_spacing / scale
    shown = every(room)
    seam_x = shapes.width - shapes.seam
    marks: list[Mark] = []
    if shapes.rest > 0.0:  # a last line cuts it off, or the last strip is wider by it
        cut_off = cutting.lines == shapes.strips
        fill = Fill.DROPPED if cut_off else Fill.CLOTH
        marks.append(Mark(shapes.beyond(), None, fill, closed=True, key="beyond"))
    marks += [
        Mark(shapes.strip(i), None, Fill.CLOTH, closed=True, key=f"strip-{i}")
        for i in range(1, shapes.strips + 1)
    ]
    marks.append(Mark(shapes.slanted(), Line.EDGE, closed=True, key="slanted"))
    marks += [
        Mark(shapes.line(i), Line.RULE, key=f"line-{i}")
        for i in range(1, cutting.lines + 1)
        if i % shown == 0 or i == cutting.lines
    ]
    marks.append(Mark(((seam_x, shapes.seam), (seam_x, high)), Line.SEW, key="seam-a"))
    spacing, apart = _spacing(shapes, cutting, unit, scale)
    marks += [
        *spacing,
        *sized((0.0, -3.0 * scale), (step, -3.0 * scale), 2.0 * scale),
    ]
    labels = [
        letter("A-A", (seam_x, -4.0 * scale), (1.0, 0.0)),
        letter("B", (high + 0.85 * shapes.side, high + 4.0 * scale), (1.0, 0.0)),
        letter("B", (0.6 * shapes.side, -4.0 * scale), (0.0, -1.0)),
        apart,
        Label(
            f"{width(step, unit)} along the edge",
            (0.0, -8.5 * scale),
            Anchor.START,
            outwards=(0.0, -1.0),
        ),
    ]
    labels += [
        strip_number(i, ((i - 0.5) * step + high / 2, high / 2), room)
        for i in numbered(shapes.strips, room)
    ]
    caption = (
        f"Sew A to A, press open. Rule {ruled_words(cutting, unit)}, parallel to the "
        "bias edges. Number the strips at both sides B."
    )
    if shown > 1:
        caption += f" (One line in {shown} is drawn.)"
    return make_panel(caption, marks, labels, scale)


def _spacing(
    shapes: TubeShapes, cutting: Cutting, unit: Unit, scale: float
) -> tuple[tuple[Mark, ...], Label]:
    """Measure two lines square to them, where they leave the cloth above."""
    half = shapes.spacing / 2.0
    over = half + 2.0 * scale
    (_, start), (_, end) = shapes.line(0), shapes.line(1)
    here = (start[0] + over, start[1] + over)
    there = (here[0] + half, here[1] - half)
    tail = 1.5 * scale
    marks = (
        Mark((start, (here[0] + tail, here[1] + tail)), Line.THIN),
        Mark((end, (there[0] + tail, there[1] + tail)), Line.THIN),
        *sized(here, there, 2.0 * scale),
    )
    label = Label(
        f"{width(cutting.line_spacing, unit)} apart",
        (here[0] - 2.5 * scale, here[1]),
        Anchor.END,
        outwards=(0.0, 1.0),
    )
    return marks, label


def _tube_seam(shapes: TubeShapes, scale: float) -> Panel:
    """Draw the tube opened out on both sides of its second seam."""
    depth = min(shapes.height - 2.0 * shapes.seam, SEAM_DEPTH_MM * scale)
    step, seam, count = shapes.spacing, shapes.seam, shapes.strips
    room = step / math.sqrt(2.0) / scale
    labels = _seam_words(shapes, depth, scale)
    for i in numbered(count, room):
        half = 0.5 * depth
        labels += [
            strip_number(i, ((i - 0.5) * step + seam + half, seam + half), room),
            strip_number(i, ((i + 0.5) * step + seam - half, seam - half), room),
        ]
    begin = seam + step
    marks = [
        *_seam_marks(shapes, depth, scale),
        *arrow(
            (begin - 10.0 * scale, seam - 4.5 * scale),
            (begin - 0.8 * scale, seam - 0.4 * scale),
            scale,
            both=False,
        ),
    ]
    runs_on = "strip 1 runs on in strip 2" + (", 2 in 3" if count > 2 else "")
    caption = (
        f"Sew B to B one line out of step (drawn opened out): {runs_on}. Then cut "
        "along the lines, round and round."
    )
    return make_panel(caption, marks, labels, scale)


def _seam_marks(shapes: TubeShapes, depth: float, scale: float) -> list[Mark]:
    step, seam, count = shapes.spacing, shapes.seam, shapes.strips
    shown = every(step / math.sqrt(2.0) / scale)
    top, bottom = seam + depth, seam - depth
    left, right = seam, (count + 1) * step + seam
    marks = [
        Mark(shape(i, depth), None, Fill.CLOTH, closed=True, key=f"{name}-{i}")
        for name, shape in (("start", shapes.above_seam), ("end", shapes.below_seam))
        for i in range(1, count + 1)
    ]
    marks += [
        Mark(((i * step + bottom, bottom), (i * step + top, top)), Line.RULE)
        for i in range(1, count + 1)
        if i % shown == 0 or i in {1, count}
    ]
    return [
        *marks,
        Mark(((top, top), (left, seam), (left + step, seam)), Line.EDGE),
        Mark(((right - step, seam), (right, seam), (right - depth, bottom)), Line.EDGE),
        Mark(((left + step, seam), (right - step, seam)), Line.SEW, key="seam-b"),
        break_line((top, top), (count * step + top, top), scale),
        break_line((step + bottom, bottom), (right - depth, bottom), scale),
    ]


def _seam_words(shapes: TubeShapes, depth: float, scale: float) -> list[Label]:
    step, seam, count = shapes.spacing, shapes.seam, shapes.strips
    left, right = seam, (count + 1) * step + seam
    half = 0.6 * depth
    return [
        Label(
            "free end of strip 1",
            (left - 2.5 * scale, seam + 1.5 * scale),
            Anchor.END,
            outwards=(0.0, 1.0),
        ),
        Label(
            "begin to cut here",
            (left + step - 11.0 * scale, seam - 4.5 * scale),
            Anchor.END,
        ),
        Label(
            f"free end of strip {count}",
            (right + 2.5 * scale, seam - 1.5 * scale),
            Anchor.START,
        ),
        Label(
            "lower side B",
            (right - step + half + 5.0 * scale, seam + half),
            Anchor.START,
            bold=True,
            outwards=(0.0, 1.0),
        ),
        Label(
            "upper side B",
            (left + step - half - 7.0 * scale, seam - half - 2.0 * scale),
            Anchor.END,
            bold=True,
        ),
    ]
