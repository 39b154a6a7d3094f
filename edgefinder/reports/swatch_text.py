"""What a swatch says, as text."""

from collections.abc import Sequence
from typing import Final

from edgefinder.binding.swatch import (
    COMFORT,
    Swatch,
    SwatchResult,
    Threads,
    cloth_percents,
)
from edgefinder.constants import MM_PER_INCH
from edgefinder.reports.layout import paragraph
from edgefinder.units import Unit

MEANING: Final = {
    Threads.PINNED: "as far as a ruler tells, no thread stretched or slipped",
    Threads.STRETCHED: (
        "it is too wide for that: the threads themselves have stretched, and will "
        "spring back; the narrowing that the curve check reckons with is too much"
    ),
    Threads.SLIPPED: (
        "it is too narrow for that: threads have slipped at their crossings, or the "
        "strip buckled; stretch a new strip by less"
    ),
}


def swatch_text(swatch: Swatch, result: SwatchResult, unit: Unit) -> str:
    """Write what a swatch says, one paragraph for each thing.

    Parameters
    ----------
    swatch : Swatch
    result : SwatchResult
    unit : Unit
        That widths are printed in.
    """
    return "\n".join([*_lines(swatch, result, unit), ""])


def _lines(swatch: Swatch, result: SwatchResult, unit: Unit) -> Sequence[str]:
    said = cloth_percents(result)
    lines = _said(
        f"stretch: {said['stretch_limit_percent']:g} % at most, "
        f"{said['stretch_ok_percent']:g} % easily (at most divided by {COMFORT:g}: a "
        "working default)"
    )
    if result.ease_limit is None:
        lines += _said(
            "ease: not measured, and a new cloth is taken to have none; push the strip "
            "together until it ripples, and give --eased"
        )
    else:
        lines += _said(
            f"ease: {said['ease_limit_percent']:g} % at most, "
            f"{said['ease_ok_percent']:g} % easily"
        )
    if result.expected_width is not None:
        lines += _said(_width(swatch, result, result.expected_width, unit))
    if result.shear_rigidity is not None:
        lines += _said(
            f"resistance to shear: G = {result.shear_rigidity:.3g} N/m, if the threads "
            "are those of a net"
        )
    elif swatch.load is not None:
        lines += _said(
            "resistance to shear: cannot be told "
            + (
                "without --width-before"
                if swatch.width_before is None
                else "where the threads are not those of a net"
            )
        )
    return lines


def _said(text: str) -> list[str]:
    return paragraph(text, hanging="  ")


def _width(swatch: Swatch, result: SwatchResult, expected: float, unit: Unit) -> str:
    if swatch.width_after is None or result.threads is None:
        return f"width when stretched: {_ruler(expected, unit)} if no thread gives"
    return (
        f"width: {_ruler(swatch.width_after, unit)}, where a net of threads would be "
        f"{_ruler(expected, unit)}: {MEANING[result.threads]}"
    )


def _ruler(length: float, unit: Unit) -> str:
    """Write a width with what can be read from a ruler, and no more."""
    if unit is Unit.INCH:
        return f"{length / MM_PER_INCH:.2f} in"
    return f"{length:.1f} mm"
