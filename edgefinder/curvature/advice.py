"""What to do about a place that does not lie flat, with the figures for it."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType
from typing import Final

import numpy as np

from edgefinder.binding.cloth import CLOTH_CLASSES, Cloth, Limits
from edgefinder.binding.tape import Tape
from edgefinder.classifier.job import Grain
from edgefinder.curvature.band import (
    feed_range,
    flat_width,
    laid_width,
    least_radius,
    stretch_needed,
)
from edgefinder.curvature.corners import SHARP_CORNER
from edgefinder.curvature.feeding import feed_at
from edgefinder.curvature.narrower import Meeting, Narrower, narrower
from edgefinder.curvature.places import Place
from edgefinder.curvature.pointwise import point_radii
from edgefinder.curvature.verdict import Verdict, verdict_at

BIAS_CEILING: Final = math.sqrt(2) - 1
"""A net of inextensible threads stretches no further, on the true bias (trellis;
Weissenberg and others, Journal of the Textile Institute 40, 1949, T111, page from
memory)."""


LEAST_EASED: Final = 0.002
"""Less than this share more tape than edge is not told: no hand can ease 2 mm on a
metre (our own choice)."""

_IN_ORDER: Final = (
    Verdict.FLAT,
    Verdict.STEAM,
    Verdict.TOO_TIGHT,
    Verdict.MITRE,
)
"""From the easiest to the hardest."""


class Remedy(StrEnum):
    """What can be done about a place."""

    STEAM = "stretch and shape the tape with steam first"
    EASE = "ease the tape on"
    SHRINK = "shape the tape with steam first: stretch its fold, shrink its open edges"
    NARROWER = "narrower tape"
    BIAS = "cut the tape on the true bias"
    STRETCHIER = "a cloth that stretches more"
    CLOTH = "another cloth"
    CLIP = "clip the edge of the cloth to just short of the stitching line"
    MITRE = "fold a mitre"
    SHAPED = "cover it with a facing cut to its shape"
    TRUE_SEAM = "true the seam"
    SQUARE_FOLD = "draw the edge square to the fold"
    SMOOTH = "smooth the line"
    REDRAW = "redraw the curve"


_AT_KINK: Final = MappingProxyType(
    {
        Meeting.SEAM: Remedy.TRUE_SEAM,
        Meeting.FOLD: Remedy.SQUARE_FOLD,
        Meeting.LINE: Remedy.SMOOTH,
    }
)


@dataclass(frozen=True, slots=True)
class Advice:
    """One remedy.

    Parameters
    ----------
    remedy : Remedy
    length : float or None
        The width (narrower), the least radius (redraw) or the length of the fold
        (mitre) that it takes, in millimetres.
    stretch : float or None
        The stretch that the cloth must have, as a fraction.
    angle : float or None
        Of the fold of a mitre to the square across the tape, or by which the line
        turns at a kink, in radians.
    verdict : Verdict or None
        How it lies then, on the bias or with another cloth.
    cloths : tuple of str
        The classes that would do, the firmest first.
    feeds : (float, float) or None
        The least and the most tape on one length of edge, where it is eased on or
        stretched at its fold.
    """

    remedy: Remedy
    length: float | None = None
    stretch: float | None = None
    angle: float | None = None
    verdict: Verdict | None = None
    cloths: tuple[str, ...] = ()
    feeds: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True, eq=False)
class PlaceReport:
    """A place with every figure that goes with it.

    Parameters
    ----------
    place : Place
    feed : float
        Millimetres of tape per millimetre of edge at the sharpest point.
    feeds : (float, float) or None
        The least and the most feed at which it lies within the limits there; None
        where there is none.
    point_radius : float or None
        Of the finished edge at the sharpest point, without the window, in
        millimetres; None where it is straight, or the drawing is traced.
    stretch_needed : float or None
        Fraction, once the ease is used up; None where there is no flat band.
    limits : Limits
        What the cloth has at its limit.
    widest_flat : float
        Millimetres of finished width that would lie flat here without effort; 0 at
        a kink that none lies flat at.
    laid_width : float or None
        Millimetres that the tape still covers once it is stretched or eased; None
        for straight grain, which does not narrow, and where it cannot be laid.
    restoring_cut_width : float or None
        Millimetres of cut width that restore the cover.
    advice : tuple of Advice
    """

    place: Place
    feed: float
    feeds: tuple[float, float] | None
    point_radius: float | None
    stretch_needed: float | None
    limits: Limits
    widest_flat: float
    laid_width: float | None
    restoring_cut_width: float | None
    advice: tuple[Advice, ...]


def report_places(places: Sequence[Place], tape: Tape) -> tuple[PlaceReport, ...]:
    """Work out what goes with each of some places.

    Parameters
    ----------
    places : sequence of Place
    tape : Tape
        That lies on all of them.

    Returns
    -------
    tuple of PlaceReport
    """
    radii = point_radii(places)
    return tuple(
        _report(place, radius, tape)
        for place, radius in zip(places, radii, strict=True)
    )


def _report(place: Place, radius: float | None, tape: Tape) -> PlaceReport:
    limits = tape.cloth.along(tape.grain)
    width, k = tape.finished_width, place.curvature
    feed = feed_at(k, width, limits.limit)
    flat = narrower(place, width, limits.ok)
    needed = stretch_needed(k, width, limits.limit.ease)
    laid = covering = None
    if tape.grain is Grain.BIAS and needed is not None:
        laid = laid_width(k, width, feed)
        covering = flat_width(k, width, feed)
    return PlaceReport(
        place=place,
        feed=feed,
        feeds=_feeds(k, width, limits.limit),
        point_radius=radius,
        stretch_needed=needed,
        limits=limits.limit,
        widest_flat=flat.widest,
        laid_width=laid if laid is not None and laid > 0 else None,
        restoring_cut_width=None
        if covering is None
        else tape.cut_width * covering / width,
        advice=_advice(place, tape, flat),
    )


def _feeds(
    curvature: float, width: float, limits: Limits
) -> tuple[float, float] | None:
    feeds = feed_range(np.array([curvature]), width, limits)
    low, high = float(feeds.low[0]), float(feeds.high[0])
    return (low, high) if low <= high else None


def _advice(place: Place, tape: Tape, flat: Narrower) -> tuple[Advice, ...]:
    limits = tape.cloth.along(tape.grain)
    width, k = tape.finished_width, place.curvature
    easier = _easier(flat)
    others = _other_cloths(place, tape)
    if place.verdict is Verdict.STEAM:
        return *_shaping(place, width, limits.limit), easier, *others
    advice = _at_corner(place, width) if place.verdict is Verdict.MITRE else []
    advice.append(easier)
    if tape.grain is not Grain.BIAS:
        lies = verdict_at(k, width, tape.cloth.bias)
        advice.append(Advice(Remedy.BIAS, verdict=lies))
    needed = stretch_needed(k, width, limits.limit.ease)
    if needed is not None and needed < BIAS_CEILING:
        advice.append(Advice(Remedy.STRETCHIER, stretch=needed))
    advice += others
    radius = least_radius(width, limits.limit, inside=place.inside)
    advice.append(Advice(Remedy.REDRAW, length=radius))
    return tuple(advice)


def _easier(flat: Narrower) -> Advice:
    """Advise narrower tape, or at a kink that none lies flat at what mends it."""
    if flat.kink is None:
        return Advice(Remedy.NARROWER, length=flat.widest)
    return Advice(_AT_KINK[flat.kink.meeting], angle=abs(flat.kink.turn))


def _shaping(place: Place, width: float, limits: Limits) -> list[Advice]:
    """Advise on what lies with steam: which way the tape is to be shaped."""
    feeds = _feeds(place.curvature, width, limits)
    if not place.inside:
        return [Advice(Remedy.SHRINK, feeds=feeds)]
    steam = Advice(Remedy.STEAM)
    if feeds is None or feeds[0] - 1 < LEAST_EASED:
        return [steam]
    return [steam, Advice(Remedy.EASE, feeds=feeds)]


def _at_corner(place: Place, width: float) -> list[Advice]:
    """Advise on a place that turns within the width of the tape."""
    half = abs(place.turn) / 2
    if 2 * half > SHARP_CORNER:  # more than one fold takes
        return [Advice(Remedy.SHAPED)]
    mitre = Advice(Remedy.MITRE, length=width / math.cos(half), angle=half)
    return [mitre, Advice(Remedy.CLIP)] if place.inside else [mitre]


def _other_cloths(place: Place, tape: Tape) -> list[Advice]:
    """Name the cloth classes that make a place better, cut along the same grain."""
    width, k = tape.finished_width, place.curvature
    better: dict[Verdict, list[Cloth]] = {}
    for cloth in CLOTH_CLASSES:
        lies = verdict_at(k, width, cloth.along(tape.grain))
        if _IN_ORDER.index(lies) < _IN_ORDER.index(place.verdict):
            better.setdefault(lies, []).append(cloth)
    if not better:
        return []
    lies = min(better, key=_IN_ORDER.index)
    cloths = sorted(better[lies], key=lambda one: one.along(tape.grain).limit.span)
    names = tuple(cloth.name for cloth in cloths if cloth.name != tape.cloth.name)
    return [Advice(Remedy.CLOTH, verdict=lies, cloths=names)] if names else []
