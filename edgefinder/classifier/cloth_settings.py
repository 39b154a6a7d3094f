"""Reading a person's own cloths and fold tools, from a job file or from a list."""

from edgefinder.classifier.fields import Fields
from edgefinder.classifier.job import (
    MOST_EASE_PERCENT,
    MOST_STRETCH_PERCENT,
    ClothSettings,
    FoldTool,
    Origin,
)


def cloth_settings(fields: Fields, origin: Origin) -> ClothSettings:
    """Read one of the ``[[cloths]]``."""

    def share(key: str, most: float, otherwise: float = 0.0) -> float:
        # A limit that cannot be read must not make its ok value wrong as well.
        default = otherwise if fields.has(key) else 0.0
        return fields.number(key, default, most=most) / 100

    stretch, ease = MOST_STRETCH_PERCENT, MOST_EASE_PERCENT
    cloth = ClothSettings(
        name=fields.text("name"),
        stretch_ok=share("stretch_ok_percent", stretch),
        stretch_limit=share("stretch_limit_percent", stretch, stretch),
        ease_ok=share("ease_ok_percent", ease),
        ease_limit=share("ease_limit_percent", ease, ease),
        origin=origin,
    )
    if cloth.stretch_limit <= 0:
        fields.mistake("stretch_limit_percent", "is missing; write what a swatch shows")
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
