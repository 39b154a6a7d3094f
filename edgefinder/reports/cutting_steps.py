"""A tape cut step by step, in words, with the figures of this very cutting."""

import math
from dataclasses import dataclass
from typing import Final

from edgefinder.reports.amounts import length, to_cut, width
from edgefinder.reports.cutting_shapes import bias_line
from edgefinder.reports.cutting_step import Step, cut_piece, make_step, trim_words
from edgefinder.reports.cutting_tube_steps import tube_steps
from edgefinder.reports.cutting_words import (
    bias_marks,
    corner_words,
    counted,
    cutting_facts,
    cutting_title,
    is_all_wanted,
    seam_words,
    spare_words,
    trimmed_seam,
    turn_words,
    yield_words,
)
from edgefinder.reports.layout import heading, paragraph
from edgefinder.reports.order_words import order_sentences
from edgefinder.schedule.cautions import CUTTER, IRON, SCISSORS
from edgefinder.units import Unit
from edgefinder.yardage.as_cut import as_cut
from edgefinder.yardage.cutting import TUBES, Cutting, Method

ROOT: Final = math.sqrt(2.0)


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
        Of the rotary cutter, of scissors and of the iron.
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
        Of the piece as it is cut, on marks of a ruler.
    """
    cutting = as_cut(cutting, unit)
    if cutting.method in TUBES:
        steps = tube_steps(cutting, unit)
    elif cutting.method is Method.BIAS_STRIPS:
        steps = _bias_steps(cutting, unit)
    else:
        steps = _straight_steps(cutting, unit)
    return CuttingSteps(
        title=cutting_title(cutting, name),
        facts=cutting_facts(cutting, unit),
        steps=(*steps, _result(cutting, unit)),
        cautions=(CUTTER, SCISSORS, IRON),
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


def _result(cutting: Cutting, unit: Unit) -> Step:
    need = cutting.need
    seams = (
        "without a seam"
        if cutting.seams_in_tape == 0
        else f"with {counted(cutting.seams_in_tape, 'seam')} in it"
    )
    text = (
        f"Measure: this gives {yield_words(cutting, unit)} of tape, cut "
        f"{width(need.cut_width, unit)} wide, {seams}."
    )
    if not is_all_wanted(cutting):
        needed = to_cut(need.length, unit)
        text += f" {needed} is needed, {spare_words(cutting, unit)}."
    return make_step(
        text,
        yield_mm=cutting.yield_length,
        needed_mm=need.length,
        spare_mm=cutting.spare,
        seams_in_tape=cutting.seams_in_tape,
    )


def _bias_steps(cutting: Cutting, unit: Unit) -> tuple[Step, ...]:
    across, along = cutting.cut_size
    first = cutting.first_line or 0.0
    apart = width(cutting.line_spacing, unit)
    begin, end = first_line_marks(cutting, unit)
    steps = [
        cut_piece(cutting, unit),
        make_step(
            "Lay it wrong side up with the selvage sides left and right. Letter the "
            "left and the right side A, the upper and the lower side B.",
        ),
        make_step(
            f"Make two marks: {begin}, and {end}. The line through both is "
            "the first one; it runs at 45 degrees.",
            first_line_mm=first,
            first_line_length_mm=math.dist(*bias_line(first - along, across, along)),
        ),
        make_step(
            f"Rule on from it towards the lower right corner: "
            f"{counted(cutting.lines, 'line')} with the first, {apart} apart, measured "
            "square to the lines.",
            lines=cutting.lines,
            spacing_mm=cutting.line_spacing,
        ),
        make_step(
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
    steps += _order_steps(cutting, unit)
    if cutting.joins:
        steps.append(
            make_step(
                "Join strip to strip: only an end A to an end A, an end B to an end B; "
                f"{turn_words(cutting)}. Lay two ends right sides together, the strips "
                "at a right angle, so that the points stand out on both sides and the "
                "seam runs from notch to notch. Sew "
                f"{seam_words(cutting.need.seam, unit)}; trim the points. "
                f"{counted(cutting.joins, 'join')} in all.",
                joins=cutting.joins,
                seam_mm=cutting.need.seam,
                trimmed_mm=trimmed_seam(cutting.need.seam),
            )
        )
    return tuple(steps)


def _order_steps(cutting: Cutting, unit: Unit) -> list[Step]:
    """Say in which order strips are joined, where that matters."""
    order = cutting.order
    if order is None:
        return []
    return [
        make_step(
            " ".join(order_sentences(cutting, unit)),
            joins=len(order.joins),
            begin_mm=order.start,
            extra_mm=order.extra,
        )
    ]


def first_line_marks(cutting: Cutting, unit: Unit) -> tuple[str, str]:
    """Say where the two marks of the first bias line are made."""
    return bias_marks(cutting.first_line or 0.0, cutting.cut_size, unit)


def _straight_steps(cutting: Cutting, unit: Unit) -> tuple[Step, ...]:
    apart = width(cutting.line_spacing, unit)
    crosswise = cutting.method is Method.CROSSWISE_STRIPS
    steps = [cut_piece(cutting, unit)]
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
            make_step(
                f"Lay it wrong side up and rule {rule}.",
                lines=cutting.lines,
                spacing_mm=cutting.line_spacing,
            ),
            make_step(
                f"Cut along {'them' if cutting.lines > 1 else 'it'}: "
                f"{counted(cutting.strips, 'strip')}, "
                f"{length(cutting.strip_lengths[0], unit)} long each. "
                f"{trim_words(cutting, unit)}".strip(),
                strips=cutting.strips,
                strip_mm=cutting.strip_lengths[0],
            ),
        ]
    steps += _order_steps(cutting, unit)
    if cutting.joins:
        seam = cutting.need.seam
        steps.append(
            make_step(
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
