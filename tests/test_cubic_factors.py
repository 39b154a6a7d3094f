"""The derivative of a cubic as a product of two linear factors."""

import numpy as np
import pytest
from hypothesis import given
from shapes import ZOO
from strategies import cubics, parameters

from edgefinder.geometry.cubic_factors import control_differences, cubic_factors
from edgefinder.geometry.segments import Kind, Segments, cubic_segments


@given(cubics(), parameters())
def test_the_product_of_the_factors_is_the_derivative(
    table: Segments, t: float
) -> None:
    factors = cubic_factors(table.control)
    at = np.array([t])

    product = factors.factor1(at) * factors.factor2(at)

    # Differences are divided by the largest, so 1e-14 is relative.
    assert product == pytest.approx(factors.q * factors.derivative(at), abs=1e-14)


def test_noise_of_the_last_digits_is_no_handle() -> None:
    control = np.array([[0.1, 0.1 + 2e-17j, 100, 100 + 100j]])

    assert control_differences(control)[0, 0] == 0


def test_a_short_handle_is_a_handle() -> None:
    control = np.array([[0, 1e-12j, 100, 100 + 100j]])

    assert control_differences(control)[0, 0] == 1e-12j


def test_the_root_of_a_cusp_is_known() -> None:
    cusp = cubic_factors(cubic_segments([[0, 1 + 1j, 1j, 1]]).control)

    assert min(cusp.root1[0], cusp.root2[0]) == pytest.approx(0.5, abs=1e-15)
    assert max(cusp.root1[0], cusp.root2[0]) == 2


def test_straight_cubics_are_seen_in_any_direction() -> None:
    turn = np.exp(0.3j)
    straight = np.array([[0, 1, 2, 3], [0, 3, -2, 1], [1, 1, 1, 1]]) * turn
    bent = np.array([[0, 1, 2, 3 + 1e-6j]]) * turn

    assert cubic_factors(straight).straight.all()
    assert not cubic_factors(bent).straight.any()


@pytest.mark.parametrize("name", ZOO)
def test_awkward_cubics_have_finite_factors(name: str) -> None:
    segments = ZOO[name].segments
    factors = cubic_factors(segments.control[segments.kind == Kind.CUBIC])

    for values in (factors.q, factors.cross1, factors.cross2, factors.root1):
        assert np.isfinite(values).all()
