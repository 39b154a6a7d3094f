"""The vertices of plain polylines, read in bulk; the library reads all the rest.

A digitised pattern holds hundreds of thousands of vertices and little else, and the
library takes one of them at a time. So they are lifted out of its text: it gets every
polyline with its layer, colour, flags and plane, but without vertices, and with a mark
(extended data, which is what the format has for such things) that says where the
vertices of that polyline stand in the table. A polyline that is not plain in every way
that is looked at here stays in the text as it was.
"""

from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from edgefinder.geometry.segments import Complexes, Indices
from edgefinder.importers.dxf.entity_rows import (
    LWPOLYLINE,
    OTHER,
    POLYLINE,
    SEQEND,
    VERTEX,
    EntityRows,
)
from edgefinder.importers.dxf.polylines import LARGEST_COORDINATE, Vertices
from edgefinder.importers.dxf.table import Tags, numbers_at

MARK: Final = "EDGEFINDER_VERTICES"
"""Application name of the mark. A file that contains it already is not lifted."""

_MARK_TAGS: Final = f"1001\n{MARK}\n1071\n%d\n".encode()

# Group codes of the DXF reference, ENTITIES, LWPOLYLINE and VERTEX.
_X, _Y, _Z, _START_WIDTH, _END_WIDTH, _BULGE, _FLAGS = 10, 20, 30, 40, 41, 42, 70
_SUBCLASS, _EMBEDDED, _GROUP, _COMMENT, _EXTENDED = 100, 101, 102, 999, 1000
_IDENTIFIER = 91
_SUBCLASSES: Final = 2
"""AcDbEntity and AcDbPolyline."""

_MOST_FLAGS: Final = 255
"""All that group 70 of a VERTEX can say."""

_HIGHEST_CODE: Final = 9999


def _set_of(*codes: int) -> NDArray[np.bool_]:
    chosen = np.zeros(_HIGHEST_CODE + 1, dtype=np.bool_)
    chosen[list(codes)] = True
    return chosen


_OF_A_POINT: Final = _set_of(_X, _Y, _START_WIDTH, _END_WIDTH, _BULGE, _IDENTIFIER)
"""What belongs to a vertex of a LWPOLYLINE."""
_NOT_PLAIN: Final = _set_of(_Z, _EMBEDDED, _COMMENT)
_CHECKED: Final = (_START_WIDTH, _END_WIDTH, 48, 50, 60, 62, 67, _IDENTIFIER, 370, 420)
"""Widths and looks of a vertex: they draw nothing, but the library refuses a file in
which they are no numbers."""
_NUMBERS: Final = _set_of(_X, _Y, _Z, _BULGE, _FLAGS, *_CHECKED)
_IN_A_VERTEX: Final = _set_of(
    *(0, 5, 6, 8, _X, _Y, _Z, _BULGE, _FLAGS, _SUBCLASS, 330, 410, *_CHECKED)
)
"""What a VERTEX may hold."""


@dataclass(frozen=True, slots=True, eq=False)
class Table:
    """The vertices of all polylines that were lifted, one after the other.

    Parameters
    ----------
    vertices : Vertices, n of them
    stops : ndarray of intp, shape (k + 1,)
        Polyline i has the vertices from stops[i] to stops[i + 1].
    """

    vertices: Vertices
    stops: Indices


def vertices_of(entity: Any, table: Table | None) -> Vertices | None:
    """Return the vertices that were lifted out of a polyline, or None."""
    if table is None or not entity.has_xdata(MARK):
        return None
    number = entity.get_xdata(MARK)[0].value
    return table.vertices.take(slice(table.stops[number], table.stops[number + 1]))


def vertex_mark(number: int) -> bytes:
    """Return the tags that say where the vertices of a polyline stand."""
    return _MARK_TAGS % number


@dataclass(frozen=True, slots=True, eq=False)
class Lifted:
    """The polylines whose vertices are lifted.

    Parameters
    ----------
    entities : ndarray of intp, shape (k,)
        Which they are.
    has_end : ndarray of bool, shape (k,)
        Whether each has its vertices and its end mark behind it, as entities.
    taken : ndarray of bool, shape (rows,)
        The rows of the vertices.
    table : Table
        Of k polylines.
    """

    entities: Indices
    has_end: NDArray[np.bool_]
    taken: NDArray[np.bool_]
    table: Table


def lift_vertices(data: bytes, tags: Tags, entities: EntityRows) -> Lifted | None:
    """Read the vertices of plain polylines.

    Parameters
    ----------
    data : bytes
    tags : Tags
    entities : EntityRows

    Returns
    -------
    Lifted or None
        None if there are none, or one has a number that only the library can judge.

    Notes
    -----
    Two numbers per vertex are read at about 0.1 us each, and every tag takes 10 bytes
    of a table while it is at work.
    """
    lifted = _plain_lwpolylines(tags, entities) | _plain_polylines(tags, entities)
    if not lifted.any():
        return None
    kind, owner = entities.kind, entities.owner
    # A vertex is lifted with its polyline.
    taken = lifted[entities.head][owner]
    taken &= (kind[owner] == VERTEX) | (
        (kind[owner] == LWPOLYLINE) & _OF_A_POINT[tags.codes]
    )
    table = _table(data, tags, entities, taken)
    if table is None:
        return None
    found = np.flatnonzero(lifted)
    return Lifted(found, kind[found] == POLYLINE, taken, table)


def _plain_lwpolylines(tags: Tags, entities: EntityRows) -> NDArray[np.bool_]:
    """Say which entities are a LWPOLYLINE of the usual order of tags."""
    codes, owner = tags.codes, entities.owner
    count = len(entities.kind)
    own = (entities.kind == LWPOLYLINE)[owner]
    plain: NDArray[np.bool_] = entities.kind == LWPOLYLINE
    plain[owner[own & _NOT_PLAIN[codes]]] = False
    plain[owner[own & _torn(codes, _X, _Y)]] = False
    first, last = _first_and_last(own & _OF_A_POINT[codes], owner, count)
    heading = own & ((codes == _SUBCLASS) | (codes == _GROUP))
    _, before = _first_and_last(heading, owner, count)
    after, _ = _first_and_last(own & (codes >= _EXTENDED), owner, count)
    plain &= (last >= 0) & (before < first) & (last < after)
    plain &= codes[np.minimum(first, len(tags) - 1)] == _X
    subclasses = np.bincount(owner[own & (codes == _SUBCLASS)], minlength=count)
    plain &= subclasses == _SUBCLASSES
    plain &= entities.ends < len(tags)
    plain[entities.head[entities.kind == VERTEX]] = False  # a stray one
    return plain


def _plain_polylines(tags: Tags, entities: EntityRows) -> NDArray[np.bool_]:
    """Say which entities are a POLYLINE that has plain vertices and its end mark."""
    codes, owner, kind = tags.codes, entities.owner, entities.kind
    count = len(kind)
    own = (kind == VERTEX)[owner]
    good = np.ones(count, dtype=np.bool_)
    good[owner[own & ~_IN_A_VERTEX[codes]]] = False
    for code, least in ((_X, 1), (_Y, 1), (_Z, 0), (_BULGE, 0), (_FLAGS, 0)):
        found = np.bincount(owner[own & (codes == code)], minlength=count)
        good &= (kind != VERTEX) | (found == 1) | (found == least)
    good[owner[own & _torn(codes, _X, _Y)]] = False
    third = own & (codes == _Z)
    third[1:] &= codes[:-1] != _Y
    good[owner[third]] = False
    others = np.flatnonzero(kind != VERTEX)
    followed = np.full(count, OTHER, dtype=np.uint8)
    followed[others[:-1]] = kind[others[1:]]
    plain: NDArray[np.bool_] = (kind == POLYLINE) & (followed == SEQEND)
    plain &= np.bincount(entities.head[kind == VERTEX], minlength=count) > 0
    plain[entities.head[~good]] = False
    return plain


def _torn(codes: NDArray[np.int16], one: int, other: int) -> NDArray[np.bool_]:
    """Say which rows hold one of two codes that do not stand as a pair, in order."""
    first, second = codes == one, codes == other
    paired = np.zeros(len(codes), dtype=np.bool_)
    paired[:-1] = first[:-1] & second[1:]
    paired[1:] |= paired[:-1] & second[1:]
    torn: NDArray[np.bool_] = (first | second) & ~paired
    return torn


def _first_and_last(
    chosen: NDArray[np.bool_], owner: NDArray[np.int32], count: int
) -> tuple[Indices, Indices]:
    """Return the first and the last of the chosen rows of every entity.

    Without any they are beyond the end and before the beginning.
    """
    rows = np.flatnonzero(chosen)
    owners = owner[rows]
    first = np.full(count, np.iinfo(np.intp).max, dtype=np.intp)
    last = np.full(count, -1, dtype=np.intp)
    first[owners[::-1]] = rows[::-1]
    last[owners] = rows
    return first, last


def _table(
    data: bytes, tags: Tags, entities: EntityRows, taken: NDArray[np.bool_]
) -> Table | None:
    """Read the numbers in some rows; None if one is unfit to compute with."""
    opener = np.where((entities.kind == VERTEX)[entities.owner], np.int16(0), _X)
    begins = np.flatnonzero(taken & (tags.codes == opener))
    del opener
    count = len(begins)
    columns = {code: np.zeros(count) for code in (_Z, _BULGE, _FLAGS)}
    present = np.bincount(tags.codes[taken])
    for code in np.flatnonzero((present > 0) & _NUMBERS[: len(present)]).tolist():
        # One code after the other: less memory than all numbers at once.
        rows = np.flatnonzero(taken & (tags.codes == code))
        numbers = numbers_at(data, tags, rows)
        if numbers is None or not (np.abs(numbers) <= LARGEST_COORDINATE).all():
            return None
        if code in {_X, _Y}:  # every vertex has them
            columns[code] = numbers
        elif code in columns:
            vertex = np.searchsorted(begins, rows, side="right") - 1
            columns[code][vertex] = numbers
    flags = columns[_FLAGS]
    if not (flags == np.clip(np.floor(flags), 0, _MOST_FLAGS)).all():
        return None
    points: Complexes = np.empty(count, dtype=np.complex128)
    points.real, points.imag = columns[_X], columns[_Y]
    heads = entities.head[entities.owner[begins]]
    starts = np.flatnonzero(np.diff(heads, prepend=-1))
    return Table(
        Vertices(points, columns[_Z], columns[_BULGE], flags.astype(np.int16)),
        np.append(starts, count),
    )
