"""Which outlines lie in which others, as far as they may belong together."""

from collections.abc import Sequence
from dataclasses import dataclass

from edgefinder.importers.drawing import DrawnLine
from edgefinder.pattern.contained_pairs import contained_pairs
from edgefinder.pattern.edges import Ring
from edgefinder.pattern.flat_rings import FlatRings


@dataclass(frozen=True, slots=True)
class Around:
    """An outline around another.

    Parameters
    ----------
    index : int
    is_apart : bool
        Whether they stand on different layers or in different groups.
    """

    index: int
    is_apart: bool


@dataclass(frozen=True, slots=True, eq=False)
class Containment:
    """For every outline those around it, the smallest one first.

    Parameters
    ----------
    every : tuple of tuple of int
        All of them.
    related : tuple of tuple of Around
        Those of the same size, unless groups of other names tell the two apart.
    """

    every: tuple[tuple[int, ...], ...]
    related: tuple[tuple[Around, ...], ...]


def find_containment(flat: FlatRings, sizes: Sequence[str | None]) -> Containment:
    """Find out which outlines lie in which.

    Parameters
    ----------
    flat : FlatRings
    sizes : sequence of str or None
        Of each outline; one without a size may lie in one of any size.

    Raises
    ------
    DrawingError
        If more lie over one another than a pattern can hold.
    """
    inner, outer = contained_pairs(flat)
    numbers: dict[_Marks, int] = {}
    marks = [numbers.setdefault(_Marks.of(ring), len(numbers)) for ring in flat.rings]
    known = list(numbers)
    relations: dict[tuple[int, int], bool | None] = {}
    around = [
        (Around(j, is_apart=False), Around(j, is_apart=True)) for j in range(len(marks))
    ]
    every: list[list[int]] = [[] for _ in flat.rings]
    related: list[list[Around]] = [[] for _ in flat.rings]
    for i, j in zip(inner.tolist(), outer.tolist(), strict=True):
        every[i].append(j)
        if sizes[i] is not None and sizes[i] != sizes[j]:
            continue
        key = marks[i], marks[j]
        if key not in relations:
            relations[key] = known[key[0]].is_apart_from(known[key[1]])
        is_apart = relations[key]
        if is_apart is not None:
            related[i].append(around[j][is_apart])
    return Containment(tuple(map(tuple, every)), tuple(map(tuple, related)))


@dataclass(frozen=True, slots=True)
class _Marks:
    """Layer and groups of an outline."""

    layer: str | None
    groups: tuple[str, ...]

    @classmethod
    def of(cls, ring: Ring) -> "_Marks":
        line: DrawnLine = ring.sources[0]
        return cls(line.layer, line.groups)

    @property
    def own(self) -> tuple[str, ...]:
        """The groups below the layer: those that name a piece."""
        return tuple(group for group in self.groups if group != self.layer)

    def is_apart_from(self, outer: "_Marks") -> bool | None:
        """Say whether an outer outline stands elsewhere; None if it is another piece.

        Lines of one piece share their groups, else their layer: in DXF the cut line and
        the sewing line of one block lie on two layers.
        """
        if (self.groups or (self.layer,)) == (outer.groups or (outer.layer,)):
            return False
        if outer.own and self.groups[: len(outer.groups)] == outer.groups:
            return False
        if self.own and self.own != outer.own:
            return None
        return True
