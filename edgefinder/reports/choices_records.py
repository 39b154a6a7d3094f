"""Widths, cloths and angles to choose from, as plain records."""

import math
from collections.abc import Sequence

from edgefinder.curvature.choosing import Lie
from edgefinder.reports.records import Record
from edgefinder.schedule.choices import TapeChoices


def choices_records(choices: Sequence[TapeChoices]) -> list[Record]:
    """Return what can be chosen for every tape of every size."""
    return [_tape(one) for one in choices]


def _tape(one: TapeChoices) -> Record:
    return {
        "size": one.size,
        "tape": one.tape.name,
        "widths_from": None if one.source is None else str(one.source),
        "widest_flat_mm": [
            {"run": run.name, "width_mm": widest}
            for run, widest in zip(one.runs, one.widest, strict=True)
        ],
        "choices": [
            {
                "finished_width_mm": choice.trial.width,
                "fold_tool_mm": None if tool is None else tool.size,
                "own_fold_tool": None
                if tool is None or tool.own is None
                else tool.own.name,
                "cloth": choice.trial.cloth.name,
                "cloth_from": str(choice.trial.cloth.origin),
                "angle_deg": None
                if choice.trial.angle is None
                else math.degrees(choice.trial.angle),
                "stretch_ok_percent": 100 * choice.trial.limits.ok.stretch,
                "stretch_limit_percent": 100 * choice.trial.limits.limit.stretch,
                "worth_choosing": choice.is_best,
                "whole": _lie(choice.whole),
                "runs": [
                    {"run": run.name, **_lie(lie)}
                    for run, lie in zip(one.runs, choice.by_run, strict=True)
                ],
            }
            for choice, tool in zip(one.choices, one.tools, strict=True)
        ],
    }


def _lie(lie: Lie) -> Record:
    return {
        "steam": lie.steam,
        "too_tight": lie.too_tight,
        "easy_mm": lie.easy_length,
        "steam_mm": lie.steam_length,
        "too_tight_mm": lie.tight_length,
    }
