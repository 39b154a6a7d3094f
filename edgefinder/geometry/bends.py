"""The sharpest bends of a line, to the left and to the right."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from edgefinder.geometry.arclength import lengths_to
from edgefinder.geometry.curvature import curvature_extremes
from edgefinder.geometry.measured import MeasuredPath
from edgefinder.geometry.segments import Floats, Kind
from edgefinder.geometry.several import joint_turnings_of_all, put_together

STRAIGHT_RADIUS_MM: Final = 1e5
"""A bend of 100 m radius or more is a straight line drawn as a curve."""

KINK_TURN: Final = np.radians(0.05)
"""A smaller jump of the tangent is the rounding of a drawing program (two decimals of
a millimetre on a handle of 10 mm)."""

KINK_WINDOW_MM: Final = 10.0
"""A jump beside a curve is spread over this length, about one width of tape."""


@dataclass(frozen=True, slots=True)
class Bend:
    """One bend.

    Parameters
    ----------
    radius : float
        Millimetres; 0 at a cusp.
    at : float
        Distance along the line in millimetres.
    """

    radius: float
    at: float


@dataclass(frozen=True, slots=True)
class Bends:
    """The sharpest bend each way; None where the line never bends that way."""

    left: Bend | None
    right: Bend | None


def sharpest_bends(paths: Sequence[MeasuredPath]) -> tuple[Bends, ...]:
    """Find where lines bend most.

    Parameters
    ----------
    paths : sequence of MeasuredPath
        Looked at together, in a few numpy calls.

    Returns
    -------
    tuple of Bends
        Pointwise on curves. A line drawn as a polygon has all its bend in the jumps
        between straight segments: there, and at small jumps beside a curve, the turn
        is divided by the length that it stands for, half of each neighbour (of a
        curve no more than 5 mm).
    """
    if not paths:
        return ()
    together = put_together([one.path for one in paths])
    segments = together.segments
    turns = joint_turnings_of_all(together)
    extremes = curvature_extremes(segments)
    along = lengths_to(segments.take(extremes.row), extremes.t)
    rows = together.bounds
    bounds = np.searchsorted(extremes.row, rows)
    found = []
    for one, first, stop, low, high in zip(
        paths, rows[:-1], rows[1:], bounds[:-1], bounds[1:], strict=True
    ):
        s = one.stations[extremes.row[low:high] - first] + along[low:high]
        joint_s, joint_k = _joints(one, turns[first:stop])
        at = np.concatenate([s, joint_s])
        curvature = np.concatenate([extremes.curvature[low:high], joint_k])
        found.append(Bends(_sharpest(at, curvature), _sharpest(at, -curvature)))
    return tuple(found)


def _joints(measured: MeasuredPath, turns: Floats) -> tuple[Floats, Floats]:
    path = measured.path
    if len(path.segments) == 1 and not path.closed:
        return np.empty(0), np.empty(0)
    half = np.diff(measured.stations) / 2
    curved = path.segments.kind != Kind.LINE
    half = np.where(curved, np.minimum(half, KINK_WINDOW_MM / 2), half)
    span = half + np.roll(half, -1)
    found = np.flatnonzero((np.abs(turns) > KINK_TURN) & (span > 0))
    return measured.stations[found + 1], turns[found] / span[found]


def _sharpest(at: Floats, curvature: Floats) -> Bend | None:
    if not len(curvature) or curvature.max() * STRAIGHT_RADIUS_MM <= 1:
        return None
    most = int(np.argmax(curvature))
    return Bend(float(1 / curvature[most]), float(at[most]))
