"""What a job file calls edges of a piece: ``3``, ``neck``, ``all except 2``."""

import re
from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass
from typing import Final

from edgefinder.classifier.mark_words import MarkWord, parse_mark_word
from edgefinder.errors import SettingsError
from edgefinder.pattern.selectors import Selector, parse_selector

EXAMPLES: Final = (
    '"2", "all", "all except 2", "cutout 1", "layer:Bound", "text:bind*", "marker" '
    'or "from notch 1 to notch 2"'
)

_NUMBER: Final = re.compile(
    r"(?P<number>0|[1-9][0-9]{0,5})(?P<part>[a-z]{0,3})", re.ASCII | re.IGNORECASE
)
_ALL: Final = re.compile(r"all(\s+except\s+(?P<words>.+))?", re.IGNORECASE)
_CUTOUT: Final = re.compile(r"cut-?out\s+(?P<number>[1-9][0-9]{0,5})", re.IGNORECASE)
_MARKER: Final = re.compile(r"marker(\s+(?P<selector>.+:.+))?", re.IGNORECASE)
_BETWEEN: Final = re.compile(r"from\s+(?P<first>.+)\s+to\s+(?P<last>.+)", re.IGNORECASE)
_FROM: Final = re.compile(r"from\s", re.IGNORECASE)
_TEXT: Final = re.compile(r"text\s*:\s*(?P<pattern>.+)", re.IGNORECASE)
_SELECTOR: Final = re.compile(r".*:.*")
_RESERVED: Final = re.compile(
    r"|all|marker|mirrored|(all|from|to|at|marker|cut-?out|notch|corner)\s.*"
    r"|.*\s(mirrored|to|at)(\s.*)?|.*[:,].*|[0-9]+[a-z]{0,3}",
    re.IGNORECASE,
)
"""What already means something and cannot be a person's own name."""


@dataclass(frozen=True, slots=True)
class ByNumber:
    """Edge 3, or its part 3a."""

    number: int
    part: str = ""


@dataclass(frozen=True, slots=True)
class ByName:
    """A person's own name for edges, as it was given."""

    name: str


@dataclass(frozen=True, slots=True)
class AllEdges:
    """Every edge of the piece but those named."""

    but: tuple["EdgeWord", ...] = ()


@dataclass(frozen=True, slots=True)
class OfCutout:
    """Every edge of one cut-out."""

    number: int


@dataclass(frozen=True, slots=True)
class DrawnAs:
    """The edges whose drawn lines a selector chooses."""

    selector: Selector


@dataclass(frozen=True, slots=True)
class BesideText:
    """The edges to which the texts that fit a pattern are nearest."""

    pattern: str


@dataclass(frozen=True, slots=True)
class UnderMarker:
    """The stretches along which marker lines are drawn; all markers without one."""

    selector: Selector | None = None


@dataclass(frozen=True, slots=True)
class Between:
    """From one mark to another along the outline, the fabric on the left."""

    first: MarkWord
    last: MarkWord


EdgeWord = (
    ByNumber
    | ByName
    | AllEdges
    | OfCutout
    | DrawnAs
    | BesideText
    | UnderMarker
    | Between
)


def parse_edge_word(
    text: str, names: Collection[str] = (), marks: Collection[str] = ()
) -> EdgeWord:
    """Read which edges of a piece are meant.

    Parameters
    ----------
    text : str
    names : collection of str
        A person's own names for edges of the piece.
    marks : collection of str
        A person's own names for marks on the piece.

    Raises
    ------
    SettingsError
        If it means no edges, with examples of what does.
    """
    plain = " ".join(text.split())
    own = own_name(plain, names)
    if own is not None:
        return ByName(own)
    for form, make in _FORMS:
        said = form.fullmatch(plain)
        if said is not None:
            return make(said, names, marks)
    known = f"; own names: {', '.join(names)}" if names else ""
    raise SettingsError(f'"{text}" names no edge; write {EXAMPLES}{known}')


def _except(
    said: re.Match[str], names: Collection[str], marks: Collection[str]
) -> EdgeWord:
    words: list[str] = []
    for part in (said["words"] or "").split(","):
        if words and _is_cut_short(words[-1], names, marks):
            words[-1] += f",{part}"  # a point is written with a comma
        elif part.strip():
            words.append(part.strip())
    return AllEdges(tuple(parse_edge_word(word, names, marks) for word in words))


def _is_cut_short(word: str, names: Collection[str], marks: Collection[str]) -> bool:
    """Whether it begins a stretch between marks and means nothing as it stands."""
    if _FROM.match(word) is None:
        return False
    try:
        parse_edge_word(word, names, marks)
    except SettingsError:
        return True
    return False


def _under_marker(said: re.Match[str], *_: Collection[str]) -> EdgeWord:
    chosen = said["selector"]
    return UnderMarker(None if chosen is None else parse_selector(chosen))


def _between(
    said: re.Match[str], _: Collection[str], marks: Collection[str]
) -> EdgeWord:
    first, last = (parse_mark_word(said[end], marks) for end in ("first", "last"))
    return Between(first, last)


def between_texts(text: str) -> tuple[str, str] | None:
    """Return the two marks of a stretch as they are written; None if it is none."""
    said = _BETWEEN.fullmatch(" ".join(text.split()))
    return None if said is None else (said["first"], said["last"])


_Make = Callable[[re.Match[str], Collection[str], Collection[str]], EdgeWord]

_FORMS: Final[tuple[tuple[re.Pattern[str], _Make], ...]] = (
    (_NUMBER, lambda said, *_: ByNumber(int(said["number"]), said["part"].lower())),
    (_ALL, _except),
    (_CUTOUT, lambda said, *_: OfCutout(int(said["number"]))),
    (_MARKER, _under_marker),
    (_BETWEEN, _between),
    (_TEXT, lambda said, *_: BesideText(said["pattern"])),
    (_SELECTOR, lambda said, *_: DrawnAs(parse_selector(said[0]))),
)
"""The first form that fits a text says how it is read."""


def own_name(text: str, names: Collection[str]) -> str | None:
    """Return the name that a text is, however its case and spacing are."""
    wanted = text.casefold().split()
    return next((name for name in names if name.casefold().split() == wanted), None)


def is_free_name(name: str) -> bool:
    """Whether a person may give this name to an edge: it means nothing else."""
    return _RESERVED.fullmatch(" ".join(name.split())) is None


def words_within(word: EdgeWord) -> Iterator[EdgeWord]:
    """Yield a word and those that it is made of."""
    yield word
    if isinstance(word, AllEdges):
        for inner in word.but:
            yield from words_within(inner)
