"""Outlines that begin together begin as each of them does alone."""

import math

import numpy as np
import pytest
from drawn import drawn
from hypothesis import given
from hypothesis import strategies as st
from shapes import circle_outline, ellipse_outline, rectangle, stadium
from strategies import closed_outlines
from traced import traced

from edgefinder.geometry.measured import measure, signed_area
from edgefinder.geometry.path import Path
from edgefinder.pattern.digitised_outlines import smooth_rings
from edgefinder.pattern.edges import Ring, cut_into_edges
from edgefinder.pattern.first_corners import begin_at_first_corners

ANGLE = math.radians(30)


def ring(path: Path, marked: np.ndarray | None = None) -> Ring:
    owners = np.zeros(len(path.segments), dtype=np.intp)
    return Ring(path, (drawn(path),), owners, marked=marked)


def rings() -> st.SearchStrategy[list[Ring]]:
    """With corners, without, and digitised."""
    smooth = st.builds(
        ellipse_outline, st.floats(20, 90), st.floats(20, 90), st.floats(0, 3)
    )
    digitised = st.builds(
        lambda path, seed: traced(path, 3.0, 0.1, seed),
        st.sampled_from([circle_outline(90), stadium(150, 60), rectangle(200, 120)]),
        st.integers(0, 99),
    )
    paths = st.lists(st.one_of(closed_outlines(), smooth, digitised), max_size=5)
    return paths.map(lambda found: smooth_rings([ring(path) for path in found])[0])


@given(rings())
def test_outlines_together_begin_as_each_alone(given: list[Ring]) -> None:
    together = begin_at_first_corners(given, ANGLE)

    assert len(together) == len(given)
    for one, begun in zip(given, together, strict=True):
        (alone,) = begin_at_first_corners([one], ANGLE)
        assert begun.path.segments.control.tolist() == (
            alone.path.segments.control.tolist()
        )
        assert begun.source_of_segment.tolist() == alone.source_of_segment.tolist()
        assert (begun.smoothing is None) == (one.smoothing is None)
        if begun.smoothing is not None and alone.smoothing is not None:
            assert begun.smoothing.drawn.tolist() == alone.smoothing.drawn.tolist()
            assert begun.headed.segments.control.tolist() == (
                alone.headed.segments.control.tolist()
            )


@given(rings())
def test_an_outline_that_begins_elsewhere_is_the_same_outline(
    given: list[Ring],
) -> None:
    for one, begun in zip(given, begin_at_first_corners(given, ANGLE), strict=True):
        assert measure(begun.path).length == pytest.approx(measure(one.path).length)
        assert signed_area(begun.path) == pytest.approx(
            signed_area(one.path), rel=1e-9, abs=1e-6
        )
        if one.smoothing is not None and begun.smoothing is not None:
            assert begun.smoothing.drawn.sum() == pytest.approx(
                one.smoothing.drawn.sum()
            )


def test_edges_cut_together_are_those_cut_alone() -> None:
    paths = [stadium(150, 60), rectangle(200, 120), circle_outline(90)]
    begun = begin_at_first_corners([ring(path) for path in paths], ANGLE)

    together = cut_into_edges([begun[:2], begun[2:]], ANGLE)

    alone = [cut_into_edges([[one]], ANGLE)[0] for one in begun]
    assert [e.number for e in together[0]] == list(range(1, len(together[0]) + 1))
    assert [e.ring for e in together[0]] == [
        *[0] * len(alone[0]),
        *[1] * len(alone[1]),
    ]
    flat = [edge for edges in together for edge in edges]
    for edge, other in zip(flat, [e for own in alone for e in own], strict=True):
        assert (edge.length, edge.turning) == (other.length, other.turning)
        assert (edge.corner_before, edge.corner_after) == (
            other.corner_before,
            other.corner_after,
        )


def test_marks_go_with_their_segments() -> None:
    path = rectangle(200, 120)
    marked = np.array([False, False, True, False])

    (begun,) = begin_at_first_corners([ring(path, marked)], ANGLE)

    assert begun.path.start == 200 + 120j
    assert begun.marked is not None
    assert begun.marked.tolist() == [True, False, False, False]
    (edges,) = cut_into_edges([[begun]], ANGLE)
    assert [edge.length for edge in edges] == [640]


def test_an_outline_on_which_no_corner_is_marked_is_one_edge() -> None:
    marked = np.zeros(4, dtype=np.bool_)

    (begun,) = begin_at_first_corners([ring(rectangle(200, 120), marked)], ANGLE)

    assert begun.path.start == 0
    (edges,) = cut_into_edges([[begun]], ANGLE)
    assert [edge.length for edge in edges] == [640]
