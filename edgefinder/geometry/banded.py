"""Many small systems of equations whose matrices are symmetric and narrow."""

from typing import Final

import numpy as np

from edgefinder.geometry.segments import Complexes, Floats, Indices

BANDS: Final = 4
"""The diagonal and three beside it: what cubic B-splines couple."""


def solve_banded(bands: Floats, values: Complexes, bounds: Indices) -> Complexes:
    """Solve systems that stand one after the other.

    Parameters
    ----------
    bands : ndarray, shape (n, 4)
        ``bands[i, d]`` is the coefficient that couples unknowns i and i + d. Each
        system is positive definite; what couples two systems is 0.
    values : ndarray of complex128, shape (n,)
        Right-hand sides.
    bounds : ndarray of intp, shape (m + 1,)
        System j holds the unknowns from ``bounds[j]`` up to ``bounds[j + 1]``.

    Returns
    -------
    ndarray of complex128, shape (n,)

    Notes
    -----
    Cholesky's method without square roots, unknown by unknown for all systems of
    about one size at once; shorter ones are filled up with the equation x = 0.
    """
    solution = np.empty(len(values), dtype=np.complex128)
    sizes = np.diff(bounds)
    classes = np.ceil(2 * np.log2(np.maximum(sizes, 1)))
    for one in np.unique(classes):
        chosen = np.flatnonzero(classes == one)
        longest = int(sizes[chosen].max())
        step = np.arange(longest)[:, np.newaxis]
        is_own = step < sizes[chosen]  # (longest, systems)
        at = np.where(is_own, bounds[chosen] + step, 0)
        padded = np.zeros((longest + BANDS - 1, BANDS, len(chosen)))
        padded[:, 0] = 1.0
        padded[:longest] = np.where(
            is_own[:, np.newaxis],
            np.moveaxis(bands[at], 2, 1),
            np.array([1.0, 0.0, 0.0, 0.0])[:, np.newaxis],
        )
        right = np.zeros((longest + BANDS - 1, len(chosen)), dtype=np.complex128)
        right[:longest] = np.where(is_own, values[at], 0.0)
        solution[at[is_own]] = _solve(padded, right)[:longest][is_own]
    return solution


def _solve(bands: Floats, values: Complexes) -> Complexes:
    """Solve systems side by side; the last three equations are x = 0."""
    count = len(bands) - BANDS + 1
    for i in range(count):
        share = bands[i, 1:] / bands[i, 0]
        for d in range(1, BANDS):
            bands[i + d, : BANDS - d] -= share[d - 1] * bands[i, d:]
            values[i + d] -= share[d - 1] * values[i]
        values[i] /= bands[i, 0]
        bands[i, 1:] = share
    for i in range(count - 1, -1, -1):
        values[i] -= (bands[i, 1:] * values[i + 1 : i + BANDS]).sum(axis=0)
    return values
