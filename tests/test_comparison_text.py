"""A comparison as the person reads it."""

import re
from dataclasses import replace
from fractions import Fraction

import pytest
from command_line import assert_fits, assert_printable
from compared import (
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
)
from hypothesis import given
from hypothesis import strategies as st

from edgefinder.reports.amounts import to_cut
from edgefinder.reports.compared_records import ComparedPattern
from edgefinder.reports.comparison import compare_patterns
from edgefinder.reports.comparison_text import comparison_text
from edgefinder.units import Unit

NAMES = ("old.json", "apron.toml")


def text_of(
    old: ComparedPattern,
    new: ComparedPattern,
    *,
    within: float = 1.0,
    unit: Unit = Unit.MILLIMETRE,
) -> str:
    comparison = compare_patterns(old, new, within)
    return comparison_text(comparison, NAMES, f"{within:g} mm", unit)


def figure(text: str) -> Fraction:
    """A length as it is printed, without its unit."""
    return sum((Fraction(part) for part in text.split()), Fraction(0))


def test_nothing_that_differs_is_one_line_with_the_tolerance() -> None:
    assert (
        text_of(PATTERN, PATTERN)
        == "nothing differs by more than 1 mm: 1 size compared\n"
    )


def test_a_size_shows_only_what_differs_and_the_others_stand_in_one_line() -> None:
    longer = replace(FRONT, edges=(NECK, replace(SIDE, length=402.4)))
    changed = replace(SIZE, pieces=(longer,))
    old = replace(PATTERN, sizes=(SIZE, replace(SIZE, name="L")))
    new = replace(PATTERN, sizes=(changed, replace(SIZE, name="L")))

    assert text_of(old, new).splitlines() == [
        "old: old.json",
        "new: apron.toml",
        "2 sizes compared; lengths that differ by more than 1 mm",
        "",
        "Size M",
        "------",
        "            old     new   difference",
        "front 2  400 mm  402 mm  2 mm longer",
        "",
        "no difference in size L",
    ]


def test_a_gone_size_is_one_line_and_a_new_one_shows_what_it_takes() -> None:
    both = replace(PATTERN, sizes=(SIZE, replace(SIZE, name="L")))

    gone = text_of(both, PATTERN)
    new = text_of(PATTERN, both)

    assert "Size L: gone\n------------\n\nno difference in size M\n" in gone
    assert re.search(r"^tape main, total +- +200 mm +new$", new, re.MULTILINE)
    assert re.search(r"^fabric for main, buy, least waste +- +30 cm", new, re.MULTILINE)


@given(
    st.floats(0, 5000),
    st.floats(0, 5000),
    st.sampled_from([0.0, 0.2, 0.5, 1.0, 2.0, 5.0]),
    st.sampled_from(list(Unit)),
)
def test_the_difference_shown_is_that_of_the_figures_shown(
    one: float, other: float, within: float, unit: Unit
) -> None:
    old, new = (
        with_edges(NECK, replace(SIDE, length=length)) for length in (one, other)
    )

    text = text_of(old, new, within=within, unit=unit)

    row = re.search(
        r"^front 2 +(.+?) (?:in|mm|cm)  +(.+?) (?:in|mm|cm)  +(.*)$", text, re.MULTILINE
    )
    if row is None:
        assert abs(one - other) <= max(within, 1e-6)
        return
    by = re.fullmatch(r"(less than )?([\d ./]+?) (?:in|mm|cm) (longer|shorter)", row[3])
    assert by is not None
    shown = figure(row[2]) - figure(row[1])
    assert (other > one) == (by[3] == "longer")
    if by[1] is None:
        assert abs(shown) == figure(by[2]) != 0
    else:
        assert shown == 0
        # Only below the finest marks of the ruler.
        assert within < (25.4 / 64 if unit is Unit.INCH else 0.1)


@pytest.mark.parametrize("unit", list(Unit))
def test_names_from_a_file_can_neither_break_a_line_nor_leave_the_page(
    unit: Unit,
) -> None:
    name = "\x1b[31m\nerror: \u202e" + "wide 布 " * 40
    piece = replace(FRONT, name=name)
    old = replace(SIZE, name=name, pieces=(piece,), tapes=(replace(TAPE, name=name),))
    new = replace(
        old,
        pieces=(replace(piece, perimeter=1300.0),),
        tapes=(replace(TAPE, name=name, cloth=name),),
    )

    text = text_of(of_size(old), of_size(new), unit=unit)

    assert_printable(text)
    assert_fits(text)
    assert "100 mm longer" in text or unit is not Unit.MILLIMETRE


@given(patterns(), patterns(), st.sampled_from(list(Unit)))
def test_every_comparison_fits_the_page(
    old: ComparedPattern, new: ComparedPattern, unit: Unit
) -> None:
    text = text_of(old, new, unit=unit)

    assert_printable(text)
    assert_fits(text)
    assert text.endswith("\n")


def test_counts_and_what_is_true_or_false_are_written_plainly() -> None:
    run = replace(RUN, is_closed=True, times=3)
    old = of_size(replace(SIZE, pieces=(replace(FRONT, cut=4),)))
    new = of_size(replace(SIZE, pieces=(replace(FRONT, cut=2),), runs=(run,)))

    rows = [" ".join(line.split()) for line in text_of(old, new).splitlines()]

    assert rows[-3:] == [
        "front, cut 4 2 2 less",
        "run neck, closed no yes changed",
        "run neck, times 1 3 2 more",
    ]


def test_tape_is_rounded_up_as_in_a_schedule_and_widths_are_not_lost() -> None:
    taped = replace(TAPE, total=4109.3, finished_width=9.5, cut_width=40.0)
    before = replace(SIZE, tapes=(taped,))
    wider = replace(taped, total=4120.0, finished_width=9.8)
    after = replace(SIZE, tapes=(wider,))

    text = text_of(of_size(before), of_size(after))

    assert re.search(r"total +4110 mm +4120 mm +10 mm longer", text)
    assert re.search(r"finished width +9\.5 mm +9\.8 mm +0\.3 mm wider", text)
    assert to_cut(4109.3, Unit.MILLIMETRE) == "4110 mm"
