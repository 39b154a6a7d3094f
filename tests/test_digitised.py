"""Smoothing of digitised lines, against the exact lines that they were traced from.

Noise is seeded, so that every run sees the same points.
"""

import math

import numpy as np
import pytest
from drawn import bodice
from scipy.special import ellipe
from shapes import (
    ZOO,
    circle_outline,
    ellipse_outline,
    polygon,
    polyline,
    rectangle,
    stadium,
)
from traced import points_along, through, traced

from edgefinder.geometry.bends import Bends
from edgefinder.geometry.digitised import (
    SmoothedPath,
    drawn_length,
    smooth_digitised,
)
from edgefinder.geometry.digitised_bends import smoothed_bends
from edgefinder.geometry.flatten import flatten
from edgefinder.geometry.headings import joint_turnings
from edgefinder.geometry.measured import measure, points_at_lengths
from edgefinder.geometry.path import Path, reverse_path, rotate_path
from edgefinder.geometry.profile import (
    HeadingProfile,
    heading_profiles,
)
from edgefinder.geometry.segments import (
    Kind,
    Segments,
    arc_segments,
    concatenate,
    cubic_segments,
    end_points,
    line_segments,
    start_points,
)
from edgefinder.geometry.windowed import windowed_curvature

SEEDS = range(12)
SPACING = 2.0
NOISE = 0.1
TAPE = 10.0
"""A finished width, over which curvature is judged."""


def smoothed(path: Path) -> SmoothedPath:
    (found,) = smooth_digitised([path])
    assert found is not None
    return found


def profile_of(line: SmoothedPath) -> HeadingProfile:
    return heading_profiles([measure(line.path)], [line.tangents])[0]


def bends_of(line: SmoothedPath) -> Bends:
    return smoothed_bends(profile_of(line))


def length_of(line: SmoothedPath) -> float:
    return measure(line.path).length


def corners_of(line: SmoothedPath) -> list[complex]:
    turns = joint_turnings(Path(line.tangents, line.path.closed))
    at = np.flatnonzero(np.abs(turns) > math.radians(15))
    ends: list[complex] = end_points(line.path.segments)[at].tolist()
    return ends


def assert_connected(path: Path) -> None:
    starts, ends = start_points(path.segments), end_points(path.segments)
    assert np.array_equal(ends[:-1], starts[1:])
    if path.closed:
        assert ends[-1] == starts[0]


def ellipse_perimeter(a: float, b: float) -> float:
    """4 a E(m), m = 1 - (b/a)^2 (DLMF 19.9(i)); scipy takes the parameter m."""
    return 4 * a * float(ellipe(1 - (b / a) ** 2))


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize(
    ("a", "b"),
    # Tightest radius b^2/a: 20, 20, 27, 30, 50 and 100 mm.
    [(80, 40), (45, 30), (60, 40), (120, 60), (200, 100), (400, 200)],
)
def test_the_radius_of_a_traced_ellipse_is_right_within_a_tenth_everywhere(
    a: float, b: float, seed: int
) -> None:
    line = smoothed(traced(ellipse_outline(a, b), SPACING, NOISE, seed))
    profile = profile_of(line)

    s = np.arange(0.0, profile.length, 1.0)
    radius = 1 / windowed_curvature(profile, TAPE, s)

    # Curvature of an ellipse at the parameter t: a b / (a^2 sin^2 t + b^2 cos^2 t)^1.5.
    z = points_at_lengths(measure(line.path), s)
    t = np.angle(z.real / a + 1j * z.imag / b)
    exact = ((a * np.sin(t)) ** 2 + (b * np.cos(t)) ** 2) ** 1.5 / (a * b)
    assert np.abs(radius / exact - 1).max() < 0.1


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize(
    ("a", "b"), [(80.0, 40.0), (60.0, 40.0), (120.0, 60.0), (400.0, 200.0)]
)
def test_the_length_of_a_traced_ellipse_is_right_within_a_thousandth(
    a: float, b: float, seed: int
) -> None:
    line = smoothed(traced(ellipse_outline(a, b), SPACING, NOISE, seed))

    assert length_of(line) == pytest.approx(ellipse_perimeter(a, b), rel=1e-3)


def test_noise_lengthens_the_drawn_line_by_its_square_over_that_of_the_spacing() -> (
    None
):
    # (0.1/1)^2 = 1 %, less what chords cut off.
    line = smoothed(traced(ellipse_outline(120, 60), 1.0, NOISE, 1))

    assert drawn_length(line) / length_of(line) - 1 == pytest.approx(0.01, rel=0.2)


@pytest.mark.parametrize(
    ("spacing", "noise"), [(2.0, 0.1), (1.0, 0.05), (5.0, 0.1), (1.0, 0.02), (0.5, 0.1)]
)
def test_noise_and_spacing_are_estimated_from_the_points(
    spacing: float, noise: float
) -> None:
    lines = [
        smoothed(traced(ellipse_outline(120, 60), spacing, noise, seed))
        for seed in SEEDS
    ]

    found = [line.tracing for line in lines]
    assert np.mean([one.noise for one in found]) == pytest.approx(noise, rel=0.15)
    assert np.mean([one.spacing for one in found]) == pytest.approx(spacing, rel=0.05)


@pytest.mark.parametrize("radius", [25.0, 40.0, 100.0, 300.0])
def test_a_traced_circle_is_one_circle(radius: float) -> None:
    for seed in SEEDS:
        line = smoothed(traced(circle_outline(radius), SPACING, NOISE, seed))

        bends = bends_of(line)
        assert bends.left is not None
        assert bends.left.radius == pytest.approx(radius, rel=0.08)
        assert bends.right is None
        assert corners_of(line) == []
        assert length_of(line) == pytest.approx(2 * math.pi * radius, rel=1e-3)


@pytest.mark.parametrize("length", [60.0, 150.0, 600.0])
def test_a_traced_straight_line_is_straight(length: float) -> None:
    for seed in range(40):
        line = smoothed(traced(polyline(0, length), SPACING, NOISE, seed))

        bends = bends_of(line)
        for bend in (bends.left, bends.right):
            assert bend is None or bend.radius > 1000
        # The ends are drawn points, each with its noise.
        assert length_of(line) == pytest.approx(length, abs=5 * NOISE)


def test_a_gentle_curve_is_not_taken_for_a_line() -> None:
    # Over 300 mm a radius of 2 m bows by 5.6 mm, fifty times the noise.
    arc = Path(arc_segments([0], 2000, 2000j, -0.075, 0.075), closed=False)

    for seed in SEEDS:
        bends = bends_of(smoothed(traced(arc, SPACING, NOISE, seed)))

        assert bends.left is not None
        assert bends.left.radius == pytest.approx(2000, rel=0.25)


POLYGON = (0j, 150 + 0j, 160 + 180j, 120 + 300j, 60 + 320j, 260j)
"""Corners of 90, 87, 22, 53, 63 and 45 degrees."""


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize(("spacing", "noise"), [(2.0, 0.1), (1.0, 0.1), (5.0, 0.1)])
def test_the_corners_of_a_traced_polygon_are_found_and_none_invented(
    spacing: float, noise: float, seed: int
) -> None:
    sharp = [corner for corner in POLYGON if corner != 160 + 180j]

    line = smoothed(traced(polygon(*POLYGON), spacing, noise, seed))

    found = corners_of(line)
    for corner in sharp:
        assert min(abs(corner - place) for place in found) < 3
    for place in found:
        assert min(abs(corner - place) for corner in POLYGON) < 5


@pytest.mark.parametrize("seed", SEEDS)
def test_the_sides_of_a_traced_rectangle_are_lines(seed: int) -> None:
    line = smoothed(traced(rectangle(200, 120), SPACING, NOISE, seed))

    assert line.path.segments.kind.tolist() == [Kind.LINE] * 4
    # Each corner is where its sides meet within a half window: a few tenths off.
    assert length_of(line) == pytest.approx(640, abs=1.2)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_corner_may_lie_at_the_seam_of_the_drawn_line(seed: int) -> None:
    points = points_along(rectangle(200, 120), SPACING, NOISE, seed, start=0.0)
    for first in (0, 1, 3):
        line = smoothed(through(np.roll(points, -first), closed=True))

        assert len(corners_of(line)) == 4


def notched(radius: float) -> Path:
    """A rectangle with an inside quarter of a circle in place of a corner."""
    r = radius
    return Path(
        concatenate(
            [
                line_segments([0, 200], [200, 200 + (150 - r) * 1j]),
                arc_segments([200 + 150j], r, 1j * r, -math.pi / 2, -math.pi),
                line_segments([200 - r + 150j, 150j], [150j, 0]),
            ]
        ),
        closed=True,
    )


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("radius", [30.0, 60.0])
def test_curves_are_read_up_to_the_corners_at_their_ends(
    radius: float, seed: int
) -> None:
    line = smoothed(traced(notched(radius), SPACING, NOISE, seed))

    assert len(corners_of(line)) == 5
    bends = bends_of(
        SmoothedPath(  # the curve alone: the corners are no bends of it
            *_stretch_of_curves(line), line.source, line.drawn, line.tracing
        )
    )
    assert bends.right is not None
    assert bends.right.radius == pytest.approx(radius, rel=0.15)
    assert bends.left is None


def _stretch_of_curves(line: SmoothedPath) -> tuple[Path, Segments]:
    curved = np.flatnonzero(line.path.segments.kind == Kind.CUBIC)
    return (
        Path(line.path.segments.take(curved), closed=False),
        line.tangents.take(curved),
    )


@pytest.mark.parametrize("radius", [20.0, 30.0, 60.0])
def test_an_arc_beside_straight_lines_is_read_a_little_too_sharp(radius: float) -> None:
    for seed in SEEDS:
        line = smoothed(traced(stadium(150, radius), SPACING, NOISE, seed))

        bends = bends_of(line)
        assert corners_of(line) == []
        assert bends.left is not None
        assert 0.85 * radius < bends.left.radius < 1.05 * radius
        assert bends.right is None
        exact = 300 + 2 * math.pi * radius
        assert length_of(line) == pytest.approx(exact, rel=1.5e-3)


def half_traced(radius: float, seed: int) -> Path:
    """A stadium whose straight sides are two clicks each, the arcs traced."""
    segments = stadium(150, radius).segments
    tables = [segments.take([0])]
    for row, start, end in ((1, 0, 2), (3, 2, 0)):
        arc = Path(segments.take([row]), closed=False)
        points = points_along(arc, SPACING, NOISE, seed)
        points[0] = end_points(segments.take([start]))[0]
        points[-1] = start_points(segments.take([end]))[0]
        tables += [through(points, closed=False).segments]
        if row == 1:
            tables.append(segments.take([2]))
    return Path(concatenate(tables), closed=True)


@pytest.mark.parametrize("radius", [40.0, 80.0])
def test_long_sides_stay_and_the_curve_goes_on_along_them(radius: float) -> None:
    for seed in SEEDS:
        drawn = half_traced(radius, seed)
        long = np.abs(end_points(drawn.segments) - start_points(drawn.segments)) > 100

        line = smoothed(drawn)

        is_line = line.path.segments.kind == Kind.LINE
        kept, expected = line.path.segments.take(is_line), drawn.segments.take(long)
        assert np.array_equal(kept.control, expected.control)
        turns = joint_turnings(Path(line.tangents, closed=True))
        assert np.abs(turns).max() < math.radians(4)
        bends = bends_of(line)
        assert bends.left is not None
        assert bends.left.radius == pytest.approx(radius, rel=0.15)
        assert_connected(line.path)


def test_curves_that_are_drawn_as_such_stay() -> None:
    side = traced(polyline(100, 100 + 90j), SPACING, NOISE, 2)
    bow = cubic_segments([[side.end, 80 + 150j, 20 + 150j, 90j]])
    rest = line_segments([90j, 0], [0, side.start])

    line = smoothed(Path(concatenate([side.segments, bow, rest]), closed=True))

    cubics = line.path.segments.take(line.path.segments.kind == Kind.CUBIC)
    assert np.array_equal(cubics.control, bow.control)
    assert len(line.path.segments) == 4
    assert_connected(line.path)


def staircase(steps: int, side: float) -> Path:
    """Treads and risers, and two long sides."""
    corners = [0j]
    for _ in range(steps):
        corners += [corners[-1] + side, corners[-1] + side + 1j * side]
    return polygon(*corners, 1j * corners[-1].imag)


@pytest.mark.parametrize(
    "path",
    [
        rectangle(200, 100),
        polygon(*POLYGON),
        bodice(),
        circle_outline(60),
        staircase(12, 8.0),
        # A hexagon and a polygon of 30 sides, and a zigzag of 3 mm teeth.
        polygon(*(80 * np.exp(1j * np.arange(6) * math.pi / 3)).tolist()),
        polygon(*(80 * np.exp(1j * np.arange(30) * math.pi / 15)).tolist()),
        polygon(*[3 * x + 3j * (x % 2) for x in range(60)], 180 - 80j, -80j),
    ],
    ids=["rectangle", "polygon", "bodice", "circle", "stairs", "6", "30", "zigzag"],
)
def test_what_was_drafted_is_left_as_it_is(path: Path) -> None:
    assert smooth_digitised([path]) == (None,)


@pytest.mark.parametrize("decimals", [15, 4])
def test_a_flattened_curve_without_noise_is_left_as_it_is(decimals: int) -> None:
    for tolerance in (0.1, 0.01):
        vertices = flatten(ellipse_outline(120, 60), tolerance)

        path = through(np.round(vertices, decimals), closed=True)

        assert smooth_digitised([path]) == (None,)


@pytest.mark.parametrize("spacing", [0.5, 1.0, 2.0, 5.0])
def test_a_curve_rounded_to_few_decimals_stays_nearly_exact(spacing: float) -> None:
    points = points_along(ellipse_outline(120, 60), spacing, 0.0, 5)
    path = through(np.round(points, 2), closed=True)

    (line,) = smooth_digitised([path])

    length = measure(path).length if line is None else length_of(line)
    # Chords of 5 mm cut off at most (5/30)^2/24 of the tightest end.
    assert length == pytest.approx(ellipse_perimeter(120, 60), rel=3e-4)
    if line is not None:
        bends = bends_of(line)
        assert bends.left is not None
        assert bends.left.radius == pytest.approx(30, rel=0.05)


def test_the_drawn_length_is_that_of_all_sides() -> None:
    for drawn in (
        traced(bodice(), SPACING, NOISE, 4),
        traced(ellipse_outline(80, 40), 0.3, NOISE, 4),
        half_traced(40, 4),
    ):
        line = smoothed(drawn)

        assert drawn_length(line) == pytest.approx(measure(drawn).length, rel=1e-12)


def test_every_segment_knows_which_drawn_one_it_stands_for() -> None:
    drawn = traced(bodice(), SPACING, NOISE, 4)
    line = smoothed(drawn)

    expected = start_points(drawn.segments.take(line.source))
    apart = np.abs(start_points(line.path.segments) - expected)

    assert apart.max() < 2 * SPACING


@pytest.mark.parametrize("seed", SEEDS)
def test_the_smoothed_line_is_connected(seed: int) -> None:
    for path in (ellipse_outline(80, 40), bodice(), polyline(0, 150, 150 + 90j)):
        assert_connected(smoothed(traced(path, SPACING, NOISE, seed)).path)


def test_an_open_line_keeps_its_ends() -> None:
    drawn = traced(polyline(0, 150, 150 + 90j), SPACING, NOISE, 1)

    line = smoothed(drawn)

    assert (line.path.start, line.path.end) == (drawn.start, drawn.end)


@pytest.mark.parametrize("path", [ellipse_outline(80, 40), bodice()])
def test_the_other_way_round_bends_are_on_the_other_side(path: Path) -> None:
    drawn = traced(path, SPACING, NOISE, 6)
    there, back = smoothed(drawn), smoothed(reverse_path(drawn))

    assert length_of(back) == pytest.approx(length_of(there), rel=1e-6)
    a, b = bends_of(there), bends_of(back)
    for one, other in ((a.left, b.right), (a.right, b.left)):
        assert (one is None) == (other is None)
        if one is not None and other is not None:
            assert one.radius == pytest.approx(other.radius, rel=2e-3)


@pytest.mark.parametrize("first", [1, 40, 111])
def test_another_start_point_leaves_a_smooth_outline(first: int) -> None:
    drawn = traced(ellipse_outline(80, 40), SPACING, NOISE, 6)

    line, again = smoothed(drawn), smoothed(rotate_path(drawn, first))

    assert length_of(again) == pytest.approx(length_of(line), rel=1e-5)
    a, b = bends_of(line).left, bends_of(again).left
    assert a is not None
    assert b is not None
    assert a.radius == pytest.approx(b.radius, rel=5e-3)


@pytest.mark.parametrize("turn", [0.3, 2.0])
def test_turning_and_moving_a_line_leaves_its_length(turn: float) -> None:
    points = points_along(bodice(), SPACING, NOISE, 3)

    line = smoothed(through(points, closed=True))
    moved = smoothed(through(points * np.exp(1j * turn) + 300 - 70j, closed=True))

    assert length_of(moved) == pytest.approx(length_of(line), rel=1e-7)


def test_paths_are_smoothed_together_as_each_alone() -> None:
    paths = [
        traced(ellipse_outline(80, 40), SPACING, NOISE, 1),
        rectangle(100, 50),
        traced(bodice(), 1.0, 0.05, 2),
        half_traced(40, 3),
        traced(polyline(0, 90), SPACING, NOISE, 4),
    ]

    together = smooth_digitised(paths)

    for path, line in zip(paths, together, strict=True):
        (alone,) = smooth_digitised([path])
        assert (alone is None) == (line is None)
        if alone is not None and line is not None:
            expected = alone.path.segments.control
            assert np.allclose(line.path.segments.control, expected, atol=1e-9)


def test_doubled_points_change_nothing_but_the_count() -> None:
    points = points_along(ellipse_outline(80, 40), SPACING, NOISE, 8)
    doubled = through(np.repeat(points, 2), closed=True)

    line, again = smoothed(through(points, closed=True)), smoothed(doubled)

    assert length_of(again) == pytest.approx(length_of(line), rel=1e-9)
    assert drawn_length(again) == pytest.approx(drawn_length(line), rel=1e-12)


def test_awkward_shapes_pass_without_a_warning() -> None:
    found = smooth_digitised(list(ZOO.values()))

    assert len(found) == len(ZOO)


@pytest.mark.parametrize("count", [13, 16, 25])
def test_a_random_scatter_of_points_passes_without_a_warning(count: int) -> None:
    for seed in range(60):
        rng = np.random.default_rng(seed)
        points = rng.normal(size=count) + 1j * rng.normal(size=count).astype(complex)
        points[rng.integers(count)] = points[0]
        for closed in (True, False):
            for scale in (0.01, 1.0):
                (line,) = smooth_digitised([through(4 * scale * points, closed=closed)])

                assert line is None or np.isfinite(line.path.segments.control).all()


def test_nothing_at_all_is_nothing() -> None:
    assert smooth_digitised([]) == ()


def test_a_wave_of_less_than_three_degrees_is_no_bend() -> None:
    # The heading goes up by 10 degrees and down by 2.
    s = np.array([0.0, 40.0, 80.0, 120.0])
    heading = np.radians([0.0, 10.0, 10.0, 8.0])

    bends = smoothed_bends(HeadingProfile(s, heading, closed=False, length=120.0))

    assert bends.right is None
    assert bends.left is not None
    assert bends.left.radius == pytest.approx(40 / math.radians(10), rel=1e-9)
