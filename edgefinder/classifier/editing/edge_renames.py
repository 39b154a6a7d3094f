"""What an edge word becomes when the edges of a piece get other numbers."""

import re
from collections.abc import Mapping, Sequence
from typing import Final

from edgefinder.classifier.sizes import name_key
from edgefinder.errors import SettingsError

_PART: Final = re.compile(r"(?P<number>[1-9][0-9]{0,5})(?P<part>[a-z]{1,3})")
_PLACE: Final = re.compile(r"(?P<number>[1-9][0-9]{0,5})(?P<part>[a-z]{0,3})")
_NUMBER: Final = re.compile(r"[1-9][0-9]{0,5}")
_EXCEPT: Final = re.compile(r"(?P<all>all except )(?P<words>.+)", re.IGNORECASE)
_BETWEEN: Final = re.compile(
    r"(?P<from>from )(?P<first>.+)(?P<to> to )(?P<last>.+)", re.IGNORECASE
)
_CORNER: Final = re.compile(r"(?P<corner>corner )(?P<number>.+)", re.IGNORECASE)
_ALONG: Final = re.compile(r"(?P<edge>.+?)(?P<place> at .+)", re.IGNORECASE)


class EdgeRenames:
    """New words in place of old ones, for the edges of one piece.

    Parameters
    ----------
    new_words : mapping of str to sequence of str
        By old word: ``{"3": ("4", "5"), "7": ()}`` says that edge 3 became edges 4
        and 5, in the order in which they run, and that edge 7 is gone. All are taken
        at once: 3 may become 4 while 4 becomes 5.
    """

    def __init__(self, new_words: Mapping[str, Sequence[str]]) -> None:
        self._new = {
            name_key(old): tuple(" ".join(word.split()) for word in new)
            for old, new in new_words.items()
        }

    def words(self, word: str) -> tuple[str, ...]:
        """Return what stands in place of an edge word, the word itself if nothing does.

        Raises
        ------
        SettingsError
            If a place on an edge is named that became several edges or is gone.
        """
        text = " ".join(word.split())
        if name_key(text) in self._new:
            return self._new[name_key(text)]
        part = _PART.fullmatch(name_key(text))
        if part is not None and part["number"] in self._new:
            return (self._one(part["number"], text) + part["part"],)
        but = _EXCEPT.fullmatch(text)
        if but is not None:
            olds = [" ".join(old.split()) for old in but["words"].split(",")]
            left = [new for old in olds for new in self.words(old)]
            if left == olds:
                return (word,)
            return (f"{but['all']}{', '.join(dict.fromkeys(left))}" if left else "all",)
        between = _BETWEEN.fullmatch(text)
        if between is not None:
            first, last = self.mark(between["first"]), self.mark(between["last"])
            if (first, last) != (between["first"], between["last"]):
                return (f"{between['from']}{first}{between['to']}{last}",)
        return (word,)

    def mark(self, mark: str) -> str:
        """Return what stands in place of a word for a mark, itself if nothing does.

        Raises
        ------
        SettingsError
            As for `words`.
        """
        text = " ".join(mark.split())
        corner = _CORNER.fullmatch(text)
        if corner is not None and corner["number"] in self._new:
            new = self._new[corner["number"]]
            # A corner is the start of an edge, and that is the start of its first part.
            if not new or not _NUMBER.fullmatch(new[0]):
                raise self._not_told(corner["number"], text)
            return f"{corner['corner']}{new[0]}"
        along = _ALONG.fullmatch(text)
        if along is not None:
            old = name_key(along["edge"])
            part = _PART.fullmatch(old)
            if old in self._new:
                return f"{self._one(old, text)}{along['place']}"
            if part is not None and part["number"] in self._new:
                new_edge = self._one(part["number"], text)
                return f"{new_edge}{part['part']}{along['place']}"
        return mark

    def at_most_one(self, word: str) -> tuple[str, ...]:
        """Return what stands in place of a word where only one can stand.

        Raises
        ------
        SettingsError
            As for `words`, and if there are several.
        """
        new = self.words(word)
        if len(new) > 1:
            raise SettingsError(f"{self._became(name_key(word))}; name one of them")
        return new

    def _one(self, old: str, text: str) -> str:
        new = self._new[old]
        if len(new) != 1:
            raise self._not_told(old, text)
        return new[0]

    def _not_told(self, old: str, text: str) -> SettingsError:
        return SettingsError(f'"{text}": {self._became(old)}; write it anew')

    def _became(self, old: str) -> str:
        new = self._new[old]
        return (
            f"edge {old} became {' and '.join(new)}" if new else f"edge {old} is gone"
        )


def walked_backwards(edge: str, before: str | None, after: str | None) -> bool | None:
    """Say whether a run goes over an edge from its end to its start.

    Parameters
    ----------
    edge : str
        Its number, perhaps with the letter of a part.
    before, after : str or None
        The edges beside it in the run, of the same piece and the same half.

    Returns
    -------
    bool or None
        None where neighbours do not tell it.
    """
    forwards = _follows(before, edge) or _follows(edge, after)
    backwards = _follows(edge, before) or _follows(after, edge)
    return backwards if forwards != backwards else None


def _follows(one: str | None, other: str | None) -> bool:
    """Whether the second edge begins where the first one ends, as far as words tell."""
    first, second = (_PLACE.fullmatch(name_key(word or "")) for word in (one, other))
    if first is None or second is None:
        return False
    numbers = int(first["number"]), int(second["number"])
    if numbers[0] == numbers[1]:
        parts = [(len(part), part) for part in (first["part"], second["part"])]
        return parts[0] < parts[1]
    return numbers[0] + 1 == numbers[1]
