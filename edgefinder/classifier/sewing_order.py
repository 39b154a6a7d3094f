"""The edges that the words of a run mean, in the order in which they are sewn."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from edgefinder.classifier.edges_meant import Found
from edgefinder.classifier.rings import Copy, edge_rings
from edgefinder.classifier.run_order import Use
from edgefinder.pattern.pieces import Piece


@dataclass(frozen=True, slots=True, eq=False)
class Meant:
    """What one word of a run means: edges of one piece in the order of its outline."""

    piece: Piece
    found: tuple[Found, ...]
    mirrored: bool

    @property
    def copies(self) -> list[Copy]:
        """The edges as they follow each other with the fabric on the left."""
        copies = [Copy(one.number, self.mirrored) for one in self.found]
        return copies[::-1] if self.mirrored else copies


def in_sewing_order(
    words: Sequence[Meant], folds: Mapping[str, int | None]
) -> list[Use]:
    """List the edges of a run.

    A word that means several edges is turned round where the words beside it say that
    the run goes the other way. An edge in which two edges of the job file have become
    one is taken once.

    Parameters
    ----------
    words : sequence of Meant
    folds : mapping of str to int or None
        Number of the fold edge by the name of the piece.
    """
    uses: list[Use] = []
    for i, word in enumerate(words):
        copies = word.copies
        after = words[i + 1] if i + 1 < len(words) else None
        if len(copies) > 1 and _is_against(uses, word, after, folds):
            copies.reverse()
        if i and uses and _is_same_edge(words[i - 1], word):
            copies = [copy for copy in copies if (word.piece, copy) != uses[-1]]
        uses += [(word.piece, copy) for copy in copies]
    return uses


def _is_against(
    before: Sequence[Use],
    word: Meant,
    after: Meant | None,
    folds: Mapping[str, int | None],
) -> bool:
    copies = word.copies
    rings = edge_rings(word.piece, folds[word.piece.name])
    ring = next((r for r in rings if set(copies) <= set(r)), None)
    if ring is None or len(copies) == len(ring):
        return False
    if before and before[-1][0] is word.piece and before[-1][1] in ring:
        last = before[-1][1]
        return _meet(ring, last, copies[-1]) and not _meet(ring, last, copies[0])
    if after is not None and after.piece is word.piece:
        first = after.copies[0]
        if first in ring:
            return _meet(ring, first, copies[0]) and not _meet(ring, first, copies[-1])
    return False


def _meet(ring: Sequence[Copy], one: Copy, other: Copy) -> bool:
    apart = (ring.index(one) - ring.index(other)) % len(ring)
    return apart in {1, len(ring) - 1}


def _is_same_edge(one: Meant, other: Meant) -> bool:
    """Whether two words mean one edge by different numbers."""
    return (
        one.piece is other.piece
        and one.mirrored == other.mirrored
        and len(one.found) == len(other.found) == 1
        and one.found[0].number == other.found[0].number
        and one.found[0].claimed != other.found[0].claimed
    )
