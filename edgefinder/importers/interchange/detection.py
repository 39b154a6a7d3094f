"""Tell pattern interchange from other DXF files."""

from typing import Final

from edgefinder.importers.drawing import Drawing
from edgefinder.importers.interchange.contents import piece_blocks
from edgefinder.importers.interchange.keys import (
    PIECE_KEYS,
    STYLE_KEYS,
    key_and_value,
    plain_key,
)
from edgefinder.importers.interchange.layers import Layer, layer_number

LEAST_MARKS: Final = 3
"""Turn or curve points that prove the dialect where no key does."""

_MARKS: Final = frozenset({Layer.TURN, Layer.CURVE})


def detect_interchange(drawing: Drawing) -> bool:
    """Whether a drawing is pattern interchange.

    Parameters
    ----------
    drawing : Drawing
        Of a DXF.

    Returns
    -------
    bool
        True if a block draws an outline on layer 1 or 14, and the file has a piece name
        or two other keys on layer 1, or a block has turn or curve points on layers 2
        and 3.
    """
    blocks = set(piece_blocks(drawing))
    if not blocks:
        return False
    keys = {
        plain_key(pair[0])
        for text in drawing.texts
        if layer_number(text.layer) == Layer.BOUNDARY
        and (pair := key_and_value(text.text)) is not None
    }
    if "piece name" in keys or len(keys & (PIECE_KEYS | STYLE_KEYS)) >= 2:
        return True
    marks = [
        point
        for point in drawing.points
        if point.groups in blocks and layer_number(point.layer) in _MARKS
    ]
    return len(marks) >= LEAST_MARKS
