"""Which outlines lie in which: the short ways find what comparing every pair finds."""

import math

import numpy as np
import pytest
import shapely
from drawn import drawn
from hypothesis import given
from hypothesis import strategies as st
from shapes import (
    circle_outline,
    ellipse_outline,
    leaf,
    polygon,
    rectangle,
    rounded_rectangle,
    stadium,
)
from traced import traced

from edgefinder.errors import DrawingError
from edgefinder.geometry.affine import Affine, transform
from edgefinder.geometry.path import Path
from edgefinder.pattern import contained_pairs as module
from edgefinder.pattern.contained_pairs import contained_pairs
from edgefinder.pattern.edges import FLAT_TOLERANCE_MM, Ring
from edgefinder.pattern.flat_rings import (
    FlatRings,
    flat_rings,
    furthest,
    sides_of,
    stays_near,
)


def placed(path: Path, scale: float, turn: float, by: complex) -> Path:
    c, s = scale * math.cos(turn), scale * math.sin(turn)
    motion = Affine(c, s, -s, c, by.real, by.imag)
    return Path(transform(path.segments, motion), closed=True)


BASES = (
    rectangle(300, 200),
    rounded_rectangle(300, 200, 40),
    ellipse_outline(150, 100, 0.3, 150 + 100j),
    stadium(150, 75),
    placed(leaf(), 100, 0.0, 0),
    # A hook, whose mouth may close when it is widened.
    polygon(0, 300, 300 + 200j, 250 + 200j, 250 + 50j, 50 + 50j, 50 + 200j, 200j),
)


def flat(*paths: Path) -> FlatRings:
    return flat_rings(
        [Ring(p, (drawn(p),), np.zeros(len(p.segments), np.intp)) for p in paths]
    )


def every_pair(rings: FlatRings) -> set[tuple[int, int]]:
    """By shapely, pair for pair, as the outlines are: none of them crosses itself."""
    wide = shapely.buffer(rings.polygons, 2 * FLAT_TOLERANCE_MM, join_style="mitre")
    lines = shapely.get_exterior_ring(rings.polygons)
    holds = shapely.contains(wide[:, np.newaxis], lines[np.newaxis, :])
    areas = rings.areas
    return {
        (int(i), int(j))
        for j, i in zip(*np.nonzero(holds), strict=True)
        if (areas[i], -i) < (areas[j], -j)
    }


def found(rings: FlatRings) -> set[tuple[int, int]]:
    inner, outer = contained_pairs(rings)
    pairs = list(zip(inner.tolist(), outer.tolist(), strict=True))
    assert len(set(pairs)) == len(pairs)
    return set(pairs)


@st.composite
def drawings(draw: st.DrawFn) -> FlatRings:
    """Outlines of a few shapes: nested, crossing, apart, the same, and traced."""
    paths = []
    for _ in range(draw(st.integers(1, 12))):
        path = placed(
            draw(st.sampled_from(BASES)),
            draw(st.sampled_from([0.2, 0.5, 0.9, 0.99, 1.0, 1.01, 1.5])),
            draw(st.sampled_from([0.0, 0.0, 0.1, math.pi])),
            draw(st.sampled_from([0, 0, 1 + 1j, 30 + 20j, 60, 1000])),
        )
        if draw(st.booleans()):
            path = traced(path, 4.0, 0.1, draw(st.integers(0, 99)))
        paths.append(path)
    rings = flat(*paths)
    return rings.take(shapely.is_valid(rings.polygons))


@pytest.mark.parametrize("few", [0, 300, 10**9])
@given(rings=drawings())
def test_pairs_are_those_of_comparing_each_with_each(
    few: int, rings: FlatRings
) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(module, "FEW_VERTICES", few)

        assert found(rings) == every_pair(rings)


@pytest.mark.parametrize("few", [0, 10**9])
def test_what_runs_round_the_hole_of_an_outline_does_not_bring_it_what_is_in_the_hole(
    few: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    # The slit to the hole closes when the outline is widened.
    monkeypatch.setattr(module, "FEW_VERTICES", few)
    left, right = 150, 150.15
    slit = polygon(
        0, 300, 300 + 300j, right + 300j, right + 180j, 180 + 180j,
        180 + 120j, 120 + 120j, 120 + 180j, left + 180j, left + 300j, 300j,
    )  # fmt: skip
    square = rectangle(100, 100)
    loop = placed(square, 1.0, 0.0, 100 + 100j)
    in_hole = placed(square, 0.2, 0.0, 140 + 140j)
    around = placed(square, 4.0, 0.0, -50 - 50j)
    rings = flat(slit, loop, in_hole, around)

    assert found(rings) == every_pair(rings)
    assert found(rings) == {(0, 3), (1, 0), (1, 3), (2, 1), (2, 3)}


def test_smaller_outlines_around_come_first() -> None:
    circles = [circle_outline(radius) for radius in (90, 150, 60, 120, 30)]

    inner, outer = contained_pairs(flat(*circles))

    assert inner.tolist() == [0, 0, 2, 2, 2, 3, 4, 4, 4, 4]
    assert outer.tolist() == [3, 1, 0, 3, 1, 1, 2, 0, 3, 1]


def test_of_hundreds_of_traced_outlines_one_in_the_other_every_pair_is_found() -> None:
    oval = ellipse_outline(100, 80)
    sizes = [traced(placed(oval, 1 + n / 50, 0, 0), 5.0, 0.1, n) for n in range(150)]

    inner, outer = contained_pairs(flat(*sizes))

    assert len(inner) == 150 * 149 // 2
    assert (outer > inner).all()


def test_tracings_of_one_outline_do_not_lie_in_each_other() -> None:
    oval = rounded_rectangle(300, 200, 40)
    rings = flat(*(traced(oval, 4.0, 0.2, seed) for seed in range(80)))

    assert found(rings) == every_pair(rings)
    assert len(found(rings)) < 10


def test_too_many_over_one_another_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "MOST_PAIRS", 80)

    with pytest.raises(DrawingError, match="9 outlines lie over one another"):
        contained_pairs(flat(*(circle_outline(50 + n) for n in range(9))))


@given(
    st.lists(
        st.builds(complex, st.integers(-99, 99), st.integers(-99, 99)),
        min_size=4,
        max_size=40,
        unique=True,
    ),
    st.integers(1, 60),
)
def test_a_scribble_is_a_line_that_crosses_itself_often(
    corners: list[complex], most: int
) -> None:
    # Whole numbers, so that touching is told from crossing without rounding.
    vertices = np.array(corners)
    sides = sides_of(vertices)
    # A copy: shapely 2.1.0 does not take an array and a view of it together.
    count = int(shapely.crosses(sides[:, np.newaxis].copy(), sides).sum())
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(module, "MOST_CROSSINGS", most)

        assert module._is_scribble(vertices) == (count > most)


@given(
    st.sampled_from(BASES),
    st.sampled_from(BASES),
    st.floats(0.1, 1.5),
    st.floats(0.5, 150),
)
def test_staying_near_is_that_the_furthest_vertex_is(
    one: Path, other: Path, scale: float, distance: float
) -> None:
    vertices, line = flat(one, placed(other, scale, 0.2, 20 + 10j)).vertices

    near = stays_near(vertices, line, distance)

    assert near == (furthest(vertices, line) < distance)


def test_the_furthest_vertex_is_found_among_many_as_among_few() -> None:
    few = flat(circle_outline(100), circle_outline(80, 5 + 0j))
    many = flat(
        *(traced(circle_outline(r, c), 0.5, 0.0, 1) for r, c in ((100, 0), (80, 5)))
    )

    assert furthest(*few.vertices) == pytest.approx(25, abs=0.1)
    assert furthest(*many.vertices) == pytest.approx(25, abs=0.1)
