"""Scraps in a drawing, as SVG and as DXF."""

import math
from pathlib import Path

import pytest
from command_line import dxf, polyline, sheet

from edgefinder.classifier.job import Grain
from edgefinder.errors import SettingsError
from edgefinder.importers.formats import read_drawing
from edgefinder.yardage.cutting import Need
from edgefinder.yardage.drawn_scraps import drawn_scraps
from edgefinder.yardage.scraps import UPRIGHT, Scrap, scrap_rectangle, scrap_tape

NEED = Need(9000.0, 40.0, grain=Grain.LENGTHWISE)


def scraps(path: Path, turned: float | None = None) -> tuple[Scrap, ...]:
    return drawn_scraps(read_drawing(path).drawing, turned)


def svg(folder: Path, shapes: str) -> tuple[Scrap, ...]:
    return scraps(sheet(folder, shapes))


def test_closed_lines_are_scraps_with_their_names(tmp_path: Path) -> None:
    found = svg(
        tmp_path,
        '<rect id="a" x="0" y="0" width="300" height="200"/>'
        '<circle cx="600" cy="200" r="100"><title>round one</title></circle>',
    )

    assert [scrap.name for scrap in found] == ["a", "round one"]
    assert found[0].area == pytest.approx(60_000)
    assert found[1].area == pytest.approx(math.pi * 100**2, rel=1e-3)
    assert {scrap.grain for scrap in found} == {UPRIGHT}


def test_what_lies_within_a_scrap_is_cut_out_of_it(tmp_path: Path) -> None:
    found = svg(
        tmp_path,
        '<rect id="a" width="300" height="300"/>'
        '<rect x="100" y="100" width="100" height="100"/>'
        '<rect id="b" x="120" y="120" width="60" height="60"/>',
    )

    # A scrap, its hole, and a scrap that lies in the hole.
    assert [scrap.name for scrap in found] == ["a", "b"]
    assert [scrap.area for scrap in found] == pytest.approx([80_000, 3_600])


def test_a_line_in_a_scrap_is_its_grain(tmp_path: Path) -> None:
    found = svg(
        tmp_path,
        '<rect id="a" width="300" height="200"/>'
        '<path d="M 50 100 H 250"/><path d="M 250 100 l -5 5"/>'
        '<rect id="b" x="400" width="300" height="200"/>',
    )

    assert math.sin(found[0].grain) == pytest.approx(0.0, abs=1e-9)  # along x
    assert found[1].grain == UPRIGHT
    # Lengthwise strips of 300 mm lie along the line, 5 of them: 4 joins of 40 mm.
    assert scrap_tape(found[0], NEED).yield_length == pytest.approx(5 * 300 - 4 * 40)
    assert scrap_tape(found[1], NEED).yield_length == pytest.approx(7 * 200 - 6 * 40)


def test_the_grain_of_all_can_be_given(tmp_path: Path) -> None:
    path = sheet(tmp_path, '<rect width="300" height="200"/><path d="M 9 100 H 280"/>')

    (found,) = scraps(path, math.radians(30.0))

    assert found.grain == pytest.approx(math.radians(30.0))


def test_a_drawn_rectangle_gives_what_a_typed_one_does(tmp_path: Path) -> None:
    (drawn,) = svg(tmp_path, '<rect width="310" height="520"/>')
    need = Need(9000.0, 36.0)

    typed = scrap_rectangle("typed", 310.0, 520.0)

    assert scrap_tape(drawn, need).yield_length == pytest.approx(
        scrap_tape(typed, need).yield_length, abs=1e-3
    )


def test_a_dxf_holds_scraps_too(tmp_path: Path) -> None:
    (found,) = scraps(dxf(tmp_path, polyline("0")))

    assert found.area == pytest.approx(20_000)


def test_a_drawing_without_a_closed_line_has_no_scrap(tmp_path: Path) -> None:
    with pytest.raises(SettingsError, match="no closed line is drawn"):
        svg(tmp_path, '<path d="M 0 0 H 100 V 100"/>')


def test_every_outline_that_crosses_itself_is_told(tmp_path: Path) -> None:
    with pytest.raises(SettingsError) as caught:
        svg(
            tmp_path,
            '<path id="bow" d="M 0 0 L 100 100 L 100 0 L 0 100 Z"/>'
            '<path id="tie" d="M 200 0 L 300 100 L 300 0 L 200 100 Z"/>'
            '<rect x="400" width="20" height="20"/>',
        )

    assert len(caught.value.messages) == 2
    assert all("crosses itself" in line for line in caught.value.messages)


def test_a_scrap_in_the_wrong_unit_is_told(tmp_path: Path) -> None:
    path = sheet(tmp_path, '<rect width="900" height="900"/>')

    with pytest.raises(SettingsError, match="check the unit of the drawing"):
        drawn_scraps(read_drawing(path, unit_mm=25.4).drawing)
