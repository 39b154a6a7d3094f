"""Which texts of a drawing stand in which piece."""

from collections.abc import Iterable, Iterator, Sequence
from typing import Final

import numpy as np
import shapely

from edgefinder.importers.drawing import Drawing
from edgefinder.pattern.flat_rings import FlatRings
from edgefinder.pattern.naming import size_of_text
from edgefinder.pattern.nesting import Nested, Role
from edgefinder.pattern.settings import FindingSettings

MOST_PAIRS: Final = 2_000_000
"""Of texts and outlines around them; what comes after is not looked at. A nest of 60
pieces in 20 sizes with ten lines of text on each outline has a quarter of a million."""
TEXTS_AT_ONCE: Final = 1_000
"""More of them in a deep nest fill the memory."""


def texts_within(
    flat: FlatRings,
    nested: Nested,
    sizes: Sequence[str | None],
    drawing: Drawing,
    settings: FindingSettings,
) -> tuple[tuple[str, ...], ...]:
    """Sort the texts of a drawing into the pieces that they stand in.

    Parameters
    ----------
    flat : FlatRings
    nested : Nested
    sizes : sequence of str or None
        Of each outline.
    drawing : Drawing
    settings : FindingSettings

    Returns
    -------
    tuple of tuple of str
        For every outline, in drawing order; none for what is no piece. A text within
        several sizes of a piece belongs to each, one within a mark to none.
    """
    found: list[list[str]] = [[] for _ in flat.rings]
    if not drawing.texts or not flat.rings:
        return tuple(map(tuple, found))
    for drawn, rings in zip(drawing.texts, _rings_around(flat, drawing), strict=False):
        size = size_of_text(drawn, settings)
        fitting = [i for i in rings if size is None or sizes[i] in {None, size}]
        for i in _pieces_of(fitting, nested, sizes):
            found[i].append(drawn.text)
    return tuple(map(tuple, found))


def _rings_around(flat: FlatRings, drawing: Drawing) -> Iterator[list[int]]:
    """Yield for each text the outlines around it, the smallest first."""
    tree, areas = shapely.STRtree(flat.polygons), flat.areas
    left = MOST_PAIRS
    for begin in range(0, len(drawing.texts), TEXTS_AT_ONCE):
        some = drawing.texts[begin : begin + TEXTS_AT_ONCE]
        places = np.array([text.at for text in some])
        points = shapely.points(places.real, places.imag)
        text, ring = tree.query(points, predicate="within")
        left -= len(text)
        if left < 0:
            return
        around: list[list[int]] = [[] for _ in some]
        order = np.lexsort((areas[ring], text))
        for t, i in zip(text[order].tolist(), ring[order].tolist(), strict=True):
            around[t].append(i)
        yield from around


def _pieces_of(
    rings: Iterable[int], nested: Nested, sizes: Sequence[str | None]
) -> Iterator[int]:
    """Choose the pieces that a text is about, of all outlines around it."""
    seen: set[str | None] = set()
    nests: set[int] = set()
    for i in rings:
        role, own = nested.roles[i], nested.nests.nest_of[i]
        is_near = nested.nests.inside[i] is not None
        if role is Role.PIECE:
            if sizes[i] not in seen or own in nests:
                yield i
            seen.add(sizes[i])
            if own is not None:
                nests.add(own)
        elif not (role is Role.SEWING or is_near):
            return
