"""Banded systems, against scipy."""

import numpy as np
import pytest
from scipy.linalg import solveh_banded

from edgefinder.geometry.banded import BANDS, solve_banded
from edgefinder.geometry.segments import Complexes, Floats


def random_system(size: int, seed: int) -> tuple[Floats, Complexes]:
    """A positive definite system: D^T D + 1 of random third differences."""
    rng = np.random.default_rng(seed)
    rows = rng.normal(size=(size, size))
    near = np.abs(np.subtract.outer(np.arange(size), np.arange(size)))
    lower = np.where((near < BANDS) & (np.tri(size) > 0), rows, 0.0)
    matrix = lower @ lower.T + np.eye(size)
    bands = np.zeros((size, BANDS))
    for d in range(min(BANDS, size)):
        bands[: size - d, d] = np.diagonal(matrix, d)
    return bands, rng.normal(size=size) + 1j * rng.normal(size=size)


def solved_by_scipy(bands: Floats, values: Complexes) -> Complexes:
    upper = np.zeros((BANDS, len(bands)))
    for d in range(BANDS):
        upper[BANDS - 1 - d, d:] = bands[: len(bands) - d, d]
    found: Complexes = solveh_banded(upper, values)
    return found


@pytest.mark.parametrize("sizes", [(4,), (5, 4, 6), (200, 4, 31, 31, 7), (90,) * 5])
def test_systems_of_several_sizes_are_solved_side_by_side(
    sizes: tuple[int, ...],
) -> None:
    systems = [random_system(size, seed) for seed, size in enumerate(sizes)]
    bounds = np.concatenate([[0], np.cumsum(sizes)]).astype(np.intp)

    found = solve_banded(
        np.concatenate([bands for bands, _ in systems]),
        np.concatenate([values for _, values in systems]),
        bounds,
    )

    expected = np.concatenate([solved_by_scipy(*system) for system in systems])
    assert np.allclose(found, expected, rtol=1e-9, atol=1e-9)


def test_no_system_has_no_solution() -> None:
    nothing = solve_banded(
        np.empty((0, BANDS)), np.empty(0, dtype=complex), np.zeros(1, dtype=np.intp)
    )

    assert nothing.shape == (0,)
