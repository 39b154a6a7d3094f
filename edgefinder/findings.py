"""Unusual things met on the way, reported beside the result."""

from dataclasses import dataclass
from enum import StrEnum


class Severity(StrEnum):
    """How much a finding matters."""

    NOTE = "note"
    """Said for completeness: the result does not depend on it."""
    WARNING = "warning"
    """The result stands, but somebody should look."""


@dataclass(frozen=True, slots=True)
class Finding:
    """One unusual thing.

    Parameters
    ----------
    code : str
        Short and stable, for programs: ``"open-line"``.
    severity : Severity
    where : str
        File and line, or piece and edge.
    message : str
        One sentence for people.
    """

    code: str
    severity: Severity
    where: str
    message: str


def note(code: str, where: str, message: str) -> Finding:
    """Make a finding that needs no action."""
    return Finding(code, Severity.NOTE, where, message)


def warning(code: str, where: str, message: str) -> Finding:
    """Make a finding that somebody should look at."""
    return Finding(code, Severity.WARNING, where, message)
