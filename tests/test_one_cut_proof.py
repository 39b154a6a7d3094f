"""Several tapes in one cloth, cut and joined as polygons: 500 random cases a grain."""

from typing import Final

import numpy as np
import pytest
import shapely

from edgefinder.classifier.job import Grain
from edgefinder.yardage.cutting import Need
from edgefinder.yardage.one_cut import WantedTape, one_cut
from edgefinder.yardage.strip_ends import Strip, fit_ends
from edgefinder.yardage.strip_order import StripOrder, laid_outlines, order_strips
from edgefinder.yardage.strip_rows import OneCut
from edgefinder.yardage.tape_run import TapeRun

CASES: Final = 500
TAPE_MM: Final = 0.1
AREA_SHARE: Final = 1e-3
GRID_MM: Final = 1e-6


def random_tapes(numbers: np.random.Generator) -> list[WantedTape]:
    width = float(numbers.uniform(600.0, 1600.0))
    seam = float(numbers.uniform(0.0, 8.0))
    return [
        WantedTape(
            name,
            Need(
                length=float(numbers.uniform(500.0, 6000.0)),
                cut_width=float(numbers.uniform(15.0, 80.0)),
                seam=seam,
                usable_width=width,
            ),
        )
        for name in ("neck", "hem")
    ]


def prove_tape(strips: list[Strip], need: Need, yielded: float) -> float:
    """Lay the strips of one tape end to end; return the area of its joins."""
    fitted = fit_ends(strips, need.cut_width)
    assert [strip.length for strip in fitted] == [strip.length for strip in strips]
    order = order_strips(fitted, TapeRun(yielded), need.seam)
    assert isinstance(order, StripOrder)
    assert len(order.placed) == len(strips)
    laid = shapely.polygons(laid_outlines(order))
    tape = shapely.union_all(laid, grid_size=GRID_MM)
    assert tape.area / need.cut_width == pytest.approx(yielded, abs=TAPE_MM)
    return float(shapely.area(shapely.intersection(laid[:-1], laid[1:])).sum())


@pytest.mark.parametrize("grain", Grain)
def test_tapes_cut_together_yield_what_was_computed(grain: Grain) -> None:
    numbers = np.random.default_rng(31)
    for _ in range(CASES):
        tapes = random_tapes(numbers)
        cut = one_cut(tapes, grain)
        assert isinstance(cut, OneCut)
        cloth = shapely.box(0.0, 0.0, cut.width, cut.length)
        in_cloth = shapely.polygons([one.strip.corners for one in cut.strips])
        together = shapely.union_all(in_cloth, grid_size=GRID_MM)
        assert together.area == pytest.approx(shapely.area(in_cloth).sum(), rel=1e-6)
        outside = shapely.difference(together, shapely.buffer(cloth, 1e-5))
        assert outside.area == pytest.approx(0.0, abs=1e-3)

        used = 0.0
        for tape in tapes:
            need = tape.need
            strips = [one.strip for one in cut.strips if one.tape == tape.name]
            yielded = cut.tape_length(tape.name, need.seam)
            assert yielded >= need.length - 1e-5
            used += yielded * need.cut_width + prove_tape(strips, need, yielded)
        dropped = shapely.difference(cloth, together).area
        assert used + dropped == pytest.approx(cloth.area, rel=AREA_SHARE)
        assert cut.lower_bound <= cut.length * (1.0 + 1e-9)
