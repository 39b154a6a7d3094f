"""The layers of pattern interchange: numbers with a meaning.

Sources: ASTM D6673-10, after ANSI/AAMA-292 (read at second hand).
"""

from enum import IntEnum, StrEnum
from types import MappingProxyType
from typing import Final


class Layer(IntEnum):
    """What is drawn on a layer."""

    BOUNDARY = 1
    """The outline, and the texts with the keys."""
    TURN = 2
    """Points at the corners of 1, 8, 11 and 14."""
    CURVE = 3
    """Points on the curves of 1, 8, 11 and 14."""
    NOTCH = 4
    GRADE_REFERENCE = 5
    FOLD = 6
    """The mirror line."""
    GRAIN = 7
    INTERNAL = 8
    """Drawn, not cut."""
    STRIPE = 9
    PLAID = 10
    CUTOUT = 11
    CUTTER = 12
    DRILL = 13
    SEWING = 14
    ANNOTATION = 15


class NotchKind(StrEnum):
    """The form of a notch."""

    V = "V"
    SLIT = "slit"
    T = "T"
    CASTLE = "castle"
    CHECK = "check"
    U = "U"


NOTCH_LAYERS: Final = MappingProxyType(
    {
        Layer.NOTCH: None,
        80: NotchKind.T,
        81: NotchKind.CASTLE,
        82: NotchKind.CHECK,
        83: NotchKind.U,
    }
)
"""Layers with notches and their form; that of layer 4 is seen from the width."""

QUALITY_COPIES: Final = frozenset({84, 85, 86, 87})
"""The lines of 1, 8, 11 and 14 once more, for checking a plot."""


def layer_number(name: str | None) -> int | None:
    """Return the number of a layer, None if its name is none."""
    text = (name or "").strip()
    return int(text) if text.isdecimal() and len(text) <= 4 else None


def is_known(number: int | None) -> bool:
    """Whether a layer has a meaning here."""
    known = {0, *Layer, *NOTCH_LAYERS, *QUALITY_COPIES}
    return number in known
