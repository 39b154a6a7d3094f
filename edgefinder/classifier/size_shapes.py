"""The outlines of the pieces of every size, and how each fits the next size."""

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from edgefinder.classifier.matching.alignment import align_many
from edgefinder.classifier.matching.edge_traits import RingTraits, piece_traits
from edgefinder.classifier.matching.piece_matching import PieceMatch, match_pieces
from edgefinder.pattern.pieces import Piece


class SizeShapes:
    """The outlines of all pieces, and how each fits the next size.

    They are looked at together, which takes a fraction of the time.

    Parameters
    ----------
    pieces : sequence of Piece
        Of all sizes, in their order.
    numbered_in : mapping of str to str
        By the name of a piece, the size in which its edges were numbered, where that
        is not the first one.
    """

    def __init__(self, pieces: Sequence[Piece], numbered_in: Mapping[str, str]) -> None:
        each = list({id(piece): piece for piece in pieces}.values())
        self._traits = dict(zip(map(id, each), piece_traits(each), strict=True))
        self._by_name: dict[str, list[Piece]] = {}
        for piece in each:
            self._by_name.setdefault(piece.name, []).append(piece)
        self._numbered_in = numbered_in
        pairs = [pair for name in self._by_name for pair in self._neighbours(name)]
        outers = [(self.of(a)[0], self.of(b)[0]) for a, b in pairs]
        self._outer = {
            (id(a), id(b)): found
            for (a, b), found in zip(pairs, align_many(outers), strict=True)
        }

    def of(self, piece: Piece) -> tuple[RingTraits, ...]:
        """Return the traits of a piece, outer outline first."""
        return self._traits[id(piece)]

    def outwards(self, name: str) -> tuple[Piece, list[Piece], list[Piece]]:
        """Return the size in which the edges were numbered, and the others.

        Those after it in order, and those before it, the nearest first.
        """
        pieces = self._by_name[name]
        sizes = [piece.size for piece in pieces]
        size = self._numbered_in.get(name)
        at = sizes.index(size) if size in sizes else 0
        return pieces[at], pieces[at + 1 :], pieces[:at][::-1]

    def match(self, known: Piece, piece: Piece) -> PieceMatch:
        """Match a piece with a size of it that is known."""
        outer = self._outer.get((id(known), id(piece)))
        return match_pieces(self.of(known), self.of(piece), outer)

    def _neighbours(self, name: str) -> Iterator[tuple[Piece, Piece]]:
        model, after, before = self.outwards(name)
        yield from pairwise([model, *after])
        yield from pairwise([model, *before])
