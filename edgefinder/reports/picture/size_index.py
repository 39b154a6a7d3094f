"""What lies where in a size, looked up once for all of its pieces."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from edgefinder.geometry.segments import Complexes
from edgefinder.pattern.finished import FinishedEdge
from edgefinder.reports.picture.edge_points import along_edges, stations_along
from edgefinder.reports.picture.place_stretches import (
    NumberedPlace,
    Stretch,
    numbered_places,
    stretches_of,
)
from edgefinder.schedule.size_rows import SizeSchedule


@dataclass(frozen=True, slots=True, eq=False)
class MarkedStretch:
    """The part of a place to watch on one edge, with its points on the outline.

    Parameters
    ----------
    numbered : NumberedPlace
    part : Stretch
    at, heading : complex
        Its sharpest point, and the unit tangent there.
    points, headings : ndarray of complex128, shape (m,)
        All along it.
    """

    numbered: NumberedPlace
    part: Stretch
    at: complex
    heading: complex
    points: Complexes
    headings: Complexes


@dataclass(frozen=True, slots=True, eq=False)
class SizeIndex:
    """What lies where in a size, looked up once for all of its pieces.

    Parameters
    ----------
    size : str
    stretches : mapping of str to list of MarkedStretch
        Places to watch by the name of the piece.
    runs : mapping of int to dict of int to FinishedEdge
        By the identity of a drawn edge: the runs along it, counted from 0, each with
        the edge as it is bound.
    """

    size: str
    stretches: Mapping[str, list[MarkedStretch]]
    runs: Mapping[int, dict[int, FinishedEdge]]


def index_size(size: SizeSchedule, names: Sequence[str]) -> SizeIndex:
    """Look up what lies on the pieces of a size.

    Parameters
    ----------
    size : SizeSchedule
    names : sequence of str
        Of all runs of the release: a run keeps its letter from size to size.

    Returns
    -------
    SizeIndex
    """
    runs: defaultdict[int, dict[int, FinishedEdge]] = defaultdict(dict)
    numbers = {name: number for number, name in enumerate(names)}
    for row in size.runs:
        for bound in row.run.edges:
            along = runs[id(bound.finished.edge)]
            along.setdefault(numbers[row.run.name], bound.finished)
    return SizeIndex(size.size, _stretches(size), dict(runs))


def _stretches(size: SizeSchedule) -> dict[str, list[MarkedStretch]]:
    """Return the stretches of all places by the name of their piece."""
    found = [
        (piece, numbered, part)
        for numbered in numbered_places(size)
        for piece, part in stretches_of(numbered.report.place)
    ]
    edges = [part.edge for _, _, part in found]
    sharpest = along_edges(edges, [np.array([part.at]) for _, _, part in found])
    lines = along_edges(
        edges, [stations_along(part.start, part.end) for _, _, part in found]
    )
    stretches: defaultdict[str, list[MarkedStretch]] = defaultdict(list)
    for (piece, numbered, part), (at, heading), line in zip(
        found, sharpest, lines, strict=True
    ):
        stretches[piece].append(
            MarkedStretch(numbered, part, complex(at[0]), complex(heading[0]), *line)
        )
    return dict(stretches)
