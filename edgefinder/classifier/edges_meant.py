"""Finding the edges of a piece by what a job file calls them."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import chain

from edgefinder.classifier.edge_words import (
    AllEdges,
    BesideText,
    ByName,
    ByNumber,
    DrawnAs,
    EdgeWord,
    OfCutout,
    parse_edge_word,
)
from edgefinder.classifier.job import PieceSettings
from edgefinder.classifier.mark_words import MarkWord, parse_mark_word
from edgefinder.classifier.marker_stretches import Stretch
from edgefinder.errors import TagError
from edgefinder.pattern.pieces import Piece
from edgefinder.pattern.selectors import Selector
from edgefinder.pattern.splitting import Split

Label = tuple[tuple[int, ...], str]
"""The numbers and the part by which an edge is known in every size."""


@dataclass(frozen=True, slots=True)
class Found:
    """An edge that a word means.

    Parameters
    ----------
    number : int
    claimed : tuple of int
        The numbers of the job file that were meant: fewer than the edge has where a
        corner between two edges is gone in this size.
    """

    number: int
    claimed: tuple[int, ...]


@dataclass(frozen=True, slots=True, eq=False)
class MarkedPiece:
    """A piece in one size.

    Parameters
    ----------
    split : Split
        The piece, cut at marks.
    words : Words
    stretches : mapping of EdgeWord to tuple of Stretch
        On the piece as it was before it was cut.
    beside : mapping of BesideText to frozenset of Label
        The edges that texts name, in this size or in the first one with such a text.
    failures : mapping of EdgeWord to str
        What cannot be found, and why.
    lost_marks : mapping of str to str
        Likewise a person's own marks, by their names.
    """

    split: Split
    words: "Words"
    stretches: Mapping[EdgeWord, tuple[Stretch, ...]]
    beside: Mapping[EdgeWord, frozenset[Label]]
    failures: Mapping[EdgeWord, str]
    lost_marks: Mapping[str, str]

    @property
    def piece(self) -> Piece:
        """The piece, cut at marks."""
        return self.split.piece

    def edges(self, text: str) -> tuple[Found, ...]:
        """Find the edges that a job file means, in the order of the outline.

        Raises
        ------
        EdgefinderError
            If there is no such edge.
        """
        return self.meant(self.words.read(text))

    def own_name(self, number: int) -> str:
        """Return the name that a person gave to just this edge; empty without one."""
        called = self.piece.edges[number - 1].name
        word = self.words.names.get(called)
        if word is None or [one.number for one in self.meant(word)] != [number]:
            return ""
        return called

    def meant(self, word: EdgeWord) -> tuple[Found, ...]:
        """Find the edges that a word means; see `edges`."""
        if word in self.failures:
            raise TagError(self.failures[word])
        edges = self.piece.edges
        match word:
            case ByNumber():
                found = self._numbered(word)
            case ByName(name):
                found = self.meant(self.words.names[name])
            case AllEdges(but):
                out = {one.number for inner in but for one in self.meant(inner)}
                found = self.of_numbers(e.number for e in edges if e.number not in out)
            case OfCutout(number):
                found = self._of_cutout(number)
            case DrawnAs(selector):
                found = self._drawn_as(selector)
            case BesideText():
                near = self.beside[word]
                found = self.of_numbers(
                    e.number for e in edges if (e.known_as, e.part) in near
                )
            case _:
                several = [
                    self.split.edges_between(one.first, one.last)
                    for one in self.stretches[word]
                ]
                found = self.of_numbers(dict.fromkeys(chain.from_iterable(several)))
        return found

    def of_numbers(self, numbers: Iterable[int]) -> tuple[Found, ...]:
        """Return edges by their numbers in this size, meant as a whole."""
        edges = self.piece.edges
        return tuple(Found(n, edges[n - 1].known_as) for n in numbers)

    def _numbered(self, word: ByNumber) -> tuple[Found, ...]:
        same = [edge for edge in self.piece.edges if word.number in edge.known_as]
        if not same:
            most = max(edge.known_as[-1] for edge in self.piece.edges)
            known = "edge 1" if most == 1 else f"edges 1 to {most}"
            raise TagError(
                f'"{self.piece.name}" has no edge {word.number}; it has {known}'
            )
        chosen = [edge for edge in same if word.part in {"", edge.part}]
        if not chosen:
            parts = [edge.part for edge in same if edge.part]
            known = f"its parts are {', '.join(parts)}" if parts else "it has no parts"
            raise TagError(
                f'edge {word.number} of "{self.piece.name}" has no part {word.part}; '
                f"{known}: marks that are used cut an edge"
            )
        return tuple(Found(edge.number, (word.number,)) for edge in chosen)

    def _of_cutout(self, number: int) -> tuple[Found, ...]:
        count = len(self.piece.cutouts)
        if number > count:
            has = {0: "no cut-out", 1: "one cut-out"}.get(count, f"{count} cut-outs")
            raise TagError(f'"{self.piece.name}" has {has}')
        return self.of_numbers(e.number for e in self.piece.edges if e.ring == number)

    def _drawn_as(self, selector: Selector) -> tuple[Found, ...]:
        chosen = []
        for edge in self.piece.edges:
            matches = [selector.matches(line) for line in edge.sources]
            if any(matches) and not all(matches):
                raise TagError(
                    f'edge {edge.label} of "{self.piece.name}" is only partly drawn as '
                    f'"{selector.text}"; break it with a corner or name it by number'
                )
            if all(matches):
                chosen.append(edge.number)
        if not chosen:
            raise TagError(
                f'no edge of "{self.piece.name}" is drawn as "{selector.text}"'
            )
        return self.of_numbers(chosen)


@dataclass(frozen=True, slots=True, eq=False)
class Words:
    """A person's own names on one piece.

    Parameters
    ----------
    names : mapping of str to EdgeWord
    marks : mapping of str to MarkWord
    """

    names: Mapping[str, EdgeWord]
    marks: Mapping[str, MarkWord]

    def read(self, text: str) -> EdgeWord:
        """Read which edges are meant; raises SettingsError where none are."""
        return parse_edge_word(text, tuple(self.names), tuple(self.marks))

    @property
    def numbers(self) -> dict[str, int]:
        """The names that stand for one numbered edge."""
        return {
            name: word.number
            for name, word in self.names.items()
            if isinstance(word, ByNumber) and not word.part
        }


def own_words(settings: PieceSettings) -> Words:
    """Read the own names of a piece, which the job file has been checked for."""
    marks = {name: parse_mark_word(text) for name, text in settings.marks}
    names = {
        name: parse_edge_word(text, (), tuple(marks))
        for name, text in settings.edge_names
    }
    return Words(names, marks)
