"""A line as it is drawn: segments one after the other, open or closed."""

from dataclasses import dataclass

import numpy as np

from edgefinder.geometry.segments import (
    Segments,
    concatenate,
    end_points,
    line_segments,
    reverse,
    start_points,
)


@dataclass(frozen=True, slots=True, eq=False)
class Path:
    """One connected line of at least one segment.

    Parameters
    ----------
    segments : Segments
        Each begins where the one before ends.
    closed : bool
        Whether the last segment ends at the start of the first.
    """

    segments: Segments
    closed: bool

    @property
    def start(self) -> complex:
        """The first point, in millimetres."""
        return complex(start_points(self.segments.take(slice(0, 1)))[0])

    @property
    def end(self) -> complex:
        """The last point, in millimetres."""
        return complex(end_points(self.segments.take(slice(-1, None)))[0])

    @property
    def gap(self) -> float:
        """The distance from the last point to the first, in millimetres."""
        return abs(self.end - self.start)


def reverse_path(path: Path) -> Path:
    """Run the same line the other way."""
    return Path(reverse(path.segments), path.closed)


def close_path(path: Path) -> Path:
    """Join the end to the start with a straight segment, if they differ."""
    segments = path.segments
    if path.end != path.start:
        segments = concatenate([segments, line_segments(path.end, path.start)])
    return Path(segments, closed=True)


def rotate_path(path: Path, first: int) -> Path:
    """Begin a closed path at another of its segments."""
    if not path.closed:
        raise ValueError("only a closed path can begin elsewhere")
    order = np.roll(np.arange(len(path.segments)), -first)
    return Path(path.segments.take(order), closed=True)
