"""What is drawn by entities that were read in bulk, in the place of the one left."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Final

from ezdxf.document import Drawing as Document

from edgefinder.geometry.affine import Affine
from edgefinder.importers.drawing import DrawnLine
from edgefinder.importers.dxf.lifting import Bulk
from edgefinder.importers.dxf.loose import Loose, kind_name, mark_of
from edgefinder.importers.dxf.placing import placed

DRAWN_TOGETHER: Final = 20_000
"""Entities put in place in one go. More: memory for a copy of them all."""


@dataclass(frozen=True, slots=True)
class Look:
    """What entities that look alike have in common where they are drawn.

    Parameters
    ----------
    layer, colour : str
    groups : tuple of str
        Blocks around them.
    label : str or None
    """

    layer: str
    colour: str
    groups: tuple[str, ...]
    label: str | None


@dataclass(frozen=True, slots=True)
class Spot:
    """The place of a run in one file.

    Parameters
    ----------
    name : str
        Of the file.
    inside : str
        Of the block around it, for messages.
    handle : str
        Of the entity that stands for it, after which entities without one are named.
    affine : Affine
        To millimetres.
    """

    name: str
    inside: str
    handle: str
    affine: Affine


def looks_of(document: Document, bulk: Bulk) -> dict[int, Any]:
    """Return an entity of the library for each look."""
    if bulk.loose is None:
        return {}
    marks = ((mark_of(one), one) for one in document.entitydb.values())
    return {mark.look: one for mark, one in marks if mark is not None}


def drawn_run(
    loose: Loose, run: int, looks: Mapping[int, Look | None], spot: Spot
) -> Iterator[tuple[str, str, DrawnLine | None]]:
    """Draw the entities of a run.

    Parameters
    ----------
    loose : Loose
    run : int
    looks : mapping of int to Look or None
        None for what is hidden.
    spot : Spot

    Yields
    ------
    kind : str
    where : str
    line : DrawnLine or None
        None without length.

    Raises
    ------
    DrawingError
        If a line is scaled beyond all measure.
    """
    members = loose.members(run)
    for first in range(members.start, members.stop, DRAWN_TOGETHER):
        some = range(first, min(first + DRAWN_TOGETHER, members.stop))
        yield from _drawn(loose, members.start, some, looks, spot)


def _drawn(
    loose: Loose,
    head: int,
    some: range,
    looks: Mapping[int, Look | None],
    spot: Spot,
) -> Iterator[tuple[str, str, DrawnLine | None]]:
    def handle_of(index: int) -> str:
        own = loose.handles[index]
        if own is not None:
            return own
        return spot.handle if index == head else f"{spot.handle}+{index - head}"

    def where_of(index: int) -> str:
        kind = kind_name(loose.kinds[index])
        return f"{spot.name}, {kind} {handle_of(index)}{spot.inside}"

    stops = loose.shapes.stops[some.start : some.stop + 1].tolist()
    paths = placed(
        loose.shapes.segments.take(slice(stops[0], stops[-1])),
        [stop - start for start, stop in pairwise(stops)],
        loose.shapes.closed[some.start : some.stop].tolist(),
        spot.affine,
        lambda index: where_of(some[index]),
    )
    of_look = loose.looks[some.start : some.stop].tolist()
    for index, number, path in zip(some, of_look, paths, strict=True):
        look = looks[number]
        if look is None:
            continue
        kind, where = kind_name(loose.kinds[index]), where_of(index)
        if path is None:
            yield kind, where, None
            continue
        yield (
            kind,
            where,
            DrawnLine(
                path=path,
                id=handle_of(index),
                kind=kind,
                layer=look.layer,
                groups=look.groups,
                classes=(),
                colour=look.colour,
                label=look.label,
                where=where,
            ),
        )
