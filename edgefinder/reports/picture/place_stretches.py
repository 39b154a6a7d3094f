"""Where on a drawn piece the places to watch of a size lie."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

from edgefinder.binding.runs import BoundEdge
from edgefinder.curvature.advice import PlaceReport
from edgefinder.curvature.places import Place, Spot
from edgefinder.pattern.pieces import Edge
from edgefinder.schedule.size_rows import RunRow, SizeSchedule

SHORTEST_STRETCH_MM: Final = 0.5
"""A place that reaches over the end of an edge by less has no mark on the next one."""


@dataclass(frozen=True, slots=True, eq=False)
class NumberedPlace:
    """A place to watch with its number in the schedule of its size.

    Parameters
    ----------
    number : int
        From 1, as the table of places counts.
    row : RunRow
    report : PlaceReport
    """

    number: int
    row: RunRow
    report: PlaceReport


@dataclass(frozen=True, slots=True, eq=False)
class Stretch:
    """The part of a place that lies on one drawn edge.

    Parameters
    ----------
    edge : Edge
    start, end : float
        Millimetres along the drawn edge, start < end; on a closed edge the end may lie
        beyond its length.
    at : float
        The sharpest point of the place, or the middle of the part if it lies on
        another edge.
    is_sharpest : bool
        Whether the sharpest point lies on this edge.
    """

    edge: Edge
    start: float
    end: float
    at: float
    is_sharpest: bool


def numbered_places(size: SizeSchedule) -> tuple[NumberedPlace, ...]:
    """Return all places to watch of a size, numbered run by run."""
    found = [(row, report) for row in size.runs for report in row.judged.places]
    return tuple(
        NumberedPlace(number, row, report)
        for number, (row, report) in enumerate(found, start=1)
    )


def stretches_of(place: Place) -> tuple[tuple[str, Stretch], ...]:
    """Return the parts of a place, each on its edge as drawn, and their pieces' names.

    What lies on a mirrored half is returned where the drawn half has it.
    """
    parts = (
        (first.edge.finished.piece.name, _stretch(first, last, place))
        for first, last in _parts(place)
    )
    return tuple(
        (piece, part)
        for piece, part in parts
        if part.is_sharpest or part.end - part.start >= SHORTEST_STRETCH_MM
    )


def _parts(place: Place) -> Iterator[tuple[Spot, Spot]]:
    """Cut a place at the bounds between edges."""
    first, last, sharpest = place.begins, place.finishes, place.edge
    if first.edge is last.edge and first.edge is sharpest:
        yield first, last
        return
    if first.edge is last.edge:  # round a loop, over other edges
        yield first, _end_of(first.edge)
        if sharpest is not first.edge:
            yield _start_of(sharpest), _end_of(sharpest)
        yield _start_of(last.edge), last
        return
    yield first, _end_of(first.edge)
    if sharpest is not first.edge and sharpest is not last.edge:
        yield _start_of(sharpest), _end_of(sharpest)
    yield _start_of(last.edge), last


def _start_of(edge: BoundEdge) -> Spot:
    return Spot(edge, edge.drawn_at(0.0), edge.is_mirrored_at(0.0))


def _end_of(edge: BoundEdge) -> Spot:
    length = edge.finished.length
    return Spot(edge, edge.drawn_at(length), edge.is_mirrored_at(length))


def _stretch(first: Spot, last: Spot, place: Place) -> Stretch:
    edge = first.edge.finished.edge
    is_sharpest = place.edge is first.edge
    start, end = sorted((first.at, last.at))
    if edge.path.path.closed:
        start, end = first.at, last.at
        if first.edge.runs_back:
            start, end = end, start
        end += edge.length if end <= start else 0.0
    elif first.mirrored is not last.mirrored:
        # Across the fold, where the drawn half has one of its ends.
        start, end = _across_fold(first.edge, start, end, place.at)
    part = Stretch(edge, start, end, (start + end) / 2, is_sharpest)
    return replace(part, at=place.at) if is_sharpest else part


def _across_fold(
    bound: BoundEdge, near: float, far: float, sharpest: float
) -> tuple[float, float]:
    """Return the stretch between the fold and the farther of two points."""
    finished, length = bound.finished, bound.finished.edge.length
    to_end, to_start = (near, length), (0.0, far)
    ends_at_fold = finished.drawn_at(finished.length / 2) > length / 2
    likely, other = (to_end, to_start) if ends_at_fold else (to_start, to_end)
    # An edge from fold to fold has the other one there too.
    return likely if likely[0] <= sharpest <= likely[1] else other
