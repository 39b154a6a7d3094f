"""What a job file calls places on an outline: every word, and what is none."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from edgefinder.classifier.mark_words import (
    AlongEdge,
    AtCorner,
    AtNotch,
    AtPoint,
    MarkWord,
    OwnMark,
    is_free_mark_name,
    mark_text,
    number_in,
    parse_mark_word,
)
from edgefinder.errors import EdgefinderError, SettingsError

MARKS = ("Side Point", "mid")


def assert_same(one: MarkWord, other: MarkWord) -> None:
    """Lengths are written to a millionth of a millimetre."""
    match one, other:
        case AtPoint(here), AtPoint(there):
            assert here == pytest.approx(there, abs=2e-6)
        case AlongEdge(), AlongEdge():
            assert one.edge == other.edge
            assert one.share == pytest.approx(other.share, abs=1e-8)
            assert one.distance == pytest.approx(other.distance, abs=1e-6)
        case _:
            assert one == other


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("side  point", OwnMark("Side Point")),
        ("MID", OwnMark("mid")),
        ("notch 2", AtNotch("2")),
        ("Notch  A", AtNotch("A")),
        ("notch sleeve top", AtNotch("sleeve top")),
        ("notch A*", AtNotch("A*")),
        ("corner 3", AtCorner(3)),
        ("3 at 40 %", AlongEdge("3", 0.4)),
        ("3 at 40%", AlongEdge("3", 0.4)),
        ("3 at 0 %", AlongEdge("3", 0.0)),
        ("3 AT 100 %", AlongEdge("3", 1.0)),
        ("3 at 33.3 %", AlongEdge("3", 0.333)),
        ("side seam at 25 mm", AlongEdge("side seam", None, 25.0)),
        ("3 at 1 1/2 in", AlongEdge("3", None, 38.1)),
        ("3 at 0 mm", AlongEdge("3", None, 0.0)),
        ("120 mm, 340 mm", AtPoint(120 + 340j)),
        ("1 in,2 cm", AtPoint(25.4 + 20j)),
    ],
)
def test_a_word_means_a_place(text: str, wanted: MarkWord) -> None:
    assert_same(parse_mark_word(mark_text(wanted), MARKS), wanted)
    read = parse_mark_word(text, MARKS)

    if isinstance(wanted, AlongEdge) and isinstance(read, AlongEdge):
        assert read.edge == wanted.edge
        assert read.share == pytest.approx(wanted.share, abs=1e-15)
        assert read.distance == pytest.approx(wanted.distance, abs=1e-12)
    else:
        assert read == wanted


@pytest.mark.parametrize(
    "text", ["", "3", "notch", "corner", "corner 0", "corner a", "middle", "at 5 mm"]
)
def test_what_means_no_place_is_an_error_with_examples(text: str) -> None:
    with pytest.raises(SettingsError, match='names no mark; write "notch 2", "corner'):
        parse_mark_word(text)


def test_an_unknown_mark_is_told_with_the_own_ones() -> None:
    with pytest.raises(SettingsError, match=r"; own marks: Side Point, mid$"):
        parse_mark_word("middle", MARKS)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("3 at 101 %", "an edge has no place beyond 100 %"),
        ("3 at 5", '"5"'),
        ("3 at 5 furlong", '"furlong"'),
        ("120, 340", '"120"'),
        ("120 mm, -3 mm", '"-3 mm"'),
        ("3 at -5 mm", '"-5 mm"'),
        ("3 at 12 % of it", '"3 at 12 % of it" names no mark'),
    ],
)
def test_a_mistake_inside_a_mark_is_told(text: str, said: str) -> None:
    with pytest.raises(SettingsError) as caught:
        parse_mark_word(text)

    assert said in caught.value.messages[0]


@pytest.mark.parametrize("name", ["side point", "A", "middle of the neck", "1"])
def test_a_mark_name_that_means_nothing_else_is_free(name: str) -> None:
    assert is_free_mark_name(name)


@pytest.mark.parametrize(
    "name",
    [
        *("", " ", "notch 1", "Notch", "corner 2", "3 at 5 %", "a at b", "a, b"),
        *("a to b", "to", "at", "to b", "a mirrored"),
    ],
)
def test_a_mark_name_that_means_something_is_not_free(name: str) -> None:
    assert not is_free_mark_name(name)


ODD = st.text(alphabet="0123 notchcrea%,m.", max_size=20)


@given(ODD | st.text(max_size=20))
def test_a_free_name_means_no_place_until_it_is_given(name: str) -> None:
    assume(is_free_mark_name(name))

    with pytest.raises(SettingsError, match="names no mark"):
        parse_mark_word(name)
    assert parse_mark_word(f"  {name} ", [name]) == OwnMark(name)


@given(ODD | st.text(max_size=20))
def test_any_text_is_a_place_or_an_error(text: str) -> None:
    try:
        read = parse_mark_word(text, MARKS)
    except EdgefinderError:
        return
    assert isinstance(read, MarkWord)


@pytest.mark.parametrize(
    ("text", "number"),
    [("1", 1), ("42", 42), ("0", None), ("-1", None), ("1a", None), ("9" * 5000, None)],
)
def test_a_number_is_one_that_edges_and_notches_have(
    text: str, number: int | None
) -> None:
    assert number_in(text) == number
