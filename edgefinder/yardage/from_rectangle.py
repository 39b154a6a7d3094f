"""Tape from the rectangle of cloth that a person has, by every way of cutting it.

The rectangle lies with its lengthwise grain along; across comes first. Where it is more
than enough, a tube is cut from the smallest part of it, and of separate strips no more
are cut than it takes.
"""

from dataclasses import dataclass, replace

from edgefinder.classifier.job import Grain
from edgefinder.classifier.width_words import WIDEST_CLOTH_MM
from edgefinder.errors import SettingsError
from edgefinder.units import MAX_LENGTH_MM
from edgefinder.yardage.bias_strips import cutting_of_layout, lay_strips, needed_strips
from edgefinder.yardage.cutting import (
    Cutting,
    Method,
    Need,
    whole_count,
    without_rounding,
)
from edgefinder.yardage.straight_strips import joined_length
from edgefinder.yardage.tube import RectangleTube, cut_from_rectangle, tube_of_size


@dataclass(frozen=True, slots=True)
class FromRectangle:
    """What a rectangle comes to.

    Parameters
    ----------
    need : Need
        Its usable width is the rectangle's side across.
    across, along : float
        Millimetres of the rectangle.
    tube : RectangleTube or None
        None where the grain that is wanted is not the bias.
    cuttings : tuple of Cutting
        The most tape first; each may be short.
    """

    need: Need
    across: float
    along: float
    tube: RectangleTube | None
    cuttings: tuple[Cutting, ...]


def promised_length(cut_width: float, across: float, along: float) -> float:
    """Return the tape that the square-root rule promises: area over cut width.

    Examples
    --------
    >>> promised_length(50.0, 1000.0, 400.0)
    8000.0
    """
    return across * along / cut_width


def from_rectangle(need: Need, across: float, along: float) -> FromRectangle:
    """Cut a rectangle that is there.

    Parameters
    ----------
    need : Need
        Its usable width is replaced by the rectangle's. What is said about the order of
        strips is not looked at.
    across, along : float
        Millimetres, square to the lengthwise grain and along it.

    Returns
    -------
    FromRectangle
        Ways that give no tape at all are left out.

    Raises
    ------
    SettingsError
        If a side cannot be.
    """
    mistakes = [
        f"a side of the rectangle is {side:g} mm; "
        f"give one above 0 and up to {most:g} mm"
        for side, most in ((across, WIDEST_CLOTH_MM), (along, MAX_LENGTH_MM))
        if not 0.0 < side <= most
    ]
    if mistakes:
        raise SettingsError(*mistakes)
    own = replace(
        need,
        usable_width=across,
        one_way=False,
        same_slant=False,
        run=None,
        in_hand=(across, along),
    )
    tube = None
    found: list[Cutting] = []
    if need.grain in {None, Grain.BIAS}:
        tube = cut_from_rectangle(own, across, along)
        if tube.strips:
            size = tube.cut_size if across >= along else tube.cut_size[::-1]
            found.append(tube_of_size(own, size))
        found += _bias(own, across, along)
    if need.grain in {None, Grain.CROSSWISE}:
        found += _straight(own, Method.CROSSWISE_STRIPS, across, along)
    if need.grain in {None, Grain.LENGTHWISE}:
        found += _straight(own, Method.LENGTHWISE_STRIPS, along, across)
    found.sort(key=lambda cutting: (cutting.short, cutting.joins))
    return FromRectangle(own, across, along, tube, tuple(found))


def _bias(need: Need, across: float, along: float) -> list[Cutting]:
    layout = lay_strips(across, along, need.cut_width, need.seam, need.shortest_strip)
    if not layout.places:
        return []
    if layout.yield_length >= need.length:
        layout = needed_strips(layout, need)
    return [cutting_of_layout(layout, need)]


def _straight(need: Need, method: Method, strip: float, side: float) -> list[Cutting]:
    """Lay straight strips over the side that they are not cut along."""
    most = whole_count(side / need.cut_width)
    if strip < need.shortest_strip or most < 1:
        return []
    if strip <= need.cut_width:  # a join would take the whole strip
        most = 1
    count = next(
        (n for n in range(1, most) if _is_enough(need, n, strip)),
        most,
    )
    taken = count * need.cut_width
    crosswise = method is Method.CROSSWISE_STRIPS
    return [
        Cutting(
            need=need,
            method=method,
            cut_size=(strip, taken) if crosswise else (taken, strip),
            strip_lengths=(strip,) * count,
            yield_length=without_rounding(
                joined_length(count, strip, need.cut_width), need
            ),
            joins=count - 1,
            seams_in_tape=count - 1,
            line_spacing=need.cut_width,
            lines=count - 1,
        )
    ]


def _is_enough(need: Need, count: int, strip: float) -> bool:
    return joined_length(count, strip, need.cut_width) >= need.length
