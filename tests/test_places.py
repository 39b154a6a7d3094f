"""Places along legs whose windowed curvature is known in closed form."""

import math
from functools import cache

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapes import ZOO, circle_outline, polygon, polyline
from tape_cases import QUILTING, demo_job, leg_along

from edgefinder.binding.cloth import Limits
from edgefinder.binding.runs import Leg
from edgefinder.curvature.places import Place, find_places
from edgefinder.curvature.scanning import scan
from edgefinder.curvature.verdict import Verdict, verdict_of
from edgefinder.geometry.path import Path, reverse_path
from edgefinder.geometry.segments import arc_segments, concatenate, line_segments
from edgefinder.schedule.release import make_release

WIDTH = 9.0
OK, LIMIT = QUILTING.ok, QUILTING.limit


def places_of(leg: Leg, width: float = WIDTH) -> tuple[Place, ...]:
    (places,) = find_places(scan([leg], width, QUILTING))
    return places


def bend(radius: float, turn: float, *, inside: bool, straight: float = 50.0) -> Path:
    """A straight line, an arc and a straight line, smooth."""
    side = -1 if inside else 1
    centre = straight + 1j * side * radius
    end = centre + radius * (math.sin(turn) - 1j * side * math.cos(turn))
    out = complex(math.cos(turn), side * math.sin(turn))
    tables = [
        line_segments(0, straight),
        arc_segments([centre], -1j * side * radius, radius, 0.0, turn),
        line_segments(end, end + straight * out),
    ]
    return Path(concatenate(tables), closed=False)


def sharpest_flat(within: Limits, *, inside: bool) -> float:
    """k w at the edge of what lies flat (derived in the docstring of the band)."""
    return within.span - 1 if inside else 1 - 1 / within.span


# Quilting cotton, 9 mm: inside it lies flat above R = 79, is too tight below 37;
# outside above 88 and below 46 (derived).
@pytest.mark.parametrize(
    ("radius", "inside", "verdict"),
    [
        (60.0, True, Verdict.STEAM),
        (40.0, True, Verdict.STEAM),
        (30.0, True, Verdict.TOO_TIGHT),
        (12.0, True, Verdict.TOO_TIGHT),
        (70.0, False, Verdict.STEAM),
        (50.0, False, Verdict.STEAM),
        (40.0, False, Verdict.TOO_TIGHT),
        (20.0, False, Verdict.TOO_TIGHT),
    ],
)
def test_an_arc_between_straights_is_one_place_with_start_end_and_radius(
    radius: float, inside: bool, verdict: Verdict
) -> None:
    turn = math.pi / 2
    leg = leg_along(bend(radius, turn, inside=inside))

    (place,) = places_of(leg)

    # The window takes in the arc bit by bit, from half a width before it begins; the
    # place begins where the part taken in is just too much to lie flat.
    needed = sharpest_flat(OK, inside=inside) * radius
    start = 50 - WIDTH / 2 + needed
    end = 50 + radius * turn + WIDTH / 2 - needed
    assert place.verdict == verdict
    assert place.inside == inside
    assert place.radius == pytest.approx(radius, rel=1e-9)
    assert (place.curvature < 0) == inside
    assert place.start == pytest.approx(start, abs=1e-6)
    assert place.end == pytest.approx(end, abs=1e-6)
    assert place.length == pytest.approx(end - start, abs=1e-6)
    assert place.at == pytest.approx(leg.length / 2, abs=radius * math.radians(0.5))
    assert not place.mirrored


def test_an_arc_that_lies_flat_is_no_place() -> None:
    assert places_of(leg_along(bend(80, 1.5, inside=True))) == ()
    assert places_of(leg_along(bend(89, 1.5, inside=False))) == ()
    assert places_of(leg_along(polyline(0, 300))) == ()


def test_a_curve_tighter_than_the_tape_is_wide_is_folded_to_a_mitre() -> None:
    (place,) = places_of(leg_along(bend(6, math.pi / 2, inside=True)))

    # All of the turn lies within one and a bit of a width.
    assert place.verdict == Verdict.MITRE
    assert place.radius == pytest.approx(6.0)


def test_a_wiggle_shorter_than_the_tape_is_wide_is_blunted_by_the_window() -> None:
    wiggle = bend(6.0, 0.5, inside=True)  # 3 mm of arc that turn 0.5

    (place,) = places_of(leg_along(wiggle))

    assert place.verdict == Verdict.TOO_TIGHT
    assert place.radius == pytest.approx(WIDTH / 0.5)


def test_a_small_kink_counts_as_its_turn_over_one_width() -> None:
    turn = math.radians(10)  # between S - 1 of ok, 0.11, and of the limit, 0.24
    kinked = polyline(0, 100, 100 + 100 * complex(math.cos(turn), -math.sin(turn)))

    (place,) = places_of(leg_along(kinked))

    assert place.verdict == Verdict.STEAM
    assert place.radius == pytest.approx(WIDTH / turn)
    assert (place.start, place.end) == pytest.approx((95.5, 104.5), abs=1e-5)
    assert place.at == pytest.approx(100.0, abs=1e-5)


def test_inside_and_outside_curves_beside_each_other_are_places_of_their_own() -> None:
    turn = 1.0
    first = arc_segments([1j * 40], -1j * 40, 40, 0.0, turn)
    at = 40 * (math.sin(turn) + 1j * (1 - math.cos(turn)))
    towards = 1j * np.exp(1j * turn)  # to the left of the heading
    second = arc_segments([at - 30 * towards], 30 * towards, -30j * towards, 0.0, turn)
    path = Path(concatenate([first, second]), closed=False)

    outside, inside = places_of(leg_along(path))

    assert (outside.inside, inside.inside) == (False, True)
    assert outside.radius == pytest.approx(40)
    assert inside.radius == pytest.approx(30)
    assert outside.end < inside.start


def test_a_milder_stretch_longer_than_the_window_is_a_place_of_its_own() -> None:
    turn = 0.5
    tables, at, towards = [], 0 + 0j, 1 + 0j
    for radius in (60.0, 25.0):  # steam for 30 mm, then too tight for 12.5 mm
        centre = at - 1j * towards * radius
        tables.append(
            arc_segments([centre], 1j * towards * radius, towards * radius, 0.0, turn)
        )
        at = centre + radius * towards * complex(math.sin(turn), math.cos(turn))
        towards *= np.exp(-1j * turn)
    tables.append(line_segments(at, at + 100 * towards))
    path = Path(concatenate(tables), closed=False)

    steam, tight = places_of(leg_along(path))

    assert (steam.verdict, tight.verdict) == (Verdict.STEAM, Verdict.TOO_TIGHT)
    assert steam.end == pytest.approx(tight.start)
    assert steam.start == 0.0
    assert tight.radius == pytest.approx(25.0)


@pytest.mark.parametrize("radius", [60.0, 25.0])
def test_a_round_hole_is_one_place_all_round(radius: float) -> None:
    hole = leg_along(reverse_path(circle_outline(radius)))

    (place,) = places_of(hole)

    assert place.length == pytest.approx(2 * math.pi * radius)
    assert place.radius == pytest.approx(radius)
    assert place.inside


@pytest.mark.parametrize("sides", [60, 90, 180, 360])
def test_a_circle_drawn_as_a_polygon_gets_nearly_the_verdict_of_the_circle(
    sides: int,
) -> None:
    radius = 30.0
    corners = radius * np.exp(-2j * np.pi * np.arange(sides) / sides)
    drawn = polygon(*corners.tolist())

    places = places_of(leg_along(drawn))

    (true,) = places_of(leg_along(reverse_path(circle_outline(radius))))
    in_window = WIDTH / (2 * math.pi * radius / sides)
    assert {place.verdict for place in places} == {true.verdict}
    assert sum(p.length for p in places) == pytest.approx(true.length, rel=1e-3)
    # One vertex more or less within the window.
    assert places[0].radius == pytest.approx(true.radius, rel=1 / in_window)


def test_a_place_that_runs_past_the_start_of_a_closed_line_is_one() -> None:
    """An oval whose line begins where it bends most."""
    begin = -math.pi / 2
    oval = arc_segments([0], 30, 60j, begin, begin + 2 * math.pi)
    leg = leg_along(Path(oval, closed=True))

    places = places_of(leg, 6.0)

    verdicts = [place.verdict for place in places]
    assert verdicts.count(Verdict.TOO_TIGHT) == 2
    assert verdicts.count(Verdict.STEAM) == 4
    over_start = places[-1]
    assert over_start.start < leg.length < over_start.end
    middle = (over_start.start + over_start.end) / 2
    assert middle == pytest.approx(leg.length, abs=0.05)
    # Where it bends most, whichever end of the line that is told as.
    assert min(over_start.at, leg.length - over_start.at) < 0.5


def oval_hole(start: float = 0.0) -> Leg:
    """A tall oval run clockwise from a parameter: 30 sin t, 60 cos t."""
    oval = arc_segments([0], 60j, 30, start, start + 2 * math.pi)
    return leg_along(Path(oval, closed=True))


@cache
def oval_lengths(width: float) -> tuple[float, float]:
    """What of the oval hole is steam and what is too tight, by dense sampling."""
    t = np.linspace(-1.0, 2 * math.pi + 1.0, 400_001)
    speed = np.hypot(30 * np.cos(t), 60 * np.sin(t))
    s = np.concatenate([[0.0], np.cumsum(np.diff(t) * (speed[1:] + speed[:-1]) / 2)])
    heading = np.unwrap(np.arctan2(-60 * np.sin(t), 30 * np.cos(t)))
    low, high = (np.interp(s + x, s, heading) for x in (-width / 2, width / 2))
    bend = -(high - low)[:-1]
    once_round = (t[:-1] >= 0) & (t[:-1] < 2 * math.pi)
    is_tight = once_round & (bend > LIMIT.span - 1)
    is_steam = once_round & (bend > OK.span - 1) & ~is_tight
    step = np.diff(s)
    return float(step[is_steam].sum()), float(step[is_tight].sum())


@given(st.floats(0, 1))
def test_where_a_closed_line_begins_changes_no_place(share: float) -> None:
    leg = oval_hole(2 * math.pi * share)

    places = places_of(leg, 6.0)

    steam, tight = oval_lengths(6.0)
    found = [p.length for p in places if p.verdict is Verdict.TOO_TIGHT]
    milder = [p.length for p in places if p.verdict is Verdict.STEAM]
    assert found == pytest.approx([tight / 2] * 2, abs=0.05)
    assert milder == pytest.approx([steam / 4] * 4, abs=0.05)
    assert all(0 <= place.start < leg.length for place in places)
    assert [p.start for p in places] == sorted(p.start for p in places)


@pytest.mark.parametrize("width", [5.0, 6.0, 9.0])
def test_a_scan_finds_the_same_lengths_as_dense_sampling(width: float) -> None:
    seen = scan([oval_hole()], width, QUILTING)

    lengths = dict.fromkeys(Verdict, 0.0)
    for zone, length in enumerate(seen.lengths_by_zone()[0].tolist()):
        lengths[verdict_of(zone)] += length
    found = [lengths[Verdict.STEAM], lengths[Verdict.TOO_TIGHT]]
    assert sum(lengths.values()) == pytest.approx(seen.legs[0].length)
    assert found == pytest.approx(oval_lengths(width), abs=0.1)
    assert found[1] > 0


@pytest.mark.parametrize("name", sorted(ZOO))
def test_awkward_lines_are_scanned_without_a_complaint(name: str) -> None:
    leg = leg_along(ZOO[name])
    if leg.length < 1e-3:
        return

    for place in places_of(leg):
        assert np.isfinite([place.start, place.end, place.at, place.curvature]).all()
        assert place.verdict is not Verdict.FLAT


def test_of_equally_sharp_points_the_drawn_one_nearest_the_start_is_named() -> None:
    """An apron's neck across the fold, and a smock's neck as even as its mirror."""
    apron = make_release(demo_job("orchard-apron")).sizes[0].runs[0]
    smock = make_release(demo_job("puddle-smock")).sizes[0].runs[0]

    (across_fold,) = (report.place for report in apron.judged.places)
    back, _, _, mirrored = (report.place for report in smock.judged.places)

    assert across_fold.start < apron.run.length / 2 < across_fold.end
    assert not across_fold.mirrored
    assert (back.mirrored, mirrored.mirrored) == (False, True)
    assert back.at == pytest.approx(mirrored.at, abs=1e-6)
