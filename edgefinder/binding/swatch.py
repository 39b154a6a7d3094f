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

from edgefinder.classifier.job import MOST_EASE_PERCENT, MOST_STRETCH_PERCENT
from edgefinder.errors import SettingsError

COMFORT: Final = 1.5
"""The stretch without special effort is the limit divided by this (from memory)."""

READING_ERROR_MM: Final = 0.5
"""A width or a length is read from a ruler to half a millimetre."""

SHORTEST_MARKED_MM: Final = 10.0
"""Below it a reading is off by a tenth and more."""

LEAST_STRETCH: Final = 0.001
"""What a job file writes as nothing: it has per cent with one decimal."""

ROUNDING_SHARE: Final = 1e-9
"""A stretch of exactly the most that is allowed must not fall to its last digits."""

DECIMALS: Final = 1
"""Of per cent: what half a millimetre in 100 mm lets one tell."""


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
        G in N/m; None without load and width, and where the threads are not those of
        a net.
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
    if before is not None and after is not None:
        thread_stretch = _thread_factor(1 + stretch, after / before) - 1
        threads = _threads(swatch, before, after)
    rigidity = None
    if swatch.load is not None and before is not None:
        rigidity = shear_rigidity(swatch.load / (before / 1000), stretch)
    return SwatchResult(
        stretch_limit=stretch,
        stretch_ok=stretch / COMFORT,
        ease_limit=ease,
        ease_ok=None if ease is None else ease / COMFORT,
        expected_width=expected,
        thread_stretch=thread_stretch,
        threads=threads,
        shear_rigidity=rigidity if threads in {None, Threads.PINNED} else None,
    )


def cloth_percents(result: SwatchResult) -> dict[str, float]:
    """Return what a job file says of the cloth, by its keys; see `DECIMALS`."""
    shares = {
        "stretch_ok_percent": result.stretch_ok,
        "stretch_limit_percent": result.stretch_limit,
        "ease_ok_percent": result.ease_ok,
        "ease_limit_percent": result.ease_limit,
    }
    return {
        key: round(100 * share, DECIMALS)
        for key, share in shares.items()
        if share is not None
    }


def across(stretch: float) -> float:
    """Return the width of a stretched net as a share: sqrt(2 - (1 + e)^2)."""
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


def _threads(swatch: Swatch, before: float, after: float) -> Threads:
    """Compare the width with that of a net, as far as a ruler can tell.

    Every reading may be off by `READING_ERROR_MM` either way: the widths that a net
    may then have are held against those that may have been measured.
    """
    error = READING_ERROR_MM
    shortest = (swatch.stretched - error) / (swatch.marked + error) - 1
    longest = (swatch.stretched + error) / (swatch.marked - error) - 1
    if after - error > (before + error) * across(shortest):
        return Threads.STRETCHED
    if after + error < (before - error) * across(longest):
        return Threads.SLIPPED
    return Threads.PINNED


def _check(swatch: Swatch) -> None:
    """Refuse what cannot have been measured, every mistake at once."""
    told = (_length_mistake(swatch), _ease_mistake(swatch))
    mistakes = [mistake for mistake in told if mistake is not None]
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


def _length_mistake(swatch: Swatch) -> str | None:
    marked, stretched = swatch.marked, swatch.stretched
    if marked < SHORTEST_MARKED_MM:
        return (
            f"the marked length ({marked:g} mm) is too short to be read from a ruler; "
            f"mark at least {SHORTEST_MARKED_MM:g} mm, better 100 mm"
        )
    least = max(READING_ERROR_MM, LEAST_STRETCH * marked)
    if stretched - marked < least:
        return (
            f"the stretched length ({stretched:g} mm) must be more than the marked one "
            f"({marked:g} mm), by {least:g} mm at least; measure it while the strip is "
            "stretched"
        )
    percent = 100 * (stretched / marked - 1)
    if percent > MOST_STRETCH_PERCENT * (1 + ROUNDING_SHARE):
        return (
            f"a stretch of {percent:.1f} % is more than woven threads allow "
            f"({MOST_STRETCH_PERCENT:g} %): is the cloth a knit, or was a mark read "
            "wrongly?"
        )
    return None


def _ease_mistake(swatch: Swatch) -> str | None:
    if swatch.eased is None or swatch.marked < SHORTEST_MARKED_MM:
        return None
    if swatch.eased > swatch.marked:
        return (
            f"the eased length ({swatch.eased:g} mm) must not be more than the marked "
            f"one ({swatch.marked:g} mm)"
        )
    percent = 100 * (1 - swatch.eased / swatch.marked)
    if percent > MOST_EASE_PERCENT * (1 + ROUNDING_SHARE):
        return (
            f"an ease of {percent:.1f} % is more than cloth can lie flat with "
            f"({MOST_EASE_PERCENT:g} %): push the strip together only until it ripples"
        )
    return None
