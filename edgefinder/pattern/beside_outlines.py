"""Give to each piece the notches, marker lines and texts that belong to it."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from edgefinder.constants import SMALLEST_PIECE_MM
from edgefinder.findings import Finding, warning
from edgefinder.geometry.extent import lower_left, upper_right
from edgefinder.geometry.flatten import flatten
from edgefinder.geometry.measured import measure, points_at_lengths
from edgefinder.geometry.segments import Complexes, Floats
from edgefinder.importers.drawing import Drawing, DrawnLine
from edgefinder.pattern.naming import size_of, size_of_text
from edgefinder.pattern.on_outline import in_outline_order, nearest_places
from edgefinder.pattern.pieces import Piece
from edgefinder.pattern.selectors import matches_any, parse_selector
from edgefinder.pattern.settings import FindingSettings
from edgefinder.pattern.surroundings import NotchMark, Surroundings

MARKER_REACH_MM: Final = 5.0
"""A marker line runs this near to the outline all along: a felt pen is 2 mm wide and a
hand draws beside the line. Larger: the other side of a narrow strap comes near."""

NOTCH_REACH_MM: Final = 3.0
"""A notch ends this near to the outline; it is drawn across it or up to it."""

ON_LINE_MM: Final = 1.0
"""Of several sizes drawn on one another each one that comes this near has the mark;
where none does, the nearest one has it."""

TEXT_REACH_MM: Final = 60.0
"""A text that names an edge is written within a hand's breadth of it."""

SAMPLES: Final = 33
"""Places along a marker line that are looked at."""

DEFAULT_NOTCHES: Final = tuple(
    parse_selector(f"{mark}:*notch*") for mark in ("layer", "class", "label", "id")
)


@dataclass(frozen=True, slots=True, eq=False)
class _Box:
    """The box around a piece."""

    low: complex
    high: complex

    def holds(self, points: Complexes, margin: float) -> bool:
        """Whether all points lie within it, a margin added."""
        within = (
            (points.real > self.low.real - margin)
            & (points.real < self.high.real + margin)
            & (points.imag > self.low.imag - margin)
            & (points.imag < self.high.imag + margin)
        )
        return bool(within.all())


def is_no_outline(line: DrawnLine, settings: FindingSettings) -> bool:
    """Whether a line is drawn to mark an outline and is none itself."""
    if matches_any(line, (*settings.marker_lines, *settings.notches)):
        return True
    return not line.path.closed and _is_notch(line, settings)


def with_surroundings(
    pieces: Sequence[Piece], drawing: Drawing, settings: FindingSettings
) -> tuple[tuple[Piece, ...], tuple[Finding, ...]]:
    """Give to each piece the marks that are drawn on it or beside it.

    Parameters
    ----------
    pieces : sequence of Piece
        Of one drawing.
    drawing : Drawing
    settings : FindingSettings

    Returns
    -------
    tuple of Piece
    tuple of Finding
        One for each marker line or notch that lies along no outline.
    """
    notch_lines = [line for line in drawing.lines if _is_notch(line, settings)]
    markers = [x for x in drawing.lines if matches_any(x, settings.marker_lines)]
    if not (notch_lines or markers or drawing.texts):
        return tuple(pieces), ()
    boxes = [
        _Box(lower_left(p.outline.path), upper_right(p.outline.path)) for p in pieces
    ]
    around = _Sorted(pieces, boxes, drawing, settings)
    astray = [
        *(_astray(x, "notch") for x in notch_lines if not around.add_notch(x)),
        *(_astray(x, "marker line") for x in markers if not around.add_marker(x)),
    ]
    around.add_texts()
    return around.pieces(), tuple(astray)


class _Sorted:
    """Marks on their way to the pieces of one drawing."""

    def __init__(
        self,
        pieces: Sequence[Piece],
        boxes: Sequence[_Box],
        drawing: Drawing,
        settings: FindingSettings,
    ) -> None:
        self._pieces = pieces
        self._boxes = boxes
        self._drawing = drawing
        self._settings = settings
        self._sizes = {piece.size for piece in pieces}
        self._notches: defaultdict[int, list[NotchMark]] = defaultdict(list)
        self._markers: defaultdict[int, list[DrawnLine]] = defaultdict(list)
        self._texts: dict[int, Surroundings] = {}

    def add_notch(self, line: DrawnLine) -> bool:
        """Give a notch to the pieces on whose outline it lies."""
        points = _vertices(line)
        near: dict[int, float] = {}
        marks: dict[int, NotchMark] = {}
        for i in self._candidates(line, points, NOTCH_REACH_MM, every=False):
            piece = self._pieces[i]
            found = nearest_places(piece, points)
            best = min(range(len(points)), key=lambda j: (round(found[j][1], 6), j))
            place, apart = found[best]
            if apart <= NOTCH_REACH_MM:
                edge = piece.edges[place.number - 1]
                at = complex(points_at_lengths(edge.path, np.array([place.s]))[0])
                near[i], marks[i] = apart, NotchMark(at, _names_of(line))
        for i in self._nearest(near):
            self._notches[i].append(marks[i])
        return bool(near)

    def add_marker(self, line: DrawnLine) -> bool:
        """Give a marker line to the pieces along whose outline it runs."""
        path = measure(line.path)
        points = points_at_lengths(path, np.linspace(0, path.length, SAMPLES))
        near: dict[int, float] = {}
        for i in self._candidates(line, points, MARKER_REACH_MM, every=True):
            apart: Floats = np.array(
                [d for _, d in nearest_places(self._pieces[i], points)]
            )
            if apart.max() <= MARKER_REACH_MM:
                near[i] = float(apart.mean())
        for i in self._nearest(near):
            self._markers[i].append(line)
        return bool(near)

    def add_texts(self) -> None:
        """Give the texts to all pieces that they may say something of."""
        texts = self._drawing.texts
        for i, piece in enumerate(self._pieces):
            box = self._boxes[i]
            own = tuple(
                text
                for text in texts
                if box.holds(np.array([text.at]), TEXT_REACH_MM)
                and size_of_text(text, self._settings) in {None, piece.size}
            )
            self._texts[i] = Surroundings(texts=own)

    def pieces(self) -> tuple[Piece, ...]:
        """Return the pieces with what was sorted to them."""
        found = []
        for i, piece in enumerate(self._pieces):
            notches = (*piece.around.notches, *self._notches[i])
            around = replace(
                self._texts[i],
                notches=in_outline_order(piece, notches),
                markers=tuple(self._markers[i]),
            )
            found.append(replace(piece, around=around))
        return tuple(found)

    def _candidates(
        self, line: DrawnLine, points: Complexes, reach: float, *, every: bool
    ) -> list[int]:
        size = size_of(line, self._drawing, self._settings)
        if size not in self._sizes:
            size = None
        looked = [points] if every else [np.array([point]) for point in points]
        return [
            i
            for i, piece in enumerate(self._pieces)
            if (size is None or piece.size in {None, size})
            and any(self._boxes[i].holds(some, reach) for some in looked)
        ]

    def _nearest(self, apart: dict[int, float]) -> list[int]:
        """Choose the pieces with a mark on them; of the sizes it misses the nearest."""
        by_name: defaultdict[str, list[int]] = defaultdict(list)
        for i in apart:
            by_name[self._pieces[i].name].append(i)
        chosen: list[int] = []
        for same in by_name.values():
            on_line = [i for i in same if apart[i] <= ON_LINE_MM]
            chosen += on_line or [min(same, key=lambda i: apart[i])]
        return chosen


def _is_notch(line: DrawnLine, settings: FindingSettings) -> bool:
    if settings.notches:
        return matches_any(line, settings.notches)
    if not matches_any(line, DEFAULT_NOTCHES):
        return False
    across = upper_right(line.path) - lower_left(line.path)
    return max(across.real, across.imag) < SMALLEST_PIECE_MM


def _vertices(line: DrawnLine) -> Complexes:
    return flatten(line.path, 0.1)


def _names_of(line: DrawnLine) -> tuple[str, ...]:
    own = (line.label, line.id, *line.names)
    return tuple(dict.fromkeys(name for name in own if name))


def _astray(line: DrawnLine, what: str) -> Finding:
    message = f"this {what} lies along no outline of a piece; draw it nearer"
    return warning("mark-astray", line.where, message)
