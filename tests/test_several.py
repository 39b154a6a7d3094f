"""Several paths in one pass give what each of them gives alone."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapes import ZOO, circle_outline, polygon, polyline, rounded_rectangle
from strategies import closed_outlines

from edgefinder.geometry.extent import lower_left, upper_right
from edgefinder.geometry.headings import joint_turnings
from edgefinder.geometry.measured import signed_area, signed_areas
from edgefinder.geometry.path import Path
from edgefinder.geometry.several import (
    joint_turnings_of_all,
    lower_lefts,
    put_together,
    upper_rights,
)

ANIMALS = [path for path in ZOO.values() if np.isfinite(path.segments.control).all()]


def assert_all_as_alone(paths: list[Path]) -> None:
    several = put_together(paths)

    joints = np.split(joint_turnings_of_all(several), several.bounds[1:-1])
    lows, highs, areas = (
        lower_lefts(several),
        upper_rights(several),
        signed_areas(paths),
    )

    for path, joint, low, high, area in zip(
        paths, joints, lows, highs, areas, strict=True
    ):
        assert joint.tolist() == joint_turnings(path).tolist()
        assert complex(low) == lower_left(path)
        assert complex(high) == upper_right(path)
        assert float(area) == signed_area(path)


@given(st.lists(closed_outlines(), min_size=1, max_size=5))
def test_outlines_together_are_as_each_alone(outlines: list[Path]) -> None:
    assert_all_as_alone(outlines)


@given(st.permutations(ANIMALS), st.booleans())
def test_awkward_lines_together_are_as_each_alone(
    paths: list[Path], is_closed: bool
) -> None:
    # Points have no heading: none may be taken from the path before.
    assert_all_as_alone(paths)
    assert_all_as_alone([Path(path.segments, is_closed) for path in paths])


def test_areas_of_several_outlines_are_those_of_formulas() -> None:
    outlines = [
        circle_outline(50, 300j),
        polygon(0, 100j, 100),
        rounded_rectangle(200, 100, 20),
    ]

    assert signed_areas(outlines) == pytest.approx(
        [np.pi * 2500, -5000, 20000 - (4 - np.pi) * 400]
    )


def test_a_point_at_the_start_takes_its_heading_from_its_own_path() -> None:
    north = polyline(0, 10j)
    stops = polyline(5, 5, 15)  # stands still, then runs east
    turns = polygon(0, 0, 10, 10 + 10j)

    joints = joint_turnings_of_all(put_together([north, stops, turns]))

    assert joints[1:3].tolist() == [0, 0]
    assert joints[3:].tolist() == joint_turnings(turns).tolist()


def test_no_paths_have_no_values() -> None:
    nothing = put_together([])

    assert len(joint_turnings_of_all(nothing)) == 0
    assert len(lower_lefts(nothing)) == len(upper_rights(nothing)) == 0
    assert len(signed_areas([])) == 0
