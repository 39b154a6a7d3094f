"""Adding the other halves of edges to a run."""

from collections.abc import Iterator, Mapping, Sequence

from edgefinder.classifier.editing.job_places import named_tables, table_named
from edgefinder.classifier.editing.list_items import once
from edgefinder.classifier.editing.renamed_entries import with_word_list, words_of
from edgefinder.classifier.rings import Copy, edge_rings
from edgefinder.classifier.tags import TaggedPiece
from edgefinder.errors import SettingsError, TagError
from edgefinder.pattern.pieces import Edge
from edgefinder.schedule.draft import Draft


def with_other_halves(
    text: str, draft: Draft, size: str, run: str, pointed: Mapping[str, Sequence[int]]
) -> Iterator[str]:
    """Add edges to a run on the mirrored half of their piece, or on its mirrored pair.

    Parameters
    ----------
    text : str
    draft : Draft
        Of that text.
    size : str
        That is seen.
    run : str
    pointed : mapping of str to sequence of int
        Numbers of the edges by the name of their piece.

    Yields
    ------
    str
        The job file with them behind the others, and before them. The first one that
        can be followed is meant.

    Raises
    ------
    SettingsError, TagError
        If there is no such run or no such edge, or an edge has no other half.
    """
    table = table_named(named_tables(text, "runs"), run)
    if table is None:
        raise SettingsError(f'runs: there is no "{run}"')
    added = [
        f"{piece} {edge.label} mirrored"
        for piece, numbers in pointed.items()
        for edge in _halved(_tagged(draft, size, piece), numbers)
    ]
    there = words_of(text, table, "edges")
    for words in ([*there, *added], [*added[::-1], *there]):
        yield with_word_list(text, table, "edges", once(words))


def _tagged(draft: Draft, size: str, piece: str) -> TaggedPiece:
    sizes = () if draft.tagged is None else draft.tagged.sizes
    for one in sizes:
        for tagged in one.pieces:
            if one.size == size and tagged.piece.name == piece:
                return tagged
    raise TagError(f'there is no piece "{piece}"')


def _halved(tagged: TaggedPiece, numbers: Sequence[int]) -> Iterator[Edge]:
    """Yield edges; raises TagError if one has no other half."""
    edges = tagged.piece.edges
    rings = edge_rings(tagged.piece, tagged.fold)
    for number in numbers:
        if not 1 <= number <= len(edges):
            raise TagError(f'"{tagged.piece.name}" has no edge {number}')
        edge = edges[number - 1]
        where = f'edge {edge.label} of "{tagged.piece.name}" has no other half'
        if tagged.fold is None and tagged.cut == 1:
            raise TagError(
                f"{where}: the piece is cut once, and not on a fold; say first how "
                "often it is cut, or which edge lies on the fold"
            )
        if number == tagged.fold:
            raise TagError(f"{where}: it lies on the fold")
        if not any(Copy(number, mirrored=True) in ring for ring in rings):
            raise TagError(
                f"{where}: it meets the fold and goes on behind it, so it is bound "
                "whole already; take it without mirrored"
            )
        yield edge
