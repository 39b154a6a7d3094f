"""Sort the pieces of all drawings by size, and hold edge numbers to one meaning."""

import math
import re
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from edgefinder.errors import one_line
from edgefinder.findings import Finding, counted, note, warning
from edgefinder.pattern.pieces import Edge, Piece

ONE_SIZE: Final = "one size"

SAME_OUTLINE_MM: Final = 0.1
"""Two drawings of one piece agree if their perimeters differ by less: an export
with two decimals of a millimetre stays below it."""

SAME_TURNING: Final = math.radians(45.0)
"""An edge whose turning differs by more between two sizes is not the same edge:
grading changes lengths by tens of per cent but directions by a few degrees."""

MOST_KEPT: Final = 4096
"""Names of pieces that are kept as they are compared: each is looked for many times."""


@dataclass(frozen=True, slots=True, eq=False)
class SizePieces:
    """The pieces of one size; those drawn without a size belong to every size."""

    size: str
    pieces: tuple[Piece, ...]


def sort_by_size(
    drawings: Sequence[Sequence[Piece]],
) -> tuple[tuple[SizePieces, ...], tuple[Finding, ...]]:
    """Put pieces together that belong to one size.

    Parameters
    ----------
    drawings : sequence of sequence of Piece
        The pieces of each drawing. A piece that an earlier drawing has in the same
        size is compared with it and left out.

    Returns
    -------
    tuple of SizePieces
        In drawing order.
    tuple of Finding
        One for each drawing that repeats another.
    """
    first: dict[tuple[str, str | None], Piece] = {}
    findings: list[Finding] = []
    for pieces in drawings:
        again = [piece for piece in pieces if _key(piece) in first]
        findings += _compared(again, first)
        first.update({_key(p): p for p in pieces if _key(p) not in first})
    by_size: defaultdict[str | None, list[Piece]] = defaultdict(list)
    for piece in first.values():
        by_size[piece.size].append(piece)
    common = by_size.pop(None, [])
    if not by_size:
        return (SizePieces(ONE_SIZE, tuple(common)),), tuple(findings)
    sized = {_key(piece)[0] for pieces in by_size.values() for piece in pieces}
    findings += [
        warning(
            "size-missing",
            piece.where,
            f'"{piece.name}" is drawn here without a size and elsewhere in sizes; '
            "the one without is left out",
        )
        for piece in common
        if _key(piece)[0] in sized
    ]
    common = [piece for piece in common if _key(piece)[0] not in sized]
    sizes = tuple(
        SizePieces(str(size), (*pieces, *common)) for size, pieces in by_size.items()
    )
    return sizes, tuple(findings)


def numbering_mistakes(sizes: Sequence[SizePieces], name: str) -> list[str]:
    """Say where an edge number does not mean the same edge in every size.

    Parameters
    ----------
    sizes : sequence of SizePieces
    name : str
        Of the piece.

    Returns
    -------
    list of str
        Empty if the numbers agree.
    """
    found = [p for size in sizes for p in size.pieces if same_name(p.name, name)]
    mistakes = []
    for piece in found[1:]:
        model = found[0]
        if len(piece.edges) != len(model.edges):
            mistakes.append(
                f'"{model.name}" has {len(model.edges)} edges in size {model.size} and '
                f"{len(piece.edges)} in size {piece.size}: numbers cannot be carried "
                "over; draw the same corners in every size"
            )
            continue
        mistakes += [
            f'edge {a.number} of "{model.name}" turns by {_degrees(a)} in size '
            f"{model.size} and by {_degrees(b)} in size {piece.size}: it may not be "
            "the same edge; draw the sizes alike"
            for a, b in zip(model.edges, piece.edges, strict=True)
            if abs(a.turning - b.turning) > SAME_TURNING
        ][:1]
    return mistakes


def once_for_sizes(messages: Sequence[str], sizes: Iterable[str]) -> list[str]:
    """Put messages together that differ only by the size that they are about.

    Parameters
    ----------
    messages : sequence of str
    sizes : iterable of str
        The names of all sizes; they count where the word *size* stands before them.

    Returns
    -------
    list of str
        Each where the first of its kind stood, with a list of the sizes.
    """
    known = sorted(map(re.escape, sizes), key=len, reverse=True)
    if not known:
        return list(messages)
    said = re.compile(rf"\bsize ({'|'.join(known)})(?!\w)")
    alike: defaultdict[tuple[str, ...], list[list[str]]] = defaultdict(list)
    for message in messages:
        parts = said.split(message)
        alike[tuple(parts[::2])].append(parts[1::2])
    told = []
    for around, named in alike.items():
        text = around[0]
        for number, after in enumerate(around[1:]):
            own = list(dict.fromkeys(one[number] for one in named))
            text += f"size{'s' if len(own) > 1 else ''} {', '.join(own)}{after}"
        told.append(text)
    return told


@lru_cache(maxsize=MOST_KEPT)
def name_key(name: str) -> str:
    """Return what two names of pieces share that are one."""
    # A character that is not seen is a blank in the name that a drawing gives.
    return " ".join(one_line(name).casefold().split())


def same_name(one: str, other: str) -> bool:
    """Whether two names of pieces are one: case, spacing and what is unseen are not."""
    return name_key(one) == name_key(other)


def _degrees(edge: Edge) -> str:
    return f"{math.degrees(edge.turning):.0f} degrees"


def _key(piece: Piece) -> tuple[str, str | None]:
    return name_key(piece.name), piece.size


def _compared(
    again: Sequence[Piece], first: dict[tuple[str, str | None], Piece]
) -> list[Finding]:
    findings = []
    for piece in again:
        apart = abs(piece.perimeter - first[_key(piece)].perimeter)
        if apart > SAME_OUTLINE_MM:
            message = (
                f'"{piece.name}" size {piece.size} is {apart:.1f} mm longer or shorter '
                f"round than in {first[_key(piece)].where}, which is the one used"
            )
            findings.append(warning("drawings-differ", piece.where, message))
    if again and not findings:
        agree = "agrees" if len(again) == 1 else "agree"
        message = f"{counted(len(again), 'piece')} {agree} with the drawing before it"
        findings.append(note("drawings-agree", again[0].where, message))
    return findings
