"""Poses of a page, against the points of it that they move."""

import cmath
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from edgefinder.classifier.matching.poses import AS_DRAWN, TURNED_PRIOR, Pose

poses = st.builds(Pose, st.booleans(), st.floats(-math.pi, math.pi))


def moved(pose: Pose, point: complex) -> complex:
    """Mirror a point left to right, then turn it, as a pose says."""
    drawn = -point.conjugate() if pose.is_mirrored else point
    return drawn * cmath.exp(1j * pose.turned)


@given(poses, poses)
def test_one_pose_then_another_moves_points_as_both(one: Pose, other: Pose) -> None:
    for point in (3 + 1j, -2 + 5j):
        both = moved(other, moved(one, point))
        assert moved(one.then(other), point) == pytest.approx(both, abs=1e-9)


@given(poses)
def test_a_pose_then_none_is_the_same(pose: Pose) -> None:
    assert pose.is_near(pose.then(AS_DRAWN))
    assert pose.is_near(AS_DRAWN.then(pose))


def test_a_turn_costs_more_to_believe_the_larger_it_is_up_to_a_point() -> None:
    priors = [Pose(turned=math.radians(angle)).prior for angle in (0, 5, 10, 15, 90)]

    assert priors == sorted(priors)
    assert (priors[0], priors[-2], priors[-1]) == (0, TURNED_PRIOR, TURNED_PRIOR)
