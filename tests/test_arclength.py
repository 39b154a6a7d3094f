"""Lengths against closed forms, mpmath, scipy and svgpathtools."""

from types import ModuleType

import mpmath
import numpy as np
import pytest
import svgpathtools
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.special import ellipe, ellipeinc
from shapes import ZOO
from strategies import angles, arcs, cubics, parameters, segments, smooth_cubics

from edgefinder.geometry import conic_lengths, cubic_lengths
from edgefinder.geometry.affine import Affine, transform
from edgefinder.geometry.arclength import (
    LENGTHS_CHUNK,
    lengths,
    lengths_between,
    lengths_to,
    parameters_at,
)
from edgefinder.geometry.quadrature import CHUNK
from edgefinder.geometry.segments import (
    Kind,
    Segments,
    arc_segments,
    circle,
    concatenate,
    cubic_segments,
    line_segments,
    quadratic_segments,
    reverse,
    split,
)

DIGITS = 30
TINIEST = 1e-24
RELATIVE = 1e-13
"""What the kernel is meant to reach; 1e-9 is what is promised."""


def length_of(table: Segments) -> float:
    (length,) = lengths(table)
    return float(length)


def graded(
    ends: tuple[mpmath.mpf, mpmath.mpf], roots: list[mpmath.mpc]
) -> list[mpmath.mpf]:
    """Places to cut: at the feet of the roots, and ever finer towards them."""
    low, high = ends
    places = {low, high}
    for root in roots:
        step = max(abs(root.imag), (high - low) * mpmath.mpf(TINIEST))
        offsets = [mpmath.mpf(0)]
        while step < high - low:
            offsets += [step, -step]
            step *= 8
        places |= {x for x in (root.real + o for o in offsets) if low < x < high}
    return sorted(places)


def exact_cubic(control: list[complex]) -> mpmath.mpf:
    p = [mpmath.mpc(z) for z in control]
    d0, d1, d2 = p[1] - p[0], p[2] - p[1], p[3] - p[2]
    a, b = d0 - 2 * d1 + d2, 2 * (d1 - d0)
    if a != 0:
        root = mpmath.sqrt(b * b - 4 * a * d0)
        roots = [(-b + root) / (2 * a), (-b - root) / (2 * a)]
    else:
        roots = [-d0 / b] if b != 0 else []

    def speed(t: mpmath.mpf) -> mpmath.mpf:
        return 3 * abs(d0 * (1 - t) ** 2 + 2 * d1 * t * (1 - t) + d2 * t * t)

    ends = mpmath.mpf(0), mpmath.mpf(1)
    return mpmath.quad(speed, graded(ends, roots), method="gauss-legendre")


def exact_arc(control: list[complex]) -> mpmath.mpf:
    u, v = mpmath.mpc(control[1]), mpmath.mpc(control[2])
    low, high = sorted((mpmath.mpf(control[3].real), mpmath.mpf(control[3].imag)))
    p, q = (u - 1j * v) / 2, (u + 1j * v) / 2
    roots = []
    if abs(p) > 0 and abs(q) > 0:
        foot = (mpmath.arg(q) - mpmath.arg(p)) / 2
        height = abs(mpmath.log(abs(p) / abs(q))) / 2
        first = mpmath.ceil((low - foot) / mpmath.pi)
        feet = [first + k for k in range(int((high - low) / mpmath.pi) + 1)]
        roots = [mpmath.mpc(foot + k * mpmath.pi, height) for k in feet]

    def speed(t: mpmath.mpf) -> mpmath.mpf:
        return abs(v * mpmath.cos(t) - u * mpmath.sin(t))

    places = graded((low, high), roots)
    return mpmath.quad(speed, places, method="gauss-legendre")


def exact_length(table: Segments) -> float:
    """The sum of the lengths of all rows, by 30-digit quadrature."""
    total = mpmath.mpf(0)
    with mpmath.workdps(DIGITS):
        for kind, control in zip(table.kind, table.control.tolist(), strict=True):
            if kind == Kind.LINE:
                total += abs(mpmath.mpc(control[1]) - mpmath.mpc(control[0]))
            else:
                total += {Kind.CUBIC: exact_cubic, Kind.ARC: exact_arc}[kind](control)
    return float(total)


def cubic_with_roots(r1: complex, r2: complex, lead: complex = 1) -> Segments:
    """The cubic whose derivative is lead (t - r1)(t - r2)."""
    d0, d1 = lead * r1 * r2, lead * (r1 * r2 - (r1 + r2) / 2)
    d2 = lead * (1 - r1) * (1 - r2)
    return cubic_segments([np.cumsum([0, d0 / 3, d1 / 3, d2 / 3])])


# --- closed forms ---------------------------------------------------------------


def test_a_line_is_as_long_as_its_ends_are_apart() -> None:
    table = line_segments([0, 1], [3 + 4j, 1 - 2j])

    assert lengths(table).tolist() == [5.0, 2.0]


@pytest.mark.parametrize("radius", [1e-6, 0.5, 10.0, 1e6])
def test_a_circle_measures_two_pi_r(radius: float) -> None:
    assert length_of(circle(3 + 4j, radius)) == pytest.approx(
        2 * np.pi * radius, rel=4e-16
    )


@pytest.mark.parametrize("span", [1e-9, 0.3, 3.0, 7.0, 100.0, -0.3, -7.0])
def test_a_circular_arc_measures_its_angle_times_its_radius(span: float) -> None:
    table = arc_segments([0], 7, 7j, 0.0, span)

    assert length_of(table) == pytest.approx(7 * abs(span), rel=1e-15)


@pytest.mark.parametrize(
    "ratio", [1, 0.9, 0.5, 0.05, *(10.0**-k for k in range(2, 17))]
)
@pytest.mark.parametrize("turned", [0.0, 0.4, 3.0])
def test_a_full_ellipse_is_the_complete_elliptic_integral(
    ratio: float, turned: float
) -> None:
    u = 20 * (np.cos(turned) + 1j * ratio * np.sin(turned))
    v = 20 * (-np.sin(turned) + 1j * ratio * np.cos(turned))

    length = length_of(arc_segments([5], u, v, 0.0, 2 * np.pi))

    assert length == pytest.approx(80 * ellipe(1 - ratio**2), rel=3e-15)


@pytest.mark.parametrize("ratio", [0.9, 0.3, 0.01, 1e-6])
@pytest.mark.parametrize(
    ("t0", "t1"), [(0.0, 0.1), (0.2, 2.5), (-3.0, 5.0), (1.0, 40.0), (2.0, -1.0)]
)
def test_an_elliptic_arc_is_the_incomplete_elliptic_integral(
    ratio: float, t0: float, t1: float
) -> None:
    # Measured from an end of the shorter axis, where the integral begins.
    table = arc_segments([0], 8j * ratio, 8, t0, t1)

    length = length_of(table)

    m = 1 - ratio**2
    assert length == pytest.approx(
        8 * abs(ellipeinc(t1, m) - ellipeinc(t0, m)), rel=1e-13
    )


@pytest.mark.parametrize("half_turns", [1, 2, 3, 9])
def test_a_flat_arc_runs_back_and_forth_once_each_half_turn(half_turns: int) -> None:
    table = arc_segments([1], 3 + 4j, 0, 0.0, half_turns * np.pi)

    assert length_of(table) == pytest.approx(10 * half_turns, rel=1e-15)


def test_a_flat_arc_of_two_parallel_vectors_turns_where_their_sum_is_longest() -> None:
    # cos t + sin t = sqrt 2 cos(t - pi/4): up to the tip at pi/4, down to the tip at
    # 5 pi/4, and some way back.
    table = arc_segments([0], 1 + 1j, 1 + 1j, 0.0, 4.5)

    up, down = np.sqrt(2) - 1, 2 * np.sqrt(2)
    back = np.sqrt(2) + np.cos(4.5) + np.sin(4.5)
    assert length_of(table) == pytest.approx(np.sqrt(2) * (up + down + back), rel=1e-15)


@pytest.mark.parametrize("x1", [1e-3, 0.5, 3.0, 100.0])
def test_a_parabola_measures_its_closed_form(x1: float) -> None:
    # y = x^2 from 0 to x1: x1 sqrt(1 + 4 x1^2)/2 + asinh(2 x1)/4.
    table = quadratic_segments([[0, x1 / 2, x1 + 1j * x1**2]])

    expected = x1 * np.hypot(1, 2 * x1) / 2 + np.arcsinh(2 * x1) / 4
    assert length_of(table) == pytest.approx(expected, rel=2e-15)


def test_a_semicubical_parabola_through_its_cusp_measures_its_closed_form() -> None:
    # (s^2, s^3) for s from -1 to 1, the curve of William Neile: each half measures
    # (13 sqrt 13 - 8)/27. With s = 2 t - 1 the cusp is at t = 1/2.
    table = cubic_segments([[1 - 1j, -1 / 3 + 1j, -1 / 3 - 1j, 1 + 1j]])

    assert length_of(table) == pytest.approx(2 * (13**1.5 - 8) / 27, rel=1e-15)


@pytest.mark.parametrize(
    ("control", "expected"),
    [
        ([0, 1, 2, 3], 3.0),
        ([0, 1, 0, 1], 1.0),  # 3 (1 - 2t)^2 stops once, and does not turn
        ([0, 2, 2, 0], 3.0),  # 6 t (1 - t): out to 3/2 and back
        ([0, 0, 0, 5], 5.0),
        ([0, 0, 7j, 7j], 7.0),
        ([0, 3, 3, 3], 3.0),
        (
            [0, 1, -1, 0],
            2 / np.sqrt(3),
        ),  # 3 t (1-t)(1-2t), turning at (1 +- 1/sqrt 3)/2
    ],
)
def test_a_straight_cubic_measures_every_way_it_goes(
    control: list[complex], expected: float
) -> None:
    table = cubic_segments([np.array(control) * np.exp(0.3j) + 5])

    assert length_of(table) == pytest.approx(expected, rel=3e-15)


@pytest.mark.parametrize("point", [0, 3 - 4j, 1e6 + 1e6j])
def test_what_is_one_point_has_no_length(point: complex) -> None:
    table = concatenate(
        [
            line_segments(point, point),
            cubic_segments([[point] * 4]),
            arc_segments([point], 0, 0, 0.0, 6.0),
            arc_segments([point], 5, 5j, 1.0, 1.0),
        ]
    )

    assert lengths(table).tolist() == [0.0] * 4
    assert lengths_to(table, np.full(4, 0.5)).tolist() == [0.0] * 4
    assert parameters_at(table, np.ones(4)).tolist() == [0.0] * 4


# --- mpmath -----------------------------------------------------------------------


@pytest.mark.parametrize("name", ZOO)
def test_awkward_shapes_measure_what_quadrature_to_30_digits_does(name: str) -> None:
    table = ZOO[name].segments

    length = lengths(table)

    assert np.all(length >= 0)
    assert length.sum() == pytest.approx(exact_length(table), rel=RELATIVE)


@pytest.mark.parametrize("height", [0, *(10.0**-k for k in range(1, 18, 2))])
@pytest.mark.parametrize("other", [0.5 + 2j, 0.7 + 1e-3j, 0.3, 1.0, 50 - 20j])
def test_a_cubic_that_nearly_stops_keeps_all_digits(
    height: float, other: complex
) -> None:
    table = cubic_with_roots(0.3 + 1j * height, other, lead=3 - 40j)

    assert length_of(table) == pytest.approx(exact_length(table), rel=RELATIVE)


@pytest.mark.parametrize("handle", [0.0, *(10.0**-k for k in range(2, 15, 2))])
@pytest.mark.parametrize("angle", [0.0, 1.0, 3.0])
def test_a_short_handle_keeps_all_digits(handle: float, angle: float) -> None:
    short = complex(handle * np.exp(1j * angle))
    table = cubic_segments([[0, short, 60 + 40j, 100], [0, short, 100 - short, 100]])

    assert lengths(table).sum() == pytest.approx(exact_length(table), rel=RELATIVE)


@pytest.mark.parametrize("origin", [0, 1e6 + 1e6j])
@pytest.mark.parametrize("size", [1e-6, 1.0, 1e6])
def test_lengths_are_right_far_out_and_at_any_size(
    origin: complex, size: float
) -> None:
    # What is measured is the cubic of the rounded coordinates.
    table = cubic_segments([origin + size * np.array([0, 0.3 + 0.4j, 1.1 - 0.2j, 1])])

    assert length_of(table) == pytest.approx(exact_length(table), rel=RELATIVE)


@settings(max_examples=100, deadline=None)
@given(cubics())
def test_any_cubic_measures_what_quadrature_to_30_digits_does(table: Segments) -> None:
    assert length_of(table) == pytest.approx(exact_length(table), rel=RELATIVE)


@settings(max_examples=20, deadline=None)
@given(smooth_cubics())
def test_any_smooth_cubic_measures_what_quadrature_to_30_digits_does(
    table: Segments,
) -> None:
    assert length_of(table) == pytest.approx(exact_length(table), rel=RELATIVE)


@settings(max_examples=20, deadline=None)
@given(arcs())
def test_any_arc_measures_what_quadrature_to_30_digits_does(table: Segments) -> None:
    assert length_of(table) == pytest.approx(exact_length(table), rel=RELATIVE)


# --- second opinions ----------------------------------------------------------------


def smooth_table(count: int) -> Segments:
    random = np.random.default_rng(7)
    chord = random.uniform(5, 200, count)
    handles = chord * random.uniform(0.25, 0.42, (2, count))
    turn0, turn1 = np.exp(1j * random.uniform(-0.8, 0.8, (2, count)))
    control = [0 * chord, handles[0] * turn0, chord - handles[1] * turn1, chord]
    return cubic_segments(np.stack(control, axis=1))


def test_svgpathtools_measures_ordinary_cubics_alike() -> None:
    table = smooth_table(300)

    length = lengths(table)

    # Its own error is held below 1e-12 mm a stretch, by estimate.
    theirs = [svgpathtools.CubicBezier(*p).length() for p in table.control.tolist()]
    assert length == pytest.approx(theirs, rel=1e-11)


@pytest.mark.parametrize("count", [10, 100, 1000, 10000])
def test_ever_finer_polylines_come_nearer_from_below(count: int) -> None:
    table = cubic_segments([[0, 30 + 60j, 80 - 40j, 100 + 10j]])
    t = np.linspace(0, 1, count + 1)
    (p,) = table.control
    line = p @ np.array([(1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3])

    short_by = length_of(table) - np.sum(abs(np.diff(line)))

    # The error of chords falls as 1/count^2.
    assert 0 < short_by < 150 / count**2


# --- properties -----------------------------------------------------------------------


@given(segments(), st.floats(-6, 6), angles())
def test_lengths_grow_with_the_scale_and_do_not_mind_turning(
    table: Segments, exponent: float, angle: float
) -> None:
    scale = 10**exponent
    a, b = scale * np.cos(angle), scale * np.sin(angle)

    length = length_of(transform(table, Affine(a, b, -b, a)))

    # Mirrored axes and rounded control points: a few digits more than one length.
    assert length == pytest.approx(scale * length_of(table), rel=1e-12)


@given(segments())
def test_reversing_keeps_the_length(table: Segments) -> None:
    assert length_of(reverse(table)) == pytest.approx(length_of(table), rel=RELATIVE)


@given(segments(), parameters())
def test_splitting_keeps_the_sum(table: Segments, at: float) -> None:
    t, zero, one = np.array([at]), np.zeros(1), np.ones(1)

    parts = [split(table, zero, t), split(table, t, one)]

    whole = length_of(table)
    assert sum(map(length_of, parts)) == pytest.approx(whole, rel=1e-12, abs=1e-12)


@given(segments(), parameters())
def test_the_length_to_a_parameter_is_that_of_the_part_before_it(
    table: Segments, at: float
) -> None:
    t = np.array([at])

    (length,) = lengths_to(table, t)

    part = length_of(split(table, np.zeros(1), t))
    assert length == pytest.approx(part, rel=1e-12, abs=1e-12)


@given(segments())
def test_lengths_run_from_nothing_to_the_whole(table: Segments) -> None:
    assert lengths_to(table, np.zeros(1)) == 0.0
    assert lengths_to(table, np.ones(1)) == pytest.approx(lengths(table), rel=1e-15)


@pytest.mark.parametrize("t", [1e-3, 1e-9, 1e-100, 5e-324])
def test_the_shortest_stretches_keep_their_digits(t: float) -> None:
    # From a full handle, from a handle of no length, round a circle, from a tip.
    table = concatenate(
        [
            line_segments(0, 5),
            cubic_segments(np.array([[0, 2j, 2j, 2j], [0, 0, 2, 2]])),
            circle(0, 3),
            arc_segments([0], 4, 0, 0.0, 1.0),
        ]
    )

    length = lengths_to(table, np.full(5, t))

    expected = [5 * t, 6 * t * (1 - t + t * t / 3)]
    expected += [6 * t * t * (1 - t * 2 / 3), 6 * np.pi * t, 8 * np.sin(t / 2) ** 2]
    assert length == pytest.approx(expected, rel=1e-14, abs=1e-300)


# --- the parameter at a length ----------------------------------------------------


@given(segments(), parameters())
def test_the_length_to_the_parameter_found_is_the_length_asked_for(
    table: Segments, fraction: float
) -> None:
    wanted = lengths(table) * fraction

    t = parameters_at(table, wanted)

    assert np.all((t >= 0) & (t <= 1))
    error = abs(lengths_to(table, t) - wanted)
    assert error <= 3e-14 * lengths(table)


@given(smooth_cubics(), parameters())
def test_the_parameter_found_is_the_one_that_the_length_was_taken_at(
    table: Segments, at: float
) -> None:
    found = parameters_at(table, lengths_to(table, np.array([at])))

    # A handle may be 100 times as long as the speed where it is slowest.
    assert found == pytest.approx(at, abs=1e-11)


@pytest.mark.parametrize("name", ZOO)
@pytest.mark.parametrize("fraction", [1e-12, 1e-3, 0.25, 0.5, 0.7, 1 - 1e-9])
def test_lengths_are_found_again_on_awkward_shapes(name: str, fraction: float) -> None:
    table = ZOO[name].segments
    whole = lengths(table)

    t = parameters_at(table, whole * fraction)

    error = abs(lengths_to(table, t) - whole * fraction)
    assert np.all(error <= 3e-14 * whole)


def test_half_the_length_of_a_symmetric_cusp_is_at_the_cusp() -> None:
    table = cubic_segments([[1 - 1j, -1 / 3 + 1j, -1 / 3 - 1j, 1 + 1j]])

    t = parameters_at(table, lengths(table) / 2)

    assert t == pytest.approx(0.5, abs=1e-7)


def test_lengths_beyond_the_ends_are_clamped_to_them() -> None:
    table = concatenate(
        [line_segments(0, 5), cubic_segments([[0, 1, 2, 3j]]), circle(0, 2)]
    )
    whole = lengths(table)

    assert parameters_at(table, whole + 1).tolist() == [1.0] * 3
    assert parameters_at(table, whole).tolist() == [1.0] * 3
    assert parameters_at(table, np.zeros(3)).tolist() == [0.0] * 3
    assert parameters_at(table, -whole).tolist() == [0.0] * 3


def test_equal_parts_of_a_circle_are_equal_parts_of_its_parameter() -> None:
    fractions = np.linspace(0, 1, 9)
    table = circle(1j, 3).take(np.zeros(9, dtype=int))

    t = parameters_at(table, 6 * np.pi * fractions)

    assert t == pytest.approx(fractions, abs=1e-15)


# --- tables ---------------------------------------------------------------------------


def test_an_empty_table_has_no_lengths() -> None:
    empty = concatenate([])

    assert lengths(empty).shape == (0,)
    assert lengths_to(empty, np.empty(0)).shape == (0,)
    assert parameters_at(empty, np.empty(0)).shape == (0,)


def test_cubics_taken_for_even_without_their_roots_are_measured_as_exactly() -> None:
    # The derivative is (t - r1)(t - r2), with roots around the size of the first rule.
    chance = np.random.default_rng(8)
    size = chance.uniform(2, 20, (2, 4000)) * np.exp(2j * np.pi * chance.random(4000))
    r1, r2 = 0.5 + size / 2 * np.exp(1j * chance.uniform(-1, 1, (2, 4000)))
    d = np.stack([r1 * r2, r1 * r2 - (r1 + r2) / 2, (1 - r1) * (1 - r2)]) / 3
    control = np.concatenate([np.zeros((1, 4000)), np.cumsum(d, axis=0)]).T

    # Gauss's rule with 64 nodes on each quarter is right to the last digits there.
    x, weights = np.polynomial.legendre.leggauss(64)
    t = (np.arange(4)[:, np.newaxis] + (1 + x) / 2).ravel() / 4
    speed = abs((t[:, np.newaxis] - r1) * (t[:, np.newaxis] - r2))
    exact = np.tile(weights, 4) @ speed / 8

    assert lengths(cubic_segments(control)) == pytest.approx(exact, rel=4e-15)


def test_a_table_of_all_kinds_is_measured_row_by_row_in_its_order() -> None:
    one_of_each = concatenate([path.segments for path in ZOO.values()])
    random = np.random.default_rng(3)
    order = random.integers(len(one_of_each), size=LENGTHS_CHUNK + 3 * CHUNK + 17)
    alone = [one_of_each.take([row]) for row in range(len(one_of_each))]
    t = random.uniform(size=order.size)

    table = one_of_each.take(order)

    single = np.array([length_of(row) for row in alone])
    assert lengths(table) == pytest.approx(single[order], rel=RELATIVE)
    to = lengths_to(table, t)
    back = parameters_at(table, to)
    assert np.all(abs(lengths_to(table, back) - to) <= 3e-14 * single[order])


def test_stretches_of_one_segment_add_up_to_it() -> None:
    table = concatenate([path.segments for path in ZOO.values()])
    random = np.random.default_rng(7)
    ends = np.sort(random.uniform(size=(len(table), 11)), axis=1)
    ends[:, 0], ends[:, -1] = 0.0, 1.0
    begin, end = ends[:, :-1].ravel(), ends[:, 1:].ravel()
    row = np.repeat(np.arange(len(table)), 10)

    found = lengths_between(table, begin, end, row)

    whole = lengths(table)
    sums = found.reshape(-1, 10).sum(axis=1)
    assert np.all(abs(sums - whole) <= RELATIVE * whole)
    back = lengths_between(table, end, begin, row)
    assert np.all(abs(back + found) <= RELATIVE * np.repeat(whole, 10))
    alone = lengths_between(table.take(row), begin, end)
    assert np.all(abs(alone - found) <= RELATIVE * np.repeat(whole, 10))


def test_a_broken_coordinate_neither_hangs_nor_spoils_its_neighbours() -> None:
    with np.errstate(invalid="ignore"):
        table = cubic_segments(
            np.array([[0, 1, 2, 3], [0, np.nan, 1j, 2], [0, 1j, 2j, 3j]])
        )

        length = lengths(table)

    assert np.isnan(length).tolist() == [False, True, False]
    assert length[[0, 2]] == pytest.approx(3, rel=RELATIVE)


@pytest.mark.parametrize("module", [cubic_lengths, conic_lengths])
def test_when_cutting_is_ended_early_the_length_is_still_a_good_one(
    module: ModuleType, monkeypatch: pytest.MonkeyPatch
) -> None:
    table = concatenate(
        [cubic_with_roots(0.3 + 1e-6j, 0.5 + 2j), arc_segments([0], 5, 1e-5j, -1, 2)]
    )
    right = lengths(table)
    monkeypatch.setattr(module, "MOST_CUTS", 1)

    early = lengths(table)

    assert np.any(early != right)
    assert early == pytest.approx(right, rel=1e-3)
