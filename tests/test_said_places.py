"""Places in messages stand where the program shows them that made the drawing."""

from pathlib import Path

import pytest
from dxf_drawings import drawing, read
from svg_texts import read_body

from edgefinder.errors import BrokenOutline
from edgefinder.importers.drawing import Reading
from edgefinder.pattern.outlines import find_outlines
from edgefinder.pattern.settings import FindingSettings

POINTS = ((10, 12), (70, 12), (70, 62), (10, 15))
"""An outline that is open by 3 mm, in millimetres as a program shows them."""


def is_open(reading: Reading) -> str:
    with pytest.raises(BrokenOutline) as caught:
        find_outlines(reading.drawing, FindingSettings())
    (message,) = caught.value.messages
    return message


def test_in_an_svg_y_is_counted_downwards_from_the_top_of_the_page() -> None:
    corners = " ".join(f"{x},{y}" for x, y in POINTS)

    said = is_open(read_body(f'<polyline points="{corners}"/>'))

    assert "its end at (10.0, 15.0) mm and its start at (10.0, 12.0) mm" in said


def test_in_a_sheet_whose_own_coordinates_begin_elsewhere_they_are_of_the_page() -> (
    None
):
    sheet = 'width="200mm" height="200mm" viewBox="-50 -20 100 100"'
    corners = " ".join(f"{x / 2 - 50},{y / 2 - 20}" for x, y in POINTS)

    said = is_open(read_body(f'<polyline points="{corners}"/>', sheet))

    assert "its end at (10.0, 15.0) mm and its start at (10.0, 12.0) mm" in said


def test_in_a_dxf_they_are_as_drawn(tmp_path: Path) -> None:
    document = drawing()
    document.modelspace().add_lwpolyline(POINTS)

    said = is_open(read(tmp_path, document))

    assert "its end at (10.0, 15.0) mm and its start at (10.0, 12.0) mm" in said


def test_lines_that_branch_or_cross_are_told_so_too() -> None:
    lines = "".join(
        f'<path d="M{a} L{b}"/>'
        for a, b in [
            ("10,12", "70,12"),
            ("70,12", "70,62"),
            ("70,62", "10,12"),
            ("70,12", "90,0"),
        ]
    )
    bow = read_body('<path d="M0,0 L60,40 V0 L0,40 Z"/>').drawing

    assert "3 line ends meet at (70.0, 12.0) mm" in is_open(read_body(lines))
    _, findings = find_outlines(bow, FindingSettings())
    (crossing,) = [f for f in findings if f.code == "self-crossing"]
    assert "first at (30.0, 20.0) mm" in crossing.message
