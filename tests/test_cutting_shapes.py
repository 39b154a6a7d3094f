import math
from dataclasses import replace
from itertools import pairwise

import pytest
import shapely
import shapely.affinity
from cutting_cases import LONG, WIDE_STRIPS, WORKED, cuttings, every_cutting, needs
from hypothesis import given, settings
from shapely.geometry import LineString, Polygon, box

from edgefinder.reports.cutting_shapes import (
    bias_line,
    ruled_lines,
    strip_shapes,
    tube_shapes,
)
from edgefinder.yardage.bias_strips import (
    BiasLayout,
    cut_bias_strips,
    lay_out_need,
    strip_outlines,
)
from edgefinder.yardage.cut_strips import bias_layout
from edgefinder.yardage.cutting import TUBES, Cutting, Method, Need, NotPossible
from edgefinder.yardage.tube import cut_rectangle, cut_square

ROOT = math.sqrt(2.0)
TUBE_CUTTINGS = [c for c in every_cutting() if c.method in TUBES]
STRIP_CUTTINGS = [c for c in every_cutting() if c.method not in TUBES]


def near(one: Polygon, other: Polygon, allowed: float = 1e-6) -> bool:
    """Whether two shapes cover the same place."""
    return bool(one.symmetric_difference(other).area <= allowed * max(1.0, one.area))


@pytest.mark.parametrize("cutting", TUBE_CUTTINGS)
def test_triangle_and_body_make_the_piece_that_was_cut_off(cutting: Cutting) -> None:
    shapes = tube_shapes(cutting)

    whole = Polygon(shapes.triangle()).union(Polygon(shapes.body()))

    assert near(whole, box(0.0, 0.0, max(cutting.cut_size), min(cutting.cut_size)))
    assert Polygon(shapes.triangle()).intersection(Polygon(shapes.body())).area < 1e-6


@pytest.mark.parametrize("cutting", TUBE_CUTTINGS)
def test_the_slanted_shape_is_the_body_and_the_triangle_sewn_to_its_end(
    cutting: Cutting,
) -> None:
    shapes = tube_shapes(cutting)
    seam = shapes.seam
    moved = shapely.affinity.translate(
        Polygon(shapes.triangle()), shapes.width - 2 * seam
    )

    whole = Polygon(shapes.body()).union(moved)

    # Beyond the slanted shape only points of the seam allowances stand out: below,
    # a right-angled triangle of 2 s by 2 s; above, one that is smaller by W - H.
    above = max(0.0, 2 * seam - (shapes.width - shapes.height))
    slanted = Polygon(shapes.slanted())
    assert slanted.difference(whole).area < 1e-6
    assert whole.difference(slanted).area == pytest.approx(
        2 * seam**2 + above**2 / 2, abs=1e-6
    )
    assert slanted.area == pytest.approx(shapes.side * shapes.height)


@pytest.mark.parametrize("cutting", TUBE_CUTTINGS)
def test_the_lines_of_a_tube_are_one_cut_width_apart(cutting: Cutting) -> None:
    shapes = tube_shapes(cutting)
    lines = [LineString(shapes.line(i)) for i in range(shapes.strips + 1)]

    for i, (before, after) in enumerate(pairwise(lines), 1):
        (x, y), _ = before.coords
        far = LineString([(x - 1e5, y - 1e5), (x + 1e5, y + 1e5)])
        assert far.distance(after) == pytest.approx(cutting.need.cut_width)
        assert Polygon(shapes.strip(i)).area == pytest.approx(
            cutting.need.cut_width * ROOT * shapes.height
        )


@pytest.mark.parametrize("cutting", TUBE_CUTTINGS)
def test_strips_and_what_lies_beyond_them_fill_the_slanted_shape(
    cutting: Cutting,
) -> None:
    shapes = tube_shapes(cutting)
    parts = [Polygon(shapes.strip(i)) for i in range(1, shapes.strips + 1)]
    if shapes.rest > 1e-6:
        parts.append(Polygon(shapes.beyond()))

    assert near(shapely.unary_union(parts), Polygon(shapes.slanted()))
    assert sum(part.area for part in parts) == pytest.approx(
        Polygon(shapes.slanted()).area
    )


@given(needs())
@settings(max_examples=60)
def test_a_tube_opened_out_strip_after_strip_is_the_tape(need: Need) -> None:
    """Move strip k + 1 by the step that brings the tube's seams together: one band."""
    for cut in (cut_square, cut_rectangle):
        cutting = cut(need)
        if isinstance(cutting, NotPossible) or cutting.strips > 200:
            continue
        shapes = tube_shapes(cutting)
        inner = shapes.height - 2 * shapes.seam
        between = box(-1e6, shapes.seam, 1e6, shapes.height - shapes.seam)
        band = [
            shapely.affinity.translate(
                Polygon(shapes.strip(k)).intersection(between),
                (k - 1) * (inner - shapes.spacing),
                (k - 1) * inner,
            )
            for k in range(1, shapes.strips + 1)
        ]

        tape = shapely.unary_union([part.buffer(1e-7) for part in band])

        hull = tape.minimum_rotated_rectangle
        assert sum(part.area for part in band) == pytest.approx(
            cutting.yield_length * need.cut_width, rel=1e-6
        )
        corners = hull.exterior.coords
        sides = sorted(math.dist(corners[i], corners[i + 1]) for i in range(2))
        # The ends are cut at 45 degrees: the band in its box is one width longer.
        expected = sorted((need.cut_width, cutting.yield_length + need.cut_width))
        assert sides == pytest.approx(expected, rel=1e-5)


@pytest.mark.parametrize("cutting", TUBE_CUTTINGS)
def test_below_the_seam_lies_the_upper_end_of_the_same_strip(cutting: Cutting) -> None:
    shapes = tube_shapes(cutting)
    inner = shapes.height - 2 * shapes.seam
    depth = 0.6 * inner
    top = shapes.height - shapes.seam
    for k in range(1, shapes.strips + 1):
        upper = Polygon(shapes.strip(k)).intersection(box(-1e6, top - depth, 1e6, top))

        brought = shapely.affinity.translate(upper, shapes.spacing - inner, -inner)

        below = Polygon(shapes.below_seam(k, depth))
        assert near(below, brought)
        if k < shapes.strips:
            joined = below.union(Polygon(shapes.above_seam(k + 1, depth)))
            assert near(joined.convex_hull, joined)


@pytest.mark.parametrize("cutting", STRIP_CUTTINGS)
def test_strips_lie_in_the_cloth_and_not_on_each_other(cutting: Cutting) -> None:
    outlines = [Polygon(outline) for outline in strip_shapes(cutting)]
    cloth = box(0.0, 0.0, *cutting.cut_size)

    assert len(outlines) == cutting.strips
    assert shapely.unary_union(outlines).difference(cloth).area < 1e-6
    assert shapely.unary_union(outlines).area == pytest.approx(
        sum(outline.area for outline in outlines)
    )
    for outline, length in zip(outlines, cutting.strip_lengths, strict=True):
        assert outline.area == pytest.approx(length * cutting.need.cut_width)


@pytest.mark.parametrize("cutting", STRIP_CUTTINGS)
def test_there_are_as_many_ruled_lines_as_the_cutting_says(cutting: Cutting) -> None:
    lines = [LineString(ends) for ends in ruled_lines(cutting)]

    assert len(lines) == cutting.lines
    for outline in strip_shapes(cutting):
        strip = Polygon(outline)
        assert not any(line.crosses(strip.buffer(-1e-6)) for line in lines)


@given(needs())
@settings(max_examples=60)
def test_bias_strips_are_found_again_from_their_lengths(need: Need) -> None:
    cutting, layout = cut_bias_strips(need), lay_out_need(need)
    if isinstance(cutting, NotPossible) or not isinstance(layout, BiasLayout):
        return

    found = bias_layout(cutting)

    assert found.places == pytest.approx(layout.places, abs=1e-6)
    assert len(ruled_lines(cutting)) == cutting.lines
    for outline, expected in zip(
        strip_shapes(cutting), strip_outlines(layout), strict=True
    ):
        assert near(Polygon(outline), Polygon(expected), 1e-5)


@pytest.mark.parametrize("need", [WORKED, LONG, WIDE_STRIPS])
def test_the_first_line_leaves_its_corner_by_what_the_cutting_says(need: Need) -> None:
    cutting = cuttings(need)[Method.BIAS_STRIPS]
    along = cutting.cut_size[1]

    start, end = ruled_lines(cutting)[0]

    assert cutting.first_line is not None
    assert start == pytest.approx((0.0, along - cutting.first_line))
    assert end == pytest.approx((cutting.first_line, along))


def test_a_line_past_the_corners_ends_on_the_other_two_sides() -> None:
    assert bias_line(10.0, 300.0, 100.0) == ((10.0, 0.0), (110.0, 100.0))
    assert bias_line(250.0, 300.0, 100.0) == ((250.0, 0.0), (300.0, 50.0))
    assert bias_line(-40.0, 30.0, 100.0) == ((0.0, 40.0), (30.0, 70.0))


def test_strips_that_lie_nowhere_are_a_mistake_of_the_program() -> None:
    cutting = cuttings(WORKED)[Method.BIAS_STRIPS]

    with pytest.raises(ValueError, match="side by side"):
        bias_layout(replace(cutting, strip_lengths=(1.0, *cutting.strip_lengths)))
    with pytest.raises(ValueError, match="without a first line"):
        bias_layout(replace(cutting, first_line=None))
