"""Apply a job file to the pieces: what happens to every edge, and the runs."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from edgefinder.classifier.claims import Reason
from edgefinder.classifier.job import Finish, PieceSettings, RunSettings
from edgefinder.classifier.run_order import Group
from edgefinder.findings import Finding
from edgefinder.pattern.pieces import Piece


@dataclass(frozen=True, slots=True, eq=False)
class TaggedPiece:
    """A piece, what happens to its edges and what is taken off them.

    Parameters
    ----------
    piece : Piece
        Cut at the marks that the job file uses.
    settings : PieceSettings
    cut : int
        How many are cut for one garment.
    fold : int or None
        Number of the fold edge.
    finishes : tuple of Finish
        Of edge n at n - 1.
    allowances : tuple of float
        Millimetres, of edge n at n - 1.
    reasons : tuple of tuple of Reason
        Why edge n has its finish, at n - 1; empty where nothing is said of it.
    """

    piece: Piece
    settings: PieceSettings
    cut: int
    fold: int | None
    finishes: tuple[Finish, ...]
    allowances: tuple[float, ...]
    reasons: tuple[tuple[Reason, ...], ...]


@dataclass(frozen=True, slots=True, eq=False)
class TaggedRun:
    """A run in one size, its edges put together piece by piece."""

    settings: RunSettings
    groups: tuple[Group, ...]


@dataclass(frozen=True, slots=True, eq=False)
class TaggedSize:
    """Everything that a job file says about one size."""

    size: str
    pieces: tuple[TaggedPiece, ...]
    runs: tuple[TaggedRun, ...]
    findings: tuple[Finding, ...]


def tagged_finishes(pieces: Sequence[TaggedPiece]) -> Mapping[str, tuple[Finish, ...]]:
    """Return the finishes of the edges of every piece, by the piece's name."""
    return {tagged.piece.name: tagged.finishes for tagged in pieces}


def tagged_folds(pieces: Sequence[TaggedPiece]) -> Mapping[str, int | None]:
    """Return the number of the fold edge of every piece, by the piece's name."""
    return {tagged.piece.name: tagged.fold for tagged in pieces}
