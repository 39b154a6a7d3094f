"""Taking the allowances off edges, each once for all runs that are laid along it."""

from collections.abc import Hashable, Sequence

from edgefinder.classifier.tags import TaggedPiece
from edgefinder.memory import Memory
from edgefinder.pattern.finished import FinishedEdge, finish_edge
from edgefinder.pattern.pieces import edge_profiles

Wanted = tuple[TaggedPiece, int]
"""A piece and the number of an edge of it."""


def finished_edges(wanted: Sequence[Wanted], memory: Memory) -> list[FinishedEdge]:
    """Take the allowances off edges.

    Parameters
    ----------
    wanted : sequence of (TaggedPiece, int)
    memory : Memory

    Returns
    -------
    list of FinishedEdge

    Raises
    ------
    TagError
        If the allowances leave nothing of an edge.
    """

    def make(missing: list[int]) -> list[FinishedEdge]:
        some = [wanted[i] for i in missing]
        profiles = edge_profiles([one.piece.edges[n - 1] for one, n in some])
        return [
            finish_edge(
                tagged.piece,
                number,
                dict(enumerate(tagged.allowances, start=1)),
                tagged.fold,
                profile,
            )
            for (tagged, number), profile in zip(some, profiles, strict=True)
        ]

    return memory.recall_all([_key(*one) for one in wanted], make)


def _key(tagged: TaggedPiece, number: int) -> Hashable:
    return "finished", tagged.piece, number, tagged.allowances, tagged.fold
