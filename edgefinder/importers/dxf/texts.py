"""Texts of a DXF: what they say and where they stand."""

from typing import Any, Final

from ezdxf.entities.dxfgfx import DXFGraphic

from edgefinder.errors import DrawingError
from edgefinder.importers.dxf.entities import attribute, numbers, plane_of
from edgefinder.importers.dxf.layers import readable

TEXTS: Final = frozenset({"TEXT", "MTEXT", "ATTRIB"})
"""The kinds of entity that say something."""

_FITTED: Final = frozenset({3, 5})
"""Alignments that run between two points, of which the first is the insertion point
(DXF reference, TEXT, group 72)."""


def lines_of_text(entity: DXFGraphic, where: str) -> tuple[str, ...]:
    """Return the lines of a text without formatting codes, empty ones left out.

    Parameters
    ----------
    entity : DXFGraphic
        TEXT, MTEXT or ATTRIB.
    where : str

    Raises
    ------
    DrawingError
        If its formatting codes cannot be understood.
    """
    text: Any = entity
    try:
        plain = str(text.plain_text())
    # The library parses codes of a file here and may raise anything on damaged ones.
    except Exception as error:
        raise DrawingError(
            f"{where}: has text that cannot be read; retype it"
        ) from error
    lines = (line.strip() for line in readable(plain).splitlines())
    return tuple(line for line in lines if line)


def text_point(entity: DXFGraphic, where: str) -> complex:
    """Return the point that a text is aligned to, in the space that it stands in."""
    at = attribute(entity, "insert", where)
    if entity.dxftype() == "MTEXT":  # the only text in world coordinates
        return complex(at[0], at[1])
    across, up = entity.dxf.get("halign", 0), entity.dxf.get("valign", 0)
    aligned = entity.dxf.get("align_point")
    if (across or up) and across not in _FITTED and aligned is not None:
        at = numbers(tuple(aligned), where)
    plane, _ = plane_of(entity, float(at[2]), where)
    return complex(
        plane.a * at[0] + plane.c * at[1] + plane.e,
        plane.b * at[0] + plane.d * at[1] + plane.f,
    )
