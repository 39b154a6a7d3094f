"""Places that do not lie flat, in words."""

import math
from collections.abc import Callable, Mapping, Sequence
from types import MappingProxyType
from typing import Final

from edgefinder.binding.runs import BoundEdge
from edgefinder.curvature.advice import Advice, PlaceReport, Remedy
from edgefinder.curvature.places import Place, Spot
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

SAME_MM: Final = 1e-6
"""Lengths that differ by less are one."""

MOST_CLOTHS = 2
"""Cloth classes named one by one, the firmest first."""


TOOL_HEAD: Final = "your fold tool"
"""Of a column or row that names the person's fold tool for a width."""


def edge_name(bound: BoundEdge) -> str:
    """Write an edge the way a job file names it."""
    mirrored = " mirrored" if bound.mirrored else ""
    return f"{bound.finished.piece.name} {bound.finished.edge.label}{mirrored}"


def place_lines(number: int, report: PlaceReport, unit: Unit) -> list[str]:
    """Write one place in three sentences: where, what, what to do."""
    what = place_what(report, unit)
    advice = "; or ".join(place_advice(report, unit))
    hang = " " * 5
    return [
        *paragraph(place_where(report, unit), f"{number:3}. ", hang),
        *(paragraph(what, hang) if what else []),
        *paragraph(f"do: {advice}", hang),
    ]


def place_where(report: PlaceReport, unit: Unit) -> str:
    """Say where a place is, how it curves, and how the tape lies there."""
    place = report.place
    return (
        f"{place_edge(report)}: {length(place.at, unit)} along, "
        f"over {length(place.length, unit)} {place_from_to(place, unit)}: "
        f"{place_side(report)} curve, radius {length(place.radius, unit)}: "
        f"{str(place.verdict).upper()}"
    )


def place_edge(report: PlaceReport) -> str:
    """Name the piece and the edge that the sharpest point of a place lies on."""
    return _spot_edge(report.place.worst)


def _spot_edge(spot: Spot) -> str:
    edge = spot.edge.finished
    mirrored = " mirrored" if spot.mirrored else ""
    return f"{edge.piece.name} {edge.edge.label}{mirrored}"


def place_from_to(place: Place, unit: Unit) -> str:
    """Say where a place begins and ends, as distances along the drawn edges."""
    if place.leg.profile.closed and place.length > place.leg.length - SAME_MM:
        return "all round"
    spots = [place.begins, place.finishes]
    names = [_spot_edge(spot) for spot in spots]
    goes_round = place.end > place.leg.length
    if names[0] == names[1] == _spot_edge(place.worst):
        ends = [spot.at for spot in spots]
        low, high = ends if goes_round else sorted(ends)
        return f"from {length(low, unit)} to {length(high, unit)}"
    low_text, high_text = (
        f"{length(spot.at, unit)} on {name}"
        for spot, name in zip(spots, names, strict=True)
    )
    return f"from {low_text} to {high_text}"


def place_side(report: PlaceReport) -> str:
    """Return ``inside`` or ``outside``."""
    return "inside" if report.place.inside else "outside"


def place_advice(report: PlaceReport, unit: Unit) -> list[str]:
    """Return what can be done about a place, one remedy after the other."""
    return [_advice(advice, unit) for advice in report.advice]


def place_what(report: PlaceReport, unit: Unit) -> str:
    """Say what a place takes and what the cloth has; empty for a mitre."""
    parts = []
    if report.stretch_needed is None:
        parts.append("tighter than the tape is wide: no flat band")
    elif report.place.verdict is not Verdict.MITRE:
        parts.append(
            f"takes {percent(report.stretch_needed)} stretch with "
            f"{percent(report.limits.ease)} ease; the cloth has "
            f"{percent(report.limits.stretch)}"
        )
    if report.feeds is not None and report.place.verdict is not Verdict.MITRE:
        parts.append(_feed(*report.feeds))
    if report.laid_width is not None and report.place.verdict is Verdict.STEAM:
        parts.append(f"the tape covers {_fine(report.laid_width, unit)} when laid")
        if report.restoring_cut_width is not None:
            cut = width(report.restoring_cut_width, unit)
            parts.append(f"a cut width of {cut} covers all of it")
    return "; ".join(parts)


def _feed(least: float, most: float) -> str:
    """Write the tape on one length of edge, to a hundredth."""
    figures = dict.fromkeys((f"{least:.2f}", f"{most:.2f}"))
    return f"feed {' to '.join(figures)}"


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


def _kink(advice: Advice, _: Unit) -> str:
    turn = math.degrees(advice.angle or 0.0)
    return f"{advice.remedy}: no narrower tape takes its kink of {turn:.1f} degrees"


def _ease(advice: Advice, _: Unit) -> str:
    if advice.feeds is None:
        return str(advice.remedy)
    least, most = advice.feeds
    return f"{advice.remedy}, {_from_to_percent(least - 1, most - 1)} more than edge"


def _shrink(advice: Advice, _: Unit) -> str:
    if advice.feeds is None:
        return str(advice.remedy)
    least, most = advice.feeds
    return str(advice.remedy).replace(
        "its fold", f"its fold by {_from_to_percent(1 / most - 1, 1 / least - 1)}"
    )


def _from_to_percent(least: float, most: float) -> str:
    """Write two fractions, the least first; one if they are written alike."""
    low, high = percent(least), percent(most)
    return high if low == high else f"{low.removesuffix(' %')} to {high}"


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
        Remedy.TRUE_SEAM: _kink,
        Remedy.SQUARE_FOLD: _kink,
        Remedy.SMOOTH: _kink,
        Remedy.EASE: _ease,
        Remedy.SHRINK: _shrink,
        Remedy.BIAS: _bias,
        Remedy.CLOTH: _cloth,
    }
)
"""Remedies with figures of their own; the others are words."""


def widths_lines(counts: Sequence[WidthCount], unit: Unit) -> list[str]:
    """Write finished widths against the number of places that do not lie flat."""
    head = ("finished width", *(width(count.width, unit) for count in counts))
    rows = [
        ("ease and steam", *(str(count.steam) for count in counts)),
        ("too tight", *(str(count.too_tight) for count in counts)),
    ]
    if any(count.tool is not None for count in counts):
        tools = ["-" if count.tool is None else count.tool.name for count in counts]
        rows.append((TOOL_HEAD, *tools))
    return columns(head, rows)


def _fine(value: float, unit: Unit) -> str:
    """Write a width to the 1/32 in or 0.1 mm that narrowing is about."""
    if unit is Unit.INCH:
        return format_length(value, unit, denominator=32)
    return f"{value:.1f} mm"
