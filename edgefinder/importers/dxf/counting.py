"""How much a drawing grows when its blocks are put in place, before that is done.

A file of a few kilobytes can hold a grid of a thousand million inserts, blocks that
double themselves fifty times, or a block that contains itself.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Final

from ezdxf.document import Drawing as Document
from ezdxf.entities.dxfgfx import DXFGraphic

from edgefinder.errors import DrawingError
from edgefinder.importers.dxf.layers import readable
from edgefinder.importers.dxf.lifting import NOTHING, Bulk
from edgefinder.importers.dxf.loose import mark_of
from edgefinder.importers.dxf.vertices import vertices_of

MOST_ENTITIES: Final = 200_000
"""Entities that inserts may draw together; a graded pattern of fifty pieces draws some
thousands. Larger: a hostile file runs for minutes."""

MOST_VERTICES: Final = 5_000_000
"""Vertices of polylines and splines that inserts may draw together."""

DEEPEST_NESTING: Final = 50
"""Blocks within blocks; people use three or four."""


@dataclass(frozen=True, slots=True)
class _Load:
    """What one insert of a block draws."""

    entities: int
    vertices: int
    depth: int


def grid_of(insert: DXFGraphic) -> tuple[int, int]:
    """Return the rows and columns of an insert; without spacing there is one."""
    rows = insert.dxf.get("row_count", 1) if insert.dxf.get("row_spacing", 0.0) else 1
    columns = (
        insert.dxf.get("column_count", 1)
        if insert.dxf.get("column_spacing", 0.0)
        else 1
    )
    return max(rows, 1), max(columns, 1)


def check_expansion(name: str, document: Document, bulk: Bulk = NOTHING) -> None:
    """Refuse a drawing whose blocks cannot be put in place.

    Parameters
    ----------
    name : str
        File name, for the message.
    document : Document
    bulk : Bulk
        What is not in the document.

    Raises
    ------
    DrawingError
        If a block contains itself, blocks are nested too deeply, or inserts draw more
        than `MOST_ENTITIES` or `MOST_VERTICES`.
    """
    counter = _Counter(name, document, bulk)
    load = counter.inserts(document.modelspace(), ())
    for count, most, what in (
        (load.entities, MOST_ENTITIES, "entities"),
        (load.vertices, MOST_VERTICES, "vertices"),
    ):
        if count > most:
            raise DrawingError(
                f"{name}: its inserts draw {count:.6g} {what}, more than the {most} "
                "that are read; export the pattern pieces alone"
            )


class _Counter:
    def __init__(self, name: str, document: Document, bulk: Bulk) -> None:
        self._name = name
        self._document = document
        self._bulk = bulk
        self._known: dict[str, _Load] = {}

    def inserts(self, entities: Iterable[DXFGraphic], around: tuple[str, ...]) -> _Load:
        """Add up what the inserts among some entities draw."""
        loads = [
            self._insert(entity, around)
            for entity in entities
            if entity.dxftype() == "INSERT"
        ]
        return _total(loads)

    def _insert(self, insert: DXFGraphic, around: tuple[str, ...]) -> _Load:
        rows, columns = grid_of(insert)
        load = self._block(str(insert.dxf.get("name", "")), around)
        # An insert that draws nothing still takes its time.
        entities = rows * columns * max(load.entities, 1)
        return _Load(entities, rows * columns * load.vertices, load.depth)

    def _block(self, name: str, around: tuple[str, ...]) -> _Load:
        key = name.casefold()
        if key in around:
            raise DrawingError(
                f'{self._name}: the block "{readable(name)}" contains itself; redraw it'
            )
        if key in self._known:
            load = self._known[key]
        else:
            self._refuse_depth(len(around))
            load = self._count(name, (*around, key))
            self._known[key] = load
        self._refuse_depth(len(around) + load.depth)
        return load

    def _count(self, name: str, around: tuple[str, ...]) -> _Load:
        block: Any = self._document.blocks.get(name)
        if block is None:
            return _Load(0, 0, 0)
        inner = self.inserts(block, around)
        entities, vertices = inner.entities, inner.vertices
        for entity in block:
            if entity.dxftype() == "INSERT":
                continue
            mark = mark_of(entity)
            if mark is None:
                entities += 1
                vertices += _vertices(entity, self._bulk)
            else:
                entities += self._bulk.count(mark)
                vertices += self._bulk.segments(mark)
        return _Load(entities, vertices, inner.depth + 1)

    def _refuse_depth(self, depth: int) -> None:
        if depth > DEEPEST_NESTING:
            raise DrawingError(
                f"{self._name}: its blocks are nested more than {DEEPEST_NESTING} "
                "deep; explode them"
            )


def _total(loads: list[_Load]) -> _Load:
    return _Load(
        sum(load.entities for load in loads),
        sum(load.vertices for load in loads),
        max((load.depth for load in loads), default=0),
    )


def _vertices(entity: Any, bulk: Bulk) -> int:
    lifted = vertices_of(entity, bulk.table)
    if lifted is not None:
        return len(lifted)
    kind = entity.dxftype()
    if kind == "LWPOLYLINE":
        return len(entity)
    if kind == "POLYLINE":
        return len(entity.vertices)
    if kind == "SPLINE":
        return len(entity.control_points) + len(entity.fit_points)
    return 0
