r"""Turn of cloth from the thickness of the layers.

A sheet of thickness t that is folded back round a core of thickness T goes round it in
half a circle at its own middle plane:

    turn = pi (T + t) / 2

while the widths on both sides are counted from the tangents of that half circle. A
binding is several such folds, one in another:

- single fold: the tape goes round the edge, T thick: pi (T + t)/2.
- double fold: the same, but its edges are folded under first and lie inside, one layer
  on each side, so that the core is T + 2 t; and each edge is itself folded back on
  nothing: pi (T + 3 t)/2 + 2 pi t/2.
- double layer: the strip is doubled first (a fold on nothing: pi t/2) and stitched
  down with its raw edges on the raw edge; then both layers are turned back over that
  seam allowance (one on nothing, the other round two layers: pi t/2 + 3 pi t/2) and go
  round the edge and the allowance on it: the inner one round T + 2 t, the outer one
  round T + 4 t. The cut width has to feed both: pi (2 T + 13 t)/2.
- flat: the strip is sewn on flat and goes round nothing: 0.
- bias facing: both edges of the strip are folded back on nothing: 2 pi t/2.

Pressing and the needle take a little more; the figure is what geometry asks for.
"""

import math
from types import MappingProxyType
from typing import Final

from edgefinder.classifier.job import TapeFold

CLOTH_THICKNESS_MM: Final = MappingProxyType(
    {
        "lawn": 0.2,
        "quilting cotton": 0.3,
        "poplin": 0.25,
        "linen": 0.35,
        "twill": 0.6,
        "satin": 0.3,
        "chiffon": 0.15,
        "wool suiting": 0.5,
        "taffeta": 0.2,
    }
)
"""Thickness of one layer by class, as a ruler on a pressed stack of ten shows it
(from memory; measure your own cloth)."""


USUAL_THICKNESS_MM: Final = 0.3
"""Of a cloth of one's own for which no thickness is given: that of quilting cotton."""


def turn_of_cloth(fold: TapeFold, tape_layer: float, edge: float) -> float:
    """Return the extra cut width that going round the layers takes.

    Parameters
    ----------
    fold : TapeFold
    tape_layer : float
        Thickness of one layer of the tape in millimetres.
    edge : float
        Thickness of all layers at the edge that is bound, in millimetres.

    Returns
    -------
    float
        Millimetres.
    """
    t, core = tape_layer, edge
    own_fold = math.pi * t / 2
    if fold is TapeFold.SINGLE:
        return _round(core, t)
    if fold is TapeFold.DOUBLE:
        return _round(core + 2 * t, t) + 2 * own_fold
    if fold is TapeFold.DOUBLE_LAYER:
        round_edge = _round(core + 2 * t, t) + _round(core + 4 * t, t)
        return round_edge + 2 * own_fold + _round(2 * t, t)
    return 0.0 if fold is TapeFold.FLAT else 2 * own_fold


def _round(core: float, layer: float) -> float:
    """Return the half circle of a layer round a core, at its middle plane."""
    return math.pi * (core + layer) / 2
