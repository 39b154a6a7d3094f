"""Reading what is said about the cloth that tape is cut from."""

from typing import Final

from edgefinder.classifier.fields import Fields
from edgefinder.classifier.job import FabricSettings
from edgefinder.classifier.keys import Key, Kind
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
from edgefinder.units import Unit, format_yardage

DEFAULT_CLOTH: Final = "quilting cotton"
MOST_SHRINKAGE_PERCENT: Final = 50.0
"""Cloth that loses more than half is felted: a slip of the figure."""
MOST_CONTINGENCY_PERCENT: Final = 200.0
"""Three times the cloth is a slip of the figure."""


FABRIC_KEYS: Final = (
    Key(
        "cloth",
        Kind.TEXT,
        "a [cloth class](#cloth-classes) or one of your own `[[cloths]]`",
        default=DEFAULT_CLOTH,
    ),
    Key(
        "usable_width",
        Kind.LENGTH,
        "width less the selvages",
        default=USABLE_WIDTH_MM,
        unit="in",
        positive=True,
    ),
    Key(
        "strip_seam",
        Kind.LENGTH,
        "seam allowance where two strips are joined",
        default=STRIP_SEAM_MM,
        unit="in",
    ),
    Key(
        "buy_step",
        Kind.LENGTH,
        "cloth is sold in whole steps of this",
        otherwise=f"none: {format_yardage(BUY_STEP_INCH_MM, Unit.INCH)}, or "
        f"{format_yardage(BUY_STEP_METRIC_MM, Unit.CENTIMETRE)} if `unit` is metric",
        positive=True,
    ),
    Key(
        "shortest_strip",
        Kind.LENGTH,
        "shorter strips are not joined",
        default=SHORTEST_STRIP_MM,
        unit="mm",
    ),
    Key(
        "cloth_width",
        Kind.LENGTH,
        "width from edge to edge, in place of `usable_width`",
        positive=True,
    ),
    Key(
        "selvage",
        Kind.LENGTH,
        "taken off `cloth_width`, and off `widths`, on each side",
        default=0.0,
        unit="mm",
    ),
    Key(
        "shrinkage_lengthwise_percent",
        Kind.NUMBER,
        "lost before cutting",
        default=0.0,
        unit="per cent",
        most=MOST_SHRINKAGE_PERCENT,
    ),
    Key(
        "shrinkage_crosswise_percent",
        Kind.NUMBER,
        "the same, of the width",
        default=0.0,
        unit="per cent",
        most=MOST_SHRINKAGE_PERCENT,
    ),
    Key(
        "squaring_up",
        Kind.LENGTH,
        "lost by cutting both ends on a thread",
        default=0.0,
        unit="mm",
    ),
    Key(
        "contingency_percent",
        Kind.NUMBER,
        "bought in addition",
        default=0.0,
        unit="per cent",
        most=MOST_CONTINGENCY_PERCENT,
    ),
    Key(
        "one_way",
        Kind.TRUTH,
        "cloth with an up and a down: no strip is turned end for end",
        default=False,
    ),
    Key("same_slant", Kind.TRUTH, "all joins slant the same way", default=False),
    Key(
        "widths",
        Kind.TEXTS,
        "[widths of cloth](fabric.md#widths-of-cloth-and-what-it-costs) to compare: "
        f'`["44-45 in", "150 cm"]`, or `"{USUAL}"`',
    ),
    Key(
        "from",
        Kind.TEXT,
        "a [piece of cloth](fabric.md#from-a-rectangle-that-you-have) that is there, "
        'across x along: `"14 x 44 in"`',
    ),
    Key(
        "scrap",
        Kind.TEXTS,
        "[scraps](fabric.md#from-what-is-left-over) that are there: "
        '`["8 x 20 in", "10 x 10 in"]`',
    ),
    Key(
        "scraps",
        Kind.TEXT,
        "a drawing of scraps, found from where the job file lies",
    ),
    Key(
        "scrap_grain",
        Kind.NUMBER,
        "of the lengthwise grain in that drawing, clockwise from upright",
        unit="degrees",
        otherwise="none: as drawn",
        most=180.0,
    ),
    Key(
        "price",
        Kind.TEXT,
        'of the cloth: `"12.50 EUR per m"`, `"$9.99 per yd"`',
    ),
)
"""Of ``[fabric]``."""


def fabric_settings(fields: Fields, unit: Unit) -> FabricSettings:
    """Read ``[fabric]``, or the same words typed as options."""
    fields.expect(FABRIC_KEYS)
    step = BUY_STEP_METRIC_MM if unit.is_metric else BUY_STEP_INCH_MM

    def share(key: str) -> float:
        return fields.number(key) / 100

    fabric = FabricSettings(
        cloth=fields.text("cloth"),
        usable_width=fields.length("usable_width") or 0.0,
        strip_seam=fields.length("strip_seam") or 0.0,
        buy_step=fields.length("buy_step", step) or step,
        shortest_strip=fields.length("shortest_strip") or 0.0,
        cloth_width=fields.length("cloth_width"),
        selvage=fields.length("selvage") or 0.0,
        shrinkage_lengthwise=share("shrinkage_lengthwise_percent"),
        shrinkage_crosswise=share("shrinkage_crosswise_percent"),
        squaring_up=fields.length("squaring_up") or 0.0,
        contingency=share("contingency_percent"),
        one_way=fields.truth("one_way"),
        same_slant=fields.truth("same_slant"),
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
    degrees = fields.number("scrap_grain")
    if not fields.has("scrap_grain"):
        return None
    if not fields.has("scraps"):
        fields.mistake("scrap_grain", "turns drawn scraps; give scraps, a drawing")
    return degrees


def _price(fields: Fields) -> Price | None:
    text = fields.text("price", "")
    return fields.parsed("price", text, parse_price) if text else None
