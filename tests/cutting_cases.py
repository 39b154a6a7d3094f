"""Cuttings that the tests of charts and of steps share."""

from typing import Final

from hypothesis import strategies as st

from edgefinder.yardage.cutting import Cutting, Method, Need
from edgefinder.yardage.methods import cut_everything

INCH: Final = 25.4

WORKED: Final = Need(144 * INCH, 2 * INCH, seam=INCH / 4, usable_width=42 * INCH)
"""144 in of 2 in tape: by hand, a square of 17.47 in gives 6 strips of 24 in."""
LONG: Final = Need(60_000.0, 40.0, seam=6.0, usable_width=1400.0)
"""60 m: a rectangle that is longer than the cloth is wide, strips in great number."""
WIDE_STRIPS: Final = Need(500.0, 100.0, usable_width=300.0)
"""Few strips, and corners of the cloth inside them."""
NEEDS: Final = (WORKED, LONG, WIDE_STRIPS)


def cuttings(need: Need) -> dict[Method, Cutting]:
    """Every way in which a tape can be cut."""
    return {cutting.method: cutting for cutting in cut_everything(need).cuttings}


def every_cutting() -> list[Cutting]:
    """All ways of all cases."""
    return [cutting for need in NEEDS for cutting in cuttings(need).values()]


def named(cutting: Cutting) -> str:
    """Name a case for a test report."""
    return f"{cutting.method} of {cutting.need.length:.0f} mm"


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
