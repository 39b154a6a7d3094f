"""What a cutting takes and gives, in the words that charts and steps share."""

from typing import Final

from edgefinder.errors import one_line
from edgefinder.reports.amounts import cloth, length, to_cut, width
from edgefinder.units import Unit
from edgefinder.yardage.cutting import Cutting, Method

TUBES: Final = frozenset({Method.TUBE_FROM_SQUARE, Method.TUBE_FROM_RECTANGLE})
"""Methods whose strips are one spiral."""
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
    across, along = cutting.cut_size
    wanted = (
        f"{to_cut(need.length, unit)} of tape, cut {width(need.cut_width, unit)} wide: "
        f"this gives {length(cutting.yield_length, unit)}; "
        f"{spare_words(cutting, unit)}."
    )
    piece = (
        f"Cut {to_cut(across, unit)} across x {to_cut(along, unit)} along off cloth "
        f"with {length(need.usable_width, unit)} between the selvages; "
        f"buy {cloth(cutting.buy, unit)}."
    )
    work = f"{counted(cutting.strips, 'strip')}, "
    work += counted(cutting.lines, "line") + " to rule"
    if cutting.lines > 1:
        work += f" {width(cutting.line_spacing, unit)} apart"
    if cutting.joins:
        allowance = width(need.seam, unit)
        work += f"; {counted(cutting.joins, 'seam')} to sew, {allowance} allowance"
    return wanted, piece, f"{work}."


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


def ruled_words(cutting: Cutting, unit: Unit) -> str:
    """Say how many lines are ruled, and how far apart."""
    apart = width(cutting.line_spacing, unit)
    if cutting.lines == 1:
        return f"1 line {apart} from the first edge"
    return f"{cutting.lines} lines {apart} apart"


def spare_words(cutting: Cutting, unit: Unit) -> str:
    """Say how much tape is left over."""
    spare = length(cutting.spare, unit)
    if spare == length(0.0, unit):
        return "nothing is spare"
    return f"{spare} is spare"
