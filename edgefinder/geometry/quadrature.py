"""Gauss-Legendre rules, and how near a singular point may lie to each of them.

The speed along a cubic or a conic arc is analytic but for known points of the complex
plane. A rule on a panel [a, b] is as good as the ellipse with foci a and b through the
nearest such point r is large; the size of that ellipse is (|r - a| + |r - b|)/(b - a).
So the order is chosen beforehand from the size: there is no error estimate, hence none
that can be fooled.

References
----------
L. N. Trefethen, "Is Gauss Quadrature Better than Clenshaw-Curtis?", SIAM Review 50
(2008), theorem 4.5 (the ellipse named after S. N. Bernstein).
"""

from dataclasses import dataclass
from functools import cache
from typing import Final

import numpy as np

from edgefinder.geometry.segments import Floats, Indices

CHUNK: Final = 2048
"""Rows measured at once. More: they fall out of the cache, and on tables of 10,000 rows
memory is fetched anew for each chunk. Fewer: the calls cost more than the work.
"""

ORDERS: Final = (6, 8, 12, 16, 24, 32)
"""Numbers of nodes of the rules that are used."""

SMALLEST_SIZES: Final = (7.3, 3.7, 1.98, 1.5, 1.21, 1.11)
"""The smallest ellipse for each of `ORDERS`, in the same order.

Chosen so that the worst relative error over pairs of singular points on or outside
that ellipse is 1e-15, by 34-digit arithmetic (a test repeats it). Smaller: digits are
lost silently. Larger: more nodes and more cuts than needed.
"""

_FALLING_SIZES: Final = -np.array(SMALLEST_SIZES)

GRADING: Final = 0.053
"""Where a panel is cut whose singular point lies off its end: at this fraction from
there. The far part then has an ellipse of size (1 + g)/(1 - g) = 1.112, just enough for
the largest rule. Larger: more cuts. Smaller: the far part has to be cut again.
"""

REAL_ROOT: Final = 1e-8
"""A root this near the real line, in panel lengths, is taken for real.

The speed then has a kink there and nothing else, so a cut at its foot removes it. What
is neglected is of the order of the square, 1e-16. Larger: it is no longer below
rounding. Smaller: more cuts.
"""

MOST_CUTS: Final = 30
"""Rounds of cutting, after which the largest rule is taken as it is.

Each round shortens the panel next to a root 19-fold, and `REAL_ROOT` ends it after
seven; the limit only guards against roots that are nothing but rounding.
"""


@dataclass(frozen=True, slots=True, eq=False)
class Rule:
    """A Gauss-Legendre rule on [0, 1].

    Parameters
    ----------
    nodes, weights : ndarray, shape (n,)
    """

    nodes: Floats
    weights: Floats


@cache
def rule(order: int) -> Rule:
    """Return the Gauss-Legendre rule of that many nodes, on [0, 1]."""
    x, weights = np.polynomial.legendre.leggauss(order)
    return Rule((1 + x) / 2, weights / 2)


def choose_rules(sizes: Floats) -> Indices:
    """Choose a rule for every panel.

    Parameters
    ----------
    sizes : ndarray, shape (n,)
        Size of the ellipse with the ends of the panel as foci through the nearest
        singular point, >= 1.

    Returns
    -------
    ndarray of intp, shape (n,)
        Index into `ORDERS`; ``len(ORDERS)`` where no rule will do, or the size is NaN.
    """
    return np.searchsorted(_FALLING_SIZES, -sizes)
