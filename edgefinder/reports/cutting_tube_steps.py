"""A tube, step by step."""

import math
from typing import Final

from edgefinder.reports.amounts import length, width
from edgefinder.reports.cutting_shapes import tube_shapes
from edgefinder.reports.cutting_step import (
    LEAST_REST_MM,
    Step,
    cut_piece,
    make_step,
    trim_words,
)
from edgefinder.reports.cutting_words import (
    seam_words,
    shorter_side,
    shows,
    trimmed_seam,
)
from edgefinder.units import Unit
from edgefinder.yardage.cutting import Cutting

ROOT: Final = math.sqrt(2.0)


def tube_steps(cutting: Cutting, unit: Unit) -> tuple[Step, ...]:
    """Write how a tube is cut, sewn, ruled and cut round."""
    shapes = tube_shapes(cutting)
    seam = shapes.seam
    longer = "" if shapes.is_square else " with the longer sides above and below"
    corner = (
        "to the upper right corner"
        if shapes.is_square
        else "to a mark on the upper side, as far from the upper left corner as the "
        f"shorter side is long ({shorter_side(cutting, unit)})"
    )
    return (
        cut_piece(cutting, unit),
        make_step(
            f"Lay it wrong side up{longer}. Letter the left and the right side A, the "
            "upper and the lower side B."
        ),
        make_step(
            f"Rule a line from the lower left corner {corner}: it runs at 45 degrees "
            f"and is {length(shapes.height * ROOT, unit)} long. Cut along it.",
            mark_mm=shapes.height,
            cut_mm=shapes.height * ROOT,
        ),
        make_step(
            "Take the triangle to the right-hand end. Lay its side A on the other side "
            "A, right sides together and corner on corner. Sew "
            f"{seam_words(seam, unit)}. Cut off the points that stand out. Now the "
            "cloth is a slanted shape with two bias edges.",
            seam_mm=seam,
            trimmed_mm=trimmed_seam(seam),
        ),
        _rule_tube(cutting, unit),
        _offset_tube(cutting, unit),
        make_step(
            "The lines of the two layers have to cross each other on the sewing line, "
            f"{width(seam, unit)} from the edge, not at the edge. Push a pin through "
            "each crossing. Sew "
            f"{seam_words(seam, unit)}, without flattening the tube.",
            seam_mm=seam,
            trimmed_mm=trimmed_seam(seam),
        )
        if shows(seam, unit)
        else make_step(f"Pin where the lines meet. Sew {seam_words(seam, unit)}."),
        make_step(
            "Begin at the free end of strip 1 and cut along the lines, round and "
            "round, one layer at a time, until the free end of strip "
            f"{cutting.strips} drops off.",
            strips=cutting.strips,
        ),
    )


def _rule_tube(cutting: Cutting, unit: Unit) -> Step:
    shapes = tube_shapes(cutting)
    apart = width(cutting.line_spacing, unit)
    if cutting.lines == 1:
        where = f"1 line parallel to the bias edges, {apart} from the left one"
    else:
        where = (
            f"{cutting.lines} lines parallel to the bias edges, {apart} apart, "
            f"beginning {apart} from the left one"
        )
    text = (
        f"On the wrong side rule {where}, measured square to the edge. To check: along "
        f"the sides B it is {width(shapes.spacing, unit)} from line to line. "
    )
    rest = shapes.rest / ROOT
    if cutting.lines == cutting.strips:
        much = f" ({width(rest, unit)})" if rest >= LEAST_REST_MM else ""
        text += f"Cut off what lies beyond the last line{much}. "
    else:
        text += trim_words(cutting, unit)
    text += f"Number the strips 1 to {cutting.strips} from the left, at both sides B."
    return make_step(
        text,
        lines=cutting.lines,
        spacing_mm=cutting.line_spacing,
        spacing_along_edge_mm=shapes.spacing,
        rest_mm=rest,
        strips=cutting.strips,
    )


def _offset_tube(cutting: Cutting, unit: Unit) -> Step:
    shapes = tube_shapes(cutting)
    more = ""
    if cutting.strips > 2:
        more = f", strip 2 the lower end of strip 3, and so on to {cutting.strips}"
    return make_step(
        "Bring the upper side B to the lower side B, right sides together, moved along "
        "by one line: the upper end of strip 1 meets the lower end of strip 2"
        f"{more}. At each end of the seam one "
        f"strip, {width(shapes.spacing, unit)} along the edge, stays free. The tube "
        "looks twisted: so it should.",
        offset_mm=shapes.spacing,
        offset_lines=1,
    )
