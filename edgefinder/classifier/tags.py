"""Apply a job file to the pieces: what happens to every edge, and the runs."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from edgefinder.classifier.edge_names import named_edges, named_piece, parse_edge_name
from edgefinder.classifier.job import Finish, Job, PieceSettings, RunSettings
from edgefinder.classifier.rings import Copy, edge_rings
from edgefinder.classifier.run_order import Group, group_uses
from edgefinder.classifier.sizes import SizePieces, numbering_mistakes, same_name
from edgefinder.errors import EdgefinderError, TagError, did_you_mean
from edgefinder.findings import Finding, warning
from edgefinder.pattern.pieces import Piece

STRAIGHT_FOLD_MM: Final = 0.5
"""A fold edge longer than its chord by more is a curve: half a metre of it would bow
out by a centimetre."""


@dataclass(frozen=True, slots=True, eq=False)
class TaggedPiece:
    """A piece, what happens to its edges and what is taken off them.

    Parameters
    ----------
    piece : Piece
    settings : PieceSettings
    finishes : tuple of Finish
        Of edge n at n - 1.
    allowances : tuple of float
        Millimetres, of edge n at n - 1.
    """

    piece: Piece
    settings: PieceSettings
    finishes: tuple[Finish, ...]
    allowances: tuple[float, ...]

    @property
    def cut(self) -> int:
        """How many are cut; one where nobody says."""
        return self.settings.cut or 1


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


def tag_sizes(job: Job, sizes: Sequence[SizePieces]) -> tuple[TaggedSize, ...]:
    """Tag the edges of every size.

    Parameters
    ----------
    job : Job
    sizes : sequence of SizePieces

    Returns
    -------
    tuple of TaggedSize

    Raises
    ------
    TagError
        With one line for every rule that cannot be followed.
    """
    mistakes = _piece_mistakes(job, sizes)
    tagged: list[TaggedSize] = []
    by_size: dict[str, list[str]] = {}
    for size in sizes:
        found, wrong = _tag_size(job, size)
        by_size[size.size] = wrong
        tagged.append(found)
    mistakes += _once(by_size)
    bound = {group.piece.name for s in tagged for run in s.runs for group in run.groups}
    for name in sorted(bound):
        mistakes += [f"{job.path}: {m}" for m in numbering_mistakes(sizes, name)]
    if mistakes:
        raise TagError(*dict.fromkeys(mistakes))
    return tuple(tagged)


def _piece_mistakes(job: Job, sizes: Sequence[SizePieces]) -> list[str]:
    names = list(dict.fromkeys(p.name for size in sizes for p in size.pieces))
    return [
        f'{job.path}: pieces "{settings.name}": the drawing has no such piece'
        f"{did_you_mean(settings.name, names)}"
        for settings in job.pieces
        if not any(same_name(settings.name, name) for name in names)
    ]


def _once(by_size: Mapping[str, Sequence[str]]) -> list[str]:
    """Say once what is wrong in several sizes, and in which if not in all."""
    sizes_of: dict[str, list[str]] = {}
    for size, mistakes in by_size.items():
        for mistake in dict.fromkeys(mistakes):
            sizes_of.setdefault(mistake, []).append(size)
    return [
        mistake
        if len(sizes) == len(by_size)
        else f"{mistake} (size {', '.join(sizes)})"
        for mistake, sizes in sizes_of.items()
    ]


def _tag_size(job: Job, size: SizePieces) -> tuple[TaggedSize, list[str]]:
    mistakes: list[str] = []
    uses: list[tuple[RunSettings, list[tuple[Piece, Copy]]]] = []
    for run in job.runs:
        found, wrong = _uses(run, size)
        mistakes += [f'{job.path}: runs "{run.name}": {m}' for m in wrong]
        uses.append((run, found))
    bound = Counter[tuple[str, int]]()
    for run, found in uses:
        for piece, copy in found:
            bound[piece.name, copy.number] += run.times
    tagged = []
    for piece in size.pieces:
        one, wrong = _tag_piece(job, piece, bound)
        mistakes += wrong
        tagged.append(one)
    runs = []
    for run, found in uses:
        groups, wrong = group_uses(run, found, tagged_finishes(tagged), _folds(tagged))
        mistakes += [f'{job.path}: runs "{run.name}": {m}' for m in wrong]
        runs.append(TaggedRun(run, groups))
    findings = tuple(f for one in tagged for f in _count_findings(one, bound))
    return TaggedSize(size.size, tuple(tagged), tuple(runs), findings), mistakes


def tagged_finishes(pieces: Sequence[TaggedPiece]) -> dict[str, tuple[Finish, ...]]:
    """Return the finishes of the edges of every piece, by the piece's name."""
    return {tagged.piece.name: tagged.finishes for tagged in pieces}


def _folds(pieces: Sequence[TaggedPiece]) -> dict[str, int | None]:
    return {tagged.piece.name: tagged.settings.fold_edge for tagged in pieces}


def _uses(
    run: RunSettings, size: SizePieces
) -> tuple[list[tuple[Piece, Copy]], list[str]]:
    found: list[tuple[Piece, Copy]] = []
    mistakes: list[str] = []
    for text in run.edges:
        try:
            name = parse_edge_name(text)
            piece = named_piece(name.piece, size.pieces)
            found += [(piece, copy) for copy in named_edges(name, piece)]
        except EdgefinderError as error:
            mistakes.append(f'edges: "{text}": {error}')
    return found, mistakes


def _tag_piece(
    job: Job, piece: Piece, bound: Counter[tuple[str, int]]
) -> tuple[TaggedPiece, list[str]]:
    default = PieceSettings(piece.name, None, None, (), ())
    said = next((s for s in job.pieces if same_name(s.name, piece.name)), default)
    said = _with_marks(said, piece)
    place = f'{job.path}: pieces "{said.name}": '
    mistakes: list[str] = []
    finishes = [Finish.SEAM] * len(piece.edges)
    claims = [
        (edge.number, Finish.BOUND)
        for edge in piece.edges
        if bound[piece.name, edge.number]
    ]
    fold = [] if said.fold_edge is None else [(said.fold_edge, Finish.FOLD)]
    taken: dict[int, Finish] = {}
    for number, finish in (*claims, *fold, *said.finishes):
        if not 1 <= number <= len(piece.edges):
            mistakes.append(f"{place}{_key_of(finish)}: {_no_edge(piece, number)}")
        elif number in taken:
            mistakes.append(
                f"{place}{_key_of(finish)}: edge {number} is {taken[number]} already"
            )
        else:
            taken[number] = finish
            finishes[number - 1] = finish
    mistakes += [f"{place}fold_edge: {m}" for m in _fold_mistakes(piece, said)]
    allowances = [
        _allowance(job, piece, number, finish)
        for number, finish in enumerate(finishes, start=1)
    ]
    for number, allowance in said.allowances:
        if not 1 <= number <= len(piece.edges):
            mistakes.append(f"{place}allowances: {_no_edge(piece, number)}")
        else:
            allowances[number - 1] = allowance
    return TaggedPiece(piece, said, tuple(finishes), tuple(allowances)), mistakes


def _with_marks(said: PieceSettings, piece: Piece) -> PieceSettings:
    """Take from the drawing's own marks what the job file does not say."""
    if piece.marks is None:
        return said
    return replace(
        said,
        cut=said.cut or piece.marks.cut,
        fold_edge=said.fold_edge or piece.marks.fold_edge,
    )


def _allowance(job: Job, piece: Piece, number: int, finish: Finish) -> float:
    """Return the allowance of an edge for which the job file names none."""
    if finish is Finish.FOLD:
        return 0.0
    if piece.marks is not None and piece.marks.allowances is not None:
        return piece.marks.allowances[number - 1]
    return job.seam_allowance if finish in {Finish.SEAM, Finish.FACING} else 0.0


def _fold_mistakes(piece: Piece, said: PieceSettings) -> list[str]:
    """Say why an edge cannot lie on the fold of the cloth."""
    if said.fold_edge is None or said.fold_edge > len(piece.edges):
        return []
    edge = piece.edges[said.fold_edge - 1]
    mistakes = []
    if edge.ring > 0:
        mistakes.append(f"edge {edge.number} is on a cut-out, not on the outline")
    if edge.length - abs(edge.end - edge.start) > STRAIGHT_FOLD_MM:
        mistakes.append(f"edge {edge.number} is not straight; a fold is")
    if any(number == edge.number and a > 0 for number, a in said.allowances):
        mistakes.append(f"edge {edge.number} has an allowance; a fold has none")
    return mistakes


def _key_of(finish: Finish) -> str:
    return "fold_edge" if finish is Finish.FOLD else str(finish)


def _no_edge(piece: Piece, number: int) -> str:
    return f"there is no edge {number}; it has edges 1 to {len(piece.edges)}"


def _count_findings(
    tagged: TaggedPiece, bound: Counter[tuple[str, int]]
) -> list[Finding]:
    """Compare how often an edge is bound with how often it is cut."""
    fold = tagged.settings.fold_edge
    copies = Counter[int]()
    for ring in edge_rings(tagged.piece, fold):
        for copy in ring:
            copies[copy.number] += 1
    findings = []
    for edge in tagged.piece.edges:
        uses = bound[tagged.piece.name, edge.number]
        per_cut = copies[edge.number] if fold is not None and edge.ring == 0 else 1
        cut = tagged.cut * per_cut
        if uses and uses != cut:
            message = (
                f"is cut {cut} times and bound {uses} times; see cut of the piece and "
                "times of the runs"
            )
            where = f'"{tagged.piece.name}" edge {edge.number}'
            findings.append(warning("bound-count", where, message))
    return findings
