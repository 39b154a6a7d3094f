"""Unusual things met on the way, reported beside the result."""

import re
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final

MOST_PLACES: Final = 6
"""Places of like findings that are named one by one."""

_IN_FILE: Final = re.compile(
    r"(?P<file>.*?)(?P<then>: |, )(?P<place>line (?P<line>\d+)|.+)", re.DOTALL
)
"""Where a finding is: a file and a place in it."""


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


def grouped(findings: Sequence[Finding]) -> tuple[Finding, ...]:
    """Put findings that say the same of several places of one file into one.

    Parameters
    ----------
    findings : sequence of Finding

    Returns
    -------
    tuple of Finding
        Each where the first of its like was, ``where`` as in ``"a.svg: lines 5, 8 and
        9"``.
    """
    alike: defaultdict[tuple[object, ...], list[Finding]] = defaultdict(list)
    for number, one in enumerate(findings):
        at = _IN_FILE.fullmatch(one.where)
        own = number if at is None else (at["file"], at["then"], at["line"] is None)
        alike[one.code, one.severity, one.message, own].append(one)
    return tuple(
        same[0] if len(same) == 1 else replace(same[0], where=_places(same))
        for same in alike.values()
    )


def _places(alike: Sequence[Finding]) -> str:
    """Write where like findings of one file are; the same place once."""
    places = [_IN_FILE.fullmatch(w) for w in dict.fromkeys(f.where for f in alike)]
    found = [place for place in places if place is not None]
    told = [place["line"] or place["place"] for place in found[:MOST_PLACES]]
    more = len(found) - len(told)
    if more:
        listed = f"{', '.join(told)} and {more} more"
    elif len(told) > 1:
        listed = f"{', '.join(told[:-1])} and {told[-1]}"
    else:
        return alike[0].where
    lines = "lines " if found[0]["line"] else ""
    return f"{found[0]['file']}{found[0]['then']}{lines}{listed}"


def counted(count: int, one: str, several: str = "") -> str:
    """Write how many there are: ``1 gap``, ``2 gaps``.

    Parameters
    ----------
    count : int
    one : str
        What each of them is called.
    several : str
        What they are called together; without it ``one`` and an s.
    """
    return f"{count} {one if count == 1 else several or f'{one}s'}"


def times(count: int) -> str:
    """Write how often: ``once``, ``2 times``."""
    return "once" if count == 1 else f"{count} times"
