"""Continuous bias tape: one spiral cut round a tube of cloth.

From a rectangle W x H (W >= H; a square is W = H) a 45-degree triangle is cut off one
end and sewn to the other, which makes a parallelogram with two bias edges. Lines
are ruled parallel to these at the cut width c. The other two edges are sewn together
one line out of step, and the tube is cut along the one line that results.

The first seam joins the two sides of length H and takes 2 s off W; the second joins
the two sides of length W and takes 2 s off H. The lines cut the sides of length W at
distances c sqrt 2, so::

    strips  n = floor((W - 2 s)/(c sqrt 2))
    yield   L = n sqrt 2 (H - 2 s)

The seam allowances that stay at the two loose ends of the spiral (s sqrt 2 each) are
not counted: the next join takes them. With W < H the same count would hold, but the
cloth could not be laid out by cutting off a single triangle.
"""

import math
from dataclasses import dataclass

from edgefinder.errors import SettingsError
from edgefinder.units import MAX_LENGTH_MM
from edgefinder.yardage.buying import in_both_units
from edgefinder.yardage.cutting import (
    COUNT_SLACK,
    MOST_STRIPS,
    Cutting,
    Method,
    Need,
    NotPossible,
    least_count,
    too_many_strips,
    too_narrow,
    whole_count,
    without_rounding,
)

FEWEST_STRIPS = 2
"""With one strip there is nothing to sew one line out of step."""
TUBE_SEAMS = 2
"""The seam that adds the triangle, and the one that closes the tube."""


@dataclass(frozen=True, slots=True)
class SquareRootRule:
    """What the familiar rule, side = sqrt(length x cut width), comes to.

    Parameters
    ----------
    side : float
        Millimetres, as the rule gives it: no seams, no whole strips.
    yield_length : float
        Millimetres of tape that a square of this side really gives.
    short : float
        Millimetres by which that misses the length asked for; 0 if it does not.
    """

    side: float
    yield_length: float
    short: float


@dataclass(frozen=True, slots=True)
class RectangleTube:
    """The tube from a rectangle that a person has.

    Parameters
    ----------
    width, height : float
        Millimetres of the rectangle, the longer side first.
    strips : int
        0 where it makes no tube.
    strip_length : float
        Millimetres from one crossing of the long seam to the next.
    yield_length : float
        Millimetres of tape.
    spare : float
        Millimetres of tape left over.
    short : float
        Millimetres that are missing; 0 if there is enough.
    cut_size : tuple of float
        Millimetres, the longer side first, of the smallest part of it that is enough;
        the whole rectangle where it is short.
    by_area : float
        Millimetres of tape that the square-root rule promises: area over cut width.
    """

    width: float
    height: float
    strips: int
    strip_length: float
    yield_length: float
    spare: float
    short: float
    cut_size: tuple[float, float]
    by_area: float

    @property
    def rule_short(self) -> float:
        """Millimetres of tape by which the square-root rule promises too much."""
        return self.by_area - self.yield_length


def tube_strips(width: float, cut_width: float, seam: float) -> int:
    """Count the whole strips between the bias edges.

    Parameters
    ----------
    width : float
        Millimetres of the longer side W of the rectangle.
    cut_width, seam : float
        Millimetres.

    Returns
    -------
    int
        0 where fewer than two strips fit: that is no tube.
    """
    strips = whole_count((width - 2.0 * seam) / (cut_width * math.sqrt(2.0)))
    return strips if strips >= FEWEST_STRIPS else 0


def tube_yield(width: float, height: float, cut_width: float, seam: float) -> float:
    """Measure the tape that a tube from a rectangle gives.

    Parameters
    ----------
    width, height : float
        Millimetres of the longer side W and the shorter side H.
    cut_width, seam : float
        Millimetres.

    Returns
    -------
    float
        Millimetres; 0 where there is no tube.

    Raises
    ------
    ValueError
        If the width is below the height.

    Examples
    --------
    >>> round(tube_yield(26.0, 26.0, 3.0, 0.25), 1)
    216.4
    """
    if width < height * (1.0 - COUNT_SLACK):
        raise ValueError(f"the longer side comes first: {width} < {height}")
    strip = math.sqrt(2.0) * max(0.0, height - 2.0 * seam)
    return tube_strips(width, cut_width, seam) * strip


def square_root_rule(need: Need) -> SquareRootRule:
    """Check the familiar rule against the tube that it gives.

    Returns
    -------
    SquareRootRule

    Notes
    -----
    The rule is the limit of no seams and very many strips.
    """
    side = math.sqrt(need.length * need.cut_width)
    yielded = tube_yield(side, side, need.cut_width, need.seam)
    return SquareRootRule(side, yielded, max(0.0, need.length - yielded))


def smallest_square(need: Need) -> float:
    """Find the side of the smallest square that gives the tape.

    Returns
    -------
    float
        Millimetres: the least over n of max(L/(n sqrt 2), n c sqrt 2) + 2 s, with
        no strip shorter than the shortest allowed.

    Notes
    -----
    The first term falls and the second rises with n; they cross at sqrt(L/(2 c)), so
    the least lies at one of its two whole neighbours.
    """
    spacing = need.cut_width * math.sqrt(2.0)
    crossing = math.floor(math.sqrt(need.length / (2.0 * need.cut_width)))
    inner = min(
        max(need.length / (n * math.sqrt(2.0)), n * spacing)
        for n in (max(FEWEST_STRIPS, crossing), max(FEWEST_STRIPS, crossing + 1))
    )
    return max(inner, _shortest(need) / math.sqrt(2.0)) + 2.0 * need.seam


def cut_square(need: Need) -> Cutting | NotPossible:
    """Cut the tape as a tube from the smallest square.

    Returns
    -------
    Cutting or NotPossible
        Not possible where the square is wider than the cloth.
    """
    side = smallest_square(need)
    if side > need.usable_width * (1.0 + COUNT_SLACK):
        return NotPossible(
            Method.TUBE_FROM_SQUARE,
            f"the square would have a side of {in_both_units(side)}, but the cloth "
            f"is {in_both_units(need.usable_width)} wide; cut a rectangle",
        )
    return tube_of_size(need, (side, side), Method.TUBE_FROM_SQUARE)


def cut_rectangle(need: Need) -> Cutting | NotPossible:
    """Cut the tape as a tube from the rectangle that takes the least off the bolt.

    Returns
    -------
    Cutting or NotPossible

    Notes
    -----
    While the shorter side still fits along the bolt, the longer side lies across it
    with as many strips as the width holds: every fewer strips or any square
    takes more off the bolt. Width that no strip needs is left on. A longer tape
    turns the rectangle: the whole width is then the shorter side, with just
    enough strips along the bolt.
    """
    method = Method.TUBE_FROM_RECTANGLE
    spacing = need.cut_width * math.sqrt(2.0)
    inner_width = need.usable_width - 2.0 * need.seam
    longest = math.sqrt(2.0) * inner_width
    shortest = _shortest(need)
    if longest < shortest:
        return too_narrow(method, need, max(0.0, longest), shortest)
    if need.length > MOST_STRIPS * longest:
        return too_many_strips(method)
    most = whole_count(inner_width / spacing)
    strip = max(shortest, need.length / max(most, FEWEST_STRIPS))
    lies_across = most >= FEWEST_STRIPS and strip <= longest * (1.0 + COUNT_SLACK)
    if not lies_across:
        strips = max(FEWEST_STRIPS, least_count(need.length / longest))
        strip = max(shortest, need.length / strips)
    strips = max(FEWEST_STRIPS, least_count(need.length / strip))
    height = strip / math.sqrt(2.0) + 2.0 * need.seam
    width = max(strips * spacing + 2.0 * need.seam, height)
    return tube_of_size(need, (width, height) if lies_across else (height, width))


def cut_from_rectangle(need: Need, width: float, height: float) -> RectangleTube:
    """Say what a rectangle that is there comes to, cut as a tube.

    Parameters
    ----------
    need : Need
        Its usable width does not matter.
    width, height : float
        Millimetres of the two sides, on the straight grain, in any order.

    Returns
    -------
    RectangleTube

    Raises
    ------
    SettingsError
        If a side is not above 0.

    Examples
    --------
    >>> found = cut_from_rectangle(Need(4000.0, 50.8), 355.6, 1117.6)
    >>> found.strips, round(found.yield_length), round(found.short)
    (15, 7274, 0)
    """
    mistakes = [
        f"a side of the rectangle is {side:g} mm; "
        f"give one above 0 and up to {MAX_LENGTH_MM:g} mm"
        for side in (width, height)
        if not 0.0 < side <= MAX_LENGTH_MM
    ]
    if mistakes:
        raise SettingsError(*mistakes)
    longer, shorter = max(width, height), min(width, height)
    strip = math.sqrt(2.0) * (shorter - 2.0 * need.seam)
    strips = 0
    if strip >= _shortest(need) * (1.0 - COUNT_SLACK):
        strips = tube_strips(longer, need.cut_width, need.seam)
    yielded = without_rounding(strips * strip, need) if strips else 0.0
    size = (longer, shorter)
    if yielded >= need.length:
        size = _smallest_part(need, shorter, strips)
    return RectangleTube(
        width=longer,
        height=shorter,
        strips=strips,
        strip_length=strip if strips else 0.0,
        yield_length=yielded,
        spare=max(0.0, yielded - need.length),
        short=max(0.0, need.length - yielded),
        cut_size=size,
        by_area=longer * shorter / need.cut_width,
    )


def _smallest_part(need: Need, height: float, strips: int) -> tuple[float, float]:
    """Find the least part of a rectangle that still gives the tape.

    With n strips the shorter side is H = L/(n sqrt 2) + 2 s and the longer one
    n c sqrt 2 + 2 s, or H where that is more. The area falls with n up to
    the square, at n = sqrt(L/(2 c)), and rises beyond: so the best n is next to it, or
    the least one whose H is there.
    """
    inner = math.sqrt(2.0) * (height - 2.0 * need.seam)
    fewest = max(FEWEST_STRIPS, least_count(need.length / inner))
    crossing = math.floor(math.sqrt(need.length / (2.0 * need.cut_width)))
    spacing = need.cut_width * math.sqrt(2.0)

    def size(count: int) -> tuple[float, float]:
        strip = max(need.length / count, _shortest(need))
        shorter = strip / math.sqrt(2.0) + 2.0 * need.seam
        return max(count * spacing + 2.0 * need.seam, shorter), shorter

    counts = {min(max(n, fewest), strips) for n in (0, crossing, crossing + 1)}
    return min((size(n) for n in sorted(counts)), key=lambda sides: sides[0] * sides[1])


def _shortest(need: Need) -> float:
    """Say how long a strip has to be: below the cut width its ends would overlap."""
    return max(need.shortest_strip, need.cut_width)


def tube_of_size(
    need: Need,
    cut_size: tuple[float, float],
    method: Method = Method.TUBE_FROM_RECTANGLE,
) -> Cutting:
    """Say what a tube from a rectangle of some size comes to.

    Parameters
    ----------
    need : Need
    cut_size : (float, float)
        Millimetres across and along.
    method : Method

    Returns
    -------
    Cutting
    """
    width, height = max(cut_size), min(cut_size)
    strips = tube_strips(width, need.cut_width, need.seam)
    spacing = need.cut_width * math.sqrt(2.0)
    strip = math.sqrt(2.0) * (height - 2.0 * need.seam)
    yielded = tube_yield(width, height, need.cut_width, need.seam)
    fits_exactly = strips == least_count((width - 2.0 * need.seam) / spacing)
    return Cutting(
        need=need,
        method=method,
        cut_size=cut_size,
        strip_lengths=(strip,) * strips,
        yield_length=without_rounding(yielded, need),
        joins=TUBE_SEAMS,
        seams_in_tape=strips - 1 + seam_crossings(width, height, strips, spacing),
        line_spacing=need.cut_width,
        lines=strips - 1 if fits_exactly else strips,
    )


def seam_crossings(width: float, height: float, strips: int, spacing: float) -> int:
    """Count the strips that the triangle's seam crosses, ruled from the cut edge.

    Parameters
    ----------
    width, height : float
        Millimetres of the longer side W and the shorter side H.
    strips : int
    spacing : float
        Millimetres between lines along the side W.

    Returns
    -------
    int

    Notes
    -----
    Measured along the side W from the bias edge that was cut, the seam reaches from
    W - H to W - 2 s: only strips that end before W - H are free of it.
    """
    return strips - min(strips, whole_count((width - height) / spacing))
