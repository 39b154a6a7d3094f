"""Arc length of cubics, from the three control differences of each.

The derivative of a cubic is a complex quadratic. With d0, d1, d2 the differences of
its control points and q = -(d1 + s sqrt(d1^2 - d0 d2)), s = +-1 so that nothing cancels,

    z'(t) = 3 (d0 (1 - t) - q t)(q (1 - t) - d2 t)/q

so that the speed |z'| is singular at two known points only, r1 = d0/(d0 + q) and
r2 = q/(q + d2).
"""

from functools import cache
from typing import Final

import numpy as np

from edgefinder.geometry.quadrature import (
    GRADING,
    MOST_CUTS,
    ORDERS,
    REAL_ROOT,
    choose_rules,
    rule,
)
from edgefinder.geometry.segments import Complexes, Floats, Indices

CHUNK: Final = 4096
"""Rows measured at once: more fall out of the cache, fewer waste calls."""

_TINY: Final = 1e-300
"""Keeps 0/0 away: no difference of two coordinates in millimetres is this small."""


def stretch(d: Complexes, t0: Floats, t1: Floats) -> Complexes:
    """Return the control differences of the stretch from t0 to t1 of every cubic.

    Parameters
    ----------
    d : ndarray of complex128, shape (3, n)
    t0, t1 : ndarray, shape (n,)

    Returns
    -------
    ndarray of complex128, shape (3, n)
    """
    a0 = d[0] * (1 - t0) + d[1] * t0
    a1 = d[1] * (1 - t0) + d[2] * t0
    b0 = d[0] * (1 - t1) + d[1] * t1
    b1 = d[1] * (1 - t1) + d[2] * t1
    cut = np.empty_like(d)
    cut[0] = a0 * (1 - t0) + a1 * t0
    cut[1] = a0 * (1 - t1) + a1 * t1
    cut[2] = b0 * (1 - t1) + b1 * t1
    cut *= t1 - t0
    return cut


def cubic_lengths(d: Complexes) -> Floats:
    """Return the arc length of every cubic.

    Parameters
    ----------
    d : ndarray of complex128, shape (3, n)
        Control differences P1 - P0, P2 - P1, P3 - P2 in millimetres.

    Returns
    -------
    ndarray of float64, shape (n,)
    """
    length = np.empty(d.shape[1])
    for start in range(0, d.shape[1], CHUNK):
        rows = slice(start, start + CHUNK)
        length[rows] = _chunk_lengths(d[:, rows])
    return length


def _chunk_lengths(d: Complexes) -> Floats:
    length = np.zeros(d.shape[1])
    owner: Indices = np.arange(d.shape[1])
    for cuts in range(MOST_CUTS + 1):
        size, foot = _singular(d)
        chosen = choose_rules(size)
        if cuts == MOST_CUTS:
            chosen = np.minimum(chosen, len(ORDERS) - 1)
        for index, order in enumerate(ORDERS):
            fits = np.flatnonzero(chosen == index)
            if fits.size:
                np.add.at(length, owner[fits], _integrals(d[:, fits], order))
        fails = np.flatnonzero(chosen == len(ORDERS))
        if not fails.size:
            break
        d, at, owner = d[:, fails], foot[fails], owner[fails]
        zero, one = np.zeros_like(at), np.ones_like(at)
        d = np.concatenate([stretch(d, zero, at), stretch(d, at, one)], axis=1)
        owner = np.concatenate([owner, owner])
    return length


def _singular(d: Complexes) -> tuple[Floats, Floats]:
    """Return the ellipse size of the nearer root, and where to cut for it."""
    d0, d1, d2 = d
    root = np.sqrt(d1 * d1 - d0 * d2)
    root = np.where((d1.conj() * root).real < 0, -root, root)
    q = -(d1 + root)
    size = np.full(d.shape[1], np.inf)
    foot = np.full(d.shape[1], 0.5)
    for numerator, other in ((d0, q), (q, d2)):
        whole = numerator + other
        far = abs(whole) <= _TINY
        r = numerator / np.where(far, 1, whole)
        beyond = (r.real < REAL_ROOT) | (r.real > 1 - REAL_ROOT)
        harmless = far | ((abs(r.imag) < REAL_ROOT) & beyond)
        its_size = np.where(harmless, np.inf, abs(r) + abs(1 - r))
        cut = np.where(r.real < GRADING / 2, GRADING, r.real)
        cut = np.where(r.real > 1 - GRADING / 2, 1 - GRADING, cut)
        inside = (abs(r.imag) < REAL_ROOT) & ~beyond
        cut = np.where(inside, r.real, cut)
        foot = np.where(its_size < size, cut, foot)
        size = np.minimum(size, its_size)
    return size, foot


@cache
def _basis(order: int) -> Floats:
    """Return the quadratic Bernstein polynomials at the nodes, shape (order, 3)."""
    t = rule(order).nodes
    return np.stack([(1 - t) ** 2, 2 * t * (1 - t), t * t], axis=1)


def _integrals(d: Complexes, order: int) -> Floats:
    speed = abs(_basis(order) @ d)
    total: Floats = 3 * (rule(order).weights @ speed)
    return total
