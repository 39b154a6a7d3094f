r"""What a stretched swatch says about its cloth.

A strip on the true bias is marked, stretched until it begins to pucker, and measured.
Its threads are taken for a net at 45 degrees to the strip, pinned where they cross
(trellis; Weissenberg and others, Journal of the Textile Institute 40, 1949, T111, and
F. T. Kilby, ibid. 54, 1963, T9; pages from memory). With the length drawn out l times
and the width m times, every thread becomes

    t = sqrt((l^2 + m^2) / 2)

times as long: 1 in a net that neither stretches nor slips. With a load F per metre of
the original width the cloth's resistance to shear is

    G = F cos g / (2 g (1 + e)),   sin g = (1 + e)^2 - 1,   e = l - 1

which is the virtual work of the load on the net, the moment at the crossings being
proportional to the shear angle g (small-strain shear rigidity; for small e it is the
123 / EB5 of the FAST instruments, CSIRO report WT92.02, 1994).
"""

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from edgefinder.errors import SettingsError

COMFORT: Final = 1.5
"""The stretch without special effort is the limit divided by this (from memory)."""

CEILING: Final = math.sqrt(2) - 1
"""Beyond it the net is drawn out straight: (1 + e)^2 = 2."""

READING_ERROR_MM: Final = 0.5
"""A width or a length is read from a ruler to half a millimetre."""

STANDARD_GRAVITY: Final = 9.80665
"""m/s^2, by definition (3rd General Conference on Weights and Measures, 1901)."""


class Threads(StrEnum):
    """What the width of a stretched swatch says of its threads."""

    PINNED = "as a net of pinned threads"
    STRETCHED = "the threads themselves have stretched"
    SLIPPED = "the threads have slipped at their crossings, or the strip buckled"


@dataclass(frozen=True, slots=True)
class Swatch:
    """A measured strip on the true bias; lengths in millimetres.

    Parameters
    ----------
    marked, stretched : float
        Distance of two marks before, and when it begins to pucker.
    eased : float or None
        Distance of the marks when it is pushed together as far as it lies flat.
    width_before, width_after : float or None
        Of the strip, between the marks, before and when it is stretched.
    load : float or None
        Newton, with which it was stretched.
    """

    marked: float
    stretched: float
    eased: float | None = None
    width_before: float | None = None
    width_after: float | None = None
    load: float | None = None

    def __post_init__(self) -> None:
        _check(self)


@dataclass(frozen=True, slots=True)
class SwatchResult:
    """What a swatch says.

    Parameters
    ----------
    stretch_limit, stretch_ok : float
        Fractions.
    ease_limit, ease_ok : float or None
        Fractions; None where the strip was not eased.
    expected_width : float or None
        Millimetres of width that a net of pinned threads would have.
    thread_stretch : float or None
        Fraction by which the threads became longer, from length and width.
    threads : Threads or None
        None where no width was measured.
    shear_rigidity : float or None
        G in N/m; None without load and width.
    """

    stretch_limit: float
    stretch_ok: float
    ease_limit: float | None
    ease_ok: float | None
    expected_width: float | None
    thread_stretch: float | None
    threads: Threads | None
    shear_rigidity: float | None


def read_swatch(swatch: Swatch) -> SwatchResult:
    """Work out what a swatch says of its cloth."""
    stretch = swatch.stretched / swatch.marked - 1
    ease = None if swatch.eased is None else 1 - swatch.eased / swatch.marked
    before, after = swatch.width_before, swatch.width_after
    expected = thread_stretch = threads = None
    if before is not None:
        expected = before * across(stretch)
    if before is not None and after is not None and expected is not None:
        thread_stretch = _thread_factor(1 + stretch, after / before) - 1
        threads = _threads(swatch, after, expected)
    return SwatchResult(
        stretch_limit=stretch,
        stretch_ok=stretch / COMFORT,
        ease_limit=ease,
        ease_ok=None if ease is None else ease / COMFORT,
        expected_width=expected,
        thread_stretch=thread_stretch,
        threads=threads,
        shear_rigidity=None
        if swatch.load is None or before is None or stretch == 0
        else shear_rigidity(swatch.load / (before / 1000), stretch),
    )


def across(stretch: float) -> float:
    """Return the width of a net stretched lengthwise, as a share: sqrt(2 - (1 + e)^2)."""
    return math.sqrt(max(0.0, 2 - (1 + stretch) ** 2))


def shear_rigidity(force: float, stretch: float) -> float:
    """Return G in N/m from a force in N per metre of original width."""
    g = math.asin((1 + stretch) ** 2 - 1)
    return force * math.cos(g) / (2 * g * (1 + stretch))


def stretching_force(rigidity: float, stretch: float) -> float:
    """Return the force in N per metre of original width: F = 2 G g (1 + e) / cos g."""
    g = math.asin((1 + stretch) ** 2 - 1)
    return 2 * rigidity * g * (1 + stretch) / math.cos(g)


def _thread_factor(along: float, over: float) -> float:
    return math.sqrt((along**2 + over**2) / 2)


def _threads(swatch: Swatch, after: float, expected: float) -> Threads:
    """Compare the width with that of a net, as far as a ruler can tell.

    An error in the stretched length moves the expected width by l / m times as much,
    to first order.
    """
    if swatch.width_before is None:
        raise ValueError("a width before is needed")
    l, m = swatch.stretched / swatch.marked, expected / swatch.width_before
    slope = l / max(m, 0.1) * swatch.width_before / swatch.marked
    slack = READING_ERROR_MM * (2 + slope)
    if after > expected + slack:
        return Threads.STRETCHED
    if after < expected - slack:
        return Threads.SLIPPED
    return Threads.PINNED


def _check(swatch: Swatch) -> None:
    """Refuse what cannot have been measured, every mistake at once."""
    mistakes = []
    if swatch.marked <= 0:
        mistakes.append("the marked length must be more than nothing")
    elif swatch.stretched < swatch.marked:
        mistakes.append(
            f"the stretched length ({swatch.stretched:g} mm) is less than the marked "
            f"one ({swatch.marked:g} mm); measure it while the strip is stretched"
        )
    elif swatch.stretched / swatch.marked - 1 >= CEILING:
        share = 100 * (swatch.stretched / swatch.marked - 1)
        mistakes.append(
            f"a stretch of {share:.0f} % is more than woven threads allow (41 %): is "
            "the cloth a knit, or was the mark read wrongly?"
        )
    if swatch.eased is not None and not 0 < swatch.eased <= swatch.marked:
        mistakes.append("the eased length must lie between nothing and the marked one")
    for name, width in (
        ("before", swatch.width_before),
        ("after", swatch.width_after),
    ):
        if width is not None and width <= 0:
            mistakes.append(f"the width {name} must be more than nothing")
    if swatch.width_after is not None and swatch.width_before is None:
        mistakes.append("the width after says nothing without the width before")
    if swatch.load is not None and swatch.load <= 0:
        mistakes.append("the load must be more than nothing")
    if mistakes:
        raise SettingsError(*mistakes)
