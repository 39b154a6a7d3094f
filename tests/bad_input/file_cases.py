"""What is no drawing at all, or cannot be opened."""

import gzip
import os
import random
import zipfile
from pathlib import Path
from typing import Final

from bad_input.case import READS, Case, writing

CHANCE: Final = random.Random(20)  # noqa: S311 - the same garbage every time
GARBAGE: Final = CHANCE.randbytes(5000)
SVG: Final = (
    b'<svg xmlns="http://www.w3.org/2000/svg" width="9cm" height="9cm">'
    b'<rect width="300" height="300" stroke="red"/></svg>'
)
DXF: Final = (
    b"0\nSECTION\n2\nENTITIES\n0\nCIRCLE\n8\n1\n10\n0\n20\n0\n40\n50\n"
    b"0\nENDSEC\n0\nEOF\n"
)


def folder_named(name: str, folder: Path) -> Path:
    path = folder / name
    path.mkdir()
    return path


def named_pipe(folder: Path) -> Path:
    path = folder / "front.svg"
    os.mkfifo(path)
    return path


def link_to(target: str, folder: Path) -> Path:
    path = folder / "front.svg"
    path.symlink_to(target)
    return path


def through_a_file(folder: Path) -> Path:
    (folder / "front.svg").write_bytes(SVG)
    return folder / "front.svg" / "back.svg"


def huge(folder: Path) -> Path:
    """A file with a hole: it takes no room, and says that it has a terabyte."""
    path = folder / "front.dxf"
    with path.open("wb") as file:
        file.truncate(2**40)
    return path


def zip_archive(folder: Path) -> Path:
    path = folder / "front.dxf"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("front.dxf", DXF)
    return path


FILE_CASES: Final = (
    Case("empty svg", writing("front.svg", b""), "is empty"),
    Case("empty dxf", writing("front.dxf", b""), "is empty"),
    Case("folder", lambda f: folder_named("front.svg", f), "is a folder"),
    Case("folder named dxf", lambda f: folder_named("front.dxf", f), "is a folder"),
    Case("named pipe", named_pipe, "is not a regular file"),
    Case("endless device", lambda f: link_to("/dev/zero", f), "is not a regular file"),
    Case("no such file", lambda f: f / "front.svg", "there is no such file"),
    Case("link to nothing", lambda f: link_to("b.svg", f), "a link to a file that is"),
    Case("link to itself", lambda f: link_to("front.svg", f), "cannot be read"),
    Case("file used as a folder", through_a_file, "cannot be read: Not a directory"),
    Case("name too long", lambda f: f / ("a" * 300), "cannot be read: File name too "),
    Case(
        "line end in the name",
        writing("front\nerror: forged.svg", GARBAGE),
        "front error: forged.svg",
    ),
    Case("a terabyte of nothing", huge, "bytes, more than the"),
    Case("svg named dxf", writing("front.dxf", SVG), READS),
    Case("dxf named svg", writing("front.svg", DXF), READS),
    Case("svg named txt", writing("front.txt", SVG), READS),
    Case("dxf without ending", writing("front", DXF), READS),
    Case("garbage named svg", writing("front.svg", GARBAGE), "front.svg"),
    Case("garbage named dxf", writing("front.dxf", GARBAGE), "is no DXF"),
    Case("nulls", writing("front.svg", bytes(4096)), "front.svg"),
    Case("zip archive", zip_archive, "looks like a ZIP archive"),
    Case("dwg", writing("front.dxf", b"AC1032" + GARBAGE), "looks like a DWG drawing"),
    Case("pdf", writing("front.dxf", b"%PDF-1.7\n" + GARBAGE), "looks like a PDF"),
    Case("png", writing("front.dxf", b"\x89PNG\r\n" + GARBAGE), "looks like a PNG"),
    Case("png named svg", writing("front.svg", b"\x89PNG\r\n\x1a\n"), "front.svg"),
    Case("plain text", writing("front.txt", b"front\n"), "is neither SVG nor DXF"),
    Case("packed dxf", writing("a.dxf", gzip.compress(DXF, mtime=0)), "a gzip archive"),
)
