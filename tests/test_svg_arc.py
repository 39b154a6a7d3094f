import cmath
import math
import warnings

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from edgefinder.geometry.segments import Kind, Segments, points_at
from edgefinder.importers.svg.arc import ArcShape, elliptical_arc
from edgefinder.importers.svg.subpath import Row, line

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from svgpathtools import Arc


def points(row: Row, t: list[float]) -> list[complex]:
    kind, *control = row
    table = Segments(np.full(len(t), kind), np.array([control] * len(t)))
    return [complex(z) for z in points_at(table, np.array(t))]


def drawn(start: complex, shape: ArcShape, end: complex) -> Row:
    row = elliptical_arc(start, shape, end)
    assert row is not None
    return row


def test_the_four_arcs_between_two_points_of_a_circle() -> None:
    # Radius 5 through 0 and 6: centres 3 +- 4i by the 3-4-5 triangle. Sweep 1 lets the
    # angle grow: SVG 2, section 9.3.8.
    turned = {
        (False, True): (3 + 4j, 2 * math.asin(0.6)),
        (False, False): (3 - 4j, -2 * math.asin(0.6)),
        (True, True): (3 - 4j, 2 * math.pi - 2 * math.asin(0.6)),
        (True, False): (3 + 4j, 2 * math.asin(0.6) - 2 * math.pi),
    }
    for (is_large, sweeps), (centre, turn) in turned.items():
        row = drawn(0j, ArcShape(5, 5, 0.0, is_large, sweeps), 6 + 0j)

        assert row[0] == Kind.ARC
        assert row[1] == pytest.approx(centre)
        assert row[4].imag - row[4].real == pytest.approx(turn)


def test_radii_too_small_are_scaled_up_to_a_half_turn() -> None:
    row = drawn(0j, ArcShape(1, 2, 0.0, False, True), 10 + 0j)

    assert row[1] == pytest.approx(5)
    assert (abs(row[2]), abs(row[3])) == pytest.approx((5, 10))
    assert row[4].imag - row[4].real == pytest.approx(math.pi)


def test_signs_of_radii_do_not_matter() -> None:
    there = ArcShape(5, 3, 0.4, True, False)
    back = ArcShape(-5, -3, 0.4, True, False)

    assert drawn(0j, there, 6 + 1j) == drawn(0j, back, 6 + 1j)


@pytest.mark.parametrize("radii", [(0.0, 5.0), (5.0, 0.0), (1e-320, 5.0)])
def test_a_radius_of_zero_is_a_line(radii: tuple[float, float]) -> None:
    shape = ArcShape(*radii, 0.0, True, True)

    assert elliptical_arc(1j, shape, 5 + 0j) == line(1j, 5 + 0j)


def test_an_arc_that_ends_where_it_starts_is_dropped() -> None:
    assert elliptical_arc(1j, ArcShape(5, 5, 0.0, True, True), 1j) is None


def test_a_radius_beyond_all_rounding_is_a_line() -> None:
    shape = ArcShape(1e12, 1e12, 0.0, False, True)

    assert elliptical_arc(0j, shape, 10 + 0j) == line(0j, 10 + 0j)


@given(
    end=st.complex_numbers(min_magnitude=1, max_magnitude=100),
    radii=st.tuples(st.floats(1, 200), st.floats(1, 200)),
    degrees=st.floats(-180, 180),
    is_large=st.booleans(),
    sweeps=st.booleans(),
)
def test_arcs_pass_where_svgpathtools_draws_them(
    end: complex,
    radii: tuple[float, float],
    degrees: float,
    is_large: bool,
    sweeps: bool,
) -> None:
    # Radii that are too small make a half turn, near which svgpathtools starts up to
    # 1e-5 away from the start: that case is in closed form above.
    tilt = math.radians(degrees)
    half = end / 2 * cmath.exp(-1j * tilt)
    assume(math.hypot(half.real / radii[0], half.imag / radii[1]) < 1 - 1e-4)

    row = drawn(0j, ArcShape(*radii, tilt, is_large, sweeps), end)

    other = Arc(0j, complex(*radii), degrees, is_large, sweeps, end)
    t = [0.0, 0.25, 0.5, 0.75, 1.0]
    size = abs(end) + max(radii)
    for mine, its in zip(points(row, t), (other.point(s) for s in t), strict=True):
        assert abs(mine - complex(its)) < 1e-7 * size


def test_rounded_ends_of_a_half_turn_do_not_move_it() -> None:
    # 2.066 - 0.066 is not quite 2 in double precision; the centre would lie off the
    # chord by the square root of that.
    shape = ArcShape(1.0, 1.0, 0.0, is_large=True, sweeps=True)

    _, centre, _, _, span = drawn(2.066 + 20.071j, shape, 0.066 + 20.071j)

    assert abs(centre - (1.066 + 20.071j)) < 1e-14
    assert span.imag - span.real == pytest.approx(math.pi, rel=1e-14)
