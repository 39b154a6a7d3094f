import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from svg_texts import kinds, length_of, read_line, vertices

from edgefinder.constants import JOIN_TOLERANCE_MM
from edgefinder.geometry.affine import Affine
from edgefinder.geometry.segments import Kind, end_points, start_points
from edgefinder.importers.svg.subpath import (
    Subpath,
    conic,
    cubic,
    has_extent,
    line,
    quadratic,
    strokes_of,
    to_paths,
)


def test_a_quadratic_is_raised_to_the_same_curve() -> None:
    drawn = read_line('<path d="M0 0Q3 6 9 0"/>')

    np.testing.assert_allclose(
        drawn.path.segments.control, [[0, 2 - 4j, 5 - 4j, 9]], atol=1e-12
    )


def test_a_closing_command_adds_the_line_back() -> None:
    drawn = read_line('<path d="M0 0H10V10Z"/>')

    assert drawn.path.closed
    assert kinds(drawn) == [Kind.LINE] * 3
    assert vertices(drawn)[-1] == 0


def test_a_closing_command_adds_nothing_where_the_start_is_met_already() -> None:
    drawn = read_line('<path d="M0 0H10V10L0 0Z"/>')

    assert drawn.path.closed
    assert kinds(drawn) == [Kind.LINE] * 3


def test_an_open_line_stays_open_with_its_gap() -> None:
    drawn = read_line('<path d="M0 0H10V10L0 0.2"/>')

    assert not drawn.path.closed
    assert drawn.path.gap == pytest.approx(0.2)


@pytest.mark.parametrize("close", ["", "Z"])
@pytest.mark.parametrize(
    "last",
    ["L0.03 0.03", "C5 5 3 1 0.03 0.03", "Q5 5 0.03 0.03", "A20 10 30 0 1 0.03 0.03"],
)
def test_an_end_within_the_join_tolerance_meets_the_start_without_a_crumb(
    last: str, close: str
) -> None:
    drawn = read_line(f'<path d="M0 0H10V10{last}{close}"/>')

    asis = read_line(f'<path d="M0 0H10V10{last}L-5 0"/>')
    assert drawn.path.closed
    assert len(kinds(drawn)) == 3
    np.testing.assert_allclose(vertices(drawn)[-1], 0, atol=1e-12)
    assert vertices(drawn)[-2] == pytest.approx(10 - 10j)
    assert length_of(drawn) == pytest.approx(
        length_of(asis) - abs(5.03 - 0.03j), abs=JOIN_TOLERANCE_MM
    )


def test_the_tolerance_is_in_millimetres_on_paper_not_in_user_units() -> None:
    small = read_line('<path transform="scale(0.1)" d="M0 0H100V100L0 0.2"/>')
    large = read_line('<path transform="scale(10)" d="M0 0H1V1L0 0.02"/>')

    assert small.path.closed
    assert not large.path.closed


def test_a_last_segment_no_longer_than_the_gap_is_not_bent_out_of_shape() -> None:
    drawn = read_line('<path d="M0 0H10V10L0.04 0.03L0.04 0.02"/>')

    assert drawn.path.closed
    assert len(kinds(drawn)) == 5
    assert vertices(drawn)[-1] == 0


def test_a_tick_shorter_than_the_tolerance_stays_an_open_line() -> None:
    drawn = read_line('<path d="M5 5H5.03"/>')

    assert not drawn.path.closed
    assert length_of(drawn) == pytest.approx(0.03)


def test_a_full_circle_away_from_the_origin_closes_without_a_crumb() -> None:
    drawn = read_line('<circle cx="-77.7" cy="33.3" r="77.7" transform="rotate(12)"/>')

    assert drawn.path.closed
    assert kinds(drawn) == [Kind.ARC]


@given(
    st.lists(
        st.complex_numbers(max_magnitude=500, allow_nan=False), min_size=2, max_size=8
    )
)
def test_every_segment_begins_where_the_one_before_ends(points: list[complex]) -> None:
    text = " ".join(f"{z.real:.3f},{z.imag:.3f}" for z in points)
    body = (
        f'<path transform="rotate(33) skewX(9)" d="M0 0L1 700T{text}A9 5 7 1 0 9 9z"/>'
    )

    segments = read_line(body).path.segments

    starts, ends = start_points(segments), end_points(segments)
    np.testing.assert_allclose(ends, np.roll(starts, -1), atol=1e-9)


def test_extent_needs_two_different_control_points() -> None:
    assert not has_extent(line(1, 1))
    assert not has_extent(quadratic(1, 1, 1))
    assert not has_extent(cubic(1, 1, 1, 1))
    assert has_extent(cubic(1, 1, 2, 1))
    assert has_extent(quadratic(0, 1, 0))


def test_subpaths_under_different_maps_keep_their_order() -> None:
    one = Subpath((line(0, 1),), closed=False)
    turn = Subpath((conic(0, 1, 1j, (0.0, 1.0)),), closed=False)
    subpaths = [one, turn, one, one, one]
    affines = [Affine(a=2), Affine(a=2), Affine(e=5), Affine(a=1e10), Affine(a=2)]

    paths = list(to_paths(strokes_of(enumerate(subpaths)), affines))

    ends = [None if path is None else path.end for path in paths]
    assert ends[0] == 2
    assert ends[1] == pytest.approx(2 * np.cos(1) + 1j * np.sin(1))
    assert ends[2:] == [6, None, 2]
