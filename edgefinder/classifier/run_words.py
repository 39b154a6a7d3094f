"""Reading what a run calls an edge: a piece, its edges, and perhaps ``mirrored``."""

import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from typing import Final

from edgefinder.classifier.sizes import name_key
from edgefinder.errors import TagError, did_you_mean

MIRRORED: Final = " mirrored"
_MIRRORED: Final = re.compile(r"(?P<rest>.+) mirrored", re.IGNORECASE)
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

    @property
    def text(self) -> str:
        """The word as a run writes it."""
        return f"{self.piece} {self.edges}{MIRRORED if self.mirrored else ''}"


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
    said = split_run_word(text, pieces)
    known = {name_key(name): name for name in reversed(pieces)}
    if said.piece:
        return replace(said, piece=known[name_key(said.piece)])
    rest = said.edges
    name = known.get(name_key(rest))
    if name is not None:
        raise TagError(
            f'"{text}" names a piece and no edge; write "{name} 2" or "{name} all"'
        )
    words = _FIRST_WORDS.fullmatch(rest)
    piece = words["piece"] if words else " ".join(rest.split()[:-1])
    if not piece:
        raise TagError(
            f'"{text}" names no edge; write a piece and a number, like "front 2", '
            f'"front 2 mirrored", "pocket all" or "front layer:Bound"'
        )
    raise TagError(f'there is no piece "{piece}"{did_you_mean(piece, pieces)}')


def without_mirrored(text: str) -> tuple[str, bool]:
    """Return a word with single blanks, without ``mirrored``; and whether it had it."""
    plain = " ".join(text.split())
    said = _MIRRORED.fullmatch(plain)
    return (said["rest"], True) if said else (plain, False)


def split_run_word(word: str, pieces: Collection[str]) -> RunWord:
    """Part the name of the piece, as it is written, from what is said of its edges.

    Parameters
    ----------
    word : str
    pieces : collection of str
        Of two with which the word begins the longer one is meant.

    Returns
    -------
    RunWord
        With single blanks. The piece is empty if the word begins with none of the
        names.
    """
    rest, mirrored = without_mirrored(word)
    words = rest.split()
    names = {name_key(name) for name in pieces}
    for count in range(len(words) - 1, 0, -1):
        head = " ".join(words[:count])
        if name_key(head) in names:
            return RunWord(head, " ".join(words[count:]), mirrored)
    return RunWord("", rest, mirrored)
