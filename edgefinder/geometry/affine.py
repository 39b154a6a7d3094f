"""Affine maps of the plane, under which every kind of segment stays exact."""

from dataclasses import dataclass

import numpy as np

from edgefinder.geometry.segments import Complexes, Kind, Segments


@dataclass(frozen=True, slots=True)
class Affine:
    """The map x' = a x + c y + e, y' = b x + d y + f.

    The letters are those of the matrix in CSS Transforms 1, section 8.
    """

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    def __matmul__(self, other: "Affine") -> "Affine":
        """Return the map that applies ``other`` first and then this one."""
        return Affine(
            self.a * other.a + self.c * other.b,
            self.b * other.a + self.d * other.b,
            self.a * other.c + self.c * other.d,
            self.b * other.c + self.d * other.d,
            self.a * other.e + self.c * other.f + self.e,
            self.b * other.e + self.d * other.f + self.f,
        )

    @property
    def determinant(self) -> float:
        """The factor by which areas grow; negative when the map mirrors."""
        return self.a * self.d - self.b * self.c

    def vectors(self, z: Complexes) -> Complexes:
        """Map directions: the translation is left out."""
        x, y = z.real, z.imag
        mapped: Complexes = (self.a * x + self.c * y) + 1j * (self.b * x + self.d * y)
        return mapped

    def points(self, z: Complexes) -> Complexes:
        """Map points, complex, any shape."""
        return self.vectors(z) + complex(self.e, self.f)


def transform(segments: Segments, affine: Affine) -> Segments:
    """Map every segment; lines, cubics and conic arcs all stay exact."""
    arc = segments.kind == Kind.ARC
    control = np.where(
        arc[:, np.newaxis], segments.control, affine.points(segments.control)
    )
    control[arc, 0] = affine.points(segments.control[arc, 0])
    control[arc, 1:3] = affine.vectors(segments.control[arc, 1:3])
    control[segments.kind == Kind.LINE, 2:] = 0
    return Segments(segments.kind, control)
