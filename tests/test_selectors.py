from pathlib import Path

import pytest
from drawn import drawn
from dxf_drawings import drawing as dxf_drawing
from dxf_drawings import read as read_dxf_drawing
from hypothesis import assume, given
from hypothesis import strategies as st
from shapes import rectangle

from edgefinder.errors import SettingsError
from edgefinder.importers.drawing import DrawnLine
from edgefinder.pattern.selectors import Mark, Selector, matches_any, parse_selector

LINE = drawn(
    rectangle(100, 50),
    id="neck1",
    layer="Size S",
    groups=("Size S", "front"),
    classes=("cut", "solid"),
    colour="#d55e00",
    label="Neckline",
)


def bare() -> DrawnLine:
    return drawn(rectangle(100, 50))


@pytest.mark.parametrize(
    "text",
    [
        "layer:Size S",
        "layer:size *",
        "LAYER:SIZE ?",
        "layer: Size S ",
        "layer:Size [SM]",
        "colour:#d55e00",
        "color:#D55E00",
        "colour:#d55*",
        "colour:rgb(213, 94, 0)",
        "id:neck1",
        "id:neck[0-9]",
        "class:cut",
        "class:solid",
        "label:neckline",
        "label:front",
        "label:*",
    ],
)
def test_a_line_is_chosen_by_what_the_drawing_says_about_it(text: str) -> None:
    assert parse_selector(text).matches(LINE)


@pytest.mark.parametrize(
    "text",
    [
        "layer:Size",
        "layer:ize S",
        "layer:front",
        "colour:#d55e0",
        "id:neck",
        "class:cut solid",
        "class:cu",
        "label:neck",
        "id:neck[!0-9]",
    ],
)
def test_a_line_is_chosen_by_the_whole_word_only(text: str) -> None:
    assert not parse_selector(text).matches(LINE)


@pytest.mark.parametrize(
    "written", ["red", "Red", "#f00", "#FF0000", "#ff0000ff", "rgb(255,0,0)", "#f*"]
)
def test_a_colour_may_be_written_in_any_way_that_drawings_know(written: str) -> None:
    red = drawn(rectangle(100, 50), colour="#ff0000")
    blue = drawn(rectangle(100, 50), colour="#0000ff")

    selector = parse_selector(f"colour:{written}")

    assert selector.matches(red)
    assert not selector.matches(blue)
    assert selector.text == f"colour:{written}"


@pytest.mark.parametrize("mark", list(Mark))
def test_a_line_of_which_nothing_is_said_is_not_chosen(mark: Mark) -> None:
    assert not Selector(mark, "*").matches(bare())


@pytest.mark.parametrize("text", ["layer", "layer:", "layer:  ", ":", ""])
def test_a_selector_without_a_pattern_chooses_nothing(text: str) -> None:
    with pytest.raises(SettingsError, match='chooses nothing; write it like "layer:'):
        parse_selector(text)


@pytest.mark.parametrize(
    ("text", "near"), [("layr:Bound", "layer"), ("colors:#fff", "colour")]
)
def test_an_unknown_mark_is_an_error_with_the_nearest_one(text: str, near: str) -> None:
    with pytest.raises(SettingsError, match=f'did you mean "{near}"'):
        parse_selector(text)


def test_a_colon_in_the_pattern_belongs_to_it() -> None:
    line = drawn(rectangle(100, 50), layer="Part:A")

    assert parse_selector("layer:Part:A").matches(line)


@pytest.mark.parametrize(
    "pattern", ["[", "[z-a]", "[!", "(a+)+$", "*" * 50 + "b", "\\"]
)
def test_a_hostile_pattern_neither_crashes_nor_hangs(pattern: str) -> None:
    line = drawn(rectangle(100, 50), layer="a" * 200)

    assert not Selector(Mark.LAYER, pattern).matches(line)


@given(st.text(min_size=1).filter(lambda s: not set(s) & set("*?[")))
def test_a_pattern_without_wildcards_chooses_its_own_name(name: str) -> None:
    line = drawn(rectangle(100, 50), layer=name)

    assert Selector(Mark.LAYER, name).matches(line)


@given(st.sampled_from(Mark), st.text(min_size=1).filter(str.strip))
def test_a_selector_reads_back_as_it_is_written(mark: Mark, pattern: str) -> None:
    selector = Selector(mark, pattern.strip())
    assume(mark is not Mark.COLOUR or not selector.pattern.isdecimal())

    assert parse_selector(selector.text) == selector


@pytest.mark.parametrize(
    ("number", "colour"),
    # The first seven of the table, as every drawing program shows them (from memory).
    [
        (1, "#ff0000"),
        (2, "#ffff00"),
        (3, "#00ff00"),
        (4, "#00ffff"),
        (5, "#0000ff"),
        (6, "#ff00ff"),
        (7, "#ffffff"),
    ],
)
def test_a_number_is_a_colour_of_the_table_of_dxf(number: int, colour: str) -> None:
    selector = parse_selector(f"color: {number}")

    assert selector.matches(drawn(rectangle(100, 50), colour=colour))
    assert not selector.matches(drawn(rectangle(100, 50), colour="#123456"))
    assert not selector.matches(bare())


@pytest.mark.parametrize("number", ["0", "256", "007", "112233", "1" * 5000, "\u0661"])
def test_a_number_that_is_no_colour_is_an_error(number: str) -> None:
    with pytest.raises(SettingsError, match="numbered from 1 to 255; others are"):
        parse_selector(f"colour:{number}")


def test_lines_of_a_dxf_are_chosen_by_colour_number(tmp_path: Path) -> None:
    document = dxf_drawing()
    document.layers.add("Red", color=1)
    space = document.modelspace()
    for x, (layer, attributes) in enumerate(
        [
            ("0", {"color": 1}),
            ("Red", {}),  # by its layer
            ("0", {"true_color": 0xFF0000}),
            ("Red", {"true_color": 0x00FF00}),  # wins over the number
            ("Red", {"color": 5}),
            ("0", {"color": 30}),
        ]
    ):
        space.add_line((x, 0), (x, 50), dxfattribs={"layer": layer, **attributes})
    lines = read_dxf_drawing(tmp_path, document).drawing.lines

    def chosen(text: str) -> list[int]:
        selector = parse_selector(text)
        return [round(x.path.start.real) for x in lines if selector.matches(x)]

    assert chosen("colour:1") == [0, 1, 2]
    assert chosen("colour:3") == [3]
    assert chosen("colour:5") == [4]
    assert chosen("colour:30") == [5]
    assert chosen("colour:7") == []


def test_one_of_several_selectors_is_enough() -> None:
    chosen = [parse_selector("layer:Nothing"), parse_selector("class:cut")]

    assert matches_any(LINE, chosen)
    assert not matches_any(LINE, chosen[:1])
    assert not matches_any(LINE, [])
