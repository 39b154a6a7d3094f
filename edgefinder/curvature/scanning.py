"""Legs seen at the tape's own scale, cut where the verdict changes.

All legs that are looked at with one width stand in one table, so that the work for
each of them is small.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from edgefinder.binding.cloth import GrainLimits
from edgefinder.binding.runs import Leg
from edgefinder.curvature.verdict import Zones, zones
from edgefinder.geometry.segments import Floats, Indices
from edgefinder.geometry.windowed import WindowedLines, windowed_lines


@dataclass(frozen=True, slots=True, eq=False)
class Stretches:
    """Stretches of legs that lie in one zone each, leg after leg.

    Parameters
    ----------
    start : ndarray, shape (t,)
        Distance along the leg in millimetres, rising on every leg from 0.
    curvature : ndarray, shape (t,)
        There, in 1/mm.
    station : ndarray of intp, shape (t,)
        The first station of the scan at or after the start.
    zone : ndarray of intp, shape (t,)
        Never that of the stretch before it on the same leg.
    bounds : ndarray of intp, shape (n + 1,)
        Leg i has the stretches from ``bounds[i]`` up to ``bounds[i + 1]``.
    """

    start: Floats
    curvature: Floats
    station: Indices
    zone: Indices
    bounds: Indices


@dataclass(frozen=True, slots=True, eq=False)
class Scan:
    """Legs looked at with one finished width.

    Parameters
    ----------
    legs : tuple of Leg
    width : float
        Finished width in millimetres: the window.
    zones : Zones
    lines : WindowedLines
        The windowed curvature along every leg.
    stretches : Stretches
    """

    legs: tuple[Leg, ...]
    width: float
    zones: Zones
    lines: WindowedLines
    stretches: Stretches

    def lengths_by_zone(self) -> Floats:
        """Return millimetres of every leg in every zone, shape (n, 7)."""
        found, count = self.stretches, len(self.zones.bounds) + 1
        legs = np.arange(len(self.legs))
        end = np.append(found.start[1:], 0.0)
        end[found.bounds[1:] - 1] = [leg.length for leg in self.legs]
        row = np.repeat(legs, np.diff(found.bounds)) * count + found.zone
        sums = np.zeros(count * len(legs))
        np.add.at(sums, row, end - found.start)
        return sums.reshape(-1, count)


def scan(legs: Sequence[Leg], width: float, limits: GrainLimits) -> Scan:
    """Look at legs at the scale of a finished width.

    Parameters
    ----------
    legs : sequence of Leg
    width : float
        Finished width in millimetres.
    limits : GrainLimits

    Returns
    -------
    Scan
    """
    parts = zones(width, limits)
    lines = windowed_lines([leg.profile for leg in legs], width)
    return Scan(tuple(legs), width, parts, lines, _stretches(lines, parts))


def _stretches(lines: WindowedLines, parts: Zones) -> Stretches:
    """Cut lines where the curvature passes from one zone to another."""
    s, curvature = lines.s, lines.curvature
    zone = parts.of(curvature)
    begins = lines.bounds[:-1]
    changes = zone[1:] != zone[:-1]
    changes[begins[1:] - 1] = False  # from one line to the next
    before = np.flatnonzero(changes)
    # One cut for every bound that is passed, in their order.
    old, new = zone[before], zone[before + 1]
    passed = np.abs(new - old)
    row = np.repeat(before, passed)
    step = np.arange(len(row)) - np.repeat(np.cumsum(passed) - passed, passed)
    rising = np.repeat(new > old, passed)
    bound = np.repeat(old, passed) + np.where(rising, step, -1 - step)
    k0, k1 = curvature[row], curvature[row + 1]
    k = parts.bounds[bound]
    cut = s[row] + (k - k0) / (k1 - k0) * (s[row + 1] - s[row])
    station = np.concatenate([begins, row + 1])
    order = station.argsort(kind="stable")
    return Stretches(
        np.concatenate([s[begins], cut])[order],
        np.concatenate([curvature[begins], k])[order],
        station[order],
        np.concatenate([zone[begins], bound + rising])[order],
        station[order].searchsorted(lines.bounds),
    )
