r"""Strips and the slope of their ends: which end fits which.

A strip lies with its run to the right. Its end leans forward (``/``) if the upper
corner lies further on than the lower one, back (``\``) if it lies less far. The ends
of a bias strip run along one thread of the cloth: leaning forward along the
lengthwise grain, leaning back along the crosswise grain, or all the other way
round. Two ends that lean alike are sewn to each other on the straight grain.

Turning a strip end for end changes which end comes first but not how an end leans: so
a parallelogram (both ends alike) stays what it is, and a trapezoid fits on the other
way round. Turning it over would change the lean, but shows the wrong side: it is never
done. On one-way cloth (nap, a print with an up and a down) a strip may not be turned
end for end either.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

Point = tuple[float, float]


class End(StrEnum):
    """How an end leans, seen with the strip's run to the right."""

    FORWARD = "forward"
    BACK = "back"
    SQUARE = "square"

    @property
    def other(self) -> "End":
        """The lean of the other thread; a square end has none."""
        if self is End.SQUARE:
            return self
        return End.BACK if self is End.FORWARD else End.FORWARD


class StripShape(StrEnum):
    """What a strip looks like."""

    PARALLELOGRAM = "parallelogram"
    TRAPEZOID = "trapezoid"
    RECTANGLE = "rectangle"


@dataclass(frozen=True, slots=True)
class Strip:
    """A strip as it is cut.

    Parameters
    ----------
    number : int
        From 1, in the order in which strips lie in the cloth.
    length : float
        Millimetres of its midline, from end to end.
    cut_width : float
        Millimetres.
    near, far : End
        Its two ends.
    corners : tuple of Point
        Where it lies in the cloth (x across, y along, millimetres): lower near, lower
        far, upper far, upper near corner, seen with its run to the right.
    """

    number: int
    length: float
    cut_width: float
    near: End
    far: End
    corners: tuple[Point, Point, Point, Point]

    @property
    def shape(self) -> StripShape:
        """What it looks like."""
        if self.near is End.SQUARE:
            return StripShape.RECTANGLE
        if self.near is self.far:
            return StripShape.PARALLELOGRAM
        return StripShape.TRAPEZOID


def join_loss(strip: Strip, seam: float) -> float:
    """Say what a join takes: one strip width if square, else 2 s sqrt 2."""
    if strip.near is End.SQUARE:
        return strip.cut_width
    return 2.0 * math.sqrt(2.0) * seam


def fit_ends(
    strips: Sequence[Strip], shortest: float, *, may_turn: bool = True
) -> tuple[Strip, ...]:
    """Recut as few ends as it takes for all strips to follow one another.

    Parameters
    ----------
    strips : sequence of Strip
    shortest : float
        Millimetres; a strip that recutting makes shorter is left out.
    may_turn : bool
        False on one-way cloth.

    Returns
    -------
    tuple of Strip
        In the order in which they came.

    Notes
    -----
    Where strips may be turned, a single trapezoid is enough to come from ends that
    lean forward to ends that lean back. Where they may not, trapezoids that
    widen to the one side must alternate with those that widen to the other: what
    is beyond one more of a kind is recut to parallelograms, the longest first.
    """
    forward = [s for s in strips if (s.near, s.far) == (End.FORWARD, End.BACK)]
    back = [s for s in strips if (s.near, s.far) == (End.BACK, End.FORWARD)]
    recut: list[Strip] = []
    if not may_turn:
        surplus = max(0, abs(len(forward) - len(back)) - 1)
        recut = _longest_first(max(forward, back, key=len))[:surplus]
    if not forward and not back and len({strip.near for strip in strips}) > 1:
        recut = _longest_first(strips)[:1]
    changed = {strip.number: _recut(strip, shortest, far=True) for strip in recut}
    fitted = (changed.get(strip.number, strip) for strip in strips)
    return tuple(strip for strip in fitted if strip is not None)


def all_one_way(strips: Sequence[Strip], shortest: float) -> tuple[Strip, ...]:
    """Recut every strip to a parallelogram, so that all joins slant the same way.

    Parameters
    ----------
    strips : sequence of Strip
    shortest : float
        Millimetres; a strip that recutting makes shorter is left out.

    Returns
    -------
    tuple of Strip
        Every end leans as more ends did before. A trapezoid loses one strip width, a
        parallelogram of the other lean two. Square ends stay.
    """
    ends = [end for strip in strips for end in (strip.near, strip.far)]
    lean = End.BACK if ends.count(End.BACK) >= ends.count(End.FORWARD) else End.FORWARD
    straight = []
    for strip in strips:
        near, far = strip.near is lean.other, strip.far is lean.other
        recut = _recut(strip, shortest, near=near, far=far)
        if recut is not None:
            straight.append(recut)
    return tuple(straight)


def _recut(
    strip: Strip, shortest: float, *, near: bool = False, far: bool = False
) -> Strip | None:
    """Cut ends along the other thread; each takes one strip width of the midline.

    The corner on the shorter side stays, that on the longer one moves by two.
    """
    length = strip.length - (near + far) * strip.cut_width
    if length < shortest:
        return None
    lower_near, lower_far, upper_far, upper_near = strip.corners
    along = _direction(strip)
    by = 2.0 * strip.cut_width
    if near and strip.near is End.BACK:
        upper_near = _move(upper_near, along, by)
    elif near:
        lower_near = _move(lower_near, along, by)
    if far and strip.far is End.BACK:
        lower_far = _move(lower_far, along, -by)
    elif far:
        upper_far = _move(upper_far, along, -by)
    return replace(
        strip,
        length=length,
        near=strip.near.other if near else strip.near,
        far=strip.far.other if far else strip.far,
        corners=(lower_near, lower_far, upper_far, upper_near),
    )


def _longest_first(strips: Sequence[Strip]) -> list[Strip]:
    return sorted(strips, key=lambda strip: (-strip.length, strip.number))


def _direction(strip: Strip) -> Point:
    lower_near, lower_far, upper_far, upper_near = strip.corners
    x = lower_far[0] + upper_far[0] - lower_near[0] - upper_near[0]
    y = lower_far[1] + upper_far[1] - lower_near[1] - upper_near[1]
    size = math.hypot(x, y)
    return x / size, y / size


def _move(point: Point, along: Point, by: float) -> Point:
    return point[0] + by * along[0], point[1] + by * along[1]
