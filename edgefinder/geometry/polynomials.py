"""Real polynomials on [0, 1], many at once, and where they change sign.

A polynomial of degree n is held as the coefficients of (1-t)^(n-i) t^i for i = 0..n,
shape (rows, n + 1): the Bernstein form without its binomials. On [0, 1] it loses no
digits, products are plain convolutions, and a leading coefficient of 0 does no harm.
"""

from typing import Final

import numpy as np

from edgefinder.geometry.segments import Floats

_HALVINGS: Final = 52
"""A bracket inside [0, 1] is then as narrow as the parameter can be written."""


def product(a: Floats, b: Floats) -> Floats:
    """Multiply row by row; degrees add up."""
    degree = a.shape[1] + b.shape[1] - 2
    result = np.zeros((len(a), degree + 1))
    for i in range(b.shape[1]):
        result[:, i : i + a.shape[1]] += a * b[:, i : i + 1]
    return result


def derivative(a: Floats) -> Floats:
    """Differentiate by t row by row; the degree, at least 1, falls by one."""
    degree = a.shape[1] - 1
    i = np.arange(degree)
    slope: Floats = (i + 1) * a[:, 1:] - (degree - i) * a[:, :-1]
    return slope


def values(a: Floats, t: Floats) -> Floats:
    """Evaluate at parameters, shape (rows, k), giving the same shape."""
    degree = a.shape[1] - 1
    total = np.zeros_like(t)
    for i in range(degree + 1):
        total += a[:, i : i + 1] * (1 - t) ** (degree - i) * t**i
    return total


def sign_changes(a: Floats) -> Floats:
    """Find where polynomials change sign inside (0, 1).

    Parameters
    ----------
    a : ndarray, shape (rows, n + 1), n >= 1

    Returns
    -------
    ndarray, shape (rows, n)
        Rising parameters; 1 fills up the rows with fewer changes.

    Notes
    -----
    Between two neighbouring changes of the sign of its derivative a polynomial is
    monotone, so that bisection finds its root there without fail. The derivatives are
    gone through from degree 1 upwards. Roots without a change of sign are left out.
    """
    turns = np.empty((len(a), 0))
    if a.shape[1] > 2:
        turns = sign_changes(derivative(a))
    edge = np.ones((len(a), 1))
    breaks = np.concatenate([0 * edge, turns, edge], axis=1)
    low, high = breaks[:, :-1], breaks[:, 1:]
    rising = values(a, high) > 0
    changes = values(a, low) * np.where(rising, 1.0, -1.0) < 0
    changes &= values(a, high) != 0
    # Where nothing changes there is nothing to be found: most stretches of curves.
    own, up = a[np.nonzero(changes)[0]], rising[changes]
    begin, end = low[changes], high[changes]
    for _ in range(_HALVINGS):
        middle = (begin + end) / 2
        beyond = (values(own, middle[:, np.newaxis])[:, 0] > 0) == up
        begin, end = np.where(beyond, begin, middle), np.where(beyond, middle, end)
    found = np.ones_like(low)
    found[changes] = (begin + end) / 2
    return np.sort(found, axis=1)
