"""Cloth for tape as plain records: full precision, units in every name."""

from collections.abc import Sequence
from dataclasses import asdict

from edgefinder.classifier.price_words import Price
from edgefinder.reports.records import Record
from edgefinder.schedule.fabric_answer import FabricAnswer, TapesCut
from edgefinder.units import Unit
from edgefinder.yardage.as_cut import as_cut, as_cut_plan, ruler_sides
from edgefinder.yardage.buying_table import WidthRows
from edgefinder.yardage.cutting import Cutting, NotPossible
from edgefinder.yardage.from_rectangle import FromRectangle
from edgefinder.yardage.methods import CuttingPlan
from edgefinder.yardage.packets import TapePackets
from edgefinder.yardage.preparation import Preparation, allowances
from edgefinder.yardage.scraps import ScrapCover
from edgefinder.yardage.strip_order import StripOrder
from edgefinder.yardage.strip_rows import OneCut


def answer_record(found: FabricAnswer) -> Record:
    """Return the answer to what was typed as a record; it has what was asked for."""
    unit = found.query.unit
    record: Record = {}
    if found.plan is not None:
        record |= plan_record(found.plan, unit)
    if found.rectangle is not None:
        record["from_rectangle"] = rectangle_record(found.rectangle, unit)
    if found.scraps is not None:
        record["scraps"] = scraps_record(found.scraps)
    if found.tapes:
        record["one_cuts"] = [_tapes_cut(one) for one in found.tapes]
    if found.widths:
        record["widths"] = widths_records(found.widths, unit)
    if found.packets:
        record["packets"] = [_packets(one) for one in found.packets]
    return record


def plan_record(plan: CuttingPlan, unit: Unit) -> Record:
    """Return every way of cutting a tape as a record."""
    need = plan.need
    ranked = as_cut_plan(plan, unit)
    exact = {cutting.method: cutting for cutting in plan.cuttings}
    best = ranked.least_waste
    return {
        "length_mm": need.length,
        "cut_width_mm": need.cut_width,
        "strip_seam_mm": need.seam,
        "usable_width_mm": need.usable_width,
        "methods": [cutting_record(exact[one.method], unit) for one in ranked.cuttings],
        "not_possible": _not_possible(plan.not_possible),
        "least_waste": None if best is None else str(best.method),
        "square_root_rule": {
            "side_mm": plan.rule.side,
            "yield_mm": plan.rule.yield_length,
            "short_mm": plan.rule.short,
        },
        "one_way": need.one_way,
        "same_slant": need.same_slant,
        "avoid_joins_mm": []
        if need.run is None
        else [list(place) for place in need.run.avoid],
        "buy_step_mm": need.buy_step,
        "price": _price(need.price),
        "preparation": preparation_records(need.preparation),
    }


def _price(price: Price | None) -> Record | None:
    if price is None:
        return None
    currency = price.before or price.after
    return {"coins": price.coins, "per": str(price.per), "currency": currency}


def preparation_records(preparation: Preparation) -> list[Record]:
    """Return every allowance, on or off, with the usual figure."""
    return [
        {
            "name": one.usual.name,
            "unit": "percent" if one.usual.is_share else "mm",
            "value": _scaled(one.value, is_share=one.usual.is_share),
            "usual": [
                _scaled(end, is_share=one.usual.is_share)
                for end in (one.usual.least, one.usual.most)
            ],
            "source": str(one.usual.mark),
            "about": one.usual.about,
        }
        for one in allowances(preparation)
    ]


def _scaled(value: float, *, is_share: bool) -> float:
    return 100 * value if is_share else value


def cutting_record(cutting: Cutting, unit: Unit) -> Record:
    """Return one way of cutting as a record.

    ``cut_mm`` is the least piece that is enough; all else is told of the piece that is
    cut, whose sides are ``ruler_mm``.
    """
    least = list(cutting.cut_size)
    ruler = list(ruler_sides(cutting, unit))
    cutting = as_cut(cutting, unit)
    return {
        "method": str(cutting.method),
        "yield_mm": cutting.yield_length,
        "cut_mm": least,
        "strips": cutting.strips,
        "strip_lengths_mm": list(cutting.strip_lengths),
        "joins": cutting.joins,
        "spare_mm": cutting.spare,
        "waste_percent": 100 * cutting.waste,
        "buy_mm": cutting.buy,
        "lines": cutting.lines,
        "line_spacing_mm": cutting.line_spacing,
        "first_line_mm": cutting.first_line,
        "ruler_mm": ruler,
        "seams_in_tape": cutting.seams_in_tape,
        "buy_parts_mm": asdict(cutting.bought),
        "cost_coins": cutting.cost,
        "order": None if cutting.order is None else _order(cutting.order),
    }


def _order(order: StripOrder) -> Record:
    return {
        "strips": [
            {
                "number": one.strip.number,
                "turned": one.is_turned,
                "length_mm": one.strip.length,
                "trim_mm": one.trim,
            }
            for one in order.placed
        ],
        "joins_at_mm": list(order.joins),
        "begin_at_mm": order.start,
        "extra_mm": order.extra,
        "unused": [strip.number for strip in order.unused],
        "is_least": order.is_least,
    }


def _not_possible(missing: Sequence[NotPossible]) -> list[Record]:
    return [{"method": str(one.method), "reason": one.reason} for one in missing]


def widths_records(rows: Sequence[WidthRows], unit: Unit) -> list[Record]:
    """Return what is bought of cloth of every width."""
    return [
        {
            "cloth": row.cloth.label,
            "usable_width_mm": row.usable_width,
            "source": row.cloth.source,
            "methods": [cutting_record(cutting, unit) for cutting in row.cuttings],
            "not_possible": _not_possible(row.not_possible),
        }
        for row in rows
    ]


def rectangle_record(found: FromRectangle, unit: Unit) -> Record:
    """Return what a rectangle gives as a record."""
    tube = found.tube
    return {
        "across_mm": found.across,
        "along_mm": found.along,
        "length_mm": found.need.length,
        "cut_width_mm": found.need.cut_width,
        "strip_seam_mm": found.need.seam,
        "methods": [
            {**cutting_record(cutting, unit), "short_mm": cutting.short}
            for cutting in found.cuttings
        ],
        "tube": None
        if tube is None
        else {
            "strips": tube.strips,
            "strip_mm": tube.strip_length,
            "yield_mm": tube.yield_length,
            "spare_mm": tube.spare,
            "short_mm": tube.short,
            "cut_mm": list(tube.cut_size),
            "rule_yield_mm": tube.by_area,
            "rule_short_mm": tube.rule_short,
        },
    }


def scraps_record(cover: ScrapCover) -> Record:
    """Return what scraps give as a record."""
    return {
        "scraps": [
            {
                "name": tape.scrap.name,
                "area_mm2": tape.scrap.area,
                "strip_lengths_mm": [strip.length for strip in tape.strips],
                "yield_mm": tape.yield_length,
                "taken": number in cover.taken,
            }
            for number, tape in enumerate(cover.tapes)
        ],
        "yield_mm": cover.yield_length,
        "spare_mm": cover.spare,
        "short_mm": cover.short,
        "is_least": cover.is_least,
    }


def _tapes_cut(one: TapesCut) -> Record:
    largest = one.sizes.largest
    return {
        "grain": str(one.grain),
        "sizes": [
            {
                "size": cut.size,
                "cut": one_cut_record(cut.result),
                "buy_mm": cut.buy,
                "cost_coins": cut.cost,
            }
            for cut in one.sizes.sizes
        ],
        "largest": None if largest is None else largest.size,
        "all_sizes": None if one.together is None else one_cut_record(one.together),
    }


def one_cut_record(result: OneCut | NotPossible) -> Record:
    """Return several tapes in one cut, or why they cannot be cut."""
    if isinstance(result, NotPossible):
        return {"not_possible": result.reason}
    return {
        "grain": str(result.grain),
        "across_mm": result.width,
        "along_mm": result.length,
        "rows": result.rows,
        "waste_percent": 100 * result.waste,
        "lower_bound_mm": result.lower_bound,
        "is_exact": result.is_exact,
        "strips": [
            {
                "number": cut.strip.number,
                "tape": cut.tape,
                "length_mm": cut.strip.length,
                "cut_width_mm": cut.strip.cut_width,
                "corners_mm": [list(corner) for corner in cut.strip.corners],
            }
            for cut in result.strips
        ],
    }


def _packets(one: TapePackets) -> Record:
    return {
        "tape": one.name,
        "count": one.packets.count,
        "packet_mm": one.packet_length,
        "yield_mm": one.packets.yield_length,
        "spare_mm": one.packets.spare,
        "joins": one.packets.joins,
    }
