import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from edgefinder.findings import note, warning
from edgefinder.reports.layout import (
    WIDTH,
    columns,
    findings_lines,
    heading,
    paragraph,
)

words = st.text(max_size=120)


def shown(text: str) -> int:
    """Columns of a terminal: letters of East Asia take two, accents none."""
    wide = [unicodedata.east_asian_width(c) in "WF" for c in text]
    accents = [unicodedata.combining(c) != 0 for c in text]
    return sum(
        0 if accent else 1 + broad for broad, accent in zip(wide, accents, strict=True)
    )


@given(words)
def test_a_paragraph_stays_within_80_columns_whatever_the_text(text: str) -> None:
    for line in paragraph(text, "- ", "    "):
        assert shown(line) <= WIDTH == 80
        assert line.isprintable()


@given(words)
def test_a_paragraph_keeps_every_word(text: str) -> None:
    whole = "".join(paragraph(text)).replace(" ", "")

    kept = "".join(c for c in text if c.isprintable() and not c.isspace())
    assert whole == kept


def test_following_lines_of_a_paragraph_hang() -> None:
    lines = paragraph("word " * 40, "  1. ", "     ")

    assert lines[0].startswith("  1. word word")
    assert len(lines) > 2
    assert all(line.startswith("     word") for line in lines[1:])


def test_a_figure_is_never_parted_from_its_fraction_or_unit() -> None:
    for blanks in range(30):
        lead = "x" * (40 + blanks)
        lines = paragraph(f"{lead} radius of 12 3/8 in, 8.5 mm, 9 %; 2 7/8 yd.")

        text = "\n".join(lines)
        for figure in ("12 3/8 in,", "8.5 mm,", "9 %;", "2 7/8 yd."):
            assert figure in text


def test_nothing_makes_no_line() -> None:
    assert paragraph("") == []
    assert paragraph(" \n ") == []


def test_a_heading_is_underlined_as_wide_as_it_is_shown() -> None:
    assert heading("Size S") == ["Size S", "------"]
    assert heading("襟", "=") == ["襟", "=="]


@given(words)
def test_a_heading_stays_within_80_columns(text: str) -> None:
    assert all(shown(line) <= WIDTH for line in heading(text))


def test_names_are_aligned_to_the_left_and_figures_to_the_right() -> None:
    lines = columns(("run", "tape"), [("neck", "11 in"), ("hem", "136 1/4 in")])

    assert lines == ["run         tape", "neck       11 in", "hem   136 1/4 in"]


def test_wide_letters_and_accents_keep_the_columns_in_line() -> None:
    lines = columns(
        ("run", "tape"), [("襟ぐり", "11 in"), ("cafe\u0301", "1 in"), ("neck", "2 in")]
    )

    assert {shown(line) for line in lines} == {13}


@given(
    st.lists(
        st.tuples(words, words, st.integers(0, 10**9).map(str)), min_size=1, max_size=4
    )
)
def test_a_table_stays_within_80_columns_whatever_the_names(
    rows: list[tuple[str, str, str]],
) -> None:
    lines = columns(("piece", "label", "length"), rows, left=2)

    for line in lines:
        assert shown(line) <= WIDTH
        assert line == line.rstrip()
    assert len(lines) == 1 + len(rows)
    for (_, _, figure), line in zip(rows, lines[1:], strict=True):
        assert line.endswith(figure)


@given(st.lists(st.integers(0, 10**12), min_size=12, max_size=12))
def test_figures_are_never_cut_however_large_they_are(numbers: list[int]) -> None:
    figures = [f"{number} 7/8 in" for number in numbers]
    heads = ["run", *(f"head {n}" for n in range(12))]

    lines = columns(heads, [("neck", *figures)])

    text = " ".join(line.strip() for line in lines)
    assert all(shown(line) <= WIDTH for line in lines)
    assert all(figure in text for figure in figures)


def test_a_name_that_is_cut_short_keeps_its_end() -> None:
    names = [f"the front of a very long name {n} fold" for n in (4, 6)]
    figures = ("123456789 3/4 in",) * 3

    lines = columns(("edge", "a", "b", "c"), [(name, *figures) for name in names])

    assert all(len(line) == WIDTH for line in lines)
    for n, line in zip((4, 6), lines[1:], strict=True):
        assert line.startswith("the front o")
        assert f"..g name {n} fold  " in line


def test_the_widest_names_are_cut_first() -> None:
    row = ("short", "a" * 50, "b" * 60, "1")

    (line,) = columns(("", "", "", ""), [row], left=3)[1:]

    short, first, second, figure = line.split()
    assert (short, figure) == ("short", "1")
    assert len(line) == WIDTH
    assert abs(len(first) - len(second)) <= 1


@pytest.mark.parametrize("name", ["a\nb", "a\tb", "a\x1b[31mb", "a\u202eb"])
def test_a_name_cannot_break_a_line_or_colour_the_terminal(name: str) -> None:
    lines = columns(("run",), [(name,)])

    assert len(lines) == 2
    assert all(line.isprintable() for line in lines)


def test_findings_stand_one_to_a_line_with_what_they_weigh() -> None:
    lines = findings_lines(
        [
            note("a", "front.svg, line 3", "has a line\nof no length"),
            warning("b", "front.svg", "is small"),
        ]
    )

    assert lines == [
        "note: front.svg, line 3: has a line of no length",
        "warning: front.svg: is small",
    ]
