"""From the drawn lines of one file to the closed outlines of its pieces."""

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from edgefinder.constants import LARGEST_PIECE_MM, SMALLEST_PIECE_MM
from edgefinder.errors import BrokenOutline, DrawingError
from edgefinder.findings import Finding, note, warning
from edgefinder.geometry.arclength import lengths
from edgefinder.geometry.flatten import flatten
from edgefinder.geometry.measured import signed_area
from edgefinder.geometry.path import Path, reverse_path
from edgefinder.importers.chaining import chain_lines
from edgefinder.importers.drawing import Drawing, DrawnLine
from edgefinder.pattern.edges import FLAT_TOLERANCE_MM, Ring
from edgefinder.pattern.naming import size_of
from edgefinder.pattern.selectors import matches_any
from edgefinder.pattern.settings import FindingSettings, SizeSource

SEWING_LINE_WITHIN_MM = 40.0
"""A closed line all of which runs this near inside another one is its sewing line
(seam and hem allowances are 6 to 40 mm; common practice)."""

SEWING_LINE_SHARE = 0.6
"""And is at least this share of its length: a hole in a small piece is shorter, the
sewing line of a piece of 6 cm with allowances of 1 cm is two thirds."""

NEARLY_CLOSED = 0.1
"""An open line whose gap is a smaller part of its length was meant to be closed:
a straight mark has a gap as long as itself, a neckline alone more than half."""

TEST_SQUARE_MM = (25.4, 50.0, 50.8, 100.0, 101.6)
"""Printed patterns carry a test square of 1 in, 5 cm, 2 in, 10 cm or 4 in (common
practice)."""


@dataclass(frozen=True, slots=True, eq=False)
class PieceOutline:
    """The outer outline of a piece and its cut-outs."""

    outer: Ring
    cutouts: tuple[Ring, ...]

    @property
    def line(self) -> DrawnLine:
        """The drawn line that names the piece."""
        return self.outer.sources[0]


def find_outlines(
    drawing: Drawing, settings: FindingSettings
) -> tuple[tuple[PieceOutline, ...], tuple[Finding, ...]]:
    """Find the outlines of pieces among the drawn lines of a file.

    Parameters
    ----------
    drawing : Drawing
    settings : FindingSettings
        Without ``cut_lines`` every closed line is looked at; one that runs close
        inside another is taken for its sewing line.

    Returns
    -------
    tuple of PieceOutline, tuple of Finding
        Outer outlines run anticlockwise, cut-outs clockwise.

    Raises
    ------
    BrokenOutline
        If an outline is open, with the gap and its place; or if there is none.
    DrawingError
        If the scale cannot be right.
    """
    lines = [
        line
        for line in drawing.lines
        if not matches_any(line, settings.ignore) and not _is_test_square(line)
    ]
    if settings.cut_lines:
        lines = [line for line in lines if matches_any(line, settings.cut_lines)]
    rings, leftover, findings = _close(lines, drawing, settings)
    _refuse_open(drawing, rings, leftover, settings)
    rings, small = _of_likely_size(drawing, rings)
    outlines, nested = _nest(rings, sewing_lines=not settings.cut_lines)
    return outlines, (*findings, *small, *nested)


def _is_test_square(line: DrawnLine) -> bool:
    """Whether a line is a square of a usual test size that is called one."""
    own = (line.label, line.id, line.layer, *line.groups, *line.classes)
    names = " ".join(name for name in own if name)
    if "test" not in names.casefold() or not line.path.closed:
        return False
    vertices = flatten(line.path, FLAT_TOLERANCE_MM)
    sides = (np.ptp(vertices.real), np.ptp(vertices.imag))
    return any(
        all(math.isclose(side, size, rel_tol=0.05) for side in sides)
        for size in TEST_SQUARE_MM
    )


def _close(
    lines: Sequence[DrawnLine], drawing: Drawing, settings: FindingSettings
) -> tuple[list[Ring], list[DrawnLine], list[Finding]]:
    """Close what is closed, chain what is loose, and orient it anticlockwise."""
    rings = [
        _ring(line.path, (line,), np.zeros(len(line.path.segments), dtype=np.intp))
        for line in lines
        if line.path.closed
    ]
    loose: defaultdict[tuple[str | None, tuple[str, ...]], list[DrawnLine]]
    loose = defaultdict(list)
    for line in lines:
        if not line.path.closed:
            loose[line.layer, line.groups].append(line)
    leftover: list[DrawnLine] = []
    findings: list[Finding] = []
    for together in loose.values():
        chained = chain_lines(together, tolerance=settings.join_tolerance)
        rings += [
            _ring(outline.path, outline.sources, outline.source_of_segment)
            for outline in chained.outlines
        ]
        leftover += chained.leftover
        findings += chained.findings
    across, leftover, joined = _chain_across_layers(leftover, drawing, settings)
    rings += across
    findings += joined
    flat = [ring for ring in rings if _area(ring) <= FLAT_TOLERANCE_MM]
    findings += [
        note("flat-line", ring.sources[0].where, "encloses no area; not a piece")
        for ring in flat
    ]
    return [ring for ring in rings if ring not in flat], leftover, findings


def _chain_across_layers(
    leftover: Sequence[DrawnLine], drawing: Drawing, settings: FindingSettings
) -> tuple[list[Ring], list[DrawnLine], list[Finding]]:
    """Chain what closes nothing in its own layer: bound edges may lie on another."""
    if settings.sizes is SizeSource.LAYER:
        return [], list(leftover), []
    sizes = [size_of(line, drawing, settings.sizes) for line in leftover]
    # One line of each size may end at a point that all sizes share: keep them apart.
    several = len({size for size in sizes if size is not None}) > 1
    together: defaultdict[str | None, list[DrawnLine]] = defaultdict(list)
    for line, size in zip(leftover, sizes, strict=True):
        together[size if several else None].append(line)
    rings: list[Ring] = []
    open_lines: list[DrawnLine] = []
    findings: list[Finding] = []
    for lines in together.values():
        # A line without its layer may be joined to any other.
        bare = {id(b): (b, line) for line in lines for b in [replace(line, layer=None)]}
        chained = chain_lines(
            [b for b, _ in bare.values()], tolerance=settings.join_tolerance
        )
        rings += [
            _ring(
                outline.path,
                tuple(bare[id(source)][1] for source in outline.sources),
                outline.source_of_segment,
            )
            for outline in chained.outlines
        ]
        open_lines += [bare[id(line)][1] for line in chained.leftover]
        # What branches was said when each layer was chained by itself.
        findings += [f for f in chained.findings if f.code == "gap-closed"]
    return rings, open_lines, findings


def _ring(
    path: Path,
    sources: tuple[DrawnLine, ...],
    owners: np.ndarray[tuple[int], np.dtype[np.intp]],
) -> Ring:
    if signed_area(path) < 0:
        return Ring(reverse_path(path), sources, owners[::-1])
    return Ring(path, sources, owners)


def _reversed(ring: Ring) -> Ring:
    return Ring(reverse_path(ring.path), ring.sources, ring.source_of_segment[::-1])


def _area(ring: Ring) -> float:
    return abs(signed_area(ring.path))


def _refuse_open(
    drawing: Drawing,
    rings: Sequence[Ring],
    leftover: Sequence[DrawnLine],
    settings: FindingSettings,
) -> None:
    meant = [
        line
        for line in leftover
        if settings.cut_lines or _openness(line) < NEARLY_CLOSED
    ]
    if not rings and not meant:
        meant = sorted(leftover, key=_openness)[:1]
    if meant:
        raise BrokenOutline(*(_open_message(line) for line in meant))
    if not rings:
        chosen = (
            "; the cut_lines of the job file choose none of its lines"
            if settings.cut_lines and drawing.lines
            else "; draw each piece as one closed line"
        )
        raise BrokenOutline(f"{drawing.name}: has no closed outline{chosen}")


def _openness(line: DrawnLine) -> float:
    length = float(lengths(line.path.segments).sum())
    return line.path.gap / length if length > 0 else 1.0


def _open_message(line: DrawnLine) -> str:
    end, start = line.path.end, line.path.start
    name = line.label or line.id or line.kind
    return (
        f'{line.where}: outline "{name}" is open: {line.path.gap:.2f} mm between its '
        f"end at ({end.real:.1f}, {end.imag:.1f}) mm and its start at "
        f"({start.real:.1f}, {start.imag:.1f}) mm; join the ends"
    )


def _extent(ring: Ring) -> float:
    vertices = flatten(ring.path, FLAT_TOLERANCE_MM)
    return float(max(np.ptp(vertices.real), np.ptp(vertices.imag)))


def _of_likely_size(
    drawing: Drawing, rings: Sequence[Ring]
) -> tuple[list[Ring], list[Finding]]:
    extents = [_extent(ring) for ring in rings]
    largest = max(extents)
    if largest > LARGEST_PIECE_MM or largest < SMALLEST_PIECE_MM:
        too = "over 3 m" if largest > LARGEST_PIECE_MM else "under 2 cm"
        line = rings[extents.index(largest)].sources[0]
        raise DrawingError(
            f"{line.where}: the largest outline is {largest:.1f} mm across, {too}: the "
            f"scale cannot be right ({drawing.unit_mm:g} mm per drawing unit); "
            "give the true unit with --unit-mm or in the job file"
        )
    kept = [
        ring
        for ring, extent in zip(rings, extents, strict=True)
        if extent >= SMALLEST_PIECE_MM
    ]
    small = len(rings) - len(kept)
    if not small:
        return kept, []
    message = f"{small} closed lines under 2 cm across are taken for marks"
    return kept, [note("small-line", drawing.name, message)]


def _nest(
    rings: Sequence[Ring], *, sewing_lines: bool
) -> tuple[tuple[PieceOutline, ...], list[Finding]]:
    """Tell outer outlines, cut-outs and sewing lines apart."""
    findings: list[Finding] = []
    groups: defaultdict[tuple[str | None, ...], list[int]] = defaultdict(list)
    for i, ring in enumerate(rings):
        groups[_piece_group(ring)].append(i)
    polygons = [_polygon(ring) for ring in rings]
    # Two curves that coincide are flattened at different points, hence the slack.
    wider = [polygon.buffer(2 * FLAT_TOLERANCE_MM) for polygon in polygons]
    cutouts: defaultdict[int, list[int]] = defaultdict(list)
    outer: list[int] = []
    for i, ring in enumerate(rings):
        where = ring.sources[0].where
        if not polygons[i].is_valid:
            message = "the outline crosses itself; its area cannot be trusted"
            findings.append(warning("self-crossing", where, message))
        around = [
            j
            for j in groups[_piece_group(ring)]
            if (polygons[j].area, -j) > (polygons[i].area, -i)
            and wider[j].contains(polygons[i])
        ]
        if len(around) % 2 == 0:
            outer.append(i)
            continue
        parent = min(around, key=lambda j: polygons[j].area)
        inside = _furthest_inside(polygons[i], polygons[parent])
        alike = polygons[i].length / polygons[parent].length > SEWING_LINE_SHARE
        if sewing_lines and alike and inside < SEWING_LINE_WITHIN_MM:
            message = (
                f"runs within {inside:.0f} mm inside another line: its sewing line"
            )
            findings.append(note("sewing-line", where, message))
        else:
            cutouts[parent].append(i)
    outlines = tuple(
        PieceOutline(rings[i], tuple(_reversed(rings[j]) for j in cutouts[i]))
        for i in outer
    )
    return outlines, findings


def _piece_group(ring: Ring) -> tuple[str | None, ...]:
    """Return what lines of one piece share: their groups, else their layer.

    Sizes are often drawn one inside another, each on a layer of its own; in DXF the
    cut line and the sewing line of one block lie on two layers.
    """
    line = ring.sources[0]
    return line.groups or (line.layer,)


def _polygon(ring: Ring) -> shapely.Polygon:
    vertices = flatten(ring.path, FLAT_TOLERANCE_MM)
    return shapely.Polygon(np.stack([vertices.real, vertices.imag], axis=1))


def _furthest_inside(inner: shapely.Polygon, outer: shapely.Polygon) -> float:
    """Return how far the outer line gets from the inner one, in millimetres."""
    vertices = shapely.points(shapely.get_coordinates(outer.exterior))
    return float(np.max(shapely.distance(vertices, inner.exterior)))
