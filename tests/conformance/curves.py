"""Curves by their formulas and lengths by quadrature, apart from the kernel's own."""

import itertools
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

Complexes = NDArray[np.complex128]
Floats = NDArray[np.float64]

SETTLED: Final = 1e-12
"""Relative change at which a length is taken as integrated."""
_MOST_PANELS: Final = 2**12

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(20)


class Matrix(NamedTuple):
    """The map x' = a x + c y + e, y' = b x + d y + f, in the order of SVG."""

    a: float
    b: float
    c: float
    d: float
    e: float
    f: float

    def vector(self, z: complex) -> complex:
        """Map a direction."""
        x, y = z.real, z.imag
        return complex(self.a * x + self.c * y, self.b * x + self.d * y)

    def point(self, z: complex) -> complex:
        """Map a point."""
        return self.vector(z) + complex(self.e, self.f)

    @property
    def is_flat(self) -> bool:
        """Whether it leaves no area, so that nothing is drawn."""
        return self.a * self.d == self.b * self.c

    @property
    def scale(self) -> float | None:
        """By how much it lengthens lines; None where it does not do so alike."""
        u, v = complex(self.a, self.b), complex(self.c, self.d)
        is_alike = math.isclose(abs(u), abs(v), rel_tol=1e-7)
        is_square = abs((u * v.conjugate()).real) <= 1e-7 * abs(u * v)
        return abs(u) if is_alike and is_square else None


@dataclass(frozen=True, slots=True)
class Bezier:
    """A line, quadratic or cubic by its two, three or four control points."""

    points: tuple[complex, ...]

    @property
    def start(self) -> complex:
        return self.points[0]

    @property
    def has_extent(self) -> bool:
        return any(point != self.points[0] for point in self.points)

    def mapped(self, matrix: Matrix) -> "Bezier":
        return Bezier(tuple(matrix.point(point) for point in self.points))

    def speed(self, t: Floats) -> Floats:
        degree = len(self.points) - 1
        steps = np.diff(np.array(self.points)) * degree
        terms = [
            math.comb(degree - 1, i) * t**i * (1 - t) ** (degree - 1 - i) * step
            for i, step in enumerate(steps)
        ]
        speed: Floats = np.abs(np.sum(terms, axis=0))
        return speed

    def cuts(self) -> Floats:
        """Return where the speed has its least values, and may have a corner."""
        first, *others = np.diff(np.array(self.points))
        slopes = [*np.diff([first, *others]), 0.0, 0.0]
        # The speed in powers of t, the highest first; as many as its degree needs.
        powers = [slopes[1] - slopes[0], 2 * slopes[0], first]
        if len(others) < 2:
            powers = [slopes[0], first]
        feet = np.sort(np.roots(powers).real)
        return np.array([0.0, *feet[(feet > 0) & (feet < 1)], 1.0])

    def data(self) -> str:
        """Return its path command, from the current point."""
        command = "?LQC"[len(self.points) - 1]
        return command + " ".join(f"{z.real!r},{z.imag!r}" for z in self.points[1:])


@dataclass(frozen=True, slots=True)
class Conic:
    """The arc centre + u cos t + v sin t over a span of t."""

    centre: complex
    u: complex
    v: complex
    span: tuple[float, float]

    @property
    def start(self) -> complex:
        return self._at(self.span[0])

    @property
    def has_extent(self) -> bool:
        return self.span[0] != self.span[1]

    def mapped(self, matrix: Matrix) -> "Conic":
        return Conic(
            matrix.point(self.centre),
            matrix.vector(self.u),
            matrix.vector(self.v),
            self.span,
        )

    def speed(self, t: Floats) -> Floats:
        first, last = self.span
        angle = first + (last - first) * t
        tangent = self.v * np.cos(angle) - self.u * np.sin(angle)
        return np.abs(tangent * (last - first))

    def cuts(self) -> Floats:
        return np.array([0.0, 1.0])

    def data(self) -> str:
        """Return its path commands: four arcs, none of them half an ellipse."""
        # The axes of an ellipse by two conjugate half diameters u and v: with the
        # map taken apart as z -> p z + q conj z, they are |p| + |q| and |p| - |q|,
        # and the longer one lies half way between the directions of p and q.
        p, q = (self.u - 1j * self.v) / 2, (self.u + 1j * self.v) / 2
        rx, ry = abs(p) + abs(q), abs(abs(p) - abs(q))
        angle = math.degrees(float(np.angle(p) + np.angle(q)) / 2)
        first, last = self.span
        is_swept = (abs(p) > abs(q)) == (last > first)
        ends = [self._at(first + (last - first) * i / 4) for i in (1, 2, 3, 4)]
        head = f"A{rx!r},{ry!r} {angle!r} 0 {int(is_swept)}"
        return "".join(f"{head} {z.real!r},{z.imag!r}" for z in ends)

    def _at(self, t: float) -> complex:
        return self.centre + self.u * math.cos(t) + self.v * math.sin(t)


Curve = Bezier | Conic
Subpath = tuple[Curve, ...]


def length(curve: Curve) -> float:
    """Integrate the speed over more and more panels until the length settles.

    Raises
    ------
    ArithmeticError
        If it does not.
    """
    if isinstance(curve, Bezier) and len(curve.points) == 2:
        return abs(curve.points[1] - curve.points[0])
    before, panels = math.nan, 4
    while panels <= _MOST_PANELS:
        stretches = itertools.pairwise(curve.cuts())
        now = sum(_integral(curve, first, last, panels) for first, last in stretches)
        if abs(now - before) <= SETTLED * now:
            return now
        before, panels = now, 2 * panels
    raise ArithmeticError(f"the length of {curve} does not settle")


def _integral(curve: Curve, first: float, last: float, panels: int) -> float:
    edges = np.linspace(first, last, panels + 1)
    half = (last - first) / panels / 2
    t = edges[:-1, np.newaxis] + half * (_NODES + 1)
    return float((curve.speed(t) @ _WEIGHTS).sum() * half)


def total_length(subpath: Iterable[Curve], matrix: Matrix) -> float:
    """Add up the lengths of curves under a matrix."""
    return math.fsum(length(curve.mapped(matrix)) for curve in subpath)


def path_data(subpaths: Sequence[Subpath], matrix: Matrix, factor: float) -> str:
    """Write subpaths as path data under a matrix and enlarged."""
    enlarge = Matrix(factor, 0, 0, factor, 0, 0)
    commands = []
    for subpath in subpaths:
        mapped = [curve.mapped(matrix).mapped(enlarge) for curve in subpath]
        start = mapped[0].start
        commands.append(f"M{start.real!r},{start.imag!r}")
        commands += [curve.data() for curve in mapped]
    return "".join(commands)
