from collections.abc import Callable

import pytest
from svg_texts import read_body

from edgefinder.errors import DrawingError
from edgefinder.importers.drawing import DrawnText

Read = Callable[[str], list[tuple[str, complex]]]


@pytest.fixture
def read() -> Read:
    def texts(body: str) -> list[tuple[str, complex]]:
        drawn: tuple[DrawnText, ...] = read_body(body).drawing.texts
        return [(one.text, one.at) for one in drawn]

    return texts


def test_a_text_is_one_line_with_single_spaces(read: Read) -> None:
    assert read('<text x="3" y="4">  cut\n 2 <tspan>on</tspan> fold </text>') == [
        ("cut 2 on fold", 3 - 4j)
    ]


def test_a_part_with_its_own_x_begins_a_new_line(read: Read) -> None:
    assert read(
        '<text x="3" y="4">front<tspan x="3" dy="2">size M</tspan>'
        '<tspan x="3" y="20">cut 2</tspan></text>'
    ) == [("front", 3 - 4j), ("size M", 3 - 6j), ("cut 2", 3 - 20j)]


def test_letters_placed_one_by_one_are_one_line(read: Read) -> None:
    assert read('<text x="1 2 3" y="5,5,5">abc</text>') == [("abc", 1 - 5j)]


def test_texts_without_letters_and_hidden_texts_are_left_out(read: Read) -> None:
    assert read("<text> <tspan/></text><text/>") == []
    assert read('<text visibility="hidden">a</text><text display="none">b</text>') == []


def test_a_title_in_a_text_is_no_part_of_it(read: Read) -> None:
    assert read("<text><title>tip</title>front</text>") == [("front", 0)]


def test_texts_follow_the_transforms_around_them(read: Read) -> None:
    assert read(
        '<g transform="translate(10 20) scale(2)"><text x="1">a</text></g>'
    ) == [("a", 12 - 20j)]


def test_a_position_that_cannot_be_read_is_refused_with_its_line() -> None:
    with pytest.raises(DrawingError, match=r"test\.svg: line 2: text"):
        read_body('<text x="here">a</text>')
