"""Places that do not lie flat, in words."""

import math
from collections.abc import Callable, Mapping, Sequence
from types import MappingProxyType
from typing import Final

from edgefinder.binding.runs import BoundEdge
from edgefinder.curvature.advice import Advice, PlaceReport, Remedy
from edgefinder.curvature.verdict import Verdict
from edgefinder.curvature.widths import WidthCount
from edgefinder.reports.amounts import (
    length,
    percent,
    radius_at_least,
    width,
    width_at_most,
)
from edgefinder.reports.layout import columns, paragraph
from edgefinder.units import Unit, format_length

MOST_CLOTHS = 2
"""Cloth classes named one by one, the firmest first."""


def edge_name(bound: BoundEdge) -> str:
    """Write an edge the way a job file names it."""
    mirrored = " mirrored" if bound.mirrored else ""
    return f"{bound.finished.piece.name} {bound.finished.edge.label}{mirrored}"


def place_lines(number: int, report: PlaceReport, unit: Unit) -> list[str]:
    """Write one place in three sentences: where, what, what to do."""
    place = report.place
    side = "inside" if place.inside else "outside"
    edge = place.edge.finished
    mirrored = " mirrored" if place.mirrored else ""
    name = f"{edge.piece.name} {edge.edge.label}{mirrored}"
    where = (
        f"{name}: {length(place.at, unit)} along, "
        f"over {length(place.length, unit)}: {side} curve, radius "
        f"{length(place.radius, unit)}: {str(place.verdict).upper()}"
    )
    what = _what(report, unit)
    advice = "; or ".join(_advice(advice, unit) for advice in report.advice)
    hang = " " * 5
    return [
        *paragraph(where, f"{number:3}. ", hang),
        *(paragraph(what, hang) if what else []),
        *paragraph(f"do: {advice}", hang),
    ]


def _what(report: PlaceReport, unit: Unit) -> str:
    parts = []
    if report.stretch_needed is None:
        parts.append("tighter than the tape is wide: no flat band")
    elif report.place.verdict is not Verdict.MITRE:
        parts.append(
            f"takes {percent(report.stretch_needed)} stretch with "
            f"{percent(report.limits.ease)} ease; the cloth has "
            f"{percent(report.limits.stretch)}"
        )
    if report.laid_width is not None and report.place.verdict is Verdict.STEAM:
        parts.append(f"the tape covers {_fine(report.laid_width, unit)} when laid")
        if report.restoring_cut_width is not None:
            cut = width(report.restoring_cut_width, unit)
            parts.append(f"a cut width of {cut} covers all of it")
    return "; ".join(parts)


def _advice(advice: Advice, unit: Unit) -> str:
    write = _WRITERS.get(advice.remedy)
    if write is not None:
        return write(advice, unit)
    if advice.stretch is not None:
        return f"{advice.remedy}, {percent(advice.stretch)} or more"
    return str(advice.remedy)


def _narrower(advice: Advice, unit: Unit) -> str:
    most = width_at_most(advice.length, unit)
    return "no tape lies flat" if most == "none" else f"tape up to {most} wide"


def _redraw(advice: Advice, unit: Unit) -> str:
    radius = radius_at_least(advice.length or 0.0, unit)
    return f"redraw with a radius of {radius} or more"


def _mitre(advice: Advice, unit: Unit) -> str:
    if advice.angle is None or advice.length is None:
        return str(advice.remedy)
    angle, fold = math.degrees(advice.angle), _fine(advice.length, unit)
    return f"fold a mitre {angle:.0f} degrees off square, its fold {fold} long"


def _bias(advice: Advice, _: Unit) -> str:
    return f"{advice.remedy} ({advice.verdict})"


def _cloth(advice: Advice, _: Unit) -> str:
    named = ", ".join(advice.cloths[:MOST_CLOTHS])
    more = " or one that stretches more" if advice.cloths[MOST_CLOTHS:] else ""
    return f"{advice.remedy} ({advice.verdict}): {named}{more}"


_WRITERS: Final[Mapping[Remedy, Callable[[Advice, Unit], str]]] = MappingProxyType(
    {
        Remedy.NARROWER: _narrower,
        Remedy.REDRAW: _redraw,
        Remedy.MITRE: _mitre,
        Remedy.BIAS: _bias,
        Remedy.CLOTH: _cloth,
    }
)
"""Remedies with figures of their own; the others are words."""


def widths_lines(counts: Sequence[WidthCount], unit: Unit) -> list[str]:
    """Write usual widths against the number of places that do not lie flat."""
    head = ("finished width", *(width(count.width, unit) for count in counts))
    return columns(
        head,
        [
            ("ease and steam", *(str(count.steam) for count in counts)),
            ("too tight", *(str(count.too_tight) for count in counts)),
        ],
    )


def _fine(value: float, unit: Unit) -> str:
    """Write a width to the 1/32 in or 0.1 mm that narrowing is about."""
    if unit is Unit.INCH:
        return format_length(value, unit, denominator=32)
    return f"{value:.1f} mm"
