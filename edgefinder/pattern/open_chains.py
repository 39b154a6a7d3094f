"""Open lines whose ends meet, put together."""

from collections import Counter, defaultdict
from collections.abc import Hashable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from edgefinder.geometry.arclength import lengths
from edgefinder.geometry.segments import Complexes, concatenate
from edgefinder.importers.connected import connected, grouped_by
from edgefinder.importers.drawing import DrawnLine
from edgefinder.pattern.closing import ends_of


@dataclass(frozen=True, slots=True, eq=False)
class OpenChain:
    """Open lines of one layer and group whose ends meet.

    Parameters
    ----------
    lines : tuple of DrawnLine
        In drawing order.
    ends : ndarray of complex128, shape (2,), or None
        Those that meet no other one; None where there are more or fewer, or where
        lines branch.
    length : float
        Of all lines together, in millimetres.
    """

    lines: tuple[DrawnLine, ...]
    ends: Complexes | None
    length: float


def open_chains(lines: Sequence[DrawnLine], tolerance: float) -> tuple[OpenChain, ...]:
    """Put open lines together.

    Parameters
    ----------
    lines : sequence of DrawnLine
        All open.
    tolerance : float
        Ends nearer than this meet, in millimetres.

    Returns
    -------
    tuple of OpenChain
        Every line is in one of them.
    """
    groups: defaultdict[Hashable, list[DrawnLine]] = defaultdict(list)
    for line in lines:
        groups[line.layer, line.groups].append(line)
    return tuple(
        chain for together in groups.values() for chain in _chains(together, tolerance)
    )


def _chains(lines: Sequence[DrawnLine], tolerance: float) -> Iterator[OpenChain]:
    ends = ends_of(lines).ravel()
    counts = np.array([len(line.path.segments) for line in lines])
    every = lengths(concatenate([line.path.segments for line in lines]))
    long = np.add.reduceat(every, np.cumsum(counts) - counts).tolist()
    points = shapely.points(ends.real, ends.imag)
    one, other = shapely.STRtree(points).query(
        points, predicate="dwithin", distance=tolerance
    )
    meeting = Counter(one.tolist())  # each meets itself
    labels = connected(len(lines), one // 2, other // 2)
    for members in grouped_by(np.arange(len(lines)), labels):
        own = [end for i in members for end in (2 * i, 2 * i + 1)]
        free = [end for end in own if meeting[end] == 1]
        is_one_line = len(free) == 2 and max(meeting[end] for end in own) <= 2
        yield OpenChain(
            tuple(lines[i] for i in members),
            ends[free] if is_one_line else None,
            sum(long[i] for i in members),
        )
