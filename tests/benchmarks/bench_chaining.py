"""Time the chaining of loose lines, arcs and splines into closed outlines.

Run as ``python tests/benchmarks/bench_chaining.py``. The lines of many outlines are
shuffled and every other one is turned round. Times stand beside that of one spatial
index query over the same ends, which no chaining by nearness can do without; the ratio
is what counts.
"""

import random
import sys
import time
from pathlib import Path
from typing import Final

import numpy as np
import shapely

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from edgefinder.constants import JOIN_TOLERANCE_MM
from edgefinder.geometry.path import Path as LinePath
from edgefinder.geometry.path import reverse_path
from edgefinder.geometry.segments import (
    Segments,
    arc_segments,
    cubic_segments,
    line_segments,
)
from edgefinder.importers.chaining import chain_lines
from edgefinder.importers.drawing import DrawnLine

SEED: Final = 20
COUNTS: Final = (10_000, 100_000)
PER_OUTLINE: Final = (20, 2_000)
GAP_MM: Final = 0.01
"""Ends are apart by as much, as programs that write few decimals leave them."""


def loose_lines(count: int, per_outline: int) -> list[DrawnLine]:
    """Draw outlines of lines, arcs and cubics, as loose entities in any order."""
    shuffle = random.Random(SEED)  # noqa: S311 - no secrets
    numbers = np.random.default_rng(SEED)
    drawn = []
    for outline in range(count // per_outline):
        centre = complex(outline % 100 * 1000, outline // 100 * 1000)
        angles = np.linspace(0, 2 * np.pi, per_outline, endpoint=False)
        corners = centre + 300 * np.exp(1j * angles)
        for i in range(per_outline):
            shift = complex(*numbers.uniform(-GAP_MM, GAP_MM, 2))
            start, end = corners[i] + shift, corners[(i + 1) % per_outline]
            path = LinePath(side(i, complex(start), complex(end)), closed=False)
            if shuffle.random() < 0.5:
                path = reverse_path(path)
            drawn.append(entity(path, f"{outline}-{i}"))
    shuffle.shuffle(drawn)
    return drawn


def side(i: int, start: complex, end: complex) -> Segments:
    """Join two corners by a line, an arc or a cubic, in turn."""
    step = end - start
    if i % 3 == 0:
        return line_segments(start, end)
    if i % 3 == 1:
        radius = (start - end) / 2
        return arc_segments((start + end) / 2, radius, 1j * radius * 0.1, 0.0, np.pi)
    return cubic_segments(
        [start, start + step * (0.3 + 0.1j), start + step * (0.7 + 0.1j), end]
    )


def entity(path: LinePath, name: str) -> DrawnLine:
    """Make a line of a drawing."""
    return DrawnLine(path, name, "LINE", "1", (), (), None, None, f"front.dxf, {name}")


def index_query(lines: list[DrawnLine]) -> float:
    """Time one query for the nearest ends of all ends."""
    ends = [point for line in lines for point in (line.path.start, line.path.end)]
    points = np.array(ends)
    start = time.perf_counter()
    geometries = shapely.points(points.real, points.imag)
    shapely.STRtree(geometries).query_nearest(
        geometries, max_distance=JOIN_TOLERANCE_MM, exclusive=True
    )
    return time.perf_counter() - start


def main() -> None:
    """Chain at all sizes."""
    for count in COUNTS:
        for per_outline in PER_OUTLINE:
            lines = loose_lines(count, per_outline)
            start = time.perf_counter()
            chained = chain_lines(lines, tolerance=JOIN_TOLERANCE_MM)
            elapsed = time.perf_counter() - start
            print(
                f"{count:,} loose lines, {per_outline:,} an outline: "
                f"{len(chained.outlines):,} outlines, {len(chained.leftover)} left, "
                f"{elapsed:.2f} s, {elapsed / index_query(lines):.1f} times the query"
            )


if __name__ == "__main__":
    main()
