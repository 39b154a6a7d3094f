"""The tables of ``docs/job-file.md``, written from what the readers declare.

Below a comment ``<!-- keys: fabric -->`` stands the table of the keys of ``[fabric]``;
``top`` is the top of the file. ``python tests/doc_examples.py`` writes them anew.
"""

import re
from collections.abc import Mapping, Sequence
from enum import StrEnum
from types import MappingProxyType
from typing import Final

from edgefinder.classifier.cloth_settings import CLOTH_KEYS
from edgefinder.classifier.fabric_settings import FABRIC_KEYS
from edgefinder.classifier.job_settings import TOP_KEYS
from edgefinder.classifier.keys import Key, Kind
from edgefinder.classifier.piece_settings import PIECE_KEYS
from edgefinder.classifier.run_settings import RUN_KEYS
from edgefinder.classifier.tape_settings import TAPE_KEYS
from edgefinder.units import Unit, format_length

TABLES: Final[Mapping[str, Sequence[Key]]] = MappingProxyType(
    {
        "top": TOP_KEYS,
        "fabric": FABRIC_KEYS,
        "tapes": TAPE_KEYS,
        "cloths": CLOTH_KEYS,
        "pieces": PIECE_KEYS,
        "runs": RUN_KEYS,
    }
)

HEAD: Final = ("| key | kind | default | meaning |", "| --- | --- | --- | --- |")

EXPLAINED: Final = MappingProxyType(
    {
        Kind.EDGE: "[edge](#how-edges-are-named)",
        Kind.EDGES: "list of [edges](#how-edges-are-named)",
        Kind.SELECTORS: "list of [selectors](#choosing-lines)",
    }
)
"""Kinds that have a part of their own on the page."""

SIXTEENTH: Final = 16
_COMMENT: Final = re.compile(r"<!-- keys: (\w+) -->")


def written(key: Key) -> str:
    """Return the default of a key as one would write it in a job file."""
    value = key.default
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return f'"{value}"'
    if key.kind is not Kind.LENGTH:
        return f"{value:g}"
    if key.unit == Unit.INCH:
        return f'"{format_length(value, Unit.INCH, denominator=SIXTEENTH)}"'
    return f'"{value:g} mm"'


def row(key: Key) -> str:
    """Return a key as a row of its table."""
    kind = EXPLAINED.get(key.kind, str(key.kind))
    if key.kind is Kind.NUMBER:
        kind += f", {key.unit}"
    default = key.otherwise or "none"
    if key.required:
        default = "required"
    elif key.default is not None:
        default = f"`{written(key)}`"
    meaning = key.meaning
    if isinstance(key.default, StrEnum):
        meaning += f": {_choices(key, type(key.default))}"
    if key.kind is Kind.NUMBER:
        meaning += f", up to {key.most:g}"
    return f"| `{key.name}` | {kind} | {default} | {meaning} |"


def _choices(key: Key, kind: type[StrEnum]) -> str:
    notes = dict(key.notes)
    shown = [
        f'`"{value}"`' + (f" ({notes[value]})" if value in notes else "")
        for value in kind
    ]
    return f"{', '.join(shown[:-1])} or {shown[-1]}"


def with_tables(text: str) -> str:
    """Return a page with its tables of keys as they are declared now."""
    lines: list[str] = []
    is_old = False
    for line in text.splitlines():
        is_old = is_old and line.startswith("|")
        if is_old:
            continue
        lines.append(line)
        said = _COMMENT.fullmatch(line)
        if said:
            lines += [*HEAD, *map(row, TABLES[said[1]])]
            is_old = True
    return "\n".join([*lines, ""])
