import math
import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from dxf_drawings import codes, drawing, only_line, read, read_text, text_of
from ezdxf.xclip import XClip
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.special import ellipe

from edgefinder.errors import DrawingError
from edgefinder.findings import Severity
from edgefinder.geometry.arclength import lengths
from edgefinder.geometry.segments import Kind
from edgefinder.importers.drawing import DrawnLine


def length(line: DrawnLine) -> float:
    return float(lengths(line.path.segments).sum())


def test_a_block_is_drawn_where_it_is_inserted(tmp_path: Path) -> None:
    document = drawing()
    block = document.blocks.new("FRONT", base_point=(1, 2))
    block.add_line((1, 2), (4, 6))
    document.modelspace().add_blockref("FRONT", (100, 200))

    line = only_line(read(tmp_path, document))

    assert (line.path.start, line.path.end) == (100 + 200j, 103 + 204j)
    assert (line.groups, line.label) == (("FRONT",), "FRONT")
    assert line.where.endswith('in block "FRONT"')


def test_a_mirrored_insert_keeps_lengths(tmp_path: Path) -> None:
    document = drawing()
    block = document.blocks.new("SLEEVE")
    block.add_lwpolyline([(0, 0, 0.4), (100, 0, -0.2), (90, 80, 0)], "xyb", close=True)
    block.add_ellipse((0, 0), (50, 20), 0.4, 0.3, 2)
    space = document.modelspace()
    space.add_blockref("SLEEVE", (0, 0))
    space.add_blockref("SLEEVE", (10, 0), dxfattribs={"xscale": -1, "rotation": 33})
    space.add_blockref("SLEEVE", (10, 0), dxfattribs={"extrusion": (0, 0, -1)})

    right, cuff, left, left_cuff, back, back_cuff = read(
        tmp_path, document
    ).drawing.lines

    assert length(left) == pytest.approx(length(right), rel=1e-13)
    assert length(back) == pytest.approx(length(right), rel=1e-13)
    assert length(left_cuff) == pytest.approx(length(cuff), rel=1e-13)
    assert length(back_cuff) == pytest.approx(length(cuff), rel=1e-13)


def test_an_uneven_scale_makes_exact_ellipses_of_circles(tmp_path: Path) -> None:
    document = drawing()
    document.blocks.new("HOLE").add_circle((0, 0), 10)
    document.modelspace().add_blockref(
        "HOLE", (0, 0), dxfattribs={"xscale": 2, "yscale": 5, "rotation": 30}
    )

    hole = only_line(read(tmp_path, document))

    assert list(hole.path.segments.kind) == [Kind.ARC]
    assert length(hole) == pytest.approx(200 * ellipe(1 - (2 / 5) ** 2), rel=1e-12)


ANGLES = st.floats(-400, 400)
SCALES = st.floats(0.1, 5).flatmap(lambda size: st.sampled_from([size, -size]))


@given(
    st.tuples(ANGLES, SCALES, SCALES, st.sampled_from([1, -1])),
    st.tuples(ANGLES, SCALES),
)
@settings(
    max_examples=25,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
def test_nested_inserts_lie_where_the_library_puts_them(
    tmp_path: Path,
    outer: tuple[float, float, float, int],
    inner: tuple[float, float],
) -> None:
    document = drawing()
    document.blocks.new("INNER", base_point=(3, 1)).add_line((7, 8), (90, -40))
    document.blocks.new("OUTER", base_point=(-5, 2)).add_blockref(
        "INNER",
        (20, 30),
        dxfattribs={"rotation": inner[0], "xscale": inner[1]},
    )
    insert = document.modelspace().add_blockref(
        "OUTER",
        (400, 50),
        dxfattribs={
            "rotation": outer[0],
            "xscale": outer[1],
            "yscale": outer[2],
            "extrusion": (0, 0, outer[3]),
        },
    )
    matrix = insert.matrix44()
    nested: Any = document.blocks.get("OUTER")[0]
    points = [
        matrix.transform(nested.matrix44().transform(p))
        for p in ((7, 8, 0), (90, -40, 0))
    ]

    line = only_line(read(tmp_path, document))

    judged = [complex(point.x, point.y) for point in points]
    assert_allclose([line.path.start, line.path.end], judged, atol=1e-9)
    assert line.groups == ("OUTER", "INNER")


def test_a_grid_turns_with_its_insert_but_is_not_scaled(tmp_path: Path) -> None:
    document = drawing()
    document.blocks.new("NOTCH").add_line((0, 0), (1, 0))
    insert = document.modelspace().add_blockref(
        "NOTCH", (5, 5), dxfattribs={"xscale": 3, "rotation": 90}
    )
    insert.grid(size=(2, 3), spacing=(10, 20))

    lines = read(tmp_path, document).drawing.lines

    starts = [complex(np.round(line.path.start, 9)) for line in lines]
    assert starts == [5 + 5j, 5 + 25j, 5 + 45j, -5 + 5j, -5 + 25j, -5 + 45j]
    assert all(length(line) == pytest.approx(3) for line in lines)


def test_a_grid_without_spacing_is_one_insert(tmp_path: Path) -> None:
    document = drawing()
    document.blocks.new("NOTCH").add_line((0, 0), (1, 0))
    insert = document.modelspace().add_blockref("NOTCH", (5, 5))
    insert.grid(size=(30, 30), spacing=(0, 0))

    assert length(only_line(read(tmp_path, document))) == 1


def test_scale_zero_is_one_and_is_said(tmp_path: Path) -> None:
    document = drawing()
    document.blocks.new("FRONT").add_line((0, 0), (30, 40))
    insert = document.modelspace().add_blockref("FRONT", (0, 0))
    insert.dxf.__dict__["xscale"] = 0.0  # the library would not write it

    reading = read(tmp_path, document)

    assert length(only_line(reading)) == 50
    assert codes(reading) == ["scale-zero"]


def test_an_anonymous_block_gives_no_label(tmp_path: Path) -> None:
    document = drawing()
    anonymous = document.blocks.new_anonymous_block()
    anonymous.add_line((0, 0), (1, 1))
    document.blocks.new("BACK").add_blockref(anonymous.name, (0, 0))
    document.modelspace().add_blockref("BACK", (0, 0))
    document.modelspace().add_blockref(anonymous.name, (9, 9))

    named, nameless = read(tmp_path, document).drawing.lines

    assert named.groups == ("BACK", anonymous.name)
    assert named.label == "BACK"
    assert (nameless.groups, nameless.label) == ((anonymous.name,), None)


def test_a_block_that_is_not_there_is_said(tmp_path: Path) -> None:
    document = drawing()
    document.modelspace().add_line((0, 0), (1, 1))
    document.modelspace().add_blockref("LOST", (0, 0))

    (finding,) = read(tmp_path, document).findings

    assert finding.code == "missing-block"
    assert '"LOST"' in finding.message


def test_a_clipped_insert_is_read_whole_and_said(tmp_path: Path) -> None:
    document = drawing()
    document.blocks.new("FRONT").add_line((0, 0), (30, 40))
    insert = document.modelspace().add_blockref("FRONT", (0, 0))
    XClip(insert).set_block_clipping_path([(0, 0), (1, 0), (1, 1)])

    reading = read(tmp_path, document)

    assert length(only_line(reading)) == 50
    assert codes(reading) == ["clipped-insert"]


def test_another_drawing_is_not_read_and_said(tmp_path: Path) -> None:
    document = drawing()
    document.modelspace().add_line((0, 0), (1, 1))
    document.add_xref_def("other.dxf", "OTHER")
    document.modelspace().add_blockref("OTHER", (0, 0))

    assert codes(read(tmp_path, document)) == ["external-drawing"]


def test_other_kinds_are_counted_in_one_finding_each(tmp_path: Path) -> None:
    document = drawing()
    space = document.modelspace()
    space.add_line((0, 0), (1, 1))
    for _ in range(3):
        space.add_point((1, 1))
        space.add_solid([(0, 0), (1, 0), (1, 1)])
    space.add_hatch()

    findings = read(tmp_path, document).findings

    assert [(f.code, f.message.split(" left")[0], f.severity) for f in findings] == [
        ("no-outline", "POINT: 3", "note"),
        ("kind-skipped", "SOLID: 3", "warning"),
        ("no-outline", "HATCH: 1", "note"),
    ]


def test_zero_length_segments_are_dropped(tmp_path: Path) -> None:
    document = drawing()
    space = document.modelspace()
    space.add_lwpolyline([(0, 0), (9, 0), (9, 1e-11), (9, 9), (0, 0)], close=True)
    space.add_line((5, 5), (5, 5))

    reading = read(tmp_path, document)

    line = only_line(reading)
    assert_allclose(lengths(line.path.segments), [9, 9, 9 * math.sqrt(2)])
    assert line.path.closed
    assert codes(reading) == ["zero-length"]


def test_splines_keep_their_tolerance_under_the_scale_of_their_insert(
    tmp_path: Path,
) -> None:
    """A quarter circle of 1 drawn in metres and inserted ten times larger."""
    document = drawing(unit=6)
    corner = [(1, 0), (1, 1), (0, 1)]
    block = document.blocks.new("CURVE")
    block.add_rational_spline(corner, [1, math.sqrt(0.5), 1], degree=2)
    document.modelspace().add_blockref(
        "CURVE", (0, 0), dxfattribs={"xscale": 10, "yscale": 10}
    )

    curve = only_line(read(tmp_path, document))

    assert length(curve) == pytest.approx(5000 * math.pi, abs=0.002)


def test_scaling_beyond_all_measure_is_an_error(tmp_path: Path) -> None:
    document = drawing()
    document.blocks.new("A").add_line((0, 0), (1e10, 1))
    document.blocks.new("B").add_blockref("A", (0, 0), dxfattribs={"xscale": 1e11})
    document.modelspace().add_blockref("B", (0, 0), dxfattribs={"xscale": 1e11})

    with pytest.raises(DrawingError, match="scaled beyond all measure"):
        read(tmp_path, document)


def test_a_damaged_spline_does_not_hide_the_other_lines(tmp_path: Path) -> None:
    document = drawing()
    space = document.modelspace()
    spline = space.add_open_spline([(0, 0), (1, 3), (5, 5), (8, 1)])
    spline.knots = [0, 0, 1]
    space.add_line((0, 0), (30, 40))

    reading = read(tmp_path, document)

    assert length(only_line(reading)) == 50
    assert codes(reading) == ["damaged"]
    assert "has 3 knots instead of 8; it was left out" in reading.findings[0].message


def test_a_tilted_insert_is_seen_from_above_and_said(tmp_path: Path) -> None:
    """Tilted by 60 degrees about the x axis: heights shrink to a half."""
    document = drawing()
    document.blocks.new("FRONT").add_line((0, 0), (0, 100))
    tilt = {"extrusion": (0, -math.sin(math.pi / 3), 0.5)}
    document.modelspace().add_blockref("FRONT", (0, 0), dxfattribs=tilt)

    reading = read(tmp_path, document)

    assert length(only_line(reading)) == pytest.approx(50)
    assert codes(reading) == ["not-flat"]
    assert reading.findings[0].severity == "warning"


def test_an_attribute_on_a_hidden_layer_is_no_text(tmp_path: Path) -> None:
    document = drawing()
    document.layers.add("hidden").freeze()
    document.blocks.new("FRONT").add_line((0, 0), (1, 1))
    insert = document.modelspace().add_blockref("FRONT", (0, 0))
    insert.add_attrib("SECRET", "x", (0, 0), dxfattribs={"layer": "hidden"})
    insert.add_attrib("NAME", "y", (0, 0))

    assert [text.text for text in read(tmp_path, document).drawing.texts] == ["y"]


@pytest.mark.parametrize("version", ["R12", "R2000", "R2010", "R2018"])
@pytest.mark.parametrize("kept", [(), ("TABLES",)])
def test_a_lost_section_of_blocks_is_told_by_the_names_of_the_blocks(
    tmp_path: Path, version: str, kept: tuple[str, ...]
) -> None:
    document = drawing(version)
    space = document.modelspace()
    space.add_line((0, 0), (1, 0))
    for name in ("FRONT", "BACK"):
        document.blocks.new(name).add_line((0, 0), (1, 0))
        space.add_blockref(name, (0, 0))
    space.add_blockref("BACK", (9, 0))
    text = text_of(document)
    for section in {"BLOCKS", "TABLES"}.difference(kept):
        text = re.sub(rf"  0\nSECTION\n  2\n{section}\n(?s:.*?)ENDSEC\n", "", text)

    reading = read_text(tmp_path, text)

    told = [f for f in reading.findings if f.code in {"empty-block", "missing-block"}]
    assert len(reading.drawing.lines) == 1
    assert [f.severity for f in told] == [Severity.WARNING] * 2
    assert '"FRONT"' in told[0].message
    assert '"BACK"' in told[1].message
    assert told[1].message.endswith(": 2")


def test_a_block_with_nothing_in_it_is_told(tmp_path: Path) -> None:
    document = drawing()
    document.blocks.new("EMPTY")
    document.blocks.new("AROUND").add_blockref("EMPTY", (0, 0))
    space = document.modelspace()
    space.add_line((0, 0), (1, 0))
    space.add_blockref("AROUND", (0, 0))

    assert codes(read(tmp_path, document)) == ["empty-block"]
