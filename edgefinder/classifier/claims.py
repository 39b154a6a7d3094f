"""Settling what happens to each edge from all that a job file says of it."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from edgefinder.classifier.edges_meant import Found
from edgefinder.classifier.job import Finish
from edgefinder.findings import Finding, warning
from edgefinder.pattern.pieces import Edge, Piece


@dataclass(frozen=True, slots=True)
class Reason:
    """Why an edge has its finish.

    Parameters
    ----------
    said : str
        What says it, in words: ``runs "neck": "front 6"``.
    line : int or None
        Of the job file; None where the drawing says it, or nothing does.
    """

    said: str
    line: int | None

    @property
    def text(self) -> str:
        """What says it and where."""
        return self.said if self.line is None else f"line {self.line}, {self.said}"


@dataclass(frozen=True, slots=True)
class Claim:
    """One rule that gives a finish to one edge; a run may name an edge twice."""

    found: Found
    finish: Finish
    reason: Reason
    in_run: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Settled:
    """What happens to the edges of one piece.

    Parameters
    ----------
    finishes : tuple of Finish
        Of edge n at n - 1.
    reasons : tuple of tuple of Reason
        Likewise; empty where nothing is said of an edge: it is a seam.
    mistakes : tuple of str
        Rules that disagree.
    findings : tuple of Finding
        Rules that say the same twice.
    """

    finishes: tuple[Finish, ...]
    reasons: tuple[tuple[Reason, ...], ...]
    mistakes: tuple[str, ...]
    findings: tuple[Finding, ...]


def settle_claims(piece: Piece, claims: Sequence[Claim]) -> Settled:
    """Settle the finish of every edge; an edge of which nothing is said is a seam.

    Parameters
    ----------
    piece : Piece
    claims : sequence of Claim
        In the order of their weight: of two that disagree the first one holds, and
        both are told.
    """
    finishes = []
    reasons: list[tuple[Reason, ...]] = []
    mistakes: list[str] = []
    findings: list[Finding] = []
    by_edge: defaultdict[int, list[Claim]] = defaultdict(list)
    for claim in claims:
        by_edge[claim.found.number].append(claim)
    for edge in piece.edges:
        own = by_edge.get(edge.number)
        if own is None:
            finishes.append(Finish.SEAM)
            reasons.append(())
            continue
        finishes.append(own[0].finish)
        reasons.append(tuple(dict.fromkeys(claim.reason for claim in own)))
        disagreements = _disagreements(piece, edge, own)
        mistakes += disagreements
        if not disagreements:
            mistakes += _half_claimed(piece, edge, own)
            findings += _repeats(piece, edge, own)
    return Settled(tuple(finishes), tuple(reasons), tuple(mistakes), tuple(findings))


def _disagreements(piece: Piece, edge: Edge, claims: Sequence[Claim]) -> list[str]:
    first = claims[0]
    mistakes = {
        other.finish: f'edge {edge.label} of "{piece.name}" is {first.finish} by '
        f"{first.reason.text} and {other.finish} by {other.reason.text}; take one out"
        for other in reversed(claims)
        if other.finish is not first.finish
    }
    return list(mistakes.values())


def _half_claimed(piece: Piece, edge: Edge, claims: Sequence[Claim]) -> list[str]:
    """Say where only one of two edges that melted into one is tagged."""
    claimed = {number for claim in claims for number in claim.found.claimed}
    if claimed >= set(edge.known_as):
        return []
    numbers = " and ".join(map(str, edge.known_as))
    said = ", ".join(map(str, sorted(claimed)))
    message = (
        f'edges {numbers} of "{piece.name}" are one edge in size {piece.size}, where '
        f"no corner is between them, and only edge {said} is {claims[0].finish} by "
        f"{claims[0].reason.text}; tag them alike, or draw the corner"
    )
    return [message]


def _repeats(piece: Piece, edge: Edge, claims: Sequence[Claim]) -> list[Finding]:
    """Say where two lists of a piece say the same."""
    reasons = [claim.reason for claim in claims if not claim.in_run]
    if len(reasons) < 2:
        return []
    finish, first, second = claims[0].finish, reasons[0], reasons[1]
    message = f"is {finish} by {first.text} and by {second.text}"
    if first == second:
        message = f"is {finish} by {first.text}, which is written twice"
    return [warning("tagged-twice", f'"{piece.name}" edge {edge.label}', message)]
