"""Tape: finished width, cut width, grain and cloth."""

from collections.abc import Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from edgefinder.binding.cloth import Cloth, find_cloth
from edgefinder.classifier.job import Grain, Job, TapeFold, TapeSettings
from edgefinder.errors import SettingsError, did_you_mean

CUT_WIDTHS_PER_FINISHED: Final = MappingProxyType(
    {TapeFold.SINGLE: 2, TapeFold.DOUBLE: 4, TapeFold.DOUBLE_LAYER: 6}
)
"""Cut width over finished width before the turn of cloth: the 2x, 4x and 6x rules,
with the strip's own seam allowance as wide as the binding (common practice; 6x plus
1/4 in for the double layer: sewing manual)."""

USUAL_WIDTHS_METRIC_MM: Final = (6.0, 8.0, 9.0, 10.0, 12.0, 15.0, 20.0)
"""Usual finished widths (from memory)."""
USUAL_WIDTHS_INCH_MM: Final = (6.35, 9.525, 12.7, 22.225)
"""1/4, 3/8, 1/2 and 7/8 in, usual finished widths (from memory)."""


@dataclass(frozen=True, slots=True)
class Tape:
    """One kind of tape.

    Parameters
    ----------
    name : str
    finished_width : float
        Millimetres that show on one side.
    cut_width : float
        Millimetres of the flat strip before any fold.
    fold : TapeFold
    grain : Grain
    cloth : Cloth
    packet_length : float or None
        Millimetres in a packet, for ready-made tape.
    """

    name: str
    finished_width: float
    cut_width: float
    fold: TapeFold
    grain: Grain
    cloth: Cloth
    packet_length: float | None


def cut_width(finished_width: float, fold: TapeFold, turn_of_cloth: float) -> float:
    """Return the width of the flat strip, all in millimetres."""
    return CUT_WIDTHS_PER_FINISHED[fold] * finished_width + turn_of_cloth


def make_tapes(job: Job) -> tuple[tuple[Tape, ...], list[str]]:
    """Make the tapes that a job file describes.

    Returns
    -------
    tuple of Tape
    list of str
        One line for every mistake: an unknown cloth or tape.
    """
    tapes: list[Tape] = []
    mistakes: list[str] = []
    try:
        find_cloth(job.fabric.cloth, job.cloths)
    except SettingsError as error:
        mistakes.append(f"{job.path}: fabric: cloth: {error}")
    for settings in job.tapes:
        try:
            tapes.append(_tape(settings, job))
        except SettingsError as error:
            if settings.cloth:  # else it is the fabric's, said already
                mistakes.append(f'{job.path}: tapes "{settings.name}": cloth: {error}')
    names = [settings.name for settings in job.tapes]
    wanted = [(f'runs "{run.name}"', run.tape) for run in job.runs]
    wanted += [(f'pieces "{p.name}"', p.tape) for p in job.pieces if p.tape]
    mistakes += [
        f'{job.path}: {place}: tape: there is no tape "{tape}"'
        f"{did_you_mean(tape, names)}"
        for place, tape in wanted
        if tape not in names
    ]
    return tuple(tapes), mistakes


def tape_named(name: str, tapes: Sequence[Tape]) -> Tape:
    """Return the tape of a run whose tape is known to be there."""
    return next(tape for tape in tapes if tape.name == name)


def _tape(settings: TapeSettings, job: Job) -> Tape:
    width = settings.cut_width or cut_width(
        settings.finished_width, settings.fold, settings.turn_of_cloth
    )
    return Tape(
        name=settings.name,
        finished_width=settings.finished_width,
        cut_width=width,
        fold=settings.fold,
        grain=settings.grain,
        cloth=find_cloth(settings.cloth or job.fabric.cloth, job.cloths),
        packet_length=settings.packet_length,
    )
