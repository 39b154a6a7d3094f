"""Tape: finished width, cut width, grain and cloth."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from edgefinder.binding.cloth import Cloth, find_cloth
from edgefinder.binding.cut_width import cut_width
from edgefinder.binding.turn_of_cloth import (
    CLOTH_THICKNESS_MM,
    USUAL_THICKNESS_MM,
    turn_of_cloth,
)
from edgefinder.classifier.job import Grain, Job, TapeFold, TapeSettings
from edgefinder.errors import SettingsError, did_you_mean

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


def make_tapes(job: Job) -> tuple[tuple[Tape, ...], list[str]]:
    """Make the tapes that a job file describes.

    Returns
    -------
    tuple of Tape
    list of str
        One line for every mistake: an unknown cloth or tape. Of what has no name yet,
        which is told already, nothing is said, and it may be the one that is meant.
    """
    tapes: list[Tape] = []
    mistakes: list[str] = []
    knows_cloths = all(cloth.name for cloth in job.cloths)
    try:
        find_cloth(job.fabric.cloth, job.cloths)
    except SettingsError as error:
        if job.fabric.cloth and knows_cloths:
            mistakes.append(f"{job.path}: fabric: cloth: {error}")
    for settings in job.tapes:
        try:
            tapes.append(_tape(settings, job))
        except SettingsError as error:
            # Without a cloth of its own it is the fabric's, said already.
            if settings.cloth and settings.name and knows_cloths:
                mistakes.append(f'{job.path}: tapes "{settings.name}": cloth: {error}')
    names = [settings.name for settings in job.tapes]
    wanted = [(f'runs "{run.name}"', run.tape) for run in job.runs if run.name]
    wanted += [(f'pieces "{p.name}"', p.tape) for p in job.pieces if p.name]
    mistakes += [
        f'{job.path}: {place}: tape: there is no tape "{tape}"'
        f"{did_you_mean(tape, names)}"
        for place, tape in wanted
        if tape and tape not in names and all(names)
    ]
    return tuple(tapes), mistakes


def tape_named(name: str, tapes: Sequence[Tape]) -> Tape:
    """Return the tape of a run whose tape is known to be there."""
    return next(tape for tape in tapes if tape.name == name)


def _tape(settings: TapeSettings, job: Job) -> Tape:
    cloth = find_cloth(settings.cloth or job.fabric.cloth, job.cloths)
    width = settings.cut_width or cut_width(
        settings.finished_width,
        settings.fold,
        _turn_of_cloth(settings, cloth),
        settings.seam,
    )
    return Tape(
        name=settings.name,
        finished_width=settings.finished_width,
        cut_width=width,
        fold=settings.fold,
        grain=settings.grain,
        cloth=cloth,
        packet_length=settings.packet_length,
    )


def _turn_of_cloth(settings: TapeSettings, cloth: Cloth) -> float:
    """Return what is said, or what the thickness of the layers asks for."""
    if settings.turn_of_cloth is not None:
        return settings.turn_of_cloth
    layer = settings.thickness
    if layer is None:
        layer = CLOTH_THICKNESS_MM.get(cloth.name, USUAL_THICKNESS_MM)
    edge = layer if settings.edge_thickness is None else settings.edge_thickness
    return turn_of_cloth(settings.fold, layer, edge)
