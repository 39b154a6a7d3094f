"""The judge is judged: closed forms for its quadrature and its arcs."""

import math

import pytest
from conformance.curves import Bezier, Conic, Matrix, length, path_data
from conformance.page import Shape
from conformance.second_reader import subpaths
from scipy.special import ellipe

SAME = Matrix(1, 0, 0, 1, 0, 0)


def shape(tag: str, sizes: dict[str, float], **attributes: str) -> Shape:
    nowhere = (0.0, 0.0, 0.0, 0.0)
    view_box = (300.0, 400.0)
    return Shape(
        tag, None, attributes, sizes, view_box, 0.0, nowhere, nowhere, SAME, SAME, False
    )


def path(data: str) -> Shape:
    return shape("path", {}, d=data)


def test_a_parabola_has_the_length_of_its_closed_form() -> None:
    # y = x^2 from 0 to 1: sqrt(5)/2 + asinh(2)/4.
    parabola = Bezier((0j, 0.5 + 0j, 1 + 1j))

    assert length(parabola) == pytest.approx(
        math.sqrt(5) / 2 + math.asinh(2) / 4, rel=1e-14
    )


def test_a_cubic_that_doubles_back_has_the_length_of_both_ways() -> None:
    # x = 3 t (1 - t) turns at t = 1/2 and comes back to where it began.
    there_and_back = Bezier((0j, 1 + 0j, 1 + 0j, 0j))

    assert length(there_and_back) == pytest.approx(1.5, rel=1e-14)


def test_an_ellipse_has_the_length_of_its_elliptic_integral() -> None:
    ellipse = Conic(3 + 4j, 5 + 0j, 2j, (0.0, math.tau))

    assert length(ellipse) == pytest.approx(20 * ellipe(1 - 4 / 25), rel=1e-14)


def test_a_map_is_applied_as_svg_writes_it() -> None:
    matrix = Matrix(1, 2, 3, 4, 5, 6)

    assert matrix.point(10 + 20j) == 75 + 106j


@pytest.mark.parametrize(
    ("flags", "turn"),
    [("0 0", -0.25), ("0 1", 0.25), ("1 0", -0.75), ("1 1", 0.75)],
)
def test_flags_choose_among_four_arcs(flags: str, turn: float) -> None:
    (((arc,),),) = (subpaths(path(f"M2 0A2 2 0 {flags} 0 2")),)

    assert isinstance(arc, Conic)
    assert arc.span[1] - arc.span[0] == pytest.approx(turn * math.tau, rel=1e-14)
    assert arc.start == pytest.approx(2 + 0j)


def test_radii_that_are_too_small_are_scaled_up() -> None:
    (((arc,),),) = (subpaths(path("M0 0A1 2 0 0 1 10 0")),)

    assert isinstance(arc, Conic)
    assert arc.centre == pytest.approx(5 + 0j)
    assert length(arc) == pytest.approx(20 * ellipe(1 - 1 / 4), rel=1e-14)


def test_what_has_no_extent_is_left_out() -> None:
    assert subpaths(path("M1 1L1 1M2 2zM3 3A1 1 0 0 1 3 3")) == []


def test_percentages_are_of_the_view_box() -> None:
    circle = shape("circle", {"cx": 0, "cy": 0, "r": 35.3553}, r="10%")

    (((turn,),),) = (subpaths(circle),)

    # The diagonal of 300 by 400 over the square root of two.
    assert length(turn) == pytest.approx(math.tau * 50 / math.sqrt(2), rel=1e-14)


def test_a_size_of_the_style_sheet_wins_over_the_attribute() -> None:
    circle = shape("circle", {"cx": 0, "cy": 0, "r": 7}, r="5")

    (((turn,),),) = (subpaths(circle),)

    assert length(turn) == pytest.approx(math.tau * 7, rel=1e-14)


@pytest.mark.parametrize(
    "matrix",
    [SAME, Matrix(2, 0, 0, 0.5, 1, 1), Matrix(1, 0.3, -2, 0.4, 0, 9)],
)
@pytest.mark.parametrize("span", [(0.0, 2.0), (1.0, -2.5), (0.5, 0.5 + math.tau)])
def test_an_arc_under_a_map_is_written_as_arcs(
    matrix: Matrix, span: tuple[float, float]
) -> None:
    arc = Conic(3 + 4j, 5 + 1j, -0.4 + 2j, span)

    written = subpaths(path(path_data([(arc,)], matrix, 10.0)))

    assert sum(length(part) for part in written[0]) == pytest.approx(
        10 * length(arc.mapped(matrix)), rel=1e-12
    )
