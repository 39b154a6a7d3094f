"""Arc length of conic arcs c + u cos t + v sin t.

With P = (u - i v)/2 and Q = (u + i v)/2 an arc is c + P e^it + Q e^-it: an ellipse with
half-axes a = |P| + |Q| and b = ||P| - |Q||, and its speed is

    sqrt(b^2 + (a^2 - b^2) sin^2(t - t_axis)),   t_axis = (arg Q - arg P)/2

which is singular at t_axis + k pi +- i artanh(b/a) and nowhere else.
"""

from dataclasses import dataclass
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

_LARGEST_RATIO: Final = 1 - 1e-16
"""Keeps artanh finite: the roots of a circle are then 18 radians away."""


@dataclass(frozen=True, slots=True, eq=False)
class Axes:
    """The principal axes of conic arcs.

    Parameters
    ----------
    a : ndarray, shape (n,)
        The longer half-axis in millimetres.
    ratio : ndarray, shape (n,)
        b/a, the shorter half-axis over the longer one; 0 for a point.
    at : ndarray, shape (n,)
        The parameter in radians at which the point is an end of the longer axis.
    """

    a: Floats
    ratio: Floats
    at: Floats


def principal_axes(u: Complexes, v: Complexes) -> Axes:
    """Return the principal axes of the ellipses c + u cos t + v sin t."""
    p, q = (u - 1j * v) / 2, (u + 1j * v) / 2
    a = abs(p) + abs(q)
    b = abs(abs(p) - abs(q))
    ratio = np.divide(b, a, out=np.zeros_like(a), where=a > 0)
    return Axes(a, ratio, (np.angle(q) - np.angle(p)) / 2)


def arc_lengths(u: Complexes, v: Complexes, t0: Floats, t1: Floats) -> Floats:
    """Return the arc length of every conic arc, >= 0.

    Parameters
    ----------
    u, v : ndarray of complex128, shape (n,)
        Conjugate half-diameters in millimetres.
    t0, t1 : ndarray, shape (n,)
        Parameters of the ends in radians, in either order, any number of turns apart.
    """
    axes = principal_axes(u, v)
    span = abs(t1 - t0)
    # The speed repeats after half a turn, and is even about an end of an axis.
    halves = np.floor(span / np.pi)
    rest = span - halves * np.pi
    start = np.remainder(np.minimum(t0, t1) - axes.at, np.pi)
    owner = np.arange(len(u))
    turned = np.flatnonzero(halves)
    owner = np.concatenate([owner, turned])
    low = np.concatenate([start, np.zeros(turned.size)])
    high = np.concatenate([start + rest, np.full(turned.size, np.pi / 2)])
    times = np.concatenate([np.ones(len(u)), 2 * halves[turned]])
    return axes.a * _sums(axes.ratio, owner, (low, high), times)


def _sums(
    ratio: Floats, owner: Indices, ends: tuple[Floats, Floats], times: Floats
) -> Floats:
    """Add up sqrt(ratio^2 + (1 - ratio^2) sin^2) over panels, times each."""
    total = np.zeros(len(ratio))
    low, high = ends
    for cuts in range(MOST_CUTS + 1):
        # Counted from the nearest end of the longer axis, so that sin stays exact.
        shift = np.pi * np.rint((low + high) / (2 * np.pi))
        low, high = low - shift, high - shift
        size, foot = _singular(ratio[owner], low, high)
        chosen = choose_rules(size)
        if cuts == MOST_CUTS:
            chosen = np.minimum(chosen, len(ORDERS) - 1)
        for index, order in enumerate(ORDERS):
            fits = np.flatnonzero(chosen == index)
            if fits.size:
                values = _integrals(ratio[owner[fits]], low[fits], high[fits], order)
                np.add.at(total, owner[fits], times[fits] * values)
        fails = np.flatnonzero(chosen == len(ORDERS))
        if not fails.size:
            break
        at = foot[fails]
        low = np.concatenate([low[fails], at])
        high = np.concatenate([at, high[fails]])
        owner = np.concatenate([owner[fails]] * 2)
        times = np.concatenate([times[fails]] * 2)
    return total


def _singular(ratio: Floats, low: Floats, high: Floats) -> tuple[Floats, Floats]:
    """Return the ellipse size of the nearest root, and where to cut for it.

    The roots above and below 0 are the nearest to every panel; those above and below
    +-pi bound the size when the former do no harm.
    """
    width = high - low
    height = np.arctanh(np.minimum(ratio, _LARGEST_RATIO))
    near = _sizes(low, high, height)
    side = np.copysign(np.pi, low + high)
    far = _sizes(low - side, high - side, height)
    margin = REAL_ROOT * width
    is_real = height < margin
    is_inside = (low < -margin) & (high > margin)
    size = np.where(is_real & ~is_inside, far, np.minimum(near, far))
    # Off the ends of the panel the cut is graded towards the root.
    step = GRADING * width
    foot = np.where(low > -step / 2, low + step, 0.0)
    foot = np.where(high < step / 2, high - step, foot)
    foot = np.where(is_real & is_inside, 0.0, foot)
    return size, foot


def _sizes(low: Floats, high: Floats, height: Floats) -> Floats:
    """Return the size of the ellipse with foci low, high through i height."""
    width = high - low
    sums = np.hypot(low, height) + np.hypot(high, height)
    return np.divide(sums, width, out=np.full_like(width, np.inf), where=width > 0)


def _integrals(ratio: Floats, low: Floats, high: Floats, order: int) -> Floats:
    nodes = rule(order).nodes[:, np.newaxis]
    sine = np.sin(low * (1 - nodes) + high * nodes)
    b2 = ratio * ratio
    total: Floats = (high - low) * (
        rule(order).weights @ np.sqrt(b2 + (1 - b2) * sine * sine)
    )
    return total
