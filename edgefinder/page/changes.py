"""What a page may ask for, checked, as changes of the text of a job file."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Final

from edgefinder.classifier.choosing_finish import with_edge_split, with_finish
from edgefinder.classifier.editing.job_edits import (
    set_allowance,
    set_edge_name,
    set_same_edge,
)
from edgefinder.classifier.editing.settings_edits import (
    FABRIC,
    TOP,
    Value,
    add_named_table,
    remove_allowance,
    remove_edge_name,
    remove_named_table,
    rename_table,
    set_key,
    value_text,
)
from edgefinder.classifier.freeing import unit_word, units_of
from edgefinder.classifier.job import Finish
from edgefinder.classifier.retagging import Tagging
from edgefinder.errors import SettingsError, TagError
from edgefinder.memory import Memory
from edgefinder.page.asked import (
    asked_list,
    asked_number,
    asked_text,
    asked_value,
)
from edgefinder.schedule.draft import Draft
from edgefinder.units import Unit

Asked = Mapping[str, Any]

KINDS: Final = (TOP, FABRIC, "tapes", "runs", "cloths", "pieces")


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
    return reader(asked, memory)


def _finish(asked: Asked, memory: Memory) -> Change:
    size = asked_text(asked, "size")
    pointed: dict[str, list[int]] = {}
    for one in asked_list(asked, "edges"):
        number = asked_number(one, "edge")
        pointed.setdefault(asked_text(one, "piece"), []).append(number)
    finish = _choice(asked_text(asked, "finish"))
    run, tape = (asked_text(asked, key, "") or None for key in ("run", "tape"))

    def make(draft: Draft, text: str) -> Iterator[str]:
        pieces = draft.marked(memory, size)
        for name, numbers in pointed.items():
            _expect_edges(pieces, name, numbers)
        tagging = Tagging(finish, run, tape)
        for new in with_finish(text, pieces, pointed, tagging):
            changed = new != text
            yield draft.with_shapes(new, pointed, memory) if changed else text

    count = sum(map(len, pointed.values()))
    what = "an edge" if count == 1 else f"{count} edges"
    return Change(f"{what} {finish}", make)


def _call(asked: Asked, memory: Memory) -> Change:
    size, piece = asked_text(asked, "size"), asked_text(asked, "piece")
    number, name = asked_number(asked, "edge"), asked_text(asked, "name", "")

    def make(draft: Draft, text: str) -> Iterator[str]:
        pieces = draft.marked(memory, size)
        _expect_edges(pieces, piece, [number])
        edge = pieces[piece][0].piece.edges[number - 1]
        word = next(
            (
                text_of
                for own, text_of in _own_names(draft, piece)
                if own == edge.name and edge.name
            ),
            unit_word(min(units_of(edge))),
        )
        if edge.name:
            text = remove_edge_name(text, piece, edge.name)
        yield set_edge_name(text, piece, name, word) if name else text

    return Change(f"name of {piece} {number}", make)


def _split(asked: Asked, memory: Memory) -> Change:
    size, piece = asked_text(asked, "size"), asked_text(asked, "piece")
    number, place = asked_number(asked, "edge"), asked_text(asked, "place")
    name = asked_text(asked, "name", "")

    def make(draft: Draft, text: str) -> Iterator[str]:
        pieces = draft.marked(memory, size)
        _expect_edges(pieces, piece, [number])
        text = draft.with_shapes(text, [piece], memory)
        yield with_edge_split(text, pieces[piece], number, place, name)

    return Change(f"split of {piece} {number}", make)


def _allow(asked: Asked, memory: Memory) -> Change:
    size, piece = asked_text(asked, "size"), asked_text(asked, "piece")
    number, amount = asked_number(asked, "edge"), asked_text(asked, "amount", "")

    def make(draft: Draft, text: str) -> Iterator[str]:
        pieces = draft.marked(memory, size)
        _expect_edges(pieces, piece, [number])
        edge = pieces[piece][0].piece.edges[number - 1]
        words = [edge.name, *map(unit_word, sorted(units_of(edge)))]
        for word in words:
            text = remove_allowance(text, piece, word)
        yield set_allowance(text, piece, words[-1], amount) if amount else text

    return Change(f"allowance of {piece} {number}", make)


def _set(asked: Asked, _: Memory) -> Change:
    kind, name = _kind(asked), asked_text(asked, "name", "")
    key = asked_text(asked, "key")
    value: Value | None = asked_value(asked, "value")

    def make(_: Draft, text: str) -> Iterator[str]:
        if key == "name" and kind in {"tapes", "runs", "cloths"}:
            yield rename_table(text, kind, name, str(value or ""))
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
            usual = "3/8 in" if draft.job.unit is Unit.INCH else "9 mm"
            yield add_named_table(text, kind, name, [f'finished_width = "{usual}"'])
        elif kind == "cloths":
            stretch = asked_value(asked, "stretch")
            if isinstance(stretch, str | list | bool | None):
                raise SettingsError('"stretch" must be a number')
            limit = f"stretch_limit_percent = {value_text(stretch)}"
            yield add_named_table(text, kind, name, [limit])
        else:
            raise SettingsError(f"{kind}: none is made without its edges")

    return Change(f"new {kind.removesuffix('s')} {name}", make)


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
    edge, number = asked_number(asked, "edge"), asked_number(asked, "number")

    def make(_: Draft, text: str) -> Iterator[str]:
        yield set_same_edge(text, piece, edge, size, number)

    return Change(f"which edge is {piece} {edge} in size {size}", make)


def _kind(asked: Asked) -> str:
    kind = asked_text(asked, "kind")
    if kind not in KINDS:
        raise SettingsError(f'a job file has no "{kind}"')
    return kind


def _choice(finish: str) -> Finish:
    try:
        return Finish(finish)
    except ValueError:
        known = ", ".join(Finish)
        raise SettingsError(f'"{finish}" is no finish; known: {known}') from None


def _own_names(draft: Draft, piece: str) -> tuple[tuple[str, str], ...]:
    said = next((one for one in draft.job.pieces if one.name == piece), None)
    return () if said is None else said.edge_names


def _expect_edges(pieces: Mapping[str, Any], name: str, numbers: list[int]) -> None:
    if name not in pieces:
        raise TagError(f'there is no piece "{name}"')
    count = len(pieces[name][0].piece.edges)
    wrong = [number for number in numbers if not 1 <= number <= count]
    if wrong:
        raise TagError(f'"{name}" has {count} edges, and no edge {wrong[0]}')


_READERS: Final[Mapping[str, Callable[[Asked, Memory], Change]]] = MappingProxyType(
    {
        "finish": _finish,
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
