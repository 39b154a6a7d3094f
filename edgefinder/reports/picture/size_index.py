"""What lies where in a size, looked up once for all of its pieces."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from edgefinder.pattern.finished import FinishedEdge
from edgefinder.reports.picture.place_stretches import (
    NumberedPlace,
    Stretch,
    numbered_places,
    stretches_of,
)
from edgefinder.schedule.release import SizeSchedule


@dataclass(frozen=True, slots=True, eq=False)
class SizeIndex:
    """What lies where in a size, looked up once for all of its pieces.

    Parameters
    ----------
    size : str
    stretches : mapping of str to list of (NumberedPlace, Stretch)
        Places to watch by the name of the piece.
    runs : mapping of int to dict of int to FinishedEdge
        By the identity of a drawn edge: the runs along it, counted from 0, each with
        the edge as it is bound.
    """

    size: str
    stretches: Mapping[str, list[tuple[NumberedPlace, Stretch]]]
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
    stretches: defaultdict[str, list[tuple[NumberedPlace, Stretch]]] = defaultdict(list)
    for numbered in numbered_places(size):
        for piece, part in stretches_of(numbered.report.place):
            stretches[piece].append((numbered, part))
    runs: defaultdict[int, dict[int, FinishedEdge]] = defaultdict(dict)
    numbers = {name: number for number, name in enumerate(names)}
    for row in size.runs:
        for bound in row.run.edges:
            along = runs[id(bound.finished.edge)]
            along.setdefault(numbers[row.run.name], bound.finished)
    return SizeIndex(size.size, dict(stretches), dict(runs))
