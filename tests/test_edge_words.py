"""What a job file calls edges: every word, and what is none."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from edgefinder.classifier.edge_words import (
    AllEdges,
    BesideText,
    Between,
    ByName,
    ByNumber,
    DrawnAs,
    EdgeWord,
    OfCutout,
    UnderMarker,
    is_free_name,
    own_name,
    parse_edge_word,
    words_within,
)
from edgefinder.classifier.mark_words import (
    AlongEdge,
    AtCorner,
    AtNotch,
    AtPoint,
    OwnMark,
)
from edgefinder.errors import EdgefinderError, SettingsError
from edgefinder.pattern.selectors import Mark, Selector

NAMES = ("neck", "Side  Seam", "Ärmel")
MARKS = ("shoulder point", "mid")


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("3", ByNumber(3)),
        (" 12 ", ByNumber(12)),
        ("0", ByNumber(0)),  # told against the piece, which knows how many there are
        ("3a", ByNumber(3, "a")),
        ("3B", ByNumber(3, "b")),
        ("3ab", ByNumber(3, "ab")),
        ("neck", ByName("neck")),
        ("NECK", ByName("neck")),
        ("side seam", ByName("Side  Seam")),
        ("ärmel", ByName("Ärmel")),
        ("all", AllEdges()),
        ("ALL", AllEdges()),
        ("all except 2", AllEdges((ByNumber(2),))),
        (
            "all  except 2, neck,3a",
            AllEdges((ByNumber(2), ByName("neck"), ByNumber(3, "a"))),
        ),
        (
            "all except from 10 mm, 20 mm to notch 2, 3",
            AllEdges((Between(AtPoint(complex(10, 20)), AtNotch("2")), ByNumber(3))),
        ),
        ("all except cutout 1", AllEdges((OfCutout(1),))),
        ("cutout 2", OfCutout(2)),
        ("Cut-out 2", OfCutout(2)),
        ("layer:Bound", DrawnAs(Selector(Mark.LAYER, "Bound"))),
        ("Layer: Size *", DrawnAs(Selector(Mark.LAYER, "Size *"))),
        ("color:#D55E00", DrawnAs(Selector(Mark.COLOUR, "#D55E00"))),
        ("colour:1", DrawnAs(Selector(Mark.COLOUR, "1"))),
        ("id:neck*", DrawnAs(Selector(Mark.ID, "neck*"))),
        ("class:cut", DrawnAs(Selector(Mark.CLASS, "cut"))),
        ("label:front", DrawnAs(Selector(Mark.LABEL, "front"))),
        ("text:bind*", BesideText("bind*")),
        ("Text: bind this edge", BesideText("bind this edge")),
        ("marker", UnderMarker()),
        ("marker layer:Bind", UnderMarker(Selector(Mark.LAYER, "Bind"))),
        ("from notch 1 to notch 2", Between(AtNotch("1"), AtNotch("2"))),
        ("from corner 3 to mid", Between(AtCorner(3), OwnMark("mid"))),
        (
            "FROM Shoulder Point TO 3 at 25 mm",
            Between(OwnMark("shoulder point"), AlongEdge("3", None, 25.0)),
        ),
        (
            "from neck at 50 % to 120 mm, 340 mm",
            Between(AlongEdge("neck", 0.5), AtPoint(120 + 340j)),
        ),
    ],
)
def test_a_word_means_edges(text: str, wanted: EdgeWord) -> None:
    assert parse_edge_word(text, NAMES, MARKS) == wanted


@pytest.mark.parametrize(
    "text",
    [
        *("", " ", "front", "two", "-1", "1.5", "3abcd", "01", "1234567", "3 a"),
        *("all but 2", "all except", "cutout", "cutout 0", "cutout a", "markers"),
        *("from notch 1", "to notch 2", "from to", "٢", "9" * 5000, "nek"),
    ],
)
def test_what_means_no_edge_is_an_error_with_examples(text: str) -> None:
    with pytest.raises(SettingsError) as caught:
        parse_edge_word(text)

    (message,) = caught.value.messages
    assert message.startswith(f'"{text}" names no edge; write "2", "all", ')


def test_an_unknown_word_is_told_with_the_own_names() -> None:
    with pytest.raises(SettingsError, match=r"; own names: neck, Side  Seam, Ärmel$"):
        parse_edge_word("collar", NAMES)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("all except 2, two", '"two" names no edge'),
        ("layr:Bound", 'begins with "layr"; did you mean "layer"'),
        ("layer:", '"layer:" chooses nothing'),
        ("marker layr:Bound", 'did you mean "layer"'),
        ("from notch 1 to nowhere", '"nowhere" names no mark; write "notch 2"'),
        ("from 3 at 5 furlong to notch 1", '"furlong"'),
        ("from 3 at 120 % to notch 1", "no place beyond 100 %"),
        ("colour:300", "numbered from 1 to 255"),
    ],
)
def test_a_mistake_inside_a_word_is_told(text: str, said: str) -> None:
    with pytest.raises(SettingsError) as caught:
        parse_edge_word(text, NAMES, MARKS)

    assert said in caught.value.messages[0]


@pytest.mark.parametrize(
    "name", ["neck", "front neck", "centre-back", "a1", "übers", "x2"]
)
def test_a_name_that_means_nothing_else_is_free(name: str) -> None:
    assert is_free_name(name)


@pytest.mark.parametrize(
    "name",
    [
        *("", " ", "3", "3a", "12abc", "007", "all", "ALL", "all except 2", "marker"),
        *(
            "mirrored",
            "neck mirrored",
            "from a",
            "from a to b",
            "up to",
            "to x",
            "at x",
        ),
        *("cutout 1", "notch 2", "corner 1", "layer:x", "a, b", "neck at noon"),
    ],
)
def test_a_name_that_means_something_is_not_free(name: str) -> None:
    assert not is_free_name(name)


ODD = st.text(alphabet="0123 abcalexcptfromkdgutn:,*%", max_size=24)


@given(ODD | st.text(max_size=20))
def test_a_free_name_means_no_edge_until_it_is_given(name: str) -> None:
    assume(is_free_name(name))

    with pytest.raises(SettingsError, match="names no edge"):
        parse_edge_word(name)
    assert parse_edge_word(f" {name} ", [name]) == ByName(name)
    assert parse_edge_word(f"all except 1, {name}", [name]) == AllEdges(
        (ByNumber(1), ByName(name))
    )


@given(ODD | st.text(max_size=20))
def test_any_text_is_a_word_or_an_error(text: str) -> None:
    try:
        word = parse_edge_word(text, NAMES, MARKS)
    except EdgefinderError:
        return
    assert word in list(words_within(word))


@given(st.integers(1, 999_999), st.sampled_from(["", "a", "z", "ba"]))
def test_numbers_and_parts_read_back(number: int, part: str) -> None:
    assert parse_edge_word(f"{number}{part}") == ByNumber(number, part)


def test_a_name_is_known_whatever_its_case_and_spacing() -> None:
    assert own_name(" side   SEAM", NAMES) == "Side  Seam"
    assert own_name("sideseam", NAMES) is None


def test_a_word_is_made_of_words() -> None:
    word = parse_edge_word("all except 2, all except 3", NAMES)

    # A comma ends the inner word: it is "all except 3" and not "3".
    assert list(words_within(word)) == [
        word,
        ByNumber(2),
        AllEdges((ByNumber(3),)),
        ByNumber(3),
    ]
