"""The cloth of a whole release, as text: for the back cover, and for every size."""

from collections.abc import Sequence
from itertools import islice
from typing import Final

from edgefinder.classifier.sizes import ONE_SIZE
from edgefinder.reports.amounts import cloth, length, on_ruler
from edgefinder.reports.buying_text import preparation_lines
from edgefinder.reports.layout import columns, heading, paragraph
from edgefinder.reports.rectangle_text import rectangle_lines
from edgefinder.reports.release_rows import size_words
from edgefinder.reports.scraps_text import scraps_lines
from edgefinder.reports.tapes_text import search_words, strips_words, way_words
from edgefinder.schedule.fabric_need import preparation_of, usable_width_of
from edgefinder.schedule.one_cuts import GrainCut, LargestSize
from edgefinder.schedule.release import Release
from edgefinder.schedule.size_rows import TapeRow
from edgefinder.units import Unit
from edgefinder.yardage.buying_table import WidthRows
from edgefinder.yardage.cutting import NotPossible
from edgefinder.yardage.strip_rows import OneCut

COVER_TITLE: Final = "Cloth"
MOST_COLUMNS: Final = 4
"""Widths of cloth that stand beside one another in 80 columns."""


def cover_cloth_lines(release: Release) -> list[str]:
    """Write what the back cover says of cloth, and what is allowed for."""
    unit = release.job.unit
    lines = [*heading(COVER_TITLE)]
    for said in cover_cloth_words(release):
        lines += paragraph(said, hanging="  ")
    lines += ["", *preparation_lines(preparation_of(release.job.fabric), unit)]
    return [*lines, *_width_tables(release)]


def cover_cloth_words(release: Release) -> list[str]:
    """Say which size buys most, what cloth costs, and how much of it is usable."""
    fabric, unit = release.job.fabric, release.job.unit
    said = [largest_words(one, unit) for one in release.largest]
    if fabric.price is not None:
        said.append(
            f"price: {fabric.price.write(fabric.price.coins)} per {fabric.price.per}; "
            "what each way of cutting costs stands with its tape"
        )
    usable = length(usable_width_of(fabric), unit)
    return [*said, f"usable width of the prepared cloth: {usable}"]


def largest_words(one: LargestSize, unit: Unit) -> str:
    """Say which size buys most; where there is one size, what is bought."""
    who = "to buy" if one.size == ONE_SIZE else f"{size_words(one.size)} buys most"
    return (
        f"{who}: {cloth(one.buy, unit)} of {one.cloth} for all tapes cut "
        f"{way_words(one.grain)}"
    )


def width_labels(release: Release) -> tuple[str, ...]:
    """Name the widths of cloth that the job asks for; nothing if it asks for none."""
    rows = (row for size in release.sizes for row in size.tapes if row.cloths)
    return tuple(one.cloth.label for row in islice(rows, 1) for one in row.cloths)


def width_rows(release: Release) -> tuple[tuple[str, ...], ...]:
    """Return size, tape and what to buy of cloth of every width that is asked for."""
    return tuple(
        (
            size.size,
            row.tape.name,
            *(_to_buy(one, release.job.unit) for one in row.cloths),
        )
        for size in release.sizes
        for row in size.tapes
        if row.cloths
    )


def _width_tables(release: Release) -> list[str]:
    """Write what to buy of cloth of other widths, size by size, a few at a time."""
    labels, rows = width_labels(release), width_rows(release)
    lines: list[str] = []
    for first in range(0, len(labels), MOST_COLUMNS):
        last = first + MOST_COLUMNS
        table = [(*row[:2], *row[2:][first:last]) for row in rows]
        head = ("size", "to buy of cloth", *labels[first:last])
        lines += ["", *columns(head, table, left=2)]
    return lines


def _to_buy(one: WidthRows, unit: Unit) -> str:
    return "-" if one.least is None else cloth(one.least.buy, unit)


def one_cut_lines(cuts: Sequence[GrainCut], unit: Unit) -> list[str]:
    """Write the tapes of a size that are cut from one cloth in one cut."""
    lines: list[str] = []
    for cut in several_tapes(cuts):
        said = one_cut_words(cut, unit)
        if isinstance(cut.together, OneCut):
            said.append(strips_words(cut.together, unit))
        lines += ["", *heading(one_cut_title(cut))]
        for one in said:
            lines += paragraph(one, hanging="  ")
    return lines


def several_tapes(cuts: Sequence[GrainCut]) -> list[GrainCut]:
    """Leave out cuts of a single tape: it has nothing to share a cloth with."""
    return [cut for cut in cuts if len(cut.tapes) > 1]


def one_cut_title(cut: GrainCut) -> str:
    """Name the tapes that are cut together."""
    names = ", ".join(f'"{tape.name}"' for tape in cut.tapes)
    return f"Tapes {names} in one cut, {way_words(cut.grain)}"


def one_cut_words(cut: GrainCut, unit: Unit) -> list[str]:
    """Say what tapes in one cut take, or why they are not cut so; without strips."""
    if cut.together is None:
        alone = "" if cut.alone is None else f": {cloth(cut.alone, unit)} in all"
        why = "the order of strips matters, which is found for each tape alone"
        return [f"not tried, because {why}{alone}"]
    if isinstance(cut.together, NotPossible):
        return [f"not possible: {cut.together.reason}"]
    said = [search_words(cut.together, unit)]
    if cut.bought is not None:
        taken = (
            f"{on_ruler(cut.together.length, unit)} of {cut.cloth} along, "
            f"{len(cut.together.strips)} strips, "
            f"{100 * cut.together.waste:.0f} % waste: buy "
            f"{cloth(cut.bought.buy, unit)}{_instead(cut, unit)}"
        )
        said.insert(0, taken)
    return said


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
