import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from edgefinder.yardage.bias_strips import BiasLayout, lay_out_need, lay_strips
from edgefinder.yardage.cut_strips import bias_strips, straight_strips
from edgefinder.yardage.cutting import Cutting, Need
from edgefinder.yardage.straight_strips import cut_crosswise, cut_lengthwise
from edgefinder.yardage.strip_ends import (
    End,
    Strip,
    StripShape,
    all_one_way,
    fit_ends,
    join_loss,
)
from edgefinder.yardage.tube import cut_square

SEAM = 6.35
LOSS = 2.0 * math.sqrt(2.0) * SEAM

layouts = st.builds(
    lambda width, length, cut: lay_strips(width, length, cut, SEAM, 120.0),
    st.floats(250.0, 1600.0),
    st.floats(150.0, 1500.0),
    st.floats(15.0, 90.0),
)


def lean_of(strip: Strip, *, far: bool) -> End:
    """The lean of an end, measured on the drawn corners."""
    points = np.array(strip.corners) @ (1.0, 1.0j)
    along = points[1] + points[2] - points[0] - points[3]
    lower, upper = (points[1], points[2]) if far else (points[0], points[3])
    ahead = ((upper - lower) * np.conj(along)).real
    return End.FORWARD if ahead > 0 else End.BACK


def midline(strip: Strip) -> float:
    points = np.array(strip.corners) @ (1.0, 1.0j)
    return float(abs(points[1] + points[2] - points[0] - points[3]) / 2.0)


@settings(max_examples=60)
@given(layouts)
def test_strips_are_what_their_corners_show(layout: BiasLayout) -> None:
    for strip in bias_strips(layout):
        assert strip.near is lean_of(strip, far=False)
        assert strip.far is lean_of(strip, far=True)
        assert midline(strip) == pytest.approx(strip.length, abs=1e-6)
        assert shapely.is_ccw(shapely.LinearRing(strip.corners))


def test_strips_in_the_corners_are_trapezoids_the_others_parallelograms() -> None:
    strips = bias_strips(lay_strips(1000.0, 300.0, 50.0, SEAM, 150.0))
    shapes = [strip.shape for strip in strips]

    assert shapes[0] is shapes[-1] is StripShape.TRAPEZOID
    assert shapes[len(shapes) // 2] is StripShape.PARALLELOGRAM
    assert (strips[0].near, strips[0].far) == (strips[-1].far, strips[-1].near)


@settings(max_examples=60)
@given(layouts)
def test_recut_strips_all_lean_alike_and_lie_inside_the_old_ones(
    layout: BiasLayout,
) -> None:
    strips = {strip.number: strip for strip in bias_strips(layout)}

    recut = all_one_way(tuple(strips.values()), 60.0)

    assert len({end for strip in recut for end in (strip.near, strip.far)}) <= 1
    for strip in recut:
        old = strips[strip.number]
        outline = shapely.buffer(shapely.Polygon(old.corners), 1e-6)
        assert shapely.contains(outline, shapely.Polygon(strip.corners))
        assert strip.near is lean_of(strip, far=False)
        assert strip.far is lean_of(strip, far=True)
        assert midline(strip) == pytest.approx(strip.length, abs=1e-6)
        changed = (old.near is not strip.near) + (old.far is not strip.far)
        assert old.length - strip.length == pytest.approx(changed * old.cut_width)


def test_a_strip_that_recutting_makes_too_short_is_left_out() -> None:
    strips = bias_strips(lay_strips(1000.0, 300.0, 50.0, SEAM, 150.0))
    shortest = min(strip.length for strip in strips)

    kept = all_one_way(strips, shortest)

    assert 0 < len(kept) < len(strips)
    assert min(strip.length for strip in kept) >= shortest


def strip(number: int, near: End, far: End, length: float = 300.0) -> Strip:
    slope = {End.FORWARD: 20.0, End.BACK: -20.0}
    a, b = slope[near], slope[far]
    corners = ((-a, -20.0), (length - b, -20.0), (length + b, 20.0), (a, 20.0))
    return Strip(number, length, 40.0, near, far, corners)


def test_strips_that_fit_are_left_alone() -> None:
    strips = bias_strips(lay_strips(1000.0, 300.0, 50.0, SEAM, 150.0))

    assert fit_ends(strips, 100.0) == strips


def test_one_end_is_recut_where_no_trapezoid_leads_over() -> None:
    strips = [strip(1, End.BACK, End.BACK), strip(2, End.FORWARD, End.FORWARD, 350.0)]

    fitted = fit_ends(strips, 100.0)

    assert [s.length for s in fitted] == [300.0, 310.0]
    assert fitted[1].shape is StripShape.TRAPEZOID


@pytest.mark.parametrize(("alike", "recut"), [(1, 0), (2, 1), (5, 4)])
def test_on_one_way_cloth_all_but_one_of_the_same_trapezoids_are_recut(
    alike: int, recut: int
) -> None:
    strips = [strip(n, End.FORWARD, End.BACK) for n in range(alike)]

    fitted = fit_ends(strips, 100.0, may_turn=False)

    shapes = [s.shape for s in fitted]
    assert shapes.count(StripShape.PARALLELOGRAM) == recut
    assert fit_ends(strips, 100.0) == tuple(strips)


def test_on_one_way_cloth_opposite_trapezoids_need_no_recutting() -> None:
    strips = [
        strip(n, *((End.FORWARD, End.BACK) if n % 2 else (End.BACK, End.FORWARD)))
        for n in range(6)
    ]

    assert fit_ends(strips, 100.0, may_turn=False) == tuple(strips)


def test_straight_strips_lie_where_they_are_cut() -> None:
    need = Need(3000.0, 50.0, usable_width=1000.0)
    across, along = cut_crosswise(need), cut_lengthwise(need)
    assert isinstance(across, Cutting)
    assert isinstance(along, Cutting)

    for cutting in (across, along):
        strips = straight_strips(cutting)
        outlines = [shapely.Polygon(s.corners) for s in strips]
        cloth = shapely.box(0.0, 0.0, *cutting.cut_size)
        assert shapely.union_all(outlines).area == pytest.approx(
            sum(cutting.strip_lengths) * 50.0
        )
        assert all(shapely.covers(shapely.buffer(cloth, 1e-9), o) for o in outlines)
        assert all(midline(s) == pytest.approx(s.length) for s in strips)
        assert {s.shape for s in strips} == {StripShape.RECTANGLE}
        assert all(join_loss(s, SEAM) == 50.0 for s in strips)


def test_a_tube_has_no_straight_strips() -> None:
    tube = cut_square(Need(3000.0, 50.0))
    assert isinstance(tube, Cutting)

    with pytest.raises(ValueError, match="no straight strips"):
        straight_strips(tube)


def test_a_join_on_the_grain_takes_two_root_two_seams() -> None:
    layout = lay_out_need(Need(3000.0, 50.0))
    assert isinstance(layout, BiasLayout)

    assert join_loss(bias_strips(layout)[0], SEAM) == pytest.approx(LOSS)


def test_the_other_lean_of_a_square_end_is_square() -> None:
    assert End.SQUARE.other is End.SQUARE
    assert End.BACK.other is End.FORWARD
    assert End.FORWARD.other is End.BACK
