"""Texts of the form "Key: value" on a piece or a style."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

STYLE_KEYS: Final = frozenset(
    {
        "style name",
        "creation date",
        "creation time",
        "author",
        "sample size",
        "grade rule table",
        "units",
    }
)

PIECE_KEYS: Final = frozenset(
    {
        "piece name",
        "quantity",
        "size",
        "material",
        "fabric",
        "category",
        "annotation",
        "rotation",
        "flip",
        "tilt",
        "fold",
    }
)

_COLONS: Final = ":\N{FULLWIDTH COLON}"
"""The second one is typed on Chinese keyboards."""

_PAIR: Final = re.compile(
    rf"\s*([^{_COLONS}]{{1,60}}?)\s*[{_COLONS}]\s*(.*?)\s*", re.DOTALL
)
_GRADE_POINT: Final = re.compile(r"\s*#\s*([0-9A-Za-z]{1,20})\s*", re.ASCII)
_WHOLE: Final = re.compile(r"[-+]?\d+(?:\.\d+)?", re.ASCII)
_MOST_PIECES: Final = 10_000


@dataclass(frozen=True, slots=True)
class Keys:
    """The keys of one piece or style; the first of two that are alike counts.

    Parameters
    ----------
    pairs : tuple of (str, str)
        As written, in drawing order.
    """

    pairs: tuple[tuple[str, str], ...]

    def get(self, *names: str) -> str | None:
        """Return the value of the first key that is there and says something."""
        for name in names:
            for key, value in self.pairs:
                if plain_key(key) == name and value:
                    return value
        return None

    def without(self, known: Iterable[str]) -> tuple[str, ...]:
        """Return the keys that are not among those known, each once, as written."""
        known = frozenset(known)
        unknown = [key for key, _ in self.pairs if plain_key(key) not in known]
        return tuple(dict.fromkeys(unknown))


def plain_key(key: str) -> str:
    """Return a key in which case, blanks and underscores do not count."""
    return " ".join(key.casefold().replace("_", " ").split())


def read_keys(texts: Iterable[str]) -> Keys:
    """Read the texts that hold a key; the space after the colon may be missing."""
    pairs = [pair for text in texts if (pair := key_and_value(text)) is not None]
    return Keys(tuple(pairs))


def key_and_value(text: str) -> tuple[str, str] | None:
    """Split a text at its first colon; None if it has none."""
    found = _PAIR.fullmatch(text)
    return (found[1], found[2]) if found and found[1] else None


def grade_point_rule(text: str) -> str | None:
    """Return the rule that a text ``# 7`` names, None if it is no such text."""
    found = _GRADE_POINT.fullmatch(text)
    return found[1] if found else None


def read_quantity(text: str | None) -> tuple[int, int] | None:
    """Read how many pieces are cut right and left.

    Parameters
    ----------
    text : str or None
        ``1,1`` is a mirrored pair, ``2`` two alike.

    Returns
    -------
    (int, int) or None
        None if nothing is said, or no count can be read.
    """
    if text is None:
        return None
    counts = [float(number) for number in _WHOLE.findall(text)]
    if not 1 <= len(counts) <= 2:
        return None
    right, left = (*counts, 0.0)[:2]
    for count in (right, left):
        if count != int(count) or not 0 <= count <= _MOST_PIECES:
            return None
    return (int(right), int(left)) if right or left else None
