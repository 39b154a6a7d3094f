"""Fabric for a tape, every method, as text."""

from types import MappingProxyType
from typing import Final

from edgefinder.classifier.job import Grain
from edgefinder.reports.amounts import cloth, length, spare, to_cut, width
from edgefinder.reports.buying_text import (
    bought_lines,
    cost_lines,
    preparation_lines,
)
from edgefinder.reports.cutting_words import side_words
from edgefinder.reports.layout import columns, paragraph
from edgefinder.reports.order_words import order_sentences
from edgefinder.units import Unit
from edgefinder.yardage.as_cut import as_cut, as_cut_plan
from edgefinder.yardage.cutting import Cutting, Method, Need
from edgefinder.yardage.methods import CuttingPlan
from edgefinder.yardage.packets import Packets

SHORT_NAMES: Final = MappingProxyType(
    {
        Method.TUBE_FROM_SQUARE: "tube (square)",
        Method.TUBE_FROM_RECTANGLE: "tube (rectangle)",
    }
)
"""Of methods whose names would push a table beyond the page."""


def plan_lines(plan: CuttingPlan, unit: Unit) -> list[str]:
    """Write every way of cutting a tape, least waste first."""
    plan = as_cut_plan(plan, unit)
    rows = [cutting_cells(cutting, unit) for cutting in plan.cuttings]
    lines = columns(
        ("method", "across x along", "strips", "joins", "spare", "waste", "buy"),
        rows,
    )
    for other in plan.not_possible:
        lines += paragraph(f"{other.method}: not possible: {other.reason}", "", "  ")
    best = plan.least_waste
    if best is not None:
        lines += ["", *ruling_lines(best, unit)]
        lines += [
            line
            for said in order_sentences(best, unit)
            for line in paragraph(said, "  ")
        ]
        lines += bought_lines(best.bought, unit)
        lines += cost_lines(plan.cuttings, plan.need)
    if plan.need.grain in {None, Grain.BIAS}:  # the rule is one of bias tape
        lines += rule_lines(plan, unit)
    return lines


def cutting_cells(cutting: Cutting, unit: Unit) -> tuple[str, ...]:
    """Return what a way of cutting takes as it is cut, as cells of a table."""
    cutting = as_cut(cutting, unit)
    across, along = side_words(cutting, unit)
    return (
        SHORT_NAMES.get(cutting.method, str(cutting.method)),
        f"{across.removesuffix(str(unit))}x {along}",
        str(cutting.strips),
        str(cutting.joins),
        length(spare(cutting.yield_length, cutting.need.length, unit), unit),
        f"{100 * cutting.waste:.0f} %",
        cloth(cutting.buy, unit),
    )


def ruling_lines(cutting: Cutting, unit: Unit) -> list[str]:
    """Say how many lines to rule, and how far apart."""
    text = (
        f"least waste: {cutting.method}: rule {cutting.lines} "
        f"line{'' if cutting.lines == 1 else 's'} "
        f"{width(cutting.line_spacing, unit)} apart"
    )
    if cutting.lines == 0:
        text = f"least waste: {cutting.method}: one cut, no line to rule"
    if cutting.method in {Method.TUBE_FROM_SQUARE, Method.TUBE_FROM_RECTANGLE}:
        text += " parallel to the bias edges, sew the tube offset by one line"
    elif cutting.first_line is not None:
        text += (
            " at 45 degrees; the first leaves a corner "
            f"{length(cutting.first_line, unit)} from its point"
        )
    return paragraph(text, hanging="  ")


def rule_lines(plan: CuttingPlan, unit: Unit) -> list[str]:
    """Say what the square-root rule would have come to."""
    rule = plan.rule
    text = (
        f"the square-root rule says a square of {length(rule.side, unit)}, which "
        f"yields {length(rule.yield_length, unit)}"
    )
    if rule.short > 0:
        text += f": {to_cut(rule.short, unit)} short"
    return paragraph(text, hanging="  ")


def packets_lines(packets: Packets, packet_length: float, unit: Unit) -> list[str]:
    """Say how many packets of ready-made tape to buy."""
    count = f"{packets.count} packet{'' if packets.count == 1 else 's'}"
    joins = f"{packets.joins} join{'' if packets.joins == 1 else 's'}"
    return paragraph(
        f"ready-made: {count} of {cloth(packet_length, unit)}, {joins}, "
        f"{length(packets.spare, unit)} spare",
        hanging="  ",
    )


def about_lines(need: Need, unit: Unit) -> list[str]:
    """Say what is needed, and of what cloth."""
    about = (
        f"{to_cut(need.length, unit)} of tape cut {width(need.cut_width, unit)} wide, "
        f"strip seams {width(need.seam, unit)}, cloth "
        f"{length(need.usable_width, unit)} usable"
    )
    if need.one_way:
        about += ", one way"
    if need.same_slant:
        about += ", joins all slanting the same way"
    return paragraph(about)


def fabric_text(plan: CuttingPlan, unit: Unit) -> str:
    """Write what a length of tape typed by hand takes."""
    lines = [*about_lines(plan.need, unit), "", *plan_lines(plan, unit), ""]
    return "\n".join([*lines, *preparation_lines(plan.need.preparation, unit), ""])
