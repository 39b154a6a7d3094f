"""Corners of digitised lines.

No single vertex of such a line is a corner: every one turns. A corner is where the
lines through the points of a half window before and after meet at an angle that the
bend of both flanks does not explain. Each flank is a parabola through its points; the
jump is the angle between the tangents with which the two arrive at the vertex.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from edgefinder.geometry.point_rows import PointRows
from edgefinder.geometry.segments import Complexes, Floats, Indices

Flags = NDArray[np.bool_]

CORNER_JUMP_RAD: Final = float(np.radians(20.0))
"""A sharper jump is a corner: well below the 30 degrees of drafted ones, so that noise
hides none, well above what noise makes of a curve."""

SHORTEST_FLANK_MM: Final = 10.0
LONGEST_FLANK_MM: Final = 15.0
"""Half windows (working default). Shorter: noise makes corners. Longer: corners melt
into the next bend."""

FLANK_POINTS: Final = 4
"""A half window holds this many points at least, however far apart they lie."""

SHORT_FLANK: Final = 0.6
SHORT_FLANK_POINTS: Final = 3
"""A corner is also seen in flanks shorter by this. What a parabola cannot follow of a
tight curve falls with the third power of the length."""

SHORT_SHARE: Final = 0.5
BENT_SHARE: Final = 0.75
"""Of the least jump, that short flanks and that parabolas must show, even where flanks
are taken for straight."""

TANGENT_NOISE: Final = float(np.sqrt(192.0))
"""Of a parabola through points with noise sigma, spacing h, over the length L: its
tangent at the end has the standard deviation sqrt(192) sigma sqrt(h) / L^1.5."""

WANTED_NOISE_RAD: Final = float(np.radians(4.0))
"""Half windows are as long as it takes to read a jump this well, in these bounds."""

SURE: Final = 4.0
"""A corner is sharper than this many standard deviations."""

HINT_RAD: Final = float(np.radians(14.0))
"""Vertices whose chords over the half windows turn less are not looked at."""

BENT: Final = 2.0
"""A flank is bent if its parabola is, by this many standard deviations; the tangent of
a straight one is known four times better."""

HIDDEN_BEND: Final = 0.5
"""What a straight flank may hide of a bend, as a share of what its parabola would add
to the noise. Smaller: coarse points make corners of tight curves."""

TINY: Final = 1e-300
"""In place of a length of 0 that is divided by."""

MOST_POINTS: Final = 24
"""Points of a flank that are used."""


@dataclass(frozen=True, slots=True, eq=False)
class Corners:
    """Corners of rows of points.

    Parameters
    ----------
    at : ndarray of intp, shape (k,)
        Index of the vertex among all points, rising.
    place : ndarray of complex128, shape (k,)
        Where the two flanks meet.
    jump : ndarray, shape (k,)
        Radians, positive to the left.
    """

    at: Indices
    place: Complexes
    jump: Floats


def find_corners(
    rows: PointRows, noise: Floats, spacing: Floats, looked_at: Flags
) -> Corners:
    """Find the corners of rows of noisy points.

    Parameters
    ----------
    rows : PointRows
    noise, spacing : ndarray, shape (m,)
        Of every row, in millimetres.
    looked_at : ndarray of bool, shape (n,)
        Points that may be corners.

    Returns
    -------
    Corners
        The sharpest within each half window first; then what lies between those,
        with flanks that end at them.
    """
    flank = _flank_lengths(noise, spacing)
    found = Corners(
        np.empty(0, dtype=np.intp), np.empty(0, dtype=np.complex128), np.empty(0)
    )
    for apart in (1.0, 0.5):
        more = _round(rows, noise, flank, looked_at, found, apart)
        order = np.argsort(np.concatenate([found.at, more.at]))
        found = Corners(
            *(
                np.concatenate([getattr(found, name), getattr(more, name)])[order]
                for name in ("at", "place", "jump")
            )
        )
    return found


def _flank_lengths(noise: Floats, spacing: Floats) -> Floats:
    wanted = (
        np.sqrt(2.0) * TANGENT_NOISE * noise * np.sqrt(spacing) / WANTED_NOISE_RAD
    ) ** (2 / 3)
    bounded = np.clip(wanted, SHORTEST_FLANK_MM, LONGEST_FLANK_MM)
    lengths: Floats = np.maximum(bounded, (FLANK_POINTS + 0.5) * spacing)
    return lengths


def _round(
    rows: PointRows,
    noise: Floats,
    flank: Floats,
    looked_at: Flags,
    known: Corners,
    apart: float,
) -> Corners:
    """Find corners whose flanks end at the known ones."""
    windows = _windows(rows, flank, np.flatnonzero(looked_at), known)
    hints = _sharpest(rows, windows, apart * flank)
    left, right, bent = _flanks(rows, noise, hints)
    jump = np.angle(right.heading * np.conj(left.heading))
    deviation = np.hypot(left.deviation, right.deviation)
    least = np.maximum(CORNER_JUMP_RAD, SURE * deviation)
    short = _shortened(rows, hints, SHORT_FLANK * flank)
    near_left, near_right, _ = _flanks(rows, noise, short)
    near = np.angle(near_right.heading * np.conj(near_left.heading))
    side = np.sign(jump)
    sure = np.flatnonzero(
        (np.abs(jump) >= least)
        & (bent * side >= BENT_SHARE * CORNER_JUMP_RAD)
        & (near * side >= SHORT_SHARE * CORNER_JUMP_RAD)
    )
    place = _meeting(rows.points, hints.at, left, right)
    return Corners(hints.at[sure], place[sure], jump[sure])


@dataclass(frozen=True, slots=True, eq=False)
class _Windows:
    """Vertices, and the first and last point of their two half windows."""

    at: Indices
    first: Indices
    last: Indices
    turn: Floats

    def take(self, chosen: Indices | Flags) -> "_Windows":
        return _Windows(
            self.at[chosen], self.first[chosen], self.last[chosen], self.turn[chosen]
        )


def _windows(rows: PointRows, flank: Floats, at: Indices, known: Corners) -> _Windows:
    """Return half windows that end with their row and before known corners."""
    owner = rows.owner
    far = rows.along.max(initial=0.0) + 2 * flank.max(initial=0.0)
    along = rows.along + far * owner
    reach = flank[owner[at]]
    first = np.searchsorted(along, along[at] - reach)
    last = np.searchsorted(along, along[at] + reach, side="right") - 1
    first = np.maximum(first, rows.bounds[:-1][owner[at]])
    last = np.minimum(last, rows.bounds[1:][owner[at]] - 1)
    if len(known.at):
        before = np.searchsorted(known.at, at, side="right") - 1
        after = np.searchsorted(known.at, at, side="left")
        edge = known.at[np.maximum(before, 0)] + 1
        first = np.maximum(first, np.where(before >= 0, edge, first))
        edge = known.at[np.minimum(after, len(known.at) - 1)] - 1
        last = np.minimum(last, np.where(after < len(known.at), edge, last))
    wide = (at - first >= 2) & (last - at >= 2)
    at, first, last = at[wide], first[wide], last[wide]
    z = rows.points
    turn = np.angle((z[last] - z[at]) * np.conj(z[at] - z[first]))
    return _Windows(at, first, last, np.abs(turn))


def _shortened(rows: PointRows, windows: _Windows, reach: Floats) -> _Windows:
    """Return the same windows with shorter halves, of a few points at least."""
    at, along = windows.at, rows.along
    limit = reach[rows.owner[at]]
    first, last = windows.first.copy(), windows.last.copy()
    fewest = SHORT_FLANK_POINTS
    while True:
        low = (at - first > fewest) & (along[at] - along[first] > limit)
        high = (last - at > fewest) & (along[last] - along[at] > limit)
        if not (low.any() or high.any()):
            return _Windows(at, first, last, windows.turn)
        first += low
        last -= high


def _sharpest(rows: PointRows, windows: _Windows, radius: Floats) -> _Windows:
    """Return the vertices whose chords turn most within a radius."""
    score = np.zeros(len(rows.points))
    score[windows.at] = windows.turn
    hints = windows.take(windows.turn >= HINT_RAD)
    owner, along = rows.owner, rows.along
    is_most = np.ones(len(hints.at), dtype=np.bool_)
    reach = radius[owner[hints.at]]
    for step in range(1, MOST_POINTS + 1):
        near_by = False
        for side in (-step, step):
            other = np.clip(hints.at + side, 0, len(score) - 1)
            near = (owner[other] == owner[hints.at]) & (
                np.abs(along[other] - along[hints.at]) <= reach
            )
            near_by |= bool(near.any())
            beaten = score[other] > score[hints.at]
            beaten |= (side > 0) & (score[other] == score[hints.at])
            is_most &= ~(near & beaten)
        if not near_by:
            break
    return hints.take(is_most)


@dataclass(frozen=True, slots=True, eq=False)
class _Flanks:
    """Where flanks arrive at their vertices, how, and how well that is known."""

    place: Complexes
    heading: Complexes
    deviation: Floats


@dataclass(frozen=True, slots=True, eq=False)
class _Fits:
    """A parabola and a line through the points of every flank.

    ``bend`` is the curvature of the parabola and ``unsure`` its standard deviation.
    """

    bent: _Flanks
    straight: _Flanks
    bend: Floats
    unsure: Floats

    def flanks(self, is_bent: Flags) -> _Flanks:
        """Return the parabolas of some and the lines of the others."""
        return _Flanks(
            np.where(is_bent, self.bent.place, self.straight.place),
            np.where(is_bent, self.bent.heading, self.straight.heading),
            np.where(
                is_bent,
                self.bent.deviation,
                np.hypot(self.straight.deviation, HIDDEN_BEND * self.bent.deviation),
            ),
        )


def _flanks(
    rows: PointRows, noise: Floats, windows: _Windows
) -> tuple[_Flanks, _Flanks, Floats]:
    """Read both flanks; as lines unless a bend shows in one of them or in both.

    The third is the jump between the two parabolas.
    """
    left, right = (_fits(rows, noise, windows, side) for side in (-1, 1))
    together = np.abs(left.bend + right.bend) > BENT * np.hypot(
        left.unsure, right.unsure
    )
    before, after = (
        fits.flanks(together | (np.abs(fits.bend) > BENT * fits.unsure))
        for fits in (left, right)
    )
    jump = np.angle(right.bent.heading * np.conj(left.bent.heading))
    return before, after, jump


def _fits(rows: PointRows, noise: Floats, windows: _Windows, side: int) -> _Fits:
    at = windows.at
    count = windows.last - at if side > 0 else at - windows.first
    count = np.minimum(count, MOST_POINTS)
    steps = np.arange(1, int(count.max(initial=1)) + 1)
    taken = steps <= count[:, np.newaxis]  # (k, points)
    point = np.where(taken, at[:, np.newaxis] + side * steps, at[:, np.newaxis])
    x = (rows.along[point] - rows.along[at][:, np.newaxis]) / LONGEST_FLANK_MM
    z = rows.points[point] - rows.points[at][:, np.newaxis]
    basis = np.stack([np.ones_like(x), x, x * x]) * taken
    sigma = noise[rows.owner[at]]
    origin = rows.points[at]
    straight, plain = _least_squares(basis, z, np.zeros_like(count > 2))
    bent, covariance = _least_squares(basis, z, count > 2)
    line = _arrival(origin, straight, sigma * np.sqrt(plain[:, 1, 1]))
    parabola = _arrival(origin, bent, sigma * np.sqrt(covariance[:, 1, 1]))
    # Across the line; along it the spacing of the points is no bend.
    bend = (bent[:, 2] * np.conj(line.heading)).imag
    return _Fits(parabola, line, bend, sigma * np.sqrt(covariance[:, 2, 2]))


def _arrival(origin: Complexes, fitted: Complexes, spread: Floats) -> _Flanks:
    speed = np.maximum(np.abs(fitted[:, 1]), TINY)
    return _Flanks(origin + fitted[:, 0], fitted[:, 1] / speed, spread / speed)


def _least_squares(
    basis: Floats, z: Complexes, is_bent: Flags
) -> tuple[Complexes, Floats]:
    """Fit parabolas, or lines; return coefficients and covariances, (k, 3, 3)."""
    basis = basis.copy()
    basis[2] *= is_bent[:, np.newaxis]
    normal = np.einsum("akp,bkp->kab", basis, basis)
    normal[~is_bent, 2, 2] = 1.0
    covariance: Floats = np.linalg.inv(normal)
    right = np.einsum("akp,kp->ka", basis, z)
    return np.einsum("kab,kb->ka", covariance, right), covariance


def _meeting(z: Complexes, at: Indices, left: _Flanks, right: _Flanks) -> Complexes:
    """Return where the tangents of both flanks meet, near the vertex, or the vertex."""
    before, after = z[np.maximum(at - 1, 0)], z[np.minimum(at + 1, len(z) - 1)]
    across = (np.conj(left.heading) * right.heading).imag
    parallel = np.abs(across) < np.sin(CORNER_JUMP_RAD) / 2
    apart = right.place - left.place
    reach = (np.conj(apart) * right.heading).imag / np.where(parallel, 1.0, across)
    place: Complexes = left.place + reach * left.heading
    step = (np.abs(z[at] - before) + np.abs(after - z[at])) / 2
    near = np.abs(place - z[at]) <= 1.5 * step
    in_order = ((place - before) * np.conj(left.heading)).real > step / 4
    in_order &= ((after - place) * np.conj(right.heading)).real > step / 4
    return np.where(near & in_order & ~parallel, place, z[at])
