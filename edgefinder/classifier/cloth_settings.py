"""Reading a person's own cloths and fold tools, from a job file or from a list."""

from typing import Final

from edgefinder.classifier.fields import Fields
from edgefinder.classifier.job import (
    MOST_EASE_PERCENT,
    MOST_STRETCH_PERCENT,
    ClothSettings,
    FoldTool,
    Origin,
)
from edgefinder.classifier.keys import Key, Kind

CLOTH_KEYS: Final = (
    Key(
        "name",
        Kind.TEXT,
        "any; one of a cloth class takes the place of that class",
        required=True,
    ),
    Key(
        "stretch_ok_percent",
        Kind.NUMBER,
        "stretch without special effort",
        default=0.0,
        unit="per cent",
        most=MOST_STRETCH_PERCENT,
    ),
    Key(
        "stretch_limit_percent",
        Kind.NUMBER,
        "stretch beyond which it puckers",
        unit="per cent",
        required=True,
        most=MOST_STRETCH_PERCENT,
        positive=True,
        in_doubt=MOST_STRETCH_PERCENT,
        wanted="what a swatch shows",
    ),
    Key(
        "ease_ok_percent",
        Kind.NUMBER,
        "ease without special effort",
        default=0.0,
        unit="per cent",
        most=MOST_EASE_PERCENT,
    ),
    Key(
        "ease_limit_percent",
        Kind.NUMBER,
        "ease beyond which it puckers",
        default=0.0,
        unit="per cent",
        most=MOST_EASE_PERCENT,
        in_doubt=MOST_EASE_PERCENT,
    ),
)
"""Of ``[[cloths]]``."""


def cloth_settings(fields: Fields, origin: Origin) -> ClothSettings:
    """Read one of the ``[[cloths]]``."""
    fields.expect(CLOTH_KEYS)

    def share(key: str) -> float:
        return fields.number(key) / 100

    cloth = ClothSettings(
        name=fields.text("name"),
        stretch_ok=share("stretch_ok_percent"),
        stretch_limit=share("stretch_limit_percent"),
        ease_ok=share("ease_ok_percent"),
        ease_limit=share("ease_limit_percent"),
        origin=origin,
    )
    for what, ok, limit in (
        ("stretch", cloth.stretch_ok, cloth.stretch_limit),
        ("ease", cloth.ease_ok, cloth.ease_limit),
    ):
        if ok > limit:
            fields.mistake(f"{what}_ok_percent", f"is more than {what}_limit_percent")
    fields.close()
    return cloth


def fold_tools(fields: Fields, origin: Origin) -> tuple[FoldTool, ...]:
    """Read ``fold_tools``, the sizes of the tools that a person has."""
    return tuple(
        FoldTool(text, size, origin) for text, size in fields.lengths("fold_tools")
    )
