"""Model space to drawn lines and texts, with every insert put in place."""

import math
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import groupby
from typing import Any, Final

import numpy as np
from ezdxf.document import Drawing as Document
from ezdxf.entities.dxfgfx import DXFGraphic
from ezdxf.entities.insert import Insert
from ezdxf.xclip import XClip

from edgefinder.geometry.affine import Affine
from edgefinder.geometry.segments import concatenate
from edgefinder.importers.drawing import Drawing, DrawnLine, DrawnPoint, DrawnText
from edgefinder.importers.dxf.counting import check_expansion, grid_of
from edgefinder.importers.dxf.entities import (
    SHAPES,
    Shape,
    attribute,
    numbers,
    plane_of,
    polyline_shape,
    shape_of,
)
from edgefinder.importers.dxf.layers import (
    DEFAULT_COLOUR,
    colour_of,
    layer_name,
    layers_of,
    readable,
)
from edgefinder.importers.dxf.lifting import NOTHING, Bulk
from edgefinder.importers.dxf.loose import RunMark, mark_of
from edgefinder.importers.dxf.placing import placed, stretch
from edgefinder.importers.dxf.points import POINT, drawn_point
from edgefinder.importers.dxf.runs import Look, Spot, drawn_run, looks_of
from edgefinder.importers.dxf.spline import SPLINE_TOLERANCE_MM
from edgefinder.importers.dxf.tally import Tally
from edgefinder.importers.dxf.texts import TEXTS, lines_of_text, text_point
from edgefinder.importers.dxf.vertices import vertices_of

PLACED_TOGETHER: Final = 20_000
"""Segments put in place in one go. More: memory for a copy of them all. Fewer: more
time for short lines than for their coordinates."""

_XREF: Final = 4 | 8
_ANONYMOUS: Final = "*"


@dataclass(frozen=True, slots=True)
class _Place:
    """Where the content of model space or of a block is put.

    Parameters
    ----------
    affine : Affine
        From the coordinates of the content to millimetres.
    layer : str or None
        Of the insert; None in model space.
    colour : str
        Of the insert.
    blocks : tuple of str
        Names of the blocks around it, outermost first.
    """

    affine: Affine
    layer: str | None
    colour: str
    blocks: tuple[str, ...]

    @property
    def label(self) -> str | None:
        """The innermost block that a person has named."""
        named = [name for name in self.blocks if not name.startswith(_ANONYMOUS)]
        return named[-1] if named else None

    @property
    def inside(self) -> str:
        """The same for messages."""
        return f' in block "{self.label}"' if self.label else ""


def read_model_space(
    name: str,
    document: Document,
    unit_mm: float,
    tally: Tally,
    bulk: Bulk = NOTHING,
) -> Drawing:
    """Return everything drawn in model space, at true size.

    Parameters
    ----------
    name : str
        File name, for messages.
    document : Document
    unit_mm : float
        Millimetres per drawing unit.
    tally : Tally
        Gets what is unusual.
    bulk : Bulk
        What is not in the document.

    Raises
    ------
    DrawingError
        If a coordinate is unfit, or the inserts draw too much.
    """
    check_expansion(name, document, bulk)
    walk = _Walk(name, document, tally, bulk)
    walk.layout(
        document.modelspace(),
        _Place(Affine(a=unit_mm, d=unit_mm), None, DEFAULT_COLOUR, ()),
    )
    walk.put_in_place()
    return Drawing(
        name,
        tuple(walk.lines),
        tuple(walk.texts),
        unit_mm,
        points=tuple(walk.points),
        turns={
            blocks: Affine(
                affine.a / unit_mm,
                affine.b / unit_mm,
                affine.c / unit_mm,
                affine.d / unit_mm,
            )
            for blocks, affine in walk.turns.items()
        },
    )


class _Walk:
    """Goes through entities in drawing order and collects what they draw."""

    def __init__(self, name: str, document: Document, tally: Tally, bulk: Bulk) -> None:
        self.lines: list[DrawnLine] = []
        self.texts: list[DrawnText] = []
        self.points: list[DrawnPoint] = []
        self.turns: dict[tuple[str, ...], Affine] = {}
        self._name = name
        self._document = document
        self._layers = layers_of(document)
        self._tally = tally
        self._bulk = bulk
        self._looks = looks_of(document, bulk)
        self._shapes: dict[tuple[int, float], Shape] = {}
        self._waiting: list[tuple[DrawnLine, Affine]] = []
        self._waiting_segments = 0

    def layout(self, entities: Iterable[DXFGraphic], place: _Place) -> None:
        """Collect what the entities of model space or of a block draw."""
        for entity in entities:
            kind = entity.dxftype()
            mark = mark_of(entity) if self._looks else None
            if mark is not None:
                self._run(entity, mark, place)
            elif not (isinstance(entity, Insert) or kind in SHAPES or kind in TEXTS):
                self._tally.skip(kind, self._where(entity, place))
                if kind == POINT and not self._is_hidden(entity, place):
                    self._point(entity, place)
            elif self._is_hidden(entity, place):
                continue
            elif isinstance(entity, Insert):
                self._insert(entity, place)
            elif kind in SHAPES:
                self._line(entity, place)
            else:
                self._text(entity, place)

    def _where(self, entity: DXFGraphic, place: _Place) -> str:
        handle = entity.dxf.get("handle")
        return f"{self._name}, {entity.dxftype()} {handle}{place.inside}"

    def _is_hidden(self, entity: DXFGraphic, place: _Place, count: int = 1) -> bool:
        """Whether an entity is not seen; it is counted, or as many as look like it."""
        where = self._where(entity, place)
        if entity.dxf.get("invisible", 0):
            self._tally.add("invisible", "", where, count)
            return True
        name = layer_name(entity, place.layer)
        layer = self._layers.get(name.casefold())
        if layer is None or layer.hidden is None:
            return False
        if layer.hidden == "off" and entity.dxftype() == "INSERT":
            # Freezing the layer of an insert hides all of it; switching it off hides
            # only what floats on it, which is seen when the content is read.
            return False
        subject = f'layer "{name}" is {layer.hidden}'
        self._tally.add("layer-hidden", subject, where, count)
        return True

    def _line(self, entity: DXFGraphic, place: _Place) -> None:
        where = self._where(entity, place)
        shape = self._shape(entity, where, place)
        for code, subject in shape.remarks:
            self._tally.add(code, subject, where)
        if shape.path is None:
            return
        layer = layer_name(entity, place.layer)
        line = DrawnLine(
            path=shape.path,
            id=entity.dxf.get("handle"),
            kind=entity.dxftype(),
            layer=layer,
            groups=place.blocks,
            classes=(),
            colour=self._colour(entity, place),
            label=place.label,
            where=where,
        )
        self._waiting.append((line, place.affine))
        self._waiting_segments += len(shape.path.segments)
        if self._waiting_segments >= PLACED_TOGETHER:
            self.put_in_place()

    def _run(self, entity: DXFGraphic, mark: RunMark, place: _Place) -> None:
        """Collect what entities draw that were read in bulk."""
        loose = self._bulk.loose
        if loose is None or mark.run is None:
            return
        self.put_in_place()
        counts = Counter(loose.looks[loose.members(mark.run)].tolist())
        looks = {
            look: self._look(self._looks[look], place, count)
            for look, count in counts.items()
        }
        handle = str(entity.dxf.get("handle"))
        spot = Spot(self._name, place.inside, handle, place.affine)
        for kind, where, line in drawn_run(loose, mark.run, looks, spot):
            if line is None:
                self._tally.add("zero-length", kind, where)
            else:
                self.lines.append(line)

    def _look(self, entity: DXFGraphic, place: _Place, count: int) -> Look | None:
        if self._is_hidden(entity, place, count):
            return None
        layer = layer_name(entity, place.layer)
        return Look(layer, self._colour(entity, place), place.blocks, place.label)

    def put_in_place(self) -> None:
        """Bring the lines that were met to their places, in true size."""
        for affine, together in groupby(self._waiting, key=lambda pair: pair[1]):
            lines = [line for line, _ in together]
            paths = [line.path for line in lines]
            found = placed(
                concatenate([path.segments for path in paths]),
                [len(path.segments) for path in paths],
                [path.closed for path in paths],
                affine,
                [line.where for line in lines].__getitem__,
            )
            for line, path in zip(lines, found, strict=True):
                if path is None:
                    self._tally.add("zero-length", line.kind, line.where)
                else:
                    self.lines.append(replace(line, path=path))
        self._waiting.clear()
        self._waiting_segments = 0

    def _shape(self, entity: DXFGraphic, where: str, place: _Place) -> Shape:
        tolerance = SPLINE_TOLERANCE_MM / stretch(place.affine)
        key = (id(entity), tolerance)
        known = self._shapes.get(key)
        if known is not None:
            return known
        lifted = vertices_of(entity, self._bulk.table)
        if lifted is None:
            shape = shape_of(entity, where, tolerance)
        else:
            shape = polyline_shape(entity, lifted, where, tolerance)
        if place.blocks:  # what is not in a block is drawn once
            self._shapes[key] = shape
        return shape

    def _colour(self, entity: DXFGraphic, place: _Place) -> str:
        layer = self._layers.get(layer_name(entity, place.layer).casefold())
        return colour_of(entity, layer, place.colour)

    def _text(self, entity: DXFGraphic, place: _Place) -> None:
        where = self._where(entity, place)
        at = place.affine.points(np.array([text_point(entity, where)]))[0]
        layer = layer_name(entity, place.layer)
        self.texts.extend(
            DrawnText(line, complex(at), layer, place.blocks)
            for line in lines_of_text(entity, where)
        )

    def _point(self, entity: DXFGraphic, place: _Place) -> None:
        point = drawn_point(
            entity,
            place.affine,
            layer=layer_name(entity, place.layer),
            groups=place.blocks,
            where=self._where(entity, place),
        )
        self.points.append(point)

    def _insert(self, entity: Insert, place: _Place) -> None:
        where = self._where(entity, place)
        name = readable(str(entity.dxf.get("name", "")))
        for attrib in entity.attribs:
            if not self._is_hidden(attrib, place):
                self._text(attrib, place)
        block: Any = self._document.blocks.get(entity.dxf.get("name", ""))
        # The library's rescue leaves blocks behind that are no longer alive.
        if block is None or not block.block.is_alive:
            self._tally.add("missing-block", name, where)
            return
        if block.block.dxf.get("flags", 0) & _XREF:
            self._tally.add("external-drawing", name, where)
            return
        if not len(block):
            # Where the section BLOCKS is lost, the library makes empty ones by the
            # names in the table of blocks.
            self._tally.add("empty-block", name, where)
            return
        if XClip(entity).has_clipping_path:
            self._tally.add("clipped-insert", name, where)
        inside = _Place(
            place.affine,
            layer_name(entity, place.layer),
            self._colour(entity, place),
            (*place.blocks, name),
        )
        base = numbers(tuple(block.block.dxf.get("base_point", (0, 0, 0))), where)
        for cell in self._cells(entity, complex(base[0], base[1]), where):
            affine = place.affine @ cell
            self.turns.setdefault(inside.blocks, affine)
            self.layout(block, replace(inside, affine=affine))

    def _cells(self, insert: DXFGraphic, base: complex, where: str) -> list[Affine]:
        """Return the maps from a block to each cell of the grid of an insert."""
        at = attribute(insert, "insert", where)
        scales = numbers([insert.dxf.get(f"{axis}scale", 1.0) for axis in "xy"], where)
        if not scales.all():
            self._tally.add("scale-zero", readable(insert.dxf.name), where)
            scales[scales == 0] = 1.0
        plane, tilted = plane_of(insert, float(at[2]), where)
        if tilted:
            self._tally.add("not-flat", "INSERT", where)
        angle = math.radians(float(numbers(insert.dxf.get("rotation", 0.0), where)))
        cos, sin = math.cos(angle), math.sin(angle)
        turn = Affine(cos, sin, -sin, cos, at[0], at[1])
        scale = Affine(a=scales[0], d=scales[1]) @ Affine(e=-base.real, f=-base.imag)
        spacing = [insert.dxf.get(f"{key}_spacing", 0.0) for key in ("column", "row")]
        across, up = numbers(spacing, where)
        rows, columns = grid_of(insert)
        # The grid turns with the insert and is not scaled with it.
        return [
            plane @ turn @ Affine(e=column * across, f=row * up) @ scale
            for row in range(rows)
            for column in range(columns)
        ]
