"""A pattern piece and its edges."""

from collections.abc import Sequence
from dataclasses import dataclass

from edgefinder.geometry.bends import Bend, Bends
from edgefinder.geometry.measured import MeasuredPath, signed_area
from edgefinder.geometry.profile import (
    HeadingProfile,
    heading_profile,
    heading_profiles,
)
from edgefinder.importers.drawing import DrawnLine
from edgefinder.pattern.surroundings import NOTHING_AROUND, Surroundings


@dataclass(frozen=True, slots=True, eq=False)
class Digitised:
    """What an edge was before it was smoothed.

    Parameters
    ----------
    profile : HeadingProfile
        Headings of the smoothed edge, steadier than the tangents of its path.
    drawn_length : float
        Of the line as it was drawn, in millimetres.
    """

    profile: HeadingProfile
    drawn_length: float


@dataclass(frozen=True, slots=True, eq=False)
class Edge:
    """A stretch of an outline between two corners, or a whole smooth outline.

    Parameters
    ----------
    number : int
        From 1, anticlockwise; see `edgefinder.pattern.edges`.
    ring : int
        0 on the outer outline, 1 and up on cut-outs.
    path : MeasuredPath
        Run so that the fabric lies on the left; closed if there is no corner.
    turning : float
        Radians from its start to its end, small jumps inside it included.
    corner_before, corner_after : float
        Jump of the tangent at its ends in radians, positive at outside corners;
        0 where the outline has no corner at all.
    bends : Bends
        The sharpest outside curve (left) and inside curve (right).
    sources : tuple of DrawnLine
        The drawn lines that it came from.
    digitised : Digitised or None
        None on an edge that was drafted; ``path`` is the smoothed line of one that
        was traced.
    numbers : tuple of int
        Those by which a job file knows it, where they are not its own: several where
        a corner between edges is gone in this size.
    part : str
        A letter, where it is a part of the edge of that number.
    name : str
        A person's own name for it, or empty.
    """

    number: int
    ring: int
    path: MeasuredPath
    turning: float
    corner_before: float
    corner_after: float
    bends: Bends
    sources: tuple[DrawnLine, ...]
    digitised: Digitised | None = None
    numbers: tuple[int, ...] = ()
    part: str = ""
    name: str = ""

    @property
    def known_as(self) -> tuple[int, ...]:
        """The numbers by which a job file knows it."""
        return self.numbers or (self.number,)

    @property
    def label(self) -> str:
        """What it is called in reports: its name, else its number and part."""
        return self.name or "+".join(map(str, self.known_as)) + self.part

    @property
    def length(self) -> float:
        """Arc length in millimetres."""
        return self.path.length

    @property
    def drawn_length(self) -> float:
        """Length of the line as it was drawn, noise and all, in millimetres."""
        return self.length if self.digitised is None else self.digitised.drawn_length

    @property
    def profile(self) -> HeadingProfile:
        """Its headings, the first one the direction in which it starts."""
        if self.digitised is None:
            return heading_profile(self.path)
        return self.digitised.profile

    @property
    def tightest_inside(self) -> Bend | None:
        """The tightest inside curve; None where it has none."""
        return self.bends.right

    @property
    def tightest_outside(self) -> Bend | None:
        """The tightest outside curve; None where it has none."""
        return self.bends.left

    @property
    def start(self) -> complex:
        """First point in millimetres."""
        return self.path.path.start

    @property
    def end(self) -> complex:
        """Last point in millimetres."""
        return self.path.path.end


def edge_profiles(edges: Sequence[Edge]) -> tuple[HeadingProfile, ...]:
    """Return the headings of edges, those of all exact ones found together."""
    paths = [edge.path for edge in edges if edge.digitised is None]
    exact = iter(heading_profiles(paths, [one.path.segments for one in paths]))
    return tuple(
        next(exact) if edge.digitised is None else edge.digitised.profile
        for edge in edges
    )


@dataclass(frozen=True, slots=True, eq=False)
class DrawnMarks:
    """What the drawing itself says of a piece; a job file wins over it.

    Parameters
    ----------
    cut : int or None
        How many to cut, right and left together.
    fold_edge : int or None
        Number of the edge on the mirror line.
    allowances : tuple of (float or None), or None
        Distance of the sewing line inside edge n at n - 1, in millimetres, None where
        none runs beside it; None where no sewing line is drawn at all.
    """

    cut: int | None
    fold_edge: int | None
    allowances: tuple[float | None, ...] | None


@dataclass(frozen=True, slots=True, eq=False)
class Piece:
    """One pattern piece in one size.

    Parameters
    ----------
    name : str
    size : str or None
        None where the drawing names no size.
    layer : str or None
    outline : MeasuredPath
        The outer outline, anticlockwise from the start of edge 1.
    cutouts : tuple of MeasuredPath
        Clockwise.
    edges : tuple of Edge
        Edge n stands at n - 1.
    where : str
        File and place in it, for messages.
    quantity : str or None
        What a text within it says of how often it is cut, as it is written.
    marks : DrawnMarks or None
        What the drawing says about it by its own marks.
    around : Surroundings
        Notches, marker lines and texts that are drawn on or beside it.
    """

    name: str
    size: str | None
    layer: str | None
    outline: MeasuredPath
    cutouts: tuple[MeasuredPath, ...]
    edges: tuple[Edge, ...]
    where: str
    quantity: str | None = None
    marks: DrawnMarks | None = None
    around: Surroundings = NOTHING_AROUND

    @property
    def perimeter(self) -> float:
        """Length of the outer outline in millimetres."""
        return self.outline.length

    @property
    def area(self) -> float:
        """Area of cloth in square millimetres, cut-outs taken off."""
        rings = (self.outline, *self.cutouts)
        return sum(signed_area(ring.path) for ring in rings)

    def neighbours(self, number: int) -> tuple[Edge, Edge]:
        """Return the edges before and after an edge on its own ring."""
        ring = [e for e in self.edges if e.ring == self.edges[number - 1].ring]
        at = number - ring[0].number
        return ring[at - 1], ring[(at + 1) % len(ring)]
