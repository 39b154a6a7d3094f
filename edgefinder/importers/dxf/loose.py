"""Thousands of short entities, read in bulk; the library reads one of each look.

A drawing that is exploded, or digitised in short strokes, is a hundred thousand lines,
arcs and polylines of a few points. They differ in their handles and coordinates only:
all else, which is their look (layer, colour, owner, flags), is written with the same
bytes again and again. So of each look the library gets the first entity, and of each
row of entities the first, which marks their place in the drawing; the others are taken
out of its text, and drawn as the first of their look says.

An entity that is not plain in every way that is looked at here stays in the text.
"""

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from edgefinder.geometry.segments import Floats, Indices, concatenate
from edgefinder.importers.dxf.entity_rows import (
    LINE,
    LWPOLYLINE,
    NAMES,
    POLYLINE,
    EntityRows,
)
from edgefinder.importers.dxf.plain_orders import (
    CLOSED,
    COUNT,
    DIMENSION_STYLE_HANDLE,
    FLAGS,
    HANDLE,
    LINE_PATTERN,
    LOOK,
    Alike,
    alike_entities,
    is_plain,
    split_codes,
)
from edgefinder.importers.dxf.plain_shapes import (
    PlainShapes,
    plain_circles,
    plain_lines,
    plain_polylines,
)
from edgefinder.importers.dxf.polylines import LARGEST_COORDINATE
from edgefinder.importers.dxf.table import Tags, numbers_at
from edgefinder.importers.dxf.vertices import Lifted

RUN_MARK: Final = "EDGEFINDER_RUN"
"""Application name of the mark of what stands for others. A file that contains it
already is not lifted."""

_RUN_TAGS: Final = f"1001\n{RUN_MARK}\n1071\n%d\n1071\n%d\n".encode()
_NO_RUN: Final = -1

_HEXADECIMAL: Final = re.compile(rb"[0-9A-Fa-f]{1,16}")


@dataclass(frozen=True, slots=True, eq=False)
class Loose:
    """Entities that are out of the text, and those that stand for them in it.

    Parameters
    ----------
    shapes : PlainShapes
        Of m entities in drawing order.
    kinds : ndarray of uint8, shape (m,)
        As `entity_rows` numbers them.
    handles : tuple of str or None
        Of each, as written.
    looks : ndarray of intp, shape (m,)
        Number of the look of each.
    runs : ndarray of intp, shape (r + 1,)
        Run i has the entities from runs[i] to runs[i + 1].
    """

    shapes: PlainShapes
    kinds: NDArray[np.uint8]
    handles: tuple[str | None, ...]
    looks: Indices
    runs: Indices

    def members(self, run: int) -> slice:
        """Return the entities of a run."""
        return slice(int(self.runs[run]), int(self.runs[run + 1]))


@dataclass(frozen=True, slots=True, eq=False)
class Marked:
    """Where the entities of `Loose` stand in a text.

    Parameters
    ----------
    loose : Loose
    entities, lasts : ndarray of intp, shape (m,)
        The number of each in the table of entities, and that of its end mark, which
        is the same where it has none.
    marks : mapping of int to bytes
        By entity that stays in the text: the tags to be put behind it.
    """

    loose: Loose
    entities: Indices
    lasts: Indices
    marks: Mapping[int, bytes]


@dataclass(frozen=True, slots=True)
class RunMark:
    """What an entity in the library's document stands for.

    Parameters
    ----------
    look : int
        It has this look.
    run : int or None
        These entities are drawn in its place, itself the first of them; None where it
        only says what the look is, and is drawn with another one's run.
    """

    look: int
    run: int | None


def mark_of(entity: Any) -> RunMark | None:
    """Return the mark of an entity of the library, if it has one."""
    if entity.xdata is None or not entity.has_xdata(RUN_MARK):
        return None
    look, run = (int(tag.value) for tag in list(entity.get_xdata(RUN_MARK))[:2])
    return RunMark(look, None if run == _NO_RUN else run)


def kind_name(kind: int) -> str:
    """Return the name of a kind of entity."""
    return NAMES[kind - 1].decode()


def find_loose(
    data: bytes, tags: Tags, entities: EntityRows, lifted: Lifted | None
) -> Marked | None:
    """Find plain entities that need not be read one by one.

    Parameters
    ----------
    data : bytes
    tags : Tags
    entities : EntityRows
    lifted : Lifted or None
        Polylines whose vertices are known.

    Returns
    -------
    Marked or None
        None if there are none.
    """
    candidates = tuple(alike_entities(tags, entities, lifted))
    if not candidates:
        return None
    looks: dict[tuple[object, ...], int] = {}
    doubled = _doubled_handles(data, tags, lifted)
    groups = [
        one
        for same in candidates
        if (one := _group(data, tags, same, lifted, looks, doubled)) is not None
    ]
    if not groups:
        return None
    found = np.concatenate([group.entities for group in groups])
    order = np.argsort(found)
    entity = found[order]
    last = _lasts(entity, lifted)
    # What stands alone between others would stay in the text all the same.
    beside = entity[1:] == last[:-1] + 1
    kept = np.append(beside, False) | np.append(False, beside)
    order, entity, last = order[kept], entity[kept], last[kept]
    if not len(order):
        return None
    apart = np.append(True, entity[1:] != last[:-1] + 1)
    runs = np.append(np.flatnonzero(apart), len(entity))
    handles = [handle for group in groups for handle in group.handles]
    loose = Loose(
        _joined([group.shapes for group in groups], order),
        np.concatenate([group.kinds for group in groups])[order],
        tuple(handles[i] for i in order.tolist()),
        np.concatenate([group.looks for group in groups])[order],
        runs,
    )
    return Marked(loose, entity, last, _marks(loose, entity))


def _lasts(entity: Indices, lifted: Lifted | None) -> Indices:
    """Return the end marks of entities; a POLYLINE has its vertices before it."""
    last = entity.copy()
    if lifted is not None:
        own = np.isin(entity, lifted.entities[lifted.has_end])
        rows = np.searchsorted(lifted.entities, entity[own])
        last[own] += np.diff(lifted.table.stops)[rows] + 1
    return last


def _marks(loose: Loose, entity: Indices) -> dict[int, bytes]:
    """Mark the first of every look and the first of every run."""
    _, firsts = np.unique(loose.looks, return_index=True)
    run_at = dict(zip(loose.runs[:-1].tolist(), range(len(loose.runs)), strict=False))
    staying = {*firsts.tolist(), *run_at}
    numbers, of_look = entity.tolist(), loose.looks.tolist()
    return {
        numbers[i]: _RUN_TAGS % (of_look[i], run_at.get(i, _NO_RUN)) for i in staying
    }


def _joined(shapes: Sequence[PlainShapes], order: Indices) -> PlainShapes:
    """Put the shapes of several groups together and in another order."""
    if len(shapes) == 1 and np.array_equal(order, np.arange(len(shapes[0].closed))):
        return shapes[0]
    counts = np.concatenate([np.diff(one.stops) for one in shapes])
    segments = concatenate([one.segments for one in shapes])
    closed = np.concatenate([one.closed for one in shapes])
    starts = np.cumsum(counts) - counts
    chosen = counts[order]
    stops = np.append(0, np.cumsum(chosen))
    rows = np.arange(stops[-1]) + np.repeat(starts[order] - stops[:-1], chosen)
    return PlainShapes(segments.take(rows), stops, closed[order])


@dataclass(frozen=True, slots=True, eq=False)
class _Group:
    """Entities that were found plain, in drawing order."""

    entities: Indices
    kinds: NDArray[np.uint8]
    shapes: PlainShapes
    handles: list[str | None]
    looks: Indices


def _group(
    data: bytes,
    tags: Tags,
    alike: Alike,
    lifted: Lifted | None,
    looks: dict[tuple[object, ...], int],
    doubled: frozenset[bytes],
) -> _Group | None:
    """Read entities that have the same group codes, if these are plain."""
    if not is_plain(alike.kind, alike.codes):
        return None
    numbers = _numbers(data, tags, alike)
    if numbers is None:
        return None
    good, shapes = _shapes(alike, numbers, lifted)
    column = alike.codes.index(HANDLE) if HANDLE in alike.codes else None
    handles: list[str | None] = [None] * len(good)
    if column is not None:
        written = _handles(data, tags, alike.begins + column)
        good &= np.array([_is_handle(one) and one not in doubled for one in written])
        handles = [one.decode("ascii", "replace") for one in written]
    chosen = np.flatnonzero(good)
    if not len(chosen):
        return None
    found = _looks(data, tags, alike, looks)
    return _Group(
        alike.entities[chosen],
        np.full(len(chosen), alike.kind, dtype=np.uint8),
        _joined([shapes], chosen),
        [handles[i] for i in chosen.tolist()],
        found[chosen],
    )


def _numbers(data: bytes, tags: Tags, alike: Alike) -> dict[int, Floats] | None:
    """Read what is a number and differs, and the flags of polylines."""
    places, _ = split_codes(alike.kind, alike.codes)
    wanted = {*places, COUNT}
    if alike.kind in {LWPOLYLINE, POLYLINE}:
        wanted.add(FLAGS)
    columns = [column for column, code in enumerate(alike.codes) if code in wanted]
    if not columns:
        return {}
    rows = alike.begins[:, np.newaxis] + np.array(columns, dtype=np.intp)
    read = numbers_at(data, tags, rows.ravel())
    if read is None:
        return None
    found = read.reshape(-1, len(columns)).T.copy()
    return {alike.codes[column]: found[i] for i, column in enumerate(columns)}


def _shapes(
    alike: Alike, numbers: Mapping[int, Floats], lifted: Lifted | None
) -> tuple[NDArray[np.bool_], PlainShapes]:
    """Return which entities draw something plain, and what all of them draw."""
    good = np.ones(len(alike.entities), dtype=np.bool_)
    for read in numbers.values():
        good &= np.abs(read) <= LARGEST_COORDINATE
    numbers = {code: np.where(good, read, 0.0) for code, read in numbers.items()}
    if alike.kind == LINE:
        own, shapes = plain_lines(numbers)
    elif lifted is not None and alike.kind in {LWPOLYLINE, POLYLINE}:
        rows = np.searchsorted(lifted.entities, alike.entities)
        flags = numbers.get(FLAGS, np.zeros(len(good))).astype(np.int64)
        own, shapes = plain_polylines(lifted.table, rows, flags & CLOSED != 0)
        if alike.kind == POLYLINE:  # not in space, no mesh
            own &= flags & ~(CLOSED | LINE_PATTERN) == 0
    else:
        own, shapes = plain_circles(numbers)
    return good & own, shapes


def _looks(
    data: bytes, tags: Tags, alike: Alike, looks: dict[tuple[object, ...], int]
) -> Indices:
    """Return the number of the look of each entity; equal bytes are one look."""
    is_look = [False, *(code in LOOK for code in alike.codes[1:]), False]
    edges = [
        column
        for column in range(1, len(is_look))
        if is_look[column] != is_look[column - 1]
    ]
    parts = [
        _values(data, tags.starts, alike.begins + first, alike.begins + stop)
        for first, stop in zip(edges[::2], edges[1::2], strict=True)
    ]
    whole = zip(*parts, strict=True) if parts else ((),) * len(alike.entities)
    return np.array(
        [
            looks.setdefault((alike.kind, alike.codes, *part), len(looks))
            for part in whole
        ],
        dtype=np.intp,
    )


def _values(
    data: bytes, starts: NDArray[np.uint32], first: Indices, stop: Indices
) -> list[bytes]:
    """Cut rows out of a text."""
    begins, ends = starts[first].tolist(), starts[stop].tolist()
    return [data[begin:end] for begin, end in zip(begins, ends, strict=True)]


def _handles(data: bytes, tags: Tags, rows: Indices) -> list[bytes]:
    begins, ends = tags.values[rows].tolist(), tags.starts[rows + 1].tolist()
    return [
        data[begin:end].rstrip(b"\r\n") for begin, end in zip(begins, ends, strict=True)
    ]


def _is_handle(text: bytes) -> bool:
    return text != b"0" and _HEXADECIMAL.fullmatch(text) is not None


def _doubled_handles(
    data: bytes, tags: Tags, lifted: Lifted | None
) -> frozenset[bytes]:
    """Return the handles that two entities have: the library says so."""
    chosen = (tags.codes == HANDLE) | (tags.codes == DIMENSION_STYLE_HANDLE)
    if lifted is not None:
        chosen &= ~lifted.taken
    counts = Counter(_handles(data, tags, np.flatnonzero(chosen)))
    return frozenset(handle for handle, count in counts.items() if count > 1)
