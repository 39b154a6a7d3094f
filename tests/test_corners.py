import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapes import polygon
from tape_cases import edge_leg, piece_of

from edgefinder.binding.runs import RunCorner
from edgefinder.classifier.job import InsideCorner
from edgefinder.curvature.corners import SHARP_CORNER, is_sharp, mitre_length


def corner(turn: float) -> RunCorner:
    """A corner of a run; the edge before it is a stand-in."""
    leg = edge_leg(piece_of(polygon(0, 100, 100 + 100j)), 1)
    return RunCorner(turn, leg.spans[0].edge, leg.length)


@given(st.floats(0.5, 2.8), st.floats(2, 30))
def test_an_inside_mitre_takes_what_its_stitching_lines_are_longer(
    turn: float, width: float
) -> None:
    # The two lines set in by w meet on the bisector, w tan(t/2) past the corner.
    way_in, way_out = 1 + 0j, complex(math.cos(-turn), math.sin(-turn))
    p, q = 1j * width, 1j * width * way_out
    cross = (way_in.conjugate() * way_out).imag
    along = ((q - p).conjugate() * way_out).imag / cross
    back = ((q - p).conjugate() * way_in).imag / cross

    extra = mitre_length(corner(-turn), width, InsideCorner.MITRE)

    assert extra == pytest.approx(along - back, rel=1e-9)
    assert extra > 0


def test_a_square_inside_mitre_takes_two_widths() -> None:
    extra = mitre_length(corner(-math.pi / 2), 9.0, InsideCorner.MITRE)

    assert extra == pytest.approx(18.0)


@pytest.mark.parametrize("way", InsideCorner)
def test_an_outside_corner_takes_no_extra_tape(way: InsideCorner) -> None:
    assert mitre_length(corner(math.pi / 2), 9.0, way) == 0.0


def test_an_inside_corner_that_is_clipped_and_pulled_straight_takes_none() -> None:
    assert mitre_length(corner(-1.0), 9.0, InsideCorner.CLIP) == 0.0


def test_only_outside_corners_of_more_than_120_degrees_are_sharp() -> None:
    assert math.degrees(SHARP_CORNER) == pytest.approx(120)
    assert is_sharp(corner(math.radians(121)))
    assert not is_sharp(corner(math.radians(119)))
    assert not is_sharp(corner(math.radians(-150)))
