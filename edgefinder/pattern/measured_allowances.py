"""How far inside each edge of a piece its sewing line is drawn."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
import shapely
from numpy.typing import NDArray

from edgefinder.findings import Finding, warning
from edgefinder.geometry.flatten import flatten_all
from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import Complexes, Floats
from edgefinder.pattern.pieces import Edge, Piece

CHORD_MM: Final = 0.001
"""Curves are replaced by chords as near as this, which is the error of a gap: a tenth
of what drawing programs lose when they round."""

SAMPLES: Final = 17
"""Places along the middle half of an edge at which the gap is measured: near its ends
the allowance of the next edge comes in."""

LARGEST_GAP_MM: Final = 60.0
"""A line further inside is none of the edge's (hems are turned up by 25 to 50 mm;
common practice)."""

SLANT: Final = float(np.tan(np.radians(15.0)))
"""A sewing line beside an edge runs along it: the nearest place on it lies within 15
degrees of square to the edge. Larger: the end of a line beside another edge passes."""

NEARER_MM: Final = 0.5
"""A line that is nearer to another edge by more than this belongs to that one."""

SAME_GAP_MM: Final = 1.0
"""A gap that varies by more along the middle half of an edge is no allowance: nobody
cuts truer than a millimetre (our own choice)."""

ON_THE_EDGE_MM: Final = 0.05
"""Lines nearer than this are drawn as one line: there is no allowance."""

LEAST_BESIDE: Final = 0.5
"""Of an edge's places that have the line beside them, as a share."""

Flags = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Gap:
    """The distance of a sewing line from an edge.

    Parameters
    ----------
    allowance : float
        The median along the middle half of the edge, in millimetres; 0 where the line
        lies on the edge.
    least, most : float
        Millimetres.
    at : float
        Where it differs most from the median, in millimetres from the edge's start.
    """

    allowance: float
    least: float
    most: float
    at: float

    @property
    def is_even(self) -> bool:
        """Whether it is the same all along, as an allowance is."""
        return self.most - self.least <= SAME_GAP_MM


def measure_gaps(
    edges: Sequence[Edge], sewing_lines: Sequence[Path]
) -> tuple[Gap | None, ...]:
    """Measure how far inside each edge its sewing line runs.

    Parameters
    ----------
    edges : sequence of Edge
        All of one piece.
    sewing_lines : sequence of Path
        One closed line or several open ones, drawn on or inside the outline.

    Returns
    -------
    tuple of Gap or None
        Of edge n at n - 1; None where no sewing line runs beside it.
    """
    if not edges or not sewing_lines:
        return (None,) * len(edges)
    paths = [*(edge.path.path for edge in edges), *sewing_lines]
    lines = [
        _line(vertices, closed=path.closed)
        for vertices, path in zip(flatten_all(paths, CHORD_MM), paths, strict=True)
    ]
    outline, sewing = np.array(lines[: len(edges)]), lines[len(edges) :]
    shares = np.linspace(0.25, 0.75, SAMPLES)
    places, inwards = _places(outline, shares)
    feet = _feet(places.ravel(), sewing).reshape(places.shape)
    off = (feet - places) * np.conj(inwards)
    gaps = np.abs(off)
    beside = (off.real >= 0) & (np.abs(off.imag) <= SLANT * off.real)
    beside &= gaps <= LARGEST_GAP_MM
    beside &= gaps <= _apart(feet, outline) + NEARER_MM
    beside |= gaps <= ON_THE_EDGE_MM
    return tuple(
        _gap(own[at], edge.length * shares[at])
        for edge, own, at in zip(edges, gaps, beside, strict=True)
    )


def allowances_of(gaps: Sequence[Gap | None]) -> tuple[float | None, ...]:
    """Return the allowance of edge n at n - 1; None where none is drawn."""
    return tuple(None if gap is None else gap.allowance for gap in gaps)


def gap_findings(piece: Piece, gaps: Sequence[Gap | None]) -> tuple[Finding, ...]:
    """Warn of edges along which the gap is not the same everywhere."""
    return tuple(
        warning(
            "uneven-allowance",
            piece.where,
            f'"{piece.name}" edge {edge.label}: its sewing line runs '
            f"{gap.least:.1f} to {gap.most:.1f} mm inside it, most unevenly "
            f"{gap.at:.0f} mm from its start; {gap.allowance:.1f} mm is taken for its "
            "allowance: mend the line, or write the allowance in the job file",
        )
        for edge, gap in zip(piece.edges, gaps, strict=True)
        if gap is not None and not gap.is_even
    )


def _line(vertices: Complexes, *, closed: bool) -> Any:
    if closed:
        vertices = np.append(vertices, vertices[:1])
    if len(vertices) == 1:
        vertices = np.repeat(vertices, 2)
    return shapely.linestrings(np.stack([vertices.real, vertices.imag], axis=1))


def _places(outline: NDArray[Any], shares: Floats) -> tuple[Complexes, Complexes]:
    """Return places along edges and the directions inwards, shape (edges, shares)."""
    step = 1e-3 * (shares[1] - shares[0])
    every = [
        shapely.line_interpolate_point(
            outline[:, np.newaxis], shares + by, normalized=True
        )
        for by in (-step, 0.0, step)
    ]
    before, at, after = (shapely.get_x(p) + 1j * shapely.get_y(p) for p in every)
    along = after - before
    size = np.abs(along)
    return at, 1j * along / np.where(size > 0, size, 1.0)


def _feet(places: Complexes, sewing: Sequence[Any]) -> Complexes:
    """Return the nearest places on the sewing lines."""
    points = shapely.points(places.real, places.imag)
    whole = shapely.multilinestrings(list(sewing))
    shapely.prepare(whole)
    ends = shapely.get_coordinates(shapely.shortest_line(points, whole))[1::2]
    feet: Complexes = ends[:, 0] + 1j * ends[:, 1]
    return feet


def _apart(feet: Complexes, outline: NDArray[Any]) -> Floats:
    """Return how far places are from the nearest edge of the piece."""
    whole = shapely.multilinestrings(list(outline))
    apart: Floats = shapely.distance(whole, shapely.points(feet.real, feet.imag))
    return apart


def _gap(gaps: Floats, s: Floats) -> Gap | None:
    if len(gaps) < LEAST_BESIDE * SAMPLES:
        return None
    middle = float(np.median(gaps))
    least, most = float(gaps.min()), float(gaps.max())
    at = float(s[np.argmax(np.abs(gaps - middle))])
    return Gap(0.0 if most <= ON_THE_EDGE_MM else middle, least, most, at)
