"""Points of a DXF, with the numbers that pattern interchange hides in them."""

import math

import numpy as np
from ezdxf.entities.dxfgfx import DXFGraphic

from edgefinder.geometry.affine import Affine
from edgefinder.importers.drawing import DrawnPoint
from edgefinder.importers.dxf.entities import attribute, numbers

POINT: str = "POINT"
"""The kind of entity that is one point."""


def drawn_point(
    entity: DXFGraphic,
    affine: Affine,
    *,
    layer: str,
    groups: tuple[str, ...],
    where: str,
) -> DrawnPoint:
    """Return a point in its place.

    Parameters
    ----------
    entity : DXFGraphic
        POINT.
    affine : Affine
        From the space that it stands in to millimetres.
    layer : str
    groups : tuple of str
    where : str

    Raises
    ------
    DrawingError
        If a number of it is missing, not finite or too large.

    Notes
    -----
    Groups 30 (height), 39 (thickness) and 50 (angle of the x axis when it was drawn)
    mean depth, width and direction of a notch in pattern interchange; 0 is what
    drawing programs write for nothing.
    """
    at = attribute(entity, "location", where)
    placed = affine.points(np.array([complex(at[0], at[1])]))[0]
    scale = math.sqrt(abs(affine.determinant))
    depth = abs(float(at[2])) * scale
    width = abs(float(numbers(entity.dxf.get("thickness", 0.0), where))) * scale
    angle = entity.dxf.get("angle")
    if angle is not None:
        direction = np.exp(1j * np.radians(numbers(angle, where)))
        angle = float(np.angle(affine.vectors(np.atleast_1d(direction))[0]))
    return DrawnPoint(
        at=complex(placed),
        layer=layer,
        groups=groups,
        depth=depth or None,
        width=width or None,
        angle=angle,
        where=where,
    )
