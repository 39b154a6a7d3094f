"""Every version of the format, as text and binary, whole and in parts."""

import math
import re
import struct
from pathlib import Path

import numpy as np
import pytest
from dxf_drawings import LINE_TAGS, codes, drawing, read_text, simple, text_of
from ezdxf.document import Drawing as Document
from scipy.special import ellipe

from edgefinder.errors import DrawingError
from edgefinder.geometry.arclength import lengths
from edgefinder.importers.drawing import Reading
from edgefinder.importers.dxf.binary import HIGHEST_CODE, tags_of_binary
from edgefinder.importers.dxf.encoding import encoding_of
from edgefinder.importers.dxf.reading import read_dxf
from edgefinder.importers.dxf.sniff import BINARY_SENTINEL

VERSIONS = ["R12", "R2000", "R2004", "R2007", "R2010", "R2013", "R2018"]

STADIUM = [(0, 0, 0), (100, 0, 1), (100, 40, 0), (0, 40, 1)]
PARABOLA = 50 * (math.sqrt(2) + math.asinh(1)) / math.sqrt(2)
"""Length of a parabola between legs of 50 under a right angle."""


def full(version: str) -> tuple[Document, list[tuple[str, str, float]]]:
    """Draw one of each kind; say kind, layer and length of each in closed form."""
    document = drawing(version)
    document.layers.add("1", color=3)
    document.layers.add("off").off()
    document.layers.add("frozen").freeze()
    space = document.modelspace()
    on_1 = {"layer": "1"}
    space.add_line((0, 0), (30, 40), dxfattribs=on_1)
    space.add_line((0, 0), (30, 40), dxfattribs={"layer": "off"})
    space.add_line((0, 0), (30, 40), dxfattribs={"layer": "frozen"})
    space.add_arc((3, 4), 50, 350, 80, dxfattribs=on_1)
    space.add_circle((10, 20), 50, dxfattribs=on_1)
    space.add_polyline2d(STADIUM, format="xyb", close=True, dxfattribs=on_1)
    space.add_polyline3d([(0, 0, 5), (30, 40, 5)], dxfattribs=on_1)
    block = document.blocks.new("front", base_point=(1, 2))
    block.add_circle((0, 0), 10)
    block.add_text("Piece Name: Front", dxfattribs={"layer": "1"})
    mirrored = {"xscale": -2.0, "yscale": 2.0, "rotation": 30.0, "layer": "1"}
    space.add_blockref("front", (100, 100), mirrored)
    expected = [
        ("LINE", "1", 50.0),
        ("ARC", "1", 50 * math.radians(90)),
        ("CIRCLE", "1", 100 * math.pi),
        ("POLYLINE", "1", 200 + 40 * math.pi),
        ("POLYLINE", "1", 50.0),
        ("CIRCLE", "1", 40 * math.pi),
    ]
    if version != "R12":
        space.add_lwpolyline(STADIUM, "xyb", close=True, dxfattribs=on_1)
        space.add_ellipse((5, 5), (60, 80), 0.3, dxfattribs=on_1)
        space.add_open_spline([(0, 0), (50, 0), (50, 50)], 2, dxfattribs=on_1)
        space.add_rational_spline(
            [(100, 0), (100, 100), (0, 100)], [1, math.sqrt(0.5), 1], 2, dxfattribs=on_1
        )
        expected += [
            ("LWPOLYLINE", "1", 200 + 40 * math.pi),
            ("ELLIPSE", "1", 400 * ellipe(1 - 0.3**2)),
            ("SPLINE", "1", PARABOLA),
            ("SPLINE", "1", 50 * math.pi),
        ]
    return document, expected


def seen(reading: Reading) -> list[tuple[str, str | None, float]]:
    return [
        (line.kind, line.layer, float(lengths(line.path.segments).sum()))
        for line in reading.drawing.lines
    ]


def assert_sees(reading: Reading, expected: list[tuple[str, str, float]]) -> None:
    found = seen(reading)
    assert [one[:2] for one in found] == [one[:2] for one in expected]
    assert [one[2] for one in found] == pytest.approx(
        [one[2] for one in expected], rel=1e-12
    )


@pytest.mark.parametrize("version", VERSIONS)
@pytest.mark.parametrize("form", ["asc", "bin"])
def test_every_kind_reads_in_every_version(
    tmp_path: Path, version: str, form: str
) -> None:
    document, expected = full(version)
    path = tmp_path / "front.dxf"
    document.saveas(path, fmt=form)

    reading = read_dxf(path)

    assert_sees(reading, expected)
    assert [text.text for text in reading.drawing.texts] == ["Piece Name: Front"]
    unit = ["unit-assumed"] if version == "R12" else []
    assert codes(reading) == [*unit, "layer-hidden", "layer-hidden"]


def without(text: str, *sections: str) -> str:
    """Leave sections out of a text DXF."""
    for name in sections:
        section = rf"  0\nSECTION\n  2\n{name}\n.*?  0\nENDSEC\n"
        text = re.sub(section, "", text, flags=re.DOTALL)
    return text


@pytest.mark.parametrize("version", VERSIONS)
@pytest.mark.parametrize(
    "sections",
    [
        ("HEADER",),
        ("TABLES",),
        ("CLASSES",),
        ("OBJECTS",),
        ("HEADER", "TABLES"),
        ("HEADER", "TABLES", "CLASSES", "OBJECTS"),
    ],
)
@pytest.mark.parametrize("has_end", [True, False])
def test_sections_without_drawing_may_be_missing(
    tmp_path: Path, version: str, sections: tuple[str, ...], has_end: bool
) -> None:
    document, expected = full(version)
    text = without(text_of(document), *sections)
    if not has_end:
        text = text.removesuffix("  0\nEOF\n")

    reading = read_text(tmp_path, text)

    found = seen(reading)
    if "TABLES" in sections:  # nothing says that a layer is off
        found = [one for one in found if one[1] not in {"off", "frozen"}]
    assert [one[:2] for one in found] == [one[:2] for one in expected]
    assert [one[2] for one in found] == pytest.approx(
        [one[2] for one in expected], rel=1e-12
    )
    assert ("truncated" in codes(reading)) is not has_end
    assert "repaired" not in codes(reading)


@pytest.mark.parametrize("version", VERSIONS)
def test_a_drawing_without_blocks_keeps_its_model_space(
    tmp_path: Path, version: str
) -> None:
    document, expected = full(version)

    reading = read_text(tmp_path, without(text_of(document), "BLOCKS"))

    assert_sees(reading, expected[:5] + expected[6:])


def binary(document: Document, path: Path) -> bytes:
    document.saveas(path, fmt="bin")
    return path.read_bytes()


def outlines(version: str, count: int = 40) -> Document:
    document = drawing(version)
    for x in range(count):
        document.modelspace().add_polyline2d([(x, 0), (x, 10), (x + 5, 5)])
    return document


@pytest.mark.parametrize("version", VERSIONS)
@pytest.mark.parametrize("share", [0.25, 0.5, 0.75, 0.99, 1.0])
def test_a_binary_file_that_was_cut_short_keeps_what_is_whole(
    tmp_path: Path, version: str, share: float
) -> None:
    path = tmp_path / "front.dxf"
    data = binary(outlines(version), path)
    start = data.index(b"ENTITIES")
    end = data.index(b"ENDSEC", start) - 2
    path.write_bytes(data[: start + int(share * (end - start))])

    reading = read_dxf(path)

    assert abs(len(reading.drawing.lines) - 40 * share) < 2
    assert all(len(line.path.segments) == 2 for line in reading.drawing.lines)
    assert codes(reading)[-1] == "truncated"
    message = reading.findings[-1].message
    assert re.search(r"cut short at byte \d+ of \d+", message)


@pytest.mark.parametrize("version", ["R12", "R2018"])
def test_a_binary_file_can_be_cut_at_any_byte(tmp_path: Path, version: str) -> None:
    path = tmp_path / "front.dxf"
    data = binary(outlines(version, 2), path)
    start = data.index(b"ENTITIES")
    end = data.index(b"ENDSEC", start)
    counts = []
    for cut in range(start + 10, end, 5):
        path.write_bytes(data[:cut])
        try:
            counts.append(len(read_dxf(path).drawing.lines))
        except DrawingError:
            counts.append(0)

    assert counts == sorted(counts)
    assert set(counts) == {0, 1, 2}


def test_a_binary_file_that_ends_in_its_tables_says_so(tmp_path: Path) -> None:
    path = tmp_path / "front.dxf"
    data = binary(drawing(), path)
    path.write_bytes(data[: data.index(b"TABLES") + 50])

    with pytest.raises(DrawingError, match=r"cut short at byte") as caught:
        read_dxf(path)

    assert len(caught.value.messages) == 1


def packed(*tags: object, wide: bool) -> bytes:
    """Tags as a binary DXF, with group codes of two bytes or of one."""
    data = bytearray(BINARY_SENTINEL)
    for code, value in zip(tags[::2], tags[1::2], strict=True):
        assert isinstance(code, int)
        data += struct.pack("<H", code) if wide else bytes([code])
        match value:
            case float():
                data += struct.pack("<d", value)
            case int():
                data += struct.pack("<h", value)
            case _:
                data += str(value).encode() + b"\0"
    return bytes(data)


BARE = (0, "SECTION", 2, "ENTITIES", 0, "LINE", 8, "1")
ENDS = (10, 0.0, 20, 0.0, 11, 30.0, 21, 40.0)


@pytest.mark.parametrize("wide", [True, False])
@pytest.mark.parametrize("end", [(), (0, "ENDSEC"), (0, "ENDSEC", 0, "EOF")])
def test_a_binary_file_of_entities_alone_is_read(
    tmp_path: Path, wide: bool, end: tuple[object, ...]
) -> None:
    path = tmp_path / "front.dxf"
    path.write_bytes(packed(*BARE, *ENDS, *end, wide=wide))

    reading = read_dxf(path)

    assert_sees(reading, [("LINE", "1", 50.0)])
    assert ("truncated" in codes(reading)) is (len(end) < 4)


@pytest.mark.parametrize("wide", [True, False])
def test_what_follows_the_end_of_a_binary_file_is_not_read(
    tmp_path: Path, wide: bool
) -> None:
    path = tmp_path / "front.dxf"
    whole = packed(*BARE, *ENDS, 0, "ENDSEC", 0, "EOF", wide=wide)
    path.write_bytes(whole + b"\xff\xff\x1a junk")

    assert codes(read_dxf(path)) == ["unit-assumed"]


def test_a_group_code_that_there_is_not_ends_a_binary_file() -> None:
    cut: list[str] = []
    data = packed(*BARE, *ENDS, HIGHEST_CODE + 1, "x", 0, "LINE", wide=True)

    tags = list(tags_of_binary(data, "cp1252", cut))

    assert [tag.value for tag in tags if tag.code == 0] == [
        "SECTION",
        "LINE",
        "ENDSEC",
        "EOF",
    ]
    assert cut == [f"byte {len(data) - 11} of {len(data)}"]


NAMES = {
    "cp1252": "Ärmel größer",
    "gbk": "前片左",
    "cp932": "前身頃",
    "cp850": "Ärmel größer",
    "cp1251": "Перед",
    "cp949": "앞판",
    "utf-8": "Перед 前片",
}
PAGES = {
    "cp1252": "ANSI_1252",
    "gbk": "ANSI_936",
    "cp932": "ANSI_932",
    "cp850": "dos850",
    "cp1251": "ansi_1251",
    "cp949": "ksc5601",
    "utf-8": "ANSI_1252",
}


def named(name: str, page: str | None, encoding: str) -> bytes:
    header = "0\nSECTION\n2\nHEADER\n9\n$DWGCODEPAGE\n3\n%s\n0\nENDSEC\n"
    text = simple(*(name if tag == 1 else tag for tag in LINE_TAGS))
    return ((header % page if page else "") + text).encode(encoding)


@pytest.mark.parametrize("encoding", NAMES)
def test_texts_of_a_stated_code_page_are_read(tmp_path: Path, encoding: str) -> None:
    path = tmp_path / "front.dxf"
    path.write_bytes(named(NAMES[encoding], PAGES[encoding], encoding))

    reading = read_dxf(path)

    assert reading.drawing.lines[0].layer == NAMES[encoding]


@pytest.mark.parametrize("encoding", ["cp1252", "gbk", "utf-8"])
@pytest.mark.parametrize("page", [None, "ANSI_1252", "ANSI_1200"])
def test_texts_of_no_stated_code_page_are_read_as_they_look(
    tmp_path: Path, encoding: str, page: str | None
) -> None:
    path = tmp_path / "front.dxf"
    path.write_bytes(named(NAMES[encoding], page, encoding))

    reading = read_dxf(path)

    assert reading.drawing.lines[0].layer == NAMES[encoding]
    assert ("text-encoding" in codes(reading)) is (encoding != "cp1252")


@pytest.mark.parametrize(
    "word",
    ["Größe", "Ärmelaufschläge", "façade côté", "ÅÄÖ", "Manga niño", "°C ½", "Straße"],
)
def test_words_of_western_europe_are_not_taken_for_chinese(word: str) -> None:
    data = word.encode("cp1252")

    assert encoding_of(data, binary=False) == ("cp1252", "cp1252")


@pytest.mark.parametrize("word", ["前片", "лево", "Ελλάδα", "côté", "衣袖", "ǰƬ 前"])
def test_short_words_in_two_encodings_are_told_apart(word: str) -> None:
    """Both bytes of each character of the first are those of a letter in UTF-8 too."""
    assert "前片".encode("gbk").decode() == "ǰƬ"

    assert encoding_of(word.encode(), binary=False)[0] == "utf-8"
    if word in {"前片", "衣袖"}:
        assert encoding_of(word.encode("gbk"), binary=False)[0] == "gbk"


@pytest.mark.parametrize("version", ["R2007", "R2018"])
def test_a_newer_file_that_is_no_utf8_is_read_as_it_looks(
    tmp_path: Path, version: str
) -> None:
    document = drawing(version)
    document.modelspace().add_line((0, 0), (3, 4), dxfattribs={"layer": "@@@"})
    path = tmp_path / "front.dxf"
    data = text_of(document).encode()
    path.write_bytes(data.replace(b"@@@", "衣袖".encode("gbk")))

    reading = read_dxf(path)

    assert reading.drawing.lines[0].layer == "衣袖"
    assert "text-encoding" in codes(reading)


@pytest.mark.parametrize("version", VERSIONS)
@pytest.mark.parametrize("form", ["asc", "bin"])
def test_names_beyond_ascii_read_the_same_in_every_version(
    tmp_path: Path, version: str, form: str
) -> None:
    document = drawing(version)
    document.encoding = "gbk"
    block = document.blocks.new("前片 1")
    block.add_line((0, 0), (3, 4), dxfattribs={"layer": "净样"})
    document.modelspace().add_blockref("前片 1", (0, 0))
    path = tmp_path / "front.dxf"
    document.saveas(path, fmt=form)

    (line,) = read_dxf(path).drawing.lines

    assert (line.layer, line.label) == ("净样", "前片 1")


LOOSE = {
    "LWPOLYLINE": (90, 3, 70, 1, 10, 0, 20, 0, 10, 30, 20, 0, 10, 30, 20, 40),
    "SPLINE": (
        *(70, 8, 71, 2, 72, 6, 73, 3, 40, 0, 40, 0, 40, 0, 40, 1, 40, 1, 40, 1),
        *(10, 0, 20, 0, 30, 0, 10, 50, 20, 0, 30, 0, 10, 50, 20, 50, 30, 0),
    ),
}


@pytest.mark.parametrize(
    ("kind", "length"), [("LWPOLYLINE", 120.0), ("SPLINE", PARABOLA)]
)
def test_entities_without_subclass_marks_are_read_and_said(
    tmp_path: Path, kind: str, length: float
) -> None:
    """As small writers leave them, R12 with newer entities in it."""
    reading = read_text(tmp_path, simple(0, kind, 8, "1", *LOOSE[kind], *LINE_TAGS))

    assert_sees(reading, [(kind, "1", length), ("LINE", "1", 50.0)])
    assert f"{kind} without subclass marks" in reading.findings[-1].message


def test_a_text_without_subclass_marks_is_read(tmp_path: Path) -> None:
    tags = (0, "MTEXT", 62, 3, 10, 5, 20, 6, 40, 5, 1, "front", 8, "1")

    reading = read_text(tmp_path, simple(*tags, *LINE_TAGS))

    (text,) = reading.drawing.texts
    assert (text.text, text.at, text.layer) == ("front", 5 + 6j, "1")


def test_a_binary_file_without_subclass_marks_is_read(tmp_path: Path) -> None:
    path = tmp_path / "front.dxf"
    corners = [float(number) for number in (0, 0, 30, 0, 30, 40)]
    tags = [
        tag for at, value in enumerate(corners) for tag in (10 + at % 2 * 10, value)
    ]
    path.write_bytes(
        packed(
            *(0, "SECTION", 2, "ENTITIES", 0, "LWPOLYLINE", 8, "1", 70, 1, *tags),
            *(0, "ENDSEC", 0, "EOF"),
            wide=True,
        )
    )

    assert_sees(read_dxf(path), [("LWPOLYLINE", "1", 120.0)])


def test_the_samples_of_every_version_agree_with_each_other(tmp_path: Path) -> None:
    """The same numbers, bit for bit, whatever the version and the form."""
    tables = []
    for version in VERSIONS:
        for form in ("asc", "bin"):
            document = outlines(version, 3)
            path = tmp_path / f"{version}-{form}.dxf"
            document.saveas(path, fmt=form)
            lines = read_dxf(path).drawing.lines
            tables.append(
                np.concatenate([line.path.segments.control for line in lines])
            )

    assert all((table == tables[0]).all() for table in tables)


@pytest.mark.parametrize("version", ["R12", "R2010"])
def test_data_of_other_programs_in_a_binary_file_is_passed_over(
    tmp_path: Path, version: str
) -> None:
    """Group codes from 1000 take two bytes more in R12; chunks say their length."""
    document = drawing(version)
    document.appids.add("OTHER")
    line = document.modelspace().add_line((0, 0), (30, 40), dxfattribs={"layer": "1"})
    line.set_xdata("OTHER", [(1000, "a note"), (1004, b"\x00\x01\xff"), (1040, 1.5)])
    path = tmp_path / "front.dxf"
    document.saveas(path, fmt="bin")

    assert_sees(read_dxf(path), [("LINE", "1", 50.0)])


def test_a_binary_file_that_is_cut_in_a_chunk_is_closed() -> None:
    cut: list[str] = []
    chunk = struct.pack("<HB", 310, 200) + b"\x01" * 10
    data = packed(*BARE, *ENDS, 0, "IMAGE", wide=True) + chunk

    tags = list(tags_of_binary(data, "cp1252", cut))

    assert [tag.value for tag in tags if tag.code == 0][1:] == ["LINE", "ENDSEC", "EOF"]
    assert cut[0].endswith("its last entity (IMAGE) is left out")


def test_a_binary_file_that_the_library_cannot_read_is_one_line(tmp_path: Path) -> None:
    path = tmp_path / "front.dxf"
    path.write_bytes(packed(*BARE, 10, 0.0, 11, 5.0, 0, "ENDSEC", 0, "EOF", wide=True))

    with pytest.raises(DrawingError, match="is a DXF that cannot be read") as caught:
        read_dxf(path)

    assert len(caught.value.messages) == 1
