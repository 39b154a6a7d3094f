"""Hypothesis strategies for segments, paths, outlines and motions."""

import numpy as np
from hypothesis import strategies as st

from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import (
    Segments,
    arc_segments,
    concatenate,
    cubic_segments,
    end_points,
    line_segments,
    start_points,
)

SIZE_MM = 300.0
"""Coordinates of drawn pieces, either way from the origin."""


def parameters() -> st.SearchStrategy[float]:
    """Fractions of a parameter, both ends included."""
    return st.floats(0, 1)


def angles() -> st.SearchStrategy[float]:
    """Rotations in radians."""
    return st.floats(-np.pi, np.pi)


def coordinates() -> st.SearchStrategy[float]:
    """Millimetres on a grid of 1/1000, as drawing programs write them."""
    limit = int(SIZE_MM * 1000)
    return st.integers(-limit, limit).map(lambda i: i / 1000)


def points() -> st.SearchStrategy[complex]:
    """Points of drawn pieces."""
    return st.builds(complex, coordinates(), coordinates())


def vectors() -> st.SearchStrategy[complex]:
    """Directions between 1 and 300 mm long."""
    return st.builds(
        lambda size, angle: complex(size * np.exp(1j * angle)),
        st.floats(1, SIZE_MM),
        angles(),
    )


def lines() -> st.SearchStrategy[Segments]:
    """One straight segment, at least 1 mm long."""
    return st.builds(lambda p, d: line_segments(p, p + d), points(), vectors())


def cubics() -> st.SearchStrategy[Segments]:
    """One cubic, coinciding control points included."""
    control = st.lists(points(), min_size=4, max_size=4)
    return control.map(lambda p: cubic_segments([p]))


def smooth_cubics() -> st.SearchStrategy[Segments]:
    """One cubic without cusp or loop: no handle turns by more than a right angle."""
    steps = st.tuples(st.floats(1, 100), st.floats(-0.7, 0.7))

    def build(
        start: complex, angle: float, three: list[tuple[float, float]]
    ) -> Segments:
        differences = [size * np.exp(1j * (angle + turn)) for size, turn in three]
        return cubic_segments([start + np.cumsum([0, *differences])])

    return st.builds(build, points(), angles(), st.lists(steps, min_size=3, max_size=3))


def arcs() -> st.SearchStrategy[Segments]:
    """One conic arc of a circle or an ellipse not thinner than 1 in 20."""

    def build(
        centre: complex, axis: complex, ratio: float, span: tuple[float, float]
    ) -> Segments:
        return arc_segments([centre], axis, 1j * ratio * axis, span[0], sum(span))

    spans = st.tuples(angles(), st.floats(0.05, 7).flatmap(_either_way))
    ratios = st.floats(0.05, 1).flatmap(_either_way)
    return st.builds(build, points(), vectors(), ratios, spans)


def segments() -> st.SearchStrategy[Segments]:
    """One segment of any kind."""
    return st.one_of(lines(), cubics(), arcs())


def paths(max_size: int = 6) -> st.SearchStrategy[Path]:
    """Open paths of all kinds of segments, each moved to where the last one ended."""
    return st.lists(segments(), min_size=1, max_size=max_size).map(
        lambda tables: Path(concatenate(_chained(tables)), closed=False)
    )


@st.composite
def closed_outlines(draw: st.DrawFn) -> Path:
    """Simple outlines run anticlockwise, of straight and curved edges.

    Seen from the origin every vertex and every handle lies further round than the one
    before, and a Bezier curve crosses no ray more often than its control polygon does
    (variation diminishing): so no ray is crossed twice, and nothing crosses itself.
    """
    count = draw(st.integers(3, 7))
    steps = [draw(st.floats(0.6, 1)) for _ in range(3 * count)]
    round_ = np.cumsum(steps) * (2 * np.pi / sum(steps))
    sizes = np.array([draw(st.floats(40, 200)) for _ in range(3 * count)])
    ring = sizes * np.exp(1j * round_)
    tables = []
    for i in range(count):
        control = ring.take(range(3 * i, 3 * i + 4), mode="wrap")
        straight = draw(st.booleans())
        tables.append(
            line_segments(control[0], control[3])
            if straight
            else cubic_segments(control)
        )
    return Path(concatenate(tables), closed=True)


def _either_way(size: float) -> st.SearchStrategy[float]:
    return st.sampled_from([size, -size])


def _chained(tables: list[Segments]) -> list[Segments]:
    chained = tables[:1]
    for table in tables[1:]:
        shift = end_points(chained[-1])[0] - start_points(table)[0]
        control = table.control.copy()
        moved = {0: [0, 1], 1: [0, 1, 2, 3], 2: [0]}[int(table.kind[0])]
        control[0, moved] += shift
        chained.append(Segments(table.kind, control))
    return chained
