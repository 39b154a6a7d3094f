"""Drawings made with the library for the tests of the DXF reader."""

import io
from pathlib import Path

from ezdxf.document import Drawing as Document
from ezdxf.filemanagement import new

from edgefinder.importers.drawing import DrawnLine, Reading
from edgefinder.importers.dxf.reading import read_dxf

MILLIMETRES = 4
"""$INSUNITS of the drawings, unless a test is about units."""


def drawing(version: str = "R2010", *, unit: int = MILLIMETRES) -> Document:
    return new(version, units=unit)


def text_of(document: Document) -> str:
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue()


def read_text(folder: Path, text: str, *, unit_mm: float | None = None) -> Reading:
    path = folder / "pattern.dxf"
    path.write_text(text, encoding="utf-8", newline="")
    return read_dxf(path, unit_mm=unit_mm)


def read(folder: Path, document: Document, *, unit_mm: float | None = None) -> Reading:
    path = folder / "pattern.dxf"
    document.saveas(path)
    return read_dxf(path, unit_mm=unit_mm)


def only_line(reading: Reading) -> DrawnLine:
    (line,) = reading.drawing.lines
    return line


def codes(reading: Reading) -> list[str]:
    return [finding.code for finding in reading.findings]


def simple(*tags: object) -> str:
    """The text of a DXF with one ENTITIES section and nothing else."""
    body = [0, "SECTION", 2, "ENTITIES", *tags, 0, "ENDSEC", 0, "EOF"]
    return "\n".join(map(str, body)) + "\n"


LINE_TAGS = (0, "LINE", 8, 1, 10, 0.0, 20, 0.0, 11, 30.0, 21, 40.0)
