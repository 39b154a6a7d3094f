"""In which order strips are joined, and what is done to them before, in words."""

from collections.abc import Sequence
from typing import Final

from edgefinder.reports.amounts import length
from edgefinder.units import Unit
from edgefinder.yardage.cut_strips import cut_strips
from edgefinder.yardage.cutting import Cutting
from edgefinder.yardage.strip_ends import End, Strip
from edgefinder.yardage.strip_order import PlacedStrip, StripOrder

MOST_PLACES: Final = 12
"""Places that a sentence lists."""
LETTERS: Final = {End.FORWARD: "A", End.BACK: "B"}
"""Of the ends of bias strips: along the selvage, and across it."""


def order_sentences(cutting: Cutting, unit: Unit) -> tuple[str, ...]:
    """Say how the strips of a cutting are put in order; nothing if any order will do.

    Parameters
    ----------
    cutting : Cutting
    unit : Unit

    Returns
    -------
    tuple of str
        Whole sentences: what is recut, the order, what is left over, where to begin.
    """
    order = cutting.order
    if order is None:
        return ()
    laid = cut_strips(cutting)
    kept = {one.strip.number: one.strip for one in order.placed}
    kept |= {strip.number: strip for strip in order.unused}
    said = [*_recut(laid, kept)]
    if order.placed:
        said.append(f"Join them in this order: {_in_order(order.placed, unit)}.")
    left_out = [strip.number for strip in laid if strip.number not in kept]
    if left_out:
        said.append(
            f"{_strips(left_out, capital=True)} would be too short once recut and "
            f"{_is(left_out)} left out."
        )
    if order.unused:
        unused = [strip.number for strip in order.unused]
        said.append(f"{_strips(unused, capital=True)} {_is(unused)} not needed.")
    return (*said, *_where(cutting, order, unit))


def _recut(laid: Sequence[Strip], kept: dict[int, Strip]) -> list[str]:
    """Say which ends are cut anew along the other grain."""
    ends: dict[str, list[int]] = {}
    for strip in laid:
        after = kept.get(strip.number)
        if after is None:
            continue
        for before, now in ((strip.near, after.near), (strip.far, after.far)):
            if before is not now:
                ends.setdefault(LETTERS[now], []).append(strip.number)
    grain = {"A": "lengthwise", "B": "crosswise"}
    other = {"A": "B", "B": "A"}
    return [
        f"Cut an end {other[letter]} of {_strips(numbers)} anew along the "
        f"{grain[letter]} grain, from the corner that lies further in: it becomes an "
        f"end {letter}."
        for letter, numbers in sorted(ends.items())
    ]


def _in_order(placed: Sequence[PlacedStrip], unit: Unit) -> str:
    """Write numbers one after the other; plain ones that follow on as a range."""
    parts: list[str] = []
    run: list[int] = []

    def close() -> None:
        if len(run) > 2:
            parts.append(f"{run[0]} to {run[-1]}")
        else:
            parts.extend(map(str, run))
        run.clear()

    for one in placed:
        notes = []
        if one.is_turned:
            notes.append("turned end for end")
        if one.trim > 0.0:
            notes.append(f"{length(one.trim, unit)} cut off its second end")
        number = one.strip.number
        if notes:
            close()
            parts.append(f"{number} ({', '.join(notes)})")
            continue
        if run and number != run[-1] + 1:
            close()
        run.append(number)
    close()
    return ", ".join(parts)


def _where(cutting: Cutting, order: StripOrder, unit: Unit) -> list[str]:
    """Say where joins are kept from, and where a loop begins."""
    run = cutting.need.run
    if run is None:
        return []
    by_reach: dict[float, list[str]] = {}
    for at, within in run.avoid:
        by_reach.setdefault(within, []).append(length(run.lead + at, unit))
    avoided = [
        f"{length(within, unit)} of {_listed(places)}"
        for within, places in by_reach.items()
    ]
    said = [
        f"So no join lies within {' or within '.join(avoided)} along the tape; joins "
        f"lie at {_listed([length(join, unit) for join in order.joins])}."
        if order.joins
        else "The tape has no join."
    ]
    if run.is_closed:
        said.append(
            f"Begin the loop {length(order.start, unit)} on from the start of the run: "
            "its closing join lies there."
        )
    if order.extra > 0.0:
        much = "the least that will do" if order.is_least else "perhaps not the least"
        said.append(f"{length(order.extra, unit)} is trimmed off for it, {much}.")
    return said


def _listed(texts: Sequence[str]) -> str:
    """List a few things; more than a sentence holds are in the JSON."""
    shown = ", ".join(texts[:MOST_PLACES])
    left = len(texts) - MOST_PLACES
    return f"{shown} and {left} more" if left > 0 else shown


def _strips(numbers: Sequence[int], *, capital: bool = False) -> str:
    noun = "strip" if len(numbers) == 1 else "strips"
    listed = ", ".join(map(str, numbers[:-1]))
    listed = f"{listed} and {numbers[-1]}" if listed else str(numbers[-1])
    return f"{noun.capitalize() if capital else noun} {listed}"


def _is(numbers: Sequence[int]) -> str:
    return "is" if len(numbers) == 1 else "are"
