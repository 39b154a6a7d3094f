"""How far cloth can be stretched and eased, by class and grain.

The classes are working defaults, derived from jam angles and force and, for the
choice of classes, from memory; nothing published gives them. A swatch test of one's
own overrides them (`edgefinder.binding.swatch`): cut a strip 25 mm wide on the true
bias, mark 100 mm, hang 100 g on it and read the stretch.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from edgefinder.classifier.job import ClothSettings, Grain, Origin
from edgefinder.errors import SettingsError, did_you_mean

WORKING_DEFAULTS: Final = (
    "stretch and ease limits of the cloth classes are working defaults; "
    "a swatch test of your own cloth overrides them"
)


@dataclass(frozen=True, slots=True)
class Limits:
    """How much longer and shorter a strip can be made to lie, as fractions.

    Parameters
    ----------
    stretch : float
        e+, at least 0.
    ease : float
        e-, at least 0 and below 1.
    """

    stretch: float
    ease: float

    @property
    def span(self) -> float:
        """S = (1 + e+) / (1 - e-): longest over shortest thread line."""
        return (1 + self.stretch) / (1 - self.ease)


@dataclass(frozen=True, slots=True)
class GrainLimits:
    """What lies flat without special effort, and what puckers beyond."""

    ok: Limits
    limit: Limits


@dataclass(frozen=True, slots=True)
class Cloth:
    """A cloth class, or a person's own cloth.

    Parameters
    ----------
    name : str
    bias, crosswise, lengthwise : GrainLimits
    origin : Origin
        Where the figures stand.
    """

    name: str
    bias: GrainLimits
    crosswise: GrainLimits
    lengthwise: GrainLimits
    origin: Origin

    @property
    def is_default(self) -> bool:
        """Whether the figures are working defaults and not a swatch test."""
        return self.origin is Origin.CLOTH_CLASS

    def along(self, grain: Grain) -> GrainLimits:
        """Return the limits of a strip cut along a grain."""
        return {
            Grain.BIAS: self.bias,
            Grain.CROSSWISE: self.crosswise,
            Grain.LENGTHWISE: self.lengthwise,
        }[grain]


STRAIGHT_OK_SHARE: Final = 0.5
"""Of a straight strip's limit, what is comfortable: the classes have one figure for
each straight grain, and on the bias ``ok`` is about half of ``limit`` (working
default)."""


def _class(
    name: str,
    bias: tuple[float, float, float, float],
    crosswise: tuple[float, float],
    lengthwise: tuple[float, float],
) -> Cloth:
    """Make a class from per cent: bias stretch ok/limit, ease ok/limit, straight."""
    ok, limit, ease_ok, ease_limit = (figure / 100 for figure in bias)
    return Cloth(
        name,
        GrainLimits(Limits(ok, ease_ok), Limits(limit, ease_limit)),
        _straight(*crosswise),
        _straight(*lengthwise),
        Origin.CLOTH_CLASS,
    )


def _straight(stretch_percent: float, ease_percent: float) -> GrainLimits:
    limit = Limits(stretch_percent / 100, ease_percent / 100)
    ok = Limits(limit.stretch * STRAIGHT_OK_SHARE, limit.ease * STRAIGHT_OK_SHARE)
    return GrainLimits(ok, limit)


# Working defaults: derived from jam angles and force, the classes from memory.
# Columns: bias stretch ok, limit, bias ease ok, limit | crosswise stretch limit,
# ease limit | lengthwise stretch limit, ease limit; all in per cent.
CLOTH_CLASSES: Final = (
    _class("lawn", (10, 20, 3, 6), (3, 2), (1.5, 1)),
    _class("quilting cotton", (8, 18, 3, 5), (3, 2), (1.5, 1)),
    _class("poplin", (6, 14, 2, 4), (2, 1), (1, 0.5)),
    _class("linen", (8, 18, 3, 5), (3, 2), (1.5, 1)),
    _class("twill", (5, 12, 2, 3), (2.5, 1), (1.5, 0.5)),
    _class("satin", (10, 20, 2, 4), (3, 1.5), (1.5, 1)),
    _class("chiffon", (15, 28, 5, 8), (4, 3), (2, 1.5)),
    _class("wool suiting", (8, 20, 6, 12), (5, 6), (3.5, 4)),
    _class("taffeta", (4, 10, 1, 2), (1.5, 0.5), (1, 0.3)),
)

OTHER_NAMES: Final = {
    "voile": "lawn",
    "batiste": "lawn",
    "percale": "quilting cotton",
    "resin-finished shirting": "poplin",
    "chambray": "linen",
    "oxford": "linen",
    "drill": "twill",
    "denim": "twill",
    "sateen": "satin",
    "charmeuse": "satin",
    "crepe": "chiffon",
    "challis": "chiffon",
    "flannel": "wool suiting",
    "firm polyester lining": "taffeta",
}
"""Cloths of the same class."""


def find_cloth(name: str, own: Sequence[ClothSettings]) -> Cloth:
    """Find a cloth by name, a person's own cloths first, in their order.

    A swatch test is made on the bias; the straight grains of one's own cloth are
    those of quilting cotton.

    Raises
    ------
    SettingsError
        If there is none, with the nearest names.
    """
    wanted = name.casefold()
    for cloth in own:
        if cloth.name.casefold() == wanted:
            model = find_cloth("quilting cotton", ())
            bias = GrainLimits(
                Limits(cloth.stretch_ok, cloth.ease_ok),
                Limits(cloth.stretch_limit, cloth.ease_limit),
            )
            return Cloth(
                cloth.name, bias, model.crosswise, model.lengthwise, cloth.origin
            )
    by_name = {cloth.name: cloth for cloth in CLOTH_CLASSES}
    known = OTHER_NAMES.get(wanted, wanted)
    if known not in by_name:
        names = [*(cloth.name for cloth in own), *by_name, *OTHER_NAMES]
        raise SettingsError(f'there is no cloth "{name}"{did_you_mean(wanted, names)}')
    return by_name[known]
