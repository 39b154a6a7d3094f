"""Tell pieces, cut-outs, sewing lines and marks apart.

A closed line inside another one is a cut-out if both belong to one element of the
drawing (a path with several subpaths) or if the job file says so. Otherwise it is a
mark on the piece: its sewing line, a pocket placement, a dart. Sizes drawn one inside
the other are pieces.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

import numpy as np

from edgefinder.errors import one_line
from edgefinder.findings import Finding, note, warning
from edgefinder.geometry.measured import measure
from edgefinder.importers.drawing import DrawnLine
from edgefinder.pattern.containment import (
    Around,
    Containment,
    find_containment,
)
from edgefinder.pattern.edges import Ring
from edgefinder.pattern.flat_rings import FlatRings, furthest
from edgefinder.pattern.nests import Nests, find_nests
from edgefinder.pattern.selectors import Mark, Selector, matches_any
from edgefinder.pattern.settings import FindingSettings

SHEET_FILLED: Final = 0.999
"""A frame fills its bounding box: a rectangle that stands straight."""

FEWEST_ON_SHEET: Final = 2
"""A rectangle with one closed line inside is a piece with a pocket on it."""


class Role(StrEnum):
    """What a closed line is."""

    PIECE = "piece"
    CUTOUT = "cut-out"
    SEWING = "sewing line"
    MARK = "mark"


@dataclass(frozen=True, slots=True, eq=False)
class Nested:
    """What every outline of a drawing is.

    Parameters
    ----------
    roles : tuple of Role
    owners : tuple of int or None
        The piece or cut-out that an outline lies in.
    cutouts : tuple of tuple of int
        What is cut out of an outline.
    nests : Nests
    findings : tuple of Finding
    """

    roles: tuple[Role, ...]
    owners: tuple[int | None, ...]
    cutouts: tuple[tuple[int, ...], ...]
    nests: Nests
    findings: tuple[Finding, ...]


def nest(
    flat: FlatRings, sizes: Sequence[str | None], settings: FindingSettings
) -> Nested:
    """Tell pieces, cut-outs, sewing lines and marks apart.

    Parameters
    ----------
    flat : FlatRings
    sizes : sequence of str or None
        Of each outline.
    settings : FindingSettings

    Returns
    -------
    Nested
    """
    containment = find_containment(flat, sizes)
    nests, said = find_nests(flat, containment, sizes)
    nesting = _Nesting(flat, sizes, settings, containment, nests)
    findings = nesting.find_roles()
    return Nested(
        tuple(nesting.roles),
        tuple(nesting.owners),
        tuple(map(tuple, nesting.cutouts)),
        nests,
        (*said, *findings),
    )


class _Nesting:
    """Goes from the outermost outlines inwards."""

    def __init__(
        self,
        flat: FlatRings,
        sizes: Sequence[str | None],
        settings: FindingSettings,
        containment: Containment,
        nests: Nests,
    ) -> None:
        self._flat = flat
        self._sizes = sizes
        self._settings = settings
        self._containment = containment
        self._nests = nests
        self._elements = [_element(ring) for ring in flat.rings]
        self._sheets = frozenset(self._find_sheets())
        self.roles: list[Role] = [Role.PIECE] * len(flat.rings)
        self.owners: list[int | None] = [None] * len(flat.rings)
        self.cutouts: list[list[int]] = [[] for _ in flat.rings]

    def find_roles(self) -> tuple[Finding, ...]:
        """Find all roles; return what is to be said of them."""
        chosen = [
            any(matches_any(line, self._settings.cutouts) for line in ring.sources)
            for ring in self._flat.rings
        ]
        # An outline comes after all those around it.
        order = np.lexsort((np.arange(len(chosen)), -self._flat.areas)).tolist()
        for i in order:
            self.roles[i] = Role.CUTOUT if chosen[i] else self._role(i)
        lonely = [i for i in order if chosen[i] and not self._cut_out(i)]
        return (
            *self._lonely_findings(lonely),
            *self._sheet_findings(),
            *self._inner_findings(),
        )

    def _role(self, i: int) -> Role:
        around = self._containment.related[i]
        owner = next(
            (a for a in around if self.roles[a.index] in {Role.PIECE, Role.CUTOUT}),
            None,
        )
        if owner is None:
            return Role.PIECE
        self.owners[i] = owner.index
        compound = [a.index for a in around if self._is_one_element(i, a.index)]
        if len(compound) % 2 == 1:  # as a filled path is drawn: every other is a hole
            self.owners[i] = compound[0]
            self.cutouts[compound[0]].append(i)
            return Role.CUTOUT
        if compound or self._is_piece(i, owner):
            return Role.PIECE
        is_sewing_line = (
            self._nests.inside[i] is not None and around[0].index == owner.index
        )
        if is_sewing_line and not self._settings.cut_lines:
            return Role.SEWING
        return Role.MARK

    def _is_piece(self, i: int, owner: Around) -> bool:
        """Whether an outline within another is a piece of its own all the same."""
        if self.roles[owner.index] is Role.CUTOUT:  # cut from what falls out
            return True
        if self._nests.nest_of[i] is not None or self._is_named(i, owner.index):
            return True
        is_near = self._nests.inside[i] is not None
        return owner.is_apart and (is_near or owner.index in self._sheets)

    def _is_one_element(self, i: int, j: int) -> bool:
        """Whether two outlines are subpaths of one element, and no two sizes."""
        one, other = self._elements[i], self._elements[j]
        nest = self._nests.nest_of
        return (
            one is not None and one == other and (nest[i] is None or nest[i] != nest[j])
        )

    def _is_named(self, i: int, owner: int) -> bool:
        """Whether the job file names an outline, and not the one around it as well."""
        inner, outer = self._flat.rings[i].sources, self._flat.rings[owner].sources
        return any(
            any(selector.matches(line) for line in inner)
            and not any(selector.matches(line) for line in outer)
            for _, selector in self._settings.names
        )

    def _cut_out(self, i: int) -> bool:
        """Give a cut-out to the piece that it lies in, and one without size to each."""
        done: set[str | None] = set()
        for j in self._containment.every[i]:
            size = self._sizes[j]
            if self.roles[j] is not Role.PIECE or size in done:
                continue
            if self._sizes[i] is None or self._sizes[i] == size:
                done.add(size)
                self.cutouts[j].append(i)
        return bool(done)

    def _lonely_findings(self, lonely: Sequence[int]) -> Iterator[Finding]:
        for i in lonely:
            where = self._flat.rings[i].sources[0].where
            message = "is chosen by cutouts of the job file, but lies in no piece"
            yield warning("lonely-cutout", where, message)

    def _find_sheets(self) -> Iterator[int]:
        """Find rectangles that everything else lies in."""
        count = len(self._flat.rings)
        if count <= FEWEST_ON_SHEET:
            return
        inside = np.zeros(count, dtype=np.intp)
        for around in self._containment.every:
            inside[list(around)] += 1
        for i in np.flatnonzero(inside == count - 1).tolist():
            polygon = self._flat.polygons[i]
            if polygon.area >= SHEET_FILLED * polygon.envelope.area:
                yield i

    def _sheet_findings(self) -> Iterator[Finding]:
        marks = [
            o for o, r in zip(self.owners, self.roles, strict=True) if r is Role.MARK
        ]
        for i in sorted(self._sheets):
            if marks.count(i) < FEWEST_ON_SHEET:
                continue
            line = self._flat.rings[i].sources[0]
            message = (
                "all other outlines lie inside this rectangle; if it is the frame of "
                "the sheet, leave it out with ignore in the job file"
            )
            yield warning("frame", line.where, message)

    def _inner_findings(self) -> Iterator[Finding]:
        for i, role in enumerate(self.roles):
            ring, owner = self._flat.rings[i], self.owners[i]
            line = ring.sources[0]
            outer = self._nests.inside[i]
            if role is Role.SEWING and outer is not None:
                apart = furthest(self._flat.vertices[outer], self._flat.vertices[i])
                message = (
                    f"runs within {apart:.0f} mm inside another line: its sewing line"
                )
                yield note("sewing-line", line.where, message)
            elif role is Role.MARK and owner is not None:
                around = self._flat.rings[owner].sources[0]
                message = (
                    f"a closed line, {measure(ring.path).length:.0f} mm round, inside "
                    "that of "
                    f"{around.where}: taken for a mark on it, and not measured; if it "
                    f"is cut out, {_how_to_choose(line, around)}"
                )
                # One that was chosen as a cut line is hardly a mark.
                say = warning if self._settings.cut_lines else note
                yield say("inner-line", line.where, message)


def _element(ring: Ring) -> int | None:
    elements = {line.element for line in ring.sources}
    return elements.pop() if len(elements) == 1 else None


def _how_to_choose(line: DrawnLine, outer: DrawnLine) -> str:
    """Say which selector chooses a line and not the one around it."""
    marks = (
        ("id", line.id),
        ("label", line.label),
        *(("class", name) for name in line.classes),
        ("layer", line.layer),
        ("colour", line.colour),
    )
    for mark, name in marks:
        if name and not set("*?[") & set(name):
            selector = Selector(Mark(mark), one_line(name))
            if selector.matches(line) and not selector.matches(outer):
                return f'choose it in the job file: cutouts = ["{selector.text}"]'
    return "give it an id or a class, and choose it with cutouts in the job file"
