"""Entities that are written alike: the same group codes in the same order.

A drawing program writes every line with the same codes, so that a question about them
is answered once for thousands of lines.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np

from edgefinder.geometry.segments import Indices
from edgefinder.importers.dxf.entity_rows import (
    ARC,
    CIRCLE,
    LINE,
    LWPOLYLINE,
    POLYLINE,
    EntityRows,
)
from edgefinder.importers.dxf.table import Tags
from edgefinder.importers.dxf.vertices import Lifted

LEAST_ALIKE: Final = 20
"""Entities with the same group codes in the same order. Fewer: more Python for each
order than the library takes for the entities."""
MOST_VERTICES: Final = 200
"""Of a polyline. Larger: memory for copies, while what the
library does for each polyline takes less and less of the time."""
MOST_ORDERS: Final = 20
"""Orders of as many group codes that are looked at; a drawing program has two or three.
Larger: what is hostile takes long."""
MOST_CODES: Final = 40
"""Group codes of an entity, its vertices left out; drawing programs write about 15."""

HANDLE, DIMENSION_STYLE_HANDLE, SUBCLASS, COUNT, FLAGS = 5, 105, 100, 90, 70
CLOSED, LINE_PATTERN = 1, 128
"""Of the flags of a polyline."""
LOOK: Final = frozenset(
    {
        *(6, 8, 38, 39, 43, 48, 60, 62, 66, 67, FLAGS, SUBCLASS, 284, 330),
        *(347, 348, 370, 380, 390, 420, 430, 440),
    }
)
"""What makes the look of an entity, and in what its bytes are compared."""
_PLACES: Final[dict[int, tuple[tuple[int, ...], ...]]] = {
    LINE: ((10, 20, 30), (10, 20), (11, 21, 31), (11, 21)),
    ARC: ((10, 20, 30), (10, 20), (40,), (50,), (51,)),
    CIRCLE: ((10, 20, 30), (10, 20), (40,)),
    LWPOLYLINE: (),
    POLYLINE: ((10, 20, 30), (10, 20)),
}
"""The group codes of coordinates, in the only orders in which the library reads them;
DXF reference, ENTITIES. The vertices of polylines are read already; what a POLYLINE
holds itself is its elevation."""
_NEEDED: Final = {
    LINE: frozenset({10, 20, 11, 21}),
    ARC: frozenset({10, 20, 40, 50, 51}),
    CIRCLE: frozenset({10, 20, 40}),
    LWPOLYLINE: frozenset[int](),
    POLYLINE: frozenset[int](),
}
_VARYING: Final = {
    LINE: frozenset({HANDLE}),
    ARC: frozenset({HANDLE}),
    CIRCLE: frozenset({HANDLE}),
    LWPOLYLINE: frozenset({HANDLE, COUNT}),
    POLYLINE: frozenset({HANDLE}),
}


@dataclass(frozen=True, slots=True, eq=False)
class Alike:
    """Entities of one kind that have the same group codes in the same order."""

    kind: int
    entities: Indices
    begins: Indices
    codes: tuple[int, ...]


def alike_entities(
    tags: Tags, entities: EntityRows, lifted: Lifted | None
) -> Iterator[Alike]:
    """Sort candidates by what group codes they have, vertices left out."""
    stops = entities.ends.copy()
    # Behind the last entity there must be room for a mark.
    plain = np.isin(entities.kind, (LINE, ARC, CIRCLE)) & (entities.ends < len(tags))
    if lifted is not None:
        own = lifted.entities[entities.kind[lifted.entities] == LWPOLYLINE]
        before = np.append(0, np.cumsum(lifted.taken))
        vertices = before[entities.ends[own]] - before[entities.begins[own]]
        stops[own] -= vertices
        # Nothing may stand between or behind the vertices.
        plain[own] = before[stops[own]] == before[entities.begins[own]]
        plain[lifted.entities[entities.kind[lifted.entities] == POLYLINE]] = True
        plain[lifted.entities] &= np.diff(lifted.table.stops) <= MOST_VERTICES
    widths = stops - entities.begins
    for kind in _PLACES:
        of_kind = plain & (entities.kind == kind)
        for width in np.unique(widths[of_kind]).tolist():
            chosen = np.flatnonzero(of_kind & (widths == width))
            if width > MOST_CODES or len(chosen) < LEAST_ALIKE:
                continue
            begins = entities.begins[chosen]
            codes = tags.codes[begins[:, np.newaxis] + np.arange(width)]
            for _ in range(MOST_ORDERS):
                same = (codes == codes[0]).all(axis=1)
                if same.sum() >= LEAST_ALIKE:
                    order = tuple(codes[0].tolist())
                    yield Alike(kind, chosen[same], begins[same], order)
                chosen, begins, codes = chosen[~same], begins[~same], codes[~same]
                if len(chosen) < LEAST_ALIKE:
                    break


def is_plain(kind: int, codes: tuple[int, ...]) -> bool:
    """Whether group codes in their order are only what is understood here."""
    places, others = split_codes(kind, codes)
    if len(set(places)) < len(places) or not _NEEDED[kind] <= {*places, *others}:
        return False
    varying = [code for code in others[1:] if code not in LOOK]
    if len(set(varying)) < len(varying) or not _VARYING[kind].issuperset(varying):
        return False
    # Behind a mark of a subclass it would be no handle.
    before = codes[: codes.index(SUBCLASS)] if SUBCLASS in codes else codes
    return HANDLE not in codes or HANDLE in before


def split_codes(kind: int, codes: tuple[int, ...]) -> tuple[list[int], list[int]]:
    """Part the group codes of whole points and other places from all others."""
    places: list[int] = []
    others: list[int] = []
    index = 0
    while index < len(codes):
        part = next(
            (p for p in _PLACES[kind] if codes[index : index + len(p)] == p),
            codes[index : index + 1],
        )
        (places if part in _PLACES[kind] else others).extend(part)
        index += len(part)
    return places, others
