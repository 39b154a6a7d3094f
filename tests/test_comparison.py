"""What differs between two patterns, by hand and by properties."""

from collections import Counter
from dataclasses import replace

import pytest
from compared import (
    FABRIC,
    FRONT,
    NECK,
    PATTERN,
    RUN,
    SIDE,
    SIZE,
    TAPE,
    of_size,
    patterns,
    with_edges,
    with_places,
    with_run,
)
from hypothesis import given
from hypothesis import strategies as st

from edgefinder.curvature.verdict import Verdict
from edgefinder.reports.compared_records import (
    ComparedBound,
    ComparedEdge,
    ComparedPattern,
    ComparedSize,
)
from edgefinder.reports.comparison import compare_patterns, piece_names
from edgefinder.reports.differences import Change, Difference

MIRROR = {
    Change.NEW: Change.GONE,
    Change.LONGER: Change.SHORTER,
    Change.WIDER: Change.NARROWER,
    Change.MORE: Change.LESS,
    Change.NEWLY_TIGHT: Change.NO_LONGER_TIGHT,
    Change.LIES_WORSE: Change.LIES_BETTER,
    Change.CHANGED: Change.CHANGED,
}
MIRROR |= {value: key for key, value in MIRROR.items()}

Said = tuple[str | None, str, str, object, object]


def said(old: ComparedPattern, new: ComparedPattern, within: float = 1.0) -> list[Said]:
    """Edge, figure, change, old and new of every difference of the only size."""
    (size,) = compare_patterns(old, new, within).sizes
    assert size.change is None
    return [
        (d.thing.edge, d.what, str(d.change), d.old, d.new) for d in size.differences
    ]


def mirrored(difference: Difference) -> Difference:
    return replace(
        difference,
        change=MIRROR[difference.change],
        old=difference.new,
        new=difference.old,
    )


# Properties


@given(patterns(), st.floats(0, 10))
def test_nothing_differs_from_itself(pattern: ComparedPattern, within: float) -> None:
    assert compare_patterns(pattern, pattern, within).is_same


@given(patterns(), patterns(), st.sampled_from([0.0, 1.0, 2.0]))
def test_the_other_way_round_everything_is_mirrored(
    one: ComparedPattern, other: ComparedPattern, within: float
) -> None:
    there, back = (
        compare_patterns(one, other, within),
        compare_patterns(other, one, within),
    )

    assert there.is_same == back.is_same
    assert Counter(
        (s.size, s.change, Counter(s.differences).total()) for s in there.sizes
    ) == Counter(
        (s.size, s.change and MIRROR[s.change], Counter(s.differences).total())
        for s in back.sizes
    )
    assert Counter(d for s in there.sizes for d in s.differences) == Counter(
        mirrored(d) for s in back.sizes for d in s.differences
    )


@given(patterns(), patterns(), st.floats(0, 10), st.floats(0, 10))
def test_a_greater_tolerance_never_shows_more(
    one: ComparedPattern, other: ComparedPattern, less: float, more: float
) -> None:
    less, more = sorted((less, more))

    narrow, wide = (
        Counter(d for s in compare_patterns(one, other, w).sizes for d in s.differences)
        for w in (less, more)
    )

    assert wide <= narrow


@given(patterns(), patterns(), st.sampled_from([0.0, 1.0, 2.0]))
def test_a_length_that_is_shown_differs_by_more_than_the_tolerance(
    one: ComparedPattern, other: ComparedPattern, within: float
) -> None:
    for size in compare_patterns(one, other, within).sizes:
        for d in size.differences:
            if d.change in {Change.LONGER, Change.SHORTER}:
                assert d.by is not None
                assert abs(d.by) > within
                assert (d.by > 0) == (d.change is Change.LONGER)


# Pieces and edges


@pytest.mark.parametrize(
    ("by", "changes"),
    [(0.999, []), (1.0, []), (-1.0, []), (1.001, ["longer"]), (-1.5, ["shorter"])],
)
def test_a_length_on_the_tolerance_is_equal(by: float, changes: list[str]) -> None:
    new = with_edges(NECK, replace(SIDE, length=SIDE.length + by))

    found = said(PATTERN, new)

    assert found == [
        ("2", "length_mm", change, 400.0, 400.0 + by) for change in changes
    ]


def test_the_last_digits_of_a_sum_do_not_count_without_a_tolerance() -> None:
    new = with_edges(NECK, replace(SIDE, length=SIDE.length + 1e-9))

    assert said(PATTERN, new, within=0.0) == []


def test_an_edge_that_came_or_went_is_new_or_gone_with_its_length() -> None:
    more = with_edges(NECK, SIDE, ComparedEdge(3, "3", 50.0, "raw", 0.0, None))

    assert said(PATTERN, more) == [("3", "length_mm", "new", None, 50.0)]
    assert said(more, PATTERN) == [("3", "length_mm", "gone", 50.0, None)]


def test_finish_and_allowance_are_chosen_and_have_no_tolerance() -> None:
    new = with_edges(
        replace(NECK, finish="seam", bound_length=None), replace(SIDE, allowance=10.5)
    )

    assert said(PATTERN, new) == [
        ("1", "finish", "changed", "bound", "seam"),
        ("1", "bound_length_mm", "gone", 180.0, None),
        ("2", "allowance_mm", "wider", 10.0, 10.5),
    ]


def test_a_piece_is_found_again_without_case_and_a_gone_one_is_told_once() -> None:
    shouted = replace(FRONT, name="FRONT ")
    pocket = replace(FRONT, name="pocket", perimeter=300.0)

    assert said(PATTERN, of_size(replace(SIZE, pieces=(shouted,)))) == []
    (found,) = said(of_size(replace(SIZE, pieces=(FRONT, pocket))), PATTERN)
    assert found == (None, "perimeter_mm", "gone", 300.0, None)


def test_how_often_a_piece_is_cut_is_compared() -> None:
    new = of_size(replace(SIZE, pieces=(replace(FRONT, cut=2),)))

    assert said(PATTERN, new) == [(None, "cut", "more", 1, 2)]


def test_edges_are_paired_by_what_the_job_file_calls_them() -> None:
    """Edge 1 was split in two, so that the numbers after it have moved."""
    new = with_edges(
        replace(NECK, number=1, label="1a", length=120.0),
        replace(NECK, number=2, label="1b", length=80.0),
        replace(SIDE, number=3, label="2", length=402.5),
    )

    assert said(PATTERN, new) == [
        ("1a", "length_mm", "new", None, 120.0),
        ("1b", "length_mm", "new", None, 80.0),
        ("2", "length_mm", "longer", 400.0, 402.5),
        ("1", "length_mm", "gone", 200.0, None),
    ]


def test_edges_with_names_are_paired_whatever_their_number() -> None:
    old = with_edges(replace(NECK, label="neck"), replace(SIDE, label="side"))
    new = with_edges(
        ComparedEdge(1, "shoulder", 60.0, "seam", 10.0, None),
        replace(NECK, number=2, label="neck", length=205.0),
        replace(SIDE, number=3, label="side"),
    )

    assert said(old, new) == [
        ("shoulder", "length_mm", "new", None, 60.0),
        ("neck", "length_mm", "longer", 200.0, 205.0),
    ]


def test_an_edge_that_was_given_a_name_since_is_paired_by_its_number() -> None:
    named = with_edges(replace(NECK, label="neck", length=205.0), SIDE)
    bound = ComparedBound("front", "neck", mirrored=False, length=180.0)
    new = of_size(replace(named.sizes[0], runs=(replace(RUN, edges=(bound,)),)))

    assert said(PATTERN, new) == [("neck", "length_mm", "longer", 200.0, 205.0)]
    assert said(new, PATTERN) == [("neck", "length_mm", "shorter", 205.0, 200.0)]


def test_one_number_with_two_names_is_two_edges() -> None:
    old = with_edges(replace(NECK, label="neck"), SIDE)
    new = with_edges(replace(NECK, label="collar"), SIDE)

    changes = {(edge, change) for edge, _, change, *_ in said(old, new)}

    assert {("neck", "gone"), ("collar", "new")} <= changes


# How the tape lies


@pytest.mark.parametrize(
    ("old", "new", "what", "change"),
    [
        ([], [Verdict.TOO_TIGHT], "verdict", "newly too tight"),
        ([Verdict.STEAM], [Verdict.MITRE], "verdict", "newly too tight"),
        ([Verdict.TOO_TIGHT], [Verdict.STEAM], "verdict", "no longer too tight"),
        ([Verdict.TOO_TIGHT], [], "verdict", "no longer too tight"),
        ([], [Verdict.STEAM], "verdict", "lies worse"),
        ([Verdict.STEAM], [], "verdict", "lies better"),
        ([Verdict.TOO_TIGHT], [Verdict.MITRE], "verdict", "lies worse"),
        ([Verdict.TOO_TIGHT], [Verdict.TOO_TIGHT] * 2, "too_tight_places", "more"),
        ([Verdict.MITRE] * 3, [Verdict.MITRE], "too_tight_places", "less"),
    ],
)
def test_how_the_tape_lies_is_told_by_the_worst_place(
    old: list[Verdict], new: list[Verdict], what: str, change: str
) -> None:
    (found,) = said(with_places(*old), with_places(*new), within=1000.0)

    assert found[:3] == ("1", what, change)


def test_more_places_to_steam_are_no_difference() -> None:
    assert said(with_places(Verdict.STEAM), with_places(*[Verdict.STEAM] * 3)) == []


def test_a_new_run_that_is_too_tight_is_told() -> None:
    old = of_size(replace(SIZE, runs=()))

    found = said(old, with_places(Verdict.TOO_TIGHT))

    assert ("1", "verdict", "newly too tight", None, "too tight") in found
    assert (None, "tape_to_cut_mm", "new", None, 200.0) in found


def test_a_new_run_that_lies_flat_is_told_by_its_tape_alone() -> None:
    assert said(of_size(replace(SIZE, runs=())), PATTERN) == [
        (None, "tape_to_cut_mm", "new", None, 200.0)
    ]


# Runs, tape, cloth


def test_what_was_chosen_for_a_run_is_compared() -> None:
    new = replace(RUN, tape="wide", is_closed=True, times=2, tape_to_cut=400.0)

    assert said(PATTERN, with_run(new)) == [
        (None, "tape", "changed", "main", "wide"),
        (None, "closed", "changed", False, True),
        (None, "times", "more", 1, 2),
        (None, "tape_to_cut_mm", "longer", 200.0, 400.0),
    ]


def test_an_edge_that_came_to_a_run_is_told_with_its_bound_length() -> None:
    added = ComparedBound("front", "2", mirrored=True, length=390.0)
    new = replace(RUN, edges=(*RUN.edges, added))

    assert said(PATTERN, with_run(new)) == [
        ("2 mirrored", "bound_mm", "new", None, 390.0)
    ]


def test_another_order_of_edges_is_told() -> None:
    other = ComparedBound("front", "2", mirrored=False, length=390.0)
    one = with_run(replace(RUN, edges=(*RUN.edges, other)))
    two = with_run(replace(RUN, edges=(other, *RUN.edges)))

    assert said(one, two) == [
        (None, "order", "changed", "front 1, front 2", "front 2, front 1")
    ]


def test_tape_and_cloth_are_compared() -> None:
    tape = replace(TAPE, finished_width=9.5, cloth="voile", total=205.0)
    fabric = replace(FABRIC, least_waste=None, least_cloth=300.0, packets=2)

    new = of_size(replace(SIZE, tapes=(tape,), fabric=(fabric,)))

    assert said(PATTERN, new) == [
        (None, "finished_width_mm", "wider", 9.0, 9.5),
        (None, "cloth", "changed", "lawn", "voile"),
        (None, "total_mm", "longer", 200.0, 205.0),
        (None, "least_waste_buy_mm", "gone", 300.0, None),
        (None, "least_cloth_buy_mm", "more", 200.0, 300.0),
        (None, "packets", "new", None, 2),
    ]


def test_more_cloth_to_buy_counts_whatever_the_tolerance() -> None:
    new = of_size(replace(SIZE, fabric=(replace(FABRIC, least_waste=301.0),)))

    assert said(PATTERN, new, within=1e6) == [
        (None, "least_waste_buy_mm", "more", 300.0, 301.0)
    ]


# Sizes and sides


def test_a_size_that_was_renamed_is_one_gone_and_one_new() -> None:
    renamed = of_size(replace(SIZE, name="38"))

    sizes = compare_patterns(PATTERN, renamed, 1.0).sizes

    assert [(s.size, s.change) for s in sizes] == [
        ("38", Change.NEW),
        ("M", Change.GONE),
    ]
    for size in sizes:
        assert {d.change for d in size.differences} == {size.change}
        assert len(size.differences) == 5  # piece, run, tape, two figures of cloth


def test_beside_a_drawing_only_pieces_and_edges_are_compared() -> None:
    edges = tuple(ComparedEdge(e.number, e.label, e.length) for e in FRONT.edges)
    piece = replace(FRONT, cut=None, edges=edges)
    drawing = ComparedPattern((ComparedSize("M", (piece,)),), is_schedule=False)

    comparison = compare_patterns(PATTERN, drawing, 1.0)

    assert comparison.is_same
    assert not comparison.is_schedule


def test_the_pieces_of_a_pattern_are_listed_once() -> None:
    again = replace(FRONT, name="Front")
    sizes = (SIZE, replace(SIZE, name="L", pieces=(again, replace(FRONT, name="hat"))))

    names = piece_names(ComparedPattern(sizes, is_schedule=True))

    assert names == {"front": "Front", "hat": "hat"}
