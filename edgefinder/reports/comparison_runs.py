"""Comparing the runs of a size: their edges, their tape, and how it lies."""

from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from edgefinder.curvature.verdict import Verdict
from edgefinder.reports.compared_records import (
    ComparedBound,
    ComparedRun,
    ComparedSize,
)
from edgefinder.reports.differences import (
    Change,
    Difference,
    Kind,
    Pair,
    Thing,
    amounts,
    choices,
    lengths,
    pairs,
    plain,
)

_TROUBLE: Final = MappingProxyType(
    {Verdict.FLAT: 0, Verdict.STEAM: 1, Verdict.TOO_TIGHT: 2, Verdict.MITRE: 3}
)
_TIGHT: Final = 2
"""From here on there is no way to lay the tape flat."""

EdgeKeys = Mapping[tuple[str, str], str]
"""What an edge is called in the comparison, from its piece (as `plain` writes it) and
its label on one side: the same from both sides for edges that are paired."""


def run_differences(
    old: tuple[ComparedSize, EdgeKeys],
    new: tuple[ComparedSize, EdgeKeys],
    within: float,
) -> Iterator[Difference]:
    """Compare the runs of two sizes.

    Parameters
    ----------
    old, new : tuple of ComparedSize and EdgeKeys
    within : float
        Millimetres by which lengths may differ.

    Yields
    ------
    Difference
        How the tape lies first, then run by run.
    """
    (old_size, before), (new_size, after) = old, new
    yield from _lies(_binding(old_size, before), _binding(new_size, after))
    for run in pairs(old_size.runs, new_size.runs, lambda run: plain(run.name)):
        yield from _run(run, before, after, within)


@dataclass(frozen=True, slots=True)
class _Lies:
    """How the tape of a run lies along an edge, both halves of a pair together."""

    thing: Thing
    verdict: Verdict
    too_tight: int


def _binding(size: ComparedSize, keys: EdgeKeys) -> dict[Hashable, _Lies]:
    found: dict[Hashable, _Lies] = {}
    bound = [
        (run.name, e.piece, e.edge, Verdict.FLAT)
        for run in size.runs
        for e in run.edges
    ]
    places = [(p.run, p.piece, p.edge, p.verdict) for p in size.places]
    for run, piece, name, verdict in (*bound, *places):
        edge = keys.get((plain(piece), name), name)
        at = plain(run), plain(piece), edge
        thing = Thing(Kind.EDGE_IN_RUN, piece=piece, edge=edge, run=run)
        before = found.get(at, _Lies(thing, Verdict.FLAT, 0))
        found[at] = _Lies(
            before.thing,
            max(before.verdict, verdict, key=_TROUBLE.__getitem__),
            before.too_tight + (_TROUBLE[verdict] >= _TIGHT),
        )
    return found


def _lies(
    before: Mapping[Hashable, _Lies], after: Mapping[Hashable, _Lies]
) -> Iterator[Difference]:
    for at in dict.fromkeys((*after, *before)):
        lies = Pair(before.get(at), after.get(at))
        old, new = lies.old, lies.new
        thing = lies.either.thing
        was, now = (_TROUBLE[v or Verdict.FLAT] for v in lies.both(lambda x: x.verdict))
        if (was >= _TIGHT) != (now >= _TIGHT):
            change = Change.NEWLY_TIGHT if now > was else Change.NO_LONGER_TIGHT
            yield _verdict(thing, change, lies)
        elif old is None or new is None:
            continue
        elif was != now:
            change = Change.LIES_WORSE if now > was else Change.LIES_BETTER
            yield _verdict(thing, change, lies)
        else:
            yield from amounts(thing, "too_tight_places", old.too_tight, new.too_tight)


def _verdict(thing: Thing, change: Change, lies: Pair[_Lies]) -> Difference:
    return Difference(thing, "verdict", change, *lies.both(lambda x: str(x.verdict)))


# Runs


def _run(
    run: Pair[ComparedRun], before: EdgeKeys, after: EdgeKeys, within: float
) -> Iterator[Difference]:
    name = run.either.name
    thing = Thing(Kind.RUN, run=name)
    if run.old is not None and run.new is not None:
        yield from choices(thing, "tape", *run.both(lambda r: r.tape))
        yield from choices(thing, "closed", *run.both(lambda r: r.is_closed))
        yield from amounts(thing, "times", *run.both(lambda r: r.times))
        yield from _run_edges(name, _bound(run.old, before), _bound(run.new, after))
        yield from lengths(thing, "length_mm", *run.both(lambda r: r.length), within)
    tape = run.both(lambda r: r.tape_to_cut)
    yield from lengths(thing, "tape_to_cut_mm", *tape, within)


BoundName = tuple[str, str]
"""A piece, and the edge as a job file names it: ``3 mirrored``."""


def _bound(run: ComparedRun, keys: EdgeKeys) -> list[tuple[BoundName, ComparedBound]]:
    found = []
    for bound in run.edges:
        edge = keys.get((plain(bound.piece), bound.edge), bound.edge)
        mirrored = " mirrored" if bound.mirrored else ""
        found.append(((plain(bound.piece), f"{edge}{mirrored}"), bound))
    return found


def _run_edges(
    run: str,
    old: Sequence[tuple[BoundName, ComparedBound]],
    new: Sequence[tuple[BoundName, ComparedBound]],
) -> Iterator[Difference]:
    """Say which edges came to a run or left it, or else that their order changed."""
    together = pairs(old, new, lambda named: named[0])
    for pair in together:
        if pair.change is None:
            continue
        (_, edge), bound = pair.either
        thing = Thing(Kind.EDGE_IN_RUN, piece=bound.piece, edge=edge, run=run)
        bounds = pair.both(lambda named: named[1].length)
        yield Difference(thing, "bound_mm", pair.change, *bounds)
    if all(pair.change is None for pair in together):
        orders = [", ".join(" ".join(name) for name, _ in side) for side in (old, new)]
        yield from choices(Thing(Kind.RUN, run=run), "order", *orders)
