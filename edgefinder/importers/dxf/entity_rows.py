"""Where the entities of a DXF stand in the table of its tags."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from edgefinder.geometry.segments import Indices
from edgefinder.importers.dxf.table import Tags, rows_saying

NAMES: Final = (
    *(b"LWPOLYLINE", b"POLYLINE", b"VERTEX", b"SEQEND"),
    *(b"LINE", b"ARC", b"CIRCLE"),
)
OTHER, LWPOLYLINE, POLYLINE, VERTEX, SEQEND, LINE, ARC, CIRCLE = range(8)


@dataclass(frozen=True, slots=True, eq=False)
class EntityRows:
    """What begins with group code 0.

    Parameters
    ----------
    kind : ndarray of uint8, shape (n,)
        Its name as one of the numbers of this module.
    begins, ends : ndarray of intp, shape (n,)
        First row of each, and the one after its last.
    owner : ndarray of int32, shape (rows,)
        Entity of every row.
    head : ndarray of intp, shape (n,)
        For a VERTEX the entity before the row of vertices, for others themselves.
    """

    kind: NDArray[np.uint8]
    begins: Indices
    ends: Indices
    owner: NDArray[np.int32]
    head: Indices

    def __len__(self) -> int:
        return len(self.kind)


def entity_rows(data: bytes, tags: Tags) -> EntityRows:
    """Find what begins with group code 0; the first tag does."""
    begins = np.flatnonzero(tags.codes == 0)
    ends = np.append(begins[1:], len(tags))
    kind = np.full(len(begins), OTHER, dtype=np.uint8)
    for number, name in enumerate(NAMES, start=1):
        named = rows_saying(data, tags, begins, name)
        kind[np.searchsorted(begins, named)] = number
    everyone = np.arange(len(begins))
    return EntityRows(
        kind=kind,
        begins=begins,
        ends=ends,
        owner=np.repeat(everyone.astype(np.int32), ends - begins),
        head=np.maximum.accumulate(np.where(kind == VERTEX, 0, everyone)),
    )
