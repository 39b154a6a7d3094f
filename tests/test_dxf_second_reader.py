"""Three other readers judge the reader of DXF files.

GDAL (through pyogrio) has a DXF driver of its own in C++; the paths of ezdxf share our
parser but not our geometry; `plain_dxf_reader` shares nothing. All of them replace
curves by chords or cubics, so they agree to their accuracy and not to ours.
"""

import math
from importlib import import_module
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
import shapely
from dxf_drawings import drawing, text_of
from ezdxf.document import Drawing as Document
from ezdxf.filemanagement import readfile
from ezdxf.path import make_path
from hypothesis import given, settings
from hypothesis import strategies as st
from plain_dxf_reader import read_plainly

from edgefinder.geometry.arclength import lengths
from edgefinder.importers.dxf.reading import read_dxf

gdal: Any = import_module("pyogrio")  # published without type information

ARC_STEP_DEGREES = "0.05"
CHORDS = 2e-7
"""Relative: chords of a twentieth of a degree are 3e-8 too short, those of the plain
reader 1e-7."""
GDAL_SPLINES = 5e-3
"""GDAL draws a spline with eight chords a control point."""
CUBICS = 1e-3
"""ezdxf makes cubics of arcs and flattens them with `FLAT_MM`."""
FLAT_MM = 1e-4

VERSIONS = ["R12", "R2000", "R2007", "R2018"]

NUMBERS = st.integers(-300_000, 300_000).map(lambda i: i / 1000)
POINTS = st.tuples(NUMBERS, NUMBERS)
SIZES = st.integers(1_000, 300_000).map(lambda i: i / 1000)
ANGLES = st.integers(0, 359)
BULGES = st.sampled_from([0.0, 0.0, 0.5, -1.0, 0.1, 2.0, -0.03])
MIRRORED = st.sampled_from([{}, {"extrusion": (0, 0, -1)}])


GDAL_BULGES = st.sampled_from([0.0, 0.0, 0.5, -1.0, 0.1, -2.0, 1.0, -0.03])
"""Without those that it reads wrongly."""


def add_random(
    data: st.DataObject, space: Any, version: str, bulges: st.SearchStrategy[float]
) -> None:
    """Add an entity of any kind that the version has."""
    kinds = ["line", "arc", "circle", "polyline"]
    if version != "R12":
        kinds += ["lwpolyline", "ellipse", "spline"]
    kind = data.draw(st.sampled_from(kinds))
    look = data.draw(MIRRORED)
    match kind:
        case "line":
            start = data.draw(POINTS)
            space.add_line(start, (start[0] + data.draw(SIZES), start[1]))
        case "arc":
            angle = data.draw(ANGLES)
            ends = (angle, angle + data.draw(st.integers(1, 359)))
            space.add_arc(data.draw(POINTS), data.draw(SIZES), *ends, dxfattribs=look)
        case "circle":
            space.add_circle(data.draw(POINTS), data.draw(SIZES), dxfattribs=look)
        case "ellipse":
            axis = (data.draw(SIZES), data.draw(NUMBERS))
            ratio = data.draw(st.floats(0.1, 1))
            space.add_ellipse(data.draw(POINTS), axis, ratio)
        case "spline":
            points = data.draw(st.lists(POINTS, min_size=4, max_size=8, unique=True))
            space.add_open_spline(points, degree=3)
        case _:
            points = data.draw(st.lists(POINTS, min_size=2, max_size=8, unique=True))
            bulged = [(*point, data.draw(bulges)) for point in points]
            add = space.add_polyline2d if kind == "polyline" else space.add_lwpolyline
            closed = data.draw(st.booleans())
            add(bulged, format="xyb", close=closed, dxfattribs=look)


def random_drawing(
    data: st.DataObject, version: str, bulges: st.SearchStrategy[float]
) -> Document:
    document = drawing(version)
    space = document.modelspace()
    for _ in range(data.draw(st.integers(1, 6))):
        add_random(data, space, version, bulges)
    block = document.blocks.new("front", base_point=data.draw(POINTS))
    add_random(data, block, version, bulges)
    outer = document.blocks.new("outer")
    scale = data.draw(st.sampled_from([1.0, -1.0, 2.0, 0.25]))
    look = {
        "xscale": scale,
        "yscale": abs(scale),
        "rotation": data.draw(ANGLES),
        **data.draw(MIRRORED),
    }
    outer.add_blockref("front", data.draw(POINTS), look)
    space.add_blockref("outer", data.draw(POINTS), {"rotation": data.draw(ANGLES)})
    return document


def our_lengths(path: Path) -> list[tuple[str, float]]:
    return [
        (line.kind, float(lengths(line.path.segments).sum()))
        for line in read_dxf(path).drawing.lines
    ]


def gdal_lengths(path: Path) -> list[float]:
    gdal.set_gdal_config_options(
        {"OGR_ARC_STEPSIZE": ARC_STEP_DEGREES, "DXF_MERGE_BLOCK_GEOMETRIES": "NO"}
    )
    _, _, shapes, _ = gdal.raw.read(path)
    return [shape.length for shape in shapely.from_wkb(shapes) if shape.length > 0]


@pytest.mark.parametrize("version", VERSIONS)
@pytest.mark.parametrize("form", ["asc", "bin"])
@given(st.data())
@settings(max_examples=15, deadline=None)
def test_gdal_measures_the_same_lengths(
    tmp_path_factory: pytest.TempPathFactory,
    version: str,
    form: str,
    data: st.DataObject,
) -> None:
    path = tmp_path_factory.mktemp("gdal") / "front.dxf"
    random_drawing(data, version, GDAL_BULGES).saveas(path, fmt=form)

    ours = our_lengths(path)
    theirs = gdal_lengths(path)

    assert len(ours) == len(theirs)
    for (kind, length), judged in zip(ours, theirs, strict=True):
        accuracy = GDAL_SPLINES if kind == "SPLINE" else CHORDS
        assert length == pytest.approx(judged, rel=accuracy)


def test_gdal_reads_arcs_of_more_than_half_a_turn_to_the_left_wrongly(
    tmp_path: Path,
) -> None:
    """The reason for leaving those out; the plain reader agrees with ours."""
    document = drawing("R12")
    document.modelspace().add_polyline2d([(0, 0, 2), (100, 0, 0)], format="xyb")
    path = tmp_path / "front.dxf"
    document.saveas(path)
    # Radius 62.5, angle 4 atan 2.
    length = 62.5 * 4 * math.atan(2)

    assert our_lengths(path)[0][1] == pytest.approx(length, rel=1e-14)
    assert read_plainly(text_of(document))[0].length == pytest.approx(
        length, rel=CHORDS
    )
    assert gdal_lengths(path)[0] == pytest.approx(62.5 * math.tau - length, rel=CHORDS)


@given(st.data())
@settings(max_examples=40, deadline=None)
def test_the_plain_reader_measures_the_same_lengths_and_ends(
    tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:
    path = tmp_path_factory.mktemp("plain") / "front.dxf"
    document = random_drawing(data, "R12", BULGES)
    document.saveas(path)

    ours = read_dxf(path).drawing.lines
    theirs = read_plainly(text_of(document))

    assert [line.kind for line in ours] == [line.kind for line in theirs]
    assert [line.layer for line in ours] == [line.layer for line in theirs]
    for line, judged in zip(ours, theirs, strict=True):
        length = float(lengths(line.path.segments).sum())
        assert length == pytest.approx(judged.length, rel=CHORDS)
        assert line.path.start == pytest.approx(judged.points[0], abs=1e-9)
        assert line.path.end == pytest.approx(judged.points[-1], abs=1e-9)


@pytest.mark.parametrize("version", VERSIONS)
@given(st.data())
@settings(max_examples=15, deadline=None)
def test_the_paths_of_the_library_have_the_same_lengths(
    tmp_path_factory: pytest.TempPathFactory, version: str, data: st.DataObject
) -> None:
    path = tmp_path_factory.mktemp("paths") / "front.dxf"
    document = drawing(version)
    for _ in range(data.draw(st.integers(1, 6))):
        add_random(data, document.modelspace(), version, BULGES)
    document.saveas(path)

    ours = our_lengths(path)
    theirs = [
        math.fsum(a.distance(b) for a, b in pairwise(points))
        for entity in readfile(path).modelspace()
        for points in [list(make_path(entity).flattening(FLAT_MM))]
    ]

    assert [length for _, length in ours] == pytest.approx(
        theirs, rel=CUBICS, abs=10 * FLAT_MM
    )


@pytest.mark.parametrize("name", ["mirrored-insert", "no-header"])
def test_the_fixtures_are_judged_too(name: str) -> None:
    path = Path(__file__).parent.parent / "fixtures" / "dxf" / f"{name}.dxf"

    ours = [length for _, length in our_lengths(path)]

    assert ours == pytest.approx(gdal_lengths(path), rel=CHORDS)
    judged = read_plainly(path.read_text(encoding="utf-8"))
    assert ours == pytest.approx([one.length for one in judged], rel=CHORDS)
