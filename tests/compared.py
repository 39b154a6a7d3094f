"""Patterns to be compared: one by hand, and strategies for any."""

from dataclasses import replace
from typing import Final, TypeVar

from hypothesis import strategies as st

from edgefinder.curvature.verdict import Verdict
from edgefinder.reports.compared_records import (
    ComparedBound,
    ComparedEdge,
    ComparedFabric,
    ComparedPattern,
    ComparedPiece,
    ComparedPlace,
    ComparedRun,
    ComparedSize,
    ComparedTape,
)

Item = TypeVar("Item")

NECK: Final = ComparedEdge(1, "1", 200.0, "bound", 0.0, 180.0)
SIDE: Final = ComparedEdge(2, "2", 400.0, "seam", 10.0, None)
FRONT: Final = ComparedPiece("front", 1200.0, 1, (NECK, SIDE))
RUN: Final = ComparedRun(
    "neck",
    "main",
    is_closed=False,
    times=1,
    length=180.0,
    tape_to_cut=200.0,
    edges=(ComparedBound("front", "1", mirrored=False, length=180.0),),
)
TAPE: Final = ComparedTape("main", 9.0, 36.0, "double fold", "bias", "lawn", 200.0)
FABRIC: Final = ComparedFabric("main", 1000.0, 6.0, 300.0, 200.0, None)
SIZE: Final = ComparedSize("M", (FRONT,), (RUN,), (), (TAPE,), (FABRIC,))
PATTERN: Final = ComparedPattern((SIZE,), is_schedule=True)


def of_size(size: ComparedSize) -> ComparedPattern:
    """A pattern of one size."""
    return ComparedPattern((size,), is_schedule=True)


def with_edges(*edges: ComparedEdge) -> ComparedPattern:
    """The pattern with other edges of its piece."""
    return of_size(replace(SIZE, pieces=(replace(FRONT, edges=edges),)))


def with_places(*verdicts: Verdict) -> ComparedPattern:
    """The pattern with places along its bound edge."""
    places = tuple(ComparedPlace("neck", "front", "1", verdict) for verdict in verdicts)
    return of_size(replace(SIZE, places=places))


def with_run(run: ComparedRun) -> ComparedPattern:
    """The pattern with another run."""
    return of_size(replace(SIZE, runs=(run,)))


_NAMES: Final = ("a", "b", "c")
_LENGTHS: Final = st.sampled_from([0.0, 1.0, 1.5, 2.5, 100.0, 101.0, 1e6])


def _edges() -> st.SearchStrategy[tuple[ComparedEdge, ...]]:
    """Edges that are called by names, by their numbers, by others, and by parts."""
    names = st.lists(st.sampled_from(["neck", "side", "hem"]), unique=True)
    numbers = st.sampled_from(
        [[*"1234"], ["1", "2", "3", "4"][::-1], ["2", "3a", "3b", "4"]]
    )
    return st.builds(
        lambda named, numbers, edges: tuple(
            replace(edge, number=i + 1, label=(named + numbers)[i])
            for i, edge in enumerate(edges)
        ),
        names,
        numbers,
        st.lists(
            st.builds(
                ComparedEdge,
                number=st.just(1),
                label=st.just("1"),
                length=_LENGTHS,
                finish=st.sampled_from(["bound", "seam"]),
                allowance=_LENGTHS,
                bound_length=st.none() | _LENGTHS,
            ),
            max_size=4,
        ),
    )


_ANY_EDGE: Final = st.sampled_from(["1", "2", "3a", "4", "neck", "side", "hem"])
_NAME: Final = st.sampled_from(_NAMES)


def sizes() -> st.SearchStrategy[ComparedSize]:
    """Sizes whose names, and what belongs to them, often meet."""
    bound = st.builds(ComparedBound, _NAME, _ANY_EDGE, st.booleans(), _LENGTHS)
    return st.builds(
        ComparedSize,
        name=_NAME,
        pieces=_few(st.builds(ComparedPiece, _NAME, _LENGTHS, st.just(1), _edges())),
        runs=_few(
            st.builds(
                ComparedRun,
                name=_NAME,
                tape=_NAME,
                is_closed=st.booleans(),
                times=st.integers(1, 2),
                length=_LENGTHS,
                tape_to_cut=_LENGTHS,
                edges=_few(bound),
            )
        ),
        places=_few(
            st.builds(
                ComparedPlace, _NAME, _NAME, _ANY_EDGE, st.sampled_from([*Verdict])
            )
        ),
        tapes=_few(
            st.builds(
                ComparedTape,
                name=_NAME,
                finished_width=_LENGTHS,
                cut_width=_LENGTHS,
                fold=_NAME,
                grain=_NAME,
                cloth=_NAME,
                total=_LENGTHS,
            )
        ),
        fabric=_few(
            st.builds(
                ComparedFabric,
                tape=_NAME,
                usable_width=_LENGTHS,
                strip_seam=_LENGTHS,
                least_waste=st.none() | _LENGTHS,
                least_cloth=st.none() | _LENGTHS,
                packets=st.none() | st.integers(0, 3),
            )
        ),
    )


def patterns() -> st.SearchStrategy[ComparedPattern]:
    """Schedules, and patterns of which only pieces are known."""
    return st.builds(ComparedPattern, _few(sizes()), st.booleans())


def _few(items: st.SearchStrategy[Item]) -> st.SearchStrategy[tuple[Item, ...]]:
    return st.lists(items, max_size=2).map(tuple)
