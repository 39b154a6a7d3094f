"""The derivative of a cubic as a product of two linear factors.

With control differences d0, d1, d2,

    z'(t) = 3 f1(t) f2(t) / q,     f1 = d0 (1-t) - q t,     f2 = q (1-t) - d2 t,
    q = -(d1 + s sqrt(d1^2 - d0 d2)),

with the sign s that does not cancel. A linear factor runs along a straight line of
the complex plane: its argument changes by a principal value and at a rate that is
known exactly, so that turning and curvature need neither unwrapping nor second
derivatives, and tight loops, cusps and handles of no length lose no digits.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from edgefinder.geometry.segments import Complexes, Floats

ROUNDING: Final = 4 * float(np.finfo(np.float64).eps)
"""What coordinates lose in their last digits, relative to the largest of them.

A difference below it has no direction. Larger: short handles are taken for none.
Smaller: the noise that splitting leaves at a cusp is taken for a direction.
"""

PARALLEL: Final = 1e-12
"""Sine of the angle below which two directions are one.

A loop whose tip turns within 1e-12 of the parameter is then a cusp. Larger: tight
loops lose their turn. Smaller: rounding decides to which side a cusp turns.
"""


@dataclass(frozen=True, slots=True, eq=False)
class CubicFactors:
    """Factored derivatives of n cubics, each divided by its ``scale``.

    Parameters
    ----------
    d0, d1, d2, q : ndarray of complex128, shape (n,)
        As in the formulas above; differences that are rounding noise are 0.
    scale : ndarray, shape (n,)
        The largest difference, in millimetres; 1 for a point.
    cross1, cross2 : ndarray, shape (n,)
        Im(conj d0 q) and Im(conj q d2), exactly 0 where a factor runs through zero or
        towards it. The argument of factor i changes at the rate -cross_i / |f_i|^2.
    straight : ndarray of bool, shape (n,)
        Whether all differences are parallel: a straight line or a point.
    """

    d0: Complexes
    d1: Complexes
    d2: Complexes
    q: Complexes
    scale: Floats
    cross1: Floats
    cross2: Floats
    straight: NDArray[np.bool_]

    def derivative(self, t: Floats) -> Complexes:
        """Return z'/(3 scale) at one t per row."""
        r = 1 - t
        value: Complexes = self.d0 * r * r + 2 * self.d1 * r * t + self.d2 * t * t
        return value

    def factor1(self, t: Floats) -> Complexes:
        """Return f1 at one t per row."""
        value: Complexes = self.d0 * (1 - t) - self.q * t
        return value

    def factor2(self, t: Floats) -> Complexes:
        """Return f2 at one t per row."""
        value: Complexes = self.q * (1 - t) - self.d2 * t
        return value

    @property
    def root1(self) -> Floats:
        """Where f1 vanishes in [0, 1], shape (n,); 2 where it does not."""
        return _root(self.d0, self.q, self.cross1)

    @property
    def root2(self) -> Floats:
        """Where f2 vanishes in [0, 1], shape (n,); 2 where it does not."""
        return _root(self.q, self.d2, self.cross2)


def cubic_factors(control: Complexes) -> CubicFactors:
    """Factor the derivatives of cubics.

    Parameters
    ----------
    control : ndarray of complex128, shape (n, 4)
        Control points in millimetres.
    """
    differences = control_differences(control)
    scale = np.abs(differences).max(axis=1, initial=0.0)
    scale[scale == 0] = 1.0
    d0, d1, d2 = (differences / scale[:, np.newaxis]).T
    root = np.sqrt(d1 * d1 - d0 * d2)
    sign = np.where((np.conj(d1) * root).real >= 0, 1.0, -1.0)
    q = -(d1 + sign * root)
    straight = (_cross(d0, d1) == 0) & (_cross(d0, d2) == 0) & (_cross(d1, d2) == 0)
    return CubicFactors(d0, d1, d2, q, scale, _cross(d0, q), _cross(q, d2), straight)


def control_differences(control: Complexes) -> Complexes:
    """Return d0, d1, d2 of cubics, shape (n, 3), with rounding noise set to 0."""
    differences: Complexes = np.diff(control, axis=1)
    noise = ROUNDING * np.abs(control).max(axis=1, initial=0.0)
    differences[np.abs(differences) <= noise[:, np.newaxis]] = 0
    return differences


def _cross(a: Complexes, b: Complexes) -> Floats:
    """Return the cross product, 0 where the two are parallel or one is 0."""
    product = np.conj(a) * b
    cross: Floats = np.where(
        np.abs(product.imag) <= PARALLEL * np.abs(product), 0.0, product.imag
    )
    return cross


def _root(a: Complexes, b: Complexes, cross: Floats) -> Floats:
    """Find the root of a (1-t) - b t in [0, 1]; 2 where there is none."""
    size_a, size_b = np.abs(a), np.abs(b)
    size = size_a + size_b
    inside = (cross == 0) & ((np.conj(a) * b).real >= 0) & (size > 0)
    return np.where(inside, size_a / np.where(size > 0, size, 1.0), 2.0)
