"""The cloth of a whole release, as text: for the back cover, and for every size."""

from collections.abc import Sequence

from edgefinder.reports.amounts import cloth, length, on_ruler
from edgefinder.reports.buying_text import preparation_lines
from edgefinder.reports.layout import columns, heading, paragraph
from edgefinder.reports.rectangle_text import rectangle_lines
from edgefinder.reports.scraps_text import scraps_lines
from edgefinder.reports.tapes_text import search_words, strips_words, way_words
from edgefinder.schedule.fabric_need import preparation_of, usable_width_of
from edgefinder.schedule.one_cuts import GrainCut, LargestSize
from edgefinder.schedule.release import Release, SizeSchedule, TapeRow
from edgefinder.units import Unit
from edgefinder.yardage.buying_table import WidthRows
from edgefinder.yardage.cutting import NotPossible

MOST_COLUMNS = 4
"""Widths of cloth that stand beside one another in 80 columns."""


def cover_cloth_lines(release: Release) -> list[str]:
    """Write what the back cover says of cloth, and what is allowed for."""
    unit = release.job.unit
    lines = [*heading("Cloth")]
    for one in release.largest:
        lines += paragraph(largest_words(one, unit), hanging="  ")
    fabric = release.job.fabric
    if fabric.price is not None:
        lines += paragraph(
            f"price: {fabric.price.write(fabric.price.coins)} per {fabric.price.per}; "
            "what each way of cutting costs stands with its tape",
            hanging="  ",
        )
    usable = length(usable_width_of(fabric), unit)
    lines += paragraph(f"usable width of the prepared cloth: {usable}", hanging="  ")
    lines += ["", *preparation_lines(preparation_of(fabric), unit)]
    return [*lines, *_width_tables(release, unit)]


def largest_words(one: LargestSize, unit: Unit) -> str:
    """Say which size buys most."""
    return (
        f"size {one.size} buys most: {cloth(one.buy, unit)} of {one.cloth} for all "
        f"tapes cut {way_words(one.grain)}"
    )


def _width_tables(release: Release, unit: Unit) -> list[str]:
    """Write what to buy of cloth of other widths, size by size, a few at a time."""
    rows = [(size, row) for size in release.sizes for row in size.tapes if row.cloths]
    if not rows:
        return []
    count = len(rows[0][1].cloths)
    lines: list[str] = []
    for first in range(0, count, MOST_COLUMNS):
        shown = slice(first, first + MOST_COLUMNS)
        labels = [one.cloth.label for one in rows[0][1].cloths[shown]]
        table = [_width_row(size, row, shown, unit) for size, row in rows]
        lines += ["", *columns(("size", "to buy of cloth", *labels), table, left=2)]
    return lines


def _width_row(
    size: SizeSchedule, row: TapeRow, shown: slice, unit: Unit
) -> tuple[str, ...]:
    return (
        size.size,
        row.tape.name,
        *(_to_buy(one, unit) for one in row.cloths[shown]),
    )


def _to_buy(one: WidthRows, unit: Unit) -> str:
    return "-" if one.least is None else cloth(one.least.buy, unit)


def one_cut_lines(cuts: Sequence[GrainCut], unit: Unit) -> list[str]:
    """Write the tapes of a size that are cut from one cloth in one cut."""
    lines: list[str] = []
    for cut in cuts:
        if len(cut.tapes) < 2:
            continue
        names = ", ".join(f'"{tape.name}"' for tape in cut.tapes)
        way = way_words(cut.grain)
        lines += ["", *heading(f"Tapes {names} in one cut, {way}")]
        if cut.together is None:
            alone = "" if cut.alone is None else f": {cloth(cut.alone, unit)} in all"
            lines += paragraph(
                "not tried, because the order of strips matters, which is found for "
                f"each tape alone{alone}",
                hanging="  ",
            )
            continue
        if isinstance(cut.together, NotPossible):
            lines += paragraph(f"not possible: {cut.together.reason}", hanging="  ")
            continue
        if cut.bought is not None:
            lines += paragraph(
                f"{on_ruler(cut.together.length, unit)} of {cut.cloth} along, "
                f"{len(cut.together.strips)} strips, "
                f"{100 * cut.together.waste:.0f} % waste: buy "
                f"{cloth(cut.bought.buy, unit)}{_instead(cut, unit)}",
                hanging="  ",
            )
        lines += paragraph(search_words(cut.together, unit), hanging="  ")
        lines += paragraph(strips_words(cut.together, unit), hanging="  ")
    return lines


def _instead(cut: GrainCut, unit: Unit) -> str:
    if cut.alone is None:
        return ""
    return f"; each tape alone buys {cloth(cut.alone, unit)} in all"


def begin_lines(row: TapeRow, unit: Unit) -> list[str]:
    """Say how runs are cut off a tape, and where loops begin, because of its joins."""
    lines: list[str] = []
    if row.passes:
        listed = ", ".join(f"{one.run} {length(one.at, unit)}" for one in row.passes)
        lines = paragraph(
            "cut the runs off the joined tape in this order, each from this place on: "
            f"{listed}",
            hanging="  ",
        )
    return lines + [
        line
        for one in row.begins
        for line in paragraph(
            f"begin run {one.run} {length(one.at, unit)} on from its start",
            hanging="  ",
        )
    ]


def there_lines(row: TapeRow, unit: Unit) -> list[str]:
    """Say what a piece of cloth or scraps that are there come to."""
    lines: list[str] = []
    if row.rectangle is not None:
        lines += ["", *rectangle_lines(row.rectangle, unit, is_promise=False)]
    if row.scraps is not None:
        lines += ["", *scraps_lines(row.scraps, row.plan.need, unit)]
    return lines
