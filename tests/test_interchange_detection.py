"""Interchange files are told from other drawings."""

from pathlib import Path

from dxf_drawings import drawing, read
from interchange_files import Block, bib, outline, points, polyline, read_file, texts

from edgefinder.importers.interchange.detection import detect_interchange


def test_a_block_with_a_piece_name_is_interchange(tmp_path: Path) -> None:
    assert detect_interchange(read_file(tmp_path, bib()).drawing)


def test_keys_know_no_case_and_need_no_blank(tmp_path: Path) -> None:
    block = bib({"PIECE NAME": "Bib"}, marks=False)

    assert detect_interchange(read_file(tmp_path, block).drawing)


def test_marks_are_enough_where_no_key_is_known(tmp_path: Path) -> None:
    block = Block("A", [*polyline(outline()[0], 1), *points(outline()[0], 2)])

    assert detect_interchange(read_file(tmp_path, block).drawing)


def test_a_named_piece_outside_any_block_is_none(tmp_path: Path) -> None:
    document = drawing()
    space = document.modelspace()
    space.add_lwpolyline([(0, 0), (1, 0), (1, 1)], dxfattribs={"layer": "1"})
    space.add_text("Piece Name: Bib", dxfattribs={"layer": "1"})

    assert not detect_interchange(read(tmp_path, document).drawing)


def test_a_block_on_layer_1_alone_is_none(tmp_path: Path) -> None:
    document = drawing()
    document.blocks.new("A").add_circle((0, 0), 50, dxfattribs={"layer": "1"})
    document.modelspace().add_blockref("A", (0, 0))

    assert not detect_interchange(read(tmp_path, document).drawing)


def test_pieces_in_blocks_on_named_layers_are_none(tmp_path: Path) -> None:
    document = drawing()
    block = document.blocks.new("A")
    block.add_circle((0, 0), 50, dxfattribs={"layer": "CUT"})
    block.add_text("Piece Name: Bib", dxfattribs={"layer": "1"})
    document.modelspace().add_blockref("A", (0, 0))

    assert not detect_interchange(read(tmp_path, document).drawing)


def test_two_keys_of_the_style_are_enough(tmp_path: Path) -> None:
    style = texts({"Style Name": "Apron", "Sample Size": "M"})
    block = Block("A", [*polyline(outline()[0], 1), *style])

    assert detect_interchange(read_file(tmp_path, block).drawing)
