import math

import pytest
import shapely
import shapely.affinity
from hypothesis import given
from hypothesis import strategies as st

from edgefinder.errors import SettingsError
from edgefinder.units import Unit
from edgefinder.yardage.buying import ruler_size
from edgefinder.yardage.cutting import Cutting, Method, Need, NotPossible
from edgefinder.yardage.tube import (
    cut_from_rectangle,
    cut_rectangle,
    cut_square,
    smallest_square,
    square_root_rule,
    tube_strips,
    tube_yield,
)

INCH = 25.4
ROOT = math.sqrt(2.0)

needs = st.builds(
    Need,
    length=st.floats(50.0, 60000.0),
    cut_width=st.floats(8.0, 150.0),
    seam=st.floats(0.0, 15.0),
    usable_width=st.floats(400.0, 1700.0),
    minimum_strip=st.floats(0.0, 250.0),
)
rectangles = st.tuples(
    st.floats(300.0, 1500.0),  # W
    st.floats(0.2, 1.0),  # H as a share of W
    st.floats(10.0, 80.0),  # c
    st.floats(0.0, 10.0),  # s
)


def cutting(result: Cutting | NotPossible) -> Cutting:
    assert isinstance(result, Cutting)
    return result


def test_the_worked_example_of_144_inches_2_inches_wide() -> None:
    # Derived, checked by hand: 16.97 in; 5 x sqrt 2 x (16.97 - 0.5) = 116.5 in; 6
    # strips of 144 in need 16.97 + 0.5 = 17.47 in.
    need = Need(144 * INCH, 2 * INCH, seam=0.25 * INCH)

    rule = square_root_rule(need)

    assert rule.side / INCH == pytest.approx(16.97, abs=0.005)
    assert rule.yield_length / INCH == pytest.approx(116.5, abs=0.05)
    assert rule.short / INCH == pytest.approx(144 - 116.5, abs=0.05)
    assert tube_strips(rule.side, need.cut_width, need.seam) == 5
    assert smallest_square(need) / INCH == pytest.approx(17.47, abs=0.005)
    assert cutting(cut_square(need)).strips == 6


@pytest.mark.parametrize(
    ("length_in", "cut_in", "published_in"),
    [
        # Published in sewing manuals: side = sqrt(L c), rounded up to an inch.
        (250.0, 2.0, 23.0),
        (100.0, 3.5, 19.0),
        (10 * 36.0, 3.0, 33.0),  # and 1 in more for seams
    ],
)
def test_published_squares_by_the_square_root(
    length_in: float, cut_in: float, published_in: float
) -> None:
    rule = square_root_rule(Need(length_in * INCH, cut_in * INCH))

    assert math.ceil(rule.side / INCH) == published_in


def test_the_published_inch_for_seams_still_misses_the_eighth_strip() -> None:
    # Published: 10 yd of 3 in from a square of 33 + 1 in. By hand, 34 in holds
    # (34 - 0.5)/(3 sqrt 2) = 7.9, so 7 strips of sqrt 2 x 33.5 in: 331.6 in of 360;
    # 8 strips take 8 x 3 sqrt 2 + 0.5 = 34.44 in.
    seam = 0.25 * INCH

    published = tube_yield(34 * INCH, 34 * INCH, 3 * INCH, seam)
    needed = smallest_square(Need(360 * INCH, 3 * INCH, seam=seam))

    assert published / INCH == pytest.approx(331.6, abs=0.05)
    assert needed / INCH == pytest.approx(34.44, abs=0.005)


@pytest.mark.parametrize(
    ("side_in", "area_in"),
    [(12.0, 72.0), (20.0, 200.0), (36.0, 648.0)],  # published, 2 in strips, by area
)
def test_published_yields_by_area_are_never_reached(
    side_in: float, area_in: float
) -> None:
    side, cut = side_in * INCH, 2 * INCH
    by_area = side * side / cut

    exact = tube_yield(side, side, cut, 0.25 * INCH)

    assert by_area / INCH == pytest.approx(area_in, rel=1e-12)
    assert 0.6 * by_area < exact < by_area
    assert square_root_rule(Need(by_area, cut)).side == pytest.approx(side)


def test_what_practice_reports_of_a_26_inch_square_is_one_strip_less() -> None:
    # Reported in sewing columns: "just over 5 yd" of 3 in from a 26 in square,
    # against 6.26 yd by area. The sixth strip fits by 1/25 of an inch only.
    side, cut, seam, yard = 26 * INCH, 3 * INCH, 0.25 * INCH, 914.4
    strips = tube_strips(side, cut, seam)
    left = (side - 2 * seam) - strips * cut * ROOT

    exact = tube_yield(side, side, cut, seam)

    assert side * side / cut / yard == pytest.approx(6.26, abs=0.005)
    assert 5.0 < exact / yard < 6.26
    assert strips == 6
    assert left / INCH < 0.05
    assert exact * 5 / 6 / yard == pytest.approx(5.0, abs=0.05)


def test_without_seams_and_with_many_strips_the_rule_is_right() -> None:
    need = Need(1e6, 1.0, seam=0.0)

    rule = square_root_rule(need)

    assert rule.yield_length == pytest.approx(need.length, rel=2e-3)


def sewn_parallelogram(width: float, height: float, seam: float) -> shapely.Polygon:
    """Cut the triangle off the left, lap it over the right by both allowances."""
    cloth = shapely.box(0.0, 0.0, width, height)
    triangle = shapely.Polygon([(0.0, 0.0), (height, height), (0.0, height)])
    rest = shapely.difference(cloth, triangle)
    to_stitching = shapely.intersection(
        rest, shapely.box(0.0, 0.0, width - seam, height)
    )
    from_stitching = shapely.intersection(
        triangle, shapely.box(seam, 0.0, width, height)
    )
    moved = shapely.affinity.translate(from_stitching, width - 2.0 * seam, 0.0)
    assert shapely.intersection(to_stitching, moved).area == pytest.approx(0, abs=1e-6)
    return shapely.union(to_stitching, moved)


def ruled_strip(number: int, height: float, cut: float, seam: float) -> shapely.Polygon:
    """The strip between two lines, from stitching line to stitching line."""
    left, right = number * cut * ROOT, (number + 1) * cut * ROOT
    low, high = seam, height - seam
    return shapely.Polygon(
        [
            (left + low, low),
            (right + low, low),
            (right + high, high),
            (left + high, high),
        ]
    )


@given(rectangles)
def test_the_formula_counts_the_strips_of_the_sewn_cloth(
    rectangle: tuple[float, float, float, float],
) -> None:
    width, share, cut, seam = rectangle
    height = max(share * width, 2.0 * seam + 20.0)
    strips = tube_strips(width, cut, seam)
    sewn = sewn_parallelogram(width, height, seam)
    grown = shapely.buffer(sewn, 1e-6)
    laid = [ruled_strip(j, height, cut, seam) for j in range(strips)]

    spiral = sum(strip.area for strip in laid) / cut

    # Every strip lies in the cloth, and they do not overlap; so the spiral's area over
    # its width is its length. (At the ends of the seam a corner of the allowance
    # sticks out, half a seam allowance squared each; no strip takes it.)
    parallelogram = height * (width - 2.0 * seam)
    assert parallelogram * (1.0 - 1e-9) <= sewn.area
    assert sewn.area <= parallelogram + seam * seam + 1e-6
    assert all(shapely.contains(grown, strip) for strip in laid)
    assert shapely.union_all(laid).area == pytest.approx(spiral * cut, rel=1e-9)
    assert spiral == pytest.approx(tube_yield(width, height, cut, seam), rel=1e-9)
    if strips:
        another = ruled_strip(strips, height, cut, seam)
        assert not shapely.contains(grown, another) or (
            (width - 2 * seam) / (cut * ROOT) > strips + 1 - 1e-6
        )


@given(rectangles)
def test_one_shift_of_the_tube_joins_every_strip_to_the_next(
    rectangle: tuple[float, float, float, float],
) -> None:
    width, share, cut, seam = rectangle
    height = max(share * width, 2.0 * seam + 20.0)
    laid = [
        ruled_strip(j, height, cut, seam) for j in range(tube_strips(width, cut, seam))
    ]
    tops = [shapely.get_coordinates(strip)[[3, 2], 0] for strip in laid]
    bottoms = [shapely.get_coordinates(strip)[[0, 1], 0] for strip in laid]

    shifts = [
        value
        for top, bottom in zip(tops, bottoms[1:], strict=False)
        for value in (top - bottom)
    ]

    assert all(s == pytest.approx(shifts[0], abs=1e-6) for s in shifts)


def walk(width: float, height: float, cut: float, seam: float) -> list[float]:
    """Follow the spiral over the uncut rectangle; lengths from seam to seam.

    The sides are sewn together at their stitching lines, and so are the bottom and
    the top, one line out of step. Nothing is taken from the formula but the count.
    """
    strips = tube_strips(width, cut, seam)
    around = width - 2.0 * seam
    stretches = []
    for number in range(strips):
        x = seam + math.fmod(number * cut * ROOT + 0.5 * cut * ROOT, around)
        y = seam
        while y < height - seam - 1e-9:
            step = min(height - seam - y, width - seam - x)
            stretches.append(step * ROOT)
            x, y = x + step, y + step
            if x > width - seam - 1e-9:
                x = seam
    return stretches


@given(rectangles)
def test_walking_along_the_spiral_gives_the_yield(
    rectangle: tuple[float, float, float, float],
) -> None:
    width, share, cut, seam = rectangle
    height = max(share * width, 2.0 * seam + 20.0)

    walked = math.fsum(walk(width, height, cut, seam))

    assert walked == pytest.approx(tube_yield(width, height, cut, seam), abs=1e-6)


@given(needs)
def test_the_seams_in_the_tape_are_those_that_the_strips_cross(need: Need) -> None:
    found = cut_rectangle(need)
    if isinstance(found, NotPossible):
        return
    width, height = max(found.cut_size), min(found.cut_size)
    seam_of_triangle = shapely.LineString(
        [(width - need.seam, need.seam), (width - need.seam, height)]
    )
    laid = [
        ruled_strip(j, height, need.cut_width, need.seam) for j in range(found.strips)
    ]

    crossed = [
        shapely.intersection(strip, seam_of_triangle).length > 0.0 for strip in laid
    ]
    nearly = [
        shapely.intersection(strip, seam_of_triangle).length > 1e-5 for strip in laid
    ]

    between_strips = found.strips - 1
    assert (
        between_strips + sum(nearly)
        <= found.seams_in_tape
        <= between_strips + sum(crossed)
    )
    assert found.joins == 2


def test_a_square_crosses_the_seam_of_its_triangle_with_every_strip() -> None:
    found = cutting(cut_square(Need(3657.6, 50.8)))

    assert found.strips == 6
    assert found.seams_in_tape == 5 + 6


def test_the_count_does_not_lose_a_strip_to_rounding() -> None:
    for strips in range(2, 3000):
        for cut in (0.1 * 254, 12.7, 33.3):
            width = strips * cut * ROOT + 2.0 * 6.35
            assert tube_strips(width, cut, 6.35) == strips


def test_the_count_does_not_invent_a_strip() -> None:
    for strips in range(2, 300):
        width = strips * 33.3 * ROOT * (1.0 - 1e-7) + 2.0 * 6.35
        assert tube_strips(width, 33.3, 6.35) in {strips - 1, 0}


def test_fewer_than_two_strips_are_no_tube() -> None:
    assert tube_yield(100.0, 100.0, 40.0, 0.0) == 0.0
    assert tube_yield(10.0, 10.0, 3.0, 6.0) == 0.0


def test_the_shorter_side_first_is_a_mistake_of_the_program() -> None:
    with pytest.raises(ValueError, match="longer side comes first"):
        tube_yield(100.0, 200.0, 20.0, 6.0)


@given(needs)
def test_the_square_is_enough_and_none_smaller_is(need: Need) -> None:
    side = smallest_square(need)
    spacing = need.cut_width * ROOT
    every = [
        max(need.length / (n * ROOT), n * spacing) + 2.0 * need.seam
        for n in range(2, int(math.sqrt(need.length / need.cut_width)) + 5)
    ]
    least_strip = max(min(need.minimum_strip, need.length), need.cut_width)
    allowed = least_strip / ROOT + 2.0 * need.seam

    enough = tube_yield(side, side, need.cut_width, need.seam)

    assert enough >= need.length * (1.0 - 1e-9)
    assert side == pytest.approx(max(min(every), allowed))
    if side > allowed * (1.0 + 1e-9):
        for share in (0.9999999, 0.999, 0.99, 0.9, 0.7):
            small = side * share
            less = tube_yield(small, small, need.cut_width, need.seam)
            assert less < need.length


@given(needs)
def test_the_rectangle_is_enough_and_fits_the_cloth(need: Need) -> None:
    found = cut_rectangle(need)
    if isinstance(found, NotPossible):
        assert need.usable_width - 2 * need.seam < max(250.0, need.cut_width) / ROOT
        return
    across, along = found.cut_size
    width, height = max(across, along), min(across, along)

    assert across <= need.usable_width * (1.0 + 1e-9)
    assert found.yield_length >= need.length
    assert tube_yield(width, height, need.cut_width, need.seam) == pytest.approx(
        found.yield_length
    )
    assert found.strips >= 2
    assert min(found.strip_lengths) >= min(need.minimum_strip, need.length) * (
        1.0 - 1e-9
    )
    assert math.fsum(found.strip_lengths) == pytest.approx(found.yield_length)
    assert 0.0 <= found.waste < 1.0


@given(needs, st.floats(0.0, 1.0), st.floats(0.05, 0.999))
def test_no_other_rectangle_takes_less_off_the_bolt(
    need: Need, across_share: float, along_share: float
) -> None:
    found = cut_rectangle(need)
    if isinstance(found, NotPossible):
        return
    across = need.usable_width * across_share
    along = found.cut_size[1] * along_share
    width, height = max(across, along), min(across, along)
    strip = (height - 2.0 * need.seam) * ROOT
    allowed = max(min(need.minimum_strip, need.length), need.cut_width)

    yielded = tube_yield(width, height, need.cut_width, need.seam)

    assert yielded < need.length or strip < allowed


@given(needs, st.floats(0.0, 5000.0))
def test_a_longer_tape_never_takes_less_cloth(need: Need, more: float) -> None:
    longer = Need(
        need.length + more,
        need.cut_width,
        seam=need.seam,
        usable_width=need.usable_width,
        minimum_strip=need.minimum_strip,
    )
    short, long = cut_rectangle(need), cut_rectangle(longer)

    assert smallest_square(longer) >= smallest_square(need) * (1.0 - 1e-12)
    if isinstance(short, Cutting) and isinstance(long, Cutting):
        assert long.cut_size[1] >= short.cut_size[1] * (1.0 - 1e-9)


@given(needs)
def test_lines_divide_the_parallelogram_into_strips_and_a_rest(need: Need) -> None:
    found = cut_rectangle(need)
    if isinstance(found, NotPossible):
        return
    inner = max(found.cut_size) - 2.0 * need.seam
    rest = inner - found.strips * need.cut_width * ROOT

    assert found.lines == (found.strips - 1 if rest < 1e-6 else found.strips)
    assert found.line_spacing == need.cut_width


def test_a_short_tape_lies_across_and_a_long_one_along_the_bolt() -> None:
    short = cutting(cut_rectangle(Need(3000.0, 40.0)))
    long = cutting(cut_rectangle(Need(100000.0, 40.0)))

    assert short.cut_size[0] > short.cut_size[1]
    assert long.cut_size[0] < long.cut_size[1]


def test_a_square_wider_than_the_cloth_is_not_possible() -> None:
    found = cut_square(Need(60000.0, 50.0))

    assert isinstance(found, NotPossible)
    assert found.method is Method.TUBE_FROM_SQUARE
    assert "the cloth is 1067 mm (42 in) wide; cut a rectangle" in found.reason


@pytest.mark.parametrize(
    ("width", "cut", "minimum"),
    [(10.0, 20.0, 0.0), (40.0, 50.0, 0.0), (100.0, 10.0, 150.0)],
)
def test_cloth_too_narrow_for_a_tube_is_not_possible(
    width: float, cut: float, minimum: float
) -> None:
    found = cut_rectangle(Need(1000.0, cut, usable_width=width, minimum_strip=minimum))

    assert isinstance(found, NotPossible)
    assert "use a wider cloth" in found.reason


def test_a_tube_of_very_many_strips_is_refused() -> None:
    found = cut_rectangle(Need(1e7, 5.0, usable_width=60.0, minimum_strip=0.0))

    assert isinstance(found, NotPossible)
    assert "more than 10000 strips" in found.reason


# The rectangle that a person has


def test_a_rectangle_of_14_by_44_inches() -> None:
    # By hand: (44 - 0.5)/(2 sqrt 2) = 15.4, so 15 strips of sqrt 2 x 13.5 in: 286.4 in.
    need = Need(250 * INCH, 2 * INCH, seam=0.25 * INCH)

    found = cut_from_rectangle(need, 14 * INCH, 44 * INCH)

    assert found.strips == 15
    assert found.strip_length / INCH == pytest.approx(ROOT * 13.5)
    assert found.yield_length / INCH == pytest.approx(15 * ROOT * 13.5)
    assert found.spare / INCH == pytest.approx(15 * ROOT * 13.5 - 250)
    assert found.short == 0.0
    assert found.by_area / INCH == pytest.approx(14 * 44 / 2)
    assert found.rule_short / INCH == pytest.approx(308 - 15 * ROOT * 13.5)


def test_a_rectangle_that_is_too_small_says_what_is_missing() -> None:
    need = Need(400 * INCH, 2 * INCH, seam=0.25 * INCH)

    found = cut_from_rectangle(need, 44 * INCH, 14 * INCH)

    assert found.short / INCH == pytest.approx(400 - 15 * ROOT * 13.5)
    assert found.spare == 0.0
    assert found.cut_size == (44 * INCH, 14 * INCH)


@pytest.mark.parametrize(("width", "height"), [(60.0, 60.0), (500.0, 20.0)])
def test_a_rectangle_that_makes_no_tube_gives_nothing(
    width: float, height: float
) -> None:
    found = cut_from_rectangle(Need(2000.0, 50.0), width, height)

    assert (found.strips, found.yield_length, found.short) == (0, 0.0, 2000.0)


@given(
    st.floats(300.0, 20000.0),
    st.floats(10.0, 80.0),
    st.floats(0.0, 10.0),
    st.floats(150.0, 1500.0),
    st.floats(150.0, 1500.0),
)
def test_the_part_to_cut_is_enough_and_no_smaller_part_is(
    length: float, cut: float, seam: float, width: float, height: float
) -> None:
    need = Need(length, cut, seam=seam, minimum_strip=0.0)
    found = cut_from_rectangle(need, width, height)
    longer, shorter = found.cut_size

    assert (found.width, found.height) == (max(width, height), min(width, height))
    assert longer <= found.width * (1 + 1e-9)
    assert shorter <= found.height * (1 + 1e-9)
    if found.short:
        return
    again = cut_from_rectangle(need, longer, shorter)
    assert again.yield_length >= length * (1.0 - 1e-9)
    for strips in range(2, found.strips + 1):
        inner = max(length / strips, cut) / ROOT
        side = inner + 2 * seam
        if side <= found.height:
            other = max(strips * cut * ROOT + 2 * seam, side)
            assert longer * shorter <= side * other * (1 + 1e-9)


@given(
    st.floats(300.0, 20000.0),
    st.floats(10.0, 80.0),
    st.sampled_from(list(Unit)),
)
def test_a_size_rounded_to_the_ruler_still_gives_the_tape(
    length: float, cut: float, unit: Unit
) -> None:
    need = Need(length, cut, usable_width=10_000.0)
    square = cutting(cut_square(need)).cut_size
    rectangle = cutting(cut_rectangle(need)).cut_size

    for across, along in (square, rectangle):
        sides = ruler_size(across, unit), ruler_size(along, unit)
        assert cut_from_rectangle(need, *sides).short == 0.0


@pytest.mark.parametrize("side", [0.0, -1.0, math.nan, math.inf])
def test_a_side_that_cannot_be_is_refused(side: float) -> None:
    with pytest.raises(SettingsError, match="a side of the rectangle is"):
        cut_from_rectangle(Need(1000.0, 50.0), 500.0, side)
