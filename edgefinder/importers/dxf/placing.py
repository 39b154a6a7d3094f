"""Lines put in their place and true size, many at once."""

from collections.abc import Callable, Iterator, Sequence
from typing import Final

import numpy as np

from edgefinder.errors import DrawingError
from edgefinder.geometry.affine import Affine, transform
from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import Floats, Kind, Segments
from edgefinder.importers.dxf.polylines import FLATTEST_BULGE, LARGEST_COORDINATE

ZERO_LENGTH_MM: Final = 1e-9
"""A segment within a box of this size is a doubled point: it has no direction, only
rounding. Larger: fine detail goes. Smaller: false corners."""

LARGEST_CONTROL_MM: Final = LARGEST_COORDINATE / FLATTEST_BULGE
"""The centre of the flattest arc between the farthest points lies there."""


def stretch(affine: Affine) -> float:
    """Return the largest factor by which a map lengthens anything."""
    # A map of the plane is z -> p z + q conj(z); a unit vector becomes |p| + |q| long
    # where the two point the same way.
    p = complex(affine.a + affine.d, affine.b - affine.c) / 2
    q = complex(affine.a - affine.d, affine.b + affine.c) / 2
    return abs(p) + abs(q) or 1.0


def placed(
    table: Segments,
    counts: Sequence[int],
    closed: Sequence[bool],
    affine: Affine,
    where: Callable[[int], str],
) -> Iterator[Path | None]:
    """Map lines to their place, without the segments that have no length.

    Parameters
    ----------
    table : Segments
        Of all lines, one after the other.
    counts : sequence of int
        Segments of each line.
    closed : sequence of bool
        Whether each is closed.
    affine : Affine
    where : callable
        Gives the place of a line for messages.

    Yields
    ------
    Path or None
        None for a line without length.

    Raises
    ------
    DrawingError
        If a line is scaled beyond all measure.
    """
    with np.errstate(over="ignore", invalid="ignore"):
        table = transform(table, affine)
        fit = (np.abs(table.control) <= LARGEST_CONTROL_MM).all(axis=1)
    stops = np.cumsum(counts)
    if not fit.all():
        wrong = int(np.searchsorted(stops, np.argmin(fit), side="right"))
        raise DrawingError(
            f"{where(wrong)}: is scaled beyond all measure; delete or redraw it"
        )
    long = _boxes(table) > ZERO_LENGTH_MM
    all_long = bool(long.all())
    for is_closed, count, stop in zip(closed, counts, stops.tolist(), strict=True):
        rows = slice(stop - count, stop)
        if all_long or long[rows].all():
            yield Path(table.take(rows), is_closed)
        elif long[rows].any():
            chosen = np.flatnonzero(long[rows]) + rows.start
            yield Path(table.take(chosen), is_closed)
        else:
            yield None


def _boxes(segments: Segments) -> Floats:
    """Return how far the control values of each segment reach."""
    control = segments.control
    line = segments.kind == Kind.LINE
    arc = segments.kind == Kind.ARC
    reach: Floats = np.abs(control[:, 1:] - control[:, :1]).max(axis=1)
    reach[line] = np.abs(control[line, 1] - control[line, 0])
    angles = control[arc, 3].imag - control[arc, 3].real
    radii = np.abs(control[arc, 1:3]).max(axis=1)
    reach[arc] = radii * np.minimum(np.abs(angles), 1.0)
    return reach
