import math
import random
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from edgefinder.constants import JOIN_TOLERANCE_MM
from edgefinder.geometry.arclength import lengths
from edgefinder.geometry.path import Path, reverse_path
from edgefinder.geometry.segments import (
    Kind,
    Segments,
    arc_segments,
    circle,
    concatenate,
    cubic_segments,
    end_points,
    line_segments,
    start_points,
)
from edgefinder.importers.chaining import (
    SAME_POINT_MM,
    Chained,
    Outline,
    chain_lines,
    say_branch,
)
from edgefinder.importers.drawing import DrawnLine

SQUARE = (0j, 100 + 0j, 100 + 100j, 100j)


def drawn(
    segments: Segments,
    *,
    layer: str | None = "1",
    name: str = "a",
    closed: bool = False,
) -> DrawnLine:
    return DrawnLine(
        path=Path(segments, closed),
        id=name,
        kind="LINE",
        layer=layer,
        groups=(),
        classes=(),
        colour=None,
        label=None,
        where=f"front.dxf, LINE {name}",
    )


def line(start: complex, end: complex, name: str = "a", layer: str = "1") -> DrawnLine:
    return drawn(line_segments(start, end), name=name, layer=layer)


def sides(corners: tuple[complex, ...]) -> list[DrawnLine]:
    return [
        line(a, b, str(i)) for i, (a, b) in enumerate(pairwise((*corners, corners[0])))
    ]


def chain(lines: list[DrawnLine]) -> Chained:
    return chain_lines(lines, tolerance=JOIN_TOLERANCE_MM)


def only(chained: Chained) -> Outline:
    assert not chained.leftover
    (outline,) = chained.outlines
    return outline


def gaps(path: Path) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    jump = end_points(path.segments) - np.roll(start_points(path.segments), -1)
    size: np.ndarray[tuple[int], np.dtype[np.float64]] = np.abs(jump)
    return size


def area(outline: Outline) -> float:
    points = start_points(outline.path.segments)
    polygon = shapely.Polygon(np.stack([points.real, points.imag], axis=1))
    return float(polygon.area)


def test_four_lines_end_to_end_become_one_closed_outline() -> None:
    chained = chain(sides(SQUARE))

    outline = only(chained)
    assert outline.path.closed
    assert_allclose(start_points(outline.path.segments), SQUARE)
    assert [source.id for source in outline.sources] == ["0", "1", "2", "3"]
    assert_allclose(outline.source_of_segment, [0, 1, 2, 3])
    assert chained.findings == ()


@given(st.randoms(use_true_random=False))
@settings(max_examples=30)
def test_order_and_direction_of_the_lines_do_not_matter(
    shuffled: random.Random,
) -> None:
    corners = tuple(50 * np.exp(2j * math.pi * k / 9) for k in range(9))
    lines = [
        drawn(reverse_path(side.path).segments, name=str(side.id))
        if shuffled.random() < 0.5
        else side
        for side in sides(corners)
    ]
    shuffled.shuffle(lines)

    outline = only(chain(lines))

    assert gaps(outline.path).max() < SAME_POINT_MM
    assert area(outline) == pytest.approx(9 / 2 * 50**2 * math.sin(2 * math.pi / 9))


def test_every_segment_knows_the_line_that_it_came_from() -> None:
    bend = drawn(
        concatenate(
            [line_segments([100, 120], [120, 120 + 50j]), line_segments(120 + 50j, 50j)]
        ),
        name="bend",
    )
    lines = [bend, line(0, 50j, "left"), line(0, 100, "bottom")]

    outline = only(chain(lines))

    names = [outline.sources[i].id for i in outline.source_of_segment]
    assert names == ["bend", "bend", "bend", "left", "bottom"]
    for row, owner in enumerate(outline.source_of_segment):
        ends = {
            complex(start_points(outline.path.segments)[row]),
            complex(end_points(outline.path.segments)[row]),
        }
        source = outline.sources[owner].path.segments
        assert ends <= {*start_points(source), *end_points(source)}


def test_a_closed_line_is_an_outline_as_it_is() -> None:
    ring = drawn(circle(0, 30), closed=True)

    outline = only(chain([ring]))

    assert outline.path is ring.path
    assert outline.sources == (ring,)
    assert outline.source_of_segment.shape == (1,)


def test_one_open_line_whose_ends_meet_is_closed() -> None:
    corners = np.array([*SQUARE, 0j])
    chained = chain([drawn(line_segments(corners[:-1], corners[1:]))])

    assert only(chained).path.closed


def test_lines_that_do_not_close_are_left_as_they_are() -> None:
    lines = sides(SQUARE)[:3]

    chained = chain(lines)

    assert chained.outlines == ()
    assert chained.leftover == tuple(lines)


def test_lines_of_different_layers_are_not_joined() -> None:
    lines = sides(SQUARE)
    lines[2] = line(SQUARE[2], SQUARE[3], layer="14")

    chained = chain(lines)

    assert chained.outlines == ()
    assert chained.leftover == tuple(lines)


def test_outlines_come_in_drawing_order_whatever_their_layers() -> None:
    near, far = sides(SQUARE), sides(tuple(corner + 500 for corner in SQUARE))
    far = [line(s.path.start, s.path.end, f"far {s.id}", layer="0") for s in far]
    mixed = [far[0], *near, *far[1:]]

    chained = chain(mixed)

    assert [outline.sources[0].id for outline in chained.outlines] == ["far 0", "0"]


def test_a_gap_within_the_tolerance_is_closed_and_said() -> None:
    lines = sides(SQUARE)
    lines[1] = line(100 + 0.03j, 100 + 100j, "1")

    chained = chain(lines)

    outline = only(chained)
    assert len(outline.path.segments) == 4
    assert gaps(outline.path).max() == 0
    (finding,) = chained.findings
    assert finding.code == "gap-closed"
    assert finding.message == (
        "1 gap between line ends of its outline was closed: 0.03 mm"
    )


@pytest.mark.parametrize("gap", [1e-5, 0.00353, 0.01 * math.sqrt(2)])
def test_a_gap_that_nobody_can_see_is_closed_without_a_word(gap: float) -> None:
    lines = sides(SQUARE)
    lines[1] = line(100 + 1j * gap, 100 + 100j, "1")

    chained = chain(lines)

    assert gaps(only(chained).path).max() == 0
    assert chained.findings == ()


def test_a_gap_wider_than_the_tolerance_stays_open() -> None:
    lines = sides(SQUARE)
    lines[1] = line(100 + 0.051j, 100 + 100j, "1")

    assert chain(lines).outlines == ()


def test_closing_a_gap_moves_the_longer_segment() -> None:
    short = line(0.03 + 0j, 1 + 0j, "short")
    lines = [short, line(1, 50 + 40j, "b"), line(50 + 40j, 0, "c")]

    outline = only(chain(lines))

    assert_allclose(outline.path.segments.control[0, :2], [0.03, 1])
    assert outline.path.end == 0.03


@pytest.mark.parametrize("gap", [0.04, 0.04j, -0.03 + 0.02j])
def test_an_arc_moved_onto_its_neighbour_stays_a_circle(gap: complex) -> None:
    half = arc_segments(0, 50, 50j, 0, math.pi)
    chained = chain([drawn(half, name="arc"), line(-50 + gap, 50, "chord")])

    outline = only(chained)

    arc = outline.path.segments.control[0]
    assert gaps(outline.path).max() < 1e-12
    assert outline.path.segments.kind[0] == Kind.ARC
    assert_allclose(arc[2], 1j * arc[1], rtol=1e-12)  # square and equal: a circle
    assert lengths(outline.path.segments)[0] == pytest.approx(50 * math.pi, abs=0.07)


def test_a_cubic_keeps_its_direction_when_its_end_is_moved() -> None:
    curve = cubic_segments([[0, 30j, 60 + 60j, 100 + 60j]])
    tail = line(100 + 60.04j, 100, "tail")
    chained = chain([drawn(curve, name="curve"), tail, line(100, 0, "bottom")])

    outline = only(chained)

    moved = outline.path.segments.control[0]
    assert moved[3] == 100 + 60.04j
    assert moved[3] - moved[2] == pytest.approx(40)
    assert_allclose(moved[:2], curve.control[0, :2])


def test_an_arc_that_is_nearly_a_circle_gets_a_bridge() -> None:
    radius, missing = 40.0, 0.001
    ring = arc_segments(0, radius, 1j * radius, 0, 2 * math.pi - missing)

    outline = only(chain([drawn(ring)]))

    assert list(outline.path.segments.kind) == [Kind.ARC, Kind.LINE]
    assert list(outline.source_of_segment) == [0, 0]
    assert gaps(outline.path).max() < 1e-12
    assert lengths(outline.path.segments).sum() == pytest.approx(
        radius * (2 * math.pi - missing) + 2 * radius * math.sin(missing / 2)
    )


def test_a_branch_leaves_the_lines_as_they_are_and_gives_its_place() -> None:
    lines = [*sides(SQUARE), line(100 + 100j, 130 + 140j, "spur")]

    chained = chain(lines)

    assert chained.outlines == ()
    assert chained.leftover == tuple(lines)
    (finding,) = chained.findings
    assert finding.code == "branching-lines"
    assert finding.message.startswith("3 line ends meet at (100.0, 100.0) mm")
    (branch,) = chained.branches
    assert branch.place == 100 + 100j
    assert branch.lines == (lines[1], lines[2], lines[4])
    assert finding.message == say_branch(branch)


def test_branches_are_named_one_by_one_however_many_there_are() -> None:
    corners = tuple(200 * np.exp(2j * math.pi * k / 30) for k in range(30))

    chained = chain([*sides(corners), *sides(corners)])

    assert_allclose(
        sorted(np.angle([b.place for b in chained.branches])), sorted(np.angle(corners))
    )
    assert all(len(branch.lines) == 4 for branch in chained.branches)


def test_whole_outlines_have_no_branches() -> None:
    assert chain(sides(SQUARE)).branches == ()


def test_a_branch_in_one_outline_does_not_touch_another() -> None:
    broken = [*sides(SQUARE), line(0, -50, "spur")]
    whole = sides(tuple(corner + 500 for corner in SQUARE))

    chained = chain([*broken, *whole])

    assert [outline.sources for outline in chained.outlines] == [tuple(whole)]
    assert chained.leftover == tuple(broken)


def test_three_ends_that_nearly_meet_are_a_branch_too() -> None:
    lines = [line(0, 100, "a"), line(0.02, 50j, "b"), line(0.02j, -80, "c")]

    (finding,) = chain(lines).findings

    assert finding.code == "branching-lines"


def test_lines_drawn_twice_are_not_guessed_at() -> None:
    corners = tuple(200 * np.exp(2j * math.pi * k / 30) for k in range(30))

    chained = chain([*sides(corners), *sides(corners)])

    assert chained.outlines == ()
    assert len(chained.leftover) == 60
    assert len(chained.findings) == 11
    assert "20 more places" in chained.findings[-1].message


def test_short_steps_of_a_digitised_outline_do_not_melt() -> None:
    count = 600
    corners = tuple(3 * np.exp(2j * math.pi * k / count) for k in range(count))
    assert abs(corners[1] - corners[0]) < JOIN_TOLERANCE_MM

    outline = only(chain(sides(corners)))

    assert len(outline.path.segments) == count


def test_a_speck_is_not_an_outline() -> None:
    speck = line(0, 0.03)

    chained = chain([speck])

    assert chained.leftover == (speck,)


def test_nothing_gives_nothing() -> None:
    chained = chain([])

    assert (chained.outlines, chained.leftover, chained.findings) == ((), (), ())


def test_ends_on_one_spot_do_not_multiply() -> None:
    star = [line(0, 100 * np.exp(1j * k), str(k)) for k in range(3000)]

    chained = chain(star)

    assert len(chained.leftover) == 3000
    assert "3000 line ends" in chained.findings[0].message


@given(
    st.lists(
        st.complex_numbers(max_magnitude=0.02, allow_nan=False, allow_infinity=False),
        min_size=4,
        max_size=4,
    )
)
@settings(max_examples=40)
def test_small_errors_of_the_ends_change_the_length_by_no_more(
    errors: list[complex],
) -> None:
    lines = [
        line(side.path.start + error, side.path.end, str(side.id))
        for side, error in zip(sides(SQUARE), errors, strict=True)
    ]

    outline = only(chain(lines))

    total = lengths(outline.path.segments).sum()
    assert abs(total - 400) <= 2 * sum(map(abs, errors)) + 1e-9
    assert gaps(outline.path).max() <= SAME_POINT_MM
