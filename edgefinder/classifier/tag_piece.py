"""Tagging one piece in one size: fold, finishes, allowances."""

from collections.abc import Mapping, Sequence
from typing import Final

from edgefinder.classifier.claims import Claim, Reason, settle_claims
from edgefinder.classifier.edges_meant import MarkedPiece
from edgefinder.classifier.fields import Word
from edgefinder.classifier.job import Finish, Job, PieceSettings
from edgefinder.classifier.tags import TaggedPiece
from edgefinder.errors import EdgefinderError
from edgefinder.findings import Finding
from edgefinder.pattern.pieces import Piece

STRAIGHT_FOLD_MM: Final = 0.5
"""A fold edge longer than its chord by more is a curve: half a metre of it would bow
out by a centimetre."""


def fold_of(marked: MarkedPiece, said: PieceSettings) -> tuple[int | None, list[str]]:
    """Find the edge of a piece that lies on the fold of the cloth.

    Returns
    -------
    int or None
        Its number.
    list of str
        Why the one that is named cannot lie on the fold.
    """
    piece = marked.piece
    if said.fold_edge is None:
        return _drawn_fold(piece)
    try:
        found = marked.edges(said.fold_edge.text)
    except EdgefinderError as error:
        return None, [f"fold_edge: {message}" for message in error.messages]
    if len(found) != 1:
        return None, [f'fold_edge: "{said.fold_edge.text}" means {len(found)} edges']
    edge = piece.edges[found[0].number - 1]
    if edge.ring > 0:
        return None, [
            f"fold_edge: edge {edge.label} is on a cut-out, not on the outline"
        ]
    if edge.length - abs(edge.end - edge.start) > STRAIGHT_FOLD_MM:
        return None, [f"fold_edge: edge {edge.label} is not straight; a fold is"]
    return edge.number, []


def _drawn_fold(piece: Piece) -> tuple[int | None, list[str]]:
    drawn = piece.marks.fold_edge if piece.marks else None
    if drawn is not None and piece.edges[drawn - 1].part:
        return None, ["a mark cuts the drawn fold line in two; take it out"]
    return drawn, []


def tag_piece(
    job: Job,
    marked: MarkedPiece,
    said: PieceSettings,
    fold: int | None,
    bound: Sequence[Claim],
) -> tuple[TaggedPiece, list[str], list[Finding]]:
    """Settle what happens to the edges of one piece.

    Parameters
    ----------
    job : Job
    marked : MarkedPiece
    said : PieceSettings
    fold : int or None
    bound : sequence of Claim
        Of the runs.

    Returns
    -------
    TaggedPiece
    list of str
        Mistakes.
    list of Finding
    """
    piece = marked.piece
    mistakes = _lost(marked)
    claims = [*bound, *_fold_claims(job, marked, said, fold)]
    for rule in said.rules:
        key = str(rule.finish)
        reason = Reason(
            f'pieces "{said.name}": {key}: "{rule.word.text}"',
            job.line_of(rule.word.key),
        )
        try:
            found = marked.edges(rule.word.text)
        except EdgefinderError as error:
            mistakes += [f"{key}: {message}" for message in error.messages]
            continue
        if not found:
            mistakes.append(f'{key}: "{rule.word.text}" means no edge')
        claims += [Claim(one, rule.finish, reason) for one in found]
    settled = settle_claims(piece, claims)
    allowances, wrong = _allowances(job, marked, said, fold, settled.finishes)
    tagged = TaggedPiece(
        piece=piece,
        settings=said,
        cut=said.cut or (piece.marks.cut if piece.marks else None) or 1,
        fold=fold,
        finishes=settled.finishes,
        allowances=allowances,
        reasons=settled.reasons,
    )
    return tagged, [*mistakes, *settled.mistakes, *wrong], list(settled.findings)


def _lost(marked: MarkedPiece) -> list[str]:
    """Say which of a person's own names and marks mean nothing on this piece."""
    lost = [f"marks: {name}: {why}" for name, why in marked.lost_marks.items()]
    for name, word in marked.words.names.items():
        try:
            found = marked.meant(word)
        except EdgefinderError as error:
            lost += [f"edge_names: {name}: {message}" for message in error.messages]
            continue
        if not found:
            lost.append(f"edge_names: {name}: means no edge")
    return lost


def _fold_claims(
    job: Job, marked: MarkedPiece, said: PieceSettings, fold: int | None
) -> list[Claim]:
    if fold is None:
        return []
    if said.fold_edge is None:
        (found,) = marked.of_numbers([fold])
        return [Claim(found, Finish.FOLD, Reason("the drawing's fold line", None))]
    word = said.fold_edge
    reason = Reason(
        f'pieces "{said.name}": fold_edge = {word.text}', job.line_of(word.key)
    )
    return [Claim(found, Finish.FOLD, reason) for found in marked.edges(word.text)]


def _allowances(
    job: Job,
    marked: MarkedPiece,
    said: PieceSettings,
    fold: int | None,
    finishes: Sequence[Finish],
) -> tuple[tuple[float, ...], list[str]]:
    by_finish = dict(job.allowances)
    by_finish.setdefault(Finish.SEAM, job.seam_allowance)
    by_finish.setdefault(Finish.FACING, job.seam_allowance)
    found = [
        _usual_allowance(by_finish, marked.piece, said, number, finish)
        for number, finish in enumerate(finishes, start=1)
    ]
    mistakes: list[str] = []
    for word, allowance in said.allowances:
        mistakes += _allow(marked, word, allowance, fold, found)
    return tuple(found), mistakes


def _allow(
    marked: MarkedPiece,
    word: Word,
    allowance: float,
    fold: int | None,
    into: list[float],
) -> list[str]:
    """Put the allowance of a rule in the place of the usual one."""
    try:
        edges = marked.edges(word.text)
    except EdgefinderError as error:
        return [f"allowances: {message}" for message in error.messages]
    if not edges:
        return [f'allowances: "{word.text}" means no edge']
    for one in edges:
        if one.number == fold and allowance > 0:
            label = marked.piece.edges[one.number - 1].label
            return [f"fold_edge: edge {label} has an allowance; a fold has none"]
        into[one.number - 1] = allowance
    return []


def _usual_allowance(
    by_finish: Mapping[Finish, float],
    piece: Piece,
    said: PieceSettings,
    number: int,
    finish: Finish,
) -> float:
    """Return the allowance of an edge for which the job file names none."""
    if finish is Finish.FOLD:
        return 0.0
    if said.seam_allowance is not None and finish in {Finish.SEAM, Finish.FACING}:
        return said.seam_allowance
    if piece.marks is not None and piece.marks.allowances is not None:
        measured = piece.marks.allowances[number - 1]
        if measured is not None:
            return measured
    return by_finish.get(finish, 0.0)
