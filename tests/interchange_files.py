"""Pattern interchange files of invented pieces, written by hand as R12 text."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

import numpy as np

from edgefinder.importers.drawing import Reading
from edgefinder.importers.dxf.reading import read_dxf
from edgefinder.importers.interchange.drawn_piece import DrawnPiece, Interchange
from edgefinder.importers.interchange.grade_rules import GradeRules
from edgefinder.importers.interchange.reading import read_interchange

Tags = list[object]

INCH: Final = 1
MILLIMETRE: Final = 4
"""Values of $INSUNITS."""

STYLE: Final = {
    "Style Name": "Apron",
    "Sample Size": "M",
    "Grade Rule Table": "APRON",
    "Units": "METRIC",
}

# The outline of a bib, in millimetres: hem, side, armhole (a quarter of an ellipse),
# shoulder, neckline (a quarter of another), and the middle, which lies on the fold.
CORNERS: Final = (0j, 300 + 0j, 300 + 250j, 200 + 400j, 140 + 400j, 300j)
ARMHOLE: Final = (300 + 400j, 100.0, 150.0, -90.0, -180.0)
NECKLINE: Final = (0 + 400j, 140.0, 100.0, 0.0, -90.0)
"""Centre, half axes, first and last angle in degrees."""


def on_ellipse(
    ellipse: tuple[complex, float, float, float, float], count: int
) -> list[complex]:
    """Points on a stretch of an ellipse, both ends among them."""
    centre, a, b, first, last = ellipse
    angle = np.radians(np.linspace(first, last, count))
    points = centre + a * np.cos(angle) + 1j * b * np.sin(angle)
    return [complex(round(z.real, 9), round(z.imag, 9)) for z in points.tolist()]


def outline(count: int = 5) -> tuple[list[complex], list[complex]]:
    """Vertices of the bib, and those of them that are curve points."""
    armhole, neckline = (on_ellipse(e, count)[1:-1] for e in (ARMHOLE, NECKLINE))
    a, b, c, d, e, f = CORNERS
    return [a, b, c, *armhole, d, e, *neckline, f], [*armhole, *neckline]


def line(start: complex, end: complex, layer: int) -> Tags:
    return [0, "LINE", 8, layer, *_xy(10, start), *_xy(11, end)]


def polyline(
    points: Iterable[complex], layer: int, *, closed: bool = False, digits: int = 9
) -> Tags:
    tags: Tags = [0, "POLYLINE", 8, layer, 66, 1, 70, int(closed)]
    for at in points:
        rounded = complex(round(at.real, digits), round(at.imag, digits))
        tags += [0, "VERTEX", 8, layer, *_xy(10, rounded)]
    return [*tags, 0, "SEQEND", 8, layer]


def point(
    at: complex,
    layer: int,
    *,
    depth: float | None = None,
    width: float | None = None,
    angle: float | None = None,
) -> Tags:
    tags: Tags = [0, "POINT", 8, layer, *_xy(10, at)]
    for code, value in ((30, depth), (39, width), (50, angle)):
        if value is not None:
            tags += [code, value]
    return tags


def points(places: Iterable[complex], layer: int) -> Tags:
    return [tag for at in places for tag in point(at, layer)]


def text(value: str, at: complex = 0j, layer: int = 1) -> Tags:
    return [0, "TEXT", 8, layer, *_xy(10, at), 40, 2.0, 1, value]


def texts(keys: Mapping[str, str], at: complex = 0j) -> Tags:
    return [tag for key, value in keys.items() for tag in text(f"{key}: {value}", at)]


def insert(name: str, at: complex = 0j, angle: float = 0.0) -> Tags:
    return [0, "INSERT", 8, 1, 2, name, *_xy(10, at), 50, angle]


def _xy(code: int, at: complex) -> Tags:
    return [code, at.real, code + 10, at.imag]


@dataclass(frozen=True, slots=True)
class Block:
    """One piece: its block and where it is inserted."""

    name: str
    content: Tags
    inserts: Sequence[tuple[complex, float]] = ((0j, 0.0),)


def bib(
    keys: Mapping[str, str] | None = None,
    *extra: Tags,
    count: int = 5,
    name: str = "BIB-M",
    boundary: Tags | None = None,
    marks: bool = True,
) -> Block:
    """The bib with its marks and keys, and whatever else is drawn in its block."""
    vertices, curve = outline(count)
    content = polyline(vertices, 1, closed=True) if boundary is None else boundary
    if marks:
        content = [*content, *points(CORNERS, 2), *points(curve, 3)]
    named = {"Piece Name": "Bib", "Size": "M", "Quantity": "1,0"}
    content = [*content, *texts(named if keys is None else keys)]
    return Block(name, [*content, *(tag for tags in extra for tag in tags)])


@dataclass(frozen=True, slots=True)
class Dialect:
    """How a file is written around its pieces."""

    style: Mapping[str, str] = field(default_factory=lambda: STYLE)
    insunits: int | None = None
    header: bool = True
    encoding: str = "ascii"


def file_of(blocks: Sequence[Block], dialect: Dialect | None = None) -> bytes:
    dialect = dialect or Dialect()
    tags: Tags = []
    if dialect.header:
        tags += [0, "SECTION", 2, "HEADER", 9, "$ACADVER", 1, "AC1009"]
        if dialect.insunits is not None:
            tags += [9, "$INSUNITS", 70, dialect.insunits]
        tags += [0, "ENDSEC"]
    tags += [0, "SECTION", 2, "BLOCKS"]
    for block in blocks:
        tags += [0, "BLOCK", 8, 1, 2, block.name, 70, 0, 10, 0.0, 20, 0.0]
        tags += [*block.content, 0, "ENDBLK", 8, 1]
    tags += [0, "ENDSEC", 0, "SECTION", 2, "ENTITIES"]
    for block in blocks:
        for at, angle in block.inserts:
            tags += insert(block.name, at, angle)
    tags += [*texts(dialect.style), 0, "ENDSEC", 0, "EOF"]
    return ("\n".join(map(str, tags)) + "\n").encode(dialect.encoding)


def read_file(
    folder: Path,
    *blocks: Block,
    dialect: Dialect | None = None,
    unit_mm: float | None = None,
) -> Reading:
    path = folder / "pattern.dxf"
    path.write_bytes(file_of(blocks, dialect))
    return read_dxf(path, unit_mm=unit_mm)


def interchange(
    folder: Path,
    *blocks: Block,
    dialect: Dialect | None = None,
    unit_mm: float | None = None,
    grade_rules: GradeRules | None = None,
) -> Interchange:
    reading = read_file(folder, *blocks, dialect=dialect, unit_mm=unit_mm)
    return read_interchange(reading, unit_mm=unit_mm, grade_rules=grade_rules)


def only_piece(
    folder: Path, *blocks: Block, dialect: Dialect | None = None
) -> DrawnPiece:
    (piece,) = interchange(folder, *blocks, dialect=dialect).pieces
    return piece


def codes(result: Interchange) -> list[str]:
    return [finding.code for finding in result.findings]


def rule_file(
    sizes: str, sample: str, rules: Mapping[str, str], units: str = "METRIC"
) -> bytes:
    lines = [
        "ASTM/D13Proposal 1 Version: D 6673-10",
        "GRADE RULE TABLE: APRON",
        f"UNITS: {units}",
        f"SIZE LIST: {sizes}",
        f"SAMPLE SIZE: {sample}",
    ]
    for name, pairs in rules.items():
        lines += [f"RULE: DELTA {name}", pairs]
    return "\r\n".join([*lines, "END", ""]).encode("ascii")
