"""The line that a run of tape follows: smooth legs between corners."""

import math
from dataclasses import dataclass

from edgefinder.binding.tape import Tape
from edgefinder.classifier.job import RunSettings
from edgefinder.geometry.profile import HeadingProfile
from edgefinder.pattern.finished import FinishedEdge


@dataclass(frozen=True, slots=True, eq=False)
class BoundEdge:
    """An edge as part of a run.

    Parameters
    ----------
    finished : FinishedEdge
    mirrored : bool
        Whether it is taken on the mirrored half or on the mirrored one of a pair.
    turned_over : bool
        Whether it lies the other way round beside the pieces before it: one of a pair
        was named, and the run goes on over the other.
    """

    finished: FinishedEdge
    mirrored: bool
    turned_over: bool = False

    @property
    def runs_back(self) -> bool:
        """Whether it is laid from the end of the drawn edge to its start."""
        return self.mirrored is not self.turned_over

    def drawn_at(self, s: float) -> float:
        """Return the distance along the drawn edge for one along this edge."""
        return self.finished.drawn_at(self._along(s))

    def is_mirrored_at(self, s: float) -> bool:
        """Whether a distance along this edge is not on the half that is drawn."""
        return self.mirrored or self.finished.is_mirrored_at(s)

    def _along(self, s: float) -> float:
        return self.finished.length - s if self.runs_back else s


@dataclass(frozen=True, slots=True, eq=False)
class Span:
    """The part of a leg that lies on one edge, from ``start`` to ``end`` on the leg.

    ``offset`` is the distance along the edge where the part begins.
    """

    edge: BoundEdge
    start: float
    end: float
    offset: float


@dataclass(frozen=True, slots=True, eq=False)
class Leg:
    """A smooth part of a run.

    Parameters
    ----------
    profile : HeadingProfile
        Fabric on the left.
    spans : tuple of Span
        The edges that it lies on, in order.
    """

    profile: HeadingProfile
    spans: tuple[Span, ...]

    @property
    def length(self) -> float:
        """Millimetres."""
        return self.profile.length

    def locate(self, s: float) -> tuple[BoundEdge, float]:
        """Return the edge at a distance along the leg, and the distance along it."""
        span = next((span for span in self.spans if s <= span.end), self.spans[-1])
        return span.edge, s - span.start + span.offset


@dataclass(frozen=True, slots=True, eq=False)
class RunCorner:
    """A corner that the tape turns.

    Parameters
    ----------
    turn : float
        Radians; positive at an outside corner.
    edge : BoundEdge
        The edge that ends there.
    at : float
        Distance along that edge in millimetres.
    is_at_seam : bool
        Whether two pieces meet there.
    """

    turn: float
    edge: BoundEdge
    at: float
    is_at_seam: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Run:
    """A run of tape in one size.

    Parameters
    ----------
    settings : RunSettings
    tape : Tape
    edges : tuple of BoundEdge
        In sewing order.
    legs : tuple of Leg
    corners : tuple of RunCorner
        Both with the fabric on the left.
    is_against : bool
        Whether it is sewn the other way, the fabric on the right.
    """

    settings: RunSettings
    tape: Tape
    edges: tuple[BoundEdge, ...]
    legs: tuple[Leg, ...]
    corners: tuple[RunCorner, ...]
    is_against: bool = False

    @property
    def name(self) -> str:
        """The run's name."""
        return self.settings.name

    @property
    def length(self) -> float:
        """Joined length of the bound edges in millimetres."""
        return math.fsum(leg.length for leg in self.legs)
