import logging
import math
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from dxf_drawings import (
    LINE_TAGS,
    codes,
    drawing,
    only_line,
    read,
    read_text,
    simple,
    text_of,
)

from edgefinder.errors import DrawingError
from edgefinder.geometry.arclength import lengths
from edgefinder.importers.dxf.reading import read_dxf

FIXTURES = Path(__file__).parent.parent / "fixtures" / "dxf"

SECTION_BLOCKS = "  0\nSECTION\n  2\nBLOCKS"

VERSIONS = ["R12", "R2000", "R2004", "R2007", "R2010", "R2013", "R2018"]


def total(path: Path) -> float:
    lines = read_dxf(path).drawing.lines
    return float(sum(lengths(line.path.segments).sum() for line in lines))


@pytest.mark.parametrize("version", VERSIONS)
@pytest.mark.parametrize("form", ["asc", "bin"])
def test_every_version_reads_the_same(tmp_path: Path, version: str, form: str) -> None:
    document = drawing(version)
    space = document.modelspace()
    space.add_circle((10, 20), 50, dxfattribs={"layer": "1"})
    space.add_polyline2d([(0, 0, 1), (30, 0, 0)], format="xyb")
    path = tmp_path / "front.dxf"
    document.saveas(path, fmt=form)

    drawn = read_dxf(path).drawing

    assert [line.kind for line in drawn.lines] == ["CIRCLE", "POLYLINE"]
    assert drawn.lines[0].layer == "1"
    assert total(path) == pytest.approx(115 * math.pi, rel=1e-14)


def test_a_line_says_where_it_comes_from(tmp_path: Path) -> None:
    document = drawing()
    line = document.modelspace().add_line((0, 0), (1, 1), dxfattribs={"layer": "8"})

    drawn = only_line(read(tmp_path, document))

    assert (drawn.kind, drawn.id, drawn.layer) == ("LINE", line.dxf.handle, "8")
    assert (drawn.groups, drawn.classes, drawn.label) == ((), (), None)
    assert drawn.where == f"pattern.dxf, LINE {line.dxf.handle}"


def test_lines_come_in_drawing_order(tmp_path: Path) -> None:
    document = drawing()
    for x in (5, 3, 9, 1):
        document.modelspace().add_line((x, 0), (x, 1))

    lines = read(tmp_path, document).drawing.lines

    assert [line.path.start for line in lines] == [5, 3, 9, 1]


def test_a_file_of_entities_alone_is_read(tmp_path: Path) -> None:
    reading = read_text(tmp_path, simple(*LINE_TAGS))

    line = only_line(reading)
    assert (line.path.end, line.layer) == (30 + 40j, "1")
    assert line.id is not None


def test_many_vertices_are_read_in_order(tmp_path: Path) -> None:
    document = drawing()
    angles = np.linspace(0, 2 * np.pi, 5001)[:-1]
    points = np.stack([100 * np.cos(angles), 100 * np.sin(angles)], axis=1)
    document.modelspace().add_lwpolyline(points.tolist(), close=True)

    line = only_line(read(tmp_path, document))

    assert len(line.path.segments) == 5000
    assert lengths(line.path.segments).sum() == pytest.approx(
        5000 * 200 * math.sin(math.pi / 5000), rel=1e-12
    )


@pytest.mark.parametrize("number", ["nan", "inf", "-inf", "1e400", "1e300"])
def test_numbers_that_are_no_coordinates_are_an_error(
    tmp_path: Path, number: str
) -> None:
    text = simple(0, "LINE", 5, "2F", 8, 1, 10, 0, 20, number, 11, 3, 21, 4)

    with pytest.raises(DrawingError, match=r"^pattern.dxf, LINE 2F: has the number"):
        read_text(tmp_path, text)


def test_a_sheet_in_paper_space_is_left_out_and_said(tmp_path: Path) -> None:
    document = drawing()
    document.modelspace().add_line((0, 0), (1, 1))
    document.paperspace().add_line((0, 0), (9, 9))

    reading = read(tmp_path, document)

    assert only_line(reading).path.end == 1 + 1j
    assert codes(reading) == ["paper-space"]
    assert reading.findings[0].message.startswith("1 entities in paper space")


def test_a_file_that_draws_nothing_is_an_error_with_the_reason(tmp_path: Path) -> None:
    document = drawing()
    document.modelspace().add_hatch()

    with pytest.raises(DrawingError, match=r"has no line .*HATCH: 1 left out"):
        read(tmp_path, document)


@pytest.mark.parametrize(
    "text",
    [
        simple(),
        "  0\nEOF\n",
        "0\nSECTION\n2\nENTITIES\n0\nENDSEC\n",
    ],
)
def test_an_empty_drawing_is_an_error(tmp_path: Path, text: str) -> None:
    with pytest.raises(DrawingError, match="has no line in model space"):
        read_text(tmp_path, text)


def test_a_damaged_file_is_repaired_and_that_is_said(tmp_path: Path) -> None:
    document = drawing()
    document.modelspace().add_line((0, 0), (30, 40))
    whole = text_of(document)
    text = whole.replace("  0\nENDSEC\n  0\nSECTION\n  2\nBLOCKS", SECTION_BLOCKS)
    assert text != whole

    reading = read_text(tmp_path, text)

    assert only_line(reading).path.end == 30 + 40j
    assert codes(reading) == ["repaired"]
    assert "missing ENDSEC tag" in reading.findings[0].message


@pytest.mark.parametrize(
    "text",
    [
        simple(0, "LINE", "not a code", "x"),
        simple(0, "LINE", 10, "abc", 20, 0, 11, 3, 21, 4),
        simple(0, "LINE", 62, "red", 10, 0, 20, 0, 11, 3, 21, 4),
        "0\nSECTION\n0\nEOF\n",
        "0\nSECTION\n2\nBLOCKS\n0\nLINE\n0\nENDSEC\n0\nEOF\n",
    ],
)
def test_what_the_library_cannot_read_is_one_line(tmp_path: Path, text: str) -> None:
    with pytest.raises(DrawingError) as caught:
        read_text(tmp_path, text)

    (message,) = caught.value.messages
    assert "pattern.dxf" in message
    assert "Traceback" not in message


@pytest.mark.parametrize("seed", range(40))
def test_damage_never_ends_in_anything_but_a_reading_or_an_error_of_ours(
    tmp_path: Path, seed: int
) -> None:
    document = drawing()
    block = document.blocks.new("FRONT")
    block.add_lwpolyline([(0, 0, 0.5), (10, 0, 0), (10, 10, 0)], "xyb", close=True)
    block.add_text("Piece Name: Front")
    space = document.modelspace()
    space.add_blockref("FRONT", (1, 2), dxfattribs={"rotation": 30})
    space.add_open_spline([(0, 0), (1, 3), (5, 5), (8, 1), (9, 9)])
    space.add_ellipse((0, 0), (10, 0), 0.5, 0, 2)
    lines = text_of(document).split("\n")
    random = np.random.default_rng(seed)
    values = ["nan", "1e400", "-1", "", "LINE", "99999999999", "abc", "0"]
    start = lines.index("BLOCKS")
    for _ in range(3):
        lines[random.integers(start, len(lines))] = values[random.integers(len(values))]

    try:
        read_lines = read_text(tmp_path, "\n".join(lines)).drawing.lines
    except DrawingError:
        read_lines = ()

    for line in read_lines:
        assert np.isfinite(line.path.segments.control).all()


def test_the_library_writes_nothing_to_the_screen(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """Two entities with one handle make it warn."""
    line = (0, "LINE", 5, "2F", *LINE_TAGS[2:])

    reading = read_text(tmp_path, simple(*line, *line))

    assert capfd.readouterr() == ("", "")
    assert "repaired" in codes(reading)
    assert "non-unique entity handle" in reading.findings[-1].message
    assert logging.getLogger("ezdxf").propagate
    assert not logging.getLogger("ezdxf").handlers


def test_a_file_that_is_no_dxf_does_not_load_the_library(tmp_path: Path) -> None:
    path = tmp_path / "front.dxf"
    path.write_bytes(b"%PDF-1.7")
    code = (
        "import pathlib, sys\n"
        "from edgefinder.errors import DrawingError\n"
        "from edgefinder.importers.dxf.reading import read_dxf\n"
        "try:\n"
        f"    read_dxf(pathlib.Path({str(path)!r}))\n"
        "except DrawingError:\n"
        "    print('ezdxf' in sys.modules)\n"
    )

    done = subprocess.run(  # noqa: S603 - our own code
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        check=True,
        cwd=Path(__file__).parent.parent,
    )

    assert done.stdout == "False\n"


@pytest.mark.parametrize(
    ("name", "length"),
    [
        # Twice a half circle of 40 and two sides of 200.
        ("mirrored-insert", 2 * (400 + 80 * math.pi)),
        # Four parabolas under right angles with legs of 50.
        ("periodic-spline", 200 * (math.sqrt(2) + math.asinh(1)) / math.sqrt(2)),
        ("no-header", 50.0),
    ],
)
def test_the_fixtures_have_their_written_lengths(name: str, length: float) -> None:
    assert total(FIXTURES / f"{name}.dxf") == pytest.approx(length, rel=1e-12)


@pytest.mark.parametrize("unit", [0, -1, math.nan, math.inf])
def test_a_unit_without_size_is_a_mistake_of_the_program(unit: float) -> None:
    with pytest.raises(ValueError, match="positive"):
        read_dxf(Path("front.dxf"), unit_mm=unit)
