"""Arc length of conic arcs c + u cos t + v sin t.

With P = (u - i v)/2 and Q = (u + i v)/2 an arc is c + P e^it + Q e^-it: an ellipse with
half-axes a = |P| + |Q| and b = ||P| - |Q||, and its speed is

    sqrt(b^2 + (a^2 - b^2) sin^2(t - t_axis)),   t_axis = (arg Q - arg P)/2

which is singular at t_axis + k pi +- i artanh(b/a) and nowhere else.
"""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from edgefinder.geometry.quadrature import (
    CHUNK,
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

_NO_WIDTH: Final = 1e-290
"""Radians below which a panel is as good as empty, and dividing by it may overflow."""


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


def arc_lengths_between(control: Complexes, t0: Floats, t1: Floats) -> Floats:
    """Return the arc length from t0 to t1 on every arc, negative if t1 < t0.

    Parameters
    ----------
    control : ndarray of complex128, shape (n, 4)
        Control values of conic arcs, as `segments.Kind.ARC` says; ends in either
        order, any number of turns apart.
    t0, t1 : ndarray, shape (n,)
        Fractions of the parameter.

    Returns
    -------
    ndarray of float64, shape (n,)
        Millimetres.
    """
    length = np.empty(len(control))
    for start in range(0, len(control), CHUNK):
        rows = slice(start, start + CHUNK)
        length[rows] = _arc_lengths(control[rows], t0[rows], t1[rows])
    return np.copysign(length, t1 - t0)


def _arc_lengths(control: Complexes, t0: Floats, t1: Floats) -> Floats:
    _, u, v, ends = control.T
    axes = principal_axes(u, v)
    run = ends.imag - ends.real
    first = np.where(run * (t1 - t0) < 0, t1, t0)
    span = abs(run * (t1 - t0))
    # The speed repeats after half a turn, and is even about an end of an axis.
    halves = np.floor(span / np.pi)
    rest = span - halves * np.pi
    start = ends.real + run * first - axes.at
    turned = np.flatnonzero(halves)
    panels = _Panels(
        np.concatenate([np.arange(len(u)), turned]),
        np.concatenate([start, np.zeros(turned.size)]),
        np.concatenate([rest, np.full(turned.size, np.pi / 2)]),
        np.concatenate([np.ones(len(u)), 2 * halves[turned]]),
    )
    return axes.a * _sums(axes.ratio, panels)


@dataclass(frozen=True, slots=True, eq=False)
class _Panels:
    """Stretches over which the speed is integrated.

    ``owner`` is the arc of each, ``low`` its start in radians from an end of the longer
    axis, ``width`` its length (kept apart: the difference of two ends would lose the
    digits of a short arc), ``times`` how often it is counted.
    """

    owner: Indices
    low: Floats
    width: Floats
    times: Floats

    def cut(self, rows: Indices, foot: Floats) -> "_Panels":
        """Return both parts of the panels named, cut at ``foot`` radians."""
        low, width, at = self.low[rows], self.width[rows], foot[rows]
        return _Panels(
            np.tile(self.owner[rows], 2),
            np.concatenate([low, at]),
            np.concatenate([at - low, low + width - at]),
            np.tile(self.times[rows], 2),
        )


def _sums(ratio: Floats, panels: _Panels) -> Floats:
    """Add up sqrt(ratio^2 + (1 - ratio^2) sin^2) over the panels of every arc."""
    total = np.zeros(len(ratio))
    for cuts in range(MOST_CUTS + 1):
        # Counted from the nearest end of the longer axis, so that sin stays exact.
        turns = np.rint((panels.low + panels.width / 2) / np.pi)
        panels = replace(panels, low=panels.low - np.pi * turns)
        size, foot = _singular(ratio[panels.owner], panels)
        chosen = choose_rules(size)
        if cuts == MOST_CUTS:
            chosen = np.minimum(chosen, len(ORDERS) - 1)
        part = np.zeros_like(size)
        for index, order in enumerate(ORDERS):
            fits = np.flatnonzero(chosen == index)
            if fits.size:
                part[fits] = _integrals(ratio, panels, fits, order)
        total += np.bincount(panels.owner, part, minlength=total.size)
        fails = np.flatnonzero(chosen == len(ORDERS))
        if not fails.size:
            break
        panels = panels.cut(fails, foot)
    return total


def _singular(ratio: Floats, panels: _Panels) -> tuple[Floats, Floats]:
    """Return the ellipse size of the nearest root, and where to cut for it.

    The roots above and below 0 are the nearest to every panel; those above and below
    +-pi bound the size when the former do no harm.
    """
    low, width = panels.low, panels.width
    high = low + width
    height = np.arctanh(np.minimum(ratio, _LARGEST_RATIO))
    near = _sizes(low, high, width, height)
    side = np.copysign(np.pi, low + high)
    far = _sizes(low - side, high - side, width, height)
    margin = REAL_ROOT * width
    is_real = height < margin
    is_inside = (low < -margin) & (high > margin)
    size = np.where(is_real & ~is_inside, far, np.minimum(near, far))
    # NaN is passed over, so that it cannot be cut for ever.
    size = np.fmin(size, np.inf)
    # Off the ends of the panel the cut is graded towards the root.
    step = GRADING * width
    foot = np.where(low > -step / 2, low + step, 0.0)
    foot = np.where(high < step / 2, high - step, foot)
    foot = np.where(is_real & is_inside, 0.0, foot)
    return size, foot


def _sizes(low: Floats, high: Floats, width: Floats, height: Floats) -> Floats:
    """Return the size of the ellipse with foci low, high through i height."""
    sums = np.hypot(low, height) + np.hypot(high, height)
    size = np.full_like(width, np.inf)
    np.divide(sums, width, out=size, where=width > _NO_WIDTH)
    return size


def _integrals(ratio: Floats, panels: _Panels, rows: Indices, order: int) -> Floats:
    """Return the integrals over the panels named, each as often as it is counted."""
    nodes, weights = rule(order).nodes, rule(order).weights
    width = panels.width[rows]
    sine = np.sin(panels.low[rows] + width * nodes[:, np.newaxis])
    square = ratio[panels.owner[rows]] ** 2
    speed = np.sqrt(square + (1 - square) * sine * sine)
    total: Floats = panels.times[rows] * width * (weights @ speed)
    return total
