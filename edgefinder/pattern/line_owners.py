"""In which pieces lines lie that are drawn within their outlines."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from edgefinder.geometry.flatten import flatten_all
from edgefinder.geometry.segments import Complexes
from edgefinder.importers.drawing import Drawing, DrawnLine
from edgefinder.pattern.measured_allowances import LARGEST_GAP_MM
from edgefinder.pattern.naming import size_of
from edgefinder.pattern.open_chains import OpenChain
from edgefinder.pattern.outlines import PieceOutline
from edgefinder.pattern.pieces import Piece
from edgefinder.pattern.settings import FindingSettings

FLAT_MM = 0.05
"""Chord error of the polygons that say in which piece a line lies, and how far a line
that lies on an outline may seem to be outside."""

FURTHEST_MM = 2 * LARGEST_GAP_MM
"""From the outline, at the corners of a sewing line between two wide allowances."""


@dataclass(frozen=True, slots=True)
class Owner:
    """A piece within which lines lie.

    Parameters
    ----------
    index : int
        Of the piece.
    far : float
        How far the lines get from its outline, in millimetres.
    """

    index: int
    far: float


class LineOwners:
    """Finds the pieces of one drawing within which lines lie."""

    def __init__(
        self,
        pieces: Sequence[Piece],
        outlines: Sequence[PieceOutline],
        drawing: Drawing,
        settings: FindingSettings,
    ) -> None:
        self._pieces = pieces
        self._outlines = outlines
        self._drawing = drawing
        self._settings = settings
        self._sizes = {piece.size for piece in pieces if piece.size is not None}
        flat = flatten_all([piece.outline.path for piece in pieces], FLAT_MM)
        areas = [shapely.make_valid(shapely.Polygon(_xy(v))) for v in flat]
        self._outer = np.array([shapely.boundary(area) for area in areas])
        self._tree = shapely.STRtree(shapely.buffer(np.array(areas), FLAT_MM))

    def of(self, lines: Sequence[DrawnLine]) -> list[Owner]:
        """Return the pieces within which lines lie, all of them near its outline.

        Parameters
        ----------
        lines : sequence of DrawnLine
            That belong together, by layer and group.

        Returns
        -------
        list of Owner
            First those that stand in the group of the lines, then the nearest ones.
        """
        flat = flatten_all([line.path for line in lines], FLAT_MM)
        shape = shapely.multilinestrings([shapely.linestrings(_xy(v)) for v in flat])
        places = shapely.points(_xy(np.concatenate(flat)))
        size = self.size_of(lines[0])
        found = [
            Owner(i, float(shapely.distance(self._outer[i], places).max()))
            for i in self._tree.query(shape, predicate="within").tolist()
            if size is None or self._pieces[i].size in {None, size}
        ]
        near = [one for one in found if one.far <= FURTHEST_MM]
        near.sort(key=lambda one: (not self._is_together(lines[0], one), one.far))
        return near

    def without_sewing(self, chains: Sequence[OpenChain]) -> list[OpenChain]:
        """Return the chains that begin within a piece that has no sewing line."""
        if not chains:
            return []
        starts = np.array([chain.lines[0].path.start for chain in chains])
        which, owner = self._tree.query(shapely.points(_xy(starts)), "within")
        has_none = np.array([not outline.sewing for outline in self._outlines])
        within = set(which[has_none[owner]].tolist())
        return [chain for n, chain in enumerate(chains) if n in within]

    def size_of(self, line: DrawnLine) -> str | None:
        """Return the size of a line as the pieces call it: ``4`` for ``4 sewing``."""
        said = self.said_size(line)
        if said is None or said in self._sizes:
            return said
        words = said.casefold().split()
        known = [
            s for s in self._sizes if words[: len(s.split())] == s.casefold().split()
        ]
        return max(known, key=len, default=None)

    def said_size(self, line: DrawnLine) -> str | None:
        """Return the size that a line says that it has."""
        return size_of(line, self._drawing, self._settings)

    def _is_together(self, line: DrawnLine, owner: Owner) -> bool:
        """Whether a line stands in the group of an outline, below the layer."""
        own = [group for group in line.groups if group != line.layer]
        outer = self._outlines[owner.index].line
        return bool(own) and own == [g for g in outer.groups if g != outer.layer]


def _xy(points: Complexes) -> Any:
    return np.stack([points.real, points.imag], axis=1)
