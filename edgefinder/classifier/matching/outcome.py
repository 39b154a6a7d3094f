"""What the alignment of two outlines says: of each edge what it became, or a doubt."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from edgefinder.classifier.matching.poses import Pose


class Reason(StrEnum):
    """Why it is not sure what became of an edge."""

    TIE = "two readings fit about as well"
    UNLIKE = "nothing is like it"
    MANY = "there are too many edges to follow a change"


@dataclass(frozen=True, slots=True)
class Candidate:
    """A reading of what became of an edge.

    Parameters
    ----------
    edges : tuple of int
        New edges from 0, in the order of the new outline.
    pose : Pose
        In which it is read so.
    cost : float
        Of the whole alignment; see `Alignment`.
    """

    edges: tuple[int, ...]
    pose: Pose
    cost: float


@dataclass(frozen=True, slots=True)
class Doubt:
    """An old edge of which it is not sure what became.

    Parameters
    ----------
    edge : int
        From 0.
    reason : Reason
    best : Candidate
    second : Candidate or None
        The likeliest other reading, if any is worth naming.
    """

    edge: int
    reason: Reason
    best: Candidate
    second: Candidate | None


@dataclass(frozen=True, slots=True)
class Alignment:
    """What became of the edges of an outline.

    Parameters
    ----------
    targets : tuple of tuple of int, or None
        The new edges that each old edge became, from 0 and in the order of the new
        outline; None where that is in doubt. Old edges that merged into one have the
        same target.
    pose : Pose
        How the new drawing lies with respect to the old one.
    cost : float
        Misfit of the geometry and prior of the pose: 0 for an outline that agrees as
        drawn, and about 1 for each deviation that is usual between sizes.
    doubts : tuple of Doubt
        By old edge.
    """

    targets: tuple[tuple[int, ...] | None, ...]
    pose: Pose
    cost: float
    doubts: tuple[Doubt, ...]

    @property
    def is_sure(self) -> bool:
        """Whether no edge is in doubt."""
        return not self.doubts

    @property
    def readings(self) -> tuple[Candidate, ...]:
        """The likeliest reading of every old edge, in doubt or not."""
        best = {doubt.edge: doubt.best for doubt in self.doubts}
        return tuple(
            best[e] if target is None else Candidate(target, self.pose, self.cost)
            for e, target in enumerate(self.targets)
        )

    @property
    def is_mirrored(self) -> bool:
        """Whether the new drawing is mirrored."""
        return self.pose.is_mirrored

    @property
    def turned(self) -> float:
        """Radians by which it is turned, anticlockwise; after mirroring left to right.

        0 where an outline was graded and turned by less than about 2 degrees.
        """
        return self.pose.turned


def outcome(
    targets: Sequence[tuple[int, ...]],
    pose: Pose,
    cost: float,
    doubts: Sequence[Doubt],
) -> Alignment:
    """Put an alignment together; edges in doubt have no target."""
    doubtful = {doubt.edge for doubt in doubts}
    return Alignment(
        tuple(None if e in doubtful else target for e, target in enumerate(targets)),
        pose,
        cost,
        tuple(doubts),
    )
