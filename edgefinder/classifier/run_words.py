"""Reading what a run calls an edge: a piece, its edges, and perhaps ``mirrored``."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from edgefinder.classifier.sizes import name_key
from edgefinder.errors import TagError, did_you_mean

_MIRRORED: Final = re.compile(r"(?P<rest>.+)\s+mirrored", re.IGNORECASE)
_FIRST_WORDS: Final = re.compile(
    r"(?P<piece>.+?)\s+(?:[0-9].*|all\b.*|marker\b.*|from\s.*|cut-?out\s.*|\w+\s*:.*)",
    re.IGNORECASE,
)
"""The piece in front of what can only be edges, to say which piece is not there."""


@dataclass(frozen=True, slots=True)
class RunWord:
    """A piece, what its edges are called, and on which of its copies they lie.

    Parameters
    ----------
    piece : str
        As the drawing calls it.
    edges : str
    mirrored : bool
    """

    piece: str
    edges: str
    mirrored: bool


def parse_run_word(text: str, pieces: Sequence[str]) -> RunWord:
    """Take apart what a run calls an edge.

    Parameters
    ----------
    text : str
    pieces : sequence of str
        Names of the pieces that there are; of two that fit the longer one is meant.

    Returns
    -------
    RunWord

    Raises
    ------
    TagError
        If it does not begin with the name of a piece, or names no edge after it.
    """
    said = _MIRRORED.fullmatch(text.strip())
    rest = (said["rest"] if said else text).split()
    known = {name_key(name): name for name in reversed(pieces)}
    for count in range(len(rest) - 1, 0, -1):
        name = known.get(name_key(" ".join(rest[:count])))
        if name is not None:
            return RunWord(name, " ".join(rest[count:]), said is not None)
    name = known.get(name_key(" ".join(rest)))
    if name is not None:
        raise TagError(
            f'"{text}" names a piece and no edge; write "{name} 2" or "{name} all"'
        )
    words = _FIRST_WORDS.fullmatch(" ".join(rest))
    piece = words["piece"] if words else " ".join(rest[:-1])
    if not piece:
        raise TagError(
            f'"{text}" names no edge; write a piece and a number, like "front 2", '
            f'"front 2 mirrored", "pocket all" or "front layer:Bound"'
        )
    raise TagError(f'there is no piece "{piece}"{did_you_mean(piece, pieces)}')
