import math
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from edgefinder.reports.svg_drawing import (
    checked_prefix,
    element,
    number,
    numbers,
    pairs,
    words,
)


@pytest.mark.parametrize(
    ("value", "written"),
    [
        (0.0, "0"),
        (-0.0, "0"),
        (-0.004, "0"),
        (12.0, "12"),
        (100.0, "100"),
        (12.5, "12.5"),
        (1.239, "1.24"),
        (-7.25, "-7.25"),
        (1e7, "10000000"),
    ],
)
def test_a_coordinate_takes_as_few_characters_as_it_can(
    value: float, written: str
) -> None:
    assert number(value) == written


@given(
    st.lists(
        st.tuples(
            st.floats(-1e6, 1e6) | st.integers(-900, 900).map(lambda n: n / 8),
            st.floats(-0.02, 0.02),
        ),
        max_size=9,
    )
)
def test_points_of_a_line_are_written_as_coordinates_one_by_one(
    points: list[tuple[float, float]],
) -> None:
    one_by_one = " ".join(f"{number(x)},{number(y)}" for x, y in points)

    assert pairs([side for point in points for side in point]) == one_by_one


@pytest.mark.parametrize("value", [math.nan, math.inf])
def test_a_point_that_is_nowhere_is_not_written(value: float) -> None:
    with pytest.raises(ValueError, match="not a place in a drawing"):
        pairs([0.0, value])


def test_coordinates_stand_side_by_side() -> None:
    assert numbers(0.0, 1.5, -2.0) == "0 1.5 -2"


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_no_place_is_refused(value: float) -> None:
    with pytest.raises(ValueError, match="not a place"):
        number(value)


@given(st.text())
def test_any_text_reads_back_as_itself_but_for_control_characters(text: str) -> None:
    written = element("text", {"id": text}, words(text))

    read = ElementTree.fromstring(written)  # noqa: S314 - written a line above

    expected = "".join(c if c.isprintable() else " " for c in text)
    assert (read.text or "") == expected
    assert read.get("id") == expected


def test_an_attribute_without_a_value_is_left_out() -> None:
    assert element("g", {"id": None, "x": 1.0}) == '<g x="1"/>'


@pytest.mark.parametrize("prefix", ["chart", "a", "_1", "Tape-2_b"])
def test_a_prefix_that_can_begin_an_id_is_kept(prefix: str) -> None:
    assert checked_prefix(prefix) == prefix


@pytest.mark.parametrize("prefix", ["", "1a", "a b", 'a"', "a\n", "-a", "é"])
def test_a_prefix_that_cannot_begin_an_id_is_refused(prefix: str) -> None:
    with pytest.raises(ValueError, match="cannot begin an id"):
        checked_prefix(prefix)
