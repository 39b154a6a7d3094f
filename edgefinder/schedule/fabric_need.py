"""From what is said about the cloth to the tape that is cut from it."""

from collections.abc import Sequence
from typing import Final

from edgefinder.classifier.job import FabricSettings, Grain
from edgefinder.classifier.width_words import ClothWidth
from edgefinder.yardage.buying import FABRIC_WIDTHS, FabricWidth
from edgefinder.yardage.buying_table import TABLE_WIDTHS
from edgefinder.yardage.cutting import Need
from edgefinder.yardage.preparation import Preparation, prepared_width
from edgefinder.yardage.tape_run import TapeRun

TYPED: Final = "as written"
"""The source of a width that is in no table."""


def preparation_of(fabric: FabricSettings) -> Preparation:
    """Return the allowances made before cutting."""
    return Preparation(
        shrinkage_along=fabric.shrinkage_lengthwise,
        shrinkage_across=fabric.shrinkage_crosswise,
        squaring=fabric.squaring_up,
        selvage=fabric.selvage,
        contingency=fabric.contingency,
    )


def usable_width_of(fabric: FabricSettings) -> float:
    """Return the width of the cloth between the selvages, once it is prepared.

    Raises
    ------
    SettingsError
        If nothing is left of it.
    """
    preparation = preparation_of(fabric)
    if fabric.cloth_width is not None:
        return prepared_width(fabric.cloth_width, preparation)
    # The usable width is without selvages, but it shrinks like the cloth.
    shrinkage = Preparation(shrinkage_across=preparation.shrinkage_across)
    return prepared_width(fabric.usable_width, shrinkage)


def fabric_need(
    fabric: FabricSettings,
    length: float,
    cut_width: float,
    grain: Grain | None,
    run: TapeRun | None = None,
) -> Need:
    """Return a tape that is to be cut from the cloth of a job.

    Parameters
    ----------
    fabric : FabricSettings
    length, cut_width : float
        Millimetres.
    grain : Grain or None
    run : TapeRun or None
        Where no join may lie.

    Raises
    ------
    SettingsError
        With one line for each figure that cannot be right.
    """
    return Need(
        length=length,
        cut_width=cut_width,
        seam=fabric.strip_seam,
        usable_width=usable_width_of(fabric),
        grain=grain,
        buy_step=fabric.buy_step,
        minimum_strip=fabric.shortest_strip,
        preparation=preparation_of(fabric),
        price=fabric.price,
        one_way=fabric.one_way,
        same_slant=fabric.same_slant,
        run=run,
    )


def widths_of(fabric: FabricSettings) -> tuple[FabricWidth, ...]:
    """Return the widths of cloth that are compared; none where none are asked for."""
    if fabric.usual_widths:
        return TABLE_WIDTHS
    return tuple(_known(width, FABRIC_WIDTHS) for width in fabric.widths)


def _known(width: ClothWidth, table: Sequence[FabricWidth]) -> FabricWidth:
    """Look a width up in the table of those sold, for its published usable width."""
    is_metric = width.label.endswith("m")
    for sold in table:
        if sold.label.endswith("m") is not is_metric:
            continue  # 112 cm is sold elsewhere than 44 in, and by other mills
        if sold.narrowest <= width.narrowest <= width.widest <= sold.widest:
            return FabricWidth(
                width.label, width.narrowest, width.widest, sold.usable, sold.source
            )
    return FabricWidth(width.label, width.narrowest, width.widest, None, TYPED)
