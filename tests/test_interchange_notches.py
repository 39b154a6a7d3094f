"""Notches: as points, as lines, and drawn into the boundary."""

from pathlib import Path

import numpy as np
import pytest
from interchange_files import (
    CORNERS,
    Tags,
    bib,
    codes,
    interchange,
    line,
    only_piece,
    outline,
    point,
    points,
    polyline,
)

from edgefinder.geometry.measured import measure
from edgefinder.importers.interchange.drawn_piece import Notch
from edgefinder.importers.interchange.layers import NotchKind

UP = np.pi / 2


def only_notch(folder: Path, *extra: Tags) -> Notch:
    (notch,) = only_piece(folder, bib(None, *extra)).notches
    return notch


def test_a_point_says_depth_width_and_direction(tmp_path: Path) -> None:
    notch = only_notch(tmp_path, point(100, 4, depth=5, width=4, angle=90))

    assert notch == Notch(100, 5, 4, UP, NotchKind.V)


def test_a_point_without_numbers_is_a_slit(tmp_path: Path) -> None:
    assert only_notch(tmp_path, point(100, 4)) == Notch(
        100, None, None, None, NotchKind.SLIT
    )


@pytest.mark.parametrize(
    ("layer", "kind"), [(80, "T"), (81, "castle"), (82, "check"), (83, "U")]
)
def test_other_forms_have_their_layers(tmp_path: Path, layer: int, kind: str) -> None:
    assert only_notch(tmp_path, point(100, layer, depth=5)).kind == kind


def test_a_notch_beside_a_vertex_is_put_on_the_boundary(tmp_path: Path) -> None:
    # Half way along a chord of the armhole, which lies inside its ellipse.
    vertices, curve = outline()
    between = (vertices[3] + vertices[4]) / 2

    notch = only_notch(tmp_path, point(between, 4, depth=4))

    x, y = (notch.at - (300 + 400j)).real / 100, (notch.at - (300 + 400j)).imag / 150
    assert abs(notch.at - between) > 0.5
    assert np.hypot(x, y) == pytest.approx(1, abs=1e-4)
    assert len(curve) == 6


def test_a_notch_that_is_drawn_as_a_line_has_its_length(tmp_path: Path) -> None:
    for tags in (line(100, 100 + 6j, 4), line(100 + 6j, 100, 4)):
        notch = only_notch(tmp_path, tags)

        assert notch == Notch(100, 6, None, UP, NotchKind.SLIT)


def test_a_notch_that_is_drawn_as_two_lines_is_one(tmp_path: Path) -> None:
    notch = only_notch(tmp_path, line(98, 100 + 5j, 4), line(100 + 5j, 102, 4))

    assert notch == Notch(100, 5, 4, UP, NotchKind.V)


def test_a_castle_drawn_as_a_polyline_has_its_width(tmp_path: Path) -> None:
    castle = polyline([98, 98 + 5j, 102 + 5j, 102], 81)

    notch = only_notch(tmp_path, castle)

    assert notch.at == 100
    assert notch.kind is NotchKind.CASTLE
    assert notch.width == 4


def test_a_notch_inside_the_piece_is_left_out_and_said(tmp_path: Path) -> None:
    result = interchange(tmp_path, bib(None, point(150 + 100j, 4, depth=5)))

    assert result.pieces[0].notches == ()
    assert codes(result) == ["notch-off-boundary"]


def perimeter_of(folder: Path) -> float:
    return measure(only_piece(folder, bib()).boundary.path).length


DRAWN = {
    "V": ([100, 102 + 5j, 104], NotchKind.V, 4.0),
    "outside V": ([100, 102 - 5j, 104], NotchKind.V, 4.0),
    "slit": ([102, 102 + 5j, 102], NotchKind.SLIT, None),
    "narrow slit": ([101.9, 102 + 5j, 102.1], NotchKind.SLIT, None),
    "castle": ([100, 100 + 5j, 104 + 5j, 104], NotchKind.CASTLE, 4.0),
    "U": ([100, 100 + 4j, 102 + 5j, 104 + 4j, 104], NotchKind.U, 4.0),
}


@pytest.mark.parametrize("form", DRAWN)
@pytest.mark.parametrize("marked", [False, True])
def test_a_notch_drawn_into_the_boundary_adds_no_length(
    tmp_path: Path, form: str, marked: bool
) -> None:
    shape, kind, width = DRAWN[form]
    vertices, _ = outline()
    drawn = [vertices[0], *shape, *vertices[1:]]
    extra = points(shape, 2) if marked else []

    result = interchange(
        tmp_path, bib(None, extra, boundary=polyline(drawn, 1, closed=True))
    )

    piece = result.pieces[0]
    assert measure(piece.boundary.path).length == pytest.approx(
        perimeter_of(tmp_path), rel=1e-9
    )
    assert piece.corners.tolist() == list(CORNERS)
    (notch,) = piece.notches
    assert notch.at == pytest.approx(102, abs=1e-9)
    assert notch.kind is kind
    assert notch.width == width
    assert notch.depth == pytest.approx(5)
    assert "drawn-notch" in codes(result)


def test_a_notch_drawn_into_a_curve_leaves_the_curve(tmp_path: Path) -> None:
    vertices, curve = outline(9)
    at = vertices.index(curve[3])
    along = vertices[at + 1] - vertices[at]
    side = along / abs(along)
    slit = [vertices[at], vertices[at] + 5 * side * 1j, vertices[at]]
    drawn = [*vertices[:at], *slit, *vertices[at + 1 :]]

    piece = only_piece(tmp_path, bib(count=9, boundary=polyline(drawn, 1, closed=True)))

    plain = only_piece(tmp_path, bib(count=9))
    assert measure(piece.boundary.path).length == pytest.approx(
        measure(plain.boundary.path).length, rel=1e-9
    )
    assert piece.notches[0].at == pytest.approx(vertices[at])


def test_a_drawn_notch_that_stands_on_layer_4_too_is_one(tmp_path: Path) -> None:
    vertices, _ = outline()
    drawn = [vertices[0], 100, 102 + 5j, 104, *vertices[1:]]

    piece = only_piece(
        tmp_path,
        bib(None, point(102, 4), boundary=polyline(drawn, 1, closed=True)),
    )

    (notch,) = piece.notches
    assert (notch.at, notch.depth, notch.width) == (102, 5, 4)


@pytest.mark.parametrize(
    "shape",
    [
        [100, 130 + 60j, 160],
        [100, 110 + 3j, 120],
        [100, 100 + 40j, 140 + 40j, 140],
        [90, 100 + 10j, 110, 120 + 10j, 130, 140 + 10j, 150],
    ],
    ids=["dart", "flat", "recess", "zigzag"],
)
def test_what_is_no_notch_stays(tmp_path: Path, shape: list[complex]) -> None:
    vertices, _ = outline()
    drawn = [vertices[0], *shape, *vertices[1:]]

    piece = only_piece(
        tmp_path,
        bib(None, points(shape, 2), boundary=polyline(drawn, 1, closed=True)),
    )

    assert piece.notches == ()
    assert len(piece.boundary.path.segments) == len(drawn)
