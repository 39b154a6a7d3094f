"""Cloth cut, laid and joined as polygons yields what was computed.

Every method has 500 random cases. The polygons are cut out of the cloth, moved without
being stretched or turned over, and laid along a line; the tape is their union.
"""

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Final

import numpy as np
import pytest
import shapely
import shapely.affinity

from edgefinder.yardage.bias_strips import (
    BiasLayout,
    cut_bias_strips,
    lay_out_need,
    usable_lengths,
)
from edgefinder.yardage.cut_strips import bias_strips, straight_strips
from edgefinder.yardage.cutting import Cutting, Need, NotPossible
from edgefinder.yardage.scrap_outlines import scrap_polygon
from edgefinder.yardage.scraps import Scrap, scrap_rectangle, scrap_tape
from edgefinder.yardage.straight_strips import cut_crosswise, cut_lengthwise
from edgefinder.yardage.strip_ends import Strip
from edgefinder.yardage.strip_order import (
    StripOrder,
    laid_outlines,
    order_strips,
)
from edgefinder.yardage.tape_run import TapeRun
from edgefinder.yardage.tube import cut_from_rectangle, cut_rectangle, cut_square

CASES: Final = 500
TAPE_MM: Final = 0.1
"""How far the laid tape may differ from the computed one."""
AREA_SHARE: Final = 1e-3
"""How far the parts of a cloth may differ from the whole."""
GRID_MM: Final = 1e-6
ROOT: Final = math.sqrt(2.0)


def random_needs(seed: int) -> list[Need]:
    numbers = np.random.default_rng(seed)
    return [
        Need(
            length=float(numbers.uniform(300.0, 12_000.0)),
            cut_width=float(numbers.uniform(14.0, 100.0)),
            seam=float(numbers.uniform(0.0, 11.0)),
            usable_width=float(numbers.uniform(400.0, 1650.0)),
            minimum_strip=float(numbers.uniform(0.0, 200.0)),
        )
        for _ in range(CASES)
    ]


def cutting(result: Cutting | NotPossible) -> Cutting:
    assert isinstance(result, Cutting)
    return result


# Tubes


def prove_tube(need: Need, sides: tuple[float, float], yielded: float) -> None:
    """Sew the parallelogram, rule it, and lay its strips end to end."""
    width, height = max(sides), min(sides)
    seam, cut = need.seam, need.cut_width
    cloth = shapely.box(0.0, 0.0, width, height)
    corner = shapely.Polygon([(0.0, 0.0), (height, height), (0.0, height)])
    other = shapely.difference(cloth, corner)
    rest = shapely.intersection(other, shapely.box(0.0, 0.0, width - seam, height))
    moved = shapely.intersection(corner, shapely.box(seam, 0.0, width, height))
    seam_area = other.area - rest.area + corner.area - moved.area
    moved = shapely.affinity.translate(moved, width - 2.0 * seam, 0.0)
    sewn = shapely.union(rest, moved, grid_size=GRID_MM)

    # Rule the whole width of the sewn cloth; what is not a whole strip falls off.
    spacing = cut * ROOT
    count = math.floor((width - 2.0 * seam) / spacing + 1e-6)
    left = spacing * np.arange(count)[:, None] * [1.0, 0.0]
    inner = height - 2.0 * seam
    shape = np.array([(0, 0), (spacing, 0), (spacing + inner, inner), (inner, inner)])
    ruled = shapely.polygons(left[:, None, :] + shape + seam)
    in_cloth = shapely.area(shapely.intersection(ruled, shapely.buffer(sewn, 1e-6)))
    whole = shapely.area(ruled)
    assert in_cloth == pytest.approx(whole, rel=1e-7)

    # One turn for all strips, and each moved to where the one before it ends.
    turn = np.exp(-0.25j * np.pi)
    flat = (shape @ (1.0, 1.0j)) * turn
    step = inner * ROOT
    laid = [
        shapely.Polygon(
            np.column_stack(((flat + k * step).real, (flat + k * step).imag))
        )
        for k in range(count)
    ]
    tape = shapely.union_all(laid, grid_size=GRID_MM)
    assert tape.geom_type == "Polygon"
    assert tape.bounds[3] - tape.bounds[1] == pytest.approx(cut, abs=1e-4)
    assert tape.area / cut == pytest.approx(yielded, abs=TAPE_MM)

    beside = shapely.difference(sewn, shapely.union_all(ruled, grid_size=GRID_MM))
    total = yielded * cut + seam_area + beside.area
    assert total == pytest.approx(width * height, rel=AREA_SHARE)


def test_squares_sewn_to_a_tube_yield_what_was_computed() -> None:
    proved = 0
    for need in random_needs(1):
        result = cut_square(replace(need, usable_width=1700.0))
        if isinstance(result, Cutting):
            prove_tube(need, result.cut_size, result.yield_length)
            proved += 1

    assert proved == CASES


def test_rectangles_sewn_to_a_tube_yield_what_was_computed() -> None:
    for need in random_needs(2):
        result = cutting(cut_rectangle(need))
        prove_tube(need, result.cut_size, result.yield_length)


def test_rectangles_that_are_there_yield_what_was_computed() -> None:
    numbers = np.random.default_rng(3)
    proved = 0
    for need in random_needs(3):
        sides = (float(numbers.uniform(200, 1600)), float(numbers.uniform(200, 1600)))
        found = cut_from_rectangle(need, *sides)
        assert found.spare - found.short == pytest.approx(
            found.yield_length - need.length
        )
        if found.strips:
            prove_tube(need, sides, found.yield_length)
            proved += 1

    assert proved > 0.9 * CASES


# Strips


def joined(strips: tuple[Strip, ...], seam: float, yielded: float) -> StripOrder:
    order = order_strips(strips, TapeRun(yielded), seam)
    assert isinstance(order, StripOrder)
    assert len(order.placed) == len(strips)
    return order


def prove_strips(
    strips: tuple[Strip, ...], seam: float, yielded: float, cloth: shapely.Geometry
) -> None:
    """Cut strips out of the cloth, lay them overlapping by their joins, and add up."""
    cut = strips[0].cut_width
    in_cloth = shapely.polygons([strip.corners for strip in strips])
    order = joined(strips, seam, yielded)
    laid = shapely.polygons(laid_outlines(order))
    # What is laid is what was cut: the same sides and diagonals in the same turn.
    by_number = {s.number: np.array(s.corners) @ (1.0, 1.0j) for s in strips}
    for placed, corners in zip(order.placed, laid_outlines(order), strict=True):
        cloth_corners = by_number[placed.strip.number]
        if placed.is_turned:
            cloth_corners = np.roll(cloth_corners, -2)
        tape_corners = np.array(corners) @ (1.0, 1.0j)
        motion = (tape_corners[1] - tape_corners[0]) / (
            cloth_corners[1] - cloth_corners[0]
        )
        differences = (cloth_corners - cloth_corners[0]) * motion
        assert np.abs(differences - (tape_corners - tape_corners[0])).max() < 1e-5
        assert abs(motion) == pytest.approx(1.0, abs=1e-8)

    tape = shapely.union_all(laid, grid_size=GRID_MM)
    overlaps = shapely.area(shapely.intersection(laid[:-1], laid[1:]))
    together = shapely.union_all(in_cloth, grid_size=GRID_MM)
    dropped = shapely.area(shapely.difference(cloth, together, grid_size=GRID_MM))

    assert tape.area / cut == pytest.approx(yielded, abs=TAPE_MM)
    assert tape.bounds[3] - tape.bounds[1] == pytest.approx(cut, abs=1e-4)
    total = yielded * cut + overlaps.sum() + dropped
    assert total == pytest.approx(cloth.area, rel=AREA_SHARE)
    outside = shapely.area(shapely.difference(together, shapely.buffer(cloth, 1e-5)))
    assert outside == pytest.approx(0.0, abs=1e-3)


def test_bias_strips_cut_and_joined_yield_what_was_computed() -> None:
    for need in random_needs(4):
        layout = lay_out_need(need)
        assert isinstance(layout, BiasLayout)
        cloth = shapely.box(0.0, 0.0, layout.width, layout.length)

        prove_strips(bias_strips(layout), need.seam, layout.yield_length, cloth)


@pytest.mark.parametrize("method", [cut_crosswise, cut_lengthwise])
def test_straight_strips_cut_and_joined_yield_what_was_computed(
    method: Callable[[Need], Cutting | NotPossible],
) -> None:
    for need in random_needs(5):
        result = cutting(method(need))

        prove_strips(
            straight_strips(result),
            need.seam,
            result.yield_length,
            shapely.box(0.0, 0.0, *result.cut_size),
        )


def random_scrap(numbers: np.random.Generator) -> Scrap:
    if numbers.random() < 0.3:
        return scrap_rectangle("rest", *numbers.uniform(200.0, 700.0, 2).tolist())
    while True:
        angles = np.sort(numbers.uniform(0.0, 2.0 * np.pi, 9))
        radii = numbers.uniform(120.0, 400.0, 9)
        ring = np.column_stack((radii * np.cos(angles), radii * np.sin(angles)))
        shape = shapely.Polygon(ring)
        if shape.is_valid:
            return scrap_polygon("rest", shape, float(numbers.uniform(-3.0, 3.0)))


def test_strips_out_of_scraps_yield_what_was_computed() -> None:
    numbers = np.random.default_rng(6)
    proved = 0
    for need in random_needs(6):
        scrap = random_scrap(numbers)
        found = scrap_tape(scrap, need)
        if not found.strips:
            continue
        cloth = shapely.Polygon(scrap.rings[0], scrap.rings[1:])

        prove_strips(found.strips, need.seam, found.yield_length, cloth)
        proved += 1

    assert proved > 0.8 * CASES


# The least cloth, and limits


@pytest.mark.parametrize("case", range(25))
def test_a_finer_brute_force_search_never_finds_a_shorter_cloth(case: int) -> None:
    need = random_needs(7)[case]
    layout = lay_out_need(need)
    assert isinstance(layout, BiasLayout)
    loss = 2.0 * ROOT * need.seam
    shortest = max(need.shortest_strip, need.cut_width + loss)
    spacing = need.cut_width * ROOT
    starts = np.linspace(0.0, spacing, 3000, endpoint=False)[:, None]

    for less in (0.02, 0.3, 2.0, 11.0):
        length = layout.length - less
        if length <= 0.0:
            continue
        count = math.ceil((need.usable_width + length) / spacing) + 1
        places = starts - length + spacing * np.arange(count)
        strips = usable_lengths(places, need.usable_width, length, need.cut_width)
        kept = np.where(strips >= shortest, strips - loss, 0.0)
        assert kept.sum(axis=1).max() + loss < need.length


@pytest.mark.parametrize("cut", [10.0, 4.0])
def test_without_seams_and_with_many_strips_no_method_takes_more_than_the_tape(
    cut: float,
) -> None:
    need = Need(1.9e6 / cut, cut, seam=0.0, usable_width=1400.0, minimum_strip=0.0)
    area = need.length * need.cut_width

    for method in (cut_square, cut_rectangle, cut_bias_strips, cut_lengthwise):
        across, along = cutting(method(need)).cut_size
        # The strips in the corners of the cloth are what still is lost.
        assert area * (1.0 - 1e-9) <= across * along < area * (1.0 + 4.0 * cut / 1000.0)


def test_without_seams_a_rectangle_of_many_strips_yields_its_area() -> None:
    found = cut_from_rectangle(Need(1e5, 2.0, seam=0.0), 1000.0, 700.0)

    assert 0.995 * found.by_area < found.yield_length <= found.by_area
