import pytest
from drawn import drawn, piece_of, pieces_of
from hypothesis import given
from hypothesis import strategies as st
from shapes import circle_outline, polyline, rectangle

from edgefinder.classifier.edge_names import (
    EdgeName,
    named_edges,
    named_piece,
    parse_edge_name,
)
from edgefinder.errors import SettingsError, TagError
from edgefinder.pattern.pieces import Piece


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("front 2", EdgeName("front", "2", mirrored=False)),
        ("  front   2  ", EdgeName("front", "2", mirrored=False)),
        ("front 2 mirrored", EdgeName("front", "2", mirrored=True)),
        ("front 2  MIRRORED", EdgeName("front", "2", mirrored=True)),
        ("pocket all", EdgeName("pocket", "all", mirrored=False)),
        ("pocket ALL mirrored", EdgeName("pocket", "ALL", mirrored=True)),
        ("front 2 3", EdgeName("front 2", "3", mirrored=False)),
        ("front 2 mirrored 3", EdgeName("front 2 mirrored", "3", mirrored=False)),
        ("2 2", EdgeName("2", "2", mirrored=False)),
        ("all all", EdgeName("all", "all", mirrored=False)),
        ("back yoke 10", EdgeName("back yoke", "10", mirrored=False)),
        ('the "good" one 1', EdgeName('the "good" one', "1", mirrored=False)),
        ("Rückenteil 前 ½ 4", EdgeName("Rückenteil 前 ½", "4", mirrored=False)),
        ("front layer:Bound", EdgeName("front", "layer:Bound", mirrored=False)),
        ("front layer: Bound", EdgeName("front", "layer: Bound", mirrored=False)),
        ("front Layer:Size 2", EdgeName("front", "Layer:Size 2", mirrored=False)),
        ("front color:#F00", EdgeName("front", "color:#F00", mirrored=False)),
        ("a b class:cut mirrored", EdgeName("a b", "class:cut", mirrored=True)),
        # Only the marks of a line begin a selector.
        ("bib (side: left) 1", EdgeName("bib (side: left)", "1", mirrored=False)),
    ],
)
def test_a_name_is_a_piece_and_which_of_its_edges(text: str, wanted: EdgeName) -> None:
    assert parse_edge_name(text) == wanted


@pytest.mark.parametrize(
    "text",
    [
        "",
        " ",
        "front",
        "2",
        "front two",
        "front 2,3",
        "front -1",
        "front 1.5",
        "front2",
        "front \N{ARABIC-INDIC DIGIT TWO}",
        "front " + "9" * 5000,
        "front layer:",
    ],
)
def test_what_names_no_edge_is_an_error_with_examples(text: str) -> None:
    with pytest.raises(TagError, match="names no edge; write a piece and a number"):
        parse_edge_name(text)


def test_a_misspelt_mark_is_an_error_with_the_nearest_one() -> None:
    with pytest.raises(TagError, match='did you mean "layer"'):
        parse_edge_name("front layr:Bound")


@given(st.text(max_size=40))
def test_any_text_is_a_name_or_an_error(text: str) -> None:
    try:
        name = parse_edge_name(text)
    except TagError:
        return
    assert name.piece.strip()
    assert name.what


@pytest.mark.parametrize("name", ["front", "FRONT", " Front "])
def test_a_piece_is_found_whatever_the_case(name: str) -> None:
    front = piece_of(rectangle(100, 60), "Front")

    assert named_piece(name, [front]) is front


@pytest.mark.parametrize("name", ["front 2", "Front  2"])
def test_a_piece_whose_name_ends_in_a_number_is_found(name: str) -> None:
    pieces = [piece_of(rectangle(100, 60), n) for n in ("front", "front 2")]

    assert named_piece(name, pieces) is pieces[1]


def test_an_unknown_piece_is_an_error_with_the_nearest_names() -> None:
    pieces = [piece_of(rectangle(100, 60), n) for n in ("front", "back")]

    with pytest.raises(TagError, match='no piece "frnot"; did you mean "front"'):
        named_piece("frnot", pieces)


def test_without_pieces_nothing_is_suggested() -> None:
    with pytest.raises(TagError, match=r'there is no piece "front"$'):
        named_piece("front", [])


def numbers(text: str, piece: Piece) -> list[tuple[int, bool]]:
    copies = named_edges(parse_edge_name(text), piece)
    return [(copy.number, copy.mirrored) for copy in copies]


def test_edges_are_named_by_number_or_all_together() -> None:
    piece = piece_of(rectangle(100, 60))

    assert numbers("front 3", piece) == [(3, False)]
    assert numbers("front 3 mirrored", piece) == [(3, True)]
    assert numbers("front all", piece) == [(n, False) for n in (1, 2, 3, 4)]


@pytest.mark.parametrize("number", ["0", "5", "00", "999999"])
def test_a_number_out_of_range_is_an_error_that_says_the_range(number: str) -> None:
    piece = piece_of(rectangle(100, 60))

    with pytest.raises(TagError, match=r'"front" has no edge .*; it has edges 1 to 4'):
        numbers(f"front {number}", piece)


def test_a_piece_of_one_edge_says_so() -> None:
    with pytest.raises(TagError, match='"disc" has no edge 2; it has edge 1'):
        numbers("disc 2", piece_of(circle_outline(50), "disc"))


def marked_piece() -> Piece:
    """A rectangle of loose lines; its left side is drawn in two halves."""
    lines = [
        drawn(polyline(0, 100), id="hem", layer="Cut", colour="#000000"),
        drawn(polyline(100, 100 + 60j), id="side", layer="Cut", classes=("dashed",)),
        drawn(polyline(100 + 60j, 60j), id="neck", layer="Bound", colour="#d55e00"),
        drawn(polyline(60j, 30j), id="upper", layer="Bound", label="half"),
        drawn(polyline(30j, 0), id="lower", layer="Cut"),
    ]
    (piece,) = pieces_of(*lines)
    return piece


@pytest.mark.parametrize(
    ("selector", "wanted"),
    [
        ("colour:#D55E00", [3]),
        ("color:#d55e00", [3]),
        ("id:side", [2]),
        ("id:[hs]*", [1, 2]),
        ("class:dashed", [2]),
        ("id:*er", [4]),
        ("layer:*", [1, 2, 3, 4]),
    ],
)
def test_edges_are_chosen_by_how_they_are_drawn(
    selector: str, wanted: list[int]
) -> None:
    piece = marked_piece()

    assert numbers(f"{piece.name} {selector}", piece) == [(n, False) for n in wanted]


@pytest.mark.parametrize(
    "selector", ["layer:Cut", "layer:Bound", "id:upper", "label:half"]
)
def test_an_edge_that_is_partly_drawn_so_is_an_error(selector: str) -> None:
    piece = marked_piece()

    with pytest.raises(
        TagError, match=r"only partly drawn as .*; break it with a corner"
    ):
        numbers(f"{piece.name} {selector}", piece)


def test_a_selector_that_chooses_no_edge_is_an_error() -> None:
    piece = marked_piece()

    with pytest.raises(TagError, match=r'no edge of "piece 1" is drawn as "colour:#f'):
        numbers("piece 1 colour:#ffffff", piece)


def test_a_selector_without_a_pattern_is_an_error() -> None:
    with pytest.raises((TagError, SettingsError)):
        numbers("piece 1 layer:  mirrored", marked_piece())
