from pathlib import Path

import pytest
from dxf_drawings import (
    LINE_TAGS,
    codes,
    drawing,
    only_line,
    read_text,
    simple,
    text_of,
)

from edgefinder.errors import DrawingError
from edgefinder.importers.dxf.reading import read_dxf
from edgefinder.importers.dxf.sniff import BINARY_SENTINEL, Form, mend, sniff

NAME = Path("front.dxf")
SIMPLE = simple(*LINE_TAGS)


@pytest.mark.parametrize(
    ("data", "looks"),
    [
        (b'<?xml version="1.0"?>\n<svg xmlns="x"/>', "an SVG; rename it to .svg"),
        (b"<!DOCTYPE html><html></html>", "a web page"),
        (b"<?xml version='1.0'?><a/>", "XML"),
        (b"%PDF-1.7\n", "a PDF"),
        (b"PK\x03\x04rest", "a ZIP archive; unpack it"),
        (b"AC1032\0\0\0", "a DWG drawing; open it in a drawing program"),
        (b"\x1f\x8b\x08", "a gzip archive"),
        (b"\x89PNG\r\n", "a PNG picture"),
        (b"\xff\xd8\xff\xe0", "a JPEG picture"),
        (SIMPLE.encode("utf-16"), "UTF-16 text; save it as UTF-8"),
        (b"\0\1\2\3" * 50, "binary data of another program"),
        (b"  \n\n  \n", "blank lines"),
        (b"The quick brown fox\njumps\n", "plain text"),
        (b"1\n2\n3\n4\n", "plain text"),
    ],
)
def test_what_is_no_dxf_is_told_apart(tmp_path: Path, data: bytes, looks: str) -> None:
    path = tmp_path / "front.dxf"
    path.write_bytes(data)

    with pytest.raises(DrawingError) as caught:
        read_dxf(path)

    (message,) = caught.value.messages
    assert message.startswith(f"{path}: is no DXF, it looks like {looks}")


def test_an_empty_file_is_an_error(tmp_path: Path) -> None:
    path = tmp_path / "front.dxf"
    path.write_bytes(b"")

    with pytest.raises(DrawingError, match="is empty"):
        read_dxf(path)


@pytest.mark.parametrize("line_end", ["\r", "\r\r\n"])
@pytest.mark.parametrize("version", ["R12", "R2018"])
def test_odd_line_ends_are_translated(
    tmp_path: Path, line_end: str, version: str
) -> None:
    """Those of old Macs, and of texts that were translated twice on their way."""
    document = drawing(version)
    document.modelspace().add_line((0, 0), (30, 40))
    text = text_of(document)

    reading = read_text(tmp_path, text.replace("\n", line_end))

    assert only_line(reading).path.end == 30 + 40j


def test_a_line_end_of_an_old_mac_among_others_is_one(tmp_path: Path) -> None:
    reading = read_text(tmp_path, SIMPLE.replace("30.0\n", "30.0\r"))

    assert only_line(reading).path.end == 30 + 40j


def test_a_version_is_filled_in_where_the_header_is_missing(tmp_path: Path) -> None:
    document = drawing("R2010")
    document.modelspace().add_mtext("front", dxfattribs={"insert": (1, 2)})
    document.modelspace().add_line((0, 0), (30, 40), dxfattribs={"layer": "8"})
    text = text_of(document)
    end = text.index("ENDSEC\n") + 7

    reading = read_text(tmp_path, text[end:])

    assert only_line(reading).layer == "8"
    assert reading.drawing.texts[0].text == "front"
    assert codes(reading) == ["unit-assumed"]


def test_a_header_without_version_gets_one(tmp_path: Path) -> None:
    document = drawing("R2010")
    document.modelspace().add_line((0, 0), (30, 40))
    lines = text_of(document).split("\n")
    at = lines.index("$ACADVER")
    del lines[at - 1 : at + 3]

    reading = read_text(tmp_path, "\n".join(lines))

    assert only_line(reading).path.end == 30 + 40j
    assert codes(reading) == []


@pytest.mark.parametrize(
    "data",
    [
        SIMPLE.encode(),
        SIMPLE.replace("\n", "\r\n").encode(),
        b"\xef\xbb\xbf" + SIMPLE.encode(),
        b"\n\n" + SIMPLE.encode(),
        b"999\na comment\n999\nanother\n" + SIMPLE.encode(),
        SIMPLE.replace("0\nSECTION", "  0\nSECTION  ").encode(),
    ],
)
def test_a_text_dxf_is_known_and_read(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "front.dxf"
    path.write_bytes(data)

    assert sniff(path, data) is Form.TEXT
    assert len(read_dxf(path).drawing.lines) == 1
    assert [finding.code for finding in read_dxf(path).findings] == ["unit-assumed"]


def test_a_binary_dxf_is_known() -> None:
    assert sniff(NAME, BINARY_SENTINEL + b"\0\0SECTION\0") is Form.BINARY


def test_a_whole_file_is_not_touched() -> None:
    assert mend(NAME, SIMPLE.encode()) == (SIMPLE.encode(), ())
    assert mend(NAME, SIMPLE.encode() + b"junk after the end\n")[1] == ()


def two_lines(end: str) -> str:
    return simple(*LINE_TAGS, *LINE_TAGS).removesuffix("0\nENDSEC\n0\nEOF\n") + end


@pytest.mark.parametrize(
    ("end", "lines", "says"),
    [
        ("0\nENDSEC\n", 2, "cut short; check"),
        ("0\nENDSEC", 2, "cut short; check"),
        ("", 2, "cut short; check"),
        ("0\nLINE\n8\n1\n10\n5\n", 2, "its last entity (LINE) is left out"),
        ("0\nLINE\n8\n1\n10\n5\n20\n5\n11\n9\n21\n4", 2, "last entity (LINE) is left"),
        ("0\nLINE\n8\n1\n10\n5\n20\n5\n11\n9\n21\n4\n", 3, "cut short; check"),
        ("0\nLINE\n8\n1\n10\n5\n20\n5\n11\n9\n21\n4\n62\n", 3, "cut short; check"),
        ("0\nLWPOLYLINE\n90\n3\n10\n5\n20\n5\n", 2, "(LWPOLYLINE) is left out"),
        (
            "0\nPOLYLINE\n66\n1\n0\nVERTEX\n10\n5\n20\n5\n0\nVERTEX\n10\n7\n",
            2,
            "(POLYLINE) is left out",
        ),
        (
            "0\nPOLYLINE\n0\nVERTEX\n10\n5\n20\n5\n0\nVERTEX\n10\n7\n20\n8\n0\nSEQEND\n",
            3,
            "cut short; check",
        ),
    ],
)
def test_a_file_that_was_cut_short_keeps_what_is_whole(
    tmp_path: Path, end: str, lines: int, says: str
) -> None:
    reading = read_text(tmp_path, two_lines(end))

    assert len(reading.drawing.lines) == lines
    code = "truncated" if "ENDSEC" in end else "cut-short"
    assert codes(reading) == ["unit-assumed", code]
    assert says in reading.findings[1].message


@pytest.mark.parametrize("share", [0.3, 0.6, 0.7, 0.8, 0.9, 0.95, 0.99])
def test_a_file_of_a_newer_version_can_be_cut_anywhere(
    tmp_path: Path, share: float
) -> None:
    document = drawing()
    for x in range(200):
        document.modelspace().add_lwpolyline([(x, 0), (x, 10), (x + 5, 5)])
    text = text_of(document)
    start, end = text.index("ENTITIES"), text.index("ENDSEC", text.index("ENTITIES"))

    reading = read_text(tmp_path, text[: start + int(share * (end - start))])

    assert "cut-short" in codes(reading)
    count = len(reading.drawing.lines)
    assert abs(count - 200 * share) < 3
    assert all(len(line.path.segments) == 2 for line in reading.drawing.lines)


def test_a_file_cut_before_its_entities_draws_nothing(tmp_path: Path) -> None:
    text = text_of(drawing())

    with pytest.raises(DrawingError, match=r"no line .*cut short"):
        read_text(tmp_path, text[: text.index("BLOCKS")])
