"""How far a line reaches in a direction, exactly."""

import numpy as np

from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import (
    Complexes,
    Floats,
    Indices,
    Kind,
    Segments,
    end_points,
    points_at,
)


def lower_left(path: Path) -> complex:
    """Return the lower left corner of the bounding box of a path, in millimetres."""
    left, low = (_reached(path, direction) for direction in (1, 1j))
    return complex(left.real.min(), low.imag.min())


def upper_right(path: Path) -> complex:
    """Return the upper right corner of the bounding box of a path, in millimetres."""
    right, high = (_reached(path, direction) for direction in (1, 1j))
    return complex(right.real.max(), high.imag.max())


def turning_points(segments: Segments, direction: complex) -> tuple[Indices, Floats]:
    """Find where segments begin, and where they turn back in a direction.

    Parameters
    ----------
    segments : Segments, n rows
    direction : complex

    Returns
    -------
    row : ndarray of intp, shape (m,)
        In rising order.
    t : ndarray, shape (m,)
        Fraction of the parameter: 0 for every row, and the places inside at which
        the component along the direction has a local extreme.
    """
    rows, parameters = [np.arange(len(segments))], [np.zeros(len(segments))]
    for found, t in (_on_cubics(segments, direction), _on_arcs(segments, direction)):
        rows.append(found)
        parameters.append(t)
    row, t = np.concatenate(rows), np.concatenate(parameters)
    order = np.lexsort((t, row))
    return row[order], t[order]


def _reached(path: Path, direction: complex) -> Complexes:
    row, t = turning_points(path.segments, direction)
    inside = points_at(path.segments.take(row), t)
    return np.append(inside, end_points(path.segments))


def _on_cubics(segments: Segments, direction: complex) -> tuple[Indices, Floats]:
    cubic = np.flatnonzero(segments.kind == Kind.CUBIC)
    # Its derivative is a quadratic; the factor 3 does not move its roots.
    d0, d1, d2 = np.diff(segments.control[cubic], axis=1).T
    slope = (np.stack([d0, 2 * d1, d2], axis=1) * np.conj(direction)).real
    t = _roots(*slope.T)
    found, column = np.nonzero((t > 0) & (t < 1))
    return cubic[found], t[found, column]


def _roots(a: Floats, b: Floats, c: Floats) -> Floats:
    """Return the roots of a (1-t)^2 + b t (1-t) + c t^2, shape (n, 2).

    What is not a real root, or has no value, is returned as -1. The root is taken by
    the sum that does not cancel, as for the roots of the derivative of a cubic.
    """
    inside = b * b - 4 * a * c
    q = -(b + np.copysign(np.sqrt(np.maximum(inside, 0)), b)) / 2
    # In u = t/(1-t) the polynomial is a + b u + c u^2, with the roots q/c and a/q.
    roots = np.full((len(a), 2), -1.0)
    for column, (above, below) in enumerate(((q, c), (a, q))):
        sum_ = above + below  # t = u/(1+u)
        real = (inside >= 0) & (sum_ != 0)
        roots[real, column] = above[real] / sum_[real]
    return roots


def _on_arcs(segments: Segments, direction: complex) -> tuple[Indices, Floats]:
    arc = np.flatnonzero(segments.kind == Kind.ARC)
    _, u, v, span = segments.control[arc].T
    # c + u cos a + v sin a reaches furthest at tan a = v.d / u.d, then every half turn.
    extreme = np.arctan2((v * np.conj(direction)).real, (u * np.conj(direction)).real)
    low, high = np.minimum(span.real, span.imag), np.maximum(span.real, span.imag)
    first = np.ceil((low - extreme) / np.pi)
    count = np.maximum(np.floor((high - extreme) / np.pi) - first + 1, 0)
    count = np.where(high > low, count, 0).astype(np.intp)
    own = np.repeat(np.arange(len(arc)), count)
    step = np.arange(len(own)) - np.repeat(np.cumsum(count) - count, count)
    angle = extreme[own] + (first[own] + step) * np.pi
    t = (angle - span.real[own]) / (span.imag - span.real)[own]
    inside = (t > 0) & (t < 1)
    return arc[own[inside]], t[inside]
