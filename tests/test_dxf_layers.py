from pathlib import Path

import pytest
from dxf_drawings import codes, drawing, only_line, read
from ezdxf.colors import aci2rgb
from ezdxf.document import Drawing as Document

from edgefinder.importers.dxf.layers import readable


@pytest.fixture
def document() -> Document:
    document = drawing()
    document.layers.add("cut", color=3)
    document.layers.add("sew", true_color=0x123456)
    document.layers.add("odd").dxf.color = 300  # no number of a colour
    return document


def hexadecimal(number: int) -> str:
    return "#{:02x}{:02x}{:02x}".format(*aci2rgb(number))


@pytest.mark.parametrize(
    ("attributes", "colour"),
    [
        ({"layer": "cut"}, "#00ff00"),
        ({"layer": "CUT"}, "#00ff00"),
        ({"layer": "sew"}, "#123456"),
        ({"layer": "in no table"}, "#ffffff"),
        ({"layer": "odd"}, "#ffffff"),
        ({"layer": "cut", "color": 1}, "#ff0000"),
        ({"layer": "cut", "color": 30}, hexadecimal(30)),
        ({"layer": "cut", "color": 1, "true_color": 0xABCDEF}, "#abcdef"),
        ({"layer": "cut", "color": 0}, "#ffffff"),
    ],
)
def test_a_colour_is_true_or_numbered_or_that_of_the_layer(
    tmp_path: Path,
    document: Document,
    attributes: dict[str, object],
    colour: str,
) -> None:
    document.modelspace().add_line((0, 0), (1, 1), dxfattribs=attributes)

    line = only_line(read(tmp_path, document))

    assert line.colour == colour
    assert line.layer == attributes["layer"]


@pytest.mark.parametrize(
    ("inside", "insert", "layer", "colour"),
    [
        ({"color": 0}, {"layer": "cut", "color": 5}, "cut", hexadecimal(5)),
        ({"color": 0}, {"layer": "cut"}, "cut", "#00ff00"),
        ({"layer": "0"}, {"layer": "sew"}, "sew", "#123456"),
        ({"layer": "cut"}, {"layer": "sew", "color": 5}, "cut", "#00ff00"),
        ({"layer": "cut", "color": 0}, {"true_color": 0x010203}, "cut", "#010203"),
    ],
)
def test_what_stands_in_a_block_takes_colour_and_layer_of_the_insert(
    tmp_path: Path,
    document: Document,
    inside: dict[str, object],
    insert: dict[str, object],
    layer: str,
    colour: str,
) -> None:
    document.blocks.new("INNER").add_line((0, 0), (1, 1), dxfattribs=inside)
    # A block between the two hands on what it gets.
    document.blocks.new("OUTER").add_blockref("INNER", (0, 0), dxfattribs={"color": 0})
    document.modelspace().add_blockref("OUTER", (0, 0), dxfattribs=insert)

    line = only_line(read(tmp_path, document))

    assert (line.layer, line.colour) == (layer, colour)


@pytest.mark.parametrize("state", ["off", "freeze"])
def test_lines_on_hidden_layers_are_left_out_and_said(
    tmp_path: Path, document: Document, state: str
) -> None:
    getattr(document.layers.get("sew"), state)()
    space = document.modelspace()
    space.add_line((0, 0), (1, 1), dxfattribs={"layer": "cut"})
    space.add_line((0, 0), (2, 2), dxfattribs={"layer": "sew"})
    space.add_line((0, 0), (3, 3), dxfattribs={"layer": "Sew"})

    reading = read(tmp_path, document)

    assert only_line(reading).path.end == 1 + 1j
    messages = [finding.message for finding in reading.findings]
    word = "off" if state == "off" else "frozen"
    assert messages[0].startswith(f'layer "sew" is {word}: entities left out: 1')


def test_freezing_the_layer_of_an_insert_hides_all_of_it(
    tmp_path: Path, document: Document
) -> None:
    document.layers.get("sew").freeze()
    document.blocks.new("A").add_line((0, 0), (1, 1), dxfattribs={"layer": "cut"})
    space = document.modelspace()
    space.add_blockref("A", (0, 0), dxfattribs={"layer": "sew"})
    space.add_line((0, 0), (5, 5))

    assert only_line(read(tmp_path, document)).path.end == 5 + 5j


def test_switching_off_the_layer_of_an_insert_hides_only_what_floats_on_it(
    tmp_path: Path, document: Document
) -> None:
    document.layers.get("sew").off()
    block = document.blocks.new("A")
    block.add_line((0, 0), (1, 1), dxfattribs={"layer": "cut"})
    block.add_line((0, 0), (2, 2), dxfattribs={"layer": "0"})
    space = document.modelspace()
    space.add_blockref("A", (0, 0), dxfattribs={"layer": "sew"})

    assert only_line(read(tmp_path, document)).layer == "cut"


def test_invisible_lines_are_left_out_and_said(
    tmp_path: Path, document: Document
) -> None:
    space = document.modelspace()
    space.add_line((0, 0), (1, 1))
    space.add_line((0, 0), (2, 2), dxfattribs={"invisible": 1})

    reading = read(tmp_path, document)

    assert only_line(reading).path.end == 1 + 1j
    assert codes(reading) == ["invisible"]


@pytest.mark.parametrize(
    ("written", "text"),
    [
        ("plain", "plain"),
        ("Ärmel", "Ärmel"),
        (r"\U+00C4rmel", "Ärmel"),
        ("\udce4rmel", "\ufffdrmel"),
        (r"\U+D800x", "\ufffdx"),
        ("ä\udc81", "ä\ufffd"),
    ],
)
def test_text_can_always_be_written_out(written: str, text: str) -> None:
    assert readable(written) == text
    assert readable(written).encode("utf-8")
