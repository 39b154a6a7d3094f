"""Pieces that the drawing calls otherwise than a job file, known by their shape."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from edgefinder.classifier.job import AsDrawn, Job, PieceSettings
from edgefinder.classifier.matching.edge_traits import piece_traits, traits_from_rows
from edgefinder.classifier.renamed import find_renamed
from edgefinder.classifier.sizes import SizePieces, same_name
from edgefinder.errors import as_typed
from edgefinder.findings import Finding, warning
from edgefinder.pattern.pieces import Piece

WORTH_NAMING: Final = 3.0
"""A piece whose outline differs by less may be the one that lost its name; see
`edgefinder.classifier.renamed`. Larger: pieces are named that are only a little like
it."""


@dataclass(frozen=True, slots=True, eq=False)
class KnownPieces:
    """Pieces with the names that a job file gives them.

    Parameters
    ----------
    sizes : tuple of SizePieces
    drawn_names : mapping of str to str
        What the drawing calls each piece that it calls otherwise.
    findings : tuple of Finding
        One for each piece that was known by its shape.
    mistakes : tuple of str
        One for each piece of the job file that may be one of several.
    """

    sizes: tuple[SizePieces, ...]
    drawn_names: Mapping[str, str]
    findings: tuple[Finding, ...]
    mistakes: tuple[str, ...]


def with_names_of_job(job: Job, sizes: Sequence[SizePieces]) -> KnownPieces:
    """Give to pieces that were renamed in the drawing the names of the job file.

    Parameters
    ----------
    job : Job
    sizes : sequence of SizePieces

    Returns
    -------
    KnownPieces
    """
    names = list(dict.fromkeys(p.name for size in sizes for p in size.pieces))
    free = [n for n in names if not any(same_name(n, said.name) for said in job.pieces)]
    new_names: dict[str, str] = {}
    findings: list[Finding] = []
    mistakes: list[str] = []
    for said in job.pieces:
        if said.as_drawn is None or any(same_name(said.name, name) for name in names):
            continue
        models = [_model(name, said.as_drawn, sizes) for name in free]
        found = find_renamed(
            traits_from_rows(said.as_drawn.rows)[0],
            [rings[0] for rings in piece_traits(models)],
        )
        if found.piece is not None and free[found.piece] not in new_names:
            new_names[free[found.piece]] = said.name
            findings.append(_renamed_finding(job, said, free[found.piece]))
        elif found.best is not None and found.costs[found.best] <= WORTH_NAMING:
            likely = (found.best, found.second)
            listed = " or ".join(f'"{free[i]}"' for i in likely if i is not None)
            mistakes.append(
                f'{job.path}: pieces "{said.name}": the drawing has no such piece; it '
                f"may be {listed} now: write its new name in the job file"
            )
    renamed = tuple(
        SizePieces(
            size.size,
            tuple(
                replace(p, name=new_names[p.name]) if p.name in new_names else p
                for p in size.pieces
            ),
        )
        for size in sizes
    )
    drawn_names = {new: drawn for drawn, new in new_names.items()}
    return KnownPieces(renamed, drawn_names, tuple(findings), tuple(mistakes))


def _model(name: str, drawn: AsDrawn, sizes: Sequence[SizePieces]) -> Piece:
    """Return a piece in the size in which the job file numbered it, or in the first."""
    pieces = [p for size in sizes for p in size.pieces if p.name == name]
    return next((p for p in pieces if p.size == drawn.size), pieces[0])


def _renamed_finding(job: Job, said: PieceSettings, drawn: str) -> Finding:
    message = (
        f'is called "{drawn}" in the drawing now; it was known by its shape; '
        f'"edgefinder tag {as_typed(job.path.name)} --refresh" writes the new name'
    )
    return warning("renamed", f'"{said.name}"', message)
