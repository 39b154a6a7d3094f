"""Which stretches are one place: fringes and gaps that are shorter than the tape."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapes import polyline
from tape_cases import QUILTING, leg_along

from edgefinder.binding.runs import Leg
from edgefinder.curvature.places import Place, find_places
from edgefinder.curvature.scanning import scan
from edgefinder.curvature.trouble import find_trouble, verdicts
from edgefinder.curvature.verdict import Verdict, verdict_of
from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import arc_segments, concatenate, line_segments

WIDTH = 10.0
STEAM_RADIUS = 60.0
"""Inside, quilting cotton: 10 mm lie flat from 88 mm up and can be laid from 41 mm up
(derived: w/(S - 1))."""


def arcs_and_lines(*parts: tuple[float, float]) -> Path:
    """A smooth line of parts of a length each: a radius to the right, or inf."""
    tables, at, towards = [], 0j, 1 + 0j
    for radius, length in parts:
        if math.isinf(radius):
            tables.append(line_segments(at, at + length * towards))
            at += length * towards
            continue
        turn = length / abs(radius)
        side = -1 if radius > 0 else 1
        centre = at + side * 1j * towards * abs(radius)
        arm = at - centre
        tables.append(arc_segments([centre], arm, side * 1j * arm, 0.0, turn))
        at = centre + arm * np.exp(1j * side * turn)
        towards *= np.exp(1j * side * turn)
    return Path(concatenate(tables), closed=False)


def places_of(path: Path, width: float = WIDTH) -> tuple[Place, ...]:
    (places,) = find_places(scan([leg_along(path)], width, QUILTING))
    return places


def two_curves(between: float, second: float = STEAM_RADIUS) -> Path:
    return arcs_and_lines(
        (math.inf, 50), (STEAM_RADIUS, 40), (math.inf, between), (second, 40)
    )


def flat_between(gap: float) -> float:
    """The straight line between two arcs beside which such a gap lies flat.

    A window may hold (S - 1) R of either arc, and reaches half a width from its middle.
    """
    held = (1.08 / 0.97 - 1) * STEAM_RADIUS
    return gap + WIDTH - 2 * held


def test_curves_that_are_further_apart_than_the_tape_is_wide_are_two_places() -> None:
    first, second = places_of(two_curves(flat_between(WIDTH * 1.01)))

    assert second.start - first.end == pytest.approx(WIDTH * 1.01, abs=1e-6)


def test_a_gap_narrower_than_the_tape_belongs_to_the_places_beside_it() -> None:
    (whole,) = places_of(two_curves(flat_between(WIDTH * 0.99)))

    assert whole.verdict is Verdict.STEAM
    assert whole.length == pytest.approx(80 + flat_between(WIDTH * 0.99), abs=WIDTH)


def test_a_gap_between_an_inside_and_an_outside_curve_stays_flat() -> None:
    inside, outside = places_of(two_curves(1.0, -STEAM_RADIUS))

    assert (inside.inside, outside.inside) == (True, False)
    assert outside.start > inside.end


def test_a_gap_beside_a_worse_place_is_as_the_milder_one() -> None:
    steam, tight = places_of(two_curves(4.0, 20.0))

    assert (steam.verdict, tight.verdict) == (Verdict.STEAM, Verdict.TOO_TIGHT)
    assert steam.end == pytest.approx(tight.start)


@pytest.mark.parametrize("sides", [24, 37, 50, 90])
@pytest.mark.parametrize("radius", [80.0, 60.0])
def test_an_arc_that_is_drawn_as_a_polygon_is_one_place(
    radius: float, sides: int
) -> None:
    """The window holds now one vertex more and now one less than on the arc."""
    arc = radius * (1 - np.exp(-1j * np.linspace(0.0, 2.0, sides)))
    drawn = polyline(-100j, *arc.tolist())

    (place,) = places_of(drawn)

    (true,) = places_of(arcs_and_lines((math.inf, 100), (radius, 2 * radius)))
    side = 2 * radius / sides
    assert place.inside
    assert place.start == pytest.approx(true.start, abs=side + WIDTH / 2)
    assert place.end == pytest.approx(true.end, abs=side + WIDTH / 2)


@given(
    st.lists(
        st.tuples(
            st.sampled_from([math.inf, 120.0, 70.0, 45.0, 25.0, -60.0, -30.0]),
            st.floats(2, 60),
        ),
        min_size=1,
        max_size=6,
    ),
    st.floats(4, 20),
)
def test_places_are_in_order_apart_and_cover_all_that_does_not_lie_flat(
    parts: list[tuple[float, float]], width: float
) -> None:
    seen = scan([leg_along(arcs_and_lines(*parts))], width, QUILTING)

    (found,) = find_trouble(seen)

    ends = [0.0, *(s for one in found for s in (one.start, one.end))]
    assert ends == sorted(ends)
    assert ends[-1] <= seen.legs[0].length
    assert verdicts(seen) == [[verdict_of(one.zone) for one in found]]
    worst = set(np.unique(seen.stretches.zone).tolist()) - {3}
    assert {one.zone for one in found} <= worst
    covered = sum(one.end - one.start for one in found)
    flat = float(seen.lengths_by_zone()[0, 3])
    # Places shorter than 0.1 mm are not told.
    assert covered >= seen.legs[0].length - flat - 0.1 * len(seen.stretches.zone)


def test_legs_are_looked_at_together_as_each_alone() -> None:
    legs: list[Leg] = [
        leg_along(path)
        for path in (two_curves(30.0), polyline(0, 50), two_curves(4.0, -25.0))
    ]

    together = find_places(scan(legs, WIDTH, QUILTING))

    alone = [find_places(scan([leg], WIDTH, QUILTING))[0] for leg in legs]
    assert [len(places) for places in together] == [len(places) for places in alone]
    for places, own in zip(together, alone, strict=True):
        for place, same in zip(places, own, strict=True):
            assert (place.start, place.end) == (same.start, same.end)
            assert (place.sharpest, place.curvature) == (same.sharpest, same.curvature)
            assert place.turn == pytest.approx(same.turn)
