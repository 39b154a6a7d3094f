"""Tape from what is left over, as text."""

from typing import Final

from edgefinder.reports.amounts import area, length, to_cut, width
from edgefinder.reports.layout import columns, paragraph
from edgefinder.units import Unit
from edgefinder.yardage.cutting import Need
from edgefinder.yardage.scraps import ScrapCover

HEAD: Final = ("scrap", "area", "strips", "yield", "taken")
"""Columns of the table of scraps."""


def scraps_lines(cover: ScrapCover, need: Need | None, unit: Unit) -> list[str]:
    """Write what every scrap gives, and the least set that is enough.

    Parameters
    ----------
    cover : ScrapCover
    need : Need or None
        The tape that is needed.
    unit : Unit
    """
    lines: list[str] = []
    if need is not None:
        lines += [*paragraph(scraps_about(cover, need, unit)), ""]
    lines += columns(HEAD, scrap_rows(cover, unit))
    return [*lines, "", *paragraph(scraps_result(cover, unit), hanging="  ")]


def scraps_about(cover: ScrapCover, need: Need, unit: Unit) -> str:
    """Say what tape is needed, and of how many scraps."""
    grain = "bias" if need.grain is None else str(need.grain)
    return (
        f"{to_cut(need.length, unit)} of tape cut {width(need.cut_width, unit)} "
        f"wide, {grain}, strip seams {width(need.seam, unit)}, from "
        f"{len(cover.tapes)} scrap{'' if len(cover.tapes) == 1 else 's'}"
    )


def scrap_rows(cover: ScrapCover, unit: Unit) -> tuple[tuple[str, ...], ...]:
    """Return the cells of every scrap, as `HEAD` names them."""
    return tuple(
        (
            tape.scrap.name,
            area(tape.scrap.area, unit),
            str(len(tape.strips)),
            length(tape.yield_length, unit) if tape.strips else "too small",
            "yes" if number in cover.taken else "-",
        )
        for number, tape in enumerate(cover.tapes)
    )


def scraps_result(cover: ScrapCover, unit: Unit) -> str:
    """Say which scraps are enough, or how much is short."""
    count = len(cover.taken)
    scraps = f"{count} scrap{'' if count == 1 else 's'}"
    strips = len(cover.strips)
    joins = f"{max(0, strips - 1)} join{'' if strips == 2 else 's'}"
    if cover.short > 0.0:
        return (
            f"all of them together give {length(cover.yield_length, unit)} with "
            f"{joins}: {to_cut(cover.short, unit)} short"
        )
    text = (
        f"least set: {scraps}, {strips} strip{'' if strips == 1 else 's'}, {joins}: "
        f"{length(cover.yield_length, unit)} of tape, {length(cover.spare, unit)} spare"
    )
    if not cover.is_least:
        text += "; as few scraps as there can be, perhaps with more spare than must be"
    return text
