"""Widths, cloths and angles to choose from, as text."""

import math
from collections.abc import Sequence

from edgefinder.curvature.choosing import Choice, Lie
from edgefinder.reports.amounts import percent, width, width_at_most
from edgefinder.reports.layout import GAP, WIDTH, columns, heading, paragraph
from edgefinder.reports.release_rows import size_title
from edgefinder.schedule.choices import By, TapeChoices
from edgefinder.units import Unit

EASY = "flat"
"""Of a run without a place to watch."""

PLACES = "steam + tight"
EASY_UP_TO = "easy up to"
"""Head and last line of the table of runs."""

NO_GAIN = "="
"""Marks what is not worth choosing. Most rows are: a mark on them would say nothing."""

NARROW_CELL = 8
"""Columns that a figure takes at most: ``12 + 12``, ``13/16 in``."""


def choices_text(choices: Sequence[TapeChoices], by: By, unit: Unit) -> str:
    """Write one table for each tape of each size: a row for each choice."""
    lines: list[str] = []
    for one in choices:
        lines += [*_tape(one, by, unit), ""]
    lines += paragraph(
        "steam, tight: places to ease and steam, and places that are too tight or "
        "need a mitre; easy: share of the length that lies flat without effort."
    )
    if any(not choice.is_best for one in choices for choice in one.choices):
        lines += paragraph(
            f"{NO_GAIN} lies no better than one above it: not worth choosing."
        )
    if by is By.WIDTH:
        lines += paragraph(
            "fold tool: width of the single-folded tape that it makes; - where none "
            "of the tools that you have listed makes the width, or none is needed."
        )
    return "\n".join(lines) + "\n"


def _tape(one: TapeChoices, by: By, unit: Unit) -> list[str]:
    what = width(one.tape.finished_width, unit)
    title = (
        f'{size_title(one.size)}, tape "{one.tape.name}" '
        f"({what}, {one.tape.cloth.name})"
    )
    names = _names(one, by, unit)
    is_width = by is By.WIDTH
    whole = [
        (
            name,
            "" if choice.is_best else NO_GAIN,
            *_whole(choice.whole),
            *([_tool(one, number, unit)] if is_width else []),
        )
        for number, (name, choice) in enumerate(zip(names, one.choices, strict=True))
    ]
    last_column = ["fold tool"] if is_width else []
    head = (str(by), "", "steam", "tight", "easy", *last_column)
    lines = columns(head, whole, left=2)
    for first, last in _chunks(names, one):
        rows = [
            (name, *(_cell(lie) for lie in choice.by_run[first:last]))
            for name, choice in zip(names, one.choices, strict=True)
        ]
        if is_width:
            limits = [width_at_most(w, unit) for w in one.widest[first:last]]
            rows.append((EASY_UP_TO, *limits))
        runs = (PLACES, *(run.name for run in one.runs[first:last]))
        lines += ["", *columns(runs, rows)]
    said = [] if one.source is None else paragraph(f"widths: {one.source}")
    return [*heading(title), *said, *lines]


def _tool(one: TapeChoices, number: int, unit: Unit) -> str:
    """Name the person's own tool, or the size if they have listed none."""
    needed = one.tools[number]
    if needed is not None and needed.own is not None:
        return needed.own.name
    if needed is None or one.has_own_tools:
        return "-"
    return width(needed.size, unit)


def _chunks(names: Sequence[str], one: TapeChoices) -> list[tuple[int, int]]:
    """Put as many runs side by side as there is room for."""
    chunks: list[tuple[int, int]] = []
    first, taken = 0, 0
    most = WIDTH - max(map(len, (*names, PLACES, EASY_UP_TO)))
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


def _names(one: TapeChoices, by: By, unit: Unit) -> list[str]:
    """Name the choices; where two widths are one on a ruler, with their millimetres."""
    names = [_name(choice, by, unit) for choice in one.choices]
    return [
        f"{name} ({choice.trial.width:.4g} mm)"
        if by is By.WIDTH and names.count(name) > 1
        else name
        for name, choice in zip(names, one.choices, strict=True)
    ]


def _name(choice: Choice, by: By, unit: Unit) -> str:
    if by is By.CLOTH:
        cloth = choice.trial.cloth
        return cloth.name if cloth.is_default else f"{cloth.name} ({cloth.origin})"
    if by is By.ANGLE and choice.trial.angle is not None:
        stretch = percent(choice.trial.limits.limit.stretch)
        return f"{math.degrees(choice.trial.angle):.0f} degrees, {stretch} stretch"
    return width(choice.trial.width, unit)


def _cell(lie: Lie) -> str:
    return EASY if lie.is_easy else f"{lie.steam} + {lie.too_tight}"
