"""What to do about a place that does not lie flat, with the figures for it."""

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from edgefinder.binding.cloth import Limits
from edgefinder.binding.tape import Tape
from edgefinder.classifier.job import Grain
from edgefinder.curvature.band import (
    flat_width,
    laid_width,
    least_radius,
    stretch_needed,
    widest_flat,
)
from edgefinder.curvature.feeding import feed_at
from edgefinder.curvature.places import Place
from edgefinder.curvature.verdict import Verdict

BIAS_CEILING: Final = math.sqrt(2) - 1
"""A net of inextensible threads stretches no further, on the true bias (trellis;
Weissenberg and others, Journal of the Textile Institute 40, 1949, T111, page from
memory)."""


class Remedy(StrEnum):
    """What can be done about a place."""

    STEAM = "stretch and shape the tape with steam first"
    EASE = "ease the tape on and shrink it with steam"
    NARROWER = "narrower tape"
    BIAS = "cut the tape on the true bias"
    STRETCHIER = "a cloth that stretches more"
    MITRE = "fold a mitre"
    REDRAW = "redraw the curve"


@dataclass(frozen=True, slots=True)
class Advice:
    """One remedy.

    Parameters
    ----------
    remedy : Remedy
    length : float or None
        The width (narrower) or least radius (redraw) that it takes, in millimetres.
    stretch : float or None
        The stretch that the cloth must have, as a fraction.
    """

    remedy: Remedy
    length: float | None = None
    stretch: float | None = None


@dataclass(frozen=True, slots=True, eq=False)
class PlaceReport:
    """A place with every figure that goes with it.

    Parameters
    ----------
    place : Place
    feed : float
        Millimetres of tape per millimetre of edge at the sharpest point.
    stretch_needed : float or None
        Fraction, once the ease is used up; None where there is no flat band.
    limits : Limits
        What the cloth has at its limit.
    widest_flat : float
        Millimetres of finished width that would lie flat here without effort.
    laid_width : float or None
        Millimetres that the tape still covers once it is stretched or eased; None
        for straight grain, which does not narrow, and where it cannot be laid.
    restoring_cut_width : float or None
        Millimetres of cut width that restore the cover.
    advice : tuple of Advice
    """

    place: Place
    feed: float
    stretch_needed: float | None
    limits: Limits
    widest_flat: float
    laid_width: float | None
    restoring_cut_width: float | None
    advice: tuple[Advice, ...]


def report_place(place: Place, tape: Tape) -> PlaceReport:
    """Work out what goes with a place.

    Parameters
    ----------
    place : Place
    tape : Tape

    Returns
    -------
    PlaceReport
    """
    limits = tape.cloth.along(tape.grain)
    width, k = tape.finished_width, place.curvature
    feed = feed_at(k, width, limits.limit)
    needed = stretch_needed(k, width, limits.limit.ease)
    laid = covering = None
    if tape.grain is Grain.BIAS and needed is not None:
        laid = laid_width(k, width, feed)
        covering = flat_width(k, width, feed)
    return PlaceReport(
        place=place,
        feed=feed,
        stretch_needed=needed,
        limits=limits.limit,
        widest_flat=widest_flat(k, limits.ok),
        laid_width=laid if laid is not None and laid > 0 else None,
        restoring_cut_width=None
        if covering is None
        else tape.cut_width * covering / width,
        advice=_advice(place, tape),
    )


def _advice(place: Place, tape: Tape) -> tuple[Advice, ...]:
    limits = tape.cloth.along(tape.grain)
    width, k = tape.finished_width, place.curvature
    narrower = Advice(Remedy.NARROWER, length=widest_flat(k, limits.ok))
    if place.verdict is Verdict.STEAM:
        shape = Remedy.STEAM if place.inside else Remedy.EASE
        return Advice(shape), narrower
    advice = [Advice(Remedy.MITRE)] if place.verdict is Verdict.MITRE else []
    advice.append(narrower)
    if tape.grain is not Grain.BIAS:
        advice.append(Advice(Remedy.BIAS))
    needed = stretch_needed(k, width, limits.limit.ease)
    if needed is not None and needed < BIAS_CEILING:
        advice.append(Advice(Remedy.STRETCHIER, stretch=needed))
    radius = least_radius(width, limits.limit, inside=place.inside)
    advice.append(Advice(Remedy.REDRAW, length=radius))
    return tuple(advice)
