import math

import numpy as np
import pytest
from drawn import drawing, drawn, pieces_of
from hypothesis import given
from hypothesis import strategies as st
from shapes import circle_outline, polygon, rectangle, rounded_rectangle
from strategies import closed_outlines
from traced import traced

from edgefinder.findings import Finding, Severity
from edgefinder.geometry.affine import Affine, transform
from edgefinder.geometry.path import Path, reverse_path, rotate_path
from edgefinder.geometry.segments import concatenate, split
from edgefinder.importers.drawing import DrawnLine, Reading
from edgefinder.pattern import doubles
from edgefinder.pattern.doubles import first_crossing
from edgefinder.pattern.finding import find_pieces
from edgefinder.pattern.outlines import find_outlines
from edgefinder.pattern.settings import FindingSettings, SizeSource


def found(
    *lines: DrawnLine, settings: FindingSettings | None = None
) -> tuple[list[DrawnLine], list[Finding]]:
    outlines, findings = find_outlines(drawing(*lines), settings or FindingSettings())
    return [outline.line for outline in outlines], list(findings)


def at(path: Path, by: complex) -> Path:
    shift = Affine(1, 0, 0, 1, by.real, by.imag)
    return Path(transform(path.segments, shift), path.closed)


@given(outline=closed_outlines(), first=st.integers(0, 50), backwards=st.booleans())
def test_an_outline_that_is_drawn_twice_is_one_wherever_it_begins(
    outline: Path, first: int, backwards: bool
) -> None:
    again = rotate_path(outline, first % len(outline.segments))
    again = reverse_path(again) if backwards else again
    once, twice = drawn(outline), drawn(again, where="test.svg: line 9")

    lines, findings = found(once, twice)

    assert lines == [once]
    assert [f.code for f in findings if f.code == "drawn-twice"] == ["drawn-twice"]


def test_what_is_drawn_twice_is_a_warning_that_names_both() -> None:
    fill = drawn(rectangle(90, 60), where="test.svg: line 2")
    stroke = drawn(rectangle(90, 60), where="test.svg: line 3")

    _, (finding,) = found(fill, stroke)

    assert finding.severity is Severity.WARNING
    assert (finding.where, finding.message) == (
        "test.svg: line 3",
        "is the same outline as test.svg: line 2; it was taken once",
    )


def test_more_vertices_on_the_same_outline_make_no_other() -> None:
    path = rounded_rectangle(90, 60, 20)
    half = np.full(len(path.segments), 0.5)
    ends = (split(path.segments, 0 * half, half), split(path.segments, half, 2 * half))
    order = np.arange(2 * len(half)).reshape(2, -1).T.ravel()
    finer = Path(concatenate(ends).take(order), closed=True)

    assert len(found(drawn(path), drawn(finer))[0]) == 1


@pytest.mark.parametrize(
    ("apart", "count"), [(0.0, 1), (0.03, 1), (0.2, 2), (1.0, 2), (5.0, 2)]
)
def test_outlines_further_apart_than_the_tolerance_are_two(
    apart: float, count: int
) -> None:
    circles = circle_outline(60), circle_outline(60, apart + 0j)

    assert len(pieces_of(*(drawn(circle) for circle in circles))) == count


def test_a_wider_tolerance_takes_more_for_one() -> None:
    circles = drawn(circle_outline(60)), drawn(circle_outline(60, 0.2 + 0j))

    assert len(found(*circles, settings=FindingSettings(join_tolerance=0.3))[0]) == 1


def test_shapes_of_one_centre_length_and_area_may_be_two() -> None:
    # A notch that is turned from one side to the other.
    left = polygon(0, 200, 200 + 100j, 120 + 100j, 120 + 60j, 80 + 60j, 80 + 100j, 100j)
    mirrored = polygon(0, 80, 80 + 40j, 120 + 40j, 120, 200, 200 + 100j, 100j)

    assert len(found(drawn(left), drawn(at(mirrored, 0)))[0]) == 2


def test_one_shape_in_two_sizes_is_two_pieces() -> None:
    sized = [drawn(rectangle(90, 60), layer=f"Size {size}") for size in "SM"]
    coloured = [drawn(rectangle(90, 60), colour=c) for c in ("#ff0000", "#0000ff")]

    assert len(found(*sized)[0]) == 2
    by_colour = FindingSettings(sizes=SizeSource.COLOUR)
    assert len(found(*coloured, settings=by_colour)[0]) == 2
    assert len(found(*coloured)[0]) == 1


def test_the_drawing_that_says_its_size_is_the_one_that_stays() -> None:
    plain, sized = drawn(rectangle(90, 60)), drawn(rectangle(90, 60), layer="Size S")

    assert found(plain, sized)[0] == [sized]
    assert found(sized, plain)[0] == [sized]
    again = drawn(rectangle(90, 60))
    assert found(plain, sized, again)[0] == [sized]


def test_a_hundred_copies_are_one_piece() -> None:
    copies = [drawn(rounded_rectangle(90, 60, 9)) for _ in range(100)]

    lines, findings = found(*copies)

    assert len(lines) == 1
    assert len(findings) == 99


def test_a_copy_is_found_among_many_tracings_of_one_shape() -> None:
    outline = rounded_rectangle(200, 150, 30)
    many = [traced(outline, 4.0, 0.3, seed) for seed in range(70)]
    last = many[-1].segments.control
    rounded = polygon(*np.roll(np.round(last[:, 0], 1), 5).tolist())
    lines = [
        drawn(path, where=f"test.svg: line {number}")
        for number, path in enumerate([*many, rounded], start=1)
    ]

    stay, findings = found(*lines)

    assert stay == lines[:70]
    assert [f.message for f in findings if f.code == "drawn-twice"] == [
        "is the same outline as test.svg: line 70; it was taken once"
    ]


def test_after_too_much_work_outlines_are_taken_as_drawn(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    path = rounded_rectangle(200, 150, 30)
    copies = [drawn(path) for _ in range(4)]
    monkeypatch.setattr(doubles, "MOST_VERTICES", 2 * doubles.FEW - 1)

    _, findings = found(*copies)

    assert [f.code for f in findings].count("drawn-twice") == 2


# Crossings


def test_the_first_crossing_is_the_first_along_the_outline() -> None:
    # The way back crosses the side from 0 to 300 at 200, and then at 100.
    zigzag = np.array(
        [0, 300, 300 + 50j, 200 + 50j, 200 - 50j, 100 - 50j, 100 + 50j, 50j]
    )

    assert first_crossing(zigzag) == pytest.approx(100)
    assert first_crossing(np.roll(zigzag, -2)) == pytest.approx(200)


def test_outlines_without_crossing_have_none() -> None:
    assert first_crossing(np.array([0, 100, 100 + 50j, 50j])) is None
    assert first_crossing(np.array([0, 100, 50])) is None


@given(turn=st.floats(0, 2 * math.pi), x=st.floats(-1000, 1000))
def test_a_crossing_turns_and_moves_with_the_outline(turn: float, x: float) -> None:
    bow = np.array([0, 200 + 100j, 200, 100j])
    way = complex(math.cos(turn), math.sin(turn))

    assert first_crossing(bow * way + x) == pytest.approx((100 + 50j) * way + x)


def test_an_outline_that_crosses_itself_is_told_with_the_place() -> None:
    eight = polygon(0, 200 + 100j, 200, 100j)  # both halves cancel

    (finding,) = find_pieces_findings(drawn(eight))

    assert finding.severity is Severity.WARNING
    assert finding.message == (
        "the outline crosses itself, first at (100.0, 50.0) mm; its area cannot be "
        "trusted"
    )


def test_an_outline_with_a_spike_runs_back_along_itself() -> None:
    spike = polygon(0, 200, 200 + 100j, 100 + 100j, 100 + 200j, 100 + 100j, 100j)

    (finding,) = find_pieces_findings(drawn(spike))

    assert "touches itself or runs back along itself" in finding.message


def find_pieces_findings(*lines: DrawnLine) -> tuple[Finding, ...]:
    return find_pieces(Reading(drawing(*lines), ()), FindingSettings()).findings
