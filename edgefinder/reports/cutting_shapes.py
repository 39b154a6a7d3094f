"""The shapes of a cutting, as polygons in millimetres of cloth, y up.

The tube: from a rectangle W x H (W >= H) the triangle (0, 0), (H, H), (0, H) is cut off
and sewn to the other end, where it lies W - 2 s further to the right. Lines run in the
direction (1, 1), c sqrt 2 apart along the sides. The sides of length W are sewn
together at y = s and y = H - s; the cloth above the tube's seam, carried on below it,
is then the same cloth moved by (c sqrt 2 - (H - 2 s), -(H - 2 s)): line k runs on in
line k + 1.
"""

import math
from dataclasses import dataclass

from edgefinder.yardage.bias_strips import strip_outlines
from edgefinder.yardage.cut_strips import bias_layout
from edgefinder.yardage.cutting import COUNT_SLACK, Cutting, Method

Point = tuple[float, float]
Polygon = tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class TubeShapes:
    """A tube on its way from a rectangle.

    Parameters
    ----------
    width, height : float
        Millimetres of the longer side W and of the shorter side H.
    seam : float
        Millimetres of each seam allowance.
    spacing : float
        Millimetres between lines along the sides W: c sqrt 2.
    strips : int
    """

    width: float
    height: float
    seam: float
    spacing: float
    strips: int

    @property
    def side(self) -> float:
        """Millimetres of the sides W once the triangle is sewn on."""
        return self.width - 2.0 * self.seam

    @property
    def rest(self) -> float:
        """Millimetres along the sides W beyond the last strip."""
        return max(0.0, self.side - self.strips * self.spacing)

    @property
    def is_square(self) -> bool:
        """Whether the first cut runs from corner to corner."""
        return self.width - self.height <= COUNT_SLACK * self.width

    def triangle(self) -> Polygon:
        """Return the triangle as it is cut off."""
        return ((0.0, 0.0), (self.height, self.height), (0.0, self.height))

    def body(self) -> Polygon:
        """Return what the triangle is cut off from."""
        right = ((0.0, 0.0), (self.width, 0.0), (self.width, self.height))
        return right if self.is_square else (*right, (self.height, self.height))

    def slanted(self) -> Polygon:
        """Return the parallelogram that the two make."""
        return self._between(0.0, self.side, 0.0, self.height)

    def line(self, number: int) -> tuple[Point, Point]:
        """Return a ruled line; 0 is the bias edge that was cut."""
        along = number * self.spacing
        return (along, 0.0), (along + self.height, self.height)

    def strip(self, number: int) -> Polygon:
        """Return a strip in the parallelogram, counted from 1."""
        end = number * self.spacing
        return self._between(end - self.spacing, end, 0.0, self.height)

    def beyond(self) -> Polygon:
        """Return what lies beyond the last line."""
        return self._between(self.side - self.rest, self.side, 0.0, self.height)

    def above_seam(self, number: int, depth: float) -> Polygon:
        """Return the start of a strip, from the tube's seam upwards."""
        end = number * self.spacing
        return self._between(end - self.spacing, end, self.seam, self.seam + depth)

    def below_seam(self, number: int, depth: float) -> Polygon:
        """Return the end of a strip brought round to below the tube's seam."""
        end = (number + 1) * self.spacing
        return self._between(end - self.spacing, end, self.seam - depth, self.seam)

    def _between(self, left: float, right: float, low: float, high: float) -> Polygon:
        """Cut the band between two lines, by their x at y = 0, at two levels."""
        return (
            (left + low, low),
            (right + low, low),
            (right + high, high),
            (left + high, high),
        )


def tube_shapes(cutting: Cutting) -> TubeShapes:
    """Return the shapes of a tube."""
    return TubeShapes(
        width=max(cutting.cut_size),
        height=min(cutting.cut_size),
        seam=cutting.need.seam,
        spacing=cutting.line_spacing * math.sqrt(2.0),
        strips=cutting.strips,
    )


def strip_shapes(cutting: Cutting) -> tuple[Polygon, ...]:
    """Return every strip as it lies in the cloth, whose lower left corner is (0, 0)."""
    if cutting.method is Method.BIAS_STRIPS:
        return strip_outlines(bias_layout(cutting))
    across, along = cutting.cut_size
    step = cutting.line_spacing
    if cutting.method is Method.CROSSWISE_STRIPS:
        return tuple(
            _rectangle(0.0, i * step, across, (i + 1) * step)
            for i in range(cutting.strips)
        )
    return tuple(
        _rectangle(i * step, 0.0, (i + 1) * step, along) for i in range(cutting.strips)
    )


def kept_shapes(cutting: Cutting) -> dict[int, Polygon]:
    """Return the strips that become tape, by number; without those left out."""
    if cutting.order is None:
        return dict(enumerate(strip_shapes(cutting), start=1))
    placed = [one.strip for one in cutting.order.placed]
    return {strip.number: strip.corners for strip in placed}


def ruled_lines(cutting: Cutting) -> tuple[tuple[Point, Point], ...]:
    """Return the lines to rule in the cloth, in the order in which they are ruled."""
    across, along = cutting.cut_size
    step = cutting.line_spacing
    if cutting.method is Method.BIAS_STRIPS:
        return tuple(bias_line(place, across, along) for place in _borders(cutting))
    if cutting.method is Method.CROSSWISE_STRIPS:
        return tuple(
            ((0.0, i * step), (across, i * step)) for i in range(1, cutting.lines + 1)
        )
    return tuple(
        ((i * step, 0.0), (i * step, along)) for i in range(1, cutting.lines + 1)
    )


def bias_line(place: float, width: float, length: float) -> tuple[Point, Point]:
    """Return the line x - y = place across a rectangle, from its lower left end."""
    return (
        (max(0.0, place), max(0.0, -place)),
        (min(width, place + length), min(length, width - place)),
    )


def _borders(cutting: Cutting) -> list[float]:
    """List the two borders of every strip; neighbours share one."""
    half = cutting.line_spacing / math.sqrt(2.0)
    borders: list[float] = []
    for place in bias_layout(cutting).places:
        if not borders or place - half - borders[-1] > half:
            borders.append(place - half)
        borders.append(place + half)
    return borders


def _rectangle(left: float, low: float, right: float, high: float) -> Polygon:
    return (left, low), (right, low), (right, high), (left, high)
