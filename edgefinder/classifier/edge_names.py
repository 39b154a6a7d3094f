"""Reading what a job file calls an edge: ``front 2``, ``back 3 mirrored``."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from edgefinder.classifier.rings import Copy
from edgefinder.classifier.sizes import same_name
from edgefinder.errors import TagError, did_you_mean
from edgefinder.pattern.pieces import Piece
from edgefinder.pattern.selectors import Mark, parse_selector

_EDGE_NAME: Final = re.compile(
    r"(?P<piece>.+?)\s+"
    r"(?P<what>[0-9]{1,6}|all|(?:layer|colou?r|id|class|label)\s*:.+?)"
    r"(?P<mirrored>\s+mirrored)?",
    re.IGNORECASE,
)
_OTHER_MARK: Final = re.compile(r"\s(?P<mark>\w+)\s*:")


@dataclass(frozen=True, slots=True)
class EdgeName:
    """A piece and which of its edges: a number, ``all``, or a selector."""

    piece: str
    what: str
    mirrored: bool


def parse_edge_name(text: str) -> EdgeName:
    """Take the name of an edge apart.

    Raises
    ------
    TagError
        If it is not a piece followed by a number, ``all`` or a selector.
    """
    said = _EDGE_NAME.fullmatch(text.strip())
    if said is None:
        other = _OTHER_MARK.search(text)
        near = did_you_mean(other["mark"], Mark) if other else ""
        raise TagError(
            f'"{text}" names no edge; write a piece and a number, like "front 2", '
            f'"front 2 mirrored", "pocket all" or "front layer:Bound"{near}'
        )
    return EdgeName(said["piece"], said["what"], said["mirrored"] is not None)


def named_piece(name: str, pieces: Sequence[Piece]) -> Piece:
    """Find a piece by its name.

    Raises
    ------
    TagError
        If there is none, with the nearest names.
    """
    for piece in pieces:
        if same_name(piece.name, name):
            return piece
    raise TagError(f'there is no piece "{name}"{did_you_mean(name, _names(pieces))}')


def named_edges(name: EdgeName, piece: Piece) -> tuple[Copy, ...]:
    """Find the edges that a name means, in the order of their numbers.

    Raises
    ------
    TagError
        If there is no such edge, or one is drawn only partly as the selector says.
    """
    count = len(piece.edges)
    if name.what.isdecimal():
        number = int(name.what)
        if not 1 <= number <= count:
            known = "edge 1" if count == 1 else f"edges 1 to {count}"
            raise TagError(f'"{piece.name}" has no edge {number}; it has {known}')
        return (Copy(number, name.mirrored),)
    if name.what.casefold() == "all":
        return tuple(Copy(edge.number, name.mirrored) for edge in piece.edges)
    selector = parse_selector(name.what)
    chosen = []
    for edge in piece.edges:
        matches = [selector.matches(line) for line in edge.sources]
        if any(matches) and not all(matches):
            raise TagError(
                f'edge {edge.number} of "{piece.name}" is only partly drawn as '
                f'"{selector.text}"; break it with a corner or name it by number'
            )
        if all(matches):
            chosen.append(Copy(edge.number, name.mirrored))
    if not chosen:
        raise TagError(f'no edge of "{piece.name}" is drawn as "{selector.text}"')
    return tuple(chosen)


def _names(pieces: Sequence[Piece]) -> list[str]:
    return list(dict.fromkeys(piece.name for piece in pieces))
