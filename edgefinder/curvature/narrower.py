"""How much narrower tape has to be to lie flat at a place, and where it never does.

A place is seen through a window of the tape's own width. Through a narrower one a curve
that gets tighter looks tighter, and at a kink the same turn lies in a shorter window:
where the kink alone turns more than the cloth takes, no width is narrow enough.
"""

from dataclasses import dataclass
from enum import Enum, auto
from itertools import pairwise
from typing import Final

import numpy as np

from edgefinder.binding.cloth import Limits
from edgefinder.binding.runs import Leg
from edgefinder.curvature.band import widest_flat
from edgefinder.curvature.places import Place
from edgefinder.curvature.widths import widest_below
from edgefinder.geometry.profile import HeadingProfile
from edgefinder.geometry.profile_edits import cut_open, kinks, stretch
from edgefinder.geometry.windowed import curvature_range

NARROWEST_MM: Final = 0.1
"""Down to which a width is looked for; it is written to a millimetre or 1/16 in."""

SAME_STATION_MM: Final = 1e-6
"""A kink this near to the end of an edge is at it: above the rounding of stations."""

ROUNDING_SHARE: Final = 1e-9
"""A kink that turns more than the cloth takes by less than this share is rounding."""


class Meeting(Enum):
    """What meets at a kink."""

    SEAM = auto()
    """The edges of two pieces, or of a piece and its mirrored one."""
    FOLD = auto()
    """The two halves of a piece on the fold."""
    LINE = auto()
    """Parts of one line."""


@dataclass(frozen=True, slots=True)
class Kink:
    """A kink that no width of tape lies flat at.

    Parameters
    ----------
    turn : float
        Radians, positive at an outside one.
    meeting : Meeting
    """

    turn: float
    meeting: Meeting


@dataclass(frozen=True, slots=True)
class Narrower:
    """What lies flat at a place.

    Parameters
    ----------
    widest : float
        Millimetres; 0 where nothing does.
    kink : Kink or None
        For which no width does.
    """

    widest: float
    kink: Kink | None = None


def narrower(place: Place, width: float, limits: Limits) -> Narrower:
    """Find the widest tape that lies flat at a place.

    Parameters
    ----------
    place : Place
    width : float
        Finished width in millimetres that does not lie flat there.
    limits : Limits
        Within which it lies flat.

    Returns
    -------
    Narrower
        Where a kink turns by t and the line has the radius R beside it, the widest is
        R (S - 1 - t) inside, R (1 - 1/S - t) outside.
    """
    begin, seen = _seen_from(place, width)
    sign = -1.0 if place.inside else 1.0
    at, turns = kinks(seen, 0.0)
    turns = sign * turns
    if len(turns):
        sharpest = int(np.argmax(turns))
        turn = float(turns[sharpest])
        # Of a window as wide as 1 mm the curvature is the turn.
        most = widest_flat(sign * turn, limits) if turn > 0 else 1.0
        if most * (1 + ROUNDING_SHARE) < 1.0:
            meeting = _what_meets(place.leg, begin + float(at[sharpest]))
            return Narrower(0.0, Kink(sign * turn, meeting))

    def allowed(narrow: float) -> float:
        inside, outside = curvature_range(seen, narrow)
        k = min(inside, 0.0) if place.inside else max(outside, 0.0)
        return widest_flat(k, limits)

    return Narrower(widest_below(width, allowed, NARROWEST_MM))


def _seen_from(place: Place, width: float) -> tuple[float, HeadingProfile]:
    """Return what the windows of a place hold, and where on the leg it begins."""
    profile, reach = place.leg.profile, width / 2
    begin, end = place.start - reach, place.end + reach
    if not profile.closed:
        begin, end = max(begin, 0.0), min(end, profile.length)
        return begin, stretch(profile, begin, end)
    if end - begin >= profile.length:
        return 0.0, profile
    begin %= profile.length
    return begin, stretch(cut_open(profile, begin), 0.0, end - place.start + reach)


def _what_meets(leg: Leg, s: float) -> Meeting:
    """Say what meets at a station of a leg, which may lie past its end."""
    spans = leg.spans
    if leg.profile.closed:
        s %= leg.length
        if min(s, leg.length - s) < SAME_STATION_MM:
            return _between(leg, -1, 0)
    for i, (before, _) in enumerate(pairwise(spans)):
        if abs(before.end - s) < SAME_STATION_MM:
            return _between(leg, i, i + 1)
    edge, along = leg.locate(s)
    finished = edge.finished
    is_middle = abs(along - finished.length / 2) < SAME_STATION_MM
    return Meeting.FOLD if finished.is_unfolded and is_middle else Meeting.LINE


def _between(leg: Leg, before: int, after: int) -> Meeting:
    one, other = leg.spans[before].edge, leg.spans[after].edge
    same = one.finished.piece is other.finished.piece
    return Meeting.LINE if same and one.mirrored == other.mirrored else Meeting.SEAM
