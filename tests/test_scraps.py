import math
from itertools import combinations

import numpy as np
import pytest
import shapely
import shapely.affinity
from hypothesis import given, settings
from hypothesis import strategies as st
from shapes import polygon

from edgefinder.classifier.job import Grain
from edgefinder.errors import SettingsError
from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import arc_segments, concatenate, line_segments
from edgefinder.yardage.bias_strips import lay_strips
from edgefinder.yardage.cutting import Need
from edgefinder.yardage.scrap_outlines import scrap_outline, scrap_polygon
from edgefinder.yardage.scraps import (
    Scrap,
    ScrapTape,
    least_scraps,
    scrap_rectangle,
    scrap_tape,
)
from edgefinder.yardage.strip_ends import End

SEAM = 6.35
ROOT = math.sqrt(2.0)
LOSS = 2.0 * ROOT * SEAM
NEED = Need(20000.0, 40.0, minimum_strip=120.0)


def blob(seed: int, corners: int = 12) -> shapely.Polygon:
    """A polygon of no regular shape, mostly not convex."""
    numbers = np.random.default_rng(seed)
    angles = np.sort(numbers.uniform(0.0, 2.0 * np.pi, corners))
    radii = numbers.uniform(90.0, 380.0, corners)
    ring = np.column_stack((radii * np.cos(angles), radii * np.sin(angles)))
    return shapely.Polygon(ring)


blobs = st.integers(0, 10_000).map(blob).filter(lambda shape: shape.is_valid)


def outlines(tape: ScrapTape) -> list[shapely.Polygon]:
    return [shapely.Polygon(strip.corners) for strip in tape.strips]


# Rectangles, against the exact search


@pytest.mark.parametrize(
    ("across", "along", "cut"),
    [
        (300.0, 400.0, 40.0),
        (1000.0, 500.0, 50.0),
        (200.0, 200.0, 35.0),
        (914.4, 914.4, 50.8),
        (150.0, 900.0, 30.0),
        (640.0, 310.0, 90.0),
    ],
)
def test_a_rectangle_gives_what_the_exact_search_finds(
    across: float, along: float, cut: float
) -> None:
    exact = lay_strips(across, along, cut, SEAM, 120.0)

    found = scrap_tape(
        scrap_rectangle("rest", across, along), Need(20000.0, cut, minimum_strip=120.0)
    )

    assert found.yield_length == pytest.approx(exact.yield_length, abs=0.5)
    assert found.yield_length <= exact.yield_length + 1e-6


@pytest.mark.parametrize("grain", [Grain.CROSSWISE, Grain.LENGTHWISE])
def test_straight_strips_fill_a_rectangle(grain: Grain) -> None:
    # By hand: across, 7 strips of 310 mm of 295 mm's worth; along, 7 of 295.
    scrap = scrap_rectangle("rest", 310.0, 295.0)
    strip = 310.0 if grain is Grain.CROSSWISE else 295.0

    found = scrap_tape(scrap, Need(20000.0, 40.0, grain=grain))

    assert [s.length for s in found.strips] == pytest.approx([strip] * 7)
    assert found.yield_length == pytest.approx(7 * strip - 6 * 40.0)
    assert {s.near for s in found.strips} == {End.SQUARE}


# Any shape


@settings(max_examples=60, deadline=None)
@given(blobs, st.floats(-4.0, 4.0), st.sampled_from([None, *Grain]))
def test_strips_lie_in_the_scrap_apart_from_one_another_and_on_their_grain(
    shape: shapely.Polygon, grain: float, strips_grain: Grain | None
) -> None:
    need = Need(20000.0, 40.0, minimum_strip=120.0, grain=strips_grain)

    found = scrap_tape(scrap_polygon("rest", shape, grain), need)

    cloth = shapely.buffer(shape, 1e-5)
    strips = outlines(found)
    assert all(shapely.contains(cloth, strip) for strip in strips)
    together = shapely.union_all(strips, grid_size=1e-6)
    total = math.fsum(s.length for s in found.strips)
    assert together.area == pytest.approx(40.0 * total, rel=1e-5, abs=1e-6)
    loss = LOSS if strips_grain in {None, Grain.BIAS} else 40.0
    assert found.yield_length == pytest.approx(
        max(0.0, total - loss * (len(strips) - 1)) if strips else 0.0
    )
    off_grain = {
        Grain.LENGTHWISE: 0.0,
        Grain.CROSSWISE: 1.0,
        Grain.BIAS: 1.0 / ROOT,
    }[strips_grain or Grain.BIAS]
    for strip in found.strips:
        a, b, c, d = np.array(strip.corners) @ (1.0, 1.0j)
        along = (b + c - a - d) / abs(b + c - a - d)
        assert abs((along * np.exp(-1j * grain)).imag) == pytest.approx(
            off_grain, abs=1e-9
        )
        assert strip.length >= 120.0 - 1e-6


@settings(max_examples=30, deadline=None)
@given(blobs, st.floats(-3.0, 3.0))
def test_turning_a_scrap_with_its_grain_changes_nothing(
    shape: shapely.Polygon, angle: float
) -> None:
    turned = shapely.affinity.rotate(
        shape, angle, origin=(50.0, 20.0), use_radians=True
    )

    before = scrap_tape(scrap_polygon("a", shape, 0.4), NEED).yield_length
    after = scrap_tape(scrap_polygon("b", turned, 0.4 + angle), NEED).yield_length

    assert after == pytest.approx(before, abs=1e-6)


def longest_run(shape: shapely.Polygon, y: float, height: float, slope: float) -> float:
    """Longest parallelogram in a band, by shearing it upright and looking through."""
    x0, _, x1, _ = shape.bounds
    band = shapely.box(x0 - height, y, x1 + height, y + height)
    outside = shapely.difference(band, shape)
    upright = shapely.affinity.affine_transform(
        outside, (1.0, -slope, 0.0, 1.0, slope * (y + height / 2), 0.0)
    )
    parts = shapely.get_parts(upright)
    spans = sorted((p.bounds[0], p.bounds[2]) for p in parts)
    reached, best = -math.inf, 0.0
    for low, high in spans:
        if reached > -math.inf:
            best = max(best, low - reached)
        reached = max(reached, high)
    return best


@settings(max_examples=25, deadline=None)
@given(blobs)
def test_a_single_strip_is_no_shorter_than_any_parallelogram_found_otherwise(
    shape: shapely.Polygon,
) -> None:
    # The strips run along x where the grain is at 45 degrees.
    need = Need(20000.0, 90.0, seam=0.0, minimum_strip=91.0)
    low, high = shape.bounds[1], shape.bounds[3]
    tried = [
        longest_run(shape, float(y), 90.0, slope)
        for y in np.linspace(low, high - 90.0, 12)
        for slope in (-1.0, 1.0)
    ]

    found = scrap_tape(scrap_polygon("rest", shape, -0.25 * math.pi), need)

    assert found.yield_length >= max(tried) - 0.5 or max(tried) < 91.0


def test_two_strips_in_one_band_go_round_a_notch() -> None:
    # A U: two upright arms 60 mm wide, the notch between them 100 mm wide.
    shape = shapely.difference(
        shapely.box(0.0, 0.0, 220.0, 400.0), shapely.box(60.0, 60.0, 160.0, 401.0)
    )
    need = Need(5000.0, 30.0, grain=Grain.CROSSWISE, minimum_strip=50.0)

    found = scrap_tape(scrap_polygon("rest", shape), need)

    lengths = sorted(strip.length for strip in found.strips)
    # By hand: 2 whole strips in the 60 mm below, 11 x 30 in the 340 mm of each arm.
    assert lengths == pytest.approx([60.0] * 22 + [220.0] * 2)


def test_a_hole_is_gone_round() -> None:
    shape = shapely.difference(
        shapely.box(0.0, 0.0, 400.0, 400.0), shapely.box(180.0, 180.0, 220.0, 220.0)
    )

    whole = scrap_tape(scrap_rectangle("whole", 400.0, 400.0), NEED)
    found = scrap_tape(scrap_polygon("holed", shape), NEED)

    assert 0.0 < found.yield_length < whole.yield_length
    cloth = shapely.buffer(shape, 1e-6)
    assert all(shapely.contains(cloth, strip) for strip in outlines(found))


def test_a_drawn_outline_with_curves_is_a_scrap() -> None:
    straight = line_segments(complex(0, 0), complex(600, 0))
    curve = arc_segments(complex(300, 0), complex(300, 0), complex(0, 300), 0.0, np.pi)
    half_round = Path(concatenate([straight, curve]), closed=True)

    scrap = scrap_outline("half round", half_round)
    found = scrap_tape(scrap, NEED)

    assert scrap.area == pytest.approx(math.pi * 300.0**2 / 2, rel=1e-4)
    assert found.yield_length > 0.6 * scrap.area / 40.0


def test_a_scrap_too_small_gives_nothing() -> None:
    assert scrap_tape(scrap_rectangle("thread", 30.0, 500.0), NEED).strips == ()
    assert scrap_tape(scrap_rectangle("crumb", 90.0, 90.0), NEED).yield_length == 0.0


# The least set


def brute_cover(yields: list[float], loss: float, wanted: float) -> tuple[int, float]:
    for count in range(1, len(yields) + 1):
        totals = [
            sum(chosen) - loss * (count - 1) for chosen in combinations(yields, count)
        ]
        enough = [total for total in totals if total >= wanted - 1e-6]
        if enough:
            return count, min(enough)
    return 0, 0.0


@settings(max_examples=25, deadline=None)
@given(
    st.lists(
        st.tuples(st.floats(150.0, 400.0), st.floats(150.0, 500.0)),
        min_size=1,
        max_size=7,
    ),
    st.floats(0.1, 0.95),
)
def test_no_other_set_of_scraps_is_fewer_or_leaves_less_spare(
    sizes: list[tuple[float, float]], share: float
) -> None:
    scraps = [scrap_rectangle(f"scrap {n}", *size) for n, size in enumerate(sizes)]
    yields = [scrap_tape(scrap, NEED).yield_length for scrap in scraps]
    useful = [length for length in yields if length > 0.0]
    if not useful:
        return
    wanted = max(200.0, share * (sum(useful) - LOSS * (len(useful) - 1)))
    need = Need(wanted, 40.0, minimum_strip=120.0)

    cover = least_scraps(scraps, need)

    if cover.short > 0.0:
        assert sum(useful) - LOSS * (len(useful) - 1) < wanted + 80.0
        return
    count, least = brute_cover(useful, LOSS, wanted)
    assert cover.yield_length >= wanted * (1.0 - 1e-9)
    assert cover.spare == pytest.approx(cover.yield_length - wanted)
    if cover.is_least:
        assert len(cover.taken) == count
        # Ends of two scraps that lean apart cost one recutting more.
        assert least - 41.0 <= cover.yield_length <= least + 1e-6


def test_the_least_set_by_hand() -> None:
    # Strips along: 1000 x 40 gives 1000, 700 gives 700, 400 gives 400; joins take 40.
    lengths = (1000.0, 700.0, 400.0, 390.0)
    scraps = [scrap_rectangle(f"{length:g}", 40.0, length) for length in lengths]

    def taken(length: float) -> tuple[int, ...]:
        need = Need(length, 40.0, grain=Grain.LENGTHWISE)
        return least_scraps(scraps, need).taken

    assert taken(350.0) == (3,)
    assert taken(395.0) == (2,)
    assert taken(1000.0) == (0,)
    assert taken(1050.0) == (1, 3)  # 700 + 390 - 40
    assert taken(1051.0) == (1, 2)
    assert taken(1340.0) == (0, 3)
    assert taken(2370.0) == (0, 1, 2, 3)  # 2490 - 3 x 40


def test_not_enough_scraps_are_all_taken_and_the_rest_is_told() -> None:
    scraps = [scrap_rectangle(str(n), 40.0, 500.0) for n in range(2)]

    cover = least_scraps(scraps, Need(2000.0, 40.0, grain=Grain.LENGTHWISE))

    assert cover.taken == (0, 1)
    assert cover.short == pytest.approx(2000.0 - 960.0)
    assert cover.spare == 0.0


def test_no_scraps_give_nothing() -> None:
    cover = least_scraps([], NEED)

    assert (cover.taken, cover.strips, cover.yield_length) == ((), (), 0.0)
    assert cover.short == NEED.length


def test_many_scraps_are_still_the_fewest() -> None:
    scraps = [scrap_rectangle(str(n), 40.0, 300.0 + 10.0 * n) for n in range(30)]
    need = Need(1500.0, 40.0, grain=Grain.LENGTHWISE)

    cover = least_scraps(scraps, need)

    largest = sorted((300.0 + 10.0 * n for n in range(30)), reverse=True)
    assert sum(largest[:2]) - 40.0 < 1500.0 <= sum(largest[:3]) - 80.0
    assert len(cover.taken) == 3
    assert not cover.is_least
    assert 0.0 <= cover.spare < 300.0


def test_strips_of_the_set_are_numbered_through() -> None:
    scraps = [scrap_rectangle(str(n), 300.0, 300.0) for n in range(3)]

    cover = least_scraps(scraps, Need(4000.0, 40.0))

    assert [strip.number for strip in cover.strips] == list(
        range(1, len(cover.strips) + 1)
    )
    total = math.fsum(strip.length for strip in cover.strips)
    assert cover.yield_length == pytest.approx(total - LOSS * (len(cover.strips) - 1))


# What is refused


@pytest.mark.parametrize("side", [0.0, -1.0, math.nan, math.inf])
def test_a_side_that_cannot_be_is_refused(side: float) -> None:
    with pytest.raises(SettingsError, match='scrap "rest": a side of'):
        scrap_rectangle("rest", 100.0, side)


def test_an_outline_that_crosses_itself_is_refused() -> None:
    bow_tie = shapely.Polygon([(0, 0), (100, 100), (100, 0), (0, 100)])

    with pytest.raises(SettingsError, match='scrap "bow": its outline crosses itself'):
        scrap_polygon("bow", bow_tie)


def test_an_open_outline_is_refused() -> None:
    line = Path(line_segments(complex(0, 0), complex(100, 0)), closed=False)

    with pytest.raises(SettingsError, match="is open; join its ends"):
        scrap_outline("line", line)


def test_a_scrap_in_the_wrong_unit_is_refused() -> None:
    with pytest.raises(SettingsError, match="check the unit"):
        scrap_polygon("big", shapely.box(0, 0, 20_000, 10))


def test_an_outline_of_very_many_corners_is_refused() -> None:
    with pytest.raises(SettingsError, match="draw it with fewer points"):
        scrap_polygon("round", shapely.Point(0, 0).buffer(100.0, quad_segs=2000))


def test_more_scraps_than_anybody_sorts_are_refused() -> None:
    scrap = Scrap("a", (((0.0, 0.0), (9.0, 0.0), (9.0, 9.0)),), 0.0, 40.0)

    with pytest.raises(SettingsError, match="1001 scraps are too many"):
        least_scraps([scrap] * 1001, NEED)


def test_a_polygon_drawn_as_a_path_is_the_same_scrap() -> None:
    drawn = scrap_outline("a", polygon(0, 300, 300 + 200j, 200j))

    assert drawn.area == pytest.approx(scrap_rectangle("a", 300.0, 200.0).area)
    assert scrap_tape(drawn, NEED).yield_length == pytest.approx(
        scrap_tape(scrap_rectangle("a", 300.0, 200.0), NEED).yield_length
    )
