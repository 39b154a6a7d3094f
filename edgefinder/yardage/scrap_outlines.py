"""Scraps of any shape, from a drawn outline or a polygon."""

from typing import Final

import numpy as np
import shapely

from edgefinder.classifier.width_words import WIDEST_CLOTH_MM
from edgefinder.errors import SettingsError
from edgefinder.geometry.flatten import flatten
from edgefinder.geometry.path import Path
from edgefinder.yardage.buying import in_both_units
from edgefinder.yardage.scraps import FLATTENING_MM, UPRIGHT, Scrap

MOST_CORNERS: Final = 5_000
"""No scrap needs more corners; more only cost time."""


def scrap_outline(name: str, outline: Path, grain: float = UPRIGHT) -> Scrap:
    """Describe a scrap by a drawn outline.

    Parameters
    ----------
    name : str
    outline : Path
        Closed, in millimetres.
    grain : float
        Direction of the lengthwise grain from the x axis, in radians.

    Raises
    ------
    SettingsError
        If the outline is open, or crosses itself.
    """
    if not outline.closed:
        raise SettingsError(f'scrap "{name}": the outline is open; join its ends')
    corners = flatten(outline, FLATTENING_MM)
    return scrap_polygon(
        name, shapely.Polygon(np.column_stack((corners.real, corners.imag))), grain
    )


def scrap_polygon(name: str, polygon: shapely.Polygon, grain: float = UPRIGHT) -> Scrap:
    """Describe a scrap by a polygon, with holes or without.

    Parameters
    ----------
    name : str
    polygon : shapely.Polygon
        In millimetres.
    grain : float
        Direction of the lengthwise grain from the x axis, in radians.

    Raises
    ------
    SettingsError
        If the polygon is empty, crosses itself, or is too large or too detailed.
    """
    if polygon.is_empty or not polygon.is_valid:
        raise SettingsError(
            f'scrap "{name}": its outline crosses itself or encloses nothing; redraw it'
        )
    corners = shapely.get_coordinates(polygon)
    if np.ptp(corners, axis=0).max() > WIDEST_CLOTH_MM:
        raise SettingsError(
            f'scrap "{name}" is larger than {in_both_units(WIDEST_CLOTH_MM)}; '
            "check the unit of the drawing"
        )
    if len(corners) > MOST_CORNERS:
        raise SettingsError(
            f'scrap "{name}" has {len(corners)} corners; draw it with fewer points'
        )
    rings = (polygon.exterior, *polygon.interiors)
    return Scrap(
        name,
        tuple(
            tuple((float(x), float(y)) for x, y in ring.coords[:-1]) for ring in rings
        ),
        grain,
        float(polygon.area),
    )
