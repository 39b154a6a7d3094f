"""What a cutting takes and gives, in the words that charts and steps share."""

from typing import Final

from edgefinder.errors import one_line
from edgefinder.reports.amounts import (
    cloth,
    length,
    size_words,
    spare,
    to_cut,
    width,
)
from edgefinder.units import Unit
from edgefinder.yardage.as_cut import ruler_sides
from edgefinder.yardage.cutting import Cutting

LEAST_TO_TRIM_MM: Final = 4.0
"""A seam allowance below this is left as it is: half of it would fray away.

Larger: usual allowances are left thick. Smaller: nothing is left beside the seam.
"""


def cutting_title(cutting: Cutting, name: str = "") -> str:
    """Name a way of cutting, and the tape that is cut if it has a name."""
    method = str(cutting.method)
    title = method[0].upper() + method[1:]
    name = one_line(name).strip()
    return f"{title}: {name}" if name else title


def cutting_facts(cutting: Cutting, unit: Unit) -> tuple[str, ...]:
    """Say in a few sentences what a cutting takes and what it gives."""
    need = cutting.need
    wanted = (
        f"{to_cut(need.length, unit)} of tape, cut {width(need.cut_width, unit)} wide: "
        f"this gives {yield_words(cutting, unit)}; "
        f"{spare_words(cutting, unit)}."
    )
    piece = _piece_words(cutting, unit)
    work = f"{counted(cutting.strips, 'strip')}, "
    work += counted(cutting.lines, "line") + " to rule"
    if cutting.lines > 1:
        work += f" {width(cutting.line_spacing, unit)} apart"
    if cutting.joins:
        allowance = width(need.seam, unit)
        work += f"; {counted(cutting.joins, 'seam')} to sew, {allowance} allowance"
    if is_all_wanted(cutting):
        wanted = (
            f"Tape cut {width(need.cut_width, unit)} wide: this gives "
            f"{length(cutting.yield_length, unit)}."
        )
    return wanted, piece, f"{work}."


def is_whole(cutting: Cutting) -> bool:
    """Whether all of a piece that is there is used, so that nothing is cut off."""
    return cutting.need.in_hand == cutting.cut_size


def is_all_wanted(cutting: Cutting) -> bool:
    """Whether nobody asked for a length: whatever a piece gives is wanted."""
    need = cutting.need
    return need.in_hand is not None and need.length == cutting.yield_length


def turn_words(cutting: Cutting) -> str:
    """Say how a strip may be turned so that its ends fit."""
    if cutting.need.one_way:
        return "on one-way cloth never turn a strip, end for end or over"
    return "turn strips end for end, never over"


def _piece_words(cutting: Cutting, unit: Unit) -> str:
    """Say what is cut off, and of what."""
    need = cutting.need
    across, along = side_words(cutting, unit)
    size = f"{across} across x {along} along"
    if need.in_hand is not None:
        whole = size_words(need.in_hand, need.in_hand[0], unit)
        if is_whole(cutting):
            return f"Use the whole piece of {whole} (across x along) that is there."
        return f"Cut {size} off the piece of {whole} that is there."
    paid = ""
    if need.price is not None and cutting.cost is not None:
        paid = f" for {need.price.write(cutting.cost)}"
    return (
        f"Cut {size} off cloth with {length(need.usable_width, unit)} between the "
        f"selvages; buy {cloth(cutting.buy, unit)}{paid}."
    )


def side_words(cutting: Cutting, unit: Unit) -> tuple[str, str]:
    """Write the two sides of the piece that is cut off, as a ruler shows them."""
    across, along = ruler_sides(cutting, unit)
    return to_cut(across, unit), to_cut(along, unit)


def usable_words(cutting: Cutting, unit: Unit) -> str:
    """Say how wide the cloth is."""
    usable = length(cutting.need.usable_width, unit)
    if cutting.need.in_hand is not None:
        return f"{usable} across"
    return f"{usable} between the selvages"


def shorter_side(cutting: Cutting, unit: Unit) -> str:
    """Write the shorter side of the piece that is cut off, as a ruler shows it."""
    across, along = side_words(cutting, unit)
    return across if cutting.cut_size[0] < cutting.cut_size[1] else along


def shows(value: float, unit: Unit) -> bool:
    """Whether a width is anything but nothing once it is rounded."""
    return width(value, unit) != width(0.0, unit)


def from_edge(seam: float, unit: Unit) -> str:
    """Say how far from the edge a seam is sewn."""
    return f"{width(seam, unit)} from the edge" if shows(seam, unit) else "at the edge"


def corner_words(seam: float, unit: Unit) -> str:
    """Say how near to a diagonal seam the corner beyond it is cut off."""
    if not shows(seam, unit):
        return "close to the seam"
    return f"to {width(seam, unit)} beside the seam"


def seam_words(seam: float, unit: Unit) -> str:
    """Say how a seam is sewn, trimmed and pressed."""
    if not shows(seam, unit):
        return (
            "as close to the edge as will hold (no seam allowance is counted), "
            "and press the seam open"
        )
    sewn = from_edge(seam, unit)
    if seam < LEAST_TO_TRIM_MM:
        return f"{sewn} and press the seam open"
    trimmed = width(trimmed_seam(seam), unit)
    return f"{sewn}, trim the allowances to {trimmed} and press the seam open"


def trimmed_seam(seam: float) -> float:
    """Halve a seam allowance: 1/4 in is trimmed to 1/8 in (common practice)."""
    return seam if seam < LEAST_TO_TRIM_MM else seam / 2.0


def counted(number: int, noun: str) -> str:
    """Write a number of things."""
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def bias_marks(first: float, size: tuple[float, float], unit: Unit) -> tuple[str, str]:
    """Say where the two marks of a bias line are made on the edges of a piece.

    Parameters
    ----------
    first : float
        Millimetres that it cuts off both edges at the upper left corner, carried on
        round the next corner where that is more than an edge is long.
    size : (float, float)
        Millimetres across and along.
    unit : Unit
    """
    across, along = size
    if first <= along:
        begin = f"{length(first, unit)} down the left side from the upper left corner"
    else:
        begin = (
            f"{length(first - along, unit)} along the lower side from the lower left "
            "corner"
        )
    if first <= across:
        end = f"{length(first, unit)} along the upper side from the upper left corner"
    else:
        end = (
            f"{length(first - across, unit)} down the right side from the upper right "
            "corner"
        )
    return begin, end


def ruled_words(cutting: Cutting, unit: Unit) -> str:
    """Say how many lines are ruled, and how far apart."""
    apart = width(cutting.line_spacing, unit)
    if cutting.lines == 1:
        return f"1 line {apart} from the first edge"
    return f"{cutting.lines} lines {apart} apart"


def yield_words(cutting: Cutting, unit: Unit) -> str:
    """Say how much tape there is; just enough is written like what is needed.

    A length that is needed is rounded up: rounded to the nearest, as much tape would
    look like less.
    """
    is_just_enough = _spare(cutting, unit) == 0.0
    is_asked = cutting.short == 0.0 and not is_all_wanted(cutting)
    if is_asked and is_just_enough:
        return to_cut(cutting.need.length, unit)
    return length(cutting.yield_length, unit)


def spare_words(cutting: Cutting, unit: Unit) -> str:
    """Say how much tape is left over, or is missing."""
    if cutting.short > 0.0:
        return f"{to_cut(cutting.short, unit)} is missing"
    left = _spare(cutting, unit)
    return f"{length(left, unit)} is spare" if left else "nothing is spare"


def _spare(cutting: Cutting, unit: Unit) -> float:
    return spare(cutting.yield_length, cutting.need.length, unit)
