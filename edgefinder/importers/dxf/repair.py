"""Tags of entities that small writers leave out, and the library cannot do without."""

from collections.abc import Iterable, Iterator
from types import MappingProxyType
from typing import Final

from ezdxf.lldxf.types import DXFTag

SUBCLASSES: Final = MappingProxyType(
    {
        "LWPOLYLINE": "AcDbPolyline",
        "SPLINE": "AcDbSpline",
        "MTEXT": "AcDbMText",
        "LEADER": "AcDbLeader",
        "MLINE": "AcDbMline",
        "MESH": "AcDbSubDMesh",
        "PDFUNDERLAY": "AcDbUnderlayReference",
        "DWFUNDERLAY": "AcDbUnderlayReference",
        "DGNUNDERLAY": "AcDbUnderlayReference",
    }
)
"""Entities for which the library needs subclass marks (group 100), and their names
(DXF reference, ENTITIES)."""

_OF_ALL_ENTITIES: Final = frozenset(
    {5, 6, 8, 48, 60, 62, 67, 92, 102, 310, 330, 360, 370, 390, 410, 420, 430, 440}
)
"""Group codes before the mark of the kind (DXF reference, Common Group Codes for
Entities)."""

_NEWER_THAN_R12: Final = tuple(
    DXFTag(code, value)
    for code, value in (
        (0, "SECTION"),
        (2, "HEADER"),
        (9, "$ACADVER"),
        (1, "AC1015"),
        (0, "ENDSEC"),
    )
)
"""What a file without header needs for its subclass marks to be looked at."""

_ENTITY: Final = DXFTag(100, "AcDbEntity")


def with_subclasses(
    tags: Iterable[DXFTag], remarks: list[str], *, has_version: bool
) -> Iterator[DXFTag]:
    """Yield tags with the subclass marks that are missing.

    Parameters
    ----------
    tags : iterable of DXFTag
        As they stand in the file, before coordinates are put together.
    remarks : list of str
        Gets a line for each kind of entity that lacked them.
    has_version : bool
        Whether the header names the version of the file.
    """
    if not has_version:
        yield from _NEWER_THAN_R12
    entity: list[DXFTag] = []
    for tag in tags:
        if tag.code == 0:
            yield from _marked(entity, remarks)
            entity = []
        entity.append(tag)
    yield from _marked(entity, remarks)


def _marked(entity: list[DXFTag], remarks: list[str]) -> list[DXFTag]:
    kind = str(entity[0].value).strip() if entity else ""
    name = SUBCLASSES.get(kind)
    if name is None or any(tag.code == 100 for tag in entity):
        return entity
    remark = f"{kind} without subclass marks"
    if remark not in remarks:
        remarks.append(remark)
    own = next(
        (i for i, tag in enumerate(entity) if i and tag.code not in _OF_ALL_ENTITIES),
        len(entity),
    )
    common = [tag for tag in entity[own:] if tag.code in {6, 8, 62, 370, 420}]
    rest = [tag for tag in entity[own:] if tag.code not in {6, 8, 62, 370, 420}]
    return [entity[0], _ENTITY, *entity[1:own], *common, DXFTag(100, name), *rest]
