"""What a run calls an edge: a piece, its edges, and perhaps "mirrored"."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from edgefinder.classifier.run_words import RunWord, parse_run_word
from edgefinder.errors import TagError

PIECES = ("front", "front 2", "Back  Yoke", "2", "all", "bib (side: left)", "Ärmel ½")


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("front 3", RunWord("front", "3", mirrored=False)),
        ("  front   3  ", RunWord("front", "3", mirrored=False)),
        ("FRONT 3 mirrored", RunWord("front", "3", mirrored=True)),
        ("front 3  MIRRORED", RunWord("front", "3", mirrored=True)),
        ("front 2 3", RunWord("front 2", "3", mirrored=False)),
        ("front 3a", RunWord("front", "3a", mirrored=False)),
        ("front side seam", RunWord("front", "side seam", mirrored=False)),
        ("back yoke all", RunWord("Back  Yoke", "all", mirrored=False)),
        (
            "back yoke all except 2, 3",
            RunWord("Back  Yoke", "all except 2, 3", mirrored=False),
        ),
        ("2 2", RunWord("2", "2", mirrored=False)),
        ("all all", RunWord("all", "all", mirrored=False)),
        ("front layer:Size 2", RunWord("front", "layer:Size 2", mirrored=False)),
        ("front class:cut mirrored", RunWord("front", "class:cut", mirrored=True)),
        ("front cutout 1", RunWord("front", "cutout 1", mirrored=False)),
        ("front marker", RunWord("front", "marker", mirrored=False)),
        ("bib (side: left) 1", RunWord("bib (side: left)", "1", mirrored=False)),
        ("ärmel ½ 4", RunWord("Ärmel ½", "4", mirrored=False)),
        (
            "front from notch 1 to notch 2",
            RunWord("front", "from notch 1 to notch 2", mirrored=False),
        ),
        (
            "front from a to b mirrored",
            RunWord("front", "from a to b", mirrored=True),
        ),
    ],
)
def test_a_word_is_a_piece_and_its_edges(text: str, wanted: RunWord) -> None:
    assert parse_run_word(text, PIECES) == wanted


def test_of_two_pieces_the_one_with_the_longer_name_is_meant() -> None:
    assert parse_run_word("front 2 neck", ["front", "front 2"]).piece == "front 2"
    assert parse_run_word("front 2 neck", ["front 2", "front"]).piece == "front 2"
    assert parse_run_word("front 2", ["front", "front 2"]) == RunWord(
        "front", "2", mirrored=False
    )


@pytest.mark.parametrize("text", ["front", "FRONT", "front mirrored"])
def test_a_piece_alone_says_how_an_edge_of_it_is_written(text: str) -> None:
    with pytest.raises(TagError) as caught:
        parse_run_word(text, PIECES)

    assert caught.value.messages == (
        f'"{text}" names a piece and no edge; write "front 2" or "front all"',
    )


@pytest.mark.parametrize("text", ["", " ", "7", "neck", "layer:Bound"])
def test_what_names_no_piece_either_is_an_error_with_examples(text: str) -> None:
    with pytest.raises(TagError, match="names no edge; write a piece and a number"):
        parse_run_word(text, ["front"])


@pytest.mark.parametrize(
    "edges",
    ["3", "3a", "all", "all except 2", "marker", "from a to b", "cutout 1", "id:x y"],
)
def test_a_misspelt_piece_is_told_with_the_nearest_one(edges: str) -> None:
    with pytest.raises(TagError) as caught:
        parse_run_word(f"frnot {edges}", ["front", "back"])

    assert caught.value.messages == (
        'there is no piece "frnot"; did you mean "front"?',
    )


def test_without_pieces_nothing_is_suggested() -> None:
    with pytest.raises(TagError, match=r'there is no piece "front"$'):
        parse_run_word("front 2", [])


@given(st.text(max_size=40))
def test_any_text_is_a_word_or_an_error(text: str) -> None:
    try:
        word = parse_run_word(f"front {text}", ["front"])
    except TagError:
        return
    assert word.piece == "front"
    assert word.edges
