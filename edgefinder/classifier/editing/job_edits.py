"""Writing into a person's job file: tags, names, allowances, swatch tests.

Every function takes the text of a job file that `read_job` reads and returns the text
after the change. All else in it stays as it is, to the byte. A mistake is told
without the name of the file: the caller puts it in front.
"""

import math
from collections.abc import Mapping, Sequence

from edgefinder.classifier.editing.job_places import (
    NamedTable,
    named_tables,
    read_value,
    table_named,
)
from edgefinder.classifier.editing.list_items import once, word_text
from edgefinder.classifier.editing.renamed_entries import with_new_words, words_of
from edgefinder.classifier.editing.table_edits import (
    end_of_list,
    with_inner_value,
    with_piece,
    with_value,
    with_words,
    without_table,
)
from edgefinder.classifier.editing.toml_edits import (
    key_text,
    quoted,
    spliced,
    with_table,
)
from edgefinder.classifier.job import Finish
from edgefinder.classifier.piece_settings import LISTED
from edgefinder.classifier.sizes import name_key
from edgefinder.errors import SettingsError, did_you_mean


def add_run_edges(
    text: str, run: str, words: Sequence[str], *, tape: str | None = None
) -> str:
    """Add edges at the end of a run.

    Parameters
    ----------
    text : str
    run : str
        Its name. A run that is not there is made at the end of the file.
    words : sequence of str
        ``"front 6"``, ``"front 6 mirrored"``; those that the run has are left out.
    tape : str or None
        Of a new run; not needed if the job has one tape only.

    Returns
    -------
    str

    Raises
    ------
    SettingsError
        If the run has another tape, or a new run has none.
    """
    found = table_named(named_tables(text, "runs"), run)
    if found is None:
        lines = [
            "[[runs]]",
            f"name = {quoted(' '.join(run.split()))}",
            f"tape = {quoted(_tape_of_new_run(text, run, tape))}",
            f"edges = [{', '.join(map(word_text, once(words)))}]",
        ]
        return spliced(text, [with_table(text, len(text), lines)])
    sewn_with = _text_of(text, found, "tape")
    if tape is not None and sewn_with is not None and sewn_with != tape:
        raise SettingsError(
            f'runs "{found.name}": is sewn with tape "{sewn_with}", not "{tape}"; '
            "leave the tape out or give the run another name"
        )
    return with_words(text, found, "edges", words)


def close_run(text: str, run: str) -> str:
    """Let a run that is there end where it starts."""
    table = table_named(named_tables(text, "runs"), run)
    if table is None:
        raise ValueError(f'there is no run "{run}"')
    return with_value(text, table, "closed", "true")


def add_piece_edge(text: str, piece: str, finish: Finish, word: str) -> str:
    """Add an edge to the list of a finish of a piece.

    Parameters
    ----------
    text : str
    piece : str
        Its name. A piece that has no table yet is given one.
    finish : Finish
        One of `LISTED`.
    word : str
        An edge word without the piece's name; a number is written bare. A list that
        has it stays as it is.

    Returns
    -------
    str
    """
    if finish not in LISTED:
        raise ValueError(f"a piece has no list of edges for {finish}")
    text, table = with_piece(text, piece)
    return with_words(text, table, str(finish), [word])


def set_fold_edge(text: str, piece: str, word: str) -> str:
    """Say which edge of a piece lies on the fold, in place of any other."""
    text, table = with_piece(text, piece)
    return with_value(text, table, "fold_edge", word_text(word))


def set_edge_name(text: str, piece: str, name: str, word: str) -> str:
    """Give an edge of a piece a name; if another edge has the name, it loses it."""
    text, table = with_piece(text, piece)
    return with_inner_value(text, table, "edge_names", name, word_text(word))


def set_same_edge(
    text: str, piece: str, edge: int, size: str, numbers: Sequence[int]
) -> str:
    """Say which edge of a size, or which several, a number of the job file means."""
    text, table = with_piece(text, piece)
    key = f"{edge} in {' '.join(size.split())}"
    listed = ", ".join(map(str, numbers))
    written = listed if len(numbers) == 1 else f"[{listed}]"
    return with_inner_value(text, table, "same_edges", key, written)


def set_allowance(text: str, piece: str, word: str, amount: str) -> str:
    """Give an edge of a piece an allowance: a length with its unit, ``"6 mm"``."""
    text, table = with_piece(text, piece)
    return with_inner_value(text, table, "allowances", word, quoted(amount))


def remove_edge(
    text: str, piece: str, word: str, *, drop_emptied_runs: bool = False
) -> str:
    """Take an edge out of all runs and lists of a piece that name it literally.

    Parameters
    ----------
    text : str
    piece, word : str
        Words are compared without regard to capitals and spacing, and no further:
        ``"6"`` leaves ``"6 mirrored"``, ``"all"`` and a name of edge 6.
    drop_emptied_runs : bool
        Whether a run that has no edge left goes altogether. Otherwise it stays with
        ``edges = []``, which `read_job` refuses.

    Returns
    -------
    str
        The same text if the edge is named nowhere. An emptied list of a piece, and
        ``fold_edge`` if it names the edge, are gone.
    """
    text = remove_from_lists(text, piece, word)
    return remove_from_runs(text, piece, word, drop_emptied=drop_emptied_runs)


def remove_from_lists(
    text: str, piece: str, word: str, *, but: Finish | None = None
) -> str:
    """Take an edge out of the lists of a piece, but for that of one finish.

    See `remove_edge`; ``fold_edge`` counts as a list.
    """
    keys = {finish: str(finish) for finish in LISTED}
    keys[Finish.FOLD] = "fold_edge"
    for finish, key in keys.items():
        table = table_named(named_tables(text, "pieces"), piece)
        if table is not None and finish is not but:
            text = _without_word(text, table, key, word)
    return text


def remove_from_runs(
    text: str, piece: str, word: str, *, drop_emptied: bool, but: str | None = None
) -> str:
    """Take an edge out of all runs but one; see `remove_edge`."""
    # From the last to the first: a change leaves the places above it as they are.
    for run in reversed(named_tables(text, "runs")):
        if but is not None and name_key(run.name) == name_key(but):
            continue
        without = _without_word(text, run, "edges", f"{piece} {word}")
        if drop_emptied and without != text:
            after = table_named(named_tables(without, "runs"), run.name)
            if after is not None and not words_of(without, after, "edges"):
                without = without_table(without, after)
        text = without
    return text


def write_cloth(text: str, name: str, percents: Mapping[str, float]) -> str:
    """Write what a swatch test found.

    Parameters
    ----------
    text : str
    name : str
        Of the cloth. One that is there is changed.
    percents : mapping of str to float
        By key: ``stretch_ok_percent``, ``ease_limit_percent`` and so on. They are
        written with all their digits: round them before.

    Returns
    -------
    str
    """
    amounts = {key: _number_text(value) for key, value in percents.items()}
    if table_named(named_tables(text, "cloths"), name) is None:
        lines = ["[[cloths]]", f"name = {quoted(' '.join(name.split()))}"]
        lines += [f"{key_text(key)} = {amount}" for key, amount in amounts.items()]
        at = end_of_list(text, "cloths")
        return spliced(text, [with_table(text, at, lines)])
    for key, amount in amounts.items():
        table = table_named(named_tables(text, "cloths"), name)
        if table is not None:
            text = with_value(text, table, key, amount)
    return text


def _tape_of_new_run(text: str, run: str, tape: str | None) -> str:
    if tape is not None:
        return tape
    known = [table.name for table in named_tables(text, "tapes")]
    if len(known) == 1:
        return known[0]
    raise SettingsError(
        f'runs "{run}": is not there yet; say which tape it is sewn with'
        f"{did_you_mean('', known)}"
    )


def _text_of(text: str, table: NamedTable, key: str) -> str | None:
    entry = table.entry(key)
    value = None if entry is None else read_value(text, entry.value)
    return value if isinstance(value, str) else None


def _without_word(text: str, table: NamedTable, key: str, word: str) -> str:
    words = words_of(text, table, key)
    left = [[] if name_key(one) == name_key(word) else [one] for one in words]
    return with_new_words(text, table, key, left)


def _number_text(value: float) -> str:
    if not math.isfinite(value):
        raise ValueError(f"{value} per cent")
    return str(int(value)) if value == int(value) else repr(float(value))
