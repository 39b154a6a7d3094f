import pytest
from svgelements import Color

from edgefinder.importers.svg.colours import NAMED_COLOURS, is_transparent, read_colour


def test_there_are_all_named_colours_of_the_standard() -> None:
    assert len(NAMED_COLOURS) == 148


def test_named_colours_are_those_of_svgelements_but_for_its_two_mistakes() -> None:
    differing = {
        name
        for name, written in NAMED_COLOURS.items()
        if Color(name).hex != Color(written).hex
    }

    # svgelements 1.9.6 says #faf8ff for the first and does not know the second.
    assert differing <= {"aliceblue", "rebeccapurple"}


@pytest.mark.parametrize(
    ("name", "expected"),
    [("aliceblue", "#f0f8ff"), ("rebeccapurple", "#663399"), ("gray", "#808080")],
)
def test_named_colours_are_those_of_the_standard(name: str, expected: str) -> None:
    # CSS Color 4, section 6.1, "Named Colors": the table.
    assert read_colour(name) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (" Red ", "#ff0000"),
        ("#AbC", "#aabbcc"),
        ("#abcd", "#aabbcc"),
        ("#A1B2C3", "#a1b2c3"),
        ("#a1b2c3d4", "#a1b2c3"),
        ("rgb(255, 0,128)", "#ff0080"),
        ("rgb(100%,0%,50%)", "#ff0080"),
        ("rgb(300 -5 127.6)", "#ff0080"),
        ("rgba(255 0 128 / 50%)", "#ff0080"),
        ("hsl(120, 100%, 25%)", "#008000"),
        ("hsla(-120deg 100% 50% / .3)", "#0000ff"),
    ],
)
def test_colours_are_read(text: str, expected: str) -> None:
    assert read_colour(text) == expected


@pytest.mark.parametrize(
    "text",
    [
        "",
        "none",
        "reddish",
        "#12",
        "#12345",
        "#ggg",
        "rgb(1,2)",
        "rgb(1,2,3,4,5)",
        "rgb(a,b,c)",
        "url(#a)",
        "lab(1 2 3)",
        "rgb(1,2,3",
        "var(--x)",
    ],
)
def test_what_is_no_known_colour_is_none(text: str) -> None:
    assert read_colour(text) is None


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("transparent", True),
        ("Transparent", True),
        ("#abc0", True),
        ("#aabbcc00", True),
        ("#abc1", False),
        ("#aabbcc01", False),
        ("#abc", False),
        ("#000000", False),
        ("rgba(1, 2, 3, 0)", True),
        ("rgba(1, 2, 3, 0.0%)", True),
        ("rgb(1 2 3 / 0)", True),
        ("hsla(1, 2%, 3%, .1)", False),
        ("rgb(0, 0, 0)", False),
        ("rgb(0 0 0 / none)", False),
        ("red", False),
        ("none", False),
    ],
)
def test_a_colour_with_an_opacity_of_zero_is_transparent(
    text: str, expected: bool
) -> None:
    assert is_transparent(text) is expected
