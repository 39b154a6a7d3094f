"""Arc length of cubics, from the three control differences of each.

The derivative of a cubic is a complex quadratic. With d0, d1, d2 the differences of
its control points and q = d1 + s sqrt(d1^2 - d0 d2), s = +-1 so that nothing cancels,

    z'(t) = 3 (d0 (1 - t) + q t)(q (1 - t) + d2 t)/q

so that the speed |z'| is singular at two known points only, r1 = d0/(d0 - q) and
r2 = q/(q - d2). A stretch of a cubic is a cubic again, so that cutting one for the
sake of its roots gives nothing but two more rows.
"""

from functools import cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from edgefinder.geometry.quadrature import (
    CHUNK,
    GRADING,
    MOST_CUTS,
    ORDERS,
    REAL_ROOT,
    SMALLEST_SIZES,
    choose_rules,
    rule,
)
from edgefinder.geometry.segments import Complexes, Floats, Indices

ROWS: Final = 2 * CHUNK
"""Cubics measured at once. Nearly all take the rule of fewest nodes, so that more of
them than of other rows stay in the cache."""

_TINY: Final = 1e-300
"""Keeps 0/0 away: far below the square of any length in millimetres."""


def cubic_lengths(control: Complexes) -> Floats:
    """Return the arc length of every cubic.

    Parameters
    ----------
    control : ndarray of complex128, shape (n, 4)
        Control points in millimetres.

    Returns
    -------
    ndarray of float64, shape (n,)
    """
    length = np.zeros(len(control))
    unfit = []
    for start in range(0, len(control), ROWS):
        rows = slice(start, start + ROWS)
        d = differences(control[rows])
        unfit.append(start + _add_lengths(d, length[rows]))
    for some in _chunks(unfit):
        length[some] = _cut_lengths(differences(control[some]))
    return length


def cubic_lengths_between(
    control: Complexes, t0: Floats, t1: Floats, row: Indices | None = None
) -> Floats:
    """Return the arc length from t0 to t1 on cubics, negative if t1 < t0.

    Parameters
    ----------
    control : ndarray of complex128, shape (n, 4)
        Control points in millimetres.
    t0, t1 : ndarray, shape (m,)
    row : ndarray of intp, shape (m,), or None
        The cubic that each stretch is on; if left out there is one on every cubic.

    Returns
    -------
    ndarray of float64, shape (m,)
    """
    length = np.zeros(len(t0))
    every = differences(control)
    if row is not None:
        every = every.take(row, axis=1)
    unfit = []
    for start in range(0, len(t0), ROWS):
        rows = slice(start, start + ROWS)
        d = stretch(every[:, rows], t0[rows], t1[rows])
        unfit.append(start + _add_lengths(d, length[rows]))
    for some in _chunks(unfit):
        length[some] = _cut_lengths(stretch(every[:, some], t0[some], t1[some]))
    return np.copysign(length, t1 - t0)


def differences(control: Complexes) -> Complexes:
    """Return P1 - P0, P2 - P1, P3 - P2 of every cubic, shape (3, n)."""
    d = np.empty((3, len(control)), dtype=np.complex128)
    for i in range(3):
        np.subtract(control[:, i + 1], control[:, i], out=d[i])
    return d


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
    s0, s1 = 1 - t0, 1 - t1
    a, b = d[0] * s0 + d[1] * t0, d[1] * s0 + d[2] * t0
    cut = np.empty_like(d)
    cut[0] = a * s0 + b * t0
    cut[1] = a * s1 + b * t1
    cut[2] = (d[0] * s1 + d[1] * t1) * s1 + (d[1] * s1 + d[2] * t1) * t1
    cut *= t1 - t0
    return cut


def _chunks(unfit: list[Indices]) -> list[Indices]:
    """Put the rows that have to be cut together into few chunks."""
    if not unfit:
        return []
    rows = np.concatenate(unfit)
    return [rows[start : start + CHUNK] for start in range(0, rows.size, CHUNK)]


def _add_lengths(d: Complexes, length: Floats) -> Indices:
    """Fill in the lengths that one rule gives; return the rows that none does."""
    chosen = np.zeros(d.shape[1], dtype=np.intp)
    uneven = np.flatnonzero(~_are_even(d))
    chosen[uneven] = choose_rules(_sizes(d.take(uneven, axis=1)))
    return _integrate(d, chosen, length)


def _are_even(d: Complexes) -> NDArray[np.bool_]:
    """Return which cubics are so even that the first rule does, without their roots.

    That is nearly all of an outline, and takes a third of the time of the roots. In
    u = 2 t - 1 the derivative is 3/4 (a + b u + c u^2), so that no root is nearer to 0
    than the R with |a| = |b| R + |c| R^2; and the ellipse through a root u has a size
    of at least |u|.
    """
    d0, d1, d2 = d
    ends, twice = d0 + d2, d1 + d1
    bend = abs(ends - twice)
    bend *= SMALLEST_SIZES[0]
    bend += 2 * abs(d2 - d0)
    bend *= SMALLEST_SIZES[0]
    are_even: NDArray[np.bool_] = abs(ends + twice) > bend
    return are_even


def _integrate(d: Complexes, chosen: Indices, length: Floats) -> Indices:
    counts = np.bincount(chosen, minlength=len(ORDERS) + 1).tolist()
    for index, order in enumerate(ORDERS):
        if counts[index]:
            fits = np.flatnonzero(chosen == index)
            basis, weights = _speed_rule(order)
            # As a product of real matrices: twice the columns, a quarter of the work.
            velocity = basis @ d.take(fits, axis=1).view(np.float64)
            length[fits] = weights @ abs(velocity.view(np.complex128))
    return np.flatnonzero(chosen == len(ORDERS))


@cache
def _speed_rule(order: int) -> tuple[Floats, Floats]:
    """Return the basis of z' at the nodes, shape (order, 3), and the weights."""
    t = rule(order).nodes
    basis = 3 * np.stack([(1 - t) ** 2, 2 * t * (1 - t), t * t], axis=1)
    return basis, rule(order).weights


def _factor(d: Complexes) -> Complexes:
    """Return q of every cubic."""
    d0, d1, d2 = d
    w: Complexes = d1 * d1
    w -= d0 * d2
    # The square root in real arithmetic: several times faster than the complex one.
    large = abs(w)
    large += abs(w.real)
    large *= 0.5
    large += _TINY
    np.sqrt(large, out=large)
    small = w.imag / large
    small *= 0.5
    left = w.real < 0
    root = w
    root.real, root.imag = np.where(left, small, large), np.where(left, large, small)
    along = d1.real * root.real
    along += d1.imag * root.imag
    root *= np.copysign(1.0, along)
    root += d1
    return root


def _sizes(d: Complexes) -> Floats:
    """Return the ellipse size of the nearer root; NaN where a factor vanishes."""
    d0, _, d2 = d
    q = _factor(d)
    whole = abs(q)
    # |r| + |1 - r| of r = d0/(d0 - q), and of r = q/(q - d2).
    with np.errstate(divide="ignore", invalid="ignore"):
        first: Floats = (abs(d0) + whole) / abs(d0 - q)
        second: Floats = (abs(d2) + whole) / abs(d2 - q)
    return np.minimum(first, second)


def _cut_lengths(d: Complexes) -> Floats:
    """Return the lengths of cubics that have to be cut first."""
    length = np.zeros(d.shape[1])
    owner: Indices = np.arange(d.shape[1])
    for cuts in range(MOST_CUTS + 1):
        size, foot = _roots(d)
        chosen = choose_rules(size)
        if cuts == MOST_CUTS:
            chosen = np.minimum(chosen, len(ORDERS) - 1)
        part = np.zeros(d.shape[1])
        fails = _integrate(d, chosen, part)
        length += np.bincount(owner, part, minlength=length.size)
        if not fails.size:
            break
        d, at, owner = d[:, fails], foot[fails], np.tile(owner[fails], 2)
        zero, one = np.zeros_like(at), np.ones_like(at)
        d = np.concatenate([stretch(d, zero, at), stretch(d, at, one)], axis=1)
    return length


def _roots(d: Complexes) -> tuple[Floats, Floats]:
    """Return the ellipse size of the nearer root that does harm, and where to cut."""
    q = _factor(d)
    size = np.full(d.shape[1], np.inf)
    foot = np.full(d.shape[1], 0.5)
    for near, far in ((d[0], q), (q, d[2])):
        whole = near - far
        endless = abs(whole) <= _TINY
        r = near / np.where(endless, 1, whole)
        x = r.real
        is_real = abs(r.imag) < REAL_ROOT
        is_inside = (x > REAL_ROOT) & (x < 1 - REAL_ROOT)
        harmless = endless | (is_real & ~is_inside)
        its_size = np.where(harmless, np.inf, abs(r) + abs(1 - r))
        # Off the ends of the cubic the cut is graded towards the root.
        cut = np.where(x < GRADING / 2, GRADING, x)
        cut = np.where(x > 1 - GRADING / 2, 1 - GRADING, cut)
        cut = np.where(is_real & is_inside, x, cut)
        foot = np.where(its_size < size, cut, foot)
        # NaN is passed over, so that it cannot be cut for ever.
        size = np.fmin(size, its_size)
    return size, foot
