"""What pattern interchange says: a style and its pieces, in every size."""

import cmath
from dataclasses import dataclass

from edgefinder.findings import Finding
from edgefinder.geometry.segments import Complexes
from edgefinder.importers.drawing import DrawnLine
from edgefinder.importers.interchange.layers import NotchKind


@dataclass(frozen=True, slots=True)
class Style:
    """What is said of all pieces; texts are untrusted, None where nothing is said.

    Parameters
    ----------
    name, sample_size, grade_rule_table, units : str or None
    keys : tuple of (str, str)
        Every key and value, those above too, as written.
    """

    name: str | None
    sample_size: str | None
    grade_rule_table: str | None
    units: str | None
    keys: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Notch:
    """A mark at the boundary.

    Parameters
    ----------
    at : complex
        On the boundary, in millimetres.
    depth, width : float or None
        Millimetres; None where the drawing does not say.
    angle : float or None
        Direction in which it is cut, radians anticlockwise from the x axis.
    kind : NotchKind
    """

    at: complex
    depth: float | None
    width: float | None
    angle: float | None
    kind: NotchKind


@dataclass(frozen=True, slots=True, eq=False)
class DrawnPiece:
    """One piece in one size, as it lies in the drawing, in millimetres.

    Parameters
    ----------
    name : str
        Of the piece, else of its block.
    size : str or None
    quantity : (int, int) or None
        How many to cut right and left.
    material, category, annotation : str or None
    keys : tuple of (str, str)
        Every key and value of its texts as written.
    boundary : DrawnLine
        Closed, smooth through its curve points. It is the cut line, or the sewing line
        where none is drawn on layer 14 and no allowance is included.
    corners : ndarray of complex128, shape (n,)
        Points of the boundary at which an edge ends, in its order.
    cutouts : tuple of DrawnLine
        Closed.
    sewing_line : DrawnLine or None
        Closed; its distance from the boundary is the seam allowance.
    internal : tuple of DrawnLine
        Drawn, not cut.
    fold_line : (complex, complex) or None
        The stretch of the boundary that lies on the fold.
    grain_line : (complex, complex) or None
    notches : tuple of Notch
        In the order of the drawing.
    drill_holes : ndarray of complex128, shape (n,)
    where : str
        File and block, for messages.
    """

    name: str
    size: str | None
    quantity: tuple[int, int] | None
    material: str | None
    category: str | None
    annotation: str | None
    keys: tuple[tuple[str, str], ...]
    boundary: DrawnLine
    corners: Complexes
    cutouts: tuple[DrawnLine, ...]
    sewing_line: DrawnLine | None
    internal: tuple[DrawnLine, ...]
    fold_line: tuple[complex, complex] | None
    grain_line: tuple[complex, complex] | None
    notches: tuple[Notch, ...]
    drill_holes: Complexes
    where: str

    @property
    def is_mirrored_pair(self) -> bool:
        """Whether it is cut right and left."""
        return self.quantity is not None and min(self.quantity) > 0

    @property
    def grain_angle(self) -> float | None:
        """Radians anticlockwise from the x axis to the grain line, None without one.

        Pieces are turned for nesting and are left so; turned by its negative the grain
        line lies along the x axis.
        """
        if self.grain_line is None:
            return None
        along = self.grain_line[1] - self.grain_line[0]
        return cmath.phase(along)


@dataclass(frozen=True, slots=True, eq=False)
class Interchange:
    """All that one file says.

    Parameters
    ----------
    style : Style
    pieces : tuple of DrawnPiece
        In drawing order; the sizes made by grade rules follow their sample.
    unit_mm : float
        Millimetres per drawing unit that were used in the end.
    findings : tuple of Finding
    """

    style: Style
    pieces: tuple[DrawnPiece, ...]
    unit_mm: float
    findings: tuple[Finding, ...]
