"""Corners and curve points: marks win over angles."""

from pathlib import Path

import numpy as np
import pytest
from interchange_files import (
    CORNERS,
    bib,
    codes,
    interchange,
    only_piece,
    outline,
    points,
    polyline,
)
from scipy.integrate import quad

from edgefinder.geometry.measured import measure
from edgefinder.geometry.segments import Kind

SQUARE = [0j, 200 + 0j, 200 + 100j, 100j]


def quarter(a: float, b: float) -> float:
    """Length of a quarter of an ellipse."""
    return float(
        quad(lambda t: np.hypot(a * np.sin(t), b * np.cos(t)), 0, np.pi / 2)[0]
    )


PERIMETER = 300 + 250 + 60 + 300 + quarter(100, 150) + quarter(140, 100)


@pytest.mark.parametrize(("count", "close"), [(5, 1e-7), (9, 1e-9), (41, 1e-12)])
def test_curves_are_smooth_between_corners(
    tmp_path: Path, count: int, close: float
) -> None:
    piece = only_piece(tmp_path, bib(count=count))

    path = piece.boundary.path
    assert piece.corners.tolist() == list(CORNERS)
    assert measure(path).length == pytest.approx(PERIMETER, rel=close)
    assert (path.segments.kind == Kind.LINE).sum() == 4


def test_a_turn_point_is_a_corner_however_little_it_turns(tmp_path: Path) -> None:
    vertices = [0j, 100 + 3j, 200 + 0j, 200 + 100j, 100j]
    block = bib(
        None,
        points(vertices, 2),
        boundary=polyline(vertices, 1, closed=True),
        marks=False,
    )

    piece = only_piece(tmp_path, block)

    assert piece.corners.tolist() == vertices
    assert (piece.boundary.path.segments.kind == Kind.LINE).all()


def test_a_turn_point_on_a_straight_edge_cuts_it(tmp_path: Path) -> None:
    block = bib(
        None,
        points([*SQUARE, 80 + 0j, 80.001 + 0j], 2),
        boundary=polyline(SQUARE, 1, closed=True),
        marks=False,
    )

    piece = only_piece(tmp_path, block)

    assert piece.corners.tolist() == [0, 80, 200, 200 + 100j, 100j]
    assert measure(piece.boundary.path).length == pytest.approx(600)


def test_a_curve_point_is_no_corner_however_much_it_turns(tmp_path: Path) -> None:
    angle = np.radians(np.arange(0, 360, 45))
    circle = (100 * np.exp(1j * angle)).tolist()
    block = bib(
        None,
        points(circle, 3),
        boundary=polyline(circle, 1, closed=True),
        marks=False,
    )

    piece = only_piece(tmp_path, block)

    assert len(piece.corners) == 0
    assert measure(piece.boundary.path).length == pytest.approx(200 * np.pi, rel=1e-5)


def test_marks_in_fewer_digits_are_matched(tmp_path: Path) -> None:
    vertices, curve = outline()
    rounded = [complex(round(z.real, 1), round(z.imag, 1)) for z in curve]
    block = bib(
        None,
        points(CORNERS, 2),
        points(rounded, 3),
        boundary=polyline(vertices, 1, closed=True),
        marks=False,
    )

    piece = only_piece(tmp_path, block)

    assert measure(piece.boundary.path).length == pytest.approx(PERIMETER, rel=1e-7)


def test_without_marks_angles_decide_and_it_is_said(tmp_path: Path) -> None:
    result = interchange(tmp_path, bib(marks=False))

    piece = result.pieces[0]
    assert piece.corners.tolist() == list(CORNERS)
    assert measure(piece.boundary.path).length == pytest.approx(PERIMETER, rel=1e-7)
    assert codes(result) == ["no-marks"]


def test_without_marks_a_lone_kink_stays_a_kink(tmp_path: Path) -> None:
    kinked = [0j, 100 - 10j, 200 + 0j, 200 + 100j, 100j]
    block = bib(boundary=polyline(kinked, 1, closed=True), marks=False)

    piece = only_piece(tmp_path, block)

    assert piece.corners.tolist() == [0, 200, 200 + 100j, 100j]
    assert (piece.boundary.path.segments.kind == Kind.LINE).all()


def test_a_turn_point_on_no_line_is_said(tmp_path: Path) -> None:
    result = interchange(tmp_path, bib(None, points([150 + 150j], 2)))

    assert codes(result) == ["turn-point-apart"]
    assert "(150.0, 150.0)" in result.findings[0].message


def test_marks_of_inner_lines_are_theirs(tmp_path: Path) -> None:
    angle = np.radians(np.arange(0, 360, 22.5))
    hole = (150 + 150j + 30 * np.exp(1j * angle)).tolist()
    dart = [100 + 0j, 110 + 60j, 120 + 0j]
    block = bib(
        None,
        polyline(hole, 11, closed=True),
        points(hole, 3),
        polyline(dart, 8),
        points(dart, 2),
    )

    piece = only_piece(tmp_path, block)

    (cutout,) = piece.cutouts
    assert measure(cutout.path).length == pytest.approx(60 * np.pi, rel=1e-6)
    (inner,) = piece.internal
    assert (inner.path.segments.kind == Kind.LINE).all()
    # The ends of the dart are turn points on the hem, where an edge ends.
    assert {100, 120} <= set(piece.corners.tolist())
