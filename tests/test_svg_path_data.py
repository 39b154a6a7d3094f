import importlib
import math
import sys
import warnings

import pytest
from hypothesis import given
from hypothesis import strategies as st

from edgefinder.errors import DrawingError
from edgefinder.geometry.segments import Kind
from edgefinder.importers.svg import path_data
from edgefinder.importers.svg.path_data import read_path_data, scipy_hidden
from edgefinder.importers.svg.subpath import Row, Subpath, cubic, line, quadratic

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from svgpathtools import parse_path as parse_path_again


def rows(text: str) -> tuple[Row, ...]:
    (subpath,) = read_path_data(text)
    return subpath.rows


@pytest.mark.parametrize("text", ["", "  \n", "none", "M10 20", "m1 2 z", "M1 2"])
def test_moves_alone_draw_nothing(text: str) -> None:
    assert read_path_data(text) == ()


def test_every_subpath_is_a_line_of_its_own() -> None:
    first, second, third = read_path_data("M0 0H1V1zL5 5M7 7 8 8")

    assert first == Subpath((line(0, 1), line(1, 1 + 1j)), closed=True)
    assert second == Subpath((line(0, 5 + 5j),), closed=False)
    assert third == Subpath((line(7 + 7j, 8 + 8j),), closed=False)


def test_a_relative_move_after_a_closing_starts_from_the_start() -> None:
    _, second = read_path_data("M10 10h5v5zm1 1h1")

    assert second.rows == (line(11 + 11j, 12 + 11j),)


def test_the_first_relative_move_is_absolute_and_its_further_pairs_are_lines() -> None:
    assert rows("m5 5 1 1 2 0") == (line(5 + 5j, 6 + 6j), line(6 + 6j, 8 + 6j))


@pytest.mark.parametrize(
    "text",
    [
        "M1-2.5.5e1+5L3+4",
        "M1,-2.5,.5e1,5 L 3,4",
        "M 1 -2.5\n\t5 5\rL3 4",
        "M1-2.5 .5e+1 50e-1L3. 4.",
        "M1.-2.5 5.e0 5.E0L3 4",
    ],
)
def test_numbers_may_be_written_in_every_way_of_the_grammar(text: str) -> None:
    points = [row[1] for row in rows(text)]

    assert points == [1 - 2.5j, 5 + 5j]


def test_smooth_curves_mirror_the_handle_before_them() -> None:
    assert rows("M0 0C1 1 2 2 4 0s3 3 4 0") == (
        cubic(0, 1 + 1j, 2 + 2j, 4),
        cubic(4, 6 - 2j, 7 + 3j, 8),
    )
    assert rows("M0 0Q2 2 4 0t4 0t4 0") == (
        quadratic(0, 2 + 2j, 4),
        quadratic(4, 6 - 2j, 8),
        quadratic(8, 10 + 2j, 12),
    )


def test_smooth_curves_mirror_nothing_after_another_command() -> None:
    assert rows("M0 0L1 0S2 2 3 0")[1] == cubic(1, 1, 2 + 2j, 3)
    assert rows("M0 0C1 1 2 2 3 0T5 5")[1] == quadratic(3, 3, 5 + 5j)
    assert rows("M0 0A1 1 0 0 1 2 0S3 3 4 0")[1] == cubic(2, 2, 3 + 3j, 4)


def test_segments_without_extent_are_dropped() -> None:
    assert rows("M0 0L0 0H0h5C5 0 5 0 5 0A3 3 0 1 1 5 0L6 0") == (
        line(0, 5),
        line(5, 6),
    )


def test_a_zero_length_curve_still_gives_the_next_one_its_handle() -> None:
    assert rows("M0 0C0 0 0 0 0 0S1 1 2 0") == (cubic(0, 0, 1 + 1j, 2),)


def test_arc_flags_may_stand_without_gaps() -> None:
    spaced = rows("M0 0A5 5 0 1 0 10 0 A5 5 0 0 1 20 0")

    assert rows("M0 0A5 5 0 10 10 0 5 5 0 0120 0") == spaced
    assert [row[0] for row in spaced] == [Kind.ARC, Kind.ARC]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("L0 0", 'character 1, "L0 0", is not a move'),
        ("10 10", 'character 1, "10 10", is not a move'),
        ("M0 0 L10 x 20", 'character 10, "x 20", is not a command or a number'),
        ("M0,,0", 'character 3, ",,0", is not a command or a number'),
        ("M0 0 L1 1,", 'character 10, ",", is not a command or a number'),
        ("M0 0,L1 1", 'character 5, ",L1 1", is not a command or a number'),
        ("M0 0 L5", 'character 6, "L5", has 1 after L, which takes 2 numbers'),
        ("M0 0 C1 1 2 2 3", "has 5 after C, which takes 6 numbers at a time"),
        ("M", "has 0 after M"),
        ("M0 0 z 5", "has 1 after z, which takes no numbers"),
        ("M0 0 A5 5 0 2 1 9 9", "is not an arc"),
        ("M0 0 A5 5 0 1 9 9", "is not an arc"),
        ("M0 0 A5 5 0 1 1 9 9 7", 'character 21, "7", is not a command'),
        ("M0 0 A", "is not an arc"),
        ("M0 0 L1e400 1", '"1e400" is too large a number'),
        ("M0 0 A1e400 1 0 0 1 2 2", '"1e400" is too large a number'),
        ("M0 0 L1e 1", "is not a command or a number"),
        ("M0 0 L1_0 1", "is not a command or a number"),
        ("M0 0 L\u0661 1", "is not a command or a number"),
        ("M0 0 Lnan 1", "is not a command or a number"),
        ("M0 0 L0x10 1", "is not a command or a number"),
        ("M0 0 \u017f1 1 2 2", "is not a command or a number"),
        ("M0 0 L- 1", "is not a command or a number"),
    ],
)
def test_a_mistake_is_named_with_its_place_and_nothing_is_skipped(
    text: str, said: str
) -> None:
    with pytest.raises(DrawingError) as caught:
        read_path_data(text)

    assert said in caught.value.messages[0]


def test_hiding_scipy_from_one_import_leaves_no_trace() -> None:
    there = sys.modules.pop("scipy", None)
    try:
        with scipy_hidden(), pytest.raises(ImportError):
            importlib.import_module("scipy")

        assert "scipy" not in sys.modules
    finally:
        if there is not None:
            sys.modules["scipy"] = there


@pytest.mark.parametrize(
    "text", ["M0 0L" + "1" * 200_000, "M0 0L" + "1 " * 200_000 + "x"]
)
def test_no_text_takes_longer_than_its_length(text: str) -> None:
    with pytest.raises(DrawingError):
        read_path_data(text)


COUNTS = {"L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2}


@given(
    st.lists(
        st.sampled_from([*COUNTS, *(letter.lower() for letter in COUNTS)]).flatmap(
            lambda letter: st.tuples(
                st.just(letter),
                st.lists(
                    st.integers(-9999, 9999).map(lambda i: i / 100),
                    min_size=COUNTS[letter.upper()],
                    max_size=COUNTS[letter.upper()],
                ),
            )
        ),
        min_size=1,
        max_size=12,
    )
)
def test_lines_and_curves_end_where_svgpathtools_ends_them(
    commands: list[tuple[str, list[float]]],
) -> None:
    text = "M3 4" + "".join(
        letter + " ".join(f"{number:.2f}" for number in numbers)
        for letter, numbers in commands
    )

    drawn = [row for subpath in read_path_data(text) for row in subpath.rows]

    others = [one for one in parse_path_again(text) if len(set(one.bpoints())) > 1]
    assert [row[1] for row in drawn] == [one.start for one in others]


@given(st.text(alphabet="MmLlHhZzCcAa0123456789.,-+eE x", max_size=40))
def test_any_text_is_either_read_or_refused(text: str) -> None:
    try:
        subpaths = read_path_data(text)
    except DrawingError:
        return

    for subpath in subpaths:
        for row in subpath.rows:
            assert all(math.isfinite(abs(value)) for value in row[1:])


def test_a_long_path_that_must_be_read_step_by_step_is_refused(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(path_data, "MAX_CHARACTERS", 50)
    monkeypatch.setattr(path_data, "MAX_CHECKED", 100)
    arc = "a1 1 0 011 1"

    assert read_path_data(f"M0 0{arc * 3}")
    for data in (f"M0 0{arc * 5}", f"M0 0{arc * 9}", f"M0 0{arc * 9}x"):
        with pytest.raises(DrawingError, match="has a mistake, or arc flags that are"):
            read_path_data(data)
    # What is wrong with a path that is not longer than that is said.
    with pytest.raises(DrawingError, match='"x", is not a command or a number'):
        read_path_data(f"M0 0{arc * 5}x")
