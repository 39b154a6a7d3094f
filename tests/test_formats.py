"""Which reader takes a file: decided by what it holds, not by its name."""

import gzip
import io
from pathlib import Path

import ezdxf.filemanagement
import pytest
from command_line import DXF_FIXTURES, SVG_FIXTURES
from svg_texts import svg_text

from edgefinder.errors import DrawingError
from edgefinder.importers.formats import read_drawing

SQUARE = svg_text('<rect width="30" height="30"/>')
LINE = (
    b"0\nSECTION\n2\nENTITIES\n0\nLINE\n8\na\n10\n0\n20\n0\n11\n30\n21\n40\n"
    b"0\nENDSEC\n0\nEOF\n"
)
ENDINGS = [".svg", ".dxf", ".svgz", ".txt", ".SVG", ".DXF", ""]


def kind_of(folder: Path, content: bytes, ending: str) -> str:
    """Read bytes under a name, and return the kind of the only line."""
    path = folder / f"pattern{ending}"
    path.write_bytes(content)
    (line,) = read_drawing(path).drawing.lines
    return line.kind


def binary_dxf() -> bytes:
    """A binary DXF with one circle."""
    document = ezdxf.filemanagement.new()
    document.modelspace().add_circle((0, 0), 5)
    stream = io.BytesIO()
    document.write(stream, fmt="bin")
    return stream.getvalue()


@pytest.mark.parametrize("ending", ENDINGS)
def test_an_svg_is_read_under_any_name(tmp_path: Path, ending: str) -> None:
    assert kind_of(tmp_path, SQUARE, ending) == "rect"


@pytest.mark.parametrize("ending", ENDINGS)
def test_a_dxf_is_read_under_any_name(tmp_path: Path, ending: str) -> None:
    assert kind_of(tmp_path, LINE, ending) == "LINE"


@pytest.mark.parametrize("ending", ENDINGS)
def test_a_binary_dxf_is_read_under_any_name(tmp_path: Path, ending: str) -> None:
    assert kind_of(tmp_path, binary_dxf(), ending) == "CIRCLE"


@pytest.mark.parametrize("ending", ENDINGS)
def test_a_compressed_svg_is_read_under_any_name(tmp_path: Path, ending: str) -> None:
    assert kind_of(tmp_path, gzip.compress(SQUARE), ending) == "rect"


@pytest.mark.parametrize(
    "content",
    [
        b"\xef\xbb\xbf" + SQUARE,
        b"\n \r\n\t" + SQUARE,
        SQUARE.decode().encode("utf-16"),
        b'<?xml version="1.0"?><!-- ' + b"made by hand " * 500 + b"-->" + SQUARE,
        b'<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "svg11.dtd">' + SQUARE,
    ],
    ids=["mark", "blanks", "utf-16", "long comment", "doctype"],
)
def test_what_may_stand_before_an_svg_does_not_hide_it(
    tmp_path: Path, content: bytes
) -> None:
    assert kind_of(tmp_path, content, ".txt") == "rect"


@pytest.mark.parametrize(
    "content",
    [
        LINE.replace(b"\n", b"\r\n"),
        b"999\nmade by hand\n" + LINE,
        b"  0\nSECTION\n  2\nHEADER\n  0\nENDSEC\n" + LINE,
        b"\xef\xbb\xbf" + LINE,
    ],
    ids=["windows", "comment", "indented", "mark"],
)
def test_what_may_stand_before_a_dxf_does_not_hide_it(
    tmp_path: Path, content: bytes
) -> None:
    assert kind_of(tmp_path, content, ".txt") == "LINE"


def test_the_unit_is_handed_on_to_either_reader() -> None:
    for path in (SVG_FIXTURES / "true-size.svg", DXF_FIXTURES / "mirrored-insert.dxf"):
        assert read_drawing(path, unit_mm=7.5).drawing.unit_mm == 7.5


def test_the_drawing_is_named_after_the_file_without_its_folder() -> None:
    for path in (SVG_FIXTURES / "true-size.svg", DXF_FIXTURES / "mirrored-insert.dxf"):
        assert read_drawing(path).drawing.name == path.name


@pytest.mark.parametrize("content", [b"front\n", b"0\n", b"\x89PNG\r\n\x1a\n"])
def test_what_is_neither_is_said_to_be_neither(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "pattern.txt"
    path.write_bytes(content)

    with pytest.raises(DrawingError, match=r"is neither SVG nor DXF, .*; export"):
        read_drawing(path)


@pytest.mark.parametrize(
    ("ending", "complaint"),
    [
        (".svg", "is neither SVG nor DXF, it looks like plain text"),
        (".svgz", "is neither SVG nor DXF, it looks like plain text"),
        (".dxf", "is no DXF, it looks like plain text"),
    ],
)
def test_what_is_neither_is_said_in_the_words_of_its_name(
    tmp_path: Path, ending: str, complaint: str
) -> None:
    path = tmp_path / f"pattern{ending}"
    path.write_bytes(b"front\n")

    with pytest.raises(DrawingError, match=complaint):
        read_drawing(path)
