"""Points of a DXF: places, and the numbers of notches."""

from pathlib import Path

import numpy as np
import pytest
from dxf_drawings import LINE_TAGS, drawing, read, read_text, simple
from ezdxf.document import Drawing as Document

from edgefinder.errors import DrawingError
from edgefinder.importers.drawing import DrawnPoint


def points_of(folder: Path, document: Document) -> list[DrawnPoint]:
    document.modelspace().add_line((0, 0), (1, 1))
    return list(read(folder, document).drawing.points)


def test_a_point_is_read_where_it_stands(tmp_path: Path) -> None:
    document = drawing(unit=1)
    document.modelspace().add_point((1, 2), dxfattribs={"layer": "3"})

    (point,) = points_of(tmp_path, document)

    assert (point.at, point.layer, point.groups) == (25.4 + 50.8j, "3", ())
    assert (point.depth, point.width, point.angle) == (None, None, None)
    assert "POINT" in point.where


def test_height_thickness_and_angle_are_those_of_a_notch(tmp_path: Path) -> None:
    notch = (0, "POINT", 8, 4, 10, 5.0, 20, 6.0, 30, 4.5, 39, 3.0, 50, 90.0)

    (point,) = read_text(tmp_path, simple(*LINE_TAGS, *notch)).drawing.points

    assert (point.at, point.depth, point.width) == (5 + 6j, 4.5, 3.0)
    assert point.angle == pytest.approx(np.pi / 2)


def test_a_point_goes_with_its_insert(tmp_path: Path) -> None:
    document = drawing()
    block = document.blocks.new("FRONT")
    block.add_point((1, 0), dxfattribs={"layer": "4", "angle": 30})
    document.modelspace().add_blockref("FRONT", (100, 0), dxfattribs={"rotation": 90})

    (point,) = points_of(tmp_path, document)

    assert point.at == pytest.approx(100 + 1j)
    assert point.groups == ("FRONT",)
    assert point.angle == pytest.approx(np.radians(120))


def test_a_mirrored_insert_mirrors_the_angle(tmp_path: Path) -> None:
    document = drawing()
    document.blocks.new("FRONT").add_point((1, 0), dxfattribs={"angle": 30})
    document.modelspace().add_blockref("FRONT", (0, 0), dxfattribs={"xscale": -1})

    (point,) = points_of(tmp_path, document)

    assert point.angle == pytest.approx(np.radians(150))


def test_a_point_on_a_hidden_layer_is_left_out(tmp_path: Path) -> None:
    document = drawing()
    document.layers.add("3").off()
    document.modelspace().add_point((1, 0), dxfattribs={"layer": "3"})

    assert points_of(tmp_path, document) == []


def test_a_point_without_end_is_refused(tmp_path: Path) -> None:
    bad = (0, "POINT", 8, 4, 10, 5.0, 20, "1e300")

    with pytest.raises(DrawingError, match="POINT"):
        read_text(tmp_path, simple(*LINE_TAGS, *bad))
