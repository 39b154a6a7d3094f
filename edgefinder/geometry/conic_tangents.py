"""Tangent and curvature of the curve behind some points, from conics through them.

Five points have one conic. Where the points lie on a circle or an ellipse that conic is
the curve itself, so tangent and curvature are exact, at the ends of a stretch as well;
a polynomial or a spline through the same few points is off by 8 % of the radius at the
ends of a quarter circle. With fewer conditions than five the conic nearest to a circle
is taken; three points give the circle through them.

Around a point of the curve as origin a conic with A + C = 1 reads

    (x^2 + y^2)/2 + a (x^2 - y^2)/2 + b x y + d x + e y = 0

where (a, b) is how far it is from a circle, whichever way the axes are turned. Each
further point, and each tangent known at a point, is one linear equation in a, b, d, e.
"""

from collections.abc import Iterator
from typing import Final

import numpy as np
from numpy.typing import NDArray

from edgefinder.geometry.segments import Complexes, Floats, Indices

Flags = NDArray[np.bool_]

WINDOW_TURN: Final = np.radians(20.0)
WINDOW_MM: Final = 20.0
"""The five points are spread over a stretch that turns this much or is this long, if
there are points between. Larger: the conic smooths over changes of the curve. Smaller:
rounding to 0.01 mm is magnified in closely spaced points."""

END_SPREAD: Final = 2.0
"""How many times wider that stretch is at an end, where there are points on one side
only and rounding is magnified ten times."""

MOST_RATIO: Final = 10.0
"""How many times more or less than the circle through three points a conic may bend;
what is beyond it is the other branch of a hyperbola, or noise."""

MOST_END_TURN: Final = 3.0
"""Angle between the tangent at a free end and its chord, as a multiple of the turn at
the next point; on evenly spaced points of a circle it is one half."""

_LEVEL: Final = 1e3
"""Weight of d and e against a and b: where there are too few equations, the solution
of least norm is the conic nearest to a circle."""

_CUTOFF: Final = 1e-10
"""Directions in which the equations say less than this say nothing (rounding)."""


def headings_and_curvatures(
    points: Complexes,
    start_heading: complex | None = None,
    end_heading: complex | None = None,
) -> tuple[Complexes, Floats]:
    """Estimate tangent and curvature at every point of an open, curved stretch.

    Parameters
    ----------
    points : ndarray of complex128, shape (n,)
        In millimetres, n >= 2, neighbours distinct.
    start_heading, end_heading : complex or None
        Unit tangents that are known at the ends.

    Returns
    -------
    headings : ndarray of complex128, shape (n,)
        Unit vectors in the direction of travel, between the directions of the chords
        on both sides.
    curvatures : ndarray, shape (n,)
        Signed.

    Notes
    -----
    Exact on every circle, ellipse, parabola and branch of a hyperbola from five points
    on (a known tangent counts as a point). Where five points do not bend all to one
    side there is no such conic, and the circle through three points is used.
    """
    if len(points) == 2:
        return _of_one_chord(points, start_heading, end_heading)
    headings, curvatures = _on_circles(points)
    _use_conics(points, headings, curvatures)
    if start_heading is not None:
        _use_tangent(points, start_heading, headings, curvatures)
    if end_heading is not None:
        # The same from the other end: directions and signs turn round.
        back, bends = -headings[::-1], -curvatures[::-1]
        _use_tangent(points[::-1], -end_heading, back, bends)
        headings, curvatures = -back[::-1], -bends[::-1]
    return headings, curvatures


def _of_one_chord(
    points: Complexes, start: complex | None, end: complex | None
) -> tuple[Complexes, Floats]:
    chord = points[1] - points[0]
    along = chord / abs(chord)
    # An arc leaves its chord at the angle at which it comes back.
    first = start if start is not None else along
    last = end if end is not None else along
    if start is None and end is not None:
        first = along * along * np.conj(end)
    if end is None and start is not None:
        last = along * along * np.conj(start)
    turn = np.angle(last * np.conj(first))
    bend = 2 * np.sin(turn / 2) / abs(chord)
    return np.array([first, last], dtype=np.complex128), np.full(2, bend)


def _on_circles(points: Complexes) -> tuple[Complexes, Floats]:
    """Return tangent and curvature of the circles through neighbouring points.

    With chords u and v of an arc and its chord w over both, the tangents at its three
    points have the directions u w/v, u v/w and v w/u (angle between chord and tangent),
    and it bends by 2 sin(turn)/|w|.
    """
    u, v = np.diff(points)[:-1], np.diff(points)[1:]
    u, v = u / np.abs(u), v / np.abs(v)
    w = points[2:] - points[:-2]
    size = np.abs(w)
    there = size > 0  # else it goes there and back
    w = np.where(there, w / np.where(there, size, 1.0), 1j * u)
    middle = u * v * np.conj(w)
    first, last = u[0] * w[0] * np.conj(v[0]), v[-1] * w[-1] * np.conj(u[-1])
    sine = (v * np.conj(u)).imag
    bends = np.where(there, 2 * sine / np.where(there, size, 1.0), 0.0)
    headings = np.concatenate([[first], middle, [last]])
    return headings, np.concatenate([bends[:1], bends, bends[-1:]])


def _use_conics(points: Complexes, headings: Complexes, curvatures: Floats) -> None:
    """Improve estimates by conics through five points, where there are such.

    Changes ``headings`` and ``curvatures``.
    """
    windows = np.array(list(_windows(points)))
    if not len(windows):
        return
    circles = curvatures.copy()
    # For each point the ways that are left, the best first.
    left = (windows[:, :, 0] >= 0) & _bend_one_way(points[windows])
    while left.any():
        rows = np.flatnonzero(left.any(axis=0))
        choice = left[:, rows].argmax(axis=0)
        left[choice, rows] = False
        heading, curvature, fits = _estimate(points, windows[choice, rows], rows)
        fits &= _is_near(curvature, circles[rows])
        headings[rows[fits]] = heading[fits]
        curvatures[rows[fits]] = curvature[fits]
        left[:, rows[fits]] = False


def _windows(points: Complexes) -> Iterator[Indices]:
    """Yield ways to choose five points around each; rows of -1 where there is none."""
    count = len(points)
    if count < 5:
        if count == 4:
            yield np.broadcast_to(np.arange(4), (4, 4))
        return
    near, wide = _spread(points, 1 / 4), _spread(points, END_SPREAD / 4)
    for steps, left in ((near, 2), (wide, 1), (wide, 3), (wide, 0), (wide, 4)):
        window = np.stack([steps[4 + k] for k in range(-left, 5 - left)], axis=1)
        fits = np.diff(window, axis=1).min(axis=1, keepdims=True) > 0
        yield np.where(fits, window, -1)
    first = np.clip(np.arange(count) - 2, 0, count - 5)
    yield first[:, np.newaxis] + np.arange(5)


def _spread(points: Complexes, step: float) -> list[Indices]:
    """Return for each point the four that are spread out before and behind it.

    Where the points end, the last one is named again.
    """
    last = len(points) - 1
    chords = np.diff(points)
    turns = np.abs(np.angle(chords[1:] * np.conj(chords[:-1])))
    half = np.concatenate([[0.0], turns / 2]) + np.concatenate([turns / 2, [0.0]])
    spread = np.concatenate(
        [[0.0], np.cumsum(np.abs(chords) / WINDOW_MM + half / WINDOW_TURN)]
    )
    step = min(step, spread[-1] / 4)
    own = np.arange(len(points))
    steps = [own] * 9
    for k in range(1, 5):
        # Rounding must not make the step after the last point one too many.
        ahead = np.searchsorted(spread, spread + k * step * (1 - 1e-9))
        behind = np.searchsorted(spread, spread - k * step * (1 - 1e-9), side="right")
        steps[4 + k] = np.minimum(np.maximum(ahead, steps[3 + k] + 1), last)
        steps[4 - k] = np.maximum(np.minimum(behind - 1, steps[5 - k] - 1), 0)
    return steps


def _estimate(
    points: Complexes, window: Indices, own: Indices
) -> tuple[Complexes, Floats, Flags]:
    """Fit conics through windows of points; say at the points named how they run.

    Returns
    -------
    headings, curvatures, and whether the conic can be the curve there
    """
    chosen = points[window]
    size = chosen.shape[1]
    place = (window == own[:, np.newaxis]).argmax(axis=1)
    origin = points[own]
    others = chosen[np.arange(size) != place[:, np.newaxis]].reshape(-1, size - 1)
    others = others - origin[:, np.newaxis]
    scale = np.abs(others).max(axis=1)
    z = others / scale[:, np.newaxis]
    equations, right = _point_equations(z)
    ahead = chosen[np.arange(len(own)), np.minimum(place + 1, size - 1)]
    behind = chosen[np.arange(len(own)), np.maximum(place - 1, 0)]
    heading, curvature = _solve(equations, right, ahead - behind)
    chords = np.diff(chosen, axis=1)
    turns = np.angle(chords[:, 1:] * np.conj(chords[:, :-1]))
    fits = np.sign(curvature) == np.sign(turns[:, 0])
    fits &= _lies_between(heading, chords, turns, place)
    return heading, curvature / scale, fits


def _bend_one_way(chosen: Complexes) -> Flags:
    """Whether the points of each window, along the last axis, turn all to one side."""
    chords = np.diff(chosen)
    side = np.sign((chords[..., 1:] * np.conj(chords[..., :-1])).imag)
    one: Flags = np.abs(side.sum(axis=-1)) == side.shape[-1]
    return one


def _lies_between(
    heading: Complexes, chords: Complexes, turns: Floats, place: Indices
) -> Flags:
    """Whether headings lie between the chords on both sides of their points."""
    row = np.arange(len(heading))
    last = chords.shape[1] - 1
    into = chords[row, np.maximum(place - 1, 0)]
    out = chords[row, np.minimum(place, last)]
    side = np.sign(turns[:, 0])
    from_into = np.angle(heading * np.conj(into)) * side
    to_out = np.angle(out * np.conj(heading)) * side
    inner = (from_into > 0) & (to_out > 0)
    # At an end there is one chord; the turn at the next point measures the angle.
    first, end = place == 0, place == last + 1
    near_first = (to_out > 0) & (to_out <= MOST_END_TURN * np.abs(turns[:, 0]))
    near_end = (from_into > 0) & (from_into <= MOST_END_TURN * np.abs(turns[:, -1]))
    lies: Flags = np.where(first, near_first, np.where(end, near_end, inner))
    return lies


def _is_near(curvature: Floats, circle: Floats) -> Flags:
    bend, other = np.abs(curvature), np.abs(circle)
    return np.asarray((bend <= MOST_RATIO * other) & (other <= MOST_RATIO * bend))


def _use_tangent(
    points: Complexes, heading: complex, headings: Complexes, curvatures: Floats
) -> None:
    """Improve the first two estimates by the tangent known at the first point.

    Changes ``headings`` and ``curvatures``.
    """
    count = min(len(points), 4)
    for own in range(2):
        others = np.delete(points[:count], own) - points[own]
        start = points[0] - points[own]
        scale = np.abs(others).max()
        equations, right = _point_equations((others / scale)[np.newaxis])
        tangent, value = _tangent_equation(start / scale, heading)
        solved, bends = _solve(
            np.concatenate([equations, tangent[np.newaxis]], axis=1),
            np.concatenate([right, value[np.newaxis]], axis=1),
            np.atleast_1d(points[own + 1] - points[max(own - 1, 0)]),
        )
        chords = np.diff(points[:count])
        turns = np.angle(chords * np.conj(np.append(heading, chords[:-1])))
        side = np.sign(turns[0])
        one_side = bool(side) and bool((np.sign(turns) == side).all())
        near = _is_near(bends / scale, curvatures[own : own + 1]).all()
        fits = one_side and bool(np.sign(bends[0]) == side) and bool(near)
        if own == 0:
            headings[0] = heading
            if not fits:
                bends = np.atleast_1d(2 * np.sin(turns[0]) / np.abs(chords[0]) * scale)
            curvatures[0] = bends[0] / scale
        elif fits and side * np.angle(solved[0] * np.conj(chords[0])) > 0:
            headings[1], curvatures[1] = solved[0], bends[0] / scale


def _point_equations(z: Complexes) -> tuple[Floats, Floats]:
    """Return the equations of points, shape (m, k, 4), and their right sides."""
    x, y = z.real, z.imag
    left = np.stack([(x * x - y * y) / 2, x * y, _LEVEL * x, _LEVEL * y], axis=2)
    return left, -(x * x + y * y) / 2


def _tangent_equation(z: complex, heading: complex) -> tuple[Floats, Floats]:
    """Return the equation of a tangent at a point, shapes (1, 4) and (1,)."""
    x, y, dx, dy = z.real, z.imag, heading.real, heading.imag
    left = [x * dx - y * dy, x * dy + y * dx, _LEVEL * dx, _LEVEL * dy]
    return np.array([left]), np.array([-(x * dx + y * dy)])


def _solve(
    equations: Floats, right: Floats, forward: Complexes
) -> tuple[Complexes, Floats]:
    """Return heading and curvature at the origin of the conics."""
    inverse = np.linalg.pinv(equations, rcond=_CUTOFF)
    a, b, d, e = np.einsum("mij,mj->mi", inverse, right).T
    gradient = _LEVEL * (d + 1j * e)
    steep = np.abs(gradient)
    safe = np.where(steep > 0, steep, 1.0)
    size = np.abs(forward)
    along = np.where(size > 0, forward / np.where(size > 0, size, 1.0), 1.0)
    heading = np.where(steep > 0, 1j * gradient / safe, along)
    heading = np.where((heading * np.conj(along)).real < 0, -heading, heading)
    x, y = heading.real, heading.imag
    second = 1 + a * (x * x - y * y) + 2 * b * x * y
    # Along the left normal n = i h the conic leaves its tangent as k s^2 / 2.
    slope = (gradient * np.conj(1j * heading)).real
    return heading, np.where(steep > 0, -second / np.where(steep > 0, slope, 1.0), 0.0)
