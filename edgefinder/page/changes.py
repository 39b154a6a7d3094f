"""What a page may ask for, checked, as changes of the text of a job file."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Final, NamedTuple

from edgefinder.classifier.choosing_finish import with_finish
from edgefinder.classifier.edges_meant import MarkedPiece
from edgefinder.classifier.editing.edge_naming import (
    name_edge,
    rename_edge,
    without_edge_name,
)
from edgefinder.classifier.editing.job_edits import (
    set_allowance,
    set_same_edge,
)
from edgefinder.classifier.editing.settings_edits import (
    FABRIC,
    TOP,
    Value,
    add_named_table,
    remove_allowance,
    remove_named_table,
    rename_table,
    set_key,
    value_text,
)
from edgefinder.classifier.freeing import unit_word, units_of
from edgefinder.classifier.job import Finish
from edgefinder.classifier.retagging import Tagging
from edgefinder.classifier.splitting_edges import with_edge_split
from edgefinder.errors import EdgefinderError, SettingsError, TagError
from edgefinder.memory import Memory
from edgefinder.page.asked import (
    asked_list,
    asked_number,
    asked_numbers,
    asked_text,
    asked_value,
)
from edgefinder.page.forms import SHOWN
from edgefinder.page.mirroring import with_other_halves
from edgefinder.page.piece_tapes import with_only_tape_said, with_tape_of_pieces
from edgefinder.pattern.pieces import Edge
from edgefinder.schedule.draft import Draft
from edgefinder.schedule.letters_kept import letters_kept
from edgefinder.units import Unit

Asked = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Change:
    """A change of a job file.

    Parameters
    ----------
    label : str
        What it is, for undo.
    make : callable
        Given the draft and its text; yields the job files that it could lead to.
    """

    label: str
    make: Callable[[Draft, str], Iterator[str]]


def read_change(asked: Asked, memory: Memory) -> Change:
    """Read what a page asks for.

    Parameters
    ----------
    asked : mapping
        As it came from outside: ``do`` says what, the rest depends on it.
    memory : Memory
        Of the job file.

    Returns
    -------
    Change

    Raises
    ------
    SettingsError
        If it is none of the known changes, or something is missing in it.
    """
    do = asked_text(asked, "do")
    reader = _READERS.get(do)
    if reader is None:
        raise SettingsError(f'there is no change "{do}"')
    change = reader(asked, memory)
    if reader is _refresh:  # its letters are those of other numbers
        return change

    def make(draft: Draft, text: str) -> Iterator[str]:
        for new in change.make(draft, text):
            yield _letters_kept(draft, new, memory)

    return Change(change.label, make)


def _letters_kept(draft: Draft, text: str, memory: Memory) -> str:
    try:
        sizes = draft.carried(memory).sizes
    except EdgefinderError:
        return text  # no piece can be cut, and no part has a letter
    return letters_kept(draft.job, sizes, text, memory)


def _pointed_edges(asked: Asked) -> dict[str, list[int]]:
    pointed: dict[str, list[int]] = {}
    for one in asked_list(asked, "edges"):
        number = asked_number(one, "edge")
        pointed.setdefault(asked_text(one, "piece"), []).append(number)
    return pointed


def _finish(asked: Asked, memory: Memory) -> Change:
    size, pointed = asked_text(asked, "size"), _pointed_edges(asked)
    finish = _choice(asked_text(asked, "finish"))
    run, tape = (asked_text(asked, key, "") or None for key in ("run", "tape"))

    def make(draft: Draft, text: str) -> Iterator[str]:
        pieces = _marked(draft, memory, size, pointed)
        tagging = Tagging(finish, run, tape)
        for new in with_finish(text, pieces, pointed, tagging):
            if finish is Finish.BOUND and run is None and tape is not None:
                new = with_tape_of_pieces(new, draft, pointed, tape)  # noqa: PLW2901
            changed = new != text
            yield draft.with_shapes(new, pointed, memory) if changed else text

    count = sum(map(len, pointed.values()))
    what = "an edge" if count == 1 else f"{count} edges"
    return Change(f"{what} {finish}", make)


def _mirror(asked: Asked, _: Memory) -> Change:
    size, pointed = asked_text(asked, "size"), _pointed_edges(asked)
    run = asked_text(asked, "run")

    def make(draft: Draft, text: str) -> Iterator[str]:
        yield from with_other_halves(text, draft, size, run, pointed)

    return Change(f"mirrored edges in run {run}", make)


def _call(asked: Asked, memory: Memory) -> Change:
    at, name = _pointed(asked), asked_text(asked, "name", "")

    def make(draft: Draft, text: str) -> Iterator[str]:
        pieces = _marked(draft, memory, at.size, {at.piece: [at.number]})
        marked = pieces[at.piece][0]
        own = marked.own_name(at.number)
        if own and name:
            yield rename_edge(text, at.piece, own, name, pieces=pieces)
        elif own:
            yield without_edge_name(text, at.piece, own, pieces=pieces)
        elif name:
            word = unit_word(min(units_of(marked.piece.edges[at.number - 1])))
            yield name_edge(text, at.piece, name, word, pieces=pieces)
        else:
            yield text

    return Change(f"name of {at.piece} {at.number}", make)


def _split(asked: Asked, memory: Memory) -> Change:
    at, place = _pointed(asked), asked_text(asked, "place")

    def make(draft: Draft, text: str) -> Iterator[str]:
        pieces = _marked(draft, memory, at.size, {at.piece: [at.number]})
        text = draft.with_shapes(text, [at.piece], memory)
        yield with_edge_split(text, pieces[at.piece], at.number, place)

    return Change(f"split of {at.piece} {at.number}", make)


def _allow(asked: Asked, memory: Memory) -> Change:
    at, amount = _pointed(asked), asked_text(asked, "amount", "")

    def make(draft: Draft, text: str) -> Iterator[str]:
        edge = _edge(draft, memory, at)
        words = [edge.name, *map(unit_word, sorted(units_of(edge)))]
        for word in words:
            text = remove_allowance(text, at.piece, word)
        yield set_allowance(text, at.piece, words[-1], amount) if amount else text

    return Change(f"allowance of {at.piece} {at.number}", make)


def _set(asked: Asked, _: Memory) -> Change:
    kind, name = _kind(asked), asked_text(asked, "name", "")
    key = asked_text(asked, "key")
    value: Value | None = asked_value(asked, "value")

    def make(_: Draft, text: str) -> Iterator[str]:
        if key == "name" and kind in {"tapes", "runs", "cloths"}:
            yield rename_table(text, kind, name, asked_text(asked, "value", ""))
            return
        if kind == "runs" and key == "closed" and value is True:
            for end in ("start", "end"):  # a loop has none
                text = set_key(text, kind, name, end, None)
        yield set_key(text, kind, name, key, value)

    return Change(f"{key.replace('_', ' ')} of {name or kind or 'the pattern'}", make)


def _add(asked: Asked, _: Memory) -> Change:
    kind, name = _kind(asked), asked_text(asked, "name")

    def make(draft: Draft, text: str) -> Iterator[str]:
        if kind == "tapes":
            text = with_only_tape_said(text, draft)
            usual = "3/8 in" if draft.job.unit is Unit.INCH else "9 mm"
            yield add_named_table(text, kind, name, [f'finished_width = "{usual}"'])
        elif kind == "cloths":
            stretch = asked_value(asked, "stretch")
            unnamed = [] if name else ["give the cloth a name"]
            if isinstance(stretch, str | list | bool | None):
                raise SettingsError(*unnamed, _NO_STRETCH)
            limit = f"stretch_limit_percent = {value_text(stretch)}"
            yield add_named_table(text, kind, name, [limit])
        else:
            raise SettingsError(f"{kind}: none is made without its edges")

    return Change(f"new {kind.removesuffix('s')} {name}", make)


_NO_STRETCH: Final = (
    "write as a number of per cent, like 12, beyond which stretch the cloth puckers"
)


def _remove(asked: Asked, _: Memory) -> Change:
    kind, name = _kind(asked), asked_text(asked, "name")
    if kind in {TOP, FABRIC}:
        raise SettingsError("only a tape, a run, a cloth or a piece can be taken out")

    def make(_: Draft, text: str) -> Iterator[str]:
        yield remove_named_table(text, kind, name)

    return Change(f"{kind.removesuffix('s')} {name} taken out", make)


def _refresh(_: Asked, memory: Memory) -> Change:
    def make(draft: Draft, text: str) -> Iterator[str]:
        yield draft.refreshed(text, memory)

    return Change("numbers as drawn now", make)


def _decide(asked: Asked, _: Memory) -> Change:
    piece, size = asked_text(asked, "piece"), asked_text(asked, "size")
    edge, numbers = asked_number(asked, "edge"), asked_numbers(asked, "numbers")

    def make(_: Draft, text: str) -> Iterator[str]:
        yield set_same_edge(text, piece, edge, size, numbers)

    return Change(f"which edge is {piece} {edge} in size {size}", make)


def _kind(asked: Asked) -> str:
    kind = asked_text(asked, "kind")
    if kind not in SHOWN:
        raise SettingsError(f'a job file has no "{kind}"')
    return kind


def _choice(finish: str) -> Finish:
    try:
        return Finish(finish)
    except ValueError:
        known = ", ".join(Finish)
        raise SettingsError(f'"{finish}" is no finish; known: {known}') from None


class _Pointed(NamedTuple):
    """One edge that was pointed at, as it is numbered in the size that is seen."""

    size: str
    piece: str
    number: int


def _pointed(asked: Asked) -> _Pointed:
    size, piece = asked_text(asked, "size"), asked_text(asked, "piece")
    return _Pointed(size, piece, asked_number(asked, "edge"))


def _edge(draft: Draft, memory: Memory, at: _Pointed) -> Edge:
    """Return the edge that was pointed at; raises TagError if there is none."""
    pieces = _marked(draft, memory, at.size, {at.piece: [at.number]})
    return pieces[at.piece][0].piece.edges[at.number - 1]


def _marked(
    draft: Draft, memory: Memory, size: str, pointed: Mapping[str, Sequence[int]]
) -> dict[str, tuple[MarkedPiece, ...]]:
    """Return every piece in every size; raises TagError if no edge was pointed at."""
    pieces = draft.marked(memory, size)
    for name, numbers in pointed.items():
        if name not in pieces:
            raise TagError(f'there is no piece "{name}"')
        count = len(pieces[name][0].piece.edges)
        wrong = [number for number in numbers if not 1 <= number <= count]
        if wrong:
            raise TagError(f'"{name}" has {count} edges, and no edge {wrong[0]}')
    return pieces


_READERS: Final[Mapping[str, Callable[[Asked, Memory], Change]]] = MappingProxyType(
    {
        "finish": _finish,
        "mirror": _mirror,
        "call": _call,
        "split": _split,
        "allow": _allow,
        "set": _set,
        "add": _add,
        "remove": _remove,
        "refresh": _refresh,
        "decide": _decide,
    }
)
