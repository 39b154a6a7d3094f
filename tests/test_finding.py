"""Pieces of whole drawings, as a person would draw them."""

from pathlib import Path as FilePath

import pytest
from drawn import LARGE_SHEET, compound, drawn, pieces_of, reading
from dxf_drawings import drawing as dxf_drawing
from dxf_drawings import read as read_dxf_document
from shapes import polygon, rectangle
from svg_texts import read_body

from edgefinder.errors import BrokenOutline
from edgefinder.findings import Severity
from edgefinder.geometry.path import Path
from edgefinder.importers.formats import read_drawing
from edgefinder.pattern.finding import find_pieces
from edgefinder.pattern.name_pattern import parse_name_pattern
from edgefinder.pattern.pieces import Piece
from edgefinder.pattern.settings import FindingSettings


def square(x: float, side: float = 50.0) -> Path:
    return polygon(x, x + side, x + side + side * 1j, x + side * 1j)


def named(*names: str, size: str | None = None) -> list[str]:
    layer = None if size is None else f"Size {size}"
    lines = [
        drawn(square(100.0 * n), label=name, layer=layer)
        for n, name in enumerate(names)
    ]
    return [piece.name for piece in pieces_of(*lines)]


def from_svg(body: str) -> tuple[Piece, ...]:
    return find_pieces(read_body(body, LARGE_SHEET), FindingSettings()).pieces


def test_two_pieces_of_one_name_are_told_apart_by_a_number() -> None:
    assert named("front", "back", "front", "front") == [
        "front",
        "back",
        "front 2",
        "front 3",
    ]


def test_a_number_that_another_piece_has_already_is_not_given_again() -> None:
    names = named("front", "front 2", "front", "front")

    assert names == ["front", "front 2", "front 3", "front 4"]


def test_names_that_a_job_file_cannot_tell_apart_are_told_apart() -> None:
    assert named("Front", "front", "FRONT") == ["Front", "front 2", "FRONT 3"]


def test_no_two_pieces_of_a_size_share_a_name() -> None:
    names = named("a", "a 2", "a", "A", "a 3", "a 2", "b")

    assert len({name.casefold() for name in names}) == len(names)


def test_a_thousand_pieces_of_one_name_are_numbered() -> None:
    names = named(*["strap"] * 1000)

    assert names[0] == "strap"
    assert names[-1] == "strap 1000"


def test_one_name_in_two_sizes_is_one_piece_in_two_sizes() -> None:
    pieces = pieces_of(
        drawn(square(0), label="front S", layer="Size S"),
        drawn(square(100), label="front M", layer="Size M"),
    )

    assert [(piece.name, piece.size) for piece in pieces] == [
        ("front", "S"),
        ("front", "M"),
    ]


def test_pieces_without_a_name_are_counted() -> None:
    pieces = pieces_of(drawn(square(0)), drawn(square(100)))

    assert [piece.name for piece in pieces] == ["piece 1", "piece 2"]


def test_findings_of_the_reader_come_first() -> None:
    reading = read_body('<rect width="90" height="80"/><line x2="9"/><text>a</text>')

    found = find_pieces(reading, FindingSettings())

    assert found.findings[: len(reading.findings)] == reading.findings


def test_a_piece_is_named_by_its_group_and_not_by_one_of_its_lines() -> None:
    (piece,) = from_svg(
        '<g id="front"><path id="neck" stroke="#f00" d="M0,0 h50"/>'
        '<path id="rest" stroke="#00f" d="M50,0 v50 h-50 v-50"/></g>'
    )

    assert piece.name == "front"
    assert len(piece.edges) == 4


def test_edges_know_the_colour_they_are_drawn_in() -> None:
    (piece,) = from_svg(
        '<g id="front"><path stroke="#f00" d="M0,0 h50"/>'
        '<path stroke="#00f" d="M50,0 v50 h-50 v-50"/></g>'
    )

    colours = [[line.colour for line in edge.sources] for edge in piece.edges]

    # The line along the top of the sheet is the upper side of the piece.
    assert colours == [["#0000ff"], ["#0000ff"], ["#ff0000"], ["#0000ff"]]


def test_two_layers_of_a_dxf_make_one_outline(tmp_path: FilePath) -> None:
    document = dxf_drawing()
    space = document.modelspace()
    space.add_lwpolyline(
        [(0, 0), (100, 0), (100, 80), (0, 80)], dxfattribs={"layer": "CUT"}
    )
    space.add_line((0, 80), (0, 0), dxfattribs={"layer": "BOUND"})

    reading = read_dxf_document(tmp_path, document)
    (piece,) = find_pieces(reading, FindingSettings()).pieces

    layers = [[line.layer for line in edge.sources] for edge in piece.edges]
    assert layers == [["CUT"], ["CUT"], ["CUT"], ["BOUND"]]


def test_a_piece_measures_its_outline_and_its_cut_outs() -> None:
    hole = polygon(100 + 100j, 200 + 100j, 200 + 200j, 100 + 200j)

    (piece,) = pieces_of(*compound(rectangle(400, 300), hole))

    assert piece.perimeter == pytest.approx(1400)
    assert [ring.length for ring in piece.cutouts] == pytest.approx([400])
    assert piece.area == pytest.approx(400 * 300 - 100 * 100)


def test_an_open_outline_stops_the_drawing() -> None:
    with pytest.raises(BrokenOutline):
        from_svg('<path d="M0,0 h100 v100 h-100 v-95"/>')


def test_two_subpaths_of_an_svg_path_are_an_outline_and_its_cut_out() -> None:
    (piece,) = from_svg(
        '<path id="front" d="M0,0 h90 v80 h-90 z M30,30 v20 h20 v-20 z"/>'
    )

    assert [ring.length for ring in piece.cutouts] == pytest.approx([80])


def test_two_elements_of_an_svg_are_an_outline_and_a_mark() -> None:
    body = (
        '<path id="front" d="M0,0 h90 v80 h-90 z"/><path id="slit" '
        'd="M30,30 v20 h20 v-20 z"/>'
    )
    found = find_pieces(read_body(body, LARGE_SHEET), FindingSettings())

    assert [piece.cutouts for piece in found.pieces] == [()]
    assert "inner-line" in [finding.code for finding in found.findings]


def test_copies_of_one_path_are_elements_of_their_own() -> None:
    body = (
        '<path id="front" d="M0,0 h90 v80 h-90 z"/>'
        '<use href="#front" transform="translate(20 20) scale(0.4)"/>'
    )
    (piece,) = from_svg(body)

    assert piece.cutouts == ()


LIKE = FindingSettings(names_like=parse_name_pattern("(?P<piece>.+)-(?P<size>.+)"))


def test_a_pattern_that_no_name_is_like_is_a_warning_with_the_names() -> None:
    bib = drawn(square(0), id="bib", layer="Bib M", groups=("Bib M",))

    (finding,) = find_pieces(reading(bib), LIKE).findings

    assert (finding.code, finding.severity) == ("names-like", Severity.WARNING)
    assert finding.message.endswith('offers "bib", "Bib M", "test"')


def test_names_like_the_pattern_are_sizes_of_pieces() -> None:
    sizes = [
        drawn(square(10.0 * n, 200 - 25.0 * n), id=f"bib-{size}")
        for n, size in enumerate("LMS")
    ]

    found = find_pieces(reading(*sizes), LIKE)

    assert [(p.name, p.size) for p in found.pieces] == [
        ("bib", "L"),
        ("bib", "M"),
        ("bib", "S"),
    ]
    assert not found.findings


def test_pieces_without_a_name_are_counted_in_every_size(tmp_path: FilePath) -> None:
    rows = (("S", 0, 100), ("M", 300, 110), ("L", 600, 120))
    shapes = "".join(
        f'<g id="Size {size}"><path d="M{x} 0 h{wide} v50 h-{wide} z"/>'
        f'<path d="M{x} 100 h{wide} v80 h-{wide} z"/></g>'
        for size, x, wide in rows
    )
    path = tmp_path / "a.svg"
    path.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="900mm" height="200mm" '
        f'viewBox="0 0 900 200">{shapes}</svg>'
    )
    found = find_pieces(read_drawing(path), FindingSettings())
    assert [(piece.size, piece.name) for piece in found.pieces] == [
        (size, f"piece {n}") for size, _, _ in rows for n in (1, 2)
    ]
