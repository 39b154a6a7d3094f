"""Affine maps: composition, determinant, and segments that stay exact."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapes import ellipse_outline, rounded_rectangle
from strategies import parameters, segments

from edgefinder.geometry.affine import Affine, transform
from edgefinder.geometry.measured import signed_area
from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import Segments, points_at

factors = st.floats(-4, 4)
maps = st.builds(Affine, factors, factors, factors, factors, factors, factors)


def test_the_letters_are_those_of_the_css_matrix() -> None:
    # CSS Transforms 1, section 8: the columns are (a, b), (c, d), (e, f).
    affine = Affine(a=1, b=2, c=3, d=4, e=5, f=6)

    mapped = affine.points(np.array([0, 1, 1j]))

    assert mapped.tolist() == [5 + 6j, 6 + 8j, 8 + 10j]


def test_the_map_on_the_right_comes_first() -> None:
    double, move = Affine(a=2, d=2), Affine(e=10)

    moved_after = (move @ double).points(np.array([1 + 1j]))
    moved_before = (double @ move).points(np.array([1 + 1j]))

    assert moved_after[0] == 12 + 2j
    assert moved_before[0] == 22 + 2j


def test_directions_are_not_moved() -> None:
    assert Affine(e=10, f=10).vectors(np.array([1j]))[0] == 1j


@given(maps, maps)
def test_determinants_multiply(first: Affine, second: Affine) -> None:
    product = first.determinant * second.determinant

    assert (first @ second).determinant == pytest.approx(product, abs=1e-9)


@given(segments(), maps, parameters())
def test_a_mapped_segment_is_the_mapped_line(
    table: Segments, affine: Affine, t: float
) -> None:
    at = np.array([t])

    assert points_at(transform(table, affine), at) == pytest.approx(
        affine.points(points_at(table, at)), abs=1e-9
    )


@given(maps)
def test_areas_grow_by_the_determinant(affine: Affine) -> None:
    for outline in (rounded_rectangle(40, 30, 5), ellipse_outline(7, 3, 0.4, 2 + 1j)):
        mapped = Path(transform(outline.segments, affine), closed=True)

        expected = affine.determinant * signed_area(outline)

        assert signed_area(mapped) == pytest.approx(expected, abs=1e-8)


def test_a_line_keeps_its_unused_places_empty() -> None:
    outline = rounded_rectangle(40, 30, 5)

    moved = transform(outline.segments, Affine(e=3))

    assert not moved.control[moved.kind == 0, 2:].any()
