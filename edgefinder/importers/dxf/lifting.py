"""What numpy reads of a text DXF in bulk, and the text that is left for the library."""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from edgefinder.errors import DrawingError
from edgefinder.importers.dxf.entity_rows import (
    ARC,
    CIRCLE,
    LINE,
    LWPOLYLINE,
    POLYLINE,
    EntityRows,
    entity_rows,
)
from edgefinder.importers.dxf.loose import (
    RUN_MARK,
    Loose,
    Marked,
    RunMark,
    find_loose,
)
from edgefinder.importers.dxf.table import Tags, tags_of
from edgefinder.importers.dxf.vertices import (
    MARK,
    Lifted,
    Table,
    lift_vertices,
    vertex_mark,
)

MOST_DRAWN: Final = 1_000_000
"""Entities: a quarter of a minute and a gigabyte. A digitised pattern of fifty pieces
has some ten thousand."""
_DRAWN: Final = (LINE, ARC, CIRCLE, LWPOLYLINE, POLYLINE)


@dataclass(frozen=True, slots=True, eq=False)
class Bulk:
    """What is not in the library's document.

    Parameters
    ----------
    table : Table or None
        Vertices of plain polylines.
    loose : Loose or None
        Whole entities.
    """

    table: Table | None = None
    loose: Loose | None = None

    def count(self, mark: RunMark) -> int:
        """Return how many entities stand behind a mark."""
        if self.loose is None or mark.run is None:
            return 0
        first, stop = self.loose.runs[mark.run : mark.run + 2].tolist()
        return int(stop - first)

    def segments(self, mark: RunMark) -> int:
        """Return how many segments they have."""
        if self.loose is None or mark.run is None:
            return 0
        members, stops = self.loose.members(mark.run), self.loose.shapes.stops
        return int(stops[members.stop] - stops[members.start])


NOTHING: Final = Bulk()


@dataclass(frozen=True, slots=True, eq=False)
class Split:
    """A text DXF without what is read in bulk, and this."""

    text: bytes
    bulk: Bulk


def split(data: bytes) -> Split | None:
    """Take what is plain out of a text DXF.

    Parameters
    ----------
    data : bytes
        Begins with a group code.

    Returns
    -------
    Split or None
        None if there is nothing, or the text has anything about it that only the
        library can judge.

    Raises
    ------
    DrawingError
        With the reason, if there is more than `MOST_DRAWN`; the caller adds the file.
    """
    if MARK.encode() in data or RUN_MARK.encode() in data:
        return None
    tags = tags_of(data)
    if tags is None or tags.codes[0] != 0:
        return None
    entities = entity_rows(data, tags)
    drawn = int(np.isin(entities.kind, _DRAWN).sum())
    if drawn > MOST_DRAWN:
        raise DrawingError(
            f"has {drawn} lines, arcs and polylines, more than the {MOST_DRAWN} that "
            "are read; export the pattern pieces alone"
        )
    lifted = lift_vertices(data, tags, entities)
    marked = find_loose(data, tags, entities, lifted)
    if lifted is None and marked is None:
        return None
    taken, marks = _taken_and_marks(len(tags), entities, lifted, marked)
    bulk = Bulk(
        None if lifted is None else lifted.table,
        None if marked is None else marked.loose,
    )
    return Split(_text_without(data, tags, taken, marks), bulk)


def _taken_and_marks(
    count: int, entities: EntityRows, lifted: Lifted | None, marked: Marked | None
) -> tuple[NDArray[np.bool_], dict[int, bytes]]:
    """Return the rows that leave the text, and marks by the row that follows them."""
    taken = np.zeros(count, dtype=np.bool_)
    marks: dict[int, bytes] = {}
    out = np.zeros(len(entities), dtype=np.bool_)
    if marked is not None:
        out[marked.entities] = True
        marks.update(
            (int(entities.ends[one]), mark) for one, mark in marked.marks.items()
        )
    if lifted is not None:
        taken |= lifted.taken
        marks.update(
            (end, vertex_mark(number))
            for number, (end, is_out) in enumerate(
                zip(
                    entities.ends[lifted.entities].tolist(),
                    out[lifted.entities].tolist(),
                    strict=True,
                )
            )
            if not is_out
        )
    if marked is not None:
        stays = np.isin(marked.entities, list(marked.marks))
        out[marked.entities[stays]] = False
        out[marked.lasts[~stays]] = True
        taken |= out[entities.owner]
    return taken, marks


def _text_without(
    data: bytes, tags: Tags, taken: NDArray[np.bool_], marks: Mapping[int, bytes]
) -> bytes:
    """Leave rows out of a text, and put marks before some."""
    changes = np.flatnonzero(taken[1:] != taken[:-1]) + 1
    places = np.fromiter(marks, dtype=np.intp, count=len(marks))
    edges = np.unique(np.concatenate([[0, len(tags)], changes, places])).tolist()
    pieces = []
    for row, stop in pairwise(edges):
        if row in marks:
            pieces.append(marks[row])
        if not taken[row]:
            pieces.append(data[tags.starts[row] : tags.starts[stop]])
    pieces.append(data[tags.starts[-1] :])
    return b"".join(pieces)
