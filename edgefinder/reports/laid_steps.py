"""Several tapes in one cut, and tape from scraps, step by step."""

from collections.abc import Sequence

from edgefinder.classifier.job import Grain
from edgefinder.reports.amounts import length, on_ruler, to_cut, width
from edgefinder.reports.cutting_step import Step, make_step
from edgefinder.reports.cutting_steps import CuttingSteps
from edgefinder.reports.cutting_words import corner_words, counted, seam_words
from edgefinder.reports.laid_chart import one_cut_facts, one_cut_title, taken_scraps
from edgefinder.reports.tapes_text import ranges
from edgefinder.schedule.cautions import CUTTER, IRON, SCISSORS
from edgefinder.units import Unit
from edgefinder.yardage.cutting import Need
from edgefinder.yardage.scraps import ScrapCover
from edgefinder.yardage.strip_rows import OneCut


def one_cut_steps(cut: OneCut, seam: float, unit: Unit) -> CuttingSteps:
    """Write how several tapes are cut from one cloth.

    Parameters
    ----------
    cut : OneCut
    seam : float
        Millimetres of seam allowance at each join.
    unit : Unit
    """
    across = on_ruler(cut.width, unit, cut.width)
    along = on_ruler(cut.length, unit)
    steps = [
        make_step(
            "Press the cloth, straighten its end on a thread and trim off the "
            f"selvages. Then cut a piece {across} across the cloth and {along} along "
            "the selvage.",
            across_mm=cut.width,
            along_mm=cut.length,
        ),
        make_step(
            "Lay it wrong side up. Letter the left and the right side A, the upper "
            "and the lower side B, and rule the strips as the chart shows, the strips "
            "of one tape side by side."
            if cut.grain is Grain.BIAS
            else "Lay it wrong side up and rule the strips as the chart shows."
        ),
        make_step(
            f"Cut along the lines and write letter and number on every strip: "
            f"{counted(len(cut.strips), 'strip')}.",
            strips=len(cut.strips),
        ),
        *_joining(cut.grain, seam, cut.strips[0].strip.cut_width, unit),
    ]
    for tape in dict.fromkeys(one.tape for one in cut.strips):
        strips = [one.strip for one in cut.strips if one.tape == tape]
        numbers = ranges([strip.number for strip in strips])
        yielded = cut.tape_length(tape, seam)
        steps.append(
            make_step(
                f"{tape}: join strips {numbers}; this gives "
                f"{length(yielded, unit)} of tape.",
                yield_mm=yielded,
                joins=len(strips) - 1,
            )
        )
    return CuttingSteps(
        one_cut_title(cut),
        one_cut_facts(cut, unit),
        tuple(steps),
        (CUTTER, SCISSORS, IRON),
    )


def scraps_steps(cover: ScrapCover, need: Need, unit: Unit) -> CuttingSteps:
    """Write how a tape is cut from scraps."""
    grain = Grain.BIAS if need.grain is None else need.grain
    steps = [make_step("Press the scraps and mark the lengthwise grain on each.")]
    for tape, strips in taken_scraps(cover):
        numbers = ranges([strip.number for strip in strips])
        steps.append(
            make_step(
                f"{tape.scrap.name}: rule {counted(len(strips), 'strip')} "
                f"{width(need.cut_width, unit)} wide as its chart shows, "
                f"{_way(grain)}; cut them out and number them {numbers}.",
                strips=len(strips),
            )
        )
    steps += _joining(grain, need.seam, need.cut_width, unit)
    steps.append(
        make_step(
            f"Measure: this gives {length(cover.yield_length, unit)} of tape. "
            f"{to_cut(need.length, unit)} is needed.",
            yield_mm=cover.yield_length,
            needed_mm=need.length,
        )
    )
    scraps = counted(len(cover.taken), "scrap")
    return CuttingSteps(
        "Tape from scraps",
        (f"{scraps}, {counted(len(cover.strips), 'strip')}.",),
        tuple(steps),
        (CUTTER, SCISSORS, IRON),
    )


def _way(grain: Grain) -> str:
    if grain is Grain.BIAS:
        return "at 45 degrees to the grain"
    return "along the grain" if grain is Grain.LENGTHWISE else "across the grain"


def _joining(grain: Grain, seam: float, cut_width: float, unit: Unit) -> Sequence[Step]:
    if grain is Grain.BIAS:
        return [
            make_step(
                "Join only ends whose slants match, both along the same thread of the "
                "cloth: turn a strip end for end, never over, until they do. Right "
                "sides together, at a right angle, points standing out on both sides: "
                f"sew {seam_words(seam, unit)}.",
                seam_mm=seam,
            )
        ]
    return [
        make_step(
            "Join on the diagonal: ends square over each other, right sides together. "
            "Sew across the square so that the seam cuts off the outer corner; trim "
            f"that corner {corner_words(seam, unit)}. Each join takes one strip width "
            "off the length.",
            seam_mm=seam,
            lost_mm=cut_width,
        )
    ]
