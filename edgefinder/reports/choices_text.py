"""Widths, cloths and angles to choose from, as text."""

import math
from collections.abc import Sequence

from edgefinder.curvature.choosing import Choice, Lie
from edgefinder.reports.amounts import percent, width, width_at_most
from edgefinder.reports.layout import GAP, WIDTH, columns, heading, paragraph
from edgefinder.schedule.choices import By, TapeChoices
from edgefinder.units import Unit

EASY = "flat"
"""Of a run without a place to watch."""

NARROW_CELL = 8
"""Columns that a figure takes at most: ``12 + 12``, ``13/16 in``."""


def choices_text(choices: Sequence[TapeChoices], by: By, unit: Unit) -> str:
    """Write one table for each tape of each size: a row for each choice."""
    lines: list[str] = []
    for one in choices:
        lines += [*_tape(one, by, unit), ""]
    lines += paragraph(
        "steam, tight: places to ease and steam, and places that are too tight or "
        "need a mitre; easy: share of the length that lies flat without effort. * is "
        "worth choosing: nothing above it lies as well."
    )
    return "\n".join(lines) + "\n"


def _tape(one: TapeChoices, by: By, unit: Unit) -> list[str]:
    what = width(one.tape.finished_width, unit)
    title = f'Size {one.size}, tape "{one.tape.name}" ({what}, {one.tape.cloth.name})'
    names = [_name(choice, by, unit) for choice in one.choices]
    whole = [
        (name, "*" if choice.is_best else "", *_whole(choice.whole))
        for name, choice in zip(names, one.choices, strict=True)
    ]
    lines = columns((str(by), "", "steam", "tight", "easy"), whole, left=2)
    for first, last in _chunks(names, one):
        limits = [width_at_most(w, unit) for w in one.widest[first:last]]
        rows = [
            (name, *(_cell(lie) for lie in choice.by_run[first:last]))
            for name, choice in zip(names, one.choices, strict=True)
        ]
        head = ("steam + tight", *(run.name for run in one.runs[first:last]))
        lines += ["", *columns(head, [*rows, ("easy up to", *limits)])]
    return [*heading(title), *lines]


def _chunks(names: Sequence[str], one: TapeChoices) -> list[tuple[int, int]]:
    """Put as many runs side by side as there is room for."""
    chunks: list[tuple[int, int]] = []
    first, taken = 0, 0
    most = WIDTH - max(map(len, names))
    for i, run in enumerate(one.runs):
        taken += max(len(run.name), NARROW_CELL) + GAP
        if i > first and taken > most:
            chunks.append((first, i))
            first, taken = i, max(len(run.name), NARROW_CELL) + GAP
    return [*chunks, (first, len(one.runs))]


def _whole(lie: Lie) -> tuple[str, ...]:
    length = lie.easy_length + lie.steam_length + lie.tight_length
    share = lie.easy_length / length if length else 1.0
    return str(lie.steam), str(lie.too_tight), percent(share)


def _name(choice: Choice, by: By, unit: Unit) -> str:
    if by is By.CLOTH:
        return choice.trial.cloth
    if by is By.ANGLE and choice.trial.angle is not None:
        stretch = percent(choice.trial.limits.limit.stretch)
        return f"{math.degrees(choice.trial.angle):.0f} degrees, {stretch} stretch"
    return width(choice.trial.width, unit)


def _cell(lie: Lie) -> str:
    return EASY if lie.is_easy else f"{lie.steam} + {lie.too_tight}"
