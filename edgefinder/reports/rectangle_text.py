"""Tape from a rectangle that is there, as text."""

from typing import Final

from edgefinder.reports.amounts import (
    length,
    on_ruler,
    size_words,
    spare,
    to_cut,
    width,
)
from edgefinder.reports.cutting_words import side_words, yield_words
from edgefinder.reports.layout import columns, paragraph
from edgefinder.units import Unit
from edgefinder.yardage.as_cut import as_cut
from edgefinder.yardage.cutting import Cutting
from edgefinder.yardage.from_rectangle import FromRectangle

HEAD: Final = ("method", "cut off", "strips", "joins", "yield")
"""Columns of the table of ways of cutting."""
NO_TAPE: Final = "no tape can be cut from it: a strip would be too short"


def rectangle_lines(found: FromRectangle, unit: Unit, *, is_promise: bool) -> list[str]:
    """Write what a rectangle gives, by every way of cutting it.

    Parameters
    ----------
    found : FromRectangle
    unit : Unit
    is_promise : bool
        Whether no length of tape was asked for.
    """
    lines = [*paragraph(rectangle_about(found, unit, is_promise=is_promise)), ""]
    if found.cuttings:
        lines += columns(*rectangle_table(found, unit, is_promise=is_promise))
    else:
        lines += paragraph(NO_TAPE)
    said = tube_words(found, unit, is_promise=is_promise)
    lines += [""] if said else []
    for one in said:
        lines += paragraph(one, hanging="  ")
    return lines


def rectangle_about(found: FromRectangle, unit: Unit, *, is_promise: bool) -> str:
    """Say what tape is cut from what."""
    need = found.need
    size = size_words((found.across, found.along), found.across, unit)
    wanted = "" if is_promise else f"{to_cut(need.length, unit)} of "
    return (
        f"{wanted}tape cut {width(need.cut_width, unit)} wide from {size} of cloth "
        f"(across x along), strip seams {width(need.seam, unit)}"
    )


def rectangle_table(
    found: FromRectangle, unit: Unit, *, is_promise: bool
) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    """Return head and rows of the ways of cutting, each with what is spare.

    Nothing is spare where no length of tape was asked for.
    """
    rows = tuple(_row(cutting, unit) for cutting in found.cuttings)
    if is_promise:
        return HEAD, tuple(row[:-1] for row in rows)
    return (*HEAD, "spare"), rows


def _row(cutting: Cutting, unit: Unit) -> tuple[str, ...]:
    cutting = as_cut(cutting, unit)
    across, along = side_words(cutting, unit)
    left = length(spare(cutting.yield_length, cutting.need.length, unit), unit)
    if cutting.short > 0.0:
        left = f"{to_cut(cutting.short, unit)} short"
    return (
        str(cutting.method),
        f"{across.removesuffix(str(unit))}x {along}",
        str(cutting.strips),
        str(cutting.joins),
        yield_words(cutting, unit),
        left,
    )


def tube_words(found: FromRectangle, unit: Unit, *, is_promise: bool) -> list[str]:
    """Say which part makes a tube, and how far the square-root rule falls short."""
    tube = found.tube
    if tube is None:
        return []
    said = []
    if not tube.strips:
        said.append("tube: the rectangle is too small for two strips round a tube")
    elif tube.short == 0.0 and not is_promise:
        longer, shorter = tube.cut_size
        said.append(
            f"tube: cut {on_ruler(longer, unit, tube.width)} off the longer side and "
            f"{on_ruler(shorter, unit, tube.height)} off the shorter one; the whole "
            f"rectangle would give {length(tube.yield_length, unit)}"
        )
    said.append(
        f"the square-root rule promises {length(tube.by_area, unit)}, area over cut "
        f"width; a tube from the whole rectangle gives "
        f"{length(tube.yield_length, unit)}: {to_cut(tube.rule_short, unit)} short"
    )
    return said
