"""Cuttings that the tests of charts and of steps share."""

from dataclasses import replace
from typing import Final

from hypothesis import strategies as st

from edgefinder.classifier.job import Grain
from edgefinder.yardage.cutting import Cutting, Method, Need
from edgefinder.yardage.from_rectangle import from_rectangle
from edgefinder.yardage.methods import cut_everything
from edgefinder.yardage.tape_run import TapeRun

INCH: Final = 25.4

WORKED: Final = Need(144 * INCH, 2 * INCH, seam=INCH / 4, usable_width=42 * INCH)
"""144 in of 2 in tape: by hand, a square of 17.47 in gives 6 strips of 24 in."""
LONG: Final = Need(60_000.0, 40.0, seam=6.0, usable_width=1400.0)
"""60 m: a rectangle that is longer than the cloth is wide, strips in great number."""
WIDE_STRIPS: Final = Need(500.0, 100.0, usable_width=300.0)
"""Few strips, and corners of the cloth inside them."""
NEEDS: Final = (WORKED, LONG, WIDE_STRIPS)
SAME_SLANT: Final = Need(4000.0, 50.0, same_slant=True, grain=Grain.BIAS)
"""Ends are recut, and the strips in the corners are then too short."""
ONE_WAY: Final = Need(
    4000.0,
    50.0,
    one_way=True,
    grain=Grain.BIAS,
    run=TapeRun(4000.0, avoid=((1000.0, 70.0), (2500.0, 70.0))),
)
"""Nothing is turned, and joins keep away from two places."""
RECTANGLE: Final = (14 * INCH, 44 * INCH)
"""A piece of cloth that is there."""


def cuttings(need: Need) -> dict[Method, Cutting]:
    """Every way in which a tape can be cut."""
    return {cutting.method: cutting for cutting in cut_everything(need).cuttings}


def every_cutting() -> list[Cutting]:
    """All ways of all cases."""
    found = [cutting for need in NEEDS for cutting in cuttings(need).values()]
    for need in (SAME_SLANT, ONE_WAY):
        found += cuttings(need).values()
    for need in (WORKED, replace(WORKED, length=20_000.0)):
        found += from_rectangle(need, *RECTANGLE).cuttings
    return found


def named(cutting: Cutting) -> str:
    """Name a case for a test report."""
    need = cutting.need
    more = ", of a piece" if need.in_hand else ", in order" if need.has_order else ""
    return f"{cutting.method} of {need.length:.0f} mm{more}"


def needs() -> st.SearchStrategy[Need]:
    """Needs from a short piping to a bolt of tape."""
    return st.builds(
        Need,
        length=st.floats(50.0, 60_000.0),
        cut_width=st.floats(8.0, 150.0),
        seam=st.sampled_from((0.0, 3.0, 6.35, 15.0)),
        usable_width=st.floats(250.0, 1700.0),
        minimum_strip=st.floats(0.0, 250.0),
    )
