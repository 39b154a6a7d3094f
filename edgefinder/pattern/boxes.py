"""Boxes around lines: to see quickly what cannot reach what."""

from dataclasses import dataclass

import numpy as np

from edgefinder.geometry.path import Path
from edgefinder.geometry.segments import Kind


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle along the axes, in millimetres, between two of its corners."""

    low: complex
    high: complex

    def widened(self, by: float) -> "Box":
        """Return one that is larger on all sides by a distance."""
        step = complex(by, by)
        return Box(self.low - step, self.high + step)

    def meets(self, other: "Box") -> bool:
        """Whether the two have a point in common."""
        return (
            self.low.real <= other.high.real
            and other.low.real <= self.high.real
            and self.low.imag <= other.high.imag
            and other.low.imag <= self.high.imag
        )

    def is_on_way(self, start: complex, along: complex, inwards: complex) -> bool:
        """Whether it may meet a strip that goes on for ever.

        Parameters
        ----------
        start : complex
            Where the strip begins.
        along : complex
            Unit vector along it.
        inwards : complex
            From the one border of the strip to the other, square to ``along``.
        """
        wide = abs(inwards)
        across = inwards / wide
        corners = [
            complex(x, y) - start
            for x in (self.low.real, self.high.real)
            for y in (self.low.imag, self.high.imag)
        ]
        depths = [(corner * across.conjugate()).real for corner in corners]
        ahead = any((corner * along.conjugate()).real >= 0 for corner in corners)
        return ahead and min(depths) <= wide and max(depths) >= 0


def box_of(path: Path) -> Box:
    """Return a box around a path: round whole ellipses, and round control points."""
    control, kind = path.segments.control, path.segments.kind
    line, cubic, arc = (kind == k for k in Kind)
    centre, u, v = control[arc, :3].T
    half = np.hypot(u.real, v.real) + 1j * np.hypot(u.imag, v.imag)
    points = np.concatenate(
        [
            control[line, :2].ravel(),
            control[cubic].ravel(),
            centre - half,
            centre + half,
        ]
    )
    return Box(
        complex(points.real.min(), points.imag.min()),
        complex(points.real.max(), points.imag.max()),
    )
