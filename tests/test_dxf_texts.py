from pathlib import Path

import pytest
from dxf_drawings import drawing, read
from ezdxf.document import Drawing as Document
from ezdxf.enums import TextEntityAlignment

from edgefinder.importers.drawing import DrawnText


@pytest.fixture
def document() -> Document:
    document = drawing()
    document.modelspace().add_line((0, 0), (1, 1))
    return document


def texts(folder: Path, document: Document) -> list[DrawnText]:
    return list(read(folder, document).drawing.texts)


def test_a_text_is_read_where_it_stands(tmp_path: Path, document: Document) -> None:
    text = document.modelspace().add_text(
        "Piece Name: Front", dxfattribs={"layer": "1"}
    )
    text.set_placement((3, 4))

    assert texts(tmp_path, document) == [
        DrawnText("Piece Name: Front", 3 + 4j, "1", ())
    ]


def test_a_centred_text_stands_at_its_own_point(
    tmp_path: Path, document: Document
) -> None:
    text = document.modelspace().add_text("Front")
    text.set_placement((30, 40), align=TextEntityAlignment.MIDDLE_CENTER)
    text.dxf.insert = (0, 0)

    assert texts(tmp_path, document)[0].at == 30 + 40j


def test_codes_of_a_text_are_decoded(tmp_path: Path, document: Document) -> None:
    document.modelspace().add_text("cut 2 %%c10 %%d")

    assert texts(tmp_path, document)[0].text == "cut 2 Ø10 °"


def test_a_text_of_several_lines_is_one_text_a_line(
    tmp_path: Path, document: Document
) -> None:
    text = r"{\fArial|b1;Front}\P\PCut: {\C1;2}\P"
    document.modelspace().add_mtext(text, dxfattribs={"insert": (5, 6)})

    assert [(t.text, t.at) for t in texts(tmp_path, document)] == [
        ("Front", 5 + 6j),
        ("Cut: 2", 5 + 6j),
    ]


def test_a_text_in_a_block_goes_with_its_insert(
    tmp_path: Path, document: Document
) -> None:
    block = document.blocks.new("FRONT")
    block.add_text("Size: M", dxfattribs={"layer": "1"}).set_placement((1, 2))
    document.modelspace().add_blockref("FRONT", (100, 0), dxfattribs={"xscale": -1})

    assert texts(tmp_path, document) == [DrawnText("Size: M", 99 + 2j, "1", ("FRONT",))]


def test_a_mirrored_text_is_mirrored_in_x(tmp_path: Path, document: Document) -> None:
    text = document.modelspace().add_text("A", dxfattribs={"extrusion": (0, 0, -1)})
    text.set_placement((3, 4))

    assert texts(tmp_path, document)[0].at == -3 + 4j


def test_attributes_of_an_insert_are_texts(tmp_path: Path, document: Document) -> None:
    document.blocks.new("FRONT").add_attdef("NAME", (0, 0), "template")
    insert = document.modelspace().add_blockref("FRONT", (0, 0))
    insert.add_attrib("NAME", "Bodice", (7, 8))

    assert [(t.text, t.at) for t in texts(tmp_path, document)] == [("Bodice", 7 + 8j)]


def test_texts_have_the_size_of_the_drawing(tmp_path: Path) -> None:
    document = drawing(unit=1)
    document.modelspace().add_line((0, 0), (1, 1))
    document.modelspace().add_text("A").set_placement((1, 2))

    assert texts(tmp_path, document)[0].at == 25.4 + 50.8j
