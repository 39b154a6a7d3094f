"""A tape cut step by step, in words, with the figures of this very cutting."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from edgefinder.reports.amounts import length, to_cut, width
from edgefinder.reports.cutting_shapes import bias_line, tube_shapes
from edgefinder.reports.cutting_words import (
    TUBES,
    corner_words,
    counted,
    cutting_facts,
    cutting_title,
    seam_words,
    shows,
    spare_words,
    trimmed_seam,
)
from edgefinder.reports.layout import heading, paragraph
from edgefinder.schedule.cautions import CUTTER, IRON
from edgefinder.units import Unit
from edgefinder.yardage.cutting import Cutting, Method

ROOT: Final = math.sqrt(2.0)
LEAST_REST_MM: Final = 1.0
"""A rest narrower than this is what rounding up to a mark of the ruler leaves."""


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do.

    Parameters
    ----------
    text : str
        In the unit of the person, rounded to what a ruler shows.
    figures : mapping of str to float
        The same figures at full precision; lengths in millimetres end in ``_mm``.
    """

    text: str
    figures: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class CuttingSteps:
    """How one tape is cut.

    Parameters
    ----------
    title : str
    facts : tuple of str
        What it takes and what it gives.
    steps : tuple of Step
        In order; the first has number 1.
    cautions : tuple of str
        Of the rotary cutter and of the iron.
    """

    title: str
    facts: tuple[str, ...]
    steps: tuple[Step, ...]
    cautions: tuple[str, ...]


def cutting_steps(cutting: Cutting, unit: Unit, *, name: str = "") -> CuttingSteps:
    """Write how a tape is cut, step by step.

    Parameters
    ----------
    cutting : Cutting
    unit : Unit
        In which the figures are written.
    name : str
        Of the tape; may come from a job file.

    Returns
    -------
    CuttingSteps
    """
    if cutting.method in TUBES:
        steps = _tube_steps(cutting, unit)
    elif cutting.method is Method.BIAS_STRIPS:
        steps = _bias_steps(cutting, unit)
    else:
        steps = _straight_steps(cutting, unit)
    return CuttingSteps(
        title=cutting_title(cutting, name),
        facts=cutting_facts(cutting, unit),
        steps=(*steps, _result(cutting, unit)),
        cautions=(CUTTER, IRON),
    )


def steps_text(steps: CuttingSteps) -> str:
    """Write steps as plain text, 80 columns wide."""
    lines = [*heading(steps.title)]
    for fact in steps.facts:
        lines += paragraph(fact)
    lines.append("")
    for number, step in enumerate(steps.steps, 1):
        sign = f"{number}."
        lines += paragraph(f"{sign} {step.text}", hanging=" " * (len(sign) + 1))
    lines.append("")
    for caution in steps.cautions:
        lines += paragraph(f"Caution: {caution}.", hanging="  ")
    return "\n".join([*lines, ""])


def steps_record(steps: CuttingSteps) -> dict[str, object]:
    """Return steps as a record for programs."""
    return {
        "title": steps.title,
        "facts": list(steps.facts),
        "steps": [
            {"number": number, "text": step.text, "figures": dict(step.figures)}
            for number, step in enumerate(steps.steps, 1)
        ],
        "cautions": list(steps.cautions),
    }


def _step(text: str, **figures: float) -> Step:
    return Step(text, MappingProxyType(figures))


def _result(cutting: Cutting, unit: Unit) -> Step:
    need = cutting.need
    seams = (
        "without a seam"
        if cutting.seams_in_tape == 0
        else f"with {counted(cutting.seams_in_tape, 'seam')} in it"
    )
    return _step(
        f"Measure: this gives {length(cutting.yield_length, unit)} of tape, cut "
        f"{width(need.cut_width, unit)} wide, {seams}. "
        f"{to_cut(need.length, unit)} is needed, {spare_words(cutting, unit)}.",
        yield_mm=cutting.yield_length,
        needed_mm=need.length,
        spare_mm=cutting.spare,
        seams_in_tape=cutting.seams_in_tape,
    )


def _cut_piece(cutting: Cutting, unit: Unit) -> Step:
    across, along = cutting.cut_size
    if cutting.method is Method.TUBE_FROM_SQUARE:
        piece = f"cut a square with sides of {to_cut(across, unit)}"
    else:
        piece = (
            f"cut a piece {to_cut(across, unit)} across the cloth and "
            f"{to_cut(along, unit)} along the selvage"
        )
    return _step(
        "Press the cloth, straighten its end on a thread and trim off the selvages. "
        f"Then {piece}. All its edges lie on the grain.",
        across_mm=across,
        along_mm=along,
    )


def _tube_steps(cutting: Cutting, unit: Unit) -> tuple[Step, ...]:
    shapes = tube_shapes(cutting)
    seam = shapes.seam
    longer = "" if shapes.is_square else " with the longer sides above and below"
    corner = (
        "to the upper right corner"
        if shapes.is_square
        else "to a mark on the upper side, as far from the upper left corner as the "
        f"shorter side is long ({to_cut(shapes.height, unit)})"
    )
    return (
        _cut_piece(cutting, unit),
        _step(
            f"Lay it wrong side up{longer}. Letter the left and the right side A, the "
            "upper and the lower side B."
        ),
        _step(
            f"Rule a line from the lower left corner {corner}: it runs at 45 degrees "
            f"and is {length(shapes.height * ROOT, unit)} long. Cut along it.",
            mark_mm=shapes.height,
            cut_mm=shapes.height * ROOT,
        ),
        _step(
            "Take the triangle to the right-hand end. Lay its side A on the other side "
            "A, right sides together and corner on corner. Sew "
            f"{seam_words(seam, unit)}. Cut off the points that stand out. Now the "
            "cloth is a slanted shape with two bias edges.",
            seam_mm=seam,
            trimmed_mm=trimmed_seam(seam),
        ),
        _rule_tube(cutting, unit),
        _offset_tube(cutting, unit),
        _step(
            "The lines of the two layers have to cross each other on the sewing line, "
            f"{width(seam, unit)} from the edge, not at the edge. Push a pin through "
            "each crossing. Sew "
            f"{seam_words(seam, unit)}, without flattening the tube.",
            seam_mm=seam,
            trimmed_mm=trimmed_seam(seam),
        )
        if shows(seam, unit)
        else _step(f"Pin where the lines meet. Sew {seam_words(seam, unit)}."),
        _step(
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
    text += f"Number the strips 1 to {cutting.strips} from the left, at both sides B."
    return _step(
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
    return _step(
        "Bring the upper side B to the lower side B, right sides together, moved along "
        "by one line: the upper end of strip 1 meets the lower end of strip 2"
        f"{more}. At each end of the seam one "
        f"strip, {width(shapes.spacing, unit)} along the edge, stays free. The tube "
        "looks twisted: so it should.",
        offset_mm=shapes.spacing,
        offset_lines=1,
    )


def _bias_steps(cutting: Cutting, unit: Unit) -> tuple[Step, ...]:
    across, along = cutting.cut_size
    first = cutting.first_line or 0.0
    apart = width(cutting.line_spacing, unit)
    begin, end = first_line_marks(cutting, unit)
    steps = [
        _cut_piece(cutting, unit),
        _step(
            "Lay it wrong side up with the selvage sides left and right. Letter the "
            "left and the right side A, the upper and the lower side B.",
        ),
        _step(
            f"Make two marks: {begin}, and {end}. The line through both is "
            "the first one; it runs at 45 degrees.",
            first_line_mm=first,
            first_line_length_mm=math.dist(*bias_line(first - along, across, along)),
        ),
        _step(
            f"Rule on from it towards the lower right corner: "
            f"{counted(cutting.lines, 'line')} with the first, {apart} apart, measured "
            "square to the lines.",
            lines=cutting.lines,
            spacing_mm=cutting.line_spacing,
        ),
        _step(
            f"Cut along the lines. Number the strips 1 to {cutting.strips} and keep "
            "the letter at each end. Where a strip ends in a corner of the cloth, "
            "cut its point off in one cut parallel to a side of the cloth, through the "
            "nearer end of its two edges; that end takes the letter of that side. The "
            "corners left over are not used.",
            strips=cutting.strips,
            shortest_mm=min(cutting.strip_lengths),
            longest_mm=max(cutting.strip_lengths),
        ),
    ]
    if cutting.joins:
        steps.append(
            _step(
                "Join strip to strip: only an end A to an end A, an end B to an end B; "
                "turn a strip end for end, never over, to bring its letter round. Lay "
                "two ends right sides together, the strips at a right angle, so that "
                "the points stand out on both sides and the seam runs from notch to "
                f"notch. Sew {seam_words(cutting.need.seam, unit)}; trim the points. "
                f"{counted(cutting.joins, 'join')} in all.",
                joins=cutting.joins,
                seam_mm=cutting.need.seam,
                trimmed_mm=trimmed_seam(cutting.need.seam),
            )
        )
    return tuple(steps)


def first_line_marks(cutting: Cutting, unit: Unit) -> tuple[str, str]:
    """Say where the two marks of the first bias line are made."""
    across, along = cutting.cut_size
    first = cutting.first_line or 0.0
    if first <= along:
        begin = f"{length(first, unit)} down the left side from the upper left corner"
    else:
        begin = (
            f"{length(first - along, unit)} along the lower side from the lower left "
            "corner"
        )
    if first <= across:
        end = f"{length(first, unit)} along the upper side from the upper left corner"
    else:
        end = (
            f"{length(first - across, unit)} down the right side from the upper right "
            "corner"
        )
    return begin, end


def _straight_steps(cutting: Cutting, unit: Unit) -> tuple[Step, ...]:
    apart = width(cutting.line_spacing, unit)
    crosswise = cutting.method is Method.CROSSWISE_STRIPS
    steps = [_cut_piece(cutting, unit)]
    if cutting.lines:
        way = "across" if crosswise else "along"
        edge = "straightened end" if crosswise else "left side"
        rule = f"1 line {way} the cloth, {apart} from the {edge}"
        if cutting.lines > 1:
            rule = (
                f"{cutting.lines} lines {way} the cloth, {apart} apart, the first "
                f"{apart} from the {edge}"
            )
        steps += [
            _step(
                f"Lay it wrong side up and rule {rule}.",
                lines=cutting.lines,
                spacing_mm=cutting.line_spacing,
            ),
            _step(
                f"Cut along {'them' if cutting.lines > 1 else 'it'}: "
                f"{counted(cutting.strips, 'strip')}, "
                f"{length(cutting.strip_lengths[0], unit)} long each.",
                strips=cutting.strips,
                strip_mm=cutting.strip_lengths[0],
            ),
        ]
    if cutting.joins:
        seam = cutting.need.seam
        steps.append(
            _step(
                "Join strip to strip on the diagonal: lay two ends right sides "
                "together, the strips at a right angle, their ends square over each "
                "other. Sew diagonally across the square "
                f"({width(cutting.line_spacing * ROOT, unit)}) so that the "
                f"seam cuts off the outer corner; trim that corner "
                f"{corner_words(seam, unit)} and press it open. "
                f"{counted(cutting.joins, 'join')} in all; each takes {apart} off the "
                "length.",
                joins=cutting.joins,
                seam_mm=seam,
                diagonal_mm=cutting.line_spacing * ROOT,
                lost_mm=cutting.line_spacing,
            )
        )
    return tuple(steps)
