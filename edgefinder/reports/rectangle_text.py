"""Tape from a rectangle that is there, as text."""

from edgefinder.reports.amounts import length, on_ruler, size_words, to_cut, width
from edgefinder.reports.cutting_words import yield_words
from edgefinder.reports.layout import columns, paragraph
from edgefinder.units import Unit
from edgefinder.yardage.cutting import Cutting
from edgefinder.yardage.from_rectangle import FromRectangle


def rectangle_lines(found: FromRectangle, unit: Unit, *, is_promise: bool) -> list[str]:
    """Write what a rectangle gives, by every way of cutting it.

    Parameters
    ----------
    found : FromRectangle
    unit : Unit
    is_promise : bool
        Whether no length of tape was asked for.
    """
    need = found.need
    size = size_words((found.across, found.along), found.across, unit)
    wanted = "" if is_promise else f"{to_cut(need.length, unit)} of "
    lines = paragraph(
        f"{wanted}tape cut {width(need.cut_width, unit)} wide from {size} of cloth "
        f"(across x along), strip seams {width(need.seam, unit)}"
    )
    lines.append("")
    if found.cuttings:
        last = "the rest" if is_promise else "spare"
        head = ("method", "cut off", "strips", "joins", "yield")
        rows = [_row(cutting, unit) for cutting in found.cuttings]
        if is_promise:
            lines += columns(head, [row[:-1] for row in rows])
        else:
            lines += columns((*head, last), rows)
    else:
        lines += paragraph("no tape can be cut from it: a strip would be too short")
    return [*lines, *_tube_lines(found, unit, is_promise=is_promise)]


def _row(cutting: Cutting, unit: Unit) -> tuple[str, ...]:
    spare = length(cutting.spare, unit)
    if cutting.short > 0.0:
        spare = f"{to_cut(cutting.short, unit)} short"
    return (
        str(cutting.method),
        size_words(cutting.cut_size, cutting.need.usable_width, unit),
        str(cutting.strips),
        str(cutting.joins),
        yield_words(cutting, unit),
        spare,
    )


def _tube_lines(found: FromRectangle, unit: Unit, *, is_promise: bool) -> list[str]:
    """Say which part makes a tube, and how far the square-root rule falls short."""
    tube = found.tube
    if tube is None:
        return []
    lines = [""]
    if not tube.strips:
        lines += paragraph(
            "tube: the rectangle is too small for two strips round a tube", hanging="  "
        )
    elif tube.short == 0.0 and not is_promise:
        longer, shorter = tube.cut_size
        lines += paragraph(
            f"tube: cut {on_ruler(longer, unit, tube.width)} off the longer side and "
            f"{on_ruler(shorter, unit, tube.height)} off the shorter one; the whole "
            f"rectangle would give {length(tube.yield_length, unit)}",
            hanging="  ",
        )
    promised = (
        f"the square-root rule promises {length(tube.by_area, unit)}, area over cut "
        f"width; a tube from the whole rectangle gives "
        f"{length(tube.yield_length, unit)}: "
    )
    return [
        *lines,
        *paragraph(promised + f"{to_cut(tube.rule_short, unit)} short", hanging="  "),
    ]
