"""The layer that ``edgefinder mark`` adds to a copy of a drawing.

It is no part of the pattern: a marked copy is read like the drawing that it was made
from.
"""

from dataclasses import replace
from typing import Final

from edgefinder.importers.drawing import Drawing

MARKS_LAYER: Final = "edgefinder-marks"
"""Layer of a DXF, and id of the outermost group of an SVG."""


def without_own_marks(drawing: Drawing) -> Drawing:
    """Leave out what stands on the layer of marks."""
    if not has_own_marks(drawing):
        return drawing
    return replace(
        drawing,
        lines=tuple(line for line in drawing.lines if line.layer != MARKS_LAYER),
        texts=tuple(text for text in drawing.texts if text.layer != MARKS_LAYER),
    )


def has_own_marks(drawing: Drawing) -> bool:
    """Whether anything stands on the layer of marks."""
    return any(line.layer == MARKS_LAYER for line in drawing.lines) or any(
        text.layer == MARKS_LAYER for text in drawing.texts
    )
