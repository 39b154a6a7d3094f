"""Where a run goes from one piece to the next: the seam that is sewn there.

The cloth lies on one side of the tape all along, so that a run takes all its pieces
in the order of their outlines, or all of them against it. Which of the two follows from
groups of several edges, or else from the seams: those that meet are equally long.
Where nobody wrote ``mirrored``, either one of a pair may be meant, and either half of a
piece on the fold.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product
from typing import Final

from edgefinder.binding.seam_ends import SAME_SEAM_MM, SeamEnd, SeamEnds
from edgefinder.classifier.job import Finish
from edgefinder.classifier.run_order import Group
from edgefinder.classifier.tags import TaggedRun, TaggedSize
from edgefinder.errors import TagError
from edgefinder.memory import Memory

MOST_FREE: Final = 10
"""Pieces of a run that are tried both ways round, each with all the others: a thousand
tries. Longer runs are taken as they are written."""

Misfit = tuple[int, int, float]
"""Junctions without a seam, seams that differ, and millimetres by which they do."""


@dataclass(frozen=True, slots=True, eq=False)
class Junction:
    """Where a run goes over from one piece to the next.

    Parameters
    ----------
    first, second : SeamEnd
        In sewing order.
    """

    first: SeamEnd
    second: SeamEnd

    @property
    def is_seam(self) -> bool:
        """Whether two seams meet."""
        return self.first.finish is self.second.finish is Finish.SEAM

    @property
    def lengths(self) -> tuple[float, float] | None:
        """Lengths of the two sewing lines in millimetres, taken as they agree best.

        Of an edge that meets the fold both halves or one, of one of a pair that one or
        both. None if allowances leave nothing of one of them.
        """
        pairs = [
            (one, other)
            for one, other in product(self.first.lengths, self.second.lengths)
            # Twice one against twice the other is one against the other.
            if one in self.first.lengths[:1] or other in self.second.lengths[:1]
        ]
        return min(pairs, key=lambda pair: abs(pair[0] - pair[1]), default=None)

    @property
    def difference(self) -> float | None:
        """By how much the two lengths differ, in millimetres."""
        lengths = self.lengths
        return None if lengths is None else abs(lengths[0] - lengths[1])

    @property
    def turn(self) -> float:
        """By how much the tape turns where the pieces lie edge to edge, radians.

        Positive at an outside corner.
        """
        return math.pi - self.first.angle - self.second.angle

    @property
    def misfit(self) -> Misfit:
        """How little the two sides look as if they were sewn together."""
        if not self.is_seam:
            return 1, 0, 0.0
        apart = self.difference
        if apart is None:
            return 0, 1, 0.0
        return 0, int(apart > SAME_SEAM_MM), apart


@dataclass(frozen=True, slots=True, eq=False)
class Joined:
    """How the groups of a run are taken, and what lies between them.

    Parameters
    ----------
    ways : tuple of bool
        Of each group, whether it is taken against its outline. One that differs from
        the first is taken on its mirror image.
    junctions : tuple of Junction
        In sewing order; of a closed run the last one leads back to its start. Empty
        where the run stays on one piece.
    """

    ways: tuple[bool, ...]
    junctions: tuple[Junction, ...]

    @property
    def misfit(self) -> Misfit:
        """How little it looks as if all groups were sewn together."""
        each = (one.misfit for one in self.junctions)
        without, unlike, apart = zip(*each, strict=True)
        return sum(without), sum(unlike), sum(apart)


def join_groups(size: TaggedSize, run: TaggedRun, memory: Memory) -> Joined:
    """Find the junctions of a run and the seams that are sewn there.

    Parameters
    ----------
    size : TaggedSize
    run : TaggedRun
        Of that size.
    memory : Memory
        The check of seams and the laying of a run both ask.

    Raises
    ------
    TagError
        If two groups of its edges go round their pieces in opposite ways.
    """
    if len(run.groups) < 2:
        return Joined(tuple(group.is_against for group in run.groups), ())
    return memory.recall(("joined", size, run), lambda: _joined(size, run, memory))


def _joined(size: TaggedSize, run: TaggedRun, memory: Memory) -> Joined:
    groups = run.groups
    ends = SeamEnds(size, memory)
    fixed = [_way_of(run, group, len(ends.ring(group))) for group in groups]
    _refuse_opposite(run, fixed)
    known = next((way for way in fixed if way is not None), None)
    ways = (False, True) if known is None else (known,)
    written = [_join(ends, run, [way] * len(groups)) for way in ways]
    best = min(written, key=lambda one: one.misfit)
    says_mirrored = any(copy.mirrored for group in groups for copy in group.copies)
    if says_mirrored or not any(best.misfit[:2]) or fixed.count(None) > MOST_FREE:
        return best
    free = _join_freely(ends, run, fixed)
    return min((best, free), key=lambda one: one.misfit)


def _way_of(run: TaggedRun, group: Group, edges_of_ring: int) -> bool | None:
    """Say whether a group goes against its outline; None if its words do not tell.

    One edge tells nothing, nor do two of a ring of two; and a word that means several
    edges lists them along the outline, whichever way they are sewn.
    """
    words, edges = len(run.settings.edges), sum(len(g.copies) for g in run.groups)
    if len(group.copies) == 1 or edges_of_ring < 3:
        return None
    return group.is_against if group.is_against or words == edges else None


def _refuse_opposite(run: TaggedRun, fixed: Sequence[bool | None]) -> None:
    first = next((i for i, way in enumerate(fixed) if way is not None), None)
    for group, way in zip(run.groups, fixed, strict=True):
        if first is None or way is None or way == fixed[first]:
            continue
        other = run.groups[first]
        raise TagError(
            f'runs "{run.settings.name}": edges: {_said(other)} and {_said(group)} go '
            "round their pieces in opposite ways, and the cloth would change sides; "
            'name those of one of them in the other order, or write "mirrored" after '
            f'those of "{group.piece.name}" if the other one of a pair is meant'
        )


def _said(group: Group) -> str:
    copies = reversed(group.copies) if group.is_against else group.copies
    labels = [group.piece.edges[copy.number - 1].label for copy in copies]
    return f'"{group.piece.name} {", ".join(labels)}"'


def _join(ends: SeamEnds, run: TaggedRun, ways: Sequence[bool]) -> Joined:
    """Join the groups of a run, each taken along its outline or against it.

    Those taken otherwise than the first one are taken on their mirror images.
    """
    groups = run.groups
    begins, leaves = (
        [
            ends.at(group, at_end=way is is_begin, mirrored=way is not ways[0])
            for group, way in zip(groups, ways, strict=True)
        ]
        for is_begin in (True, False)
    )
    pairs = list(zip(leaves, begins[1:] + begins[:1], strict=True))
    if not run.settings.is_closed:
        pairs.pop()
    return Joined(tuple(ways), tuple(Junction(*pair) for pair in pairs))


def _join_freely(
    ends: SeamEnds, run: TaggedRun, fixed: Sequence[bool | None]
) -> Joined:
    """Join groups each of which may lie on its mirror image, so that seams fit best."""
    choices = [(False, True) if way is None else (way,) for way in fixed]
    tries = (_join(ends, run, ways) for ways in product(*choices))
    return min(tries, key=lambda one: one.misfit)


def junctions(
    size: TaggedSize, run: TaggedRun, memory: Memory | None = None
) -> tuple[Junction, ...]:
    """Find the junctions of a run; see `join_groups`."""
    return join_groups(size, run, memory or Memory()).junctions
