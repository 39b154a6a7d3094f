"""Moving an edge from one rule of a job file to another."""

from collections.abc import Sequence
from dataclasses import dataclass

from edgefinder.classifier.edge_words import ByName
from edgefinder.classifier.edges_meant import own_words
from edgefinder.classifier.editing.edge_naming import name_edge
from edgefinder.classifier.editing.job_edits import (
    add_piece_edge,
    add_run_edges,
    remove_edge,
    remove_from_lists,
    remove_from_runs,
    set_fold_edge,
)
from edgefinder.classifier.job import Finish, Job, PieceSettings
from edgefinder.classifier.run_words import MIRRORED, without_mirrored
from edgefinder.classifier.sizes import same_name
from edgefinder.classifier.tagging import settings_of
from edgefinder.errors import TagError


@dataclass(frozen=True, slots=True)
class Tagging:
    """What is to be said of edges.

    Parameters
    ----------
    finish : Finish or None
        None leaves it as it is.
    run : str or None
        For bound edges; without one they make runs of their own.
    tape : str or None
        Of a run that is not there yet.
    name : str or None
        That the edges are to be called by.
    """

    finish: Finish | None
    run: str | None = None
    tape: str | None = None
    name: str | None = None


def tagged_text(text: str, job: Job, piece: str, word: str, tagging: Tagging) -> str:
    """Say in the text of a job file what happens to an edge.

    Parameters
    ----------
    text : str
    job : Job
        What it said before any change.
    piece : str
    word : str
        As in a job file; ``mirrored`` may follow one that goes into a run.
    tagging : Tagging
        What another rule says of this very edge is taken out.

    Returns
    -------
    str

    Raises
    ------
    TagError, SettingsError
        If the word means no edge, or the rule cannot be written.
    """
    plain, is_mirrored = without_mirrored(word)
    mirrored = MIRRORED if is_mirrored else ""
    aliases = _aliases(settings_of(job, piece), plain)
    if mirrored and tagging.run is None:
        raise TagError(f'"{word}": only an edge in a run can be mirrored; use --run')
    _refuse_bound_fold(settings_of(job, piece), piece, aliases, tagging)
    if tagging.run is not None:
        text = _into_run(text, job, piece, [a + mirrored for a in aliases], tagging)
    elif tagging.finish is not None:
        text = _into_list(text, job, piece, aliases, tagging.finish)
    if tagging.name is not None:
        text = name_edge(text, piece, tagging.name, plain)
    return text


def untagged_text(text: str, said: PieceSettings, piece: str, word: str) -> str:
    """Take an edge out of all rules that name it; a plain word, its mirrored one too.

    Raises
    ------
    SettingsError
        If the word means no edge.
    """
    plain, is_mirrored = without_mirrored(word)
    for alias in _aliases(said, plain):
        for copy in (alias + MIRRORED,) if is_mirrored else (alias, alias + MIRRORED):
            text = remove_edge(text, piece, copy, drop_emptied_runs=True)
    return text


def _refuse_bound_fold(
    said: PieceSettings, piece: str, words: Sequence[str], tagging: Tagging
) -> None:
    """Keep a slip of the finger from taking a piece off the fold."""
    fold = said.fold_edge
    if tagging.finish is not Finish.BOUND or fold is None:
        return
    if any(same_name(fold.text, word) for word in words):
        raise TagError(
            f'edge {fold.text} of "{piece}" lies on the fold and cannot be bound; '
            f'untag it first: edgefinder untag JOB "{piece}" {fold.text}'
        )


def _into_run(
    text: str, job: Job, piece: str, words: Sequence[str], tagging: Tagging
) -> str:
    """Put an edge into a run, by its first word, and take it out elsewhere."""
    run = tagging.run or ""
    for word in words:
        text = remove_from_lists(text, piece, without_mirrored(word)[0])
        text = remove_from_runs(text, piece, word, drop_emptied=True, but=run)
    has = (w.text for one in job.runs if same_name(one.name, run) for w in one.edges)
    wanted = [f"{piece} {word}" for word in words]
    there = next((w for w in has if any(same_name(w, new) for new in wanted)), None)
    return add_run_edges(text, run, [there or wanted[0]], tape=tagging.tape)


def _into_list(
    text: str, job: Job, piece: str, words: Sequence[str], finish: Finish
) -> str:
    """Put an edge into a list of its piece, and take it out elsewhere."""
    for word in words:
        text = remove_from_lists(text, piece, word, but=finish)
        for copy in (word, word + MIRRORED):
            text = remove_from_runs(text, piece, copy, drop_emptied=True)
    said = settings_of(job, piece)
    has = [rule.word for rule in said.rules if rule.finish is finish]
    if finish is Finish.FOLD and said.fold_edge is not None:
        has = [said.fold_edge]
    if any(same_name(one.text, word) for one in has for word in words):
        return text
    if finish is Finish.FOLD:
        return set_fold_edge(text, piece, words[0])
    return add_piece_edge(text, piece, finish, words[0])


def _aliases(said: PieceSettings, word: str) -> list[str]:
    """Return a word and what else means the same edge: its number, or its own name.

    Raises
    ------
    SettingsError
        If the word means no edge.
    """
    own = own_words(said)
    meant = own.read(word)
    texts = []
    if isinstance(meant, ByName):
        texts = [text for name, text in said.edge_names if name == meant.name]
        meant = own.names[meant.name]
    names = [name for name, same in own.names.items() if same == meant]
    return list(dict.fromkeys([word, *texts, *names]))
