"""A cutting as it is really cut: its piece rounded up to marks of a ruler.

What a tape needs comes to a size that no ruler shows. Whoever cuts rounds both sides
up, and gets longer strips, more tape and a wider last strip than the exact size would
give. Everything that is said at the table is said of that piece.
"""

import math
from dataclasses import replace

import numpy as np

from edgefinder.units import Unit
from edgefinder.yardage.bias_strips import with_length
from edgefinder.yardage.buying import ruler_size
from edgefinder.yardage.cut_strips import bias_layout
from edgefinder.yardage.cutting import TUBES, Cutting, Method
from edgefinder.yardage.methods import CuttingPlan, ranked
from edgefinder.yardage.straight_strips import joined_length
from edgefinder.yardage.tube import seam_crossings


def as_cut(cutting: Cutting, unit: Unit) -> Cutting:
    """Return what a cutting comes to once its piece is rounded up.

    Parameters
    ----------
    cutting : Cutting
    unit : Unit
        Inches are rounded to 1/8 in, metric to 5 mm.

    Returns
    -------
    Cutting
        With as many strips and lines as before; applied twice it changes nothing
        more. Strips in an order keep their lengths, because their ends are recut to
        them: of these only the words round the piece.
    """
    size = ruler_sides(cutting, unit)
    if size == cutting.cut_size or cutting.order is not None:
        return cutting
    if cutting.method in TUBES:
        return _tube(cutting, size)
    if cutting.method is Method.BIAS_STRIPS:
        return _bias(cutting, size)
    return _straight(cutting, size)


def as_cut_plan(plan: CuttingPlan, unit: Unit) -> CuttingPlan:
    """Return every way of a plan as it is cut, least waste first."""
    return replace(plan, cuttings=ranked(as_cut(one, unit) for one in plan.cuttings))


def ruler_sides(cutting: Cutting, unit: Unit) -> tuple[float, float]:
    """Return the two sides of the piece, across and along, as a ruler shows them.

    Notes
    -----
    No side is rounded up beyond the end of the cloth, nor beyond what is bought.
    """
    across, along = cutting.cut_size
    need = cutting.need
    end = math.inf if need.in_hand is None else need.in_hand[1]
    wide = ruler_size(across, unit, need.usable_width)
    long = ruler_size(along, unit, end)
    if need.in_hand is None and need.to_buy(long).buy > cutting.buy:
        long = along
    if cutting.method is Method.TUBE_FROM_SQUARE:
        return (min(wide, long),) * 2
    return wide, long


def rounded_rest(cutting: Cutting) -> float:
    """Return how much wider than the others the last strip of a piece comes out.

    Millimetres square to the strips, of a cutting as it is cut: 0 for bias strips,
    whose lines are ruled from marks.
    """
    need, count = cutting.need, cutting.strips
    across, along = cutting.cut_size
    if cutting.method is Method.BIAS_STRIPS:
        return 0.0
    if cutting.method in TUBES:
        side = max(cutting.cut_size) - 2.0 * need.seam
        return max(0.0, side / math.sqrt(2.0) - count * cutting.line_spacing)
    side = across if cutting.method is Method.LENGTHWISE_STRIPS else along
    return max(0.0, side - count * cutting.line_spacing)


def _tube(cutting: Cutting, size: tuple[float, float]) -> Cutting:
    """Cut the same strips round a longer tube: L = n sqrt 2 (H - 2 s)."""
    width, height = max(size), min(size)
    spacing = cutting.line_spacing * math.sqrt(2.0)
    strip = math.sqrt(2.0) * (height - 2.0 * cutting.need.seam)
    count = cutting.strips
    crossings = seam_crossings(width, height, count, spacing)
    return replace(
        cutting,
        cut_size=size,
        strip_lengths=(strip,) * count,
        yield_length=count * strip,
        seams_in_tape=count - 1 + crossings,
    )


def _bias(cutting: Cutting, size: tuple[float, float]) -> Cutting:
    """Rule the same lines from the same corner: those that reach the end grow."""
    layout = with_length(bias_layout(cutting), size[1])
    grown = float(np.sum(layout.strip_lengths) - np.sum(cutting.strip_lengths))
    return replace(
        cutting,
        cut_size=size,
        strip_lengths=layout.strip_lengths,
        yield_length=cutting.yield_length + grown,
    )


def _straight(cutting: Cutting, size: tuple[float, float]) -> Cutting:
    """Cut the same strips, as long as the side that they run along."""
    crosswise = cutting.method is Method.CROSSWISE_STRIPS
    strip = size[0] if crosswise else size[1]
    count = cutting.strips
    if strip == cutting.strip_lengths[0]:
        return replace(cutting, cut_size=size)
    return replace(
        cutting,
        cut_size=size,
        strip_lengths=(strip,) * count,
        yield_length=joined_length(count, strip, cutting.line_spacing),
    )
