"""Notches, marker lines and texts go to the pieces that they are drawn on."""

import pytest
from drawn import compound, drawing, drawn, text
from shapes import circle_outline, polygon, polyline, rectangle

from edgefinder.geometry.path import Path
from edgefinder.importers.drawing import DrawnLine, DrawnText, Reading
from edgefinder.pattern.beside_outlines import MARKER_REACH_MM, NOTCH_REACH_MM
from edgefinder.pattern.finding import PiecesFound, find_pieces
from edgefinder.pattern.pieces import Piece
from edgefinder.pattern.selectors import parse_selector
from edgefinder.pattern.settings import FindingSettings

BIND = FindingSettings(marker_lines=(parse_selector("layer:Bind"),))
CHOSEN = FindingSettings(notches=(parse_selector("class:tick"),))


def found(
    *lines: DrawnLine,
    settings: FindingSettings = BIND,
    texts: tuple[DrawnText, ...] = (),
) -> PiecesFound:
    return find_pieces(Reading(drawing(*lines, texts=texts), ()), settings)


def front(size: str | None = None, width: float = 200) -> DrawnLine:
    layer = None if size is None else f"Size {size}"
    return drawn(rectangle(width, 100), label="front", layer=layer)


def tick(at: complex, towards: complex = 5j, **more: str) -> DrawnLine:
    return drawn(polyline(at, at + towards), label=more.get("label", "notch"))


def astray(result: PiecesFound) -> list[str]:
    return [f.message for f in result.findings if f.code == "mark-astray"]


def places(piece: Piece) -> list[complex]:
    return [notch.at for notch in piece.around.notches]


# Notches


@pytest.mark.parametrize(
    ("label", "is_notch"),
    [
        ("notch", True),
        ("Notch A", True),
        ("double notches", True),
        ("dart", False),
    ],
)
def test_small_lines_that_are_called_notches_are_notches(
    label: str, is_notch: bool
) -> None:
    (piece,) = found(front(), tick(80, label=label)).pieces

    assert places(piece) == ([80] if is_notch else [])


@pytest.mark.parametrize(
    "line",
    [
        drawn(polyline(80, 80 + 5j), layer="Notches"),
        drawn(polyline(80, 80 + 5j), classes=("notch", "thin")),
        drawn(polyline(80, 80 + 5j), id="notch-3"),
        drawn(polyline(80 - 5j, 80 + 0j), label="notch"),  # outside
        drawn(polyline(80 - 4j, 80 + 4j), label="notch"),  # across
        drawn(polygon(77, 83, 80 + 5j), label="notch"),  # a triangle on the line
        drawn(polyline(77, 80 + 5j, 83), label="notch"),  # a V, open
        drawn(polyline(76 - 4j, 84 + 4j), label="notch"),  # aslant
        drawn(polyline(80 + 6j, 80 + 1j), label="notch"),  # up to it
    ],
)
def test_a_notch_may_be_drawn_and_called_in_many_ways(line: DrawnLine) -> None:
    (piece,) = found(front(), line).pieces

    (at,) = places(piece)
    assert at.imag == pytest.approx(0, abs=1e-9)
    assert at.real == pytest.approx(80, abs=0.1)


def test_what_notches_are_called_can_be_chosen() -> None:
    chosen = drawn(polyline(50, 50 + 5j), classes=("tick",))

    (piece,) = found(front(), chosen, tick(80), settings=CHOSEN).pieces

    assert places(piece) == [50]


def test_a_large_line_called_notch_is_none() -> None:
    (piece,) = found(front(), tick(80, 40j)).pieces

    assert places(piece) == []


@pytest.mark.parametrize(("apart", "count"), [(2.9, 1), (3.1, 0)])
def test_a_notch_ends_near_the_outline(apart: float, count: int) -> None:
    assert NOTCH_REACH_MM == 3.0
    result = found(front(), tick(80 + apart * 1j))

    (piece,) = result.pieces
    assert len(places(piece)) == count
    assert astray(result) == [
        "this notch lies along no outline of a piece; draw it nearer"
    ] * (1 - count)


def test_a_notch_keeps_what_the_drawing_calls_it() -> None:
    line = drawn(polyline(80, 80 + 5j), label="A", id="notch-7", layer="Notches")

    (piece,) = found(front(), line).pieces

    assert piece.around.notches[0].names == ("A", "notch-7")


def test_notches_of_cut_outs_come_after_those_of_the_outline() -> None:
    hole = compound(rectangle(300, 200), circle_outline(40, 150 + 90j), label="front")
    lines = [tick(150 + 130j, 4j), tick(20 + 200j, -5j), tick(40)]

    (piece,) = found(*hole, *lines).pieces

    assert places(piece) == pytest.approx([40, 20 + 200j, 150 + 130j], abs=1e-9)


def test_a_notch_across_a_common_line_is_on_both_pieces() -> None:
    left = drawn(rectangle(100, 80), label="left")
    right = drawn(polygon(100, 200, 200 + 80j, 100 + 80j), label="right")

    pieces = found(left, right, tick(97 + 30j, 6)).pieces

    assert [len(places(piece)) for piece in pieces] == [1, 1]
    for piece in pieces:
        assert places(piece)[0] == pytest.approx(100 + 30j, abs=1e-9)


def test_of_nested_sizes_those_on_which_a_notch_lies_have_it() -> None:
    nest = [front("S", 200), front("M", 210)]

    both = found(*nest, tick(60)).pieces
    larger = found(*nest, tick(210 + 50j, -5)).pieces
    smaller = found(*nest, drawn(polyline(200 + 50j, 195 + 50j), label="notch")).pieces

    def by_size(pieces: tuple[Piece, ...]) -> dict[str | None, int]:
        return {piece.size: len(places(piece)) for piece in pieces}

    assert by_size(both) == {"S": 1, "M": 1}
    assert by_size(larger) == {"S": 0, "M": 1}
    assert by_size(smaller) == {"S": 1, "M": 0}


def test_a_notch_of_a_size_is_on_that_size_only() -> None:
    nest = [front("S", 200), front("M", 210)]
    line = drawn(polyline(60, 60 + 5j), label="notch", layer="Size M")

    pieces = {piece.size: piece for piece in found(*nest, line).pieces}

    assert places(pieces["S"]) == []
    assert places(pieces["M"]) == [60]


# Marker lines


def bind(path: Path) -> DrawnLine:
    return drawn(path, layer="Bind")


def test_marks_are_no_pieces_and_no_cut_outs_of_pieces() -> None:
    closed = [
        bind(polygon(2 + 2j, 198 + 2j, 198 + 98j, 2 + 98j)),
        drawn(polygon(77, 83, 80 + 5j), layer="Notches"),
    ]

    (piece,) = found(front(), *closed).pieces

    assert piece.name == "front"
    assert piece.cutouts == ()
    assert piece.area == pytest.approx(20000)


@pytest.mark.parametrize(("apart", "count"), [(4.9, 1), (5.1, 0)])
def test_a_marker_runs_near_the_outline_all_along(apart: float, count: int) -> None:
    assert MARKER_REACH_MM == 5.0
    result = found(front(), bind(polyline(50 + 1j, 150 + apart * 1j)))

    (piece,) = result.pieces
    assert len(piece.around.markers) == count
    assert len(astray(result)) == 1 - count


def test_a_marker_goes_to_the_piece_that_it_runs_along() -> None:
    left = drawn(rectangle(100, 80), label="left")
    right = drawn(polygon(120, 220, 220 + 80j, 120 + 80j), label="right")

    pieces = found(left, right, bind(polyline(122 + 10j, 122 + 70j))).pieces

    assert {p.name: len(p.around.markers) for p in pieces} == {"left": 0, "right": 1}


def test_of_nested_sizes_the_nearest_one_has_a_marker() -> None:
    nest = [front("S", 200), front("M", 206)]

    pieces = found(*nest, bind(polyline(204.5 + 20j, 204.5 + 80j))).pieces

    assert {p.size: len(p.around.markers) for p in pieces} == {"S": 0, "M": 1}


def test_without_marker_lines_in_the_settings_a_line_is_drawn_as_ever() -> None:
    (piece,) = found(
        front(), bind(polyline(50 + 2j, 150 + 2j)), settings=FindingSettings()
    ).pieces

    assert piece.around.markers == ()


# Texts


def test_texts_within_a_hands_breadth_belong_to_a_piece() -> None:
    texts = (text("in", 100 + 50j), text("by", -50 + 50j), text("far", -70 + 50j))

    (piece,) = found(front(), texts=texts).pieces

    assert [one.text for one in piece.around.texts] == ["in", "by"]


def test_a_text_of_a_size_belongs_to_that_size_only() -> None:
    texts = (text("bind", 100 + 10j, layer="Size M"), text("hem", 100 + 10j))

    pieces = {p.size: p for p in found(front("S"), front("M", 210), texts=texts).pieces}

    assert [one.text for one in pieces["S"].around.texts] == ["hem"]
    assert [one.text for one in pieces["M"].around.texts] == ["bind", "hem"]
