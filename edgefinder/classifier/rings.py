"""The order in which the edges of a cut piece follow each other once unfolded."""

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from edgefinder.pattern.pieces import Piece

MOST_KEPT: Final = 4096
"""Pieces whose rings are kept: they are asked for several times each. Larger: pieces
of drawings that are done with stay in memory longer."""


@dataclass(frozen=True, slots=True)
class Copy:
    """One edge of a cut piece.

    Parameters
    ----------
    number : int
    mirrored : bool
        On the mirrored half of a piece on the fold, or on the mirrored one of a
        pair.
    """

    number: int
    mirrored: bool = False


@lru_cache(maxsize=MOST_KEPT)
def edge_rings(piece: Piece, fold: int | None) -> tuple[tuple[Copy, ...], ...]:
    """List the edges of every outline in the order of the outline.

    Parameters
    ----------
    piece : Piece
    fold : int or None
        Number of the fold edge.

    Returns
    -------
    tuple of tuple of Copy
        Cyclic, fabric on the left. The outline that holds the fold edge comes
        unfolded: an edge that meets the fold stands once. Every other outline
        comes twice, as drawn and mirrored (run the other way round).
    """
    rings: list[tuple[Copy, ...]] = []
    for ring in sorted({edge.ring for edge in piece.edges}):
        numbers = [edge.number for edge in piece.edges if edge.ring == ring]
        if fold in numbers:
            at = numbers.index(fold)
            half = numbers[at + 1 :] + numbers[:at]
            drawn = [Copy(n) for n in half]
            mirror = [Copy(n, mirrored=True) for n in half[-2:0:-1]]
            rings.append(tuple(drawn + mirror))
        else:
            rings.append(tuple(Copy(n) for n in numbers))
            rings.append(tuple(Copy(n, mirrored=True) for n in reversed(numbers)))
    return tuple(rings)
