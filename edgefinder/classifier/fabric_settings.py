"""Reading what is said about the cloth that tape is cut from."""

from typing import Final

from edgefinder.classifier.fields import Fields
from edgefinder.classifier.job import FabricSettings
from edgefinder.classifier.price_words import Price, parse_price
from edgefinder.classifier.size_words import parse_size
from edgefinder.classifier.width_words import USUAL, ClothWidth, parse_cloth_width
from edgefinder.constants import (
    BUY_STEP_INCH_MM,
    BUY_STEP_METRIC_MM,
    SHORTEST_STRIP_MM,
    STRIP_SEAM_MM,
    USABLE_WIDTH_MM,
)
from edgefinder.units import Unit

DEFAULT_CLOTH: Final = "quilting cotton"
MOST_SHRINKAGE_PERCENT: Final = 50.0
"""Cloth that loses more than half is felted: a slip of the figure."""
MOST_CONTINGENCY_PERCENT: Final = 200.0
"""Three times the cloth is a slip of the figure."""


def fabric_settings(fields: Fields, unit: Unit) -> FabricSettings:
    """Read ``[fabric]``, or the same words typed as options."""
    step = BUY_STEP_METRIC_MM if unit.is_metric else BUY_STEP_INCH_MM

    def share(key: str, most: float) -> float:
        return fields.number(key, 0.0, most=most) / 100

    fabric = FabricSettings(
        cloth=fields.text("cloth", DEFAULT_CLOTH),
        usable_width=fields.length("usable_width", None, positive=True)
        or USABLE_WIDTH_MM,
        strip_seam=fields.length("strip_seam", STRIP_SEAM_MM) or 0.0,
        buy_step=fields.length("buy_step", None, positive=True) or step,
        shortest_strip=fields.length("shortest_strip", SHORTEST_STRIP_MM) or 0.0,
        cloth_width=fields.length("cloth_width", None, positive=True),
        selvage=fields.length("selvage", 0.0) or 0.0,
        shrinkage_lengthwise=share(
            "shrinkage_lengthwise_percent", MOST_SHRINKAGE_PERCENT
        ),
        shrinkage_crosswise=share(
            "shrinkage_crosswise_percent", MOST_SHRINKAGE_PERCENT
        ),
        squaring_up=fields.length("squaring_up", 0.0) or 0.0,
        contingency=share("contingency_percent", MOST_CONTINGENCY_PERCENT),
        one_way=fields.truth("one_way", default=False),
        same_slant=fields.truth("same_slant", default=False),
        widths=_widths(fields),
        usual_widths=fields.is_word("widths", USUAL),
        price=_price(fields),
        rectangle=_rectangle(fields),
        scrap_sizes=_scraps(fields),
        scrap_drawing=fields.text("scraps", ""),
        scrap_grain=_scrap_grain(fields),
    )
    if fields.has("cloth_width") and fields.has("usable_width"):
        fields.mistake(
            "usable_width",
            "follows from cloth_width, the selvage and the shrinkage; take one out",
        )
    needs_width = fabric.cloth_width is None and not fields.has("widths")
    if fabric.selvage > 0.0 and needs_width:
        fields.mistake(
            "selvage",
            "there is nothing to take it off: the usable width has none; write "
            "cloth_width, the width from edge to edge",
        )
    fields.close()
    return fabric


def _widths(fields: Fields) -> tuple[ClothWidth, ...]:
    if fields.is_word("widths", USUAL):
        return ()
    texts = fields.texts("widths")
    found = [fields.parsed("widths", text, parse_cloth_width) for text in texts]
    return tuple(width for width in found if width is not None)


def _rectangle(fields: Fields) -> tuple[float, float] | None:
    text = fields.text("from", "")
    return fields.parsed("from", text, parse_size) if text else None


def _scraps(fields: Fields) -> tuple[tuple[str, float, float], ...]:
    found = []
    for text in fields.texts("scrap"):
        size = fields.parsed("scrap", text, parse_size)
        if size is not None:
            found.append((" ".join(text.split()), *size))
    return tuple(found)


def _scrap_grain(fields: Fields) -> float | None:
    degrees = fields.number("scrap_grain", 0.0, most=180.0)
    if not fields.has("scrap_grain"):
        return None
    if not fields.has("scraps"):
        fields.mistake("scrap_grain", "turns drawn scraps; give scraps, a drawing")
    return degrees


def _price(fields: Fields) -> Price | None:
    text = fields.text("price", "")
    return fields.parsed("price", text, parse_price) if text else None
