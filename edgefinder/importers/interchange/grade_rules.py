"""Grade rules: a text file beside the DXF that says how points move in each size.

SIZE LIST: S M L
SAMPLE SIZE: M
RULE: DELTA 1
-6.0,2.5 0.0,0.0 6.0,-2.5
"""

import re
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np

from edgefinder.errors import DrawingError, one_line
from edgefinder.files import read_bytes
from edgefinder.findings import Finding, warning
from edgefinder.geometry.segments import Complexes
from edgefinder.importers.dxf.encoding import encoding_of
from edgefinder.importers.interchange.keys import plain_key

LARGEST_FILE_BYTES: Final = 4 * 2**20
"""A rule and a size take ten bytes; ten thousand rules in forty sizes fit."""

LARGEST_MOVE: Final = 1e5
"""In drawing units; a point moves by some millimetres from size to size."""

_NUMBER: Final = re.compile(r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?", re.ASCII)
_RULE: Final = re.compile(r"\s*RULE\s*:?\s*DELTA\s*:?\s*#?\s*(\w+)(.*)", re.IGNORECASE)
_KEY: Final = re.compile(r"\s*([A-Za-z][A-Za-z0-9 _/]*?)\s*:\s*(.*?)\s*$")
_NO_PAIRS: Final = re.compile(r"[A-DF-Za-df-z]")


@dataclass(frozen=True, slots=True, eq=False)
class GradeRules:
    """How points move in each size.

    Parameters
    ----------
    name : str
        File name, for messages.
    table : str or None
        Name of the table.
    units : str or None
        Value of the key Units.
    sizes : tuple of str
        In the order of the file.
    sample_size : str
    moves : mapping of str to ndarray of complex128, shape (number of sizes,)
        For each rule the move from the sample size, in drawing units: 0 at the sample.
    findings : tuple of Finding
    """

    name: str
    table: str | None
    units: str | None
    sizes: tuple[str, ...]
    sample_size: str
    moves: dict[str, Complexes]
    findings: tuple[Finding, ...]


def find_grade_rules(drawing: Path) -> Path | None:
    """Return the file of grade rules beside a drawing, None if there is none."""
    try:
        beside = sorted(drawing.parent.iterdir())
    except OSError:
        return None
    for path in beside:
        if path.stem == drawing.stem and path.suffix.lower() == ".rul":
            return path
    return None


def read_grade_rules(source: Path | bytes, *, name: str = "grade rules") -> GradeRules:
    """Read a file of grade rules.

    Parameters
    ----------
    source : Path or bytes
        The file, or what stands in it.
    name : str
        For messages, where bytes are given.

    Returns
    -------
    GradeRules

    Raises
    ------
    DrawingError
        If sizes are missing, or a rule has not one pair of numbers for each size.

    Notes
    -----
    The moves of a rule are read as moves from the sample size. Where the sample has a
    move of its own it is taken off all of them.
    """
    if isinstance(source, Path):
        name = source.name
        source = read_bytes(source, limit=LARGEST_FILE_BYTES)
    encoding, _ = encoding_of(source, binary=False)
    text = source.decode(encoding, "replace").replace("\0", "")
    keys, rules = _parts(text.splitlines())
    sizes = _sizes(keys.get("size list"), name)
    sample = keys.get("sample size", "")
    by_name = {plain_key(size): i for i, size in enumerate(sizes)}
    base = by_name.get(plain_key(sample))
    if base is None:
        raise DrawingError(
            f'{name}: the sample size "{one_line(sample)}" is not in its size list; '
            "export the grade rules again"
        )
    moves = {
        rule: _moves(name, rule, numbers, len(sizes), base)
        for rule, numbers in rules.items()
    }
    return GradeRules(
        name=name,
        table=keys.get("grade rule table"),
        units=keys.get("units"),
        sizes=sizes,
        sample_size=sizes[base],
        moves=moves,
        findings=_look_like_steps(name, moves, base),
    )


def _parts(lines: list[str]) -> tuple[dict[str, str], dict[str, str]]:
    """Return the keys, and for each rule the text of its numbers."""
    keys: dict[str, str] = {}
    rules: dict[str, str] = {}
    current: str | None = None
    for line in lines:
        rule = _RULE.match(line)
        if rule:
            current = rule[1]
            rules[current] = rule[2]
            continue
        if line.strip().upper() == "END":
            break
        key = _KEY.match(line)
        if key:
            current = None
            keys.setdefault(plain_key(key[1]), key[2])
        elif current is not None and not _NO_PAIRS.search(line):
            rules[current] += " " + line
    return keys, rules


def _sizes(text: str | None, name: str) -> tuple[str, ...]:
    sizes = tuple(re.split(r"[\s,;]+", text.strip())) if text and text.strip() else ()
    if not sizes or len({plain_key(size) for size in sizes}) < len(sizes):
        raise DrawingError(
            f"{name}: has no SIZE LIST, or one that names a size twice; export the "
            "grade rules again"
        )
    return sizes


def _moves(name: str, rule: str, text: str, count: int, base: int) -> Complexes:
    numbers = np.array([float(number) for number in _NUMBER.findall(text)])
    if len(numbers) != 2 * count:
        raise DrawingError(
            f"{name}: rule {rule} has {len(numbers)} numbers where {count} sizes need "
            f"{2 * count}; export the grade rules again"
        )
    if not (np.abs(numbers) <= LARGEST_MOVE).all():
        raise DrawingError(f"{name}: rule {rule} moves a point beyond all measure")
    moves = numbers[0::2] + 1j * numbers[1::2]
    relative: Complexes = moves - moves[base]
    return relative


def _look_like_steps(
    name: str, moves: dict[str, Complexes], base: int
) -> tuple[Finding, ...]:
    """Say so if no move grows with the distance from the sample size."""
    several = [np.abs(move) for move in moves.values() if np.abs(move).max() > 0]
    sides = [side for m in several for side in (m[base + 1 :], m[:base][::-1])]
    sides = [side for side in sides if len(side) > 1 and side.max() > 0]
    if not sides or any((np.diff(side) > 0.01 * side.max()).any() for side in sides):
        return ()
    message = (
        "its moves do not grow from size to size: they were read as moves from the "
        "sample size, and may be meant as steps to the next one; check a graded piece"
    )
    return (warning("grade-steps", name, message),)
