"""How a page may have been turned or mirrored between two drawings of a piece."""

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from edgefinder.classifier.matching.edge_traits import RingTraits, mirrored
from edgefinder.geometry.segments import Complexes, Floats

UNTURNED: Final = math.radians(15.0)
"""Turns that differ by less are about the same. A turn by this costs as much to believe
as any larger one, and a lesser one less."""

LEAST_TURN: Final = math.radians(2.0)
"""A piece that seems turned by less is compared as if it were not: grading turns edges
by more. Larger: the edges of a piece that was turned a little fit worse than they need
to. Smaller: takes longer."""

TURNED_PRIOR: Final = 8.0
"""What it costs to believe that a piece was turned. The threshold of doubt and what a
good fit may cost stay below it together; see `alignment`."""
MIRRORED_PRIOR: Final = 8.0
"""What it costs to believe that a piece was mirrored; to be added."""
LEAST_PRIOR: Final = min(TURNED_PRIOR, MIRRORED_PRIOR)
"""The least that it costs to believe in a pose that is not about as drawn."""

ANGLE_BINS: Final = 72
"""Bins of 5 degrees in which pairs of edges vote for a turn."""
PEAKS: Final = 3
"""Turns that are tried on account of votes, mirrored and not. More: takes longer."""
PEAK_WIDTHS: Final = (math.radians(7.5), math.radians(2.0))
"""Votes for angles within the first, and then the second, of a turn make it exact."""
LESSER_TURN: Final = 1e-3
"""Share of the votes by which a lesser turn is preferred to half a turn: a regular
outline has as many for each of its edges."""
ALIKE_LENGTH: Final = 0.3
"""Edges vote by the share of length that they have in common; those whose lengths
differ by this (as a logarithm) have about two thirds of a vote."""
ALIKE_TURNING: Final = math.radians(30.0)
"""The same for a difference in turning."""


@dataclass(frozen=True, slots=True)
class Pose:
    """How a new drawing lies with respect to the old one.

    Parameters
    ----------
    is_mirrored : bool
        Left to right, before it was turned.
    turned : float
        Radians, anticlockwise.
    """

    is_mirrored: bool = False
    turned: float = 0.0

    @property
    def prior(self) -> float:
        """What it costs to believe in."""
        share = min(abs(self.turned) / UNTURNED, 1.0)
        return TURNED_PRIOR * share**2 + MIRRORED_PRIOR * self.is_mirrored

    @property
    def turned_once_mirrored(self) -> float:
        """By how much the new drawing is turned after it is mirrored back."""
        return -self.turned if self.is_mirrored else self.turned

    @property
    def effort(self) -> float:
        """Radians of turning that is not needed to mirror.

        Mirrored upside down is mirrored left to right and turned by half a turn, and
        no more effort.
        """
        turned = abs(self.turned)
        return min(turned, math.pi - turned) if self.is_mirrored else turned

    def then(self, other: "Pose") -> "Pose":
        """Return the pose of a page that was moved by this and then by another one."""
        turned = -self.turned if other.is_mirrored else self.turned
        return Pose(
            self.is_mirrored != other.is_mirrored,
            math.remainder(turned + other.turned, 2 * math.pi),
        )

    def is_near(self, other: "Pose") -> bool:
        """Whether another pose differs by a small turn at most."""
        return (
            self.is_mirrored == other.is_mirrored
            and _apart(self.turned, other.turned) <= UNTURNED
        )


AS_DRAWN: Final = Pose()
"""Neither mirrored nor turned."""


def likely_poses(old: RingTraits, new: RingTraits) -> tuple[Pose, ...]:
    """List the poses that are worth a trial, besides the one as drawn.

    Quarter turns and mirroring along the page's axes are always among them.
    """
    poses = []
    for is_mirrored, ring in ((False, new), (True, mirrored(new))):
        turns = list(_voted(old, ring))
        for quarter in (0.0, np.pi / 2, np.pi, -np.pi / 2):
            if all(_apart(quarter, turn) > UNTURNED for turn in turns):
                turns.append(quarter)
        sign = -1 if is_mirrored else 1  # the new outline is turned back once mirrored
        poses += [Pose(is_mirrored, sign * turn) for turn in turns]
    return tuple(p for p in poses if p.is_mirrored or abs(p.turned) > LEAST_TURN)


def _apart(one: float, other: float) -> float:
    return abs(float(np.angle(np.exp(1j * (one - other)))))


def _voted(old: RingTraits, new: RingTraits) -> list[float]:
    """Return the turns that most pairs of edges agree with."""
    ratio = new.chords[None, :] * np.conj(old.chords[:, None])
    shorter = np.minimum(
        np.abs(old.chords[:, None]) / old.perimeter,
        np.abs(new.chords[None, :]) / new.perimeter,
    )
    grown = np.log(new.lengths / new.perimeter) - np.log(
        old.lengths[:, None] / old.perimeter
    )
    bent = new.turnings - old.turnings[:, None]
    votes = shorter * np.exp(
        -np.square(grown / ALIKE_LENGTH) / 2 - np.square(bent / ALIKE_TURNING) / 2
    )
    # A regular outline comes over itself after each edge.
    return _peaks(ratio.ravel(), votes.ravel(), min(UNTURNED, math.pi / len(old)))


def _peaks(ratio: Complexes, votes: Floats, apart: float) -> list[float]:
    angles = np.angle(ratio)
    bins = np.floor((angles + np.pi) / (2 * np.pi) * ANGLE_BINS).astype(np.intp)
    counted = np.bincount(bins % ANGLE_BINS, votes, ANGLE_BINS)
    middles = (np.arange(ANGLE_BINS) + 0.5) / ANGLE_BINS * 2 * math.pi - math.pi
    lesser = 1 - LESSER_TURN * np.abs(middles) / math.pi
    smooth = (np.roll(counted, -1) + 2 * counted + np.roll(counted, 1)) * lesser
    turns: list[float] = []
    for bin_ in np.argsort(-smooth).tolist():
        if smooth[bin_] <= 0 or len(turns) == PEAKS:
            break
        turn = float(middles[bin_])
        for width in PEAK_WIDTHS:
            off = np.angle(np.exp(1j * (angles - turn)))
            weight = votes * (np.abs(off) <= width)
            if weight.any():
                turn += float((off * weight).sum() / weight.sum())
        if all(_apart(turn, other) > apart for other in turns):
            turns.append(math.remainder(turn, 2 * math.pi))
    return turns
