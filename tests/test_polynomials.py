"""Polynomials on [0, 1] and their changes of sign."""

from math import comb

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.polynomial import Polynomial

from edgefinder.geometry.polynomials import derivative, product, sign_changes, values
from edgefinder.geometry.segments import Floats


def from_powers(powers: list[float]) -> Floats:
    """Coefficients of (1-t)^(n-i) t^i: t^k is t^k (1-t + t)^(n-k)."""
    n = len(powers) - 1
    coefficients = np.zeros((1, n + 1))
    for k, power in enumerate(powers):
        for j in range(n - k + 1):
            coefficients[0, k + j] += power * comb(n - k, j)
    return coefficients


def from_roots(roots: list[float]) -> Floats:
    return from_powers([float(c) for c in Polynomial.fromroots(roots).coef])


powers = st.lists(st.floats(-10, 10), min_size=2, max_size=6)


@given(powers, powers, st.floats(0, 1))
def test_products_and_derivatives_agree_with_numpy(
    a: list[float], b: list[float], t: float
) -> None:
    at = np.array([[t]])
    one, other = from_powers(a), from_powers(b)

    assert values(product(one, other), at)[0, 0] == pytest.approx(
        (Polynomial(a) * Polynomial(b))(t), abs=1e-9
    )
    assert values(derivative(one), at)[0, 0] == pytest.approx(
        Polynomial(a).deriv()(t), abs=1e-9
    )


@pytest.mark.parametrize(
    ("roots", "expected"),
    [
        ([0.5], [0.5]),
        ([0.1, 0.2, 0.3, 0.4, 0.5], [0.1, 0.2, 0.3, 0.4, 0.5]),
        ([-3.0, 0.25, 7.0], [0.25]),
        ([0.3, 0.3], []),
        ([0.0, 1.0], []),
        ([0.0, 0.75, 1.0], [0.75]),
        ([1e-6, 0.999999], [1e-6, 0.999999]),
    ],
)
def test_changes_of_sign_are_found_and_touching_is_not_one(
    roots: list[float], expected: list[float]
) -> None:
    found = sign_changes(from_roots(roots))[0]

    assert found[found < 1] == pytest.approx(np.array(expected), abs=1e-13)


def test_a_triple_root_is_one_change_of_sign() -> None:
    found = sign_changes(from_roots([0.5, 0.5, 0.5]))[0]

    assert found[found < 1] == pytest.approx([0.5], abs=1e-5)


def test_degree_may_be_lower_than_it_looks_and_rows_may_be_0() -> None:
    quintic = np.concatenate([from_powers([-0.25, 1, 0, 0, 0, 0]), np.zeros((1, 6))])

    found = sign_changes(quintic)

    assert found[0, 0] == pytest.approx(0.25)
    assert np.all(found[0, 1:] == 1)
    assert np.all(found[1] == 1)


@given(st.lists(st.floats(-10, 10), min_size=3, max_size=6))
def test_no_change_of_sign_on_a_grid_is_missed(coefficients: list[float]) -> None:
    row = np.array([coefficients])
    grid = np.linspace(0, 1, 200)
    signs = np.sign(np.round(values(row, grid[np.newaxis])[0], 9))
    steps = np.flatnonzero(signs[1:] * signs[:-1] < 0)

    found = sign_changes(row)[0]

    for step in steps:
        assert np.any((found >= grid[step]) & (found <= grid[step + 1]))
