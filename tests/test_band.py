"""The band against its own definition, tried out line by line and feed by feed."""

import math
from typing import Final

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.integrate import cumulative_simpson, quad

from edgefinder.binding.cloth import GrainLimits, Limits, find_cloth
from edgefinder.curvature.band import (
    FeedRange,
    feed_range,
    flat_width,
    inside_bound,
    laid_width,
    least_radius,
    nearest_feed,
    outside_bound,
    stretch_needed,
    widest_flat,
)

SLACK: Final = 1e-9

limits = st.builds(Limits, st.floats(0.005, 0.41), st.floats(0.001, 0.4))
widths = st.floats(2.0, 40.0)
radii = st.floats(3.0, 3000.0)
sides = st.sampled_from([-1.0, 1.0])
feeds = st.floats(0.8, 1.25)


def one_feed_range(k: float, width: float, within: Limits) -> tuple[float, float]:
    found = feed_range(np.array([k]), width, within)
    return float(found.low[0]), float(found.high[0])


BANDS: Final = 10_000
SEED: Final = 20_260
AT_ONCE: Final = 500
TRIED_FEEDS: Final = np.geomspace(0.3, 3.0, 4_001)
"""One is 5.8e-4 of itself above the last."""


def random_bands() -> NDArray[np.float64]:
    """Curvature, width, stretch and ease, shape (BANDS, 4).

    Half of them lie within 3 per cent of the least radius, where it is decided.
    """
    chance = np.random.default_rng(SEED)
    width = chance.uniform(2.0, 40.0, BANDS)
    stretch, ease = chance.uniform((0.005, 0.001), (0.41, 0.4), (BANDS, 2)).T
    side = chance.choice([-1.0, 1.0], BANDS)
    span = (1 + stretch) / (1 - ease)
    least = width / (span - 1) + np.where(side > 0, width, 0.0)
    near = least * chance.uniform(0.97, 1.03, BANDS)
    anywhere = np.exp(chance.uniform(np.log(3.0), np.log(3000.0), BANDS))
    radius = np.where(np.arange(BANDS) % 2, near, anywhere)
    return np.stack([side / radius, width, stretch, ease], axis=1)


def lie_flat(bands: NDArray[np.float64], *, share: float) -> NDArray[np.bool_]:
    """Try out every feed against fifty lines of every band.

    ``share`` is given to every line on top of its limits.
    """
    k, width, stretch, ease = bands.T[:, :, np.newaxis]
    lines = 1 - k * width * np.linspace(0, 1, 50)
    longest, shortest = lines.max(axis=1), lines.min(axis=1)
    feed = TRIED_FEEDS
    fits = longest[:, np.newaxis] / feed - 1 <= stretch + share
    fits &= shortest[:, np.newaxis] / feed - 1 >= -ease - share
    found: NDArray[np.bool_] = fits.any(axis=1) & (shortest > 0)
    return found


def test_a_feed_exists_exactly_where_the_closed_form_has_one() -> None:
    bands = random_bands()
    ranges = [
        one_feed_range(k, width, Limits(stretch, ease))
        for k, width, stretch, ease in bands.tolist()
    ]
    exists = np.array([low <= high for low, high in ranges])

    parts = np.split(bands, BANDS // AT_ONCE)
    found = np.concatenate([lie_flat(part, share=0.0) for part in parts])
    nearly = np.concatenate([lie_flat(part, share=1e-3) for part in parts])

    # A feed that was tried out fits: there is a range. Where there is one, some feed
    # that was tried fits, but for ranges too narrow to hold one: there the next feed
    # is off by the distance of two of them at most.
    assert not np.any(found & ~exists)
    assert not np.any(exists & ~nearly)
    narrow = np.array(
        [high / low < TRIED_FEEDS[1] / TRIED_FEEDS[0] for low, high in ranges]
    )
    assert np.array_equal(found[~narrow], exists[~narrow])
    # Nearly all are decided without that, and both ways.
    undecided = exists & narrow
    assert undecided.sum() < BANDS / 50
    assert 0.3 < exists.mean() < 0.8


@given(radii, sides, widths, limits, st.floats(0, 1))
def test_every_feed_of_the_range_and_none_beside_it_keeps_the_lines_within_limits(
    radius: float, side: float, width: float, within: Limits, share: float
) -> None:
    k = side / radius
    low, high = one_feed_range(k, width, within)
    assume(k * width < 1 and low < high)
    lines = 1 - k * np.linspace(0, width, 101)

    def strains(feed: float) -> tuple[float, float]:
        strain = lines / feed - 1
        return float(strain.min()), float(strain.max())

    inside = strains(low + share * (high - low))
    below, above = strains(low * 0.999), strains(high * 1.001)

    assert inside[0] >= -within.ease - SLACK
    assert inside[1] <= within.stretch + SLACK
    assert below[1] > within.stretch
    assert above[0] < -within.ease


@given(radii, sides, limits)
def test_the_widest_tape_is_sharp(radius: float, side: float, within: Limits) -> None:
    k = side / radius
    widest = widest_flat(k, within)

    for width, flat in ((widest * (1 - 1e-6), True), (widest * (1 + 1e-6), False)):
        low, high = one_feed_range(k, width, within)
        assert (low <= high) == flat


@given(widths, sides, limits)
def test_the_least_radius_is_sharp(width: float, side: float, within: Limits) -> None:
    radius = least_radius(width, within, inside=side < 0)

    for r, flat in ((radius * (1 + 1e-6), True), (radius * (1 - 1e-6), False)):
        low, high = one_feed_range(side / r, width, within)
        assert (low <= high) == flat


@given(widths, limits)
def test_the_tighter_border_of_the_band_has_the_same_least_radius_on_both_sides(
    width: float, within: Limits
) -> None:
    inside = least_radius(width, within, inside=True)
    outside = least_radius(width, within, inside=False)

    assert inside == pytest.approx(width / (within.span - 1))
    assert outside - width == pytest.approx(inside, rel=1e-6)
    assert inside_bound(width, within) == pytest.approx(1 / inside)
    assert outside_bound(width, within) == pytest.approx(1 / outside)


def test_a_straight_line_takes_any_width() -> None:
    assert widest_flat(0.0, find_cloth("taffeta", ()).lengthwise.ok) == math.inf


# Derived with S - 1 taken as e+ + e- (which leaves out e- times S - 1, below 6 per
# cent here), so that they are printed a little large: "about".
ABOUT = 0.07


@pytest.mark.parametrize(
    ("cloth", "which", "printed"),
    [
        ("quilting cotton", "ok", 9.0),
        ("quilting cotton", "limit", 4.3),
        ("lawn", "limit", 3.8),
        ("denim", "limit", 6.7),
    ],
)
def test_the_least_radius_over_the_width_is_about_the_check_value_of_its_class(
    cloth: str, which: str, printed: float
) -> None:
    bias: GrainLimits = find_cloth(cloth, ()).bias
    within: Limits = getattr(bias, which)
    share = within.stretch + within.ease

    assert 1 / share == pytest.approx(printed, abs=0.1)
    assert least_radius(1.0, within, inside=True) == pytest.approx(printed, rel=ABOUT)


@pytest.mark.parametrize("cloth", ["quilting cotton", "lawn", "linen", "twill"])
def test_straight_grain_turns_twenty_to_thirty_times_its_width(cloth: str) -> None:
    crosswise = find_cloth(cloth, ()).crosswise.limit

    assert 19.5 < least_radius(1.0, crosswise, inside=True) < 30


@pytest.mark.parametrize(("width", "radius"), [(6.0, 25.0), (12.0, 50.0)])
def test_the_limit_of_quilting_cotton_is_what_experience_has(
    width: float, radius: float
) -> None:
    # 6 mm binding turns about a 25 mm radius, 12 mm needs 50 mm (from memory).
    limit = find_cloth("quilting cotton", ()).bias.limit

    assert least_radius(width, limit, inside=True) == pytest.approx(radius, rel=0.02)


@given(radii, sides, widths, limits)
def test_the_stretch_needed_is_the_least_with_which_a_feed_exists(
    radius: float, side: float, width: float, within: Limits
) -> None:
    k = side / radius
    assume(not 0.999 < k * width < 1)  # there the stretch is without bounds
    needed = stretch_needed(k, width, within.ease)
    if needed is None:
        assert k * width >= 1
        return

    enough = one_feed_range(k, width, Limits(needed + 1e-6, within.ease))
    assert enough[0] <= enough[1]
    if needed > 1e-5:
        too_little = one_feed_range(k, width, Limits(needed - 1e-6, within.ease))
        assert too_little[0] > too_little[1]


def test_no_stretch_is_needed_where_ease_alone_is_enough() -> None:
    assert stretch_needed(-1 / 1000, 10.0, 0.05) == 0.0
    assert stretch_needed(1 / 1000, 10.0, 0.05) == 0.0


@pytest.mark.parametrize("width", [10.0, 12.0])
def test_an_outside_curve_no_wider_than_the_tape_has_no_flat_band(
    width: float,
) -> None:
    assert stretch_needed(1 / 10, width, 0.05) is None
    assert stretch_needed(-1 / 10, width, 0.05) is not None


@pytest.mark.parametrize(
    ("low", "high", "expected"),
    [(0.9, 1.1, 1.0), (0.7, 0.9, 0.9), (1.05, 1.2, 1.05), (1.3, 1.1, 1.3)],
)
def test_the_feed_is_the_one_nearest_to_1_or_the_lower_end_where_there_is_none(
    low: float, high: float, expected: float
) -> None:
    found = nearest_feed(FeedRange(np.array([low]), np.array([high])))

    assert found.tolist() == [expected]


# --- what the stretch does to the width: the net of threads ---

# Trellis of inextensible threads, (1 + e)^2 + (1 - n)^2 = 2, sin g = (1 + e)^2 - 1
# (derived; Weissenberg 1949, Kilby 1963 from memory): stretch, width lost, both in
# per cent, and shear angle in degrees.
TRELLIS = [
    (2.0, 2.0, 2.3),
    (5.0, 5.3, 5.9),
    (8.0, 8.7, 9.6),
    (10.0, 11.1, 12.1),
    (15.0, 17.7, 18.8),
    (20.0, 25.2, 26.1),
    (25.0, 33.9, 34.2),
    (30.0, 44.3, 43.6),
    (-3.0, -2.9, -3.4),
    (-5.0, -4.8, -5.6),
    (-10.0, -9.1, -11.0),
]
LAST_DIGIT: Final = 0.05


@pytest.mark.parametrize(("stretch", "lost", "shear"), TRELLIS)
def test_a_straight_strip_narrows_as_the_trellis_table_says(
    stretch: float, lost: float, shear: float
) -> None:
    longer = 1 + stretch / 100

    laid = laid_width(0.0, 100.0, 1 / longer)

    assert laid is not None
    assert 100 - laid == pytest.approx(lost, abs=LAST_DIGIT)
    # The area becomes cos g times as large.
    area = longer * laid / 100
    sheared = math.degrees(math.acos(min(1.0, area)))
    assert sheared == pytest.approx(abs(shear), abs=LAST_DIGIT)


def test_a_net_cannot_be_stretched_beyond_the_square_root_of_2() -> None:
    ceiling = math.sqrt(2)  # 41.4 per cent

    assert laid_width(0.0, 100.0, 1 / (ceiling * 0.999)) is not None
    assert laid_width(0.0, 100.0, 1 / (ceiling * 1.001)) is None
    assert flat_width(0.0, 100.0, 1 / (ceiling * 1.001)) is None
    # Inside, the stitching line is longer than the edge.
    assert flat_width(-1 / 20, 10.0, 1.0) is None
    assert laid_width(-1 / 20, 40.0, 1.0) is None


@given(radii, sides, widths, feeds)
def test_the_flat_width_is_its_integral(
    radius: float, side: float, width: float, feed: float
) -> None:
    k = side / radius
    longest = max(1.0, 1 - k * width) / feed
    shortest = (1 - k * width) / feed
    assume(longest < 1.38)
    assume(shortest > -1.38)

    found = flat_width(k, width, feed)

    expected = quad(lambda d: 1 / math.sqrt(2 - ((1 - k * d) / feed) ** 2), 0, width)[0]
    assert found == pytest.approx(expected, rel=1e-6)


@given(radii, sides, widths, feeds)
def test_the_laid_width_is_the_inverse_of_the_flat_width(
    radius: float, side: float, width: float, feed: float
) -> None:
    flat = flat_width(side / radius, width, feed)
    assume(flat is not None)
    assert flat is not None

    assert laid_width(side / radius, flat, feed) == pytest.approx(width, rel=1e-6)


def test_a_curve_of_a_kilometre_narrows_like_a_straight_line() -> None:
    for narrowed in (flat_width, laid_width):
        straight = narrowed(0.0, 10.0, 0.9)
        assert narrowed(1e-6, 10.0, 0.9) == pytest.approx(straight, rel=1e-4)
        assert narrowed(-1e-6, 10.0, 0.9) == pytest.approx(straight, rel=1e-4)


def thread(
    along: NDArray[np.float64], heading: float, rate: float
) -> NDArray[np.complex128]:
    """Points of a thread that does not stretch, found by adding up its headings."""
    s = np.linspace(-40.0, 40.0, 40_001)
    angle = heading + rate * s
    x, y = (
        np.interp(along, s, cumulative_simpson(part, x=s, initial=0.0))
        for part in (np.cos(angle), np.sin(angle))
    )
    points = np.empty(len(along), dtype=np.complex128)
    points.real, points.imag = x, y
    return points


def net_line(depth: float, at_edge: float, rate: float) -> NDArray[np.complex128]:
    """A line of the net r(u, v) = A(u) + B(v) at one material depth.

    Both families of threads turn at one rate; they cross at the angle ``at_edge`` at
    depth 0. Along the line x = (u + v)/sqrt 2 runs from -20 to 20 mm.
    """
    x = np.linspace(-20.0, 20.0, 4001)
    u, v = (x - depth) / math.sqrt(2), (x + depth) / math.sqrt(2)
    return thread(u, -at_edge / 2, rate) + thread(v, at_edge / 2, rate)


@pytest.mark.parametrize(
    ("radius", "side", "feed"),
    [(60.0, 1, 0.92), (60.0, -1, 1.03), (40.0, 1, 0.9), (50.0, -1, 0.98)],
)
def test_a_net_of_threads_that_do_not_stretch_lies_as_the_band_says(
    radius: float, side: int, feed: float
) -> None:
    k, width = side / radius, 10.0
    flat = flat_width(k, width, feed)
    assert flat is not None
    # At the edge the net is stretched 1/feed = sqrt 2 cos(q/2) and follows radius R.
    at_edge = 2 * math.acos(1 / (feed * math.sqrt(2)))
    rate = math.sqrt(2) * k / feed

    edge, stitching = (net_line(depth, at_edge, rate) for depth in (0.0, flat))

    middle = len(edge) // 2
    tangent = (edge[middle + 1] - edge[middle - 1]) / abs(
        edge[middle + 1] - edge[middle - 1]
    )
    centre = edge[middle] + 1j * tangent / k  # fabric on the left
    laid = abs(edge - centre) - abs(stitching - centre)
    lengths = [float(np.abs(np.diff(line)).sum()) for line in (edge, stitching)]
    assert np.allclose(abs(edge - centre), radius, atol=1e-3)
    assert np.allclose(side * laid, width, atol=1e-3)
    assert lengths[0] == pytest.approx(40.0 / feed, rel=1e-5)
    assert lengths[1] / lengths[0] == pytest.approx(1 - k * width, rel=1e-5)
