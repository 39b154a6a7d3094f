"""Other widths, cloths and angles of the strip, held against the curves of runs."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import islice
from typing import Final

from edgefinder.binding.cloth import CLOTH_CLASSES, Cloth, GrainLimits, Limits
from edgefinder.binding.runs import Leg, Run
from edgefinder.classifier.job import Grain
from edgefinder.curvature.scanning import scan
from edgefinder.curvature.trouble import verdicts
from edgefinder.curvature.verdict import Verdict, verdict_of
from edgefinder.geometry.segments import Floats

ANGLES_DEG: Final = (45.0, 40.0, 35.0, 30.0, 25.0, 20.0, 15.0)
"""Angles of the strip to the warp that are worth comparing: below 15 degrees a strip
behaves like a straight one."""

TRUE_BIAS: Final = math.radians(45.0)


@dataclass(frozen=True, slots=True)
class Lie:
    """How the tape lies along something.

    Parameters
    ----------
    steam, too_tight : int
        Places; mitres are counted as too tight.
    easy_length, steam_length, tight_length : float
        Millimetres of edge.
    """

    steam: int
    too_tight: int
    easy_length: float
    steam_length: float
    tight_length: float

    @property
    def is_easy(self) -> bool:
        """Whether it lies flat everywhere."""
        return self.steam == self.too_tight == 0

    @property
    def trouble(self) -> tuple[float, float]:
        """What is to be made small: length too tight, then length to steam.

        Rounded, so that the last digits do not choose.
        """
        return round(self.tight_length, 1), round(self.steam_length, 1)


@dataclass(frozen=True, slots=True)
class Trial:
    """A finished width, a cloth or an angle that is tried.

    Parameters
    ----------
    width : float
        Finished width in millimetres.
    limits : GrainLimits
    cloth : Cloth
    angle : float or None
        Radians from the warp; None along a straight grain.
    """

    width: float
    limits: GrainLimits
    cloth: Cloth
    angle: float | None


@dataclass(frozen=True, slots=True)
class Choice:
    """A trial and how it lies.

    Parameters
    ----------
    trial : Trial
    by_run : tuple of Lie
        For each run.
    whole : Lie
        Of all runs together.
    is_best : bool
        Whether no trial that is wanted more (wider, a firmer cloth, nearer to the
        grain) lies as well: one of those between which it is worth choosing (Pareto).
    """

    trial: Trial
    by_run: tuple[Lie, ...]
    whole: Lie
    is_best: bool


def width_trials(run: Run, widths: Sequence[float]) -> list[Trial]:
    """Try finished widths, the widest first."""
    model = _as_it_is(run)
    return [replace(model, width=width) for width in sorted(widths, reverse=True)]


def cloth_trials(run: Run, cloths: Sequence[Cloth] = CLOTH_CLASSES) -> list[Trial]:
    """Try cloths cut along the grain of the tape, the firmest first."""
    model = _as_it_is(run)
    grain = run.tape.grain
    tried = [replace(model, limits=cloth.along(grain), cloth=cloth) for cloth in cloths]
    return sorted(
        tried,
        key=lambda one: (one.limits.ok.span, one.limits.limit.span, one.cloth.name),
    )


def angle_trials(
    run: Run, angles: Sequence[float] = tuple(map(math.radians, ANGLES_DEG))
) -> list[Trial]:
    """Try strips at other angles to the warp, the one nearest to the warp first."""
    model = _as_it_is(run)
    cloth = run.tape.cloth
    return [
        replace(model, limits=limits_at(cloth, angle), angle=angle)
        for angle in sorted(angles)
    ]


def limits_at(cloth: Cloth, angle: float) -> GrainLimits:
    """Return what a strip at an angle to the warp gives.

    Parameters
    ----------
    cloth : Cloth
    angle : float
        Radians from the warp, up to a right angle.

    Returns
    -------
    GrainLimits
        To first order the shear of the net gives a strip at an angle a the stretch of
        the true bias times sin 2a; it never gives less than the nearer straight grain.
    """
    share = math.sin(2 * angle)
    straight = cloth.lengthwise if angle <= TRUE_BIAS else cloth.crosswise

    def scaled(bias: Limits, least: Limits) -> Limits:
        return Limits(
            max(bias.stretch * share, least.stretch), max(bias.ease * share, least.ease)
        )

    return GrainLimits(
        scaled(cloth.bias.ok, straight.ok), scaled(cloth.bias.limit, straight.limit)
    )


def choose(trials: Sequence[Trial], runs: Sequence[Run]) -> tuple[Choice, ...]:
    """Try everything on every run.

    Parameters
    ----------
    trials : sequence of Trial
        The one wanted most first.
    runs : sequence of Run

    Returns
    -------
    tuple of Choice
        In the order of the trials.
    """
    choices: list[Choice] = []
    least: tuple[float, float] | None = None
    for trial in trials:
        by_run = lies_of([run.legs for run in runs], trial.width, trial.limits)
        whole = _together(by_run)
        is_best = least is None or whole.trouble < least
        least = whole.trouble if is_best else least
        choices.append(Choice(trial, by_run, whole, is_best))
    return tuple(choices)


def lies_of(
    runs: Sequence[Sequence[Leg]], width: float, limits: GrainLimits
) -> tuple[Lie, ...]:
    """Say how a finished width lies along the legs of each of several runs."""
    seen = scan([leg for legs in runs for leg in legs], width, limits)
    found, lengths = iter(verdicts(seen)), iter(seen.lengths_by_zone())
    return tuple(
        _lie(list(islice(found, len(legs))), list(islice(lengths, len(legs))))
        for legs in runs
    )


def _lie(places: Sequence[Sequence[Verdict]], by_zone: Sequence[Floats]) -> Lie:
    told = [verdict for leg in places for verdict in leg]
    steam = told.count(Verdict.STEAM)
    lengths = dict.fromkeys(Verdict, 0.0)
    for leg in by_zone:
        for zone, length in enumerate(leg.tolist()):
            lengths[verdict_of(zone)] += length
    return Lie(
        steam,
        len(told) - steam,
        lengths[Verdict.FLAT],
        lengths[Verdict.STEAM],
        lengths[Verdict.TOO_TIGHT] + lengths[Verdict.MITRE],
    )


def _as_it_is(run: Run) -> Trial:
    tape = run.tape
    angle = TRUE_BIAS if tape.grain is Grain.BIAS else None
    limits = tape.cloth.along(tape.grain)
    return Trial(tape.finished_width, limits, tape.cloth, angle)


def _together(lies: Sequence[Lie]) -> Lie:
    return Lie(
        sum(lie.steam for lie in lies),
        sum(lie.too_tight for lie in lies),
        math.fsum(lie.easy_length for lie in lies),
        math.fsum(lie.steam_length for lie in lies),
        math.fsum(lie.tight_length for lie in lies),
    )
