"""Several tapes, and several sizes, in one cut, as text."""

from collections.abc import Sequence
from typing import Final

from edgefinder.classifier.job import FabricSettings, Grain
from edgefinder.classifier.price_words import Price
from edgefinder.reports.amounts import cloth, length, on_ruler, width
from edgefinder.reports.buying_text import preparation_lines
from edgefinder.reports.layout import columns, heading, paragraph
from edgefinder.schedule.fabric_answer import TapesCut
from edgefinder.schedule.fabric_need import preparation_of, usable_width_of
from edgefinder.units import Unit
from edgefinder.yardage.cutting import NotPossible
from edgefinder.yardage.one_cut import SizeCut
from edgefinder.yardage.strip_rows import OneCut

HEAD: Final = ("size", "cloth along", "rows", "strips", "waste", "buy")


def tapes_lines(
    found: Sequence[TapesCut], fabric: FabricSettings, unit: Unit
) -> list[str]:
    """Write several tapes cut together, on every grain that was asked for.

    Parameters
    ----------
    found : sequence of TapesCut
    fabric : FabricSettings
    unit : Unit
    """
    lines = paragraph(
        f"tapes from one cloth, {length(usable_width_of(fabric), unit)} usable, strip "
        f"seams {width(fabric.strip_seam, unit)}"
    )
    for one in found:
        lines += ["", *heading(f"All tapes cut {way_words(one.grain)}")]
        rows, notes = _rows(one.sizes.sizes, fabric.price, unit)
        head: tuple[str, ...] = HEAD
        if fabric.price is not None:
            head = (*head, "cost")
        lines += columns(head, rows) if rows else []
        for note in notes:
            lines += paragraph(note, hanging="  ")
        lines += _after(one, unit)
    return [*lines, "", *preparation_lines(preparation_of(fabric), unit)]


def way_words(grain: Grain) -> str:
    """Say which way strips are cut."""
    return "on the bias" if grain is Grain.BIAS else str(grain)


def _rows(
    sizes: Sequence[SizeCut], price: Price | None, unit: Unit
) -> tuple[list[tuple[str, ...]], list[str]]:
    rows: list[tuple[str, ...]] = []
    notes: list[str] = []
    for cut in sizes:
        name = cut.size or "all"
        if isinstance(cut.result, NotPossible):
            notes.append(f"{name}: not possible: {cut.result.reason}")
            continue
        row: tuple[str, ...] = (
            name,
            on_ruler(cut.result.length, unit),
            str(cut.result.rows),
            str(len(cut.result.strips)),
            f"{100 * cut.result.waste:.0f} %",
            "-" if cut.buy is None else cloth(cut.buy, unit),
        )
        if price is not None and cut.cost is not None:
            row = (*row, price.write(cut.cost))
        rows.append(row)
        notes.append(f"{name}: {search_words(cut.result, unit)}")
        notes.append(f"{name}: {strips_words(cut.result, unit)}")
    return rows, notes


def _after(one: TapesCut, unit: Unit) -> list[str]:
    lines: list[str] = []
    largest = one.sizes.largest
    if largest is not None and len(one.sizes.sizes) > 1 and largest.buy is not None:
        lines += paragraph(
            f"for the back cover: size {largest.size} buys most, "
            f"{cloth(largest.buy, unit)}",
            hanging="  ",
        )
    if isinstance(one.together, OneCut):
        lines += paragraph(
            f"all sizes in one cut: {on_ruler(one.together.length, unit)} along, "
            f"{len(one.together.strips)} strips; {search_words(one.together, unit)}",
            hanging="  ",
        )
    elif isinstance(one.together, NotPossible):
        lines += paragraph(
            f"all sizes in one cut: not possible: {one.together.reason}", hanging="  "
        )
    return lines


def search_words(cut: OneCut, unit: Unit) -> str:
    """Say how the strips were put together, and what no other way can beat."""
    if cut.is_exact:
        return "every way was compared, none takes less cloth"
    how = "tape beside tape" if cut.grain is Grain.BIAS else "first fit, longest first"
    return (
        f"{how}; no way takes less than {length(cut.lower_bound, unit)} along "
        "(lower bound)"
    )


def strips_words(cut: OneCut, unit: Unit) -> str:
    """Say which strips belong to which tape."""
    return "; ".join(
        f"{tape} strips {numbers}, {wide} wide"
        for tape, numbers, wide in strips_rows(cut, unit)
    )


def strips_rows(cut: OneCut, unit: Unit) -> tuple[tuple[str, str, str], ...]:
    """Return every tape with the numbers and the cut width of its strips."""
    by_tape: dict[str, list[int]] = {}
    for one in cut.strips:
        by_tape.setdefault(one.tape, []).append(one.strip.number)
    widths = {one.tape: one.strip.cut_width for one in cut.strips}
    return tuple(
        (tape, ranges(numbers), width(widths[tape], unit))
        for tape, numbers in by_tape.items()
    )


def ranges(numbers: Sequence[int]) -> str:
    """Write numbers in rising order, those that follow on as a range.

    Examples
    --------
    >>> ranges([1, 2, 3, 5])
    '1-3, 5'
    """
    parts: list[list[int]] = []
    for number in sorted(numbers):
        if parts and number == parts[-1][-1] + 1:
            parts[-1].append(number)
        else:
            parts.append([number])
    return ", ".join(
        str(part[0]) if len(part) == 1 else f"{part[0]}-{part[-1]}" for part in parts
    )
