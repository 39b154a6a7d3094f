import math
from dataclasses import replace
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
import shapely
from ezdxf.filemanagement import new
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.integrate import quad
from scipy.interpolate import BSpline, CubicSpline
from scipy.special import ellipe
from strategies import points as points_of_drawings

from edgefinder.geometry.arclength import lengths
from edgefinder.geometry.segments import (
    Complexes,
    Floats,
    Kind,
    Segments,
    end_points,
    points_at,
    start_points,
)
from edgefinder.importers.dxf.spline import (
    Spline,
    cubics_through,
    spline_segments,
)

WAVE = np.array([0, 30 + 50j, 80 + 60j, 120 - 20j, 150 + 10j, 200 + 80j, 230])
TOLERANCE = 0.001


def clamped(degree: int, count: int) -> Floats:
    inner = np.arange(1, count - degree)
    return np.concatenate(
        [np.zeros(degree + 1), inner, [count - degree] * (degree + 1)]
    )


def judge(spline: Spline) -> BSpline:
    """The same curve by another library, valid over the spline's own domain."""
    return BSpline(spline.knots, spline.points, spline.degree, extrapolate=False)


def judged_length(spline: Spline) -> float:
    derivative = judge(spline).derivative()
    knots = np.unique(spline.knots[spline.degree : len(spline.points) + 1])
    return math.fsum(
        quad(lambda t: abs(complex(derivative(t))), a, b, epsabs=1e-11, limit=200)[0]
        for a, b in pairwise(knots)
    )


def sampled(segments: Segments, count: int = 9) -> Complexes:
    t = np.linspace(0, 1, count)[:-1]
    columns = [points_at(segments, np.full(len(segments), value)) for value in t]
    return np.append(np.stack(columns, axis=1).ravel(), end_points(segments)[-1])


def judged_samples(spline: Spline, count: int = 9) -> Any:
    knots = np.unique(spline.knots[spline.degree : len(spline.points) + 1])
    t = np.linspace(0, 1, count)[:-1]
    parameters = (knots[:-1, np.newaxis] + np.diff(knots)[:, np.newaxis] * t).ravel()
    # The right end of the domain is outside of scipy's last half-open span.
    inside = np.append(parameters, np.nextafter(knots[-1], knots[0]))
    return judge(spline)(inside)


@pytest.mark.parametrize("degree", [1, 2, 3])
def test_a_clamped_spline_up_to_degree_three_is_exact(degree: int) -> None:
    spline = Spline(degree, clamped(degree, len(WAVE)), WAVE, None)

    segments, exact = spline_segments(spline, TOLERANCE)

    assert exact
    assert segments.kind[0] == (Kind.LINE if degree == 1 else Kind.CUBIC)
    assert_allclose(sampled(segments), judged_samples(spline), atol=1e-11)


@pytest.mark.parametrize("degree", [2, 3])
def test_an_unclamped_spline_runs_over_its_own_domain_only(degree: int) -> None:
    knots = np.arange(len(WAVE) + degree + 1, dtype=float)
    spline = Spline(degree, knots, WAVE, None)

    segments, exact = spline_segments(spline, TOLERANCE)

    assert exact
    assert len(segments) == len(WAVE) - degree
    assert_allclose(sampled(segments), judged_samples(spline), atol=1e-11)
    assert lengths(segments).sum() == pytest.approx(judged_length(spline), rel=1e-9)


@given(
    st.lists(st.sampled_from([0.0, 0.0, 0.3, 1.0, 2.5]), min_size=11, max_size=11),
    st.lists(
        st.complex_numbers(max_magnitude=300, allow_nan=False, allow_infinity=False),
        min_size=8,
        max_size=8,
    ),
)
@settings(max_examples=80)
def test_any_knots_give_the_curve_that_scipy_gives(
    steps: list[float], points: list[complex]
) -> None:
    knots = np.cumsum([0.0, *steps])
    spline = Spline(3, knots, np.array(points), None)
    spans = knots[3:9]
    if spans[0] == spans[-1] or (knots[4:] == knots[:-4])[1:-1].any():
        return  # no domain, or a curve in two parts

    segments, _ = spline_segments(spline, TOLERANCE)

    assert_allclose(sampled(segments), judged_samples(spline), atol=1e-9)


def closed_spline() -> Spline:
    """A periodic spline as the DXF library writes one, of about 460 mm."""
    entity = new().modelspace().add_spline()
    corners = [(0, 0), (100, -20), (180, 10), (190, 90), (90, 120), (-20, 80)]
    entity.set_closed([(x, y, 0) for x, y in corners], degree=3)
    control = np.array([complex(x, y) for x, y, _ in entity.control_points])
    return Spline(3, np.array(entity.knots), control, None)


def test_a_periodic_spline_has_the_length_that_scipy_gives() -> None:
    spline = closed_spline()

    segments, exact = spline_segments(spline, TOLERANCE)

    assert exact
    assert end_points(segments)[-1] == pytest.approx(start_points(segments)[0])
    assert lengths(segments).sum() == pytest.approx(judged_length(spline), rel=1e-9)
    assert 400 < lengths(segments).sum() < 500


def test_the_library_itself_reads_a_periodic_spline_much_too_long() -> None:
    """The reason for the conversion of our own."""
    spline = closed_spline()
    entity = new().modelspace().add_spline()
    entity.knots, entity.dxf.degree = spline.knots.tolist(), 3
    entity.control_points = [(z.real, z.imag, 0) for z in spline.points]
    points = np.array([complex(p.x, p.y) for p in entity.flattening(0.01)])

    assert np.abs(np.diff(points)).sum() > 1.4 * judged_length(spline)


@pytest.mark.parametrize("tolerance", [1.0, 0.1, 0.01, 0.001, 1e-6])
@pytest.mark.parametrize("degree", [4, 5])
def test_higher_degrees_are_cubics_within_the_tolerance(
    degree: int, tolerance: float
) -> None:
    spline = Spline(degree, clamped(degree, len(WAVE)), WAVE, None)

    segments, exact = spline_segments(spline, tolerance)

    assert not exact
    curve = judge(spline)(np.linspace(0, spline.knots[-1], 20001, endpoint=False))
    curve = shapely.LineString(np.stack([curve.real, curve.imag], axis=1))
    points = sampled(segments, 33)[:-1]
    distance = shapely.distance(shapely.points(points.real, points.imag), curve)
    assert distance.max() < tolerance + 2e-5  # the chords of the samples
    assert lengths(segments).sum() == pytest.approx(
        judged_length(spline), abs=10 * tolerance
    )
    assert_allclose(end_points(segments)[:-1], start_points(segments)[1:], atol=1e-9)


CORNER = math.sqrt(0.5)
SQUARE = np.array([1, 1 + 1j, 1j, -1 + 1j, -1, -1 - 1j, -1j, 1 - 1j, 1])
CIRCLE = Spline(
    2,
    np.array([0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4], dtype=float),
    100 * SQUARE,
    np.array([1, CORNER] * 4 + [1]),
)
"""Nine points and weights of a full circle: Piegl, Tiller, The NURBS Book, 7.5."""


def test_a_rational_circle_is_four_exact_arcs() -> None:
    segments, exact = spline_segments(CIRCLE, TOLERANCE)

    assert exact
    assert list(segments.kind) == [Kind.ARC] * 4
    assert_allclose(np.abs(sampled(segments, 65)), 100, rtol=1e-14)
    assert lengths(segments).sum() == pytest.approx(200 * math.pi, rel=1e-14)


def test_a_rational_ellipse_has_the_length_of_the_elliptic_integral() -> None:
    points = 100 * (SQUARE.real + 0.3j * SQUARE.imag) * np.exp(0.4j)

    segments, exact = spline_segments(replace(CIRCLE, points=points), TOLERANCE)

    assert exact
    assert lengths(segments).sum() == pytest.approx(400 * ellipe(1 - 0.3**2), rel=1e-12)


def rational(points: list[complex], weights: list[float]) -> Spline:
    """One rational quadratic span."""
    knots = np.array([0, 0, 0, 1, 1, 1.0])
    return Spline(2, knots, np.array(points, dtype=complex), np.array(weights))


def rational_points(spline: Spline, count: int) -> Complexes:
    """The definition, written out."""
    assert spline.weights is not None
    t = np.linspace(0, 1, count)
    basis = np.stack([(1 - t) ** 2, 2 * t * (1 - t), t * t], axis=1) * spline.weights
    points: Complexes = basis @ spline.points / basis.sum(axis=1)
    return points


@given(
    st.lists(points_of_drawings(), min_size=3, max_size=3, unique=True),
    st.lists(st.floats(0.05, 20), min_size=3, max_size=3),
)
@settings(max_examples=25)
def test_every_rational_quadratic_lies_on_the_curve_of_its_definition(
    points: list[complex], weights: list[float]
) -> None:
    spline = rational(points, weights)
    middle = weights[1] / math.sqrt(weights[0] * weights[2])
    curve = rational_points(spline, 8001)
    line = shapely.LineString(np.stack([curve.real, curve.imag], axis=1))

    segments, exact = spline_segments(spline, TOLERANCE)

    if middle < 1 - 1e-6:
        assert exact
    ours = sampled(segments, 33)
    assert_allclose([ours[0], ours[-1]], [points[0], points[2]], atol=1e-6)
    distance = shapely.distance(shapely.points(ours.real, ours.imag), line)
    assert distance.max() < TOLERANCE + 2e-4  # the chords of the samples


@pytest.mark.parametrize("weights", [[1, 1 + 1e-12, 1], [0.5, 1, 2], [4, 2, 1]])
def test_a_rational_parabola_is_exact(weights: list[float]) -> None:
    """50 (1 + asinh(1)/sqrt(2)) long between legs of 50 under a right angle."""
    spline = rational([0, 50, 50 + 50j], weights)

    segments, exact = spline_segments(spline, TOLERANCE)

    assert exact
    assert list(segments.kind) == [Kind.CUBIC]
    parabola = 50 * (math.sqrt(2) + math.asinh(1)) / math.sqrt(2)
    assert lengths(segments).sum() == pytest.approx(parabola, rel=1e-12)


def test_a_rational_line_is_a_line() -> None:
    segments, exact = spline_segments(rational([0, 7j, 10j], [1, 5, 1]), TOLERANCE)

    assert exact
    assert list(segments.kind) == [Kind.LINE]
    assert lengths(segments).sum() == 10


@pytest.mark.parametrize("tolerance", [1.0, 0.1, 0.01, 0.001, 1e-6])
def test_a_hyperbola_stays_within_the_tolerance(tolerance: float) -> None:
    """x y = 1 from (4, 1/4) to (1/4, 4), enlarged: P1 where the tangents meet."""
    ends, meeting = [4 + 0.25j, 0.25 + 4j], 2 * (1 + 1j) / (4 + 0.25)
    # The curve at half its parameter is (1, 1) by symmetry, which gives the weight.
    weight = abs((ends[0] + ends[1]) / 2 - (1 + 1j)) / abs(meeting - (1 + 1j))
    points = [100 * p for p in (ends[0], meeting, ends[1])]

    segments, exact = spline_segments(rational(points, [1, weight, 1]), tolerance)

    assert not exact
    ours = sampled(segments, 33) / 100
    assert_allclose(ours.real * ours.imag, 1, atol=10 * tolerance / 100 + 1e-12)


def test_exact_and_fitted_spans_keep_their_order() -> None:
    knots = np.array([0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4.0])
    corners = [0, 50, 50 + 50j, 100 + 50j, 100, 150, 150 + 50j, 150 + 100j, 200 + 100j]
    weights = np.array([1, CORNER, 1, 3, 1, 1, 1, 0.3, 1])
    spline = Spline(2, knots, np.array(corners), weights)

    segments, exact = spline_segments(spline, TOLERANCE)

    assert not exact
    kinds = list(segments.kind)
    assert (kinds[0], kinds[-1]) == (Kind.ARC, Kind.ARC)
    assert kinds.count(Kind.CUBIC) == len(kinds) - 2 > 2
    assert_allclose(end_points(segments)[:-1], start_points(segments)[1:], atol=1e-9)


def test_equal_weights_are_no_weights() -> None:
    spline = Spline(3, clamped(3, 7), WAVE, np.full(7, 2.5))

    segments, exact = spline_segments(spline, TOLERANCE)

    assert exact
    plain, _ = spline_segments(Spline(3, clamped(3, 7), WAVE, None), TOLERANCE)
    assert_allclose(segments.control, plain.control)


@pytest.mark.parametrize(
    ("degree", "knots", "weights", "fault"),
    [
        (3, clamped(3, 7)[:-1], None, "has 10 knots instead of 11"),
        (3, clamped(3, 7)[::-1], None, "has knots that do not increase"),
        (3, np.zeros(11), None, "has knots that do not increase"),
        (7, np.zeros(15), None, "has 7 control points, fewer than degree 7 needs"),
        (0, np.zeros(8), None, "has degree 0, not 1 to 25"),
        (3, clamped(3, 7), np.ones(6), "has 6 weights for 7 control points"),
        (
            3,
            clamped(3, 7),
            np.array([1, 1, -1, 1, 1, 1, 1.0]),
            "has weights that are not positive, or too far apart",
        ),
        (
            3,
            clamped(3, 7),
            np.array([1, 1, 1e-9, 1, 1, 1, 1]),
            "has weights that are not positive, or too far apart",
        ),
        (3, clamped(3, 7), np.ones(7), None),
    ],
)
def test_a_spline_says_what_is_wrong_with_it(
    degree: int, knots: Floats, weights: Floats | None, fault: str | None
) -> None:
    assert Spline(degree, knots, WAVE, weights).fault == fault


def chords(points: Complexes) -> Floats:
    return np.append(0.0, np.cumsum(np.abs(np.diff(points))))


def assert_is(segments: Segments, curve: CubicSpline, stations: Floats) -> None:
    for share in (0.0, 0.3, 0.5, 0.9):
        t = np.full(len(segments), share)
        at = stations[:-1] + np.diff(stations) * share
        assert_allclose(points_at(segments, t), curve(at), atol=1e-9)


def test_the_line_through_points_is_the_natural_cubic_spline() -> None:
    stations = chords(WAVE)

    segments = cubics_through(WAVE)

    assert_is(segments, CubicSpline(stations, WAVE, bc_type="natural"), stations)


def test_the_line_through_points_keeps_given_directions() -> None:
    stations = chords(WAVE)
    conditions = ((1, 1j), (1, (1 + 1j) / math.sqrt(2)))

    segments = cubics_through(WAVE, tangents=(5j, 3 + 3j))

    assert_is(segments, CubicSpline(stations, WAVE, bc_type=conditions), stations)


@pytest.mark.parametrize("repeated", [False, True])
def test_a_closed_line_through_points_is_the_periodic_cubic_spline(
    repeated: bool,
) -> None:
    ring = np.append(WAVE[:5], WAVE[0])
    stations = chords(ring)

    segments = cubics_through(ring if repeated else ring[:-1], closed=True)

    assert len(segments) == 5
    assert_is(segments, CubicSpline(stations, ring, bc_type="periodic"), stations)


def test_doubled_points_do_not_bend_the_line() -> None:
    doubled = np.repeat(WAVE, 2)

    assert_allclose(cubics_through(doubled).control, cubics_through(WAVE).control)


def test_two_points_make_a_straight_line() -> None:
    (row,) = cubics_through(np.array([0, 30 + 40j])).control

    assert_allclose(row, np.array([0, 10, 20, 30]) * (1 + 4j / 3), atol=1e-12)
