"""Which edges of a piece a job file calls by number, and so depends on."""

from collections.abc import Iterable, Mapping, Sequence

from edgefinder.classifier.edge_words import (
    Between,
    ByNumber,
    EdgeWord,
    words_within,
)
from edgefinder.classifier.edges_meant import own_words
from edgefinder.classifier.job import Job, PieceSettings
from edgefinder.classifier.mark_words import AlongEdge, AtCorner, MarkWord, number_in
from edgefinder.classifier.run_words import parse_run_word
from edgefinder.errors import EdgefinderError


def texts_in_runs(job: Job, names: Sequence[str]) -> Mapping[str, list[str]]:
    """List what the runs of a job file call edges, by piece.

    Parameters
    ----------
    job : Job
    names : sequence of str
        Of all pieces.
    """
    found: dict[str, list[str]] = {name: [] for name in names}
    for run in job.runs:
        for word in run.edges:
            try:
                said = parse_run_word(word.text, names)
            except EdgefinderError:
                continue  # told where the run is read
            found[said.piece].append(said.edges)
    return found


def texts_in_piece(said: PieceSettings) -> list[str]:
    """List what the table of a piece calls its edges."""
    texts = [rule.word.text for rule in said.rules]
    texts += [word.text for word, _ in said.allowances]
    return texts if said.fold_edge is None else [*texts, said.fold_edge.text]


def numbers_used(said: PieceSettings, texts: Iterable[str]) -> frozenset[int]:
    """Return the edge numbers on which these texts and a piece's own names depend."""
    words = own_words(said)
    found: set[int] = set()
    for text in texts:
        try:
            found |= _of_word(words.read(text))
        except EdgefinderError:
            continue  # told where the rule is followed
    for word in words.names.values():
        found |= _of_word(word)
    for mark in words.marks.values():
        found |= _of_mark(mark)
    return frozenset(found)


def _of_word(word: EdgeWord) -> set[int]:
    found: set[int] = set()
    for one in words_within(word):
        if isinstance(one, ByNumber):
            found.add(one.number)
        elif isinstance(one, Between):
            found |= _of_mark(one.first) | _of_mark(one.last)
    return found


def _of_mark(mark: MarkWord) -> set[int]:
    if isinstance(mark, AtCorner):
        return {mark.number}
    if isinstance(mark, AlongEdge):
        number = number_in(mark.edge)
        return set() if number is None else {number}
    return set()
