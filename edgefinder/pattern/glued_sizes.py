"""Sizes that are written into the names of pieces without a sign before them."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace

from edgefinder.pattern.pieces import Piece

_SEPARATORS = " _-.,:;()/"


def without_glued_sizes(
    drawings: Sequence[Sequence[Piece]], given: Iterable[str] = ()
) -> list[tuple[Piece, ...]]:
    """Take a size off the end of a name where the other sizes agree.

    ``yoke38``, ``yoke40`` and ``yoke42`` in the sizes 38, 40 and 42 are one piece,
    ``yoke``. One size alone says nothing: ``sleeves`` in size S is a word. Nor do two
    pieces that would then have one name in one size.

    Parameters
    ----------
    drawings : sequence of sequence of Piece
        The pieces of each drawing, with their sizes where these are known.
    given : iterable of str
        Names that a person has given; they stay.

    Returns
    -------
    list of tuple of Piece
    """
    kept = frozenset(map(_plain, given))
    taken: dict[tuple[str, str | None], str] = {}
    sizes: defaultdict[str, set[str | None]] = defaultdict(set)
    own: defaultdict[str, set[str | None]] = defaultdict(set)
    for piece in (piece for pieces in drawings for piece in pieces):
        own[_plain(piece.name)].add(piece.size)
        stem = _stem(piece)
        if stem is not None and _plain(piece.name) not in kept:
            taken[piece.name, piece.size] = stem
            sizes[_plain(stem)].add(piece.size)
    agreed = {
        stem
        for stem, found in sizes.items()
        if len(found) > 1 and not found & own[stem] and None not in own[stem]
    }
    return [
        tuple(
            replace(piece, name=stem)
            if (stem := taken.get((piece.name, piece.size))) is not None
            and _plain(stem) in agreed
            else piece
            for piece in pieces
        )
        for pieces in drawings
    ]


def _stem(piece: Piece) -> str | None:
    """Return a name without the size at its end; None where there is none."""
    size = piece.size
    if not size or not piece.name.casefold().endswith(size.casefold()):
        return None
    stem = piece.name[: len(piece.name) - len(size)]
    # A number is glued to letters only: the 40 of "yoke140" is none.
    if not stem or (size[0].isdigit() and stem[-1].isdigit()):
        return None
    return stem.rstrip(_SEPARATORS) or None


def _plain(name: str) -> str:
    return " ".join(name.casefold().split())
